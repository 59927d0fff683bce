"""What was meant for the last days, and what was added since a moment; quick on a long log."""

from __future__ import annotations

from datetime import datetime

from logbook.records import Act, Entry
from logbook.store import queries
from logbook.store.connection import explained
from logbook.store.log import Log
from logbook.store.rows import entry_from
from logbook.store.unreadable import read_all

_OTHER_ACTS = f"SELECT count(*) FROM event WHERE id > ? AND act NOT IN ('{Act.RECORD}', '{Act.SETTING}')"
_ADDED = queries.FEW_ENTRIES_HOLDING + " AND n.event > ?" + queries.BY_PEOPLE + queries.IN_WRITTEN_ORDER


def entries_lately(log: Log, *, since: datetime, logger: bool = True) -> tuple[Entry, ...]:
    """As ``Log.entries`` with ``since``, where that is some days or weeks ago: a thousand rows at most."""
    where, values = queries.between(since, None, logger=logger)
    with explained(log.path):
        rows = log.connection.execute(queries.FEW_ENTRIES_HOLDING + where + queries.IN_WRITTEN_ORDER, values)
        return read_all(log.connection, entry_from, rows)


def newest_act(log: Log) -> tuple[int, str] | None:
    """What was written last, by key and identifier: the same one, and the log holds the same."""
    with explained(log.path):
        key, uuid = log.connection.execute("SELECT max(id), uuid FROM event").fetchone()
    return None if key is None else (key, uuid)


def only_added(log: Log, *, after: int) -> bool:
    """Whether nothing was done but to add since the log was ``after`` acts old (``Log.acts_written``).

    Else what stood before may not stand any more.
    """
    with explained(log.path):
        return not log.connection.execute(_OTHER_ACTS, (after,)).fetchone()[0]


def entries_added(log: Log, *, after: int, since: datetime) -> tuple[Entry, ...] | None:
    """The entries by people added since then and meant for no earlier than a time, in the order written.

    None where more was done than to add.
    """
    if not only_added(log, after=after):
        return None
    with explained(log.path):
        rows = log.connection.execute(_ADDED, (after,))
        return tuple(e for e in read_all(log.connection, entry_from, rows) if e.at >= since)
