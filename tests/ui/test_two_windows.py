"""What the desk remembers between keys is never older than the log, whoever wrote, and follows the clock."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.demo import demo_now, write_demo
from logbook.results.app import Head, Standing
from logbook.store.copies import back_up, restore
from logbook.store.log import open_log
from logbook.store.merging import merge

NOW = demo_now()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    write_demo(tmp_path / "demo.db")
    return tmp_path / "demo.db"


@pytest.fixture
def windows(path: Path) -> Iterator[tuple[AppDesk, AppDesk]]:
    """Two desks on one log, as in two terminals; the first has looked at everything once."""
    here, there = (AppDesk(Place(path), at=NOW) for _ in range(2))
    looked(here)
    yield here, there
    here.close()
    there.close()


def looked(desk: AppDesk) -> tuple[object, ...]:
    """Everything that is asked for at a key."""
    desk.head()
    desk.head()  # the first goes without upkeep
    heard = desk.read("1 box")
    return (
        desk.head(), desk.latest(200), desk.description(), desk.blanks(), desk.left_out(),
        desk.past(desk.now() - timedelta(hours=20)), heard.standing, heard.sentence,
    )  # fmt: skip


def fresh(path: Path, at: datetime) -> tuple[object, ...]:
    """The same by a desk that remembers nothing."""
    desk = AppDesk(Place(path), at=at)
    try:
        return looked(desk)
    finally:
        desk.close()


def keep(desk: AppDesk, text: str) -> None:
    heard = desk.read(text)
    if heard.standing is Standing.ASKS:
        heard = desk.answer(heard, heard.answers[0])
    desk.keep(heard)


WRITTEN = (
    "-12/17 3m 1/1",
    "ash out by the shed",
    "box = 8 M",
    "swept flue",
    "alarms ok",
    "left",
    "lever rescaled",
)


@pytest.mark.parametrize("text", WRITTEN)
def test_what_another_window_wrote_is_seen_at_the_next_key(windows, path, text) -> None:
    here, there = windows
    before = looked(here)
    keep(there, text)
    after = looked(here)
    assert after != before, "this line changes something"
    assert after == fresh(path, NOW)
    there.undo()
    assert looked(here) == fresh(path, NOW)
    there.redo()
    assert looked(here) == after


@pytest.mark.parametrize("text", WRITTEN)
def test_what_this_window_wrote_is_seen_at_the_next_key(windows, path, text) -> None:
    here, _ = windows
    before = looked(here)
    keep(here, text)
    assert looked(here) == fresh(path, NOW) != before
    here.undo()
    assert looked(here) == fresh(path, NOW)


def test_a_description_changed_in_another_window_is_seen(windows) -> None:
    here, there = windows
    there.keep_blank(there.read_blank("floor", "31"))
    described = here.description()
    assert described is not None and described.cabin.floor_m2 == 31.0


def test_a_line_changed_and_left_out_by_another_window_is_seen(windows, path) -> None:
    here, there = windows
    newest = there.latest(1)[0]
    there.edit(newest.event_id, there.read("-20/9"))
    assert looked(here) == fresh(path, NOW) and "9.0 °C" in (here.head().inside or ("",))[0]
    there.remove(there.latest(1)[0].event_id)
    assert looked(here) == fresh(path, NOW) and "9.0 °C" not in (here.head().inside or ("",))[0]


def test_what_is_merged_in_from_another_computer_is_seen(windows, path, tmp_path) -> None:
    here, _ = windows
    other = tmp_path / "other.db"
    shutil.copy(path, other)
    away = AppDesk(Place(other), at=NOW)
    keep(away, "-25/8")
    away.close()
    with open_log(path) as log:
        merge(log, other)
    assert looked(here) == fresh(path, NOW) and "8.0 °C" in (here.head().inside or ("",))[0]


def test_an_older_copy_put_back_under_the_same_number_of_acts_is_seen(windows, path, tmp_path) -> None:
    """As many acts as before, and others: the number alone would not tell."""
    here, there = windows
    with open_log(path) as log:
        copy = back_up(log, tmp_path / "copies", now=NOW)
    keep(there, "-25/8")
    acts, before = there._log().acts_written(), looked(here)
    restore(path, copy, now=NOW)
    keep(there, "-5/30")
    assert there._log().acts_written() == acts, "or this shows nothing"
    assert looked(here) == fresh(path, NOW) != before


def test_it_follows_the_clock_on_and_back_as_a_new_desk_does(windows, path) -> None:
    """The stay grows old, the turn-down falls due and lapses, ash becomes free, days fall out of sight."""
    here, there = windows
    keep(there, "3m 1/1")
    keep(there, "ash out by the shed")
    hours = (0, 0.1, 0.3, 2, 4, 23, 25, 97, 24 * 20, 24 * 61, 24 * 400, 1, -1, -30, -24 * 40, 0)
    heads: list[Head] = []
    for hour in hours:
        here.at = NOW + timedelta(hours=hour)
        heads.append(here.head())
        assert looked(here) == fresh(path, here.at), hour
    assert len({head.pending for head in heads}) > 4, "the clock alone changes what waits"


def test_a_key_reads_nothing_of_a_log_that_stands_still(windows) -> None:
    """What a key costs does not grow with the log: only its age in acts is asked."""
    here, _ = windows
    asked: list[str] = []
    here._log().connection.set_trace_callback(asked.append)
    here.head()
    here.latest(200)
    here.zone()
    here._log().connection.set_trace_callback(None)
    assert {sql.split(" FROM ")[0] for sql in asked} == {"SELECT coalesce(max(id), 0)", "PRAGMA data_version"}
