"""The log of thirty years, in small: a cabin that can be learned from, and the same for the same dice."""

from __future__ import annotations

import os
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from benching.reliability import load
from benching.weeks import STEP
from benching.years import Size, write_years

from logbook.actions.reckoning import known, posterior_of
from logbook.records import Flag
from logbook.store.log import open_log

SMALL = Size(years=1, weekends=7, events=500, logger_rows=300)


@pytest.fixture(scope="module")
def years(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Seven weekends and two days of a logger."""
    path = tmp_path_factory.mktemp("load") / "long.db"
    write_years(path, SMALL, seed=3)
    return path


def test_the_fit_learns_from_all_of_it(years: Path) -> None:
    """Temperatures no cabin could have had would be set aside, and the load be of no fit at all."""
    with open_log(years) as log:
        told = known(log, as_of=log.newest_at())
    posterior = posterior_of(told)
    assert (posterior.stays, posterior.set_aside) == (5, 0)
    assert posterior.readings > 200


def test_the_logger_wrote_at_an_even_pace_to_the_end(years: Path) -> None:
    with open_log(years) as log:
        times = sorted(e.at for e in log.entries() if Flag.LOGGER in e.flags)
        newest = log.newest_at()
    assert abs(len(times) - SMALL.logger_rows) <= SMALL.weekends
    assert max(b - a for a, b in pairwise(times)) < 2 * STEP
    assert newest is not None
    assert newest - times[-1] <= STEP


def test_the_same_dice_give_the_same_log(years: Path, tmp_path: Path) -> None:
    write_years(tmp_path / "again.db", SMALL, seed=3)
    write_years(tmp_path / "other.db", SMALL, seed=4)

    def digests(path: Path) -> list[object]:
        with open_log(path) as log:
            return log.connection.execute("SELECT uuid, digest FROM event ORDER BY id").fetchall()

    assert digests(tmp_path / "again.db") == digests(years)
    assert digests(tmp_path / "other.db") != digests(years)


@pytest.mark.skipif(os.name == "nt", reason="a process's own memory is asked for the POSIX way")
def test_what_a_command_took_is_told(years: Path) -> None:
    (due,) = [words for what, words in load.questions(years.parent) if what == "`due`"]
    took = load.took(years.parent, "long", due)
    assert took.code == 0
    assert took.said
    assert 0.01 < took.seconds < 60
    assert 10 < took.peak_mb < 1_000
    assert load.took(years.parent, "long", ["due", "--as-of", "no time"]).code == 2


def test_a_logger_s_table_has_the_rows_asked_for(tmp_path: Path) -> None:
    load.write_logger_table(tmp_path / "t.csv", 50)
    lines = (tmp_path / "t.csv").read_text(encoding="utf-8").splitlines()
    assert len(lines) == 51
    assert lines[0].startswith("at,")
    assert timedelta(minutes=10) == STEP
