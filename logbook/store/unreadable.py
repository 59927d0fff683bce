"""Entries and descriptions that can't be read: spoilt by another hand, damaged, or of a newer version's kind.

One of them stops every question that reads it, so it is named, with the way to leave it out.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import TypeVar

from logbook.description import parse_description
from logbook.errors import LogbookError
from logbook.records import Description
from logbook.store import queries
from logbook.store.rows import EVENT_WIDTH, Row, entry_from, not_ours, unreadable

Read = TypeVar("Read")


def description_from(toml: object) -> Description:
    """The description that a version's text holds.

    Raises:
        LogFileError: It is no text: damage, or another hand.
        DescriptionError: It can't be read as a description.
    """
    if not isinstance(toml, str):
        raise not_ours(toml, what="A description")
    return parse_description(toml, machine_zone="UTC")


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
