"""Opening the log file safely, and SQLite's errors in an owner's words."""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from functools import partial
from pathlib import Path

from logbook.errors import LogFileError, NewerLogError
from logbook.store.digest import fill
from logbook.store.folders import PRIVATE_FOLDER, begin_private, named_free
from logbook.store.gone import LogConnection, file_at, gone, is_gone
from logbook.store.reading import in_memory, say_so
from logbook.store.schema import APPLICATION_ID, SCHEMA_VERSION, check_sqlite, migrate

BUSY_WAIT_S = 120.0
"""How long a second writer waits for the first, s. ASSUMED: one fsync takes well under 0.1 s, an import of
50,000 rows 3 s of a processor, so a year of a logger's minutes on an old, busy laptop is over by then; longer
than this something else is wrong. The app's screen never waits so: it asks ``is_free`` first."""

_NOT_OUR_TABLES = re.compile(
    r"no such (?:table|column|view|index)|(?:table|view|index) \S+ already exists|has no column named|"
    r"error in (?:view|trigger|index)|malformed database schema|has \d+ columns but|datatype mismatch|"
    r"unsupported file format|(?:unknown|no such) function|no such collation|no such module|"
    r"ambiguous column name|circularly defined"
)
"""How SQLite words it when tables are missing or another's (as of 3.40). Bugs of ours that read so are caught
by the tests, where the tables are ours."""

_MAGIC = b"SQLite format 3\x00"
"""First 16 bytes of every SQLite 3 file (sqlite.org, "Database File Format", section 1.3; from memory)."""

_WITHOUT_DIGEST = "SELECT 1 FROM event WHERE digest IS NULL LIMIT 1"
"""Answered by a partial index that is nearly always empty."""


def connect(path: Path, *, create: bool, wait_s: float = BUSY_WAIT_S) -> sqlite3.Connection:
    """A connection to the log at ``path``, brought up to date; every commit is on the disk when it returns.

    Write-ahead log, full sync, foreign keys on. Nothing is changed in a file that is refused.

    Raises:
        LogFileError: No file and ``create`` is false; no log; from a newer version; damaged; in use.
    """
    check_sqlite()
    with explained(path):
        _check_file(path, create=create)
        began = not path.exists()
        if began:
            begin_private(path)
        connection = sqlite3.connect(
            path.absolute(),  # "file:x" would be read as an address, a log in memory that is gone at the end
            timeout=wait_s,
            isolation_level=None,
            factory=LogConnection,
        )
        connection.file, connection.began = file_at(path), began
        with closed_on_failure(connection):
            version = _check_kind(connection, path, create=create)
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA synchronous = FULL")  # one fsync for each commit
            if version < SCHEMA_VERSION:
                if version:
                    keep_as_it_was(connection, path, version=version)
                migrate(connection)
            elif connection.execute(_WITHOUT_DIGEST).fetchone():
                _give_digests(connection)
    return connection


@contextmanager
def closed_on_failure(connection: sqlite3.Connection) -> Iterator[sqlite3.Connection]:
    """The connection, closed should anything fail: a lock left behind makes the next to open wait for it."""
    try:
        yield connection
    except BaseException:
        connection.close()
        raise


