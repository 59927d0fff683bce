"""Copies the program makes by itself: dated, only when something was written since the last, and rotated.

Those kept: the last ten, the last of each of the last twelve months that have one, the last of every year.
Only copies that carry this program's mark are ever taken away, and only after a newer one was found sound.
A copy an owner made or named is the owner's; what restore and a change of format keep aside is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from logbook.errors import LogFileError
from logbook.store.connection import connect_for_looking, explained
from logbook.store.copies import back_up
from logbook.store.log import Log

BY_ITSELF = " by itself"
"""After the date in the name of a copy made unasked: "cabin 2026-01-16 2000 by itself.db"."""

LAST, MONTHS = 10, 12
"""How many of the newest are kept, and of how many months the last one. Common practice, no source. Months
are counted as they come, not by the clock: one that is wrong for a day must not take old copies away."""

_NAME = re.compile(r"(?P<at>\d{4}-\d\d-\d\d \d{4})(?P<mark> by itself)?(?: \((?P<number>\d+)\))?", re.ASCII)


@dataclass(frozen=True, slots=True, order=True)
class DatedCopy:
    """A copy as its name tells it: when, to the minute (UTC); the how manieth of that minute; who made it."""

    at: datetime
    number: int
    by_itself: bool
    path: Path


def dated_copies(log: Path, folder: Path) -> tuple[DatedCopy, ...]:
    """The dated copies of a log in a folder, oldest first; whatever else lies there is none of them."""
    found = []
    suffix = log.suffix or ".db"
    with suppress(OSError):  # no folder, no copies
        for path in folder.iterdir():
            if path.suffix == suffix and path.stem.startswith(f"{log.stem} "):
                found.append(_named(path, path.stem.removeprefix(f"{log.stem} ")))
    return tuple(sorted(copy for copy in found if copy is not None))


def _named(path: Path, rest: str) -> DatedCopy | None:
    match = _NAME.fullmatch(rest)
    if match is None:
        return None
    try:
        at = datetime.strptime(match["at"] + " +0000", "%Y-%m-%d %H%M %z")
    except ValueError:
        return None  # no such day
    return DatedCopy(at, int(match["number"] or 1), match["mark"] is not None, path)


def outdated(copies: Iterable[DatedCopy]) -> tuple[DatedCopy, ...]:
    """Those made by itself that newer ones stand for, oldest first.

    Args:
        copies: In any order, the owner's own among them: they neither count nor go.
    """
    own = sorted((copy for copy in copies if copy.by_itself), reverse=True)
    kept = {copy.path for copy in own[:LAST]}
    kept |= {copy.path for copy in _last_of_each(own, "%Y-%m")[:MONTHS]}
    kept |= {copy.path for copy in _last_of_each(own, "%Y")}
    return tuple(copy for copy in reversed(own) if copy.path not in kept)


def _last_of_each(newest_first: Sequence[DatedCopy], form: str) -> list[DatedCopy]:
    last: dict[str, DatedCopy] = {}
    for copy in newest_first:
        last.setdefault(copy.at.strftime(form), copy)
    return list(last.values())


def events_in(copy: Path) -> int | None:
    """How many events a copy holds; None where it can't be read. Whether each is whole, ``check`` looks."""
    with suppress(LogFileError), closing(connect_for_looking(copy)) as db, explained(copy):
        found: int = db.execute("SELECT count(*) FROM event").fetchone()[0]
        return found
    return None


def copy_by_itself(log: Log, folder: Path, *, now: datetime) -> Path | None:
    """Make a dated copy if anything was written since the newest one, then take away what it stands for.

    Returns:
        The new copy; None when the newest one has all there is.

    Raises:
        LogFileError: It could not be written, or is not sound: no copy was taken away.
    """
    newest = dated_copies(log.path, folder)[-1:]
    if newest and _age_of(newest[0].path) == _age(log):
        return None
    made = back_up(log, folder, now=now, mark=BY_ITSELF)
    for copy in outdated(dated_copies(log.path, folder)):
        if copy.path != made:  # by a clock that was put back it may look like the oldest
            with suppress(OSError):
                copy.path.unlink()
    return made


_AGE = "SELECT count(*), max(id), (SELECT uuid FROM event ORDER BY id DESC LIMIT 1) FROM event"


def _age(log: Log) -> tuple[object, ...]:
    with explained(log.path):
        found: tuple[object, ...] = log.connection.execute(_AGE).fetchone()
    return found


def _age_of(copy: Path) -> tuple[object, ...] | None:
    """What ``_age`` says of a copy; None when it can't be read."""
    try:
        with closing(connect_for_looking(copy)) as db, explained(copy):
            found: tuple[object, ...] = db.execute(_AGE).fetchone()
    except LogFileError:
        return None
    return found
