"""The shape of the log file, and how an older file is brought up to it.

A log is known by SQLite's ``application_id``; ``user_version`` is the number of migrations it has had, so
that opening a current log needs no look at the migrations at all. All migrations a file still needs run in
order inside one transaction: either the file ends up current or it is as before. Tables are made here
only, strict, never implied by what is written into them.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from functools import cache
from typing import TYPE_CHECKING

from logbook.errors import LogFileError
from logbook.store.digest import fill, seal_device
from logbook.store.views import VIEWS

if TYPE_CHECKING:
    from sqlite_utils import Database

APPLICATION_ID = 0x4E4C4F47
"""Marks a SQLite file as one of our logs: "NLOG" in ASCII. Ours, registered nowhere."""

OLDEST_SQLITE = (3, 37, 0)
"""First SQLite with strict tables (sqlite.org, "STRICT Tables", section 1; from memory)."""

Statement = str | Callable[[sqlite3.Connection], object]
"""One step of a migration: SQL, or what is worked out row by row inside the same transaction."""

_FIRST = (
    "CREATE TABLE info (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID",
    "CREATE TABLE device (id INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE) STRICT",
    "CREATE TABLE batch (id INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE) STRICT",
    # References across events go by uuid, so that two logs merge without renumbering.
    """
    CREATE TABLE event (
        id INTEGER PRIMARY KEY,
        uuid TEXT NOT NULL UNIQUE,
        device INTEGER NOT NULL REFERENCES device (id),
        counter INTEGER NOT NULL CHECK (counter > 0),
        batch INTEGER NOT NULL REFERENCES batch (id),
        act TEXT NOT NULL
            CHECK (act IN ('record', 'edit', 'remove', 'undo', 'redo', 'describe', 'setting')),
        root TEXT REFERENCES event (uuid),
        supersedes TEXT REFERENCES event (uuid),
        target TEXT REFERENCES batch (uuid),
        at_typed TEXT NOT NULL,
        zone TEXT NOT NULL,
        written_at TEXT NOT NULL,
        how TEXT NOT NULL CHECK (how IN ('typed', 'imported', 'paper', 'logger')),
        line TEXT NOT NULL,
        CHECK ((act IN ('edit', 'remove')) = (root IS NOT NULL)),
        CHECK ((act IN ('edit', 'remove')) = (supersedes IS NOT NULL)),
        CHECK ((act IN ('undo', 'redo')) = (target IS NOT NULL))
    ) STRICT
    """,
    "CREATE INDEX event_counter ON event (counter)",
    "CREATE INDEX event_batch ON event (batch)",
    "CREATE INDEX event_root ON event (root) WHERE root IS NOT NULL",
    "CREATE INDEX event_target ON event (target) WHERE target IS NOT NULL",
    # Times are UTC text of one width, so that text order is time order.
    """
    CREATE TABLE entry (
        event INTEGER PRIMARY KEY REFERENCES event (id),
        at TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.??????Z'),
        indoor_c REAL,
        place TEXT NOT NULL,
        outdoor_c REAL,
        low_c REAL,
        high_c REAL,
        reset_at TEXT CHECK (reset_at GLOB '????-??-??T??:??:??.??????Z'),
        load_kg REAL,
        pieces TEXT,
        species TEXT,
        moisture_pct REAL,
        moisture_basis TEXT CHECK (moisture_basis IN ('wet', 'dry')),
        kindling INTEGER NOT NULL CHECK (kindling IN (0, 1)),
        air_open_pct REAL,
        flue_damper_open_pct REAL,
        "window" TEXT CHECK ("window" IN ('shut', 'cracked', 'open')),
        coals TEXT CHECK (coals IN ('none', 'few', 'good')),
        other_heat_w REAL,
        rh_pct REAL,
        wind TEXT CHECK (wind IN ('calm', 'breeze', 'strong')),
        forecast_low_c REAL,
        mark TEXT CHECK (mark IN ('arrived', 'bed', 'woke', 'left')),
        fire_out INTEGER NOT NULL CHECK (fire_out IN (0, 1)),
        alarms_tested INTEGER NOT NULL CHECK (alarms_tested IN (0, 1)),
        change TEXT,
        note TEXT,
        flags TEXT NOT NULL
    ) STRICT
    """,
    "CREATE INDEX entry_at ON entry (at)",
    "CREATE INDEX entry_at_by_people ON entry (at) WHERE flags <> 'logger'",
    """
    CREATE TABLE typed (
        event INTEGER NOT NULL REFERENCES event (id),
        position INTEGER NOT NULL,
        name TEXT NOT NULL,
        text TEXT NOT NULL,
        unit TEXT NOT NULL,
        PRIMARY KEY (event, position)
    ) STRICT, WITHOUT ROWID
    """,
    """
    CREATE TABLE description (
        event INTEGER PRIMARY KEY REFERENCES event (id),
        valid_from TEXT CHECK (valid_from GLOB '????-??-??T??:??:??.??????Z'),
        toml TEXT NOT NULL
    ) STRICT
    """,
    """
    CREATE TABLE setting (
        event INTEGER PRIMARY KEY REFERENCES event (id),
        name TEXT NOT NULL,
        value TEXT NOT NULL
    ) STRICT
    """,
    "CREATE INDEX setting_name ON setting (name)",
    # A batch is taken back when the last undo or redo that names it is an undo.
    """
    CREATE VIEW undone AS
    SELECT b.id AS batch
    FROM (SELECT DISTINCT target FROM event WHERE target IS NOT NULL) AS t
    CROSS JOIN batch AS b ON b.uuid = t.target
    WHERE 'undo' = (
        SELECT e.act FROM event AS e JOIN device AS d ON d.id = e.device
        WHERE e.target = t.target
        ORDER BY e.counter DESC, d.uuid DESC, e.uuid DESC LIMIT 1)
    """,
)

_MATTERS = (
    """ALTER TABLE entry ADD COLUMN matter TEXT
        CHECK (matter IS NULL OR (json_valid(matter) AND json_extract(matter, '$.kind') IS NOT NULL))""",
    # Ash, upkeep, stacks, lists: a few hundred rows among the many of a long log.
    "CREATE INDEX entry_matter ON entry (at) WHERE matter IS NOT NULL",
)

_DIGESTS: tuple[Statement, ...] = (
    "ALTER TABLE event ADD COLUMN digest BLOB CHECK (length(digest) = 16)",
    # A window of an older version, open while the file was brought up, still writes events without one.
    "CREATE INDEX event_without_digest ON event (id) WHERE digest IS NULL",
    fill,
    seal_device,
    *VIEWS,
)

MIGRATIONS: tuple[tuple[str, tuple[Statement, ...]], ...] = (
    ("first", _FIRST),
    ("matters", _MATTERS),
    ("digests", _DIGESTS),
)
"""Name and statements of each version of the file, in order. Never change a released one: add another."""

SCHEMA_VERSION = len(MIGRATIONS)
"""The version of the file this program writes."""

FIRST_WITH_DIGESTS = 3
"""The first version of the file whose events carry a digest."""


@cache
def shape(version: int) -> frozenset[tuple[str, str, str, str | None]]:
    """Type, name, table and SQL of everything a file of a version has, as ``sqlite_schema`` says it."""
    with closing(sqlite3.connect(":memory:")) as db:
        for _, statements in MIGRATIONS[:version]:
            _run(db, statements)
        return frozenset(db.execute("SELECT type, name, tbl_name, sql FROM sqlite_schema"))


@cache
def columns_of(table: str) -> tuple[tuple[str, str], ...]:
    """Name and type of each column of a table as this version makes it, in the file's order."""
    with closing(sqlite3.connect(":memory:")) as db:
        for _, statements in MIGRATIONS:
            _run(db, statements)
        return tuple((row[1], row[2]) for row in db.execute(f"PRAGMA table_info({table})"))


