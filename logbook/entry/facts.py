"""What single words and short phrases of a line say, before anything is put together or doubted."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from logbook.entry.phrases import TimePhrase
from logbook.entry.tokens import NUMBER, Token, word_at
from logbook.entry.words import SIZES
from logbook.records import Coals, Mark, Wind, Window
from logbook.setting import Setting

FactValue = float | str | bool | Window | Coals | Wind | Mark | TimePhrase | tuple[float, ...] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One thing a phrase says: a field's name (or an inner one such as "pair"), value, unit typed.

    ``extra`` carries what qualifies the value: "open" or "closed" for air, a place for a temperature,
    the second unit of a pair.
    """

    name: str
    value: FactValue
    unit: str = ""
    extra: str = ""


class Soft(StrEnum):
    """When a match gives way to the unread words beside it: "full" is air, but not in "shed half full"."""

    NEVER = "never"
    AFTER_UNREAD = "after unread"
    BESIDE_UNREAD = "beside unread"
    AMID_UNREAD = "amid unread"


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """Tokens ``first`` to ``last`` (excluded) read as facts."""

    first: int
    last: int
    facts: tuple[Fact, ...]
    soft: Soft = Soft.NEVER


Tokens = tuple[Token, ...]
Reader = Callable[[Tokens, int, Setting], Match | None]

_TEMPERATURE = re.compile(rf"({NUMBER})(?:°?([cf])|°|deg([cf])?)?", re.ASCII)
_PAIR = re.compile(rf"({NUMBER})(?:°?([cf])|°)?/({NUMBER})(?:°?([cf])|°)?", re.ASCII)
_PERCENT = re.compile(rf"({NUMBER})%", re.ASCII)
_PLAIN_NUMBER = re.compile(NUMBER, re.ASCII)
MASS_UNITS = {"kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "lb": "lb", "lbs": "lb"} | {
    "pound": "lb",
    "pounds": "lb",
}
_MEASURES = (
    "box boxes armful armfuls bucket buckets basket baskets bag bags bundle bundles crate crates sack sacks "
    "split splits round rounds log logs piece pieces stick sticks"
)
MEASURES = frozenset(_MEASURES.split())
"""Ways of counting wood that mean nothing without a weight; the owner gives it once."""


MOST_NUMBER = 1e9
"""A number this large is no quantity of a cabin, but a slip of keys or a telephone number: a word."""


def found_number(word: str) -> float | None:
    """The number a word is, or None."""
    if not _PLAIN_NUMBER.fullmatch(word):
        return None
    value = float(word)
    return value if abs(value) < MOST_NUMBER else None


def temperature_at(tokens: Tokens, at: int) -> tuple[float, str, int] | None:
    """A temperature at a token: value, unit typed ("C", "F" or ""), tokens taken.

    "minus 3" and "3 below zero" are −3; of "3 below" alone it can't be told, and it is none.
    """
    if word_at(tokens, at) == "minus":
        found = _temperature_at(tokens, at + 1)
        return None if found is None or found[0] < 0.0 else (-found[0], found[1], found[2] + 1)
    found = _temperature_at(tokens, at)
    if found is None or word_at(tokens, at + found[2]) != "below":
        return found
    value, unit, taken = found
    return (-value, unit, taken + 2) if word_at(tokens, at + taken + 1) == "zero" and value > 0.0 else None


def _temperature_at(tokens: Tokens, at: int) -> tuple[float, str, int] | None:
    match = _TEMPERATURE.fullmatch(word_at(tokens, at))
    if match is None:
        return None
    unit = (match.group(2) or match.group(3) or "").upper()
    after = word_at(tokens, at + 1).removeprefix("°")
    if not unit and (after in {"c", "f"} or word_at(tokens, at + 1) in {"°", "deg", "degrees"}):
        return float(match.group(1)), after.upper() if after in {"c", "f"} else "", 2
    return float(match.group(1)), unit, 1


_DURATIONS = "h hr hrs hour hours mins minute minutes secs seconds days nights weeks times"
_LASTING = frozenset(_DURATIONS.split())


def lasts(tokens: Tokens, at: int) -> bool:
    """Whether a word says how long, or how often, by the number before it; "18 min 9" tells a lowest."""
    word = word_at(tokens, at)
    return word in _LASTING or (word == "min" and temperature_at(tokens, at + 1) is None)


def piece_name(word: str, setting: Setting) -> str | None:
    """The owner's name for a counted thing, whatever its case or plural; None if it has no weight."""
    names = {name.lower(): name for name, _ in setting.weights_kg}
    if word in SIZES and SIZES[word].lower() in names:
        return names[SIZES[word].lower()]
    for form in (word, word.removesuffix("s"), word.removesuffix("es")):
        if form and form in names:
            return names[form]
    return None


def percent_at(tokens: Tokens, at: int, *, sign_needed: bool = False) -> tuple[float, int] | None:
    """A percentage and the tokens it takes; a bare number counts unless the sign is needed."""
    if match := _PERCENT.fullmatch(word_at(tokens, at)):
        return float(match.group(1)), 1
    number = found_number(word_at(tokens, at))
    if number is None:
        return None
    if word_at(tokens, at + 1) == "%":
        return number, 2
    return None if sign_needed else (number, 1)


def parted(tokens: Tokens, at: int) -> bool:
    """Whether punctuation, or the end of the line, stands before a token."""
    return at >= len(tokens) or tokens[at].parted


def fraction_of(word: str) -> tuple[int, int] | None:
    """Numerator and denominator of a plain fraction such as 1/4 or 5/4."""
    match = re.fullmatch(r"(\d{1,2})/(\d{1,2})", word, re.ASCII)
    if match is None or int(match.group(2)) == 0:
        return None
    return int(match.group(1)), int(match.group(2))


def pair_at(tokens: Tokens, at: int) -> tuple[float, str, float, str] | None:
    """Two temperatures with a stroke between, each with its unit typed."""
    match = _PAIR.fullmatch(word_at(tokens, at))
    if match is None:
        return None
    first, first_unit, second, second_unit = match.groups()
    return float(first), (first_unit or "").upper(), float(second), (second_unit or "").upper()
