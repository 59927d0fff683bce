"""Joining two logs: the union of their events, whichever is joined into which, and twice is as once.

Events refer to each other by uuid and their order is (counter, device, uuid), so what holds after a merge
follows from the events alone. What both sides changed is told by ``conflicts``; nothing is lost by it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.errors import LogFileError
from logbook.store.connection import connect, connect_for_looking, copied, explained, transaction
from logbook.store.log import Log
from logbook.store.soundness import check

OF_THE_FILE = ("id", "device", "batch")
"""Columns of ``event`` that hold a file's own keys; all others go over as they are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kinship:
    """What two logs have in common, looked at before anything is joined.

    ``common`` counts the events both have, ``theirs`` those of the other log; ``same_cabin`` is false when
    both describe a cabin and no version of the one is a version of the other.
    """

    common: int
    theirs: int
    same_cabin: bool

    @property
    def strangers(self) -> bool:
        """Whether they look like the logs of two cabins."""
        return not self.common and not self.same_cabin


def kinship(log: Log, other: Path) -> Kinship:
    """Whether another log is likely of the same cabin. Neither is changed.

    Raises:
        LogFileError: The other file is no sound log.
    """
    _refuse_unsound(other)
    with closing(connect_for_looking(other)) as theirs, explained(other):
        here, there = (
            {row[0] for row in db.execute("SELECT uuid FROM event")} for db in (log.connection, theirs)
        )
        mine, yours = (
            {row[0] for row in db.execute("SELECT toml FROM description")} for db in (log.connection, theirs)
        )
    same = not mine or not yours or bool(mine & yours)
    return Kinship(common=len(here & there), theirs=len(there), same_cabin=same)


def merge(log: Log, other: Path) -> int:
    """Bring in every event of another log that this one lacks; nothing here is changed.

    The other file is not changed. Which log is merged into which makes no difference to what holds after.

    Returns:
        How many events were new.

    Raises:
        LogFileError: The other file is no sound log, or tells an event of this one otherwise; nothing was
            changed.
    """
    _refuse_unsound(other)
    with TemporaryDirectory() as folder:
        # A copy, brought up to this version: the other file stays as it is, even while it is in use.
        copy = Path(folder) / "other.db"
        with closing(connect_for_looking(other)) as source:
            copied(source, copy)
        connect(copy, create=False).close()
        with explained(log.path):
            log.connection.execute("ATTACH ? AS other", (str(copy.absolute()),))
        try:
            with explained(log.path):
                _refuse_told_otherwise(log.connection, other)  # what is there never changes: no lock needed
            with transaction(log.connection, log.path) as db:
                return unite(db)
        finally:
            with suppress(sqlite3.Error):
                log.connection.execute("DETACH other")


def unite(db: sqlite3.Connection) -> int:
    """Add the events of the log attached as ``other``, inside the caller's transaction.

    Returns:
        How many events were new.
    """
    before = db.execute("SELECT count(*) FROM main.event").fetchone()[0]
    for table in ("device", "batch"):
        db.execute(f"INSERT OR IGNORE INTO main.{table} (uuid) SELECT uuid FROM other.{table} ORDER BY id")
    db.execute("CREATE TEMP TABLE fresh AS SELECT id, uuid FROM other.event"
               " WHERE uuid NOT IN (SELECT uuid FROM main.event)")  # fmt: skip
    told = _told_columns(db, "event", but=OF_THE_FILE)
    db.execute(
        f"INSERT INTO main.event (device, batch, {', '.join(told)})"
        f" SELECT md.id, mb.id, {', '.join(f'e.{name}' for name in told)}"
        " FROM fresh AS f JOIN other.event AS e ON e.id = f.id"
        " JOIN other.device AS d ON d.id = e.device JOIN main.device AS md ON md.uuid = d.uuid"
        " JOIN other.batch AS b ON b.id = e.batch JOIN main.batch AS mb ON mb.uuid = b.uuid ORDER BY e.id"
    )
    for table in ("entry", "typed", "description", "setting"):
        names = ", ".join(_told_columns(db, table, but=("event",)))
        db.execute(
            f"INSERT INTO main.{table} (event, {names}) SELECT m.id, {names} FROM fresh AS f"
            f" JOIN main.event AS m ON m.uuid = f.uuid"
            f" JOIN (SELECT event AS theirs, {names} FROM other.{table}) ON theirs = f.id"
        )
    db.execute("DROP TABLE temp.fresh")
    return int(db.execute("SELECT count(*) FROM main.event").fetchone()[0] - before)


def _told_columns(db: sqlite3.Connection, table: str, *, but: tuple[str, ...]) -> tuple[str, ...]:
    """The columns of a table that mean the same in every file, quoted; new ones of later versions too."""
    names = (row[1] for row in db.execute(f"PRAGMA main.table_info({table})"))
    return tuple(f'"{name}"' for name in names if name not in but)


def _refuse_unsound(other: Path) -> None:
    found = check(other)
    if not found.sound:
        raise LogFileError(f"{other} is not sound: {found.problems[0]}.\nNothing was changed.")


def _refuse_told_otherwise(db: sqlite3.Connection, other: Path) -> None:
    """An event both have must say the same in both: else one of the files was changed by hand."""
    found = db.execute(
        "SELECT m.uuid FROM main.event AS m JOIN other.event AS o ON o.uuid = m.uuid"
        " WHERE m.digest <> o.digest LIMIT 1"  # none yet: an older window wrote it just now
    ).fetchone()
    if found is not None:
        raise LogFileError(
            f"{other} tells the event {found[0][:8]} otherwise than this log: one of the two files was "
            "changed by hand or by another program.\n"
            "Nothing was changed. Look which is right: nightload check, or an older copy."
        )
