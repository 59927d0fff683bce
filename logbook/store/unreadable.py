"""Entries that can't be read: spoilt by another hand, damaged, or of a newer version's kind.

One of them stops every question that reads it, so it is named, with the way to leave it out.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import TypeVar

from logbook.errors import LogbookError
from logbook.store import queries
from logbook.store.rows import EVENT_WIDTH, Row, entry_from, unreadable

Read = TypeVar("Read")


def read_all(db: sqlite3.Connection, by: Callable[[Row], Read], rows: Iterable[Row]) -> tuple[Read, ...]:
    """What rows of entries say; they need not tell whose they are.

    Raises:
        LogFileError: One of them can't be read; it is looked for and named.
    """
    try:
        return tuple(map(by, rows))
    except LogbookError as error:
        raise _named(db, error) from error


def _named(db: sqlite3.Connection, error: LogbookError) -> LogbookError:
    """The same of the first entry that holds and can't be read."""
    with suppress(sqlite3.DatabaseError):  # more is wrong than this entry: that is told when it is asked for
        for row in db.execute(queries.EVENTS_HOLDING + queries.OLDEST_FIRST):
            try:
                entry_from(row[EVENT_WIDTH:])
            except LogbookError as found:
                return unreadable(row[1], found)
    return error
