"""Conflicts of a merge in sentences: which version holds, what the other says, how to choose."""

from __future__ import annotations

from logbook.results.conflicts import Side, ToldConflict
from logbook.setting import Setting
from logbook.wording.amounts import day_text, time_text
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


def side_text(side: Side, *, setting: Setting) -> str:
    """One side: what it says, whether it holds, when and on which computer it was written."""
    at = side.written_at
    when = f"{day_text(at, zone=setting.zone, year=True)} {time_text(at, zone=setting.zone)}"
    if side.entry is None:
        what = "taken back" if side.by_undo else "left out"
    else:
        entry_at = side.entry.at
        day = f"{day_text(entry_at, zone=setting.zone)} {time_text(entry_at, zone=setting.zone)}"
        what = f"{day} {said(side.entry, setting)}" + (" (a change of it taken back)" if side.by_undo else "")
    return f"{'holds: ' if side.holds else ''}{what} [written {when}, computer {side.device[:SHORT]}]"


def count_text(number: int) -> str:
    """How many are not settled, and where to see them."""
    was, is_ = ("1 entry was", "is") if number == 1 else (f"{number} entries were", "are")
    return f"{was} changed on two computers apart from each other and {is_} not settled: nightload conflicts"
