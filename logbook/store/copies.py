"""Copies of the log: making one and bringing one back."""

from __future__ import annotations

import glob
import os
import shutil
import sqlite3
from contextlib import closing, suppress
from datetime import datetime, timedelta
from pathlib import Path

from logbook.errors import LogFileError
from logbook.store.connection import connect, connect_for_looking, copied, explained, sync_folder
from logbook.store.folders import PRIVATE_FOLDER
from logbook.store.log import Log
from logbook.store.soundness import check

CUT_SHORT_AFTER = timedelta(days=1)
"""Older than this, a copy under way is none any more. ASSUMED: one of a hundred megabytes takes seconds."""


def back_up(log: Log, folder: Path, *, now: datetime, mark: str = "") -> Path:
    """Write a dated copy of the log into a folder, whole and checked; never over another file.

    ``mark`` stands after the date in its name.

    Raises:
        LogFileError: It could not be written, or the copy is not sound.
    """
    with explained(folder):
        folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    _take_away_cut_short(folder, log.path.stem, now=now)
    named = folder / f"{log.path.stem} {now:%Y-%m-%d %H%M}{mark}{log.path.suffix or '.db'}"
    target = copied(log.connection, named, over=False)
    found = check(target)
    if not found.sound:
        target.unlink()
        raise LogFileError(
            f"The copy of {log.path} is not sound: {found.problems[0]}.\n"
            "The log itself is damaged: nightload check says more; nightload restore lists the copies."
        )
    return target


def _take_away_cut_short(folder: Path, stem: str, *, now: datetime) -> None:
    """What copies left that a power cut ended, once nobody can be at them any more."""
    for half in folder.glob(f"{glob.escape(stem)} *.part"):
        with suppress(OSError):
            if half.stat().st_mtime < (now - CUT_SHORT_AFTER).timestamp():
                half.unlink()


def restore(path: Path, copy: Path, *, now: datetime) -> Path | None:
    """Put a copy in the place of the log. The log as it was is kept beside it, damaged or not.

    Returns:
        Where the log as it was lies now; None when there was none.

    Raises:
        LogFileError: The copy is no sound log; nothing was changed.
    """
    found = check(copy)
    if not found.sound:
        raise LogFileError(
            f"The copy {copy} is not sound: {found.problems[0]}.\nNothing was changed. Try an older copy."
        )
    with explained(path):
        if path.exists() and path.samefile(copy):
            raise LogFileError(f"{copy} is the log itself.\nName one of its copies.")
        path.parent.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    with closing(connect_for_looking(copy)) as source:
        return _put_in_place(source, path, now=now)


def _put_in_place(source: sqlite3.Connection, path: Path, *, now: datetime) -> Path | None:
    aside = _free(path.with_name(f"{path.stem} before restore {now:%Y-%m-%d %H%M}{path.suffix}"))
    kept = None
    try:
        with closing(connect(path, create=False)) as live, explained(path):
            # Into the living file, in one transaction: other windows go on with what was restored.
            kept = copied(live, aside, over=False)
            source.backup(live)
    except LogFileError as error:
        if not _past_reading(error):
            raise  # in use, no space: the log is whole, and so it stays
        if kept is not None:
            with explained(kept):
                kept.unlink(missing_ok=True)
        return _replace(source, path, _free(aside))
    return kept


def _past_reading(error: LogFileError) -> bool:
    """Whether a log can't be read, rather than not be written now: none there, damaged, of another kind."""
    cause = error.__cause__
    if isinstance(cause, OSError):
        return False
    code = str(getattr(cause, "sqlite_errorname", ""))
    return not code or code.startswith(
        ("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_ERROR", "SQLITE_IOERR_READ", "SQLITE_IOERR_SHORT_READ")
    )


def _replace(source: sqlite3.Connection, path: Path, aside: Path) -> Path | None:
    """Put the copy where the log was, keeping that as it is; at no moment is neither of them there."""
    fresh = path.with_name(f"{path.name}.restored.part")
    copied(source, fresh)
    with explained(path):
        kept = aside if path.exists() else None
        beside = [path.with_name(path.name + ending) for ending in ("-wal", "-shm", "-journal")]
        for part in (path, *beside):  # what SQLite keeps beside a log belongs to it
            if part.exists() and not part.name.endswith("-shm"):
                _also_as(part, aside.with_name(aside.name + part.name.removeprefix(path.name)))
        sync_folder(path.parent)
        # Before the new one comes: SQLite would take what belonged to the old one for the new one's.
        for part in beside:
            part.unlink(missing_ok=True)
        sync_folder(path.parent)
        if path.exists():
            shutil.copymode(path, fresh)  # a log that is shared within a family stays so
        fresh.replace(path)
        sync_folder(path.parent)
    return kept


def _also_as(path: Path, name: Path) -> None:
    """Give a file a second name; where the file system can't, a copy that is on the disk."""
    try:
        name.hardlink_to(path)
    except OSError:
        shutil.copyfile(path, name)
        with name.open("rb+") as file:
            os.fsync(file.fileno())


def _free(path: Path) -> Path:
    """The path, or the first numbered one like it that is not taken."""
    free, number = path, 2
    while free.exists():
        free = path.with_name(f"{path.stem} ({number}){path.suffix}")
        number += 1
    return free
