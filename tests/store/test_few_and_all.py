"""Questions that look at few rows ask what holds another way than those that read all: they agree."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "scripts"))

from benching.random_logs import write_random  # noqa: E402 - found by the line above

from logbook.store import queries  # noqa: E402 - as above
from logbook.store.additions import entries_lately  # noqa: E402 - as above
from logbook.store.conflicts import conflicts_about, conflicts_in  # noqa: E402 - as above
from logbook.store.log import Log, open_log  # noqa: E402 - as above

ACTS = 150


@pytest.fixture(scope="module", params=range(4))
def random_log(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Log]:
    path = tmp_path_factory.mktemp("random") / "log.db"
    write_random(path, seed=request.param, acts=ACTS)
    with open_log(path, create=False) as log:
        yield log


def test_the_acts_that_stand_are_those_not_taken_back(random_log: Log) -> None:
    asked = f"SELECT id, {queries.stands('batch.id')} FROM batch"
    stand = {batch: bool(holds) for batch, holds in random_log.connection.execute(asked)}
    gone = {batch for (batch,) in random_log.connection.execute("SELECT batch FROM undone")}
    assert {batch for batch, holds in stand.items() if not holds} == gone
    assert gone, "or nothing is shown"


def test_the_newest_are_the_end_of_all(random_log: Log) -> None:
    rows = random_log.current_entries()
    count = len(rows) + 1
    assert set(random_log.latest(count, logger=True)) == set(rows)
    assert random_log.newest_at() == max(e.entry.at for e in rows if e.entry)
    matters = random_log.matters()
    assert sorted(map(repr, random_log.matters(newest=count))) == sorted(map(repr, matters))
    people = random_log.current_entries(logger=False)
    assert sorted(map(repr, random_log.latest_entries(count))) == sorted(repr(e.entry) for e in people)


def test_an_entry_is_found_by_any_of_its_versions(random_log: Log) -> None:
    for event in random_log.current_entries()[::7]:
        assert random_log.find(event.uuid) == event


def test_descriptions_and_settings_are_those_of_acts_that_stand(random_log: Log) -> None:
    db = random_log.connection
    gone = "(SELECT batch FROM undone)"
    holding = (
        f"SELECT e.uuid FROM description AS v JOIN event AS e ON e.id = v.event WHERE e.batch NOT IN {gone}"
    )
    assert {version.uuid for version in random_log.descriptions()} == {row[0] for row in db.execute(holding)}
    for (name,) in db.execute("SELECT DISTINCT name FROM setting").fetchall():
        newest = (
            "SELECT s.value FROM setting AS s JOIN event AS e ON e.id = s.event JOIN device AS d ON"
            f" d.id = e.device WHERE s.name = ? AND e.batch NOT IN {gone}"
            " ORDER BY e.counter DESC, d.uuid DESC, e.uuid DESC"
        )
        values = [row[0] for row in db.execute(newest, (name,))]
        assert random_log.setting(name) == (values[0] if values else None)


def test_what_was_said_since_a_time_is_the_same_both_ways(random_log: Log) -> None:
    rows = random_log.current_entries()
    middle = sorted(e.entry.at for e in rows if e.entry)[len(rows) // 2]
    for logger in (True, False):
        lately = entries_lately(random_log, since=middle, logger=logger)
        assert lately == random_log.entries(since=middle, logger=logger) != ()
        later = random_log.current_entries(since=middle, logger=logger)
        assert set(random_log.latest(len(rows), since=middle, logger=logger)) == set(later)


def test_conflicts_about_all_events_are_all_conflicts(random_log: Log) -> None:
    every = [event.uuid for event in random_log.events()]
    assert conflicts_about(random_log.connection, every) == conflicts_in(random_log.connection)
