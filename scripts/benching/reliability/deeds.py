"""What is done to a log while it is broken: real commands on a small log, and telling old from new after.

Every deed begins from a copy of the same folder (``make_world``). ``seen`` says what a folder holds as a
person would find it: the same before and after means nothing was done, and there is nothing in between.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sqlite3
from collections.abc import Callable, Mapping
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from logbook.errors import LogbookError
from logbook.store import schema
from logbook.store.copies import check
from logbook.store.log import open_log

ROWS = 1500
"""Rows of the table that is imported: a sixth of a second's work, so that a cut can come into the middle."""

DESCRIPTION = """
[site]
name = "Rushlight"
latitude_deg = 47.0
longitude_deg = 13.0
timezone = "Etc/GMT-1"
[cabin]
floor_m2 = 24
volume_m3 = 60
[stove]
max_load_kg = 8
air_lever_reads = "open"
clean_floor_open_pct = 25
[wood]
moisture_pct = 18
moisture_basis = "wet"
pieces_kg = {S = 0.8, M = 1.6, L = 2.8}
"""

FIRST = datetime(2025, 1, 4, 6, tzinfo=UTC)


@dataclass(frozen=True)
class Deed:
    """One command. ``words`` follow ``--log FILE``; ``{}`` in them is the folder, ``{id}`` an entry's.

    ``prepare`` changes the copied folder first. ``touches_log`` false: the log must be the same after it.
    """

    name: str
    words: tuple[str, ...]
    prepare: Callable[[Path], None] = lambda _: None
    touches_log: bool = True
    needs_log: bool = True

    def said(self, folder: Path, *, entry_id: str) -> list[str]:
        """The words as they are typed."""
        filled = [word.replace("{}", str(folder)).replace("{id}", entry_id) for word in self.words]
        return ["--log", str(folder / "cabin.db"), *filled]


def older(folder: Path) -> None:
    """The log is one of the first format, with what a killed program left beside it."""
    for name in ("cabin.db", "cabin.db-wal", "cabin.db-shm"):
        (folder / name).unlink(missing_ok=True)
    shutil.copy(folder / "old.db", folder / "cabin.db")


def ruined(folder: Path) -> None:
    """The log's first pages are gone."""
    path = folder / "cabin.db"
    path.write_bytes(b"\xe5" * 8192 + path.read_bytes()[8192:])


def gone(folder: Path) -> None:
    """There is no log."""
    for name in ("cabin.db", "cabin.db-wal", "cabin.db-shm"):
        (folder / name).unlink(missing_ok=True)


DEEDS = (
    Deed("entry", ("note", "-11/18", "4m", "1/4")),
    Deed("edit", ("edit", "{id}", "-7/15", "note", "changed")),
    Deed("remove", ("remove", "{id}")),
    Deed("undo", ("undo",)),
    Deed("redo", ("redo",)),
    Deed("setup", ("setup", "{}/cabin2.toml")),
    Deed("list", ("list", "leaving", "--done", "1")),
    Deed("import", ("import", "{}/table.csv")),
    Deed("first entry", ("note", "-11/18"), gone, needs_log=False),
    Deed("migration", ("events",), older),
    Deed("migration, writing", ("note", "-11/18"), older),
    Deed("merge", ("merge", "{}/other.db")),
    Deed("backup", ("backup", "{}/copies"), touches_log=False),
    Deed("restore", ("restore", "{}/copy.db")),
    Deed("restore, ruined", ("restore", "{}/copy.db"), ruined, needs_log=False),
    Deed("restore, none", ("restore", "{}/copy.db"), gone, needs_log=False),
    Deed("export", ("export", "{}/out"), touches_log=False),
)
BY_NAME: Mapping[str, Deed] = {deed.name: deed for deed in DEEDS}

PARTS = (".part",)
"""Endings of files that are not whole yet, and say so."""


@dataclass(frozen=True)
class World:
    """The folder every deed begins from, and an entry in its log."""

    folder: Path
    entry_id: str

    def copied(self, to: Path) -> Path:
        """A fresh copy."""
        shutil.rmtree(to, ignore_errors=True)
        shutil.copytree(self.folder, to)
        return to


