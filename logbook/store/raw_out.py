"""The tables of a log this version can't read, a newer one's, as they are: nothing of it is understood."""

from __future__ import annotations

import csv
import re
import sqlite3
from contextlib import closing
from pathlib import Path

from logbook.store.columns import guarded
from logbook.store.connection import BUSY_WAIT_S, explained
from logbook.store.folders import put_into

_WHAT = (
    "SELECT name FROM sqlite_schema WHERE type IN ('table', 'view') AND name NOT LIKE 'sqlite#_%' ESCAPE '#'"
)


def export_raw(path: Path, folder: Path) -> tuple[tuple[Path, ...], tuple[str, ...]]:
    """Write each table and view of a SQLite file as "NAME.csv" into a folder; the file is not changed.

    Returns:
        The files, and what could not be written, in a sentence each.

    Raises:
        LogFileError: The file cannot be read or the folder not be written; the folder is as it was.
    """
    with (
        explained(path),
        closing(sqlite3.connect(path.absolute(), timeout=BUSY_WAIT_S, isolation_level=None)) as db,
    ):
        db.execute("PRAGMA query_only = ON")
        db.text_factory = _text
        db.execute("BEGIN")  # one moment, whatever is written meanwhile
        readable, refused = {}, []
        for (name,) in db.execute(_WHAT + " ORDER BY name").fetchall():
            try:
                db.execute(f"SELECT * FROM {_quoted(name)} LIMIT 1").fetchone()
                readable[re.sub(r"[^\w -]", "_", name) + ".csv"] = name
            except sqlite3.DatabaseError as error:
                refused.append(f"{name} could not be read (SQLite says: {error})")
        with put_into(folder, readable) as files:
            for file_name, name in readable.items():
                rows = db.execute(f"SELECT * FROM {_quoted(name)}")
                writer = csv.writer(files[file_name], lineterminator="\n")
                writer.writerow([column[0] for column in rows.description])
                writer.writerows([_cell(value) for value in row] for row in rows)
        db.execute("COMMIT")
    return tuple(folder / name for name in readable), tuple(refused)


def _text(raw: bytes) -> str:
    return raw.decode("utf-8", "backslashreplace")


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bytes):
        return value.hex()
    return guarded(value) if isinstance(value, str) else repr(value)
