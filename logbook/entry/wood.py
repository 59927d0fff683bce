"""Wood: weighed, counted in the owner's pieces, or in a measure of the owner's own."""

from __future__ import annotations

import re

from logbook.entry.facts import (
    MASS_UNITS,
    MEASURES,
    Fact,
    Match,
    Soft,
    Tokens,
    found_number,
    fraction_of,
    parted,
    piece_name,
    temperature_at,
)
from logbook.entry.tokens import NUMBER, word_at
from logbook.entry.words import SIZES, SPECIES
from logbook.setting import Setting

_MASS = re.compile(rf"({NUMBER})(kgs?|kilos?|lbs?|pounds?)", re.ASCII)
_COUNTED = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)(?:x(?=[a-z]))?([a-z]+)", re.ASCII)
_COMPACT = re.compile(r"(?:\d{1,2}(?:\.\d{1,2})?[a-z]+\+?(?=\d|$)){2,}", re.ASCII)
_AND = frozenset({"+", "&", "and", "plus"})

LAYING = frozenset({"put", "laid", "threw", "throw", "fed", "gave", "tossed"})
"""Words that say that wood was laid in, what follows being an amount; "put in 3" is no 3 °C inside."""

_BETWEEN = frozenset({"in", "on", "it", "another", "more"})
"""Words between one of them and the amount."""

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
    if laid := _laid(tokens, at, setting):
        return laid
    if at and word_at(tokens, at) in _AND and (more := _wood(tokens, at + 1, setting)):
        # Of "3 M + 1 L" the 1 L was lost.
        return Match(first=at, last=_closed(tokens, more.last), facts=more.facts, soft=more.soft)
    return _wood(tokens, at, setting)


def _laid(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "put 3 medium on", "threw another 2 L in", which were kept as notes; not "will put 3 M on"."""
    if word_at(tokens, at) not in LAYING:
        return None
    start = at + 1
    while word_at(tokens, start) in _BETWEEN and start < at + 3:
        start += 1
    wood = _wood(tokens, start, setting)
    if wood is None:
        return None
    return Match(first=at, last=_closed(tokens, wood.last), facts=wood.facts, soft=Soft.AFTER_UNREAD)


def _closed(tokens: Tokens, last: int) -> int:
    """Past the "on" or "in" of an amount put on; not the one of "in 18" or "in loft 24"."""
    label = any(temperature_at(tokens, last + n) is not None for n in (1, 2))
    return last + (word_at(tokens, last) in {"on", "in"} and not label)


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
    more = word_at(tokens, at + 1) == "more"
    skip = 1 if more or word_at(tokens, at + 1) in {"a", "an", "x"} else 0
    named = word_at(tokens, at + 1 + skip)
    if amount is None or not named or parted(tokens, at + 1):
        return None
    if (fact := _count(amount, named, setting)) is None or (more and fact.name == "unweighed"):
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