def check_sqlite(version: tuple[int, ...] = sqlite3.sqlite_version_info) -> None:
    """Refuse a SQLite library too old for strict tables.

    Raises:
        LogFileError: It is older than 3.37.
    """
    if version < OLDEST_SQLITE:
        raise LogFileError(
            f"This Python has SQLite {'.'.join(map(str, version))}; the log needs 3.37 or newer.\n"
            "Use a newer Python (3.11 from python.org has one), or update the system's SQLite."
        )


def migrate(
    connection: sqlite3.Connection,
    *,
    migrations: tuple[tuple[str, tuple[Statement, ...]], ...] = MIGRATIONS,
) -> None:
    """Bring a log up to date: all migrations it still needs, inside one transaction.

    The file records which it has had (sqlite-utils' table of migrations). The caller has made sure that
    this is a log or an empty file, and that the connection opens no transactions by itself.
    """
    import sqlite_utils  # noqa: PLC0415 - 220 ms: only when a log is made or is of an older version
    from sqlite_utils.migrations import Migrations  # noqa: PLC0415

    steps = Migrations("nightload")
    for name, statements in migrations:
        steps(name=name)(_step(statements))
    # Immediate: two windows may come to the same old file, and only one may change it. What the library
    # does for each migration nests inside as a savepoint.
    connection.execute("BEGIN IMMEDIATE")
    try:
        steps.apply(sqlite_utils.Database(connection, strict=True))
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {len(migrations)}")
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def _step(statements: tuple[Statement, ...]) -> Callable[[Database], None]:
    def step(database: Database) -> None:
        _run(database.conn, statements)

    return step


def _run(db: sqlite3.Connection, statements: tuple[Statement, ...]) -> None:
    for statement in statements:
        if isinstance(statement, str):
            db.execute(statement)
        else:
            statement(db)
