"""Loads that stand in a log twice: the same wood at the same time, as of a page typed on two computers."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from typing import NamedTuple

from logbook.store import queries
from logbook.store.connection import explained
from logbook.store.log import Log
from logbook.store.rows import entry_from
from logbook.store.unreadable import read_all

_LOADS = f"{queries.ENTRIES_HOLDING} AND n.load_kg IS NOT NULL{queries.OLDEST_FIRST}"


class Laid(NamedTuple):
    """Wood laid in: when, how much, kg, and counted in what."""

    at: datetime
    kg: float
    pieces: str | None


def loads_twice(log: Log) -> Counter[Laid]:
    """Those that stand more than once, and how many of each are too many."""
    with explained(log.path):
        entries = read_all(log.connection, entry_from, log.connection.execute(_LOADS))
    laid = Counter(Laid(e.at, e.load_kg, e.pieces) for e in entries if e.load_kg)
    return Counter({load: times - 1 for load, times in laid.items() if times > 1})
