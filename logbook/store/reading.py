"""Reading a log that can't be written: in a folder or on a medium that is read-only, or on a full disk.

SQLite needs to write beside a log even to read it. So it is read into memory, from a copy that is brought up
to this version; nothing is written where it lies, and whatever would write into it is refused.
"""

from __future__ import annotations

import errno
import shutil
import sqlite3
import warnings
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.errors import LogFileError

TRIES = 5
"""How often a copy is begun anew because another program wrote meanwhile."""

_NO_WRITING = (
    *("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH", "SQLITE_FULL"),
    *("SQLITE_IOERR_WRITE", "SQLITE_IOERR_SHM", "SQLITE_IOERR_TRUNCATE", "SQLITE_IOERR_FSYNC"),
    *("SQLITE_IOERR_DELETE", "SQLITE_IOERR_LOCK"),
)
"""SQLite's result codes, or how they begin, when a file can't be written but perhaps be read."""

_NO_WRITING_OS = (errno.EROFS, errno.EACCES, errno.EPERM, errno.ENOSPC, errno.EDQUOT)


class ReadOnlyWarning(UserWarning):
    """Said once beside an answer: nothing can be saved."""


def only_readable(error: LogFileError) -> bool:
    """Whether a log could not be opened because it could not be written."""
    cause = error.__cause__
    if isinstance(cause, OSError):
        return cause.errno in _NO_WRITING_OS
    return str(getattr(cause, "sqlite_errorname", "")).startswith(_NO_WRITING)


def in_memory(
    path: Path, opened: Callable[[Path], sqlite3.Connection], *, refused: LogFileError
) -> sqlite3.Connection:
    """What a log holds, read through ``opened`` from a copy; a connection that refuses to write.

    Raises:
        LogFileError: ``refused``, when it can't be read either.
    """
    if not only_readable(refused) or not path.is_file():
        raise refused
    try:
        with TemporaryDirectory(prefix="nightload") as folder:
            copy = Path(folder) / path.name
            _copied_as_it_stands(path, copy)
            with closing(opened(copy)) as whole:
                memory = sqlite3.connect(":memory:", isolation_level=None)
                whole.backup(memory)
    except (OSError, sqlite3.Error, LogFileError) as error:
        raise refused from error
    memory.execute("PRAGMA query_only = ON")
    return memory


def is_only_read(connection: sqlite3.Connection) -> bool:
    """Whether a connection is one that ``in_memory`` gave."""
    return bool(connection.execute("PRAGMA query_only").fetchone()[0])


def only_read_text(path: Path) -> str:
    """What to tell of a log that is only read."""
    return f"The log {path} can't be written: it is read as it stands, and nothing can be saved."


def say_so(path: Path) -> None:
    """Tell whoever listens (the commands do) that this log is only read."""
    warnings.warn(only_read_text(path), ReadOnlyWarning, stacklevel=2)


def _copied_as_it_stands(path: Path, copy: Path) -> None:
    """The file, and what SQLite has not yet moved into it, of one moment."""
    wal = path.with_name(path.name + "-wal")
    for _ in range(TRIES):
        before = _state(path), _state(wal)
        shutil.copyfile(path, copy)
        beside = copy.with_name(copy.name + "-wal")
        beside.unlink(missing_ok=True)
        if wal.exists():
            shutil.copyfile(wal, beside)
        if before == (_state(path), _state(wal)):
            return
    raise OSError(errno.EBUSY, "it is being written by another program")


def _state(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns
