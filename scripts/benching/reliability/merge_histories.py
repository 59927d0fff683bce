"""Random histories on two to four computers, from a common log or none, their clocks years apart.

Each history is lived in memory: every log is a SQLite file without a disk, merged by the same statements.
"""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from logbook.errors import LogbookError
from logbook.records import Cabin, Description, Entry, How, NewEvent, Stove
from logbook.store import queries
from logbook.store.log import Log
from logbook.store.merging import unite
from logbook.store.schema import migrate
from logbook.store.settling import conflicts, settle

START = datetime(2026, 1, 16, 20, tzinfo=UTC)
FARTHEST = timedelta(days=20 * 365)
"""How far a clock is off at most, either way."""

_ENTRY_AT = 12
"""Where the entry's columns begin in a row of an event."""

SETTINGS = ("emergency", "own_words", "list leaving")


@dataclass
class Computer:
    """One log and who writes in it; ``clock`` may be anywhere and goes on by odd steps."""

    log: Log
    clock: datetime

    def now(self) -> datetime:
        """Later than before, by whatever this clock believes."""
        self.clock += timedelta(minutes=7)
        return self.clock


@dataclass
class World:
    """All the dice and the identifiers of one history."""

    rng: random.Random
    blank: bytes
    number: int = 0
    written: set[str] = field(default_factory=set)

    def uuid(self) -> str:
        """Never twice, in no order."""
        self.number += 1
        return f"{self.rng.getrandbits(48):012x}-{self.number}"

    def computer(self, device: str, content: bytes | None = None) -> Computer:
        """A log of its own, blank or with what another holds."""
        connection = sqlite3.connect(":memory:", isolation_level=None)
        connection.deserialize(content or self.blank)
        connection.execute("PRAGMA foreign_keys = ON")
        off = timedelta(seconds=self.rng.randint(-1, 1) * self.rng.random() * FARTHEST.total_seconds())
        made = Computer(log=None, clock=START + off)  # type: ignore[arg-type] - given in the next line
        made.log = Log(connection, path=Path("memory"), now=made.now, new_uuid=self.uuid, device=device)
        return made


def blank_log() -> bytes:
    """An empty log of today's format."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    migrate(connection)
    return connection.serialize()


def content_of(log: Log) -> bytes:
    """The log as it would lie on a disk."""
    return log.connection.serialize()


def joined(log: Log, other: bytes) -> int:
    """Merge the content of another log into one; how many events were new."""
    db = log.connection
    db.execute("ATTACH ':memory:' AS other")
    db.deserialize(other, name="other")
    db.execute("BEGIN IMMEDIATE")
    try:
        return unite(db)
    finally:
        db.execute("COMMIT")
        db.execute("DETACH other")


def live(world: World, computer: Computer, acts: int) -> None:
    """So many random acts; one that can't be (nothing to undo) is none."""
    kinds = ("record",) * 4 + ("edit",) * 4 + ("remove", "remove", "undo", "undo", "redo", "describe",
             "setting", "setting", "import", "settle", "correct")  # fmt: skip
    for _ in range(acts):
        kind = world.rng.choice(kinds)
        before = computer.log.connection.execute("SELECT coalesce(max(counter), 0) FROM event").fetchone()[0]
        try:
            _do(world, computer, kind)
        except LogbookError:
            continue
        new = computer.log.connection.execute(
            "SELECT min(counter) FROM event WHERE counter > ?", (before,)
        ).fetchone()[0]
        assert new in (None, before + 1), "a new act comes after all that was known"


def _do(world: World, computer: Computer, kind: str) -> None:
    rng, log = world.rng, computer.log
    held = log.current_entries()
    if kind in ("edit", "remove", "correct") and not held:
        kind = "record"
    if kind == "record":
        log.add([said(rng) for _ in range(rng.randint(1, 3))], learned=_learned(rng))
    elif kind == "import":
        log.add([said(rng, how=How.IMPORTED) for _ in range(rng.randint(3, 6))])
    elif kind == "edit":
        log.edit(rng.choice(held).uuid, said(rng), more=[said(rng)] if rng.random() < 0.2 else [])
    elif kind == "correct":
        some = rng.sample(held, min(len(held), rng.randint(1, 3)))
        log.correct([(event.uuid, said(rng)) for event in some], learned=_learned(rng))
    elif kind == "remove":
        log.remove(rng.choice(held).uuid)
    elif kind == "undo":
        log.undo()
    elif kind == "redo":
        log.redo()
    elif kind == "setting":
        log.set_setting(rng.choice(SETTINGS), str(rng.randint(1, 5)))
    elif kind == "describe":
        cabin = Cabin(floor_m2=float(rng.randint(12, 40)), volume_m3=55.0)
        since = None if rng.random() < 0.3 else START + timedelta(days=rng.randint(-9, 9))
        log.add_description(Description(cabin=cabin, stove=Stove(max_load_kg=9.0)), since)
    elif found := conflicts(log):
        conflict = rng.choice(found)
        settle(log, conflict, rng.choice(conflict.claims))


