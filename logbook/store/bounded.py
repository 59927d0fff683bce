"""The entries of a log whose logging thermometer has written for years: all by people, the logger's newest.

A logger of ten-minute steps writes 52,000 rows a year. What is learned rests on the last stays, so years of
them would only make every answer slower; the log keeps them all, and an export has them.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from logbook.records import Entry
from logbook.store import queries
from logbook.store.connection import explained
from logbook.store.log import Log
from logbook.store.rows import Row, entry_from, time_text
from logbook.store.unreadable import read_all

LOGGER_ROWS = 20_000
"""So many of a logger's newest rows are always looked at. ASSUMED: a winter of ten-minute steps."""

LOGGER_ROWS_LONG = 200_000
"""The same where nights of other years are looked back on. ASSUMED: four years of ten-minute steps."""

LOGGED_DAYS = 80
"""And never fewer than so many of the days a logger wrote on, however short its step: five stays are learned
from, and a stretch of a logger's alone counts as one of at most 14 days."""

_BY_LOGGER = "flags IN ('logger', 'logger odd_value')"

_COUNT = (
    "SELECT (SELECT count(*) FROM entry) -"
    " (SELECT count(*) FROM entry INDEXED BY entry_at_by_people WHERE flags <> 'logger')"
)
_NTH_NEWEST = (
    f"SELECT at FROM entry INDEXED BY entry_at WHERE at <= ? AND {_BY_LOGGER}"
    " ORDER BY at DESC LIMIT 1 OFFSET ?"
)
_BEFORE = f"SELECT at FROM entry INDEXED BY entry_at WHERE at < ? AND {_BY_LOGGER} ORDER BY at DESC LIMIT 1"

_BOUNDED = (
    f"{queries.ENTRIES_HOLDING} AND n.event IN ("
    "SELECT event FROM entry INDEXED BY entry_at_by_people"
    f" WHERE flags <> 'logger' AND NOT {_BY_LOGGER} AND at <= ?"
    " UNION ALL SELECT event FROM entry INDEXED BY entry_at WHERE at BETWEEN ? AND ?)"
    f"{queries.IN_WRITTEN_ORDER}"
)


def entries_bounded(log: Log, as_of: datetime, *, logger_rows: int = LOGGER_ROWS) -> tuple[Entry, ...]:
    """The entries that hold and are meant for no later than a time, in the order written.

    All there are, unless a logger wrote more than ``logger_rows``: then its own from the first of the month
    on in which the newest so many begin. A whole month, so that it stays the same from day to day.
    """
    since = loggers_since(log, as_of, logger_rows=logger_rows)
    if since is None:
        return log.entries(as_of)
    rows = _asked(log, _BOUNDED, (time_text(as_of), since, time_text(as_of)))
    return read_all(log.connection, entry_from, rows)


def loggers_since(log: Log, as_of: datetime, *, logger_rows: int) -> str | None:
    """From when on a logger's rows are looked at, as the log writes times; None: all of them."""
    if _asked(log, _COUNT)[0][0] <= logger_rows:
        return None
    nth = _asked(log, _NTH_NEWEST, (time_text(as_of), logger_rows))
    if not nth:
        return None
    oldest, day = nth[0][0], time_text(as_of)
    for _ in range(LOGGED_DAYS):
        before = _asked(log, _BEFORE, (day,))
        if not before:
            return None
        day = before[0][0][:10]
    return f"{min(oldest, day)[:7]}-01T00:00:00.000000Z"


def _asked(log: Log, sql: str, values: Sequence[object] = ()) -> list[Row]:
    with explained(log.path):
        return log.connection.execute(sql, values).fetchall()
