"""A log whose file is deleted, moved or replaced while it is open: noticed before more is said to be saved.

The program goes on reading and writing such a file, and all of it is lost when the program ends. So each
writing looks first whether the name still means the file that was opened, as SQLite itself does in its other
journal modes (sqlite.org, "Result Codes", SQLITE_READONLY_DBMOVED; from memory). The file is never opened for
that: closing it again would give up SQLite's locks (see ``connection._check_kind``).
"""

from __future__ import annotations

import sqlite3
from contextlib import suppress
from pathlib import Path
from tempfile import gettempdir

from platformdirs import user_data_dir

from logbook.errors import LogFileError

_UNTOUCHED = (
    "SELECT NOT EXISTS (SELECT 1 FROM event) AND NOT EXISTS (SELECT 1 FROM info WHERE name <> 'device')"
)
"""Whether nothing was written but which device begins the log: no event, no half-typed line."""


class LogConnection(sqlite3.Connection):
    """A connection that knows which file it opened.

    ``file`` is its number in the file system, None for one in memory; ``began``: there was no log before;
    ``wrote``: something was committed through it; ``kept_as`` is where its content lies now that it is gone.
    """

    file: int | None = None
    began: bool = False
    wrote: bool = False
    kept_as: Path | None = None


def file_at(path: Path) -> int | None:
    """The number of the file that a name means now; None when there is none."""
    try:
        return path.stat().st_ino
    except OSError:
        return None


def is_gone(connection: sqlite3.Connection, path: Path) -> bool:
    """Whether the name no longer means the file that was opened."""
    opened = getattr(connection, "file", None)
    return opened is not None and file_at(path) != opened


def kept_and_replaced(connection: sqlite3.Connection, path: Path) -> bool:
    """Whether the file is gone, that was said and its copy made, and another lies in its place by now."""
    return getattr(connection, "kept_as", None) is not None and path.exists() and is_gone(connection, path)


def gone(connection: sqlite3.Connection, path: Path) -> LogFileError:
    """What to say when it is: nothing was saved, and how what was in it, kept in a copy, comes back.

    With one path and no more: in the app three rows must hold it.
    """
    kept = kept_beside(connection, path)
    how = "replaced by another" if path.exists() else "deleted or moved away"
    what = f'Bring it back: nightload restore "{kept}", then enter it again.'
    if path.exists():
        what = f'Enter it again: it goes into the file there now. Then: nightload merge "{kept}"'
    if kept is None:
        what = f"What was in it could not be kept. Write down what matters; then look for {path}"
    return LogFileError(f"The log was {how} while open: this was not saved.\n{what}")


def kept_beside(connection: sqlite3.Connection, path: Path) -> Path | None:
    """A copy of what the connection still reads, made once: beside the log, else with a person's data.

    What SQLite has not yet moved into the file goes there too, so that a file that was moved is whole.
    """
    from logbook.store.connection import copied  # noqa: PLC0415 - it asks this module at each writing

    if not isinstance(connection, LogConnection) or connection.kept_as is not None:
        return getattr(connection, "kept_as", None)
    for folder in (path.parent, Path(user_data_dir("nightload", appauthor=False)), Path(gettempdir())):
        if connection.kept_as is None and folder.is_dir():
            with suppress(LogFileError, OSError, sqlite3.Error):
                copy = folder / f"{path.stem} as it was{path.suffix}"
                connection.kept_as = copied(connection, copy, over=False)
    with suppress(sqlite3.Error):
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return connection.kept_as


def closed(connection: sqlite3.Connection, path: Path) -> None:
    """Close a connection. A log that was begun by it and never written into is taken away again.

    What was written into a file that is gone by now is kept first. SQLite itself sees that the name means
    another file, and lets what lies beside that one be (seen with 3.40; a test holds it).
    """
    if is_gone(connection, path):
        if getattr(connection, "wrote", False):
            kept_beside(connection, path)
        connection.close()
        return
    empty = getattr(connection, "began", False) and _taken_away_empty(connection, path)
    connection.close()
    if empty and not path.exists():
        for ending in ("-wal", "-shm"):
            with suppress(OSError):
                path.with_name(path.name + ending).unlink(missing_ok=True)


def _taken_away_empty(connection: sqlite3.Connection, path: Path) -> bool:
    """Such as after a first line that was refused."""
    with suppress(sqlite3.Error, OSError):
        connection.execute("BEGIN IMMEDIATE")  # nobody else begins to write in it meanwhile
        try:
            if connection.execute(_UNTOUCHED).fetchone()[0]:
                path.unlink()
                return True
        finally:
            connection.execute("ROLLBACK")
    return False
