"""A digest of each event: what the file says it was told, against what it holds now.

SQLite's own check sees pages and references, not a flipped bit inside a number or a word. So each event
carries BLAKE2b, 16 bytes, of what it says as JSON: in ASCII, without spaces, numbers as short as reads back
the same. Anyone can work it out again: ``[event, entry, typed, description, setting]``, each a list of values
or null: EVENT_NAMES (device and batch by their uuid); ENTRY_NAMES; for each value typed a list of position,
name, text and unit (empty where nothing was); valid_from and toml; name and value. Should a later format give
entries further columns, those that are not NULL follow as a sixth part, an object in alphabetical order.

References are by uuid, so an event keeps its digest in whatever log it is merged into, and in a later format.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import islice, pairwise

from logbook.store.rows import ENTRY_COLUMNS, Row

DIGEST_BYTES = 16
"""Length of a digest, bytes: 128 bits, far beyond chance; it guards against damage, not against forgery."""

EVENT_NAMES = (
    *("uuid", "device", "counter", "batch", "act", "root", "supersedes", "target"),
    *("at_typed", "zone", "written_at", "how", "line"),
)
"""What ``digest_of`` takes as ``event``, in this order; device and batch by uuid."""

ENTRY_NAMES = (
    *("at", "indoor_c", "place", "outdoor_c", "low_c", "high_c", "reset_at", "load_kg", "pieces", "species"),
    *(
        "moisture_pct",
        "moisture_basis",
        "kindling",
        "air_open_pct",
        "flue_damper_open_pct",
        "window",
        "coals",
    ),
    *("other_heat_w", "rh_pct", "wind", "forecast_low_c", "mark", "fire_out", "alarms_tested", "change"),
    *("note", "matter", "flags"),
)
"""The entry's columns in the order they are digested, as of format 3; later ones go apart."""

_STRETCH = 4000
"""How many events are read or written at a time. ASSUMED: a megabyte or so."""

_BEFORE_ALL = -(2**63)

_TYPED = (
    "SELECT event, position, name, text, unit FROM typed WHERE event BETWEEN ? AND ? ORDER BY event, position"
)


class EntryShape:
    """Which columns the entries of a file have, and where those that are digested stand among them."""

    def __init__(self, columns: Sequence[str]) -> None:
        self.columns = tuple(columns)
        self._is_plain = self.columns == ENTRY_NAMES
        self._places = [self.columns.index(name) if name in columns else None for name in ENTRY_NAMES]
        later = sorted(set(columns) - set(ENTRY_NAMES))
        self._later = [(name, self.columns.index(name)) for name in later]

    def told(self, row: Row) -> tuple[Row, dict[str, object]]:
        """The values of ENTRY_NAMES, and what later columns say, of a row of this file."""
        if self._is_plain:
            return row, {}
        later = {name: row[at] for name, at in self._later if row[at] is not None}
        return tuple(None if at is None else row[at] for at in self._places), later


OURS = EntryShape(ENTRY_COLUMNS)
"""The entries this version writes."""


def digest_of(
    event: Row,
    *,
    entry: Row | None = None,
    shape: EntryShape = OURS,
    typed: Sequence[Row] = (),
    description: Row | None = None,
    setting: Row | None = None,
) -> bytes:
    """The digest of an event: EVENT_NAMES, the entry's columns, (position, name, text, unit) rows, and so on.

    Values are as SQLite gives them back; ``rows.entry_values`` makes an entry's so beforehand.
    """
    later: dict[str, object] = {}
    if entry is not None:
        entry, later = shape.told(entry)
    said = [event, entry, typed, description, setting]
    return _digest([*said, later] if later else said)


def sealed(name: str, text: str) -> str:
    """A text behind its digest, for what a file keeps under a name besides events."""
    return f"{_digest([name, text]).hex()} {text}"


def unsealed(name: str, value: str) -> tuple[str, bool]:
    """The text of ``sealed``, and whether it and its name are as they were."""
    text = value[2 * DIGEST_BYTES + 1 :]
    return text, value == sealed(name, text)


def lenient(raw: bytes) -> str:
    """A ``text_factory`` for a file that may be damaged: bytes that are no UTF-8 come as lone surrogates."""
    return raw.decode("utf-8", "surrogateescape")


def _digest(said: object) -> bytes:
    from hashlib import blake2b  # noqa: PLC0415 - 16 ms: not before the app's first frame

    return blake2b(_as_json()(said).encode("ascii"), digest_size=DIGEST_BYTES).digest()


@cache
def _as_json() -> Callable[[object], str]:
    from json import JSONEncoder  # noqa: PLC0415 - 4 ms, as above

    # Damage makes bytes of a text: whatever stands for them, it is not what was digested.
    return JSONEncoder(separators=(",", ":"), default=repr).encode


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

    def computed(self, shape: EntryShape) -> bytes:
        """The digest of what is held."""
        return digest_of(
            self.event,
            entry=self.entry,
            shape=shape,
            typed=self.typed,
            description=self.description,
            setting=self.setting,
        )


def entry_shape(db: sqlite3.Connection) -> EntryShape:
    """The columns of this file's entries, without the key: an older file has fewer."""
    return EntryShape([row[1] for row in db.execute("PRAGMA table_info(entry)") if row[1] != "event"])


def held_events(db: sqlite3.Connection, *, where: str = "1", digests: bool = True) -> Iterator[Held]:
    """The events of a file of this format, or without ``digests`` of an older one, by their key.

    Read in stretches, so that the caller may write between them.

    Raises:
        sqlite3.DatabaseError: A damaged file gives them out of order.
    """
    columns = entry_shape(db).columns
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
        if any(key <= before for before, key in pairwise((last, *(row[0] for row in rows)))):
            raise _out_of_order()  # the next stretch would begin in this one again, without end
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


def _out_of_order() -> sqlite3.DatabaseError:
    """As SQLite itself would put it, had it looked: a damaged tree gives rows in another order than asked."""
    error = sqlite3.DatabaseError("events out of order")
    error.sqlite_errorname = "SQLITE_CORRUPT"
    return error


def fill(db: sqlite3.Connection, *, where: str = "1") -> int:
    """Give events their digest, from what the file holds; inside the caller's transaction.

    Returns:
        How many were written.
    """
    shape = entry_shape(db)
    keyed = ((held.computed(shape), held.key) for held in held_events(db, where=where))
    written = 0
    while some := list(islice(keyed, _STRETCH)):
        written += db.executemany("UPDATE event SET digest = ? WHERE id = ?", some).rowcount
    return written


def seal_device(db: sqlite3.Connection) -> None:
    """Keep a digest of who began this log; undo goes by it where a machine keeps no name of its own."""
    for (device,) in db.execute("SELECT value FROM info WHERE name = 'device'").fetchall():
        db.execute("INSERT OR REPLACE INTO info VALUES ('kept:device', ?)", (sealed("device", device),))
