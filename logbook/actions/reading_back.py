"""A folder that ``export`` wrote, back into a log: the same events, whatever the log holds already."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.actions.safe_copies import copy_before
from logbook.errors import BadInputError
from logbook.results.copies import MadeCopy
from logbook.store import merging
from logbook.store.connection import connect_for_looking, explained
from logbook.store.events_in import log_of_lines
from logbook.store.log import Log
from logbook.store.tables_out import EVENTS_FILE
from logbook.wording.copies import kept_before_text

_AT_A_TIME = 5_000
"""Identifiers compared at a time. ASSUMED: half a megabyte."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBack:
    """What reading an export back did, or with ``preview`` would do: its events, and those that were new."""

    events: int
    added: int
    preview: bool
    copy: MadeCopy | None = None

    @property
    def said(self) -> tuple[str, ...]:
        """In a sentence."""
        if not self.added:
            return (f"Nothing new: all {self.events} events are in the log already.",)
        verb = "Would bring in" if self.preview else "Brought in"
        kept = [kept_before_text(self.copy.path)] if self.copy and self.copy.path else []
        return (f"{verb} {self.added} of {self.events} events.", *kept)


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
    copy_into: Path | None = None,
    now: datetime | None = None,
) -> ReadBack:
    """Bring in every event of an export that the log lacks, as ``merge`` does with another log.

    Before anything comes in, a dated copy of the log goes into the folder ``copy_into``, where both that and
    ``now`` are given.

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
        added, copy = _lacking(log, other), None
        if not preview:
            if added and copy_into is not None and now is not None:
                copy = copy_before(log, copy_into, now=now)
            added = merging.merge(log, other)  # it also looks at what both have
    return ReadBack(events=events, added=added, preview=preview, copy=copy)


def _lacking(log: Log, other: Path) -> int:
    """How many events of another log this one does not have."""
    count = 0
    with closing(connect_for_looking(other)) as theirs, explained(log.path):
        uuids = theirs.execute("SELECT uuid FROM event")
        while some := [row[0] for row in uuids.fetchmany(_AT_A_TIME)]:
            here = "SELECT count(*) FROM event WHERE uuid IN (SELECT value FROM json_each(?))"
            count += len(some) - log.connection.execute(here, (json.dumps(some),)).fetchone()[0]
    return count