def home(folder: Path) -> dict[str, str]:
    """Environment in which nothing of the person's is read or written."""
    return {
        "HOME": str(folder), "XDG_DATA_HOME": str(folder / "home"), "XDG_CACHE_HOME": str(folder / "cache"),
        "TZ": "UTC", "LC_ALL": "C.UTF-8", "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1",
    }  # fmt: skip


def make_world(folder: Path) -> World:
    """A log of two stays whose last lines are in the write-ahead log only, as a killed app leaves it; beside
    it a copy, another log that went its own way, a log of the first format, a table and descriptions."""
    from benching.reliability.forked import run_in_child  # noqa: PLC0415 - it needs this module

    folder.mkdir(parents=True)
    (folder / "cabin.toml").write_text(DESCRIPTION, encoding="utf-8")
    (folder / "cabin2.toml").write_text(DESCRIPTION.replace("24", "26"), encoding="utf-8")
    (folder / "table.csv").write_text(_table(ROWS), encoding="utf-8")

    def do(log: str, *words: str) -> None:
        done = run_in_child(["--log", str(folder / log), *words], env=home(folder))
        assert done.code == 0, done.said + done.complaint

    do("cabin.db", "setup", str(folder / "cabin.toml"))
    for line in ("-4/8 arrived kindling 3m", "-5/14 1/2", "-6/18 4m 1/4", "20 bed"):
        do("cabin.db", "note", "--yes", *line.split())
    shutil.copy(folder / "cabin.db", folder / "copy.db")
    shutil.copy(folder / "cabin.db", folder / "other.db")
    for number in range(15):
        do("other.db", "note", "note", "over there", str(number))
    with open_log(folder / "cabin.db") as log:
        entry_id = log.current_entries()[1].uuid
        old_events = log.connection.execute("SELECT count(*) FROM event").fetchone()[0]
    _old_log(folder / "old.db", events=60 + old_events)
    _left_open(folder / "cabin.db", home(folder))
    return World(folder=folder, entry_id=entry_id)


def _left_open(path: Path, env: Mapping[str, str]) -> None:
    """Lines written by a program that never closes the log; the last of them taken back, for ``redo``."""
    from benching.reliability.forked import left_open  # noqa: PLC0415 - it needs this module

    left_open(path, env=env, lines=("note in the wal", "note to be taken back"))
    assert path.with_name(path.name + "-wal").exists()


def _table(rows: int) -> str:
    said = ["at,indoor_c,outdoor_c"]
    for number in range(rows):
        at = FIRST + timedelta(minutes=10 * number)
        said.append(f"{at:%Y-%m-%dT%H:%M}Z,{12 + number % 97 / 10:.1f},{-8 + number % 53 / 10:.1f}")
    return "\n".join(said) + "\n"


def _old_log(path: Path, *, events: int) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = WAL")
        schema.migrate(db, migrations=schema.MIGRATIONS[:1])
        db.execute("BEGIN")
        db.execute("INSERT INTO device VALUES (1, 'a-device')")
        for number in range(1, events + 1):
            db.execute("INSERT INTO batch VALUES (?, ?)", (number, f"batch-{number}"))
            db.execute(
                "INSERT INTO event VALUES (?, ?, 1, ?, ?, 'record', NULL, NULL, NULL, '', 'UTC',"
                " '2026-01-16T18:00:00.000000Z', 'typed', ?)",
                (number, f"event-{number}", number, number, f"line {number}"),
            )
            db.execute(
                "INSERT INTO entry (event, at, place, indoor_c, kindling, fire_out, alarms_tested, flags)"
                " VALUES (?, '2026-01-16T18:00:00.000000Z', '', ?, 0, 0, 0, '')",
                (number, 10.0 + number / 10),
            )
        db.execute("COMMIT")


@dataclass(frozen=True)
class Seen:
    """What a log holds, as far as every run of a deed agrees on it; ``unreadable``: why it can't be read."""

    events: int = 0
    holding: int = 0
    digest: str = ""
    unreadable: str = ""

    def __str__(self) -> str:
        return self.unreadable.splitlines()[0] if self.unreadable else f"{self.events} events {self.digest}"


