"""Rows a logging thermometer wrote: told from a person's, and thinned for the fit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from operator import attrgetter

from logbook.records import Entry, Flag, How, NewEvent

LOGGER_ROWS = 24
"""This many bare readings at an even pace make a logger's table. ASSUMED: nobody writes that down by hand."""
LOGGER_STEP = timedelta(minutes=60)
"""A logger's usual step is at most this. ASSUMED."""
LOGGER_EVEN = 0.6
"""Share of gaps that must equal the commonest one. ASSUMED: a person's gaps are all different."""
FIT_STEP = timedelta(minutes=10)
"""Between a logger's readings as the fit uses them (design): a room changes slowly."""

_BY_LOGGERS = frozenset({"at", "indoor_c", "outdoor_c", "rh_pct", "place", "flags"})
_SAID_BY_PEOPLE = attrgetter(*(field.name for field in fields(Entry) if field.name not in _BY_LOGGERS))
_NOTHING_SAID = _SAID_BY_PEOPLE(Entry(at=datetime.min.replace(tzinfo=UTC)))


def with_loggers(new: Sequence[tuple[int, NewEvent]]) -> tuple[tuple[int, NewEvent], ...]:
    """Mark the readings of a logging thermometer in a table: many bare ones at one even pace."""
    bare = [at for at, (_, item) in enumerate(new) if _is_bare(item.entry)]
    if len(bare) < LOGGER_ROWS:
        return tuple(new)
    gaps = Counter(later - earlier for earlier, later in pairwise(sorted(new[at][1].entry.at for at in bare)))
    step, often = gaps.most_common(1)[0]
    if not timedelta(0) < step <= LOGGER_STEP or often < LOGGER_EVEN * (len(bare) - 1):
        return tuple(new)
    marked = list(new)
    for at in bare:
        line, item = new[at]
        marked[at] = line, _by_logger(item)
    return tuple(marked)


def thinned(entries: Iterable[Entry], *, step: timedelta = FIT_STEP) -> tuple[Entry, ...]:
    """Entries with a logger's readings at most once in each ``step`` and place; a person's all stay."""
    kept: list[Entry] = []
    last: dict[str, datetime] = {}
    for entry in entries:
        if Flag.LOGGER in entry.flags:
            before = last.get(entry.place)
            if before is not None and timedelta(0) <= entry.at - before < step:
                continue
            last[entry.place] = entry.at
        kept.append(entry)
    return tuple(kept)


def _is_bare(entry: Entry) -> bool:
    return bool(_SAID_BY_PEOPLE(entry) == _NOTHING_SAID)


def _by_logger(item: NewEvent) -> NewEvent:
    """A logger's row; its numbers are what was written, so text beside them is kept for other units only."""
    return replace(
        item,
        entry=replace(item.entry, flags=item.entry.flags | {Flag.LOGGER}),
        how=How.LOGGER,
        typed=tuple(part for part in item.typed if part.unit == "°F"),
        line="",
    )
