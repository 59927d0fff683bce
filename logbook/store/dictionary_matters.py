"""What the keys of each kind of matter mean, for the dictionary of an export."""

from __future__ import annotations

from collections.abc import Mapping

from logbook.matters import AshAct, Sight, Sky
from logbook.records import Basis
from logbook.store.dictionary import Meaning


def _text(name: str, meaning: str, *words: str, always: bool = False) -> Meaning:
    return Meaning(name, "text", meaning, words=words, always=always)


def _number(name: str, meaning: str, unit: str = "", *, always: bool = False) -> Meaning:
    return Meaning(name, "number", meaning, unit, always=always)


_STACK = _text("name", "name of the stack", always=True)
_AMOUNTS = (
    _number("volume_m3", "volume as stacked", "m³"),
    _number("mass_kg", "mass", "kg"),
    _text("as_said", "the amount as written"),
)
_SUPPLY = (
    _text("item", "the supply", always=True),
    _number("amount", "how much", "as in unit", always=True),
    _text("unit", "unit as written; empty: pieces"),
)

MATTERS: Mapping[str, tuple[Meaning, ...]] = {
    "ash": (
        _text("act", "what was done with ash", *AshAct, always=True),
        _text("where", "where the bucket stands, or where it was tipped"),
    ),
    "upkeep": (
        _text("task", "the task, by its name in the list", always=True),
        _text("finding", "what was found"),
        _number("deposit_mm", "soot found before it was swept", "mm"),
        Meaning("until", "day", "date printed on the thing, such as replace by"),
        Meaning("photos", "list", "paths of photos as given"),
        _text("by", "who did it"),
        Meaning("only_looked", "yes or no", "looked at and left as it was"),
    ),
    "upkeep rule": (
        _text("task", "the task", always=True),
        _number("every_days", "due again after so many days", "d"),
        _number("every_kg", "due again after so much wood burned", "kg"),
        _number("every_burn_days", "due again after so many days with a fire", "d"),
        _text("source", "who says so"),
    ),
    "stack": (
        _STACK,
        _text("species", "kind of wood"),
        *_AMOUNTS,
        Meaning("loose", "yes or no", "thrown in, not stacked"),
        Meaning("split_on", "day", "when it was split"),
        _text("where", "where it stands"),
        _number("money", "what it cost", "the owner's own"),
        _number("hours", "hours of work in it", "h"),
    ),
    "stack count": (_STACK, *_AMOUNTS),
    "stack moisture": (
        _STACK,
        Meaning("readings_pct", "list", "readings of the moisture meter", "%", always=True),
        _text("basis", "what they are a share of: wet wood or its dry part", *Basis, always=True),
        Meaning("fresh_face", "yes or no", "measured on a face split just then"),
    ),
    "level": _SUPPLY,
    "brought": _SUPPLY,
    "bring": (
        _SUPPLY[0],
        _number("amount", "how much", "as in unit"),
        _SUPPLY[2],
        Meaning("got", "yes or no", "it is there and off the list"),
    ),
    "tick": (
        _text("list_name", "the list", always=True),
        _text("line", "text of its line", always=True),
        Meaning("done", "yes or no", "left out: yes; false: skipped until next time"),
    ),
    "stay": (
        Meaning("people", "list", "who was there, names or initials as written"),
        Meaning("count", "whole number", "how many, where nobody is named"),
        _text("purpose", "what for"),
        _text("guest_book", "a line for the guest book"),
    ),
    "improvement": (
        _text("name", "name of the dated change", always=True),
        _number("money", "what it cost", "the owner's own"),
        _number("hours", "hours of work", "h"),
        _text("surface", "the surface it was done to"),
        _text("what", "what was done"),
    ),
    "seen": (
        _text("sight", "what was seen", *Sight, always=True),
        _text("place", "where"),
    ),
    "weather": (
        Meaning("day", "day", "the day", always=True),
        _number("low_c", "lowest temperature outside", "°C", always=True),
        _number("high_c", "highest temperature outside", "°C", always=True),
        _text("wind", "wind in the owner's words"),
        _text("sky", "the sky", *Sky),
        Meaning("seen", "yes or no", "as it was, not as forecast"),
    ),
}
"""The keys of each kind, besides ``kind`` itself; under the names in ``matters.KINDS``."""
