"""Writing the events of one act: a line, an import, an edit, an undo."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from logbook.errors import LogFileError
from logbook.records import Act, Event, How, NewEvent, Typed
from logbook.store.conflicts import OF, SETTLED, knowing, other_claims
from logbook.store.digest import digest_of
from logbook.store.rows import ENTRY_COLUMNS, Row, entry_values, time_text
from logbook.store.sides import DESCRIBED, OVER, written_over

_EVENT_INSERT = (
    "INSERT INTO event (uuid, device, counter, batch, act, root, supersedes, target,"
    " at_typed, zone, written_at, how, line, digest) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
)
_ENTRY_COLUMNS = ", ".join(f'"{name}"' for name in ENTRY_COLUMNS)
_ENTRY_INSERT = f"INSERT INTO entry (event, {_ENTRY_COLUMNS}) VALUES (?{', ?' * len(ENTRY_COLUMNS)})"


@dataclass(slots=True, kw_only=True)
class Pen:
    """Holds what the events of one act share, and counts on; used inside one open transaction."""

    db: sqlite3.Connection
    device: str
    written_at: datetime
    new_uuid: Callable[[], str]
    batch: str = field(init=False)
    _batch_id: int = field(init=False)
    _device_id: int = field(init=False)
    _counter: int = field(init=False)

    def __post_init__(self) -> None:
        self.batch = self.new_uuid()
        found = self.db.execute("INSERT INTO batch (uuid) VALUES (?) RETURNING id", (self.batch,))
        self._batch_id = found.fetchone()[0]
        self.db.execute("INSERT OR IGNORE INTO device (uuid) VALUES (?)", (self.device,))
        found = self.db.execute("SELECT id FROM device WHERE uuid = ?", (self.device,))
        self._device_id = found.fetchone()[0]
        # Above every counter in the log: what was known when something was written comes before it.
        found = self.db.execute("SELECT coalesce(max(counter), 0) FROM event")
        self._counter = found.fetchone()[0]

    def record(self, new: NewEvent) -> Event:
        """Write a new entry."""
        return self._write(Act.RECORD, new)[0]

    def supersede(self, old: Event, new: NewEvent | None) -> Event:
        """Write an entry, or none, in the place of an event."""
        found = self.db.execute("SELECT coalesce(root, uuid) FROM event WHERE uuid = ?", (old.uuid,))
        root = found.fetchone()[0]
        others = other_claims(self.db, root=root, but=old.uuid)
        act = Act.REMOVE if new is None else Act.EDIT
        event = self._write(act, new, root=root, supersedes=old.uuid)[0]
        if others:  # whoever changes what was in conflict settles it
            self.settle(root, others)
        return event

    def turn(self, act: Act, batch: str) -> Event:
        """Take a batch back or bring it back."""
        line = knowing(self.db, batch) if act is Act.UNDO else ""
        return self._write(act, None, target=batch, line=line)[0]

    def describe(self, toml: str, valid_from: datetime | None, source: str) -> Event:
        """Write a version of the description, and the owner's own file beside it."""
        said = (None if valid_from is None else time_text(valid_from), toml)
        knew = (Typed(OVER, written_over(self.db, DESCRIBED), ""),)
        event, key = self._write(Act.DESCRIBE, None, line=source, typed=knew, description=said)
        self.db.execute("INSERT INTO description VALUES (?, ?, ?)", (key, *said))
        return event

    def remember(self, name: str, value: str) -> Event:
        """Write a setting."""
        return self._set(name, value, line=written_over(self.db, name))

    def settle(self, root: str, lost: Iterable[str]) -> Event:
        """Write which claims about one entry have lost, by their keys; of these events each counts."""
        return self._set(SETTLED, " ".join(lost), line=f"{OF} {root}")

    def _set(self, name: str, value: str, *, line: str) -> Event:
        event, key = self._write(Act.SETTING, None, line=line, setting=(name, value))
        self.db.execute("INSERT INTO setting VALUES (?, ?, ?)", (key, name, value))
        return event

    def _write(
        self,
        act: Act,
        new: NewEvent | None,
        *,
        root: str | None = None,
        supersedes: str | None = None,
        target: str | None = None,
        line: str = "",
        typed: tuple[Typed, ...] = (),
        description: Row | None = None,
        setting: Row | None = None,
    ) -> tuple[Event, int]:
        self._counter += 1
        event = Event(
            uuid=self.new_uuid(),
            device=self.device,
            counter=self._counter,
            at_typed=new.at_typed if new else "",
            zone=new.zone if new else "UTC",
            written_at=self.written_at,
            how=new.how if new else How.TYPED,
            batch=self.batch,
            supersedes=supersedes or target,
            entry=new.entry if new else None,
            typed=new.typed if new else typed,
            line=new.line if new else line,
            act=act,
        )
        said = (event.act, root, supersedes, target, event.at_typed, event.zone,
                time_text(event.written_at), event.how, event.line)  # fmt: skip
        return event, self._insert(event, said, description=description, setting=setting)

    def _insert(self, event: Event, said: Row, *, description: Row | None, setting: Row | None) -> int:
        typed = [(position, part.name, part.text, part.unit) for position, part in enumerate(event.typed)]
        entry = None if event.entry is None else entry_values(event.entry)
        digest = digest_of(
            (event.uuid, event.device, event.counter, event.batch, *said),
            entry=entry,
            typed=typed,
            description=description,
            setting=setting,
        )
        row = (event.uuid, self._device_id, event.counter, self._batch_id, *said, digest)
        key = self.db.execute(_EVENT_INSERT, row).lastrowid or 0
        for part in typed:
            self.db.execute("INSERT INTO typed VALUES (?, ?, ?, ?, ?)", (key, *part))
        if entry is not None:
            self.db.execute(_ENTRY_INSERT, (key, *entry))
        return key


@contextmanager
def fitting(path: Path) -> Iterator[None]:
    """Turn a clash with what the file holds into a ``LogFileError``.

    Values are looked at before: rows left over without their event, or a counter at its end, are damage.
    """
    try:
        yield
    except (sqlite3.IntegrityError, OverflowError) as error:
        raise LogFileError(
            f"What was to be written does not fit what the log {path} holds: {error}. Nothing was saved.\n"
            "Look through the log: nightload check. Then bring back a copy: nightload restore lists them."
        ) from error
