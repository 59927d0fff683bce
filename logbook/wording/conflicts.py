"""Conflicts of a merge in sentences: which version holds, what the other says, how to choose."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from logbook.results.conflicts import KeptSide, Side, ToldConflict, ToldSetting
from logbook.setting import Setting
from logbook.wording.amounts import day_text, days_text, how_many, time_text
from logbook.wording.entries import said

NONE_OPEN = "Nothing that two computers changed apart from each other is waiting to be settled."
SHORT = 8
"""How much of an identifier is shown."""


def conflict_rows(conflict: ToldConflict, *, setting: Setting) -> tuple[str, ...]:
    """One entry: its sides, numbered, and the commands that settle it."""
    short = conflict.ident[:SHORT]
    told = (side_text(side, setting=setting) for side in conflict.sides)
    numbered = [f"  {n}  {text}" for n, text in enumerate(told, start=1)]
    return (
        f"{short} was changed on two computers apart from each other:",
        *numbered,
        f"  nightload conflicts {short} 1 leaves it so; with another number that one holds.",
    )


NAMES = {
    "description": "The description of cabin and stove",
    "emergency": "The emergency page",
    "own_words": "Your own measures of wood",
    "air_lever_reads": "Which way the air lever reads",
}
"""Things kept as a whole."""


def setting_rows(told: ToldSetting, *, setting: Setting) -> tuple[str, ...]:
    """One thing kept as a whole: its sides, numbered, and the commands that settle it."""
    short = told.ident[:SHORT]
    kept_list = told.name.removeprefix("list ")
    named = f"The list {kept_list}" if kept_list != told.name else f"What is remembered as '{told.name}'"
    numbered = [
        f"  {n}  {'holds: ' if side.holds else ''}{kept_text(side, setting=setting)}"
        for n, side in enumerate(told.sides, start=1)
    ]
    return (
        f"{short} {NAMES.get(told.name, named)} was changed on two computers apart from each other:",
        *numbered,
        f"  nightload conflicts {short} 1 leaves it so; with another number that one holds.",
    )


def kept_text(side: KeptSide, *, setting: Setting) -> str:
    """One version: from where it parts from the others, when and on which computer it was written."""
    return f"{side.words} [written {_when(side, setting)}, computer {side.device[:SHORT]}]"


def _when(side: Side | KeptSide, setting: Setting) -> str:
    at = side.written_at
    return f"{day_text(at, zone=setting.zone, year=True)} {time_text(at, zone=setting.zone)}"


def side_text(side: Side, *, setting: Setting) -> str:
    """One side: what it says, whether it holds, when and on which computer it was written."""
    when = _when(side, setting)
    if side.entry is None:
        what = "taken back" if side.by_undo else "left out"
    else:
        entry_at = side.entry.at
        day = f"{day_text(entry_at, zone=setting.zone)} {time_text(entry_at, zone=setting.zone)}"
        what = f"{day} {said(side.entry, setting)}" + (" (a change of it taken back)" if side.by_undo else "")
    return f"{'holds: ' if side.holds else ''}{what} [written {when}, computer {side.device[:SHORT]}]"


def typed_twice_text(laid: Sequence[datetime], *, zone: str) -> str:
    """Wood that two logs joined tell of at the same times; ``laid``: when, for each that is too many."""
    one = len(laid) == 1
    return (
        f"{how_many(len(laid), 'load')} of wood {'stands' if one else 'stand'} here twice now, at the same "
        f"{'time' if one else 'times'} ({days_text(laid, zone=zone)}), as where a page was typed on both "
        f"computers. {'It counts' if one else 'They count'} twice as wood burned: nightload events lists the "
        "rows, nightload remove ID takes one away."
    )


def count_text(number: int) -> str:
    """How many are not settled, and where to see them."""
    was, is_ = ("1 thing was", "is") if number == 1 else (f"{number} things were", "are")
    return f"{was} changed on two computers apart from each other and {is_} not settled: nightload conflicts"
