"""Things seen that call for something: droppings, sweating, frost, mould, a leak, splash, a nest; or gone."""

from __future__ import annotations

import re

from logbook.entry.matters.line import MatterLine, MatterSaid, has_number
from logbook.entry.words import LABELS, PLACES
from logbook.matters import Seen, Sight

SIGHTS = {
    "droppings": Sight.DROPPINGS,
    "dropping": Sight.DROPPINGS,
    "sweating": Sight.SWEATING,
    "condensation": Sight.SWEATING,
    "frost": Sight.FROST,
    "mould": Sight.MOULD,
    "mold": Sight.MOULD,
    "leak": Sight.LEAK,
    "splash": Sight.SPLASH,
    "nest": Sight.NEST,
}
"""Words that begin such a line."""

_GONE = frozenset({"gone", "fixed", "mended", "repaired", "cleared"})
_OTHER = (
    "of like box tonight tomorrow forecast expected warning coming due maybe possible soon bite line free no "
    "not is was will would egg"
)
_NOT_SEEN = frozenset(_OTHER.split())
"""Words right after that make it something else: "splash of oil", "frost tonight", "nest box"."""

_WET = frozenset({"sweating", "condensation", "frost", "mould", "mold"})
_PLACE_NUMBER = re.compile(r"[1-9]", re.ASCII)

_BEFORE_PLACE = frozenset({"in", "on", "at", "from", "the", "seen"})


def read_sight(line: MatterLine) -> MatterSaid | None:
    """Reads "droppings in the drawer", "mouse droppings shelf", "nest in cap", "leak at flashing gone"."""
    first = 1 if line.word(0) == "mouse" else 0
    sight = SIGHTS.get(line.word(first))
    at = first + 1
    apart = next((i for i in range(at, line.count) if line.parted(i) and _tells_number(line, i)), line.count)
    if sight is None or has_number(line.without(apart - _numbered_place(line, at, apart))):
        return None
    line, note = line.without(apart), line.said(apart)
    if line.word(at) in _NOT_SEEN and not line.parted(at):
        return None
    last = line.word(line.count - 1).strip(".!")
    if last in _GONE:
        place = _of(sight, line.said(0, line.count - 1), first_word=line.word(first))
        return MatterSaid(matter=Seen(sight=Sight.GONE, place=place), note=note)
    if line.word(at) in _GONE:
        place = f"{_of(sight, line.said(0, at), first_word=line.word(first))} {_place(line, at + 1)}".strip()
        return MatterSaid(matter=Seen(sight=Sight.GONE, place=place), note=note)
    return MatterSaid(matter=Seen(sight=sight, place=_place(line, at)), note=note)


def _tells_number(line: MatterLine, at: int) -> bool:
    """Whether a number is told from here on that is not of a place."""
    return has_number(line.without(line.count - _numbered_place(line, at, line.count)), at)


def _numbered_place(line: MatterLine, at: int, end: int) -> int:
    """The words from a place's number on: "droppings in drawer 3" was 3 °C in the drawer, no droppings.

    Not where a thermometer may hang and what is seen is wet or cold: "sweating loft 9".
    """
    gone = line.word(end - 1).strip(".!") in _GONE
    end -= gone
    if end - at < 2 or not _PLACE_NUMBER.fullmatch(line.word(end - 1).rstrip(".!")):
        return 0
    before = line.word(end - 2)
    rooms = PLACES | {name.casefold() for name in line.setting.places} if line.word(at - 1) in _WET else ()
    numbered = before.isalpha() and not line.parted(end - 1) and before not in LABELS and before not in rooms
    return numbered * (1 + gone)


def read_traps(line: MatterLine) -> MatterSaid | None:
    """Reads "traps gone", "mouse traps gone": they stood there before."""
    at = 2 if line.word(0) == "mouse" else 1
    if line.word(at - 1) not in {"traps", "trap"} or line.word(at) not in {"gone"}:
        return None
    return MatterSaid(matter=Seen(sight=Sight.GONE, place=line.said(0, at)), note=line.said(at + 1))


def _of(sight: Sight, said: str, *, first_word: str) -> str:
    """What is gone with the name it was seen under: "condensation at north" was kept as sweating."""
    if first_word == sight:
        return said
    return re.sub(rf"\b{re.escape(first_word)}\b", str(sight), said, count=1, flags=re.IGNORECASE)


def _place(line: MatterLine, at: int) -> str:
    while line.word(at) in _BEFORE_PLACE and at + 1 < line.count:
        at += 1
    return line.said(at).rstrip(" .!")
