"""The log: what was recorded, in the order it was written. Nothing in it is ever changed or deleted.

Editing, removing, undoing and redoing are events of their own, so that two logs merge by union and every
step can be taken back, today or next winter. What holds now is computed: an entry holds unless its batch
was taken back or a later edit or removal of it holds.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Self
from uuid import uuid4

from logbook.description import description_to_toml, parse_description
from logbook.errors import BadInputError, LogbookError, NoDescriptionError
from logbook.records import Act, DatedDescription, Description, Entry, Event, How, NewEvent, Typed
from logbook.store.connection import connect, explained, transaction
from logbook.store.rows import (
    ENTRY_INSERT,
    ENTRY_SELECT,
    EVENT_SELECT,
    Row,
    entry_from,
    entry_values,
    event_from,
    time_from,
    time_text,
)

_HOLDS = """
    JOIN event AS r ON r.uuid = coalesce(e.root, e.uuid)
    JOIN device AS o ON o.id = r.device
    JOIN device AS w ON w.id = e.device
    JOIN entry AS n ON n.event = e.id
    WHERE e.batch NOT IN (SELECT batch FROM undone)
      AND r.batch NOT IN (SELECT batch FROM undone)
      AND NOT EXISTS (
        SELECT 1 FROM event AS later JOIN device AS l ON l.id = later.device
        WHERE later.root = r.uuid AND later.batch NOT IN (SELECT batch FROM undone)
          AND (later.counter, l.uuid, later.uuid) > (e.counter, w.uuid, e.uuid))
"""
"""Goes on after EVENT_SELECT or ENTRY_SELECT: the entries that hold now; ``r`` is the first of a chain of
edits, whose place in the order an edited entry keeps."""

_WRITTEN_ORDER = " ORDER BY r.counter, o.uuid, r.uuid"
_BY_PEOPLE = " AND n.flags <> 'logger'"
_UNDOABLE = "('record', 'edit', 'remove', 'describe')"


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
            or in use elsewhere for longer than 3 s.
    """
    path = Path(path)
    return Log(connect(path, create=create), path=path, now=now, new_uuid=new_uuid, device=device)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stamp:
    """What all events of one act share."""

    batch: str
    batch_id: int
    device_id: int
    written_at: datetime


