"""What single words and short phrases of a line say, before anything is put together or doubted."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from logbook.entry.phrases import TimePhrase, time_phrase
from logbook.entry.tokens import NUMBER, Token, word_at
from logbook.entry.understood import Problem, RefusedError
from logbook.entry.words import LABELS, PLACES, SIZES, SPECIES
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
_MASS = re.compile(rf"({NUMBER})(kgs?|kilos?|lbs?|pounds?)", re.ASCII)
_COUNTED = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)(?:x(?=[a-z]))?([a-z]+)", re.ASCII)
_COMPACT = re.compile(r"(?:\d{1,2}(?:\.\d{1,2})?[a-z]+){2,}", re.ASCII)
_WATTS = re.compile(rf"({NUMBER})(k?w|watts?)", re.ASCII)

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

MARKS = {"arrived": Mark.ARRIVED, "bed": Mark.BED, "woke": Mark.WOKE, "left": Mark.LEFT}


def found_number(word: str) -> float | None:
    """The number a word is, or None."""
    return float(word) if _PLAIN_NUMBER.fullmatch(word) else None


def temperature_at(tokens: Tokens, at: int) -> tuple[float, str, int] | None:
    """A temperature at a token: value, unit typed ("C", "F" or ""), tokens taken."""
    match = _TEMPERATURE.fullmatch(word_at(tokens, at))
    if match is None:
        return None
    unit = (match.group(2) or match.group(3) or "").upper()
    after = word_at(tokens, at + 1).removeprefix("°")
    if not unit and (after in {"c", "f"} or word_at(tokens, at + 1) in {"°", "deg", "degrees"}):
        return float(match.group(1)), after.upper() if after in {"c", "f"} else "", 2
    return float(match.group(1)), unit, 1


def piece_name(word: str, setting: Setting) -> str | None:
    """The owner's name for a counted thing, whatever its case or plural; None if it has no weight."""
    names = {name.lower(): name for name, _ in setting.weights_kg}
    if word in SIZES and SIZES[word].lower() in names:
        return names[SIZES[word].lower()]
    for form in (word, word.removesuffix("s"), word.removesuffix("es")):
        if form and form in names:
            return names[form]
    return None


