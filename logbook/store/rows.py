"""Between records and the rows of the log file; nothing is lost either way."""

from __future__ import annotations

import math
from dataclasses import fields
from datetime import UTC, datetime
from functools import lru_cache
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from logbook.errors import BadInputError, LogFileError
from logbook.records import Act, Basis, Coals, Entry, Event, Flag, How, Mark, Typed, Wind, Window

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
_NUMBERS = tuple(at for at, field in enumerate(fields(Entry)) if field.type == "float | None")
_YES_OR_NO = tuple(at for at, field in enumerate(fields(Entry)) if field.type == "bool")

_EVENT_WIDTH = 12
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
        raise _not_ours(text) from error


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
    except (ValueError, TypeError, AttributeError) as error:
        raise _not_ours(row[_AT]) from error


def _not_ours(what: object) -> LogFileError:
    return LogFileError(
        f"An entry in the log ({what!s:.40}) holds what can't be read.\n"
        "Look through the log: nightload check. Then bring back a copy: nightload restore FILE."
    )


def _entry_from(row: Row) -> Entry:
    return Entry(
        at=datetime.fromisoformat(row[0]),
        indoor_c=row[1],
        place=row[2],
        outdoor_c=row[3],
        low_c=row[4],
        high_c=row[5],
        reset_at=None if row[6] is None else datetime.fromisoformat(row[6]),
        load_kg=row[7],
        pieces=row[8],
        species=row[9],
        moisture_pct=row[10],
        moisture_basis=None if row[11] is None else Basis(row[11]),
        kindling=row[12] == 1,
        air_open_pct=row[13],
        flue_damper_open_pct=row[14],
        window=None if row[15] is None else Window(row[15]),
        coals=None if row[16] is None else Coals(row[16]),
        other_heat_w=row[17],
        rh_pct=row[18],
        wind=None if row[19] is None else Wind(row[19]),
        forecast_low_c=row[20],
        mark=None if row[21] is None else Mark(row[21]),
        fire_out=row[22] == 1,
        alarms_tested=row[23] == 1,
        change=row[24],
        note=row[25],
        matter=None if row[26] is None else _matter(row[26]),
        flags=frozenset(Flag(word) for word in row[27].split()) if row[27] else frozenset(),
    )


@lru_cache(maxsize=4096)  # lists are ticked in the same words for years; a matter is never changed
def _matter(text: str) -> Matter:
    from logbook.store.matters_text import matter_from  # noqa: PLC0415 - most rows hold none

    return matter_from(text)


def event_from(row: Row, typed: tuple[Typed, ...]) -> Event:
    """The event in a row of an event query, with what was typed for it."""
    said = row[_EVENT_WIDTH:]
    try:
        how, act = How(row[7]), Act(row[11])
    except ValueError as error:
        raise _not_ours(row[1]) from error
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
        entry=None if said[0] is None else entry_from(said),
        typed=typed,
    )