class Log:
    """One open log. Times in and out are aware; every writing call is on the disk when it returns.

    One connection, one thread: a second thread opens the log again.
    """

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
        self._db = connection
        self._now = now
        self._new_uuid = new_uuid
        self._parsed: dict[str, Description] = {}
        with explained(path):
            self.device = device or self._first_device()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; the log must not be used afterwards."""
        self._db.close()

    # Writing

    def add(self, new: Sequence[NewEvent]) -> tuple[Event, ...]:
        """Record entries as one act: one transaction, one fsync, one batch to take back.

        Raises:
            BadInputError: A value is not a finite number; nothing was kept.
            LogFileError: Nothing was kept.
        """
        if not new:
            return ()
        with self._act() as stamp:
            start = self._next_counter()
            return tuple(
                self._insert(stamp, Act.RECORD, item, counter=counter)
                for counter, item in enumerate(new, start)
            )

    def edit(self, event_id: str, new: NewEvent) -> Event:
        """Put another entry in the place of one; the old one stays in the history.

        Raises:
            BadInputError: No entry that holds has this identifier.
        """
        return self._supersede(event_id, Act.EDIT, new)

    def remove(self, event_id: str) -> Event:
        """Leave an entry out from now on; it stays in the history.

        Raises:
            BadInputError: No entry that holds has this identifier.
        """
        return self._supersede(event_id, Act.REMOVE, None)

    def undo(self) -> tuple[Event, ...]:
        """Take back this device's last act that still stands, whole: a line, an edit, an import.

        Returns:
            The events taken back.

        Raises:
            LogbookError: There is none. The first description and remembered settings stay.
        """
        return self._turn(Act.UNDO, self._last_standing, "Nothing is left to take back.")

    def redo(self) -> tuple[Event, ...]:
        """Bring back what this device took back last, unless something was written since.

        Returns:
            The events brought back.

        Raises:
            LogbookError: There is nothing to bring back.
        """
        return self._turn(Act.REDO, self._last_taken_back, "Nothing was taken back since the last line.")

    def add_description(
        self, description: Description, valid_from: datetime | None = None, *, source: str = ""
    ) -> DatedDescription:
        """Keep a version of the description, valid from a time on (None: always).

        ``source`` is the owner's own file, kept beside it with its comments.
        """
        toml = description_to_toml(description)
        since = None if valid_from is None else time_text(valid_from)
        with self._act() as stamp:
            event = self._insert(stamp, Act.DESCRIBE, None, counter=self._next_counter(), line=source)
            self._db.execute("INSERT INTO description VALUES (last_insert_rowid(), ?, ?)", (since, toml))
        return DatedDescription(uuid=event.uuid, valid_from=valid_from, description=description)

    def set_setting(self, name: str, value: str) -> None:
        """Remember something about this cabin, such as which way the air lever reads."""
        with self._act() as stamp:
            self._insert(stamp, Act.SETTING, None, counter=self._next_counter())
            self._db.execute("INSERT INTO setting VALUES (last_insert_rowid(), ?, ?)", (name, value))

    def keep_here(self, name: str, value: str) -> None:
        """Keep something of this file only, such as a half-typed line: no event, never merged."""
        with transaction(self._db, self.path) as db:
            db.execute("INSERT OR REPLACE INTO info VALUES (?, ?)", ("here:" + name, value))

    # Reading

    def current_entries(
        self, since: datetime | None = None, until: datetime | None = None, *, logger: bool = True
    ) -> tuple[Event, ...]:
        """The entries that hold, as events, in the order written (an edited one keeps its place).

        ``since`` and ``until`` bound the time meant, both included. Without ``logger``, only what people wrote.
        """
        where, values = _between(since, until, logger=logger)
        return self._events_of(self._rows(EVENT_SELECT + _HOLDS + where + _WRITTEN_ORDER, values))

    def entries(
        self, as_of: datetime | None = None, *, since: datetime | None = None, logger: bool = True
    ) -> tuple[Entry, ...]:
        """The entries that hold, in the order written; with ``as_of``, none meant for later than that."""
        where, values = _between(since, as_of, logger=logger)
        return tuple(map(entry_from, self._rows(ENTRY_SELECT + _HOLDS + where + _WRITTEN_ORDER, values)))

    def latest(self, count: int, *, until: datetime | None = None, logger: bool = False) -> tuple[Event, ...]:
        """The newest entries by the time meant, newest first."""
        where, values = _between(None, until, logger=logger)
        order = " ORDER BY n.at DESC, r.counter DESC, o.uuid DESC, r.uuid DESC LIMIT ?"
        return self._events_of(self._rows(EVENT_SELECT + _HOLDS + where + order, [*values, count]))

    def newest_at(self) -> datetime | None:
        """The latest time meant of any entry that holds; None in an empty log."""
        rows = self._rows("SELECT n.at FROM event AS e" + _HOLDS + " ORDER BY n.at DESC LIMIT 1")
        return time_from(rows[0][0]) if rows else None

    def events(self, since: datetime | None = None) -> tuple[Event, ...]:
        """Everything that was ever written since a time, undone, edited and undoing events too, in order.

        ``since`` is about the time written. Descriptions and settings come without an entry.
        """
        return self._events_of(
            self._rows(
                EVENT_SELECT + " LEFT JOIN entry AS n ON n.event = e.id WHERE e.written_at >= ?"
                " ORDER BY e.counter, d.uuid, e.uuid",
                ["" if since is None else time_text(since)],
            )
        )

    def find(self, id_prefix: str) -> Event:
        """The entry that holds now under an identifier or its beginning; an older version's will do.

        Raises:
            BadInputError: None, or more than one.
        """
        if not id_prefix.strip():
            raise BadInputError("No identifier was given.\nList the events to see theirs: nightload events.")
        prefix = id_prefix.strip().lower()
        roots = self._rows(
            "SELECT DISTINCT coalesce(root, uuid) FROM event WHERE uuid >= ? AND uuid < ?"
            " AND act IN ('record', 'edit') LIMIT 3",
            [prefix, prefix + "\U0010ffff"],
        )
        if len(roots) > 1:
            raise BadInputError(
                f"More than one entry begins with '{prefix}'.\nType more of the identifier: nightload events."
            )
        found = self._rows(EVENT_SELECT + _HOLDS + " AND r.uuid = ?", list(roots[0])) if roots else []
        if not found:
            was = "was taken out of the log" if roots else "is not in the log"
            raise BadInputError(
                f"'{id_prefix}' {was}.\nSee what is there: nightload events. nightload redo brings an undone one back."
            )
        return self._events_of(found)[0]

    def descriptions(self) -> tuple[DatedDescription, ...]:
        """The versions of the description that hold, in order of the time they are valid from."""
        rows = self._rows(
            "SELECT e.uuid, v.valid_from, v.toml FROM description AS v JOIN event AS e ON e.id = v.event"
            " JOIN device AS d ON d.id = e.device WHERE e.batch NOT IN (SELECT batch FROM undone)"
            " ORDER BY v.valid_from IS NOT NULL, v.valid_from, e.counter, d.uuid, e.uuid"
        )
        return tuple(
            DatedDescription(
                uuid=uuid,
                valid_from=None if since is None else time_from(since),
                description=self._description(uuid, toml),
            )
            for uuid, since, toml in rows
        )

    def description(self, as_of: datetime | None = None) -> Description:
        """The description that holds at a time; the newest without one.

        Raises:
            NoDescriptionError: The log has none that is valid by then.
        """
        valid = [
            version
            for version in self.descriptions()
            if as_of is None or version.valid_from is None or version.valid_from <= as_of
        ]
        if not valid:
            raise NoDescriptionError(
                f"The log {self.path} has no description of the cabin and stove yet.\n"
                "Give it one: nightload setup FILE.toml (nightload setup --example prints a file to start from)."
            )
        return valid[-1].description

    def setting(self, name: str) -> str | None:
        """What was last remembered under a name, on whatever device."""
        rows = self._rows(
            "SELECT s.value FROM setting AS s JOIN event AS e ON e.id = s.event JOIN device AS d ON d.id = e.device"
            " WHERE s.name = ? ORDER BY e.counter DESC, d.uuid DESC, e.uuid DESC LIMIT 1",
            [name],
        )
        return rows[0][0] if rows else None

    def kept_here(self, name: str) -> str | None:
        """What ``keep_here`` kept in this file."""
        rows = self._rows("SELECT value FROM info WHERE name = ?", ["here:" + name])
        return rows[0][0] if rows else None

    # Inside

    def _rows(self, sql: str, values: Sequence[object] = ()) -> list[Row]:
        with explained(self.path):
            return self._db.execute(sql, values).fetchall()

    def _first_device(self) -> str:
        found = self._db.execute("SELECT value FROM info WHERE name = 'device'").fetchone()
        if found is None:
            self._db.execute("INSERT OR IGNORE INTO info VALUES ('device', ?)", (self._new_uuid(),))
            found = self._db.execute("SELECT value FROM info WHERE name = 'device'").fetchone()
        return str(found[0])

    def _next_counter(self) -> int:
        return int(self._db.execute("SELECT coalesce(max(counter), 0) + 1 FROM event").fetchone()[0])

    @contextmanager
    def _act(self) -> Iterator[_Stamp]:
        with transaction(self._db, self.path) as db:
            batch = self._new_uuid()
            batch_id = db.execute("INSERT INTO batch (uuid) VALUES (?) RETURNING id", (batch,)).fetchone()[0]
            db.execute("INSERT OR IGNORE INTO device (uuid) VALUES (?)", (self.device,))
            device_id = db.execute("SELECT id FROM device WHERE uuid = ?", (self.device,)).fetchone()[0]
            yield _Stamp(batch=batch, batch_id=batch_id, device_id=device_id, written_at=self._now())

    def _insert(
        self,
        stamp: _Stamp,
        act: Act,
        new: NewEvent | None,
        *,
        counter: int,
        root: str | None = None,
        supersedes: str | None = None,
        target: str | None = None,
        line: str = "",
    ) -> Event:
        event = Event(
            uuid=self._new_uuid(),
            device=self.device,
            counter=counter,
            at_typed=new.at_typed if new else "",
            zone=new.zone if new else "UTC",
            written_at=stamp.written_at,
            how=new.how if new else How.TYPED,
            batch=stamp.batch,
            supersedes=supersedes or target,
            entry=new.entry if new else None,
            typed=new.typed if new else (),
            line=new.line if new else line,
            act=act,
        )
        row = self._db.execute(
            "INSERT INTO event (uuid, device, counter, batch, act, root, supersedes, target,"
            " at_typed, zone, written_at, how, line) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (event.uuid, stamp.device_id, counter, stamp.batch_id, act, root, supersedes, target,
             event.at_typed, event.zone, time_text(event.written_at), event.how, event.line),
        )  # fmt: skip
        key = row.lastrowid
        if event.typed:
            self._db.executemany(
                "INSERT INTO typed VALUES (?, ?, ?, ?, ?)",
                [(key, place, part.name, part.text, part.unit) for place, part in enumerate(event.typed)],
            )
        if event.entry is not None:
            self._db.execute(ENTRY_INSERT, (key, *entry_values(event.entry)))
        return event

    def _supersede(self, event_id: str, act: Act, new: NewEvent | None) -> Event:
        with self._act() as stamp:
            old = self.find(event_id)
            root = self._rows("SELECT coalesce(root, uuid) FROM event WHERE uuid = ?", [old.uuid])[0][0]
            return self._insert(stamp, act, new, counter=self._next_counter(), root=root, supersedes=old.uuid)

    def _turn(self, act: Act, target: Callable[[], str | None], nothing: str) -> tuple[Event, ...]:
        with self._act() as stamp:
            batch = target()
            if batch is None:
                raise LogbookError(f"{nothing}\nTo leave out an older entry: nightload remove ID.")
            self._insert(stamp, act, None, counter=self._next_counter(), target=batch)
        return self._events_of(
            self._rows(
                EVENT_SELECT + " LEFT JOIN entry AS n ON n.event = e.id WHERE b.uuid = ? ORDER BY e.counter",
                [batch],
            )
        )

    def _last_standing(self) -> str | None:
        rows = self._rows(
            "SELECT b.uuid FROM event AS e JOIN batch AS b ON b.id = e.batch JOIN device AS d ON d.id = e.device"
            f" WHERE d.uuid = ? AND e.act IN {_UNDOABLE} AND e.batch NOT IN (SELECT batch FROM undone)"
            " AND e.id <> coalesce((SELECT min(event) FROM description), 0)"
            " ORDER BY e.counter DESC LIMIT 1",
            [self.device],
        )
        return rows[0][0] if rows else None

    def _last_taken_back(self) -> str | None:
        rows = self._rows(
            "SELECT e.target FROM event AS e JOIN batch AS b ON b.uuid = e.target JOIN device AS d ON d.id = e.device"
            " WHERE d.uuid = ?1 AND e.act = 'undo' AND b.id IN (SELECT batch FROM undone) AND e.counter > coalesce("
            f"(SELECT max(n.counter) FROM event AS n WHERE n.device = e.device AND n.act IN {_UNDOABLE}), 0)"
            " ORDER BY e.counter DESC LIMIT 1",
            [self.device],
        )
        return rows[0][0] if rows else None

    def _events_of(self, rows: Sequence[Row]) -> tuple[Event, ...]:
        typed = self._typed([row[0] for row in rows])
        return tuple(event_from(row, tuple(typed.get(row[0], ()))) for row in rows)

    def _typed(self, keys: Sequence[int]) -> dict[int, list[Typed]]:
        found: dict[int, list[Typed]] = {}
        if not keys:
            return found
        # A few: look them up. Many: read the stretch they lie in; faster than thousands of look-ups.
        if len(keys) <= 500:
            where, values = f"event IN ({', '.join('?' * len(keys))})", list(keys)
        else:
            where, values = "event BETWEEN ? AND ?", [min(keys), max(keys)]
        for event, name, text, unit in self._rows(
            f"SELECT event, name, text, unit FROM typed WHERE {where} ORDER BY event, position", values
        ):
            found.setdefault(event, []).append(Typed(name, text, unit))
        return found

    def _description(self, uuid: str, toml: str) -> Description:
        if uuid not in self._parsed:
            self._parsed[uuid] = parse_description(toml, machine_zone="UTC")
        return self._parsed[uuid]


def _between(since: datetime | None, until: datetime | None, *, logger: bool) -> tuple[str, list[str]]:
    """A condition on the time meant, for the end of a WHERE, and its values."""
    where, values = ("", []) if logger else (_BY_PEOPLE, [])
    for moment, test in ((since, " AND n.at >= ?"), (until, " AND n.at <= ?")):
        if moment is not None:
            where += test
            values.append(time_text(moment))
    return where, values