def _give_digests(connection: sqlite3.Connection) -> None:
    """For what a window of an older version wrote after the file was brought up to this one."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        fill(connection, where="e.digest IS NULL")
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def is_free(connection: sqlite3.Connection) -> bool:
    """Whether no other connection is writing the log at this moment; asked without waiting."""
    wait_ms: int = connection.execute("PRAGMA busy_timeout").fetchone()[0]
    connection.execute("PRAGMA busy_timeout = 0")
    try:
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("ROLLBACK")
    except sqlite3.DatabaseError as error:  # any other trouble is for the writing itself to tell
        return not str(getattr(error, "sqlite_errorname", "")).startswith("SQLITE_BUSY")
    finally:
        connection.execute(f"PRAGMA busy_timeout = {wait_ms}")
    return True


def times_changed(connection: sqlite3.Connection) -> int:
    """A number that changes whenever another connection wrote the file."""
    return int(connection.execute("PRAGMA data_version").fetchone()[0])


def keep_as_it_was(connection: sqlite3.Connection, path: Path, *, version: int) -> Path:
    """A copy of the log beside it before its format changes, made once: "cabin format 1.db".

    An older program still opens it, and so does this one if the change went wrong.
    """
    kept = path.with_name(f"{path.stem} format {version}{path.suffix}")
    if not kept.exists():
        copied(connection, kept)
    return kept


def copied(source: sqlite3.Connection, target: Path, *, over: bool = True) -> Path:
    """One consistent state of a log, other windows' commits included, as a plain file on the disk.

    It has its name once it is whole; a power cut before leaves a file that ends in ".part". ``over`` false:
    it takes the place of no other file, not even of one another window makes at this moment.

    Returns:
        Where it lies: ``target``, or the first numbered name like it that was free.
    """
    half = target.with_name(f"{target.name}.{os.getpid()}.part")
    with explained(target):
        half.unlink(missing_ok=True)
        try:
            begin_private(half)
            with closing(sqlite3.connect(half.absolute(), isolation_level=None)) as copy:
                source.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
            if over:
                half.replace(target)  # SQLite has synced what is in it
            else:
                target = named_free(half, target)
            sync_folder(target.parent)
            return target
        except BaseException:
            for ending in ("", "-journal", "-wal", "-shm"):
                with suppress(OSError):
                    half.with_name(half.name + ending).unlink(missing_ok=True)
            raise


def sync_folder(folder: Path) -> None:
    """Make a new name last through a power cut, where the system lets folders be synced."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def connect_or_read(path: Path, *, create: bool) -> sqlite3.Connection:
    """As ``connect``; a log that can't be written is read into memory, a warning says so, writing is refused.

    Raises:
        LogFileError: As for ``connect``.
    """
    try:
        return connect(path, create=create)
    except LogFileError as error:
        connection = in_memory(path, partial(connect, create=False), refused=error)
    say_so(path)
    return connection


def connect_for_looking(path: Path) -> sqlite3.Connection:
    """A connection that changes nothing, to a log of this or an older version, writable or not.

    Raises:
        LogFileError: As for ``connect``.
    """
    check_sqlite()
    try:
        return _looking(path)
    except LogFileError as error:
        return in_memory(path, _looking, refused=error)


def _looking(path: Path) -> sqlite3.Connection:
    with explained(path):
        _check_file(path, create=False)
        connection = sqlite3.connect(path.absolute(), timeout=BUSY_WAIT_S, isolation_level=None)
        with closed_on_failure(connection):
            _check_kind(connection, path, create=False)
            connection.execute("PRAGMA query_only = ON")
    return connection


@contextmanager
def transaction(connection: sqlite3.Connection, path: Path) -> Iterator[sqlite3.Connection]:
    """All of it or nothing, on the disk when it ends. Waits its turn behind another window's writing.

    Raises:
        LogFileError: Nothing was written; also when the file was taken away while it was open.
    """
    if is_gone(connection, path):
        raise gone(connection, path)
    with explained(path):
        connection.execute("BEGIN IMMEDIATE")
        try:
            yield connection
            if is_gone(connection, path):
                connection.execute("ROLLBACK")
                raise gone(connection, path)
            connection.execute("COMMIT")
            if isinstance(connection, LogConnection):
                connection.wrote = True
        except BaseException:
            # A full disk may have rolled back already.
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


@contextmanager
def explained(path: Path) -> Iterator[None]:
    """Turn what SQLite and the system say about the file into a ``LogFileError``; bugs pass through."""
    try:
        yield
    except OSError as error:
        raise LogFileError(
            f"The log {path} could not be opened: {error.strerror or error}.\n"
            "Check that the folder exists and that you may write there, or name another file with --log."
        ) from error
    except (sqlite3.IntegrityError, sqlite3.ProgrammingError):
        raise
    except UnicodeDecodeError as error:  # in what SQLite has to say about a damaged name
        raise LogFileError(_said_about("SQLITE_CORRUPT", path)) from error
    except sqlite3.DatabaseError as error:
        code = str(getattr(error, "sqlite_errorname", ""))
        if not code and str(error).startswith("Could not decode to UTF-8"):
            code = "SQLITE_CORRUPT"
        said = _said_about(code, path)
        if said is None and _NOT_OUR_TABLES.search(str(error)):
            said = (
                f"The tables in the log {path} are not as this program makes them: damaged, or changed by "
                "another program. Nothing was changed.\n"
                "Copy the file aside first. Then bring back the newest copy: nightload restore lists them."
            )
        if said is None:
            raise
        raise LogFileError(f"{said}\n(SQLite says: {error}.)") from error


