"""A damaged log saved as far as it goes: every event that is still whole, by its digest, in a new log.

The damaged file is read as bytes and never opened as a database, so nothing in it changes. What is left of
events that are not whole is written as a table beside the new log: nothing readable is lost, and nothing
doubtful is taken for a record.
"""

from __future__ import annotations

import csv
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.errors import LogFileError
from logbook.store.columns import guarded
from logbook.store.connection import connect, explained, transaction
from logbook.store.digest import EVENT_NAMES, Held, fill, unsealed
from logbook.store.folders import PRIVATE_FOLDER, begin_private
from logbook.store.pages import image_of
from logbook.store.pieces import Pieces, joined
from logbook.store.rows import Row
from logbook.store.schema import columns_of
from logbook.store.soundness import check

_TARGET = EVENT_NAMES.index("target")
_ENTRY_COLUMNS = tuple(name for name, _ in columns_of("entry")[1:])


@dataclass(frozen=True, slots=True, kw_only=True)
class Salvaged:
    """What came of it.

    ``saved`` events are in the new log, in ``mended`` of them a reference to a lost event was taken out.
    Of ``nameless`` ones only the name of the act or the machine was lost: they are in it, but not proved.
    ``left_out`` names those found but not whole, ``gone`` counts those of which nothing was found. ``beside``
    is the table of what is left of them, None where there is nothing. ``proved`` is false for a log of the
    first two formats, whose events have no digest to prove them by.
    """

    saved: int
    mended: int
    nameless: int
    left_out: tuple[str, ...]
    gone: int
    proved: bool
    beside: Path | None


def salvage(damaged: Path, new: Path) -> Salvaged:
    """Make a new log of what is whole in a damaged one. The damaged file is not changed.

    Raises:
        LogFileError: It cannot be read, the new one is there already, or nothing of a log was found.
    """
    beside = new.with_name(f"{new.stem} left out.csv")
    for path in (new, beside):
        if path.exists():
            raise LogFileError(f"{path} is there already.\nName a new file: nightload salvage DAMAGED NEW.db")
    try:
        content = damaged.read_bytes()
        wal = damaged.with_name(damaged.name + "-wal")
        logged = wal.read_bytes() if wal.exists() else b""
    except OSError as error:
        raise LogFileError(
            f"{damaged} could not be read: {error.strerror or error}.\n"
            "Copy it to another disk, as far as it can be copied, and try the copy."
        ) from error
    pieces = _pieces(content, logged)
    proved = list(pieces.whole_events())
    nameless = pieces.nameless(proved)
    whole, mended = joined([*proved, *nameless], pieces.shape)
    if not whole:
        raise LogFileError(
            f"No whole event of a log was found in {damaged}.\nBring back a copy: nightload restore FILE."
        )
    kept = {held.key for held in whole}
    half = new.with_name(f"{new.name}.part")
    with explained(new), _removed_after(half):
        new.parent.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
        _write(half, whole, pieces.info)
        found = check(half)
        if not found.sound:  # a log that is not sound is never handed over
            raise LogFileError(
                f"What was found makes no sound log: {found.problems[0]}.\n"
                "Bring back a copy: nightload restore FILE."
            )
        rest = pieces.rest(kept)
        if rest:
            begin_private(beside)
            _write_rest(beside, rest)
        half.replace(new)
    return Salvaged(
        saved=len(whole),
        mended=mended,
        nameless=len(nameless),
        left_out=pieces.left_out(kept),
        gone=pieces.gone(kept),
        proved=pieces.digests,
        beside=beside if rest else None,
    )


def _pieces(content: bytes, wal: bytes) -> Pieces:
    image, others = image_of(content, wal)
    pieces = Pieces()
    pieces.take(image.rows())
    # Older versions of a page: what is whole in them was written once. Or, where the head of what lies beside
    # the file is damaged and the file was not written yet, all there is.
    if pieces.digests or not pieces.events:
        for page in others:
            pieces.take(image.rows_of(page))
    with suppress(sqlite3.Error, UnicodeDecodeError, OSError), TemporaryDirectory() as folder:
        copy = Path(folder) / "copy.db"
        copy.write_bytes(content)
        if wal:
            copy.with_name(copy.name + "-wal").write_bytes(wal)
        with closing(sqlite3.connect(copy.absolute())) as db:
            for table, into in (("device", pieces.devices), ("batch", pieces.batches)):
                into |= {key: [uuid] for key, uuid in db.execute(f"SELECT id, uuid FROM {table}")}
    return pieces


@contextmanager
def _removed_after(half: Path) -> Iterator[None]:
    def remove() -> None:
        for ending in ("", "-wal", "-shm"):
            half.with_name(half.name + ending).unlink(missing_ok=True)

    remove()
    try:
        yield
    finally:
        remove()


def _write(path: Path, events: Sequence[Held], info: Mapping[str, str]) -> None:
    """A new log of these events and of what the old file kept for itself, as one file."""
    keys: dict[tuple[str, str], int] = {}

    def key_of(table: str, uuid: str) -> int:
        if (table, uuid) not in keys:
            keys[table, uuid] = db.execute(f"INSERT INTO {table} (uuid) VALUES (?)", (uuid,)).lastrowid or 0
        return keys[table, uuid]

    with closing(connect(path, create=True)) as db:
        with transaction(db, path):
            db.execute("PRAGMA defer_foreign_keys = ON")
            for held in events:
                if target := held.event[_TARGET]:
                    key_of("batch", target)
                device, batch = key_of("device", held.event[1]), key_of("batch", held.event[3])
                row = (held.key, held.event[0], device, held.event[2], batch, *held.event[4:])
                _insert(db, "event", ("id", *EVENT_NAMES, "digest"), (*row, held.digest))
                if held.entry is not None:
                    _insert(db, "entry", ("event", *_ENTRY_COLUMNS), (held.key, *held.entry))
                for part in held.typed:
                    _insert(db, "typed", ("event", "position", "name", "text", "unit"), (held.key, *part))
                if held.description is not None:
                    _insert(db, "description", ("event", "valid_from", "toml"), (held.key, *held.description))
                if held.setting is not None:
                    _insert(db, "setting", ("event", "name", "value"), (held.key, *held.setting))
            for name, value in info.items():
                if name.startswith("kept:") and unsealed(name.removeprefix("kept:"), value)[1]:
                    db.execute("INSERT OR REPLACE INTO info VALUES (?, ?)", (name, value))
                    if name == "kept:device":
                        device_name = unsealed("device", value)[0]
                        db.execute("INSERT OR REPLACE INTO info VALUES ('device', ?)", (device_name,))
            fill(db, where="e.digest IS NULL")
        db.execute("PRAGMA journal_mode = DELETE")


def _insert(db: sqlite3.Connection, table: str, columns: Sequence[str], row: Row) -> None:
    names = ", ".join(f'"{name}"' for name in columns)
    db.execute(f"INSERT INTO {table} ({names}) VALUES (?{', ?' * (len(columns) - 1)})", row)


def _write_rest(path: Path, rest: Sequence[tuple[str, str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("what", "event", "said"))
        writer.writerows([guarded(cell) for cell in row] for row in rest)
