"""Copies made by themselves: when there is something new, the right ones kept, the owner's never touched."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from log_lines import START, rooms, said

from logbook.errors import LogFileError
from logbook.store import copies as making
from logbook.store.copies import back_up, restore
from logbook.store.dated_copies import DatedCopy, copy_by_itself, dated_copies, outdated
from logbook.store.log import Log, open_log


def made(*days: str, by_itself: bool = True) -> list[DatedCopy]:
    """Copies of invented days, one a day at eight in the evening."""
    return [
        DatedCopy(datetime.fromisoformat(day + "T20:00+00:00"), 1, by_itself, Path(f"{day} {by_itself}"))
        for day in days
    ]


def days_kept(copies: list[DatedCopy]) -> list[str]:
    gone = set(outdated(copies))
    return [f"{copy.at:%Y-%m-%d}" for copy in copies if copy not in gone]


def test_the_last_ten_of_a_busy_week() -> None:
    copies = made(*(f"2026-01-{day:02d}" for day in range(1, 26)))
    assert days_kept(copies) == [f"2026-01-{day:02d}" for day in range(16, 26)]


def test_then_the_last_of_each_month_and_of_each_year() -> None:
    january_25 = made(*(f"2025-01-{day:02d}" for day in (3, 17, 31)))
    spring = made("2025-03-07", "2025-03-21", "2025-12-05")
    lately = made(*(f"2026-01-{day:02d}" for day in range(1, 11)))
    old = made("2022-02-02", "2022-11-30", "2023-01-01")
    kept = days_kept([*old, *january_25, *spring, *lately])
    assert kept[:-10] == ["2022-02-02", "2022-11-30", "2023-01-01", "2025-01-31", "2025-03-21", "2025-12-05"]


def test_months_older_than_the_last_twelve_go_and_years_stay() -> None:
    months = [f"{year}-{month:02d}-15" for year in (2023, 2024, 2025) for month in range(1, 13)]
    assert days_kept(made(*months)) == ["2023-12-15", "2024-12-15", *months[-12:]]


def test_the_owners_own_neither_count_nor_go() -> None:
    owners = made(*(f"2026-01-{day:02d}" for day in range(1, 29)), by_itself=False)
    own = made(*(f"2026-01-{day:02d}" for day in range(1, 13)))
    assert outdated(owners) == ()
    assert {copy.by_itself for copy in outdated([*owners, *own])} == {True}
    assert len(outdated([*owners, *own])) == 2


def test_a_clock_that_is_years_ahead_or_behind_takes_no_old_copy_away() -> None:
    """Months are counted as they come: a copy dated 2099 does not make last winter's old."""
    months = made(*(f"2025-{month:02d}-15" for month in range(3, 13)))
    assert set(days_kept([*made("1980-01-01"), *months, *made("2099-01-01")])) >= set(days_kept(months))


@pytest.mark.parametrize("seed", range(5))
def test_thirty_years_of_leaving_keep_a_copy_of_every_year_and_few_in_all(seed: int) -> None:
    rng = random.Random(seed)
    at, kept = datetime(2026, 1, 4, 16, tzinfo=UTC), []
    for _ in range(900):
        kept.append(DatedCopy(at, 1, True, Path(f"{at}")))
        gone = set(outdated(kept))
        assert kept[-1] not in gone, "never the newest"
        kept = [copy for copy in kept if copy not in gone]
        at += timedelta(days=rng.choice((0.2, 2, 7, 7, 7, 21, 60)))
    years = {copy.at.year for copy in kept}
    assert years == set(range(2026, kept[-1].at.year + 1))
    assert len(kept) <= 10 + 12 + len(years)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_nothing_new_no_copy(log: Log, tmp_path: Path) -> None:
    log.add([said(0, indoor_c=15.0)])
    folder = tmp_path / "copies"
    assert copy_by_itself(log, folder, now=START) == folder / "cabin 2026-01-16 2000 by itself.db"
    assert copy_by_itself(log, folder, now=START + timedelta(days=1)) is None
    log.keep_here("draft", "half a line")
    assert copy_by_itself(log, folder, now=START + timedelta(days=1)) is None, "a draft is no act"
    log.undo()
    assert copy_by_itself(log, folder, now=START + timedelta(days=1)) is not None
    assert len(names(folder)) == 2


def test_a_copy_made_by_hand_just_now_serves(log: Log, tmp_path: Path) -> None:
    log.add([said(0, indoor_c=15.0)])
    back_up(log, tmp_path / "copies", now=START)
    assert copy_by_itself(log, tmp_path / "copies", now=START + timedelta(minutes=5)) is None


def test_rotation_takes_its_own_and_nothing_else(opened: Callable[..., Log], tmp_path: Path) -> None:
    log, folder = opened(), tmp_path / "copies"
    folder.mkdir()
    owners = [
        "cabin 2026-01-02 0800.db", "cabin.db", "cabin before restore 2026-01-02 0800.db", "notes.txt",
        "cabin 2026-01-03 0800 by itself - the good one.db", "other 2026-01-01 0800 by itself.db",
        "cabin format 2.db", "cabin 2026-13-41 0800 by itself.db",
    ]  # fmt: skip
    for name in owners:
        (folder / name).write_text("the owner's")
    for hour in range(14):
        log.add([said(hour, indoor_c=15.0 + hour)])
        copy_by_itself(log, folder, now=START + timedelta(hours=hour))
    assert set(owners) <= set(names(folder))
    assert len(set(names(folder)) - set(owners)) == 10
    newest = dated_copies(log.path, folder)[-1]
    with open_log(newest.path, create=False) as copy:
        assert copy.entries() == log.entries()


def test_an_unsound_copy_takes_none_away(log: Log, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "copies"
    for hour in range(10):
        log.add([said(hour, indoor_c=15.0)])
        copy_by_itself(log, folder, now=START + timedelta(hours=hour))
    before = names(folder)
    log.add([said(11, indoor_c=15.0)])
    sound = making.check

    def damaged(path: Path) -> object:
        found = sound(path)
        return type(found)(events=1, entries=1, descriptions=0, problems=("a page is gone",))

    monkeypatch.setattr(making, "check", damaged)
    with pytest.raises(LogFileError, match="not sound"):
        copy_by_itself(log, folder, now=START + timedelta(hours=11))
    assert names(folder) == before


def test_a_copy_by_a_clock_put_back_is_not_taken_for_an_old_one(log: Log, tmp_path: Path) -> None:
    folder = tmp_path / "copies"
    for hour in range(12):
        log.add([said(hour, indoor_c=15.0)])
        copy_by_itself(log, folder, now=START + timedelta(days=hour))
    log.add([said(13, indoor_c=19.0)])
    new = copy_by_itself(log, folder, now=START - timedelta(days=30, minutes=5))
    log.add([said(14, indoor_c=20.0)])
    newer = copy_by_itself(log, folder, now=START - timedelta(days=30))
    assert new is not None
    assert newer is not None and newer.exists()


def test_it_can_be_put_back(opened: Callable[..., Log], tmp_path: Path) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    copy = copy_by_itself(log, tmp_path / "copies", now=START)
    log.add([said(1, indoor_c=16.0)])
    assert copy is not None
    restore(log.path, copy, now=START)
    assert rooms(log) == [15.0]
