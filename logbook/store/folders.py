"""Files into a folder, all of them or none: written under other names beside the old ones, then put there."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from itertools import chain, count
from pathlib import Path
from typing import TextIO

from logbook.errors import LogFileError

PRIVATE_FILE, PRIVATE_FOLDER = 0o600, 0o700
"""A household's record is its own: nobody else on the machine may read it, as with the log itself."""

PART = ".part"
"""How a file's name ends until all are whole."""


@contextmanager
def put_into(folder: Path, names: Iterable[str], *, ours: Iterable[str] = ()) -> Iterator[dict[str, TextIO]]:
    """Open files to write under their names; what the folder has stays untouched until all are written.

    Nothing else in the folder is touched. When the block ends by an error, nothing has changed.

    Args:
        folder: Made if it is not there.
        names: The files to write.
        ours: Names written at other times: such a file left from then is taken away with the rest.

    Raises:
        LogFileError: The folder cannot be written, or has a folder of one of the names.
    """
    wanted = tuple(names)
    parts = {name: folder / (name + PART) for name in wanted}
    try:
        with _said_of(folder):
            folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
            _no_folders(folder, wanted)
            with ExitStack() as opened:
                yield {name: opened.enter_context(_fresh(part)) for name, part in parts.items()}
            for name, part in parts.items():
                part.replace(folder / name)
            for name in set(ours) - set(wanted):
                (folder / name).unlink(missing_ok=True)
            sync_folder(folder)
    except BaseException:
        for part in parts.values():
            with suppress(OSError):
                part.unlink(missing_ok=True)
        raise


def sync_folder(folder: Path) -> None:
    """Make a renaming last through a power cut, where the system lets folders be synced."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def begin_private(path: Path) -> None:
    """Make an empty file that only its owner may read, if there is none: SQLite then keeps that for it.

    What a person shares with others on purpose stays so: the mode of a file that is there is left alone.

    Raises:
        OSError: It can't be made.
    """
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE))


def named_free(whole: Path, wanted: Path) -> Path:
    """Give a file the first name like the wanted one that nobody has: "x", "x (2)", "x (3)".

    Looking and taking are one step, so two programs at it in the same moment get two names.

    Raises:
        OSError: It can't be named there.
    """
    numbered = (wanted.with_name(f"{wanted.stem} ({n}){wanted.suffix}") for n in count(2))
    for name in chain([wanted], numbered):
        with suppress(FileExistsError):
            try:
                name.hardlink_to(whole)
            except FileExistsError:
                raise
            except OSError:  # a stick without second names: an empty file takes the name first
                name.touch(mode=PRIVATE_FILE, exist_ok=False)
                try:
                    return whole.replace(name)
                except BaseException:
                    name.unlink()
                    raise
            whole.unlink()
            return name
    raise AssertionError("numbers have no end")


@contextmanager
def _fresh(part: Path) -> Iterator[TextIO]:
    """A new private file, on the disk when the block ends; a link somebody put there is not followed."""
    part.unlink(missing_ok=True)
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE)
    with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
        yield file
        file.flush()
        os.fsync(handle)


def _no_folders(folder: Path, names: Iterable[str]) -> None:
    for name in names:
        if (folder / name).is_dir():
            raise LogFileError(
                f"{folder / name} is a folder; a file of that name would have to be written.\n"
                "Nothing was changed. Name another folder: nightload export DIR."
            )


@contextmanager
def _said_of(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise LogFileError(
            f"The folder {folder} could not be written: {error.strerror or error}.\n"
            "Name another folder: nightload export DIR."
        ) from error