def said(rng: random.Random, *, how: How = How.TYPED) -> NewEvent:
    """One of a few lines, so that two computers say the same now and then."""
    entry = Entry(at=START + timedelta(hours=rng.randint(-20, 20)), indoor_c=float(rng.randint(10, 16)))
    return NewEvent(entry=entry, how=how, line=f"in {entry.indoor_c:g}")


def _learned(rng: random.Random) -> list[tuple[str, str]]:
    return [(rng.choice(SETTINGS), str(rng.randint(1, 5)))] if rng.random() < 0.2 else []


def answers(log: Log) -> dict[str, object]:
    """All that a log tells, by what is asked; row ids are in none of it."""
    devices = [row[0] for row in log.connection.execute("SELECT uuid FROM device ORDER BY uuid")]
    names = [row[0] for row in log.connection.execute("SELECT DISTINCT name FROM setting ORDER BY name")]
    return {
        "history": log.events(),
        "entries that hold": log.current_entries(),
        "the newest": log.latest(20),
        "descriptions": log.descriptions(),
        "settings": [(name, log.setting(name)) for name in names],
        "conflicts": conflicts(log),
        "upkeep": log.upkeep_written(START + FARTHEST),
        "what undo takes back": [_rows(log, queries.LAST_STANDING, device) for device in devices],
        "what redo brings back": [_rows(log, queries.LAST_TAKEN_BACK, device) for device in devices],
    }


_TOLD = (
    "SELECT e.uuid, d.uuid, b.uuid, e.*, n.*, v.*, s.*, (SELECT group_concat(t.name || t.text || t.unit) FROM"
    " (SELECT * FROM typed WHERE event = e.id ORDER BY position) AS t), b.id IN (SELECT batch FROM undone)"
    " FROM event AS e JOIN device AS d ON d.id = e.device JOIN batch AS b ON b.id = e.batch"
    " LEFT JOIN entry AS n ON n.event = e.id LEFT JOIN description AS v ON v.event = e.id"
    " LEFT JOIN setting AS s ON s.event = e.id ORDER BY e.uuid"
)


def told(log: Log) -> list[tuple[object, ...]]:
    """Every event with all it says, this file's own keys left out; last whether it was taken back."""
    asked = log.connection.execute(_TOLD)
    own = ("id", "device", "batch", "event")
    keys = {n for n, column in enumerate(asked.description) if column[0] in own}
    return [tuple(value for n, value in enumerate(row) if n not in keys) for row in asked]


def _rows(log: Log, sql: str, device: str) -> list[tuple[object, ...]]:
    return log.connection.execute(sql, (device,)).fetchall()


Said = tuple[object, ...]
"""What an entry says, as its row."""


def by_first(log: Log) -> dict[str, Said]:
    """The entries that hold, by the first event of each."""
    db = log.connection
    first = dict(db.execute("SELECT uuid, coalesce(root, uuid) FROM event"))
    return {first[row[1]]: row[_ENTRY_AT:] for row in db.execute(queries.EVENTS_HOLDING)}


def claimed(log: Log) -> dict[str, list[Said | None]]:
    """What each unsettled entry's sides say of it."""

    def said_by(uuid: str | None) -> Said | None:
        return None if uuid is None else _rows(log, queries.ONE_EVENT, uuid)[0][_ENTRY_AT:]

    return {c.root: [said_by(claim.says) for claim in c.claims] for c in conflicts(log)}


def trouble_in(
    merged: Log, sides: list[dict[str, Said]], before: dict[str, Said], *, first: bool
) -> Iterator[str]:
    """Whatever one side changed and the merged log neither goes by nor lists.

    Args:
        merged: The log of all.
        sides: What held on each side, by first event.
        before: What held when they were last the same.
        first: Whether nothing was merged before: later, what one side goes back to may be a claim that
            another settled, so that the entry is listed, and that claim is not.
    """
    holds, told = by_first(merged), claimed(merged)
    for root in {*before, *(root for side in sides for root in side)}:
        changed = [side.get(root) for side in sides if side.get(root) != before.get(root)]
        for entry in changed:
            listed = entry in told.get(root, []) if first else root in told
            if holds.get(root) != entry and not listed:
                yield f"{root}: {entry} of one side is neither held nor listed"
        if not changed and root not in told and holds.get(root) != before.get(root):
            yield f"{root}: nobody changed it, and it is another"
