"""Rows a logging thermometer wrote: told from a person's, and thinned for the fit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise

from logbook.records import Entry, Flag, How, NewEvent

LOGGER_ROWS = 24
"""This many bare readings at an even pace make a logger's table. ASSUMED: nobody writes that down by hand."""
LOGGER_STEP = timedelta(minutes=60)
"""A logger's usual step is at most this. ASSUMED."""
LOGGER_EVEN = 0.6
"""Share of gaps that must equal the commonest one. ASSUMED: a person's gaps are all different."""
FIT_STEP = timedelta(minutes=10)
"""Between a logger's readings as the fit uses them (design): a room changes slowly."""


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
    rest = replace(entry, indoor_c=None, outdoor_c=None, rh_pct=None, place="", flags=frozenset())
    return rest == Entry(at=entry.at)


def _by_logger(item: NewEvent) -> NewEvent:
    """A logger's row; its numbers are what was written, so text beside them is kept for other units only."""
    return replace(
        item,
        entry=replace(item.entry, flags=item.entry.flags | {Flag.LOGGER}),
        how=How.LOGGER,
        typed=tuple(part for part in item.typed if part.unit == "°F"),
        line="",
    )
