"""Copies made without asking: before a merge or a large import, and on leaving.

A failed one never stops what was wanted.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from logbook.errors import LogbookError
from logbook.matters import Tick, folded
from logbook.records import Entry, Event, Mark
from logbook.results.copies import MadeCopy
from logbook.results.lists import ListName
from logbook.store.dated_copies import copy_by_itself, dated_copies
from logbook.store.log import Log

LEFT_BY = frozenset({ListName.LEAVING, ListName.AUTUMN})
"""Lists whose last line done is leaving."""


def copy_now(log: Log, folder: Path, *, now: datetime) -> MadeCopy:
    """Make a copy if anything is new; what goes wrong is told, never raised."""
    try:
        return MadeCopy(path=copy_by_itself(log, folder, now=now))
    except LogbookError as error:
        why = " ".join(str(error).split())
        return MadeCopy(trouble=f"No copy of the log could be made by itself: {why}")


def copy_before(log: Log, folder: Path, *, now: datetime) -> MadeCopy:
    """Where the log as it is now is kept before much comes in: a new copy, or the newest one that has it all.

    An empty log needs none.
    """
    if not log.acts_written():
        return MadeCopy()
    made = copy_now(log, folder, now=now)
    if made.path is not None or made.trouble:
        return made
    return MadeCopy(path=dated_copies(log.path, folder)[-1].path)


def says_left(entries: Iterable[Entry | None]) -> bool:
    """Whether somebody left by these entries."""
    return any(entry is not None and entry.mark is Mark.LEFT for entry in entries)


def ticks_leaving(events: Iterable[Event]) -> bool:
    """Whether these events tick a line of a list by which one leaves."""
    told = [event.entry.matter for event in events if event.entry is not None]
    names = {folded(str(name)) for name in LEFT_BY}
    return any(isinstance(matter, Tick) and folded(matter.list_name) in names for matter in told)


def leaves(log: Log, event_ids: Iterable[str], *, now: datetime) -> bool:
    """Whether what was just written is leaving: "left", or the last line of the leaving list."""
    events = [log.version(uuid) for uuid in event_ids if uuid]
    if says_left(event.entry for event in events):
        return True
    if not ticks_leaving(events):
        return False
    from logbook.actions.lists import list_now  # noqa: PLC0415 - only a tick of that list pays for it

    return any(not list_now(log, name, now=now).open_lines for name in _ticked(events))


def _ticked(events: Iterable[Event]) -> set[str]:
    told = [event.entry.matter for event in events if event.entry is not None]
    return {matter.list_name for matter in told if isinstance(matter, Tick)}


def last_copy(log: Log, folder: Path) -> datetime | None:
    """When the newest dated copy in the folder of the copies was made, by its name; None without one."""
    found = dated_copies(log.path, folder)
    return found[-1].at if found else None
