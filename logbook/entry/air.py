"""The air lever and the flue damper: "air 1/4 closed", "60%", "quarter", "all open", "damper half"."""

from __future__ import annotations

import re

from logbook.entry.facts import (
    Fact,
    Match,
    Soft,
    Tokens,
    found_number,
    fraction_of,
    pair_at,
    percent_at,
)
from logbook.entry.phrases import is_spoken_clock
from logbook.entry.tokens import word_at
from logbook.setting import Setting

_PARTS = {"half": 50.0, "quarter": 25.0, "third": 100.0 / 3.0}
_SEVERAL = {("three", "quarters"): 75.0, ("two", "thirds"): 200.0 / 3.0}
_ENDS = {
    ("all", "open"): 100.0,
    ("wide", "open"): 100.0,
    ("full", "open"): 100.0,
    ("fully", "open"): 100.0,
    ("all", "closed"): 0.0,
    ("all", "shut"): 0.0,
    ("fully", "closed"): 0.0,
}
_AIR_IT_IS = frozenset({"lever", "to", "down", "turned", "knob", "handle", "slide", "set", "now"})
"""Unread words before a fraction after which it is the air; "propane 1/2" is not."""

_WAYS = {"open": "open", "opened": "open", "closed": "closed", "shut": "closed"}
_BESIDE = re.compile(r"\([^()]*\b(?:closed|open)\)")

Amount = tuple[float, str, int]
"""Per cent as said, which way it was said ("open", "closed" or ""), tokens taken."""


def read_air(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "air ..." and "damper ...", whatever position follows."""
    words = (word_at(tokens, at), word_at(tokens, at + 1))
    if (down := _turned_down(tokens, at)) is not None:
        return down
    if words[0] == "air":
        name, start = "air", at + 1
    elif words == ("flue", "damper"):
        name, start = "damper", at + 2
    elif words[0] in {"damper", "flue"}:
        name, start = "damper", at + 1
    else:
        return None
    if word_at(tokens, start) in {"to", "at", "is", "down", "now"}:
        start += 2 if word_at(tokens, start + 1) == "to" else 1
    found = _amount(tokens, start, named=True)
    return None if found is None else _match(name, at, start, found, tokens)


_TURNING = (
    ("turned", "down", "to"),
    ("turned", "to"),
    ("down", "to"),
    ("up", "to"),
    ("opened", "to"),
    ("at",),
)


def _turned_down(tokens: Tokens, at: int) -> Match | None:
    """Reads "turned down to 1/4", "at 50%"."""
    for words in _TURNING:
        if tuple(word_at(tokens, at + i) for i in range(len(words))) != words:
            continue
        start = at + len(words)
        if fraction_of(word_at(tokens, start)) or _amount(tokens, start, named=False):
            found = _amount(tokens, start, named=True)
            return None if found is None else _match("air", at, start, found, tokens)
    return None


def of_level(tokens: Tokens, at: int) -> bool:
    """Whether what stands here is how much there is of something: "level 2/3 petrol" set the air to 2/3."""
    return any(token.word == "level" for token in tokens[:at])


def read_bare_air(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """A position without the word air: "60%", "quarter", "1/4 closed", "all open", "full"."""
    if of_level(tokens, at):
        return None
    found = _amount(tokens, at, named=False)
    if found is None:
        return None
    spoken = word_at(tokens, at)[:1].isalpha()
    match = _match("air", at, at, found, tokens)
    return Match(
        first=match.first,
        last=match.last,
        facts=match.facts,
        soft=Soft.BESIDE_UNREAD if spoken else Soft.AFTER_UNREAD,
    )


def read_pair(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "-12/18", or a fraction: which of the two is told once the whole line is known."""
    if of_level(tokens, at):
        return None
    found = pair_at(tokens, at)
    if found is None:
        return None
    first, first_unit, second, second_unit = found
    fact = Fact(
        name="pair", value=(first, second), unit=first_unit or second_unit, extra=second_unit or first_unit
    )
    amid = fraction_of(word_at(tokens, at)) and word_at(tokens, at - 1) not in _AIR_IT_IS
    soft = Soft.AFTER_UNREAD if amid else Soft.NEVER  # "read 1/2 of a book", "propane 1/2"
    return Match(first=at, last=at + 1, facts=(fact,), soft=soft)


def _match(name: str, first: int, start: int, found: Amount, tokens: Tokens) -> Match:
    value, way, taken = found
    last = start + taken
    if _BESIDE.fullmatch(word_at(tokens, last)):
        last += 1
    return Match(first=first, last=last, facts=(Fact(name=name, value=value, extra=way),))


def _amount(tokens: Tokens, at: int, *, named: bool) -> Amount | None:
    if is_spoken_clock(tokens, at):
        return None  # "we ate at half past seven" set the air to half
    word, after = word_at(tokens, at), word_at(tokens, at + 1)
    if (word, after) in _ENDS:
        return _ENDS[word, after], "open", 2
    if word == "full":
        return 100.0, "open", 1
    if named and word in _WAYS:
        return (100.0 if _WAYS[word] == "open" else 0.0), "open", 1
    found = _number(tokens, at, named=named)
    if found is None:
        return None
    value, taken = found
    way = _WAYS.get(word_at(tokens, at + taken), "")
    taken += bool(way)
    # "1/4 air", unless the air has its own position after it: "-12/18 2/3 air 1/4".
    named_after = (
        not named and word_at(tokens, at + taken) == "air" and not _amount(tokens, at + taken + 1, named=True)
    )
    is_fraction = fraction_of(word) is not None
    if is_fraction and not way and not named and not named_after:
        return None
    return value, way, taken + named_after


def _number(tokens: Tokens, at: int, *, named: bool) -> tuple[float, int] | None:
    word = word_at(tokens, at)
    skip = 1 if word in {"a", "one"} and word_at(tokens, at + 1) in _PARTS else 0
    if (part := _PARTS.get(word_at(tokens, at + skip))) is not None:
        return part, 1 + skip
    if (several := _SEVERAL.get((word, word_at(tokens, at + 1)))) is not None:
        return several, 2
    if parts := fraction_of(word):
        return 100.0 * parts[0] / parts[1], 1
    if found := percent_at(tokens, at, sign_needed=True):
        return found
    number = found_number(word)
    if not named or number is None:
        return None
    # "air .25" is a part of the way, "air 25" a percentage.
    return (number * 100.0 if abs(number) <= 1.0 else number), 1
