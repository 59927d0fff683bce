"""Between records and the rows of the log file; nothing is lost either way."""

from __future__ import annotations

import math
from dataclasses import fields
from datetime import UTC, datetime
from functools import lru_cache
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from logbook.errors import BadInputError, LogbookError, LogFileError
from logbook.records import Act, Basis, Coals, Entry, Event, Flag, How, Mark, Typed, Wind, Window
from logbook.setting import YEARS

if TYPE_CHECKING:
    from logbook.matters import Matter

Row = tuple[Any, ...]
"""One row as sqlite3 hands it over."""

ENTRY_COLUMNS = tuple(field.name for field in fields(Entry))
"""The columns of the table ``entry`` after its key: one for each field of ``Entry``, in that order."""

_VALUES = attrgetter(*ENTRY_COLUMNS)
_AT, _RESET_AT, _MATTER, _FLAGS = (
    ENTRY_COLUMNS.index(name) for name in ("at", "reset_at", "matter", "flags")
)
_YES_OR_NO = tuple(at for at, field in enumerate(fields(Entry)) if field.type == "bool")
_NUMBERS = tuple(at for at, field in enumerate(fields(Entry)) if str(field.type).startswith("float"))
_WORDS = tuple(
    (ENTRY_COLUMNS.index(name), {word.value: word for word in kind})
    for name, kind in (
        *(("moisture_basis", Basis), ("window", Window), ("coals", Coals)),
        *(("wind", Wind), ("mark", Mark)),
    )
)
_PUT = tuple(getattr(Entry, name).__set__ for name in ENTRY_COLUMNS)
"""Puts each value into its slot of an entry that is being made."""

EVENT_WIDTH = 12
"""How many columns of an event query come before the entry's."""


def time_text(moment: datetime) -> str:
    """An aware time as UTC text of one width, microseconds kept: text order is time order."""
    if moment.tzinfo is None:
        raise ValueError(f"a time without a zone cannot be kept: {moment!r}")
    return moment.astimezone(UTC).isoformat(timespec="microseconds")[:-6] + "Z"


def time_from(text: str) -> datetime:
    """The aware UTC time written by ``time_text``.

    Raises:
        LogFileError: It is none, which this program never writes.
    """
    try:
        return datetime.fromisoformat(text)
    except (ValueError, TypeError) as error:
        raise not_ours(text) from error


def entry_values(entry: Entry) -> Row:
    """The values of ENTRY_COLUMNS for one entry, as SQLite will give them back.

    Raises:
        BadInputError: A value is not a finite number (SQLite would silently drop it).
    """
    values: list[Any] = list(_VALUES(entry))
    values[_AT] = time_text(entry.at)
    values[_FLAGS] = " ".join(sorted(entry.flags))
    if entry.reset_at is not None:
        values[_RESET_AT] = time_text(entry.reset_at)
    if entry.matter is not None:
        from logbook.store.matters_text import matter_text  # noqa: PLC0415 - most rows hold none

        values[_MATTER] = matter_text(entry.matter)
    for at in _YES_OR_NO:
        values[at] = int(bool(values[at]))
    for at in _NUMBERS:
        value = values[at]
        if value is None:
            continue
        # A whole number comes back as a real one, and there is no minus zero: adding 0.0 does both.
        values[at] = value = value + 0.0
        if not math.isfinite(value):
            raise BadInputError(
                f"{ENTRY_COLUMNS[at]} is {value}, which is not a number to keep.\n"
                "Leave it out, or type it again."
            )
    return tuple(values)


def entry_from(row: Row) -> Entry:
    """The entry in a row of ENTRY_COLUMNS.

    Raises:
        LogFileError: It holds what this program never writes: damage, or another hand.
    """
    try:
        return _entry_from(row)
    except (ValueError, TypeError, AttributeError, KeyError) as error:
        raise not_ours(row[_AT]) from error


def written_from(row: Row) -> tuple[datetime, Entry]:
    """When an entry was written, and the entry, from a row of both."""
    return time_from(row[0]), entry_from(row[1:])


def not_ours(value: object, *, what: str = "An entry") -> LogFileError:
    """What to tell of something in the log that this program never writes."""
    return LogFileError(
        f"{what} in the log ({value!s:.40}) holds what can't be read.\n"
        "Look through the log: nightload check. Then bring back a copy: nightload restore lists them."
    )


def unreadable(uuid: str, error: LogbookError) -> LogFileError:
    """What to tell of an entry that can't be read, by its identifier."""
    why, ident = str(error).partition("\n")[0].removesuffix("."), uuid[:8]
    return LogFileError(
        f"{why} (entry {ident}).\n"
        f"To leave it out: nightload remove {ident}. If a newer version of this program wrote it, use that "
        "one; if the file is damaged, bring back a copy: nightload restore lists them."
    )


def _entry_from(row: Row) -> Entry:
    """Past the generated ``__init__``, whose keywords take twice as long: a long log has 100,000 of them."""
    values = list(row)
    values[_AT] = _moment_in(row[_AT])
    if row[_RESET_AT] is not None:
        values[_RESET_AT] = _moment_in(row[_RESET_AT])
    for at, meant in _WORDS:
        if values[at] is not None:
            values[at] = meant[values[at]]
    for at in _NUMBERS:
        number = values[at]
        if number is not None and number - number != 0.0:
            raise ValueError(number)  # infinite: nobody writes it, and no reckoning bears it
    for at in _YES_OR_NO:
        values[at] = values[at] == 1
    if row[_MATTER] is not None:
        values[_MATTER] = _matter(row[_MATTER])
    values[_FLAGS] = _flags(row[_FLAGS])
    entry = object.__new__(Entry)
    for put, value in zip(_PUT, values, strict=True):
        put(entry, value)
    return entry


def _moment_in(text: str) -> datetime:
    """A moment of an entry; in UTC a day of the last year may lie in the next."""
    moment = datetime.fromisoformat(text)
    if not YEARS[0] - 1 <= moment.year <= YEARS[1] + 1:
        raise ValueError(f"no entry is kept from the year {moment.year}")
    return moment


@lru_cache(maxsize=64)
def _flags(text: str) -> frozenset[Flag]:
    return frozenset(map(Flag, text.split())) if text else frozenset()


@lru_cache(maxsize=4096)  # lists are ticked in the same words for years; a matter is never changed
def _matter(text: str) -> Matter:
    from logbook.store.matters_text import matter_from  # noqa: PLC0415 - most rows hold none

    return matter_from(text)


def event_from(row: Row, typed: tuple[Typed, ...], *, even_unreadable: bool = False) -> Event:
    """The event in a row of an event query, with what was typed for it.

    Raises:
        LogFileError: It holds what can't be read. ``even_unreadable``: it comes without its entry.
    """
    said = row[EVENT_WIDTH:]
    try:
        entry = None if said[0] is None else entry_from(said)
    except LogbookError as error:
        if not even_unreadable:
            raise unreadable(row[1], error) from error
        entry = None
    try:
        how, act = How(row[7]), Act(row[11])
    except ValueError as error:
        raise not_ours(row[1]) from error
    return Event(
        uuid=row[1],
        device=row[2],
        counter=row[3],
        at_typed=row[4],
        zone=row[5],
        written_at=time_from(row[6]),
        how=how,
        batch=row[8],
        supersedes=row[9],
        line=row[10],
        act=act,
        entry=entry,
        typed=typed,
    )
