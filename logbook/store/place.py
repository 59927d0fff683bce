"""Where things lie on this machine: the log, its copies, what was learned, and who writes here."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from uuid import UUID, uuid4

from platformdirs import user_cache_dir, user_data_dir

from logbook.errors import LogFileError
from logbook.store.whole import write_whole

APP = "nightload"
LOG_VARIABLE = "NIGHTLOAD_LOG"


def log_path(named: str | None = None, *, environment: Mapping[str, str] = os.environ) -> Path:
    """The log to open: ``--log``, else NIGHTLOAD_LOG, else where the platform keeps a person's data.

    Raises:
        LogFileError: It begins with the home of somebody unknown.
    """
    chosen = named or environment.get(LOG_VARIABLE)
    if chosen:
        try:
            return Path(chosen).expanduser()
        except RuntimeError as error:  # "~somebody" whom this machine does not know
            raise LogFileError(
                f"There is no home folder for '{chosen}' on this machine.\n"
                f"Write the log's whole path after --log or in {LOG_VARIABLE}."
            ) from error
    return Path(user_data_dir(APP, appauthor=False)) / "cabin.db"


def copies_folder(log: Path) -> Path:
    """Where dated copies of a log go unless another folder is named: beside it."""
    return log.parent / f"{log.stem} copies"


def cache_folder(log: Path) -> Path:
    """Where what was learned is kept: the platform's cache, or beside the log when that cannot be written."""
    usual = Path(user_cache_dir(APP, appauthor=False))
    return usual if _writable(usual) else log.parent / f"{log.stem} learned"


def this_device(folder: Path | None = None) -> str | None:
    """The identifier of this machine for its writing, made once; None where it cannot be kept."""
    kept = (folder or Path(user_data_dir(APP, appauthor=False))) / "device"
    try:
        return str(UUID(kept.read_text(encoding="ascii").strip()))
    except (OSError, ValueError):
        pass  # not made yet, or spoilt: make one
    fresh = str(uuid4())
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        write_whole(kept, fresh + "\n")
    except OSError:
        return None
    return fresh


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return False
    return os.access(folder, os.W_OK)
