"""Rows a logging thermometer wrote: told from a person's, and thinned for the fit."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta
from functools import cached_property
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

BY_LOGGER = frozenset({frozenset({Flag.LOGGER}), frozenset({Flag.LOGGER, Flag.ODD_VALUE})})
"""Flags of what a logging thermometer wrote and nobody wrote into, as ``queries.BY_PEOPLE`` has it."""

_BEGIN, _TICK = datetime(1970, 1, 1, tzinfo=UTC), timedelta(microseconds=1)

_BY_LOGGERS = frozenset({"at", "indoor_c", "outdoor_c", "rh_pct", "place", "flags"})
_SAID_BY_PEOPLE = attrgetter(*(field.name for field in fields(Entry) if field.name not in _BY_LOGGERS))
_NOTHING_SAID = _SAID_BY_PEOPLE(Entry(at=datetime.min.replace(tzinfo=UTC)))


class Pace:
    """Told every row of a table, says whether a logging thermometer wrote its bare readings."""

    def __init__(self) -> None:
        self._times = array("q")  # a million of them take 8 MB

    def see(self, entry: Entry) -> None:
        """The next row."""
        if _is_bare(entry):
            self._times.append((entry.at - _BEGIN) // _TICK)

    @cached_property
    def is_loggers(self) -> bool:
        """Whether there are many bare readings at one even pace; asked after the last row."""
        if len(self._times) < LOGGER_ROWS:
            return False
        gaps = Counter(later - earlier for earlier, later in pairwise(sorted(self._times)))
        step, often = gaps.most_common(1)[0]
        return 0 < step <= LOGGER_STEP // _TICK and often >= LOGGER_EVEN * (len(self._times) - 1)

    def marked(self, item: NewEvent) -> NewEvent:
        """The row, marked as a logger's if it is one."""
        return _by_logger(item) if self.is_loggers and _is_bare(item.entry) else item


def with_loggers(new: Sequence[tuple[int, NewEvent]]) -> tuple[tuple[int, NewEvent], ...]:
    """Mark the readings of a logging thermometer in a table: many bare ones at one even pace."""
    pace = Pace()
    for _, item in new:
        pace.see(item.entry)
    return tuple((line, pace.marked(item)) for line, item in new)


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
