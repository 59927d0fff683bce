"""A digest of each event: what the file says it was told, against what it holds now.

SQLite's own check sees pages and references, not a flipped bit inside a number or a word. So each event
carries BLAKE2b of all it says. Anyone can work it out again: take the event's columns by name (of its device
and its batch the uuid), its entry's as ``entry.NAME``, its description's and setting's in the same way, leave
out what is NULL, add ``typed`` as a list of [position, name, text, unit]; write that as JSON in ASCII with
the names in order and no spaces; numbers of an entry as floats, as short as reads back the same.

References are by uuid, so an event keeps its digest in whatever log it is merged into; what is NULL is left
out, so it keeps it when a later format adds columns.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from logbook.store.rows import ENTRY_COLUMNS, Row

DIGEST_BYTES = 16
"""Length of a digest, bytes: 128 bits, far beyond chance; it guards against damage, not against forgery."""

EVENT_NAMES = (
    *("uuid", "device", "counter", "batch", "act", "root", "supersedes", "target"),
    *("at_typed", "zone", "written_at", "how", "line"),
)
"""What ``digest_of`` takes as ``event``, in this order; device and batch by uuid."""

DESCRIPTION_NAMES = ("description.valid_from", "description.toml")
SETTING_NAMES = ("setting.name", "setting.value")
_ENTRY_NAMES = tuple("entry." + name for name in ENTRY_COLUMNS)

_STRETCH = 4000
"""How many events are read or written at a time. ASSUMED: a megabyte or so."""

_BEFORE_ALL = -(2**63)

_TYPED = (
    "SELECT event, position, name, text, unit FROM typed WHERE event BETWEEN ? AND ? ORDER BY event, position"
)


def digest_of(
    event: Row,
    *,
    entry: Row | None = None,
    entry_names: Sequence[str] = _ENTRY_NAMES,
    typed: Sequence[Row] = (),
    description: Row | None = None,
    setting: Row | None = None,
) -> bytes:
    """The digest of an event: EVENT_NAMES, ENTRY_COLUMNS, (position, name, text, unit) rows, and so on.

    Values are as SQLite gives them back, or as they are handed to it.
    """
    said: dict[str, object] = {
        name: value for name, value in zip(EVENT_NAMES, event, strict=True) if value is not None
    }
    if entry is not None:
        for name, value in zip(entry_names, entry, strict=True):
            if value is None:
                continue
            # SQLite keeps no minus zero, and 15 in a column of reals as 15.0; adding 0.0 makes both so.
            said[name] = value + 0.0 if isinstance(value, int | float) else value
    for names, row in ((DESCRIPTION_NAMES, description), (SETTING_NAMES, setting)):
        if row is not None:
            said |= {name: value for name, value in zip(names, row, strict=True) if value is not None}
    if typed:
        said["typed"] = typed
    return _digest(said)


def text_digest(text: str) -> str:
    """The same over one text, in hexadecimal, for what a file keeps besides events."""
    return _digest(text).hex()


def _digest(said: object) -> bytes:
    import json  # noqa: PLC0415 - 4 and 16 ms: not before the app's first frame
    from hashlib import blake2b  # noqa: PLC0415

    written = json.dumps(said, sort_keys=True, separators=(",", ":")).encode("ascii")
    return blake2b(written, digest_size=DIGEST_BYTES).digest()


@dataclass(frozen=True, slots=True)
class Held:
    """An event as the file holds it, nothing interpreted; ``digest`` as written, None where there is none."""

    key: int
    digest: bytes | None
    event: Row
    entry: Row | None
    typed: tuple[Row, ...]
    description: Row | None
    setting: Row | None

    def computed(self, entry_names: Sequence[str]) -> bytes:
        """The digest of what is held."""
        return digest_of(
            self.event,
            entry=self.entry,
            entry_names=entry_names,
            typed=self.typed,
            description=self.description,
            setting=self.setting,
        )


def entry_columns(db: sqlite3.Connection) -> tuple[str, ...]:
    """The columns of this file's entries, without the key: an older file has fewer."""
    return tuple(row[1] for row in db.execute("PRAGMA table_info(entry)") if row[1] != "event")


def held_events(db: sqlite3.Connection, *, where: str = "1", digests: bool = True) -> Iterator[Held]:
    """The events of a file of this format, or without ``digests`` of an older one, by their key.

    Read in stretches, so that the caller may write between them.
    """
    columns = entry_columns(db)
    sql = (
        f"SELECT e.id, {'e.digest' if digests else 'NULL'}, v.event, s.event, n.event,"
        " e.uuid, d.uuid, e.counter, b.uuid, e.act, e.root, e.supersedes, e.target,"
        " e.at_typed, e.zone, e.written_at, e.how, e.line, v.valid_from, v.toml, s.name, s.value, "
        + ", ".join(f'n."{name}"' for name in columns)
        + " FROM event AS e LEFT JOIN device AS d ON d.id = e.device LEFT JOIN batch AS b ON b.id = e.batch"
        " LEFT JOIN entry AS n ON n.event = e.id LEFT JOIN description AS v ON v.event = e.id"
        f" LEFT JOIN setting AS s ON s.event = e.id WHERE {where} AND e.id > ? ORDER BY e.id LIMIT {_STRETCH}"
    )
    last = _BEFORE_ALL
    while rows := db.execute(sql, (last,)).fetchall():
        typed: dict[int, list[Row]] = {}
        for key, *part in db.execute(_TYPED, (rows[0][0], rows[-1][0])):
            typed.setdefault(key, []).append(tuple(part))
        for row in rows:
            yield Held(
                key=row[0],
                digest=row[1],
                event=row[5:18],
                entry=None if row[4] is None else row[22:],
                typed=tuple(typed.get(row[0], ())),
                description=None if row[2] is None else row[18:20],
                setting=None if row[3] is None else row[20:22],
            )
        last = rows[-1][0]


def fill(db: sqlite3.Connection, *, where: str = "1") -> int:
    """Give events their digest, from what the file holds; inside the caller's transaction.

    Returns:
        How many were written.
    """
    names = tuple("entry." + name for name in entry_columns(db))
    keyed = ((held.computed(names), held.key) for held in held_events(db, where=where))
    written = 0
    while some := list(islice(keyed, _STRETCH)):
        written += db.executemany("UPDATE event SET digest = ? WHERE id = ?", some).rowcount
    return written
