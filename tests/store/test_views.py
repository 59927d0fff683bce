"""The views in the file: what any SQLite tool shows is what the log itself answers."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from logbook.description import description_to_toml
from logbook.matters import Upkeep
from logbook.store.log import Log, open_log
from logbook.store.rows import time_text

sys.path.insert(0, str(Path(__file__).parents[2] / "scripts"))
from benching.reliability.all_kinds import write


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("views") / "cabin.db"
    write(path, acts=60, seed=3)
    return path


@pytest.fixture
def log(path: Path) -> Iterator[Log]:
    with open_log(path) as log:
        yield log


def rows(path: Path, question: str) -> list[tuple[Any, ...]]:
    """By a connection that knows nothing of ours."""
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as db:
        return db.execute(question).fetchall()


def test_readings_are_the_entries_that_hold(path: Path, log: Log) -> None:
    held = sorted(
        (time_text(event.entry.at), event.entry.indoor_c, event.entry.note, event.line, event.uuid)
        for event in log.current_entries()
        if event.entry
    )
    found = rows(path, "SELECT at_utc, indoor_c, note, as_typed, id FROM readings")
    assert [row[0] for row in found] == sorted(row[0] for row in found), "in order of time"
    assert sorted(found, key=lambda row: row[-1]) == sorted(held, key=lambda row: row[-1])
    assert len(held) < len(log.events()), "there are entries that no longer hold"


def test_loads_and_upkeep_and_descriptions_are_the_logs_own(path: Path, log: Log) -> None:
    entries = [event.entry for event in log.current_entries() if event.entry]
    loads = sorted((time_text(e.at), e.load_kg, e.air_open_pct) for e in entries if e.load_kg is not None)
    assert sorted(rows(path, "SELECT at_utc, load_kg, air_open_pct FROM wood_loads")) == loads
    upkeep = [(e.matter.task, int(e.matter.only_looked)) for e in entries if isinstance(e.matter, Upkeep)]
    assert rows(path, "SELECT task, only_looked FROM upkeep") == upkeep
    assert loads
    assert upkeep
    assert [toml for (toml,) in rows(path, "SELECT toml FROM descriptions")] == [
        description_to_toml(version.description) for version in log.descriptions()
    ]


def test_events_are_all_that_was_written_in_its_order(path: Path, log: Log) -> None:
    found = rows(path, "SELECT id, device, act, as_typed, coalesce(instead_of, takes_back) FROM events")
    assert found == [(e.uuid, e.device, str(e.act), e.line, e.supersedes) for e in log.events()]


def test_every_view_and_column_is_explained_in_the_file(path: Path) -> None:
    explained = {(name, column) for name, column, says in rows(path, "SELECT * FROM about") if says}
    named = rows(path, "SELECT name FROM sqlite_schema WHERE type = 'view' OR type = 'table'")
    for (name,) in named:
        if name.startswith(("sqlite_", "_sqlite", "device", "batch")):
            continue
        assert (name, "") in explained, name
    for view in ("readings", "wood_loads", "upkeep", "descriptions", "events"):
        for column in rows(path, f"PRAGMA table_info({view})"):
            assert (view, column[1]) in explained, (view, column[1])
