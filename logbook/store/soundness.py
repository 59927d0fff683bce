"""Whether a log is sound: its pages, shape and references, our own rules, and every word of every event."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from logbook.description import parse_description
from logbook.errors import LogbookError
from logbook.store.connection import connect_for_looking, explained
from logbook.store.digest import EntryShape, Held, entry_shape, held_events, lenient, unsealed
from logbook.store.rows import ENTRY_COLUMNS, entry_from, time_from
from logbook.store.schema import FIRST_WITH_DIGESTS, MIGRATIONS
from logbook.store.schema import shape as shape_of
from logbook.store.views import ABOUT

LISTED = 20
"""How many problems of one kind are listed: enough to see what is wrong."""

_ODD = (
    ("an entry event without its entry",
     "SELECT e.uuid FROM event AS e LEFT JOIN entry AS n ON n.event = e.id"
     " WHERE (e.act IN ('record', 'edit')) <> (n.event IS NOT NULL)"),
    ("a description event without its text",
     "SELECT e.uuid FROM event AS e LEFT JOIN description AS v ON v.event = e.id"
     " WHERE (e.act = 'describe') <> (v.event IS NOT NULL)"),
    ("a setting event without its value",
     "SELECT e.uuid FROM event AS e LEFT JOIN setting AS s ON s.event = e.id"
     " WHERE (e.act = 'setting') <> (s.event IS NOT NULL)"),
    ("an edit of something that is no entry",
     "SELECT e.uuid FROM event AS e JOIN event AS r ON r.uuid = e.root WHERE r.act <> 'record'"),
    ("an edit numbered before what it edits",
     "SELECT e.uuid FROM event AS e JOIN event AS s ON s.uuid = e.supersedes WHERE s.counter >= e.counter"),
)  # fmt: skip
"""What can never be in a sound log, and the question that finds it."""


_OF_THE_PLACE = (
    "SQLITE_BUSY",
    "SQLITE_LOCKED",
    "SQLITE_IOERR",
    "SQLITE_CANTOPEN",
    "SQLITE_NOMEM",
    "SQLITE_FULL",
)
"""Errors that say nothing about what is in the file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Soundness:
    """What ``check`` found: nothing in ``problems`` means sound. Counts tell what was looked at."""

    events: int
    entries: int
    descriptions: int
    problems: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong."""
        return not self.problems


def check(path: Path) -> Soundness:
    """Look through a whole log without changing it, of this or an older format.

    Pages, tables and references as SQLite sees them, our own rules, and each event against its digest; logs
    of the first two formats have no digests, so there a flipped bit inside a cell cannot be seen.

    Raises:
        LogFileError: The file cannot even be opened as a log.
    """
    counts = [0, 0, 0]
    problems: list[str] = []
    with closing(connect_for_looking(path)) as db, explained(path):
        db.text_factory = lenient
        try:
            for look in (_pages, _shape, _references, _rules, _events, _kept):
                problems += islice(look(db), LISTED)
            counts = list(
                db.execute(
                    "SELECT (SELECT count(*) FROM event), (SELECT count(*) FROM entry),"
                    " (SELECT count(*) FROM description)"
                ).fetchone()
            )
        except sqlite3.DatabaseError as error:
            if str(getattr(error, "sqlite_errorname", "")).startswith(_OF_THE_PLACE):
                raise
            problems.append(f"it cannot be read further (SQLite: {error})")
        except UnicodeError:  # a damaged name, in what SQLite says or in what it is asked
            problems.append("its tables have names that cannot be read")
    return Soundness(events=counts[0], entries=counts[1], descriptions=counts[2], problems=tuple(problems))


def _pages(db: sqlite3.Connection) -> Iterator[str]:
    for (said,) in db.execute(f"PRAGMA integrity_check({LISTED})"):
        if said != "ok":
            yield f"SQLite: {said}"


def _shape(db: sqlite3.Connection) -> Iterator[str]:
    """Tables, indices and views are word for word this format's. An owner's own beside them are fine."""
    version: int = db.execute("PRAGMA user_version").fetchone()[0]
    have = set(db.execute("SELECT type, name, tbl_name, sql FROM sqlite_schema"))
    for kind, name, _, _ in sorted(shape_of(version) - have, key=lambda row: row[:2]):
        yield f"the {kind} {name} is not as format {version} has it"
    done = [
        name
        for (name,) in db.execute(
            "SELECT name FROM _sqlite_migrations WHERE migration_set = 'nightload' ORDER BY id"
        )
    ]
    if version < 1 or done != [name for name, _ in MIGRATIONS[:version]]:
        yield f"its format ({version}) is not what was done to it ({', '.join(map(str, done))})"
    if version >= FIRST_WITH_DIGESTS and tuple(db.execute("SELECT * FROM about ORDER BY rowid")) != ABOUT:
        yield "what the file says about its own tables is not as it was written"


def _references(db: sqlite3.Connection) -> Iterator[str]:
    for table, _, missing, _ in db.execute("PRAGMA foreign_key_check"):
        yield f"a row of {table} refers to a missing {missing}"


def _rules(db: sqlite3.Connection) -> Iterator[str]:
    for what, question in _ODD:
        for (uuid,) in db.execute(question + f" LIMIT {LISTED}"):
            yield f"{what}: {uuid}"


def _events(db: sqlite3.Connection) -> Iterator[str]:
    """Each event says what it said when it was written, and can be read."""
    version: int = db.execute("PRAGMA user_version").fetchone()[0]
    digests = version >= FIRST_WITH_DIGESTS
    shape = entry_shape(db)
    for held in held_events(db, digests=digests):
        if digests and held.digest != held.computed(shape):
            yield f"the {told(held)} is not as it was written"
        elif why := unreadable(held, shape):
            yield f"the {told(held)} cannot be read: {why}"


def told(held: Held) -> str:
    """An event in a few words, as far as its words can be believed."""
    uuid, *_, written_at, _, line = held.event
    words = f", {line.splitlines()[0][:60]!r}" if isinstance(line, str) and line.strip() else ""
    return f"{held.event[4]} {uuid} of {str(written_at)[:16]}{words}"


def unreadable(held: Held, shape: EntryShape) -> str | None:
    """Why an event cannot be read as the log reads it; None when it can."""
    try:
        time_from(held.event[10])
        if held.entry is not None:
            by_name = dict(zip(shape.columns, held.entry, strict=True))
            entry_from(tuple(by_name.get(name) for name in ENTRY_COLUMNS))
        if held.description is not None:
            since, toml = held.description
            if since is not None:
                time_from(since)
            parse_description(toml, machine_zone="UTC")
        for text in (*held.event, *(held.entry or ()), *(held.setting or ())):
            if isinstance(text, str) and not text.isascii():
                text.encode("utf-8")
    except UnicodeError:
        return "a word in it holds signs that are no text"
    except (ValueError, TypeError, KeyError, AttributeError, LogbookError) as error:
        return str(error).partition("\n")[0]
    return None


def _kept(db: sqlite3.Connection) -> Iterator[str]:
    """What this file keeps for itself, such as a half-typed line."""
    kept = dict(db.execute("SELECT name, value FROM info"))
    for name, value in kept.items():
        if not isinstance(name, str) or not isinstance(value, str):
            yield f"what the file keeps as {name!r} is no text"
        elif name.startswith("kept:"):
            plain = name.removeprefix("kept:")
            text, as_it_was = unsealed(plain, value)
            if not as_it_was or (plain == "device" and text != kept.get("device")):
                yield f"what the file keeps as {plain!r} is not as it was written"
        elif name != "device" and not name.startswith("here:"):
            yield f"the file keeps something under the name {name[:40]!r}, which this program never writes"