_ALL = (
    "SELECT e.act, e.how, e.line, n.indoor_c, n.outdoor_c, n.load_kg, n.note,"
    " CASE e.how WHEN 'imported' THEN n.at END, v.toml, s.name,"
    " CASE WHEN s.name LIKE '%checked%' THEN '' ELSE s.value END"
    " FROM event AS e LEFT JOIN entry AS n ON n.event = e.id"
    " LEFT JOIN description AS v ON v.event = e.id LEFT JOIN setting AS s ON s.event = e.id ORDER BY e.id"
)


def seen(path: Path) -> Seen:
    """Open a log as the program does, look through it, and say what it holds; a missing one holds nothing."""
    if not path.exists() or path.stat().st_size == 0:
        return Seen()  # SQLite makes the file with the first look; an empty one is no log yet
    try:
        with open_log(path, create=False) as log:
            rows = [tuple(row) for row in log.connection.execute(_ALL)]
            holding = len(log.entries())
        found = check(path)
    except LogbookError as error:
        return Seen() if "is empty" in str(error) else Seen(unreadable=str(error))
    except sqlite3.Error as error:
        return Seen(unreadable=f"{type(error).__name__}: {error}")
    if not found.sound:
        return Seen(unreadable="; ".join(found.problems))
    if not rows:
        return Seen()
    digest = hashlib.sha256(repr(rows).encode()).hexdigest()[:16]
    return Seen(events=len(rows), holding=holding, digest=digest)


@dataclass(frozen=True)
class Folder:
    """What lies in a world's folder after a deed: the log, and every file that a person would take for a log
    or a table, by a name without its date."""

    log: Seen
    logs: tuple[Seen, ...] = ()
    texts: Mapping[str, int] = field(default_factory=dict)


_OURS = {"cabin.db", "copy.db", "other.db", "old.db"}


def looked_at(folder: Path) -> Folder:
    """The log, and what else the deed made."""
    log = seen(folder / "cabin.db")
    others = [p for p in sorted(folder.rglob("*.db")) if not (p.parent == folder and p.name in _OURS)]
    texts = {p.name: len(p.read_bytes()) for p in sorted((folder / "out").glob("*")) if p.suffix not in PARTS}
    return Folder(log=log, logs=tuple(seen(path) for path in others), texts=texts)


def wrong_with(deed: Deed, found: Folder, *, before: Folder, after: Folder, acknowledged: bool) -> str:
    """What is wrong with a folder in which a deed was interrupted; empty when nothing is."""
    if found.log.unreadable and not before.log.unreadable:
        return f"the log can't be read: {found.log.unreadable}"
    whole = _same(found.log, after.log)
    if acknowledged and not whole:
        return f"acknowledged and not there: {found.log} instead of {after.log}"
    if not whole and not _same(found.log, before.log):
        return f"half done: {found.log}, neither {before.log} nor {after.log}"
    sound = {before.log, after.log} - {log for log in (before.log, after.log) if log.unreadable}
    for log in found.logs:
        if log not in sound and not (log.unreadable and before.log.unreadable):
            return f"a copy is not whole: {log}"
    if whole and not _same(before.log, after.log) and len(found.logs) < len(after.logs):
        return "the log as it was is not kept"
    if acknowledged and len(found.logs) < len(after.logs):
        return "acknowledged and the copy is not there"
    for name, size in found.texts.items():
        if size != after.texts.get(name):
            return f"{name} is half written: {size} of {after.texts.get(name)} bytes"
    if acknowledged and len(found.texts) < len(after.texts):
        return "acknowledged and a table is missing"
    return ""


def _same(one: Seen, other: Seen) -> bool:
    return one == other or bool(one.unreadable and other.unreadable)


def changed(folder: Path) -> tuple[tuple[str, int], ...]:
    """Names and sizes of what lies in a folder: another answer means that something was written."""
    found = []
    for here, _, names in os.walk(folder):
        for name in names:
            try:
                found.append((name, os.stat(os.path.join(here, name)).st_mtime_ns))  # noqa: PTH116, PTH118 - polled
            except OSError:
                found.append((name, -1))
    return tuple(sorted(found))
