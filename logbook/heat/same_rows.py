"""Rows of a stay that stand in the log twice at the very same times, as when two people have typed one page.

Unlike a copy some hours off (``typed_twice``) nothing is in doubt: each is read once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from operator import attrgetter

from logbook.records import Entry

LEAST_LOADS, LEAST_READINGS = 2, 4
"""So many loads and readings again, each at its own minute with all that its row says. ASSUMED: two equal
loads within a minute are one load after the other, and may well be; beside readings they are a copy."""


def each_once(rows: Sequence[Entry]) -> tuple[list[Entry], int]:
    """The rows of one stay, in order of time, copies at the same time left out; and how many were."""
    once: list[Entry] = []
    again: list[Entry] = []
    for _, group in groupby(rows, key=attrgetter("at")):
        first, *others = group
        seen = {_compared(first)} if others else set()
        once.append(first)
        for row in others:
            bare = _compared(row)
            (again if bare in seen else once).append(row)
            seen.add(bare)  # a set: a log may have 20,000 rows of one minute
    loads = sum(1 for row in again if row.load_kg)
    readings = sum(1 for row in again if row.indoor_c is not None)
    if loads < LEAST_LOADS or readings < LEAST_READINGS:
        return list(rows), 0
    return once, len(again)


def _compared(row: Entry) -> Entry:
    """A row as the heat model sees it: two hands seldom word a note alike."""
    return replace(row, note=None, matter=None, flags=frozenset())
