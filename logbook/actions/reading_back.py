"""A folder that ``export`` wrote, back into a log: the same events, whatever the log holds already."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.errors import BadInputError
from logbook.store import merging
from logbook.store.connection import connect_for_looking, explained
from logbook.store.events_in import log_of_lines
from logbook.store.log import Log
from logbook.store.tables_out import EVENTS_FILE

_AT_A_TIME = 5_000
"""Identifiers compared at a time. ASSUMED: half a megabyte."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBack:
    """What reading an export back did, or with ``preview`` would do: its events, and those that were new."""

    events: int
    added: int
    preview: bool

    @property
    def said(self) -> tuple[str, ...]:
        """In a sentence."""
        if not self.added:
            return (f"Nothing new: all {self.events} events are in the log already.",)
        verb = "Would bring in" if self.preview else "Brought in"
        return (f"{verb} {self.added} of {self.events} events.",)


def is_export(path: Path) -> bool:
    """Whether a path is a folder ``export`` may have written, or the file of events in it."""
    try:
        return path.is_dir() or path.name == EVENTS_FILE
    except OSError:  # a name too long for any file: whoever reads it says so
        return False


def read_back(
    log: Log,
    path: Path,
    *,
    preview: bool = False,
    told: Callable[[int, int], None] = lambda done, of: None,
) -> ReadBack:
    """Bring in every event of an export that the log lacks, as ``merge`` does with another log.

    Raises:
        BadInputError: There is no file of events.
        LogFileError: It is not whole, was changed by hand, or tells an event of the log otherwise; nothing
            was changed.
    """
    lines = path / EVENTS_FILE if path.is_dir() else path
    if not lines.is_file():
        raise BadInputError(
            f"The folder {path} has no {EVENTS_FILE}: no export of a log, or an old one of tables only.\n"
            "Name the folder that  nightload export DIR  wrote; a table alone comes in by its own name."
        )
    with TemporaryDirectory() as folder:
        other = Path(folder) / "export.db"
        events = log_of_lines(lines, other, told=told)
        added = _lacking(log, other) if preview else merging.merge(log, other)
    return ReadBack(events=events, added=added, preview=preview)


def _lacking(log: Log, other: Path) -> int:
    """How many events of another log this one does not have."""
    count = 0
    with closing(connect_for_looking(other)) as theirs, explained(log.path):
        uuids = theirs.execute("SELECT uuid FROM event")
        while some := [row[0] for row in uuids.fetchmany(_AT_A_TIME)]:
            here = "SELECT count(*) FROM event WHERE uuid IN (SELECT value FROM json_each(?))"
            count += len(some) - log.connection.execute(here, (json.dumps(some),)).fetchone()[0]
    return count