def read_note(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "note" and all that follows it."""
    if word_at(tokens, at) == "note" and at + 1 < len(tokens):
        return Match(first=at, last=len(tokens), facts=(Fact(name="note", value=None),))
    return None


def read_time(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Any phrase of time, complete or not."""
    names = {name.lower() for name, _ in setting.weights_kg}
    units = frozenset(MASS_UNITS) | MEASURES | names | {"c", "f", "°c", "°f", "°", "%", "w"}
    found = time_phrase(tokens, at, not_units=units)
    if found is None:
        return None
    return Match(first=at, last=at + found[1], facts=(Fact(name="time", value=found[0]),))


_FILLERS = (frozenset({"is", "now", "temp", "temperature", "at"}), frozenset({"low", "of", "is"}))
"""Words between a label and its number that add nothing: for readings, and for a forecast."""


def read_label(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "in 17.5", "outside -9", "low 9", "in loft 19", "loft 19", "rh 55%"."""
    word = word_at(tokens, at)
    label = LABELS.get(word)
    place, reach = "", 1
    if label is None and word in PLACES | {name.lower() for name in setting.places}:
        label, place = "indoor_c", word
    if label is None:
        return None
    if word_at(tokens, at + 1) in _FILLERS[label == "forecast_low_c"]:
        reach = 2
    found = temperature_at(tokens, at + reach)
    if found is None and word in {"in", "inside"}:
        place_at = at + 2 if word_at(tokens, at + 1) == "the" else at + 1
        place = word_at(tokens, place_at)
        found, reach = temperature_at(tokens, place_at + 1), place_at + 1 - at
        if not place.isalpha() or place in LABELS or reach > 3:
            return None
    if found is None:
        return None
    value, unit, taken = found
    after = word_at(tokens, at + reach + taken)
    if taken == 1 and not unit and (after in MASS_UNITS or piece_name(after, setting)):
        return None
    fact = Fact(name=label, value=value, unit=unit, extra=place)
    soft = Soft.AFTER_UNREAD if word == place else Soft.NEVER
    return Match(first=at, last=at + reach + taken, facts=(fact,), soft=soft)


_PERCENTS = {"rh": "rh_pct", "humidity": "rh_pct", "moisture": "moisture_pct"}


def read_percent_label(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "rh 55%", "moisture 18% wet"."""
    name, found, end = _PERCENTS.get(word_at(tokens, at)), percent_at(tokens, at + 1), at + 1
    if name is None:
        found = percent_at(tokens, at, sign_needed=True)
        name = _PERCENTS.get(word_at(tokens, at + found[1])) if found else None
    if name is None or found is None:
        return None
    end += found[1]
    facts = [Fact(name=name, value=found[0], unit="%")]
    if name == "moisture_pct" and word_at(tokens, end) in {"wet", "dry"}:
        facts.append(Fact(name="moisture_basis", value=word_at(tokens, end)))
        end += 2 if word_at(tokens, end + 1) == "basis" else 1
    return Match(first=at, last=end, facts=tuple(facts))


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


def read_words(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Fixed words: window, coals, fire out, wind, marks, alarms, heater, kindling, same."""
    word, after = word_at(tokens, at), word_at(tokens, at + 1)
    skip = 1 if after in {"is", "the"} else 0
    pair = _PAIRS_OF_WORDS.get((word, word_at(tokens, at + 1 + skip)))
    if pair is not None:
        return Match(first=at, last=at + 2 + skip, facts=(pair,))
    if word == "cracked":
        return Match(
            first=at, last=at + 1, facts=(Fact(name="window", value=Window.CRACKED),), soft=Soft.AFTER_UNREAD
        )
    if word in MARKS:
        followed = word == "left" and not _parted(tokens, at + 1) and after in {"window", "air", "damper"}
        if followed:
            return None
        fact = Fact(name="mark", value=MARKS[word])
        return Match(
            first=at,
            last=at + 1,
            facts=(fact,),
            soft=Soft.BESIDE_UNREAD if word in {"bed", "left"} else Soft.NEVER,
        )
    if word in {"kindling", "same", "j"}:
        name = "kindling" if word == "kindling" else "same"
        return Match(
            first=at,
            last=at + 1,
            facts=(Fact(name=name, value=True),),
            soft=Soft.BESIDE_UNREAD if name == "same" else Soft.NEVER,
        )
    if word == "heater":
        return _heater(tokens, at)
    return None


def _parted(tokens: Tokens, at: int) -> bool:
    return at >= len(tokens) or tokens[at].parted


def _pairs_of_words() -> dict[tuple[str, str], Fact]:
    pairs: dict[tuple[str, str], Fact] = {
        ("fire", "out"): Fact(name="fire_out", value=True),
        ("no", "coals"): Fact(name="coals", value=Coals.NONE),
    }
    ways = {"shut": Window.SHUT, "closed": Window.SHUT, "cracked": Window.CRACKED, "ajar": Window.CRACKED}
    ways |= {"open": Window.OPEN, "wide": Window.OPEN}
    for said, window in ways.items():
        for name in ("window", "windows"):
            pairs[name, said] = pairs[said, name] = Fact(name="window", value=window)
    for coals in Coals:
        pairs["coals", coals.value] = pairs[coals.value, "coals"] = Fact(name="coals", value=coals)
    for wind in Wind:
        pairs["wind", wind.value] = pairs[wind.value, "wind"] = Fact(name="wind", value=wind)
    for alarm in ("alarm", "alarms"):
        for said in ("ok", "tested"):
            pairs[alarm, said] = Fact(name="alarms_tested", value=True)
    return pairs


_PAIRS_OF_WORDS = _pairs_of_words()


def _heater(tokens: Tokens, at: int) -> Match | None:
    word, after = word_at(tokens, at + 1), word_at(tokens, at + 2)
    if word == "off":
        return Match(first=at, last=at + 2, facts=(Fact(name="other_heat_w", value=0.0, unit="W"),))
    if word == "on":
        raise RefusedError(
            Problem(
                wrong="How strong is the heater?",
                instead="Type heater 1500 W or heater off.",
                start=tokens[at].start,
                end=tokens[at + 1].end,
            )
        )
    match, taken = _WATTS.fullmatch(word), 2
    if match is None and (found_number(word) is not None):
        with_unit = _WATTS.fullmatch(word + after)
        match, taken = with_unit or _WATTS.fullmatch(word + "w"), 3 if with_unit else 2
    if match is None:
        return None
    kilo = match.group(2) == "kw"
    fact = Fact(
        name="other_heat_w",
        value=float(match.group(1)) * (1000.0 if kilo else 1.0),
        unit="kW" if kilo else "W",
    )
    return Match(first=at, last=at + taken, facts=(fact,))


_LOADING = (("put", "in"), ("put", "on"), ("load",), ("loaded",), ("added",), ("wood",))


def read_wood(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "4.2kg", "9 lb", "4m", "3M 1L" piece by piece, "half a box", each with or without "load"."""
    for words in _LOADING:
        if tuple(word_at(tokens, at + i) for i in range(len(words))) == words:
            start = at + len(words)
            if inner := _wood(tokens, start, setting):
                return Match(first=at, last=inner.last, facts=inner.facts)
            if words[0] == "load" and (bare := _count(1.0, word_at(tokens, start), setting)):
                return Match(first=at, last=start + 1, facts=(bare,))
            number = found_number(word_at(tokens, start))
            if words[0] == "load" and number is not None and "/" not in word_at(tokens, start):
                fact = Fact(name="wood_mass", value=number)
                return Match(first=at, last=start + 1, facts=(fact,))
            return None
    return _wood(tokens, at, setting)


def _wood(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    word, after = word_at(tokens, at), word_at(tokens, at + 1)
    if match := _MASS.fullmatch(word):
        fact = Fact(name="wood_mass", value=float(match.group(1)), unit=MASS_UNITS[match.group(2)])
        return Match(first=at, last=at + 1, facts=(fact,))
    if (number := found_number(word)) is not None and after in MASS_UNITS:
        fact = Fact(name="wood_mass", value=number, unit=MASS_UNITS[after])
        return Match(first=at, last=at + 2, facts=(fact,))
    if _COMPACT.fullmatch(word):
        counted = [_count(float(n), name, setting) for n, name in _COUNTED.findall(word)]
        if all(counted):
            return Match(first=at, last=at + 1, facts=tuple(fact for fact in counted if fact))
    if (match := _COUNTED.fullmatch(word)) and (
        fact_or_none := _count(float(match.group(1)), match.group(2), setting)
    ):
        return Match(first=at, last=at + 1, facts=(fact_or_none,))
    return _spoken_count(tokens, at, setting)


def _spoken_count(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "4 M", "half a box", "a box", "1/2 box", "2 x L"."""
    word = word_at(tokens, at)
    if word == "armful" and (armful := _count(1.0, word, setting)):
        return Match(first=at, last=at + 1, facts=(armful,))
    amount = {"half": 0.5, "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0}.get(word)
    if amount is None and (number := found_number(word)) is not None and number > 0:
        amount = number
    if amount is None and (parts := fraction_of(word)):
        amount = parts[0] / parts[1]
    skip = 1 if word_at(tokens, at + 1) in {"a", "an", "x"} else 0
    named = word_at(tokens, at + 1 + skip)
    if amount is None or not named or _parted(tokens, at + 1):
        return None
    if (fact := _count(amount, named, setting)) is None:
        return None
    # "3 medium splits": the size says it all.
    sized = named in SIZES and word_at(tokens, at + 2 + skip) in MEASURES
    soft = Soft.BESIDE_UNREAD if fact.name == "unweighed" else Soft.AFTER_UNREAD
    return Match(first=at, last=at + 2 + skip + sized, facts=(fact,), soft=soft)


def _count(amount: float, word: str, setting: Setting) -> Fact | None:
    name = piece_name(word, setting)
    if name is not None:
        return Fact(name="wood_pieces", value=amount, unit=name)
    if word in MEASURES or (word in {"s", "m", "l"} and not setting.pieces_kg):
        return Fact(name="unweighed", value=amount, unit=word.upper() if len(word) == 1 else _singular(word))
    return None


def _singular(word: str) -> str:
    return word.removesuffix("es") if word == "boxes" else word.removesuffix("s")


def read_species(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """A kind of wood; "ash" only straight after an amount, since ash is also what is left of it."""
    word = word_at(tokens, at)
    own = {setting.species.lower()} - {""}
    if word == "of" and word_at(tokens, at + 1) in SPECIES | own:
        return Match(first=at, last=at + 2, facts=(Fact(name="species", value=word_at(tokens, at + 1)),))
    if word in SPECIES | own:
        return Match(first=at, last=at + 1, facts=(Fact(name="species", value=word),))
    return None


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
