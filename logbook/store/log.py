"""The log: what was recorded, in the order it was written. Nothing in it is ever changed or deleted.

Editing, removing, undoing and redoing are events of their own, so that two logs merge by union and every
step can be taken back, today or next winter. What holds now is computed: an entry holds unless its batch
was taken back or a later edit or removal of it holds.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self
from uuid import uuid4

from logbook.description import description_to_toml, parse_description
from logbook.errors import BadInputError, DescriptionError, LogbookError, NoDescriptionError
from logbook.records import Act, DatedDescription, Description, Entry, Event, NewEvent, Typed
from logbook.store import queries
from logbook.store.connection import closed_on_failure, connect_or_read, explained, transaction
from logbook.store.digest import seal_device, sealed, unsealed
from logbook.store.gone import closed
from logbook.store.rows import Row, entry_from, event_from, time_from, time_text, written_from
from logbook.store.unreadable import description_from, read_all

if TYPE_CHECKING:
    from logbook.store.pen import Pen


def open_log(
    path: Path | str,
    *,
    create: bool = True,
    now: Callable[[], datetime] = lambda: datetime.now(UTC),
    new_uuid: Callable[[], str] = lambda: str(uuid4()),
    device: str | None = None,
) -> Log:
    """Open the log at ``path``, or begin one there.

    Args:
        path: The file; folders above it are made.
        create: Whether to begin a log when there is none.
        now: The clock; times written come from it.
        new_uuid: Where identifiers come from.
        device: Who writes (``place.this_device()``). Without it, the device that began the log.

    Raises:
        LogFileError: No log there and ``create`` is false, no log of ours, from a newer version, damaged,
            or in use elsewhere for longer than two minutes. One that can't be written is opened for reading.
    """
    path = Path(path)
    with closed_on_failure(connect_or_read(path, create=create)) as connection:
        return Log(connection, path=path, now=now, new_uuid=new_uuid, device=device)


class Log:
    """One open log, for one thread: times in and out are aware; what was written is on the disk on return."""

    def __init__(
        self,
        connection: sqlite3.Connection,
        *,
        path: Path,
        now: Callable[[], datetime],
        new_uuid: Callable[[], str],
        device: str | None,
    ) -> None:
        self.path = path
        self.connection = connection
        self._now = now
        self._new_uuid = new_uuid
        self._parsed: dict[str, Description] = {}
        self.device = device or self._first_device()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file, the log must not be used afterwards; what was in a file that is gone is kept."""
        closed(self.connection, self.path)

    # Writing

    def add(self, new: Sequence[NewEvent], *, learned: Sequence[tuple[str, str]] = ()) -> tuple[Event, ...]:
        """Record entries as one act: one transaction, one fsync, one batch to take back.

        ``learned`` are settings to remember with them, as (name, value).

        Raises:
            BadInputError: A value is not a finite number; nothing was kept.
            LogFileError: Nothing was kept.
        """
        if not new and not learned:
            return ()
        with self.writing() as pen:
            for name, value in learned:
                pen.remember(name, value)
            return tuple(pen.record(item) for item in new)

    def edit(self, event_id: str, new: NewEvent, *, more: Sequence[NewEvent] = ()) -> tuple[Event, ...]:
        """Put another entry in the place of one; the old one stays in the history.

        ``more`` are entries the new line says besides; all are one act.

        Raises:
            BadInputError: No entry that holds has this identifier, or more than one.
        """
        with self.writing() as pen:
            changed = pen.supersede(self.find(event_id), new)
            return (changed, *(pen.record(item) for item in more))

    def correct(
        self, new: Sequence[tuple[str, NewEvent]], *, learned: Sequence[tuple[str, str]] = ()
    ) -> tuple[Event, ...]:
        """Put entries in the place of others, by identifier, and remember settings: one act, as ``add``.

        Raises:
            BadInputError: No entry that holds has one of the identifiers.
        """
        with self.writing() as pen:
            for name, value in learned:
                pen.remember(name, value)
            return tuple(pen.supersede(self.find(event_id), entry) for event_id, entry in new)

    def remove(self, event_id: str) -> Event:
        """Leave an entry out, even one that can't be read; it stays in the history, and is given back.

        Raises:
            BadInputError: No entry that holds has this identifier, or more than one.
        """
        with self.writing() as pen:
            old = self.find(event_id, even_unreadable=True)
            pen.supersede(old, None)
        return old

    def undo(self) -> tuple[Event, ...]:
        """Take back this device's last act that still stands, whole: a line, an edit, an import.

        Returns:
            The events taken back.

        Raises:
            LogbookError: There is none. The first description stays.
        """
        return self._turn(Act.UNDO, queries.LAST_STANDING, queries.NO_UNDO)

    def redo(self) -> tuple[Event, ...]:
        """Bring back what this device took back last, unless it has written something since.

        Returns:
            The events brought back.

        Raises:
            LogbookError: There is nothing to bring back.
        """
        return self._turn(Act.REDO, queries.LAST_TAKEN_BACK, queries.NO_REDO)

    def add_description(
        self, description: Description, valid_from: datetime | None = None, *, source: str = ""
    ) -> DatedDescription:
        """Keep a version of the description, valid from a time on (None: always).

        ``source`` is the owner's own file, kept beside it with its remarks.

        Raises:
            DescriptionError: It would not read back the same, a value being out of its range.
        """
        toml = description_to_toml(description)
        if parse_description(toml, machine_zone="UTC") != description:
            raise DescriptionError("The description would not read back as it is.\nNothing was changed.")
        with self.writing() as pen:
            event = pen.describe(toml, valid_from, source)
        return DatedDescription(uuid=event.uuid, valid_from=valid_from, description=description)

    def set_setting(self, name: str, value: str) -> None:
        """Remember something about this cabin, such as which way the air lever reads."""
        self.add((), learned=((name, value),))

    def keep_here(self, name: str, value: str) -> None:
        """Keep something of this file only, such as a half-typed line: no event, never merged."""
        with transaction(self.connection, self.path) as db:
            db.execute("INSERT OR REPLACE INTO info VALUES (?, ?)", ("kept:" + name, sealed(name, value)))

    # Reading

    def current_entries(
        self, since: datetime | None = None, until: datetime | None = None, *, logger: bool = True
    ) -> tuple[Event, ...]:
        """The entries that hold, as events, in the order written (an edited one keeps its place).

        ``since`` and ``until`` bound the time meant, both included. ``logger`` false: only what people wrote.
        """
        where, values = queries.between(since, until, logger=logger)
        sql = queries.EVENTS_HOLDING + where + queries.IN_WRITTEN_ORDER
        return self._events_of(self._rows(sql, values))

    def entries(
        self, as_of: datetime | None = None, *, since: datetime | None = None, logger: bool = True
    ) -> tuple[Entry, ...]:
        """The entries that hold, in the order written; with ``as_of``, none meant for later than that."""
        where, values = queries.between(since, as_of, logger=logger)
        sql = queries.ENTRIES_HOLDING + where + queries.IN_WRITTEN_ORDER
        return self._entries(sql, values)

    def counted_in(self, word: str) -> tuple[Event, ...]:
        """The entries that hold and may have been counted in a word ("box" finds "2 boxes"), oldest first."""
        sql = queries.EVENTS_HOLDING + queries.COUNTED_IN + queries.OLDEST_FIRST
        return self._events_of(self._rows(sql, [word]))

    def matters(self, as_of: datetime | None = None, *, newest: int | None = None) -> tuple[Entry, ...]:
        """The entries that hold and carry a matter, by the time meant; ``newest``: so many, newest first."""
        where, values = queries.between(None, as_of, logger=True)
        which = queries.WITH_MATTER + where
        if newest is not None:
            sql = queries.FEW_ENTRIES_HOLDING + which + queries.NEWEST_FIRST
            return self._entries(sql, [*values, newest])
        return self._entries(queries.ENTRIES_HOLDING + which + queries.OLDEST_FIRST, values)

    def first_written(self) -> datetime | None:
        """When the earliest of the entries by people that hold was written, whatever time it is meant for."""
        (first,) = self._rows(queries.FIRST_WRITTEN + queries.BY_PEOPLE)[0]
        return time_from(first) if first else None

    def upkeep_written(self, as_of: datetime) -> tuple[tuple[datetime, Entry], ...]:
        """What holds by ``as_of`` and may tell upkeep: when each entry was written, and the entry."""
        where, values = queries.between(None, as_of, logger=False)
        asked = queries.WRITTEN_HOLDING + queries.OF_UPKEEP + where + queries.IN_WRITTEN_ORDER
        return read_all(self.connection, written_from, self._rows(asked, values))

    def latest(self, count: int, *, since: datetime | None = None, logger: bool = False) -> tuple[Event, ...]:
        """The newest entries by the time meant, newest first."""
        where, values = queries.between(since, None, logger=logger)
        sql = queries.FEW_EVENTS_HOLDING + where + queries.NEWEST_FIRST
        return self._events_of(self._rows(sql, [*values, count]))

    def latest_entries(self, count: int) -> tuple[Entry, ...]:
        """The same by people alone, without what was typed: one query, for what is asked at every key."""
        where, values = queries.between(None, None, logger=False)
        sql = queries.FEW_ENTRIES_HOLDING + where + queries.NEWEST_FIRST
        return self._entries(sql, [*values, count])

    def acts_written(self) -> int:
        """A number that grows with whatever is written, taken back or merged in: the log's age in acts."""
        return int(self._rows("SELECT coalesce(max(id), 0) FROM event")[0][0])

    def newest_at(self) -> datetime | None:
        """The latest time meant of any entry that holds; None in an empty log."""
        rows = self._rows(queries.FEW_TIMES_HOLDING + queries.NEWEST_FIRST, [1])
        return time_from(rows[0][0]) if rows else None

    def clock(self) -> datetime:
        """What the clock says that events are stamped by."""
        return self._now()

    def said_now_last(self) -> datetime | None:
        """The latest time meant since this device last wrote a line of the night as of its clock."""
        last = self._rows(queries.NEWEST_SAID_NOW, [self.device])
        return time_from(self._rows(queries.NEWEST_SINCE_WRITING, [last[0][0]])[0][0]) if last else None

    def events(self, since: datetime | None = None) -> tuple[Event, ...]:
        """Everything ever written since a time, edited, undone and undoing events too, in order.

        ``since`` is about the time written. Descriptions and settings come without an entry.
        """
        written = "" if since is None else time_text(since)
        return self._events_of(self._rows(queries.EVERYTHING, [written]))

    def ever_said(self, since: datetime, until: datetime) -> list[Row]:
        """Rows (``rows.ENTRY_COLUMNS``) of all entries meant for a stretch of time, both ends included.

        Entries since edited or removed by hand count, entries undone do not: for telling duplicates.
        """
        return self._rows(queries.EVER_SAID, [time_text(since), time_text(until)])

    def find(self, id_prefix: str, *, even_unreadable: bool = False) -> Event:
        """The entry that holds now under an identifier or its beginning; an older version's will do.

        Raises:
            BadInputError: None, or more than one.
        """
        prefix = id_prefix.strip().lower()
        if not prefix:
            raise BadInputError("No identifier was given.\nList the entries to see theirs: nightload events.")
        chains = self._rows(queries.CHAINS_BY_PREFIX, [prefix, prefix + "\U0010ffff"])
        if len(chains) > 1:
            raise BadInputError(
                f"More than one entry has an identifier that begins with '{prefix}'.\n"
                "Type more of it; nightload events lists them."
            )
        sql = queries.FEW_EVENTS_HOLDING + queries.OF_CHAIN
        found = self._rows(sql, [*chains[0]] * 2) if chains else []
        if not found:
            was = "was taken out of the log" if chains else "is not in the log"
            raise BadInputError(
                f"The entry '{id_prefix}' {was}.\n"
                "nightload events lists what is there; nightload redo brings back what was undone last."
            )
        return self._events_of(found, even_unreadable=even_unreadable)[0]

    def version(self, uuid: str) -> Event:
        """An event by its whole identifier, whether it holds or not."""
        return self._events_of(self._rows(queries.ONE_EVENT, [uuid]))[0]

    def descriptions(self) -> tuple[DatedDescription, ...]:
        """The versions of the description that hold, in order of the time they are valid from."""
        return tuple(
            DatedDescription(
                uuid=uuid,
                valid_from=None if since is None else time_from(since),
                description=self._description(uuid, toml),
            )
            for uuid, since, toml in self._rows(queries.DESCRIPTIONS)
        )

    def description(self, as_of: datetime | None = None) -> Description:
        """The description that holds at a time; the newest without one.

        Raises:
            NoDescriptionError: The log has none that is valid by then.
        """
        for version in reversed(self.descriptions()):
            if as_of is None or version.valid_from is None or version.valid_from <= as_of:
                return version.description
        raise NoDescriptionError(
            f"The log {self.path} has no description of the cabin and stove yet.\n"
            "Give it one: nightload setup FILE.toml; nightload setup --example prints one to start from."
        )

    def setting(self, name: str) -> str | None:
        """What was last remembered under a name, on whatever device."""
        rows = self._rows(queries.SETTING, [name])
        return rows[0][0] if rows else None

    def kept_here(self, name: str) -> str | None:
        """What ``keep_here`` kept in this file."""
        if rows := self._rows("SELECT value FROM info WHERE name = ?", ["kept:" + name]):
            return unsealed(name, rows[0][0])[0]
        rows = self._rows("SELECT value FROM info WHERE name = ?", ["here:" + name])
        return rows[0][0] if rows else None  # so an older version kept it

    # Inside

    def _rows(self, sql: str, values: Sequence[object] = ()) -> list[Row]:
        with explained(self.path):
            return self.connection.execute(sql, values).fetchall()

    def _entries(self, sql: str, values: Sequence[object]) -> tuple[Entry, ...]:
        return read_all(self.connection, entry_from, self._rows(sql, values))

    @contextmanager
    def writing(self) -> Iterator[Pen]:
        """One act of this device, one batch to take back: all of it is on the disk when it ends, or none."""
        from logbook.store.pen import Pen, fitting  # noqa: PLC0415 - after the app's first frame

        with fitting(self.path), transaction(self.connection, self.path) as db:
            yield Pen(db=db, device=self.device, written_at=self._now(), new_uuid=self._new_uuid)

    def _turn(self, act: Act, which: str, nothing: str) -> tuple[Event, ...]:
        with self.writing() as pen:
            found = self._rows(which, [self.device])
            if not found:
                raise LogbookError(nothing)
            batch = found[0][0]
            pen.turn(act, batch)
            return self._events_of(self._rows(queries.OF_BATCH, [batch]))  # what can't be read isn't turned

    def _first_device(self) -> str:
        sql = "SELECT value FROM info WHERE name = 'device'"
        if not self._rows(sql):
            with transaction(self.connection, self.path) as db:
                db.execute("INSERT OR IGNORE INTO info VALUES ('device', ?)", (self._new_uuid(),))
                seal_device(db)
        return str(self._rows(sql)[0][0])

    def _events_of(self, rows: Sequence[Row], *, even_unreadable: bool = False) -> tuple[Event, ...]:
        keys = [row[0] for row in rows]
        # Few: look each up. Many: read the stretch they lie in, quicker than thousands of look-ups.
        if len(keys) <= 100:
            parts = [part for key in keys for part in self._rows(queries.TYPED_OF, [key])]
        else:
            parts = self._rows(queries.TYPED_BETWEEN, [min(keys), max(keys)])
        typed: dict[int, list[Typed]] = {}
        for key, name, text, unit in parts:
            typed.setdefault(key, []).append(Typed(name, text, unit))
        said = ((row, tuple(typed.get(row[0], ()))) for row in rows)
        return tuple(event_from(row, parts, even_unreadable=even_unreadable) for row, parts in said)

    def _description(self, uuid: str, toml: str) -> Description:
        if uuid not in self._parsed:
            self._parsed[uuid] = description_from(toml)
        return self._parsed[uuid]