def _said_about(code: str, path: Path) -> str | None:
    """What to tell for one of SQLite's result codes; None when it is not about the file."""
    if code.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return (
            f"The log {path} is being written in another window (waited {BUSY_WAIT_S:g} s). "
            "Nothing was saved.\n"
            "Try again; if it stays so, close the other window."
        )
    if code.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return (
            f"The log {path} is damaged and was not changed.\n"
            "Copy the file aside first. Then bring back the newest copy: nightload restore lists them. "
            "Without one, save what is whole in it into a new log: nightload salvage DAMAGED NEW.db."
        )
    if code.startswith("SQLITE_FULL"):
        return (
            f"The disk is full: nothing was saved to {path}. What was saved before is safe.\n"
            "Free some space, then do it again."
        )
    if code.startswith(("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_CANTOPEN", "SQLITE_AUTH")):
        return (
            f"The log {path} could not be opened for writing.\n"
            "Check that you may write to the file and its folder, or name another file with --log."
        )
    if code.startswith("SQLITE_IOERR"):
        return (
            f"The disk failed while the log {path} was read or written, or takes no more (no room left for "
            "this user, or read-only by now). Nothing of this is sure to be saved.\n"
            "Look for space, then do it again. If it stays so, copy the file to another disk and look at the "
            "copy: nightload --log COPY check."
        )
    return None


def _check_file(path: Path, *, create: bool) -> None:
    if path.is_dir():
        raise LogFileError(f"{path} is a folder, not a log.\nName a file in it: --log {path / 'cabin.db'}")
    if not path.exists():
        if not create:
            raise LogFileError(
                f"There is no log at {path}.\n"
                "Make one: nightload setup FILE.toml (nightload setup --example prints a file to start from)."
            )
        path.parent.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    elif not path.is_file():
        raise LogFileError(f"{path} is a device or a pipe, not a log.\nName a file: --log FILE")


def _check_kind(connection: sqlite3.Connection, path: Path, *, create: bool) -> int:
    """The version of the log, 0 for an empty file that may become one.

    The file is only read through SQLite: a file of the program's own opened and closed beside it gives up the
    locks of every connection of this process. Another program would then take the log for unused, and what
    is written here afterwards be lost (sqlite.org, "How To Corrupt", 2.2; seen with two programs on a log).
    """
    try:
        application: int = connection.execute("PRAGMA application_id").fetchone()[0]
    except sqlite3.DatabaseError as error:
        if str(getattr(error, "sqlite_errorname", "")) == "SQLITE_NOTADB" and not _looks_like_one(path):
            raise _no_log(path) from error
        raise
    version: int = connection.execute("PRAGMA user_version").fetchone()[0]
    if application == APPLICATION_ID:
        if version > SCHEMA_VERSION:
            raise NewerLogError(
                f"The log {path} was written by a newer version (format {version}; this one knows up to "
                f"{SCHEMA_VERSION}). Nothing was changed.\nUpdate this program, then open the log again. "
                f"Until then its tables can be written as plain CSV: nightload --log {path} export DIR"
            )
        return version
    empty = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0] == 0
    if application == 0 and version == 0 and empty:
        if create:
            return 0
        raise LogFileError(  # such as a power cut leaves in the first moment of a log
            f"The log {path} is empty: nothing was ever written into it.\n"
            "Write the first line (nightload note LINE) or describe the cabin (nightload setup FILE.toml); "
            "or bring back a copy: nightload restore lists them."
        )
    raise _no_log(path)


def _looks_like_one(path: Path) -> bool:
    """Whether a file that SQLite refused begins like one of its own: damaged then, not another's."""
    with path.open("rb") as file:
        return file.read(len(_MAGIC)) == _MAGIC


def _no_log(path: Path) -> LogFileError:
    return LogFileError(
        f"{path} is not one of this program's logs. Nothing was changed.\n"
        "Name the log with --log FILE or NIGHTLOAD_LOG, or a new name to begin one. If it was your log, its "
        "head is damaged: nightload restore lists its copies."
    )
