"""Copies come back whole, two logs join whichever way round, and damage is seen."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from threading import Barrier

import pytest
from log_lines import START, rooms, said

from logbook.errors import LogFileError
from logbook.records import Cabin, Description, Stove, Typed
from logbook.store import connection
from logbook.store.copies import back_up, check, restore
from logbook.store.folders import named_free
from logbook.store.log import Log, open_log
from logbook.store.merging import merge

CABIN = Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0))


def two_that_went_apart(opened: Callable[..., Log]) -> tuple[Log, Log]:
    """A log, and a copy of it carried away; both were written in since, by two people."""
    mine = opened("mine.db", device="mine")
    mine.add_description(CABIN)
    mine.add([said(0, indoor_c=15.0), said(1, indoor_c=16.0)])
    with closing(sqlite3.connect(mine.path.with_name("yours.db"))) as target:
        mine.connection.backup(target)
    yours = opened("yours.db", device="yours")
    first, second = mine.current_entries()
    mine.edit(first.uuid, said(0, indoor_c=15.5))
    mine.add([said(2, indoor_c=17.0)])
    mine.undo()
    yours.edit(first.uuid, said(0, indoor_c=25.0))
    yours.remove(second.uuid)
    yours.set_setting("air_lever_reads", "closed")
    yours.add([said(3, note="mouse behind the wood box"), said(3, indoor_c=8.0, place="loft")])
    return mine, yours


def everything(log: Log) -> object:
    return (log.events(), log.entries(), log.descriptions(), log.setting("air_lever_reads"))


def test_two_logs_merge_to_the_same_whichever_way_round(opened: Callable[..., Log]) -> None:
    mine, yours = two_that_went_apart(opened)
    apart = {event.uuid for event in (*mine.events(), *yours.events())}
    merge(mine, yours.path)
    merge(yours, mine.path)
    assert everything(mine) == everything(yours)
    assert {event.uuid for event in mine.events()} == apart, "the union: nothing lost, nothing invented"
    assert check(mine.path).sound
    assert check(yours.path).sound


def test_what_holds_after_a_merge(opened: Callable[..., Log]) -> None:
    # Both edited the first reading: the edit with the higher counter, or device, holds. Hers removed the
    # second; my undone line stays undone.
    mine, yours = two_that_went_apart(opened)
    merge(mine, yours.path)
    assert rooms(mine) == [25.0, None, 8.0]
    assert [entry.note for entry in mine.entries()] == [None, "mouse behind the wood box", None]


def test_merging_again_brings_nothing_and_changes_neither_file(opened: Callable[..., Log]) -> None:
    mine, yours = two_that_went_apart(opened)
    before = everything(yours)
    assert merge(mine, yours.path) == 5
    assert merge(mine, yours.path) == 0
    assert everything(yours) == before


def test_after_a_merge_new_lines_come_last(opened: Callable[..., Log]) -> None:
    mine, yours = two_that_went_apart(opened)
    merge(mine, yours.path)
    mine.add([said(9, indoor_c=9.0)])
    assert rooms(mine)[-1] == 9.0
    mine.undo()
    assert rooms(mine) == [25.0, None, 8.0]


def test_two_logs_that_never_met_merge_too(opened: Callable[..., Log]) -> None:
    one, other = opened("one.db", device="one"), opened("other.db", device="other")
    one.add([said(0, indoor_c=15.0)])
    line = said(1, indoor_c=16.0)
    other.add([line, line])
    assert merge(one, other.path) == 2
    assert rooms(one) == [15.0, 16.0, 16.0]


def test_what_was_typed_comes_along(opened: Callable[..., Log]) -> None:
    one, other = opened("one.db"), opened("other.db")
    typed = (Typed("indoor_c", "61", "°F"), Typed("load_kg", "3", "M"))
    other.add([replace(said(0, indoor_c=16.1), typed=typed)])
    merge(one, other.path)
    assert one.current_entries()[0].typed == typed


def test_merging_with_what_is_no_log_changes_nothing(opened: Callable[..., Log], tmp_path: Path) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    (tmp_path / "notes.txt").write_text("not a log")
    with pytest.raises(LogFileError):
        merge(log, tmp_path / "notes.txt")
    with pytest.raises(LogFileError, match="no log at"):
        merge(log, tmp_path / "none.db")
    assert rooms(log) == [15.0]


def test_a_copy_is_dated_whole_and_never_over_another(log: Log, tmp_path: Path) -> None:
    log.add([said(0, indoor_c=15.0)])
    first = back_up(log, tmp_path / "copies", now=START)
    second = back_up(log, tmp_path / "copies", now=START)
    assert first.name == "cabin 2026-01-16 2000.db"
    assert second.name == "cabin 2026-01-16 2000 (2).db"
    assert sorted(path.name for path in (tmp_path / "copies").iterdir()) == sorted([first.name, second.name])
    with open_log(first) as copy:
        assert copy.events() == log.events()


def test_a_copy_comes_back_and_the_log_as_it_was_is_kept(opened: Callable[..., Log], tmp_path: Path) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    copy = back_up(log, tmp_path / "copies", now=START)
    log.add([said(1, indoor_c=16.0)])
    kept = restore(log.path, copy, now=START + timedelta(hours=2))
    assert rooms(log) == [15.0], "a window left open goes on with what was restored"
    log.add([said(2, indoor_c=17.0)])
    with opened() as again:
        assert rooms(again) == [15.0, 17.0]
    assert kept is not None
    with open_log(kept) as old:
        assert rooms(old) == [15.0, 16.0]
    assert copy.exists()


def pages_lost(content: bytes) -> bytes:
    """A file whose beginning is whole and whose other pages are not: it opens, and then cannot be read."""
    return content[:4096] + b"\xff" * (len(content) - 4096)


@pytest.mark.parametrize(
    "harm",
    [lambda _: b"", lambda _: b"garbage" * 900, pages_lost],
    ids=["emptied", "overwritten", "pages lost"],
)
def test_a_copy_comes_back_in_place_of_a_ruined_log(
    opened: Callable[..., Log], tmp_path: Path, harm: Callable[[bytes], bytes]
) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    copy = back_up(log, tmp_path / "copies", now=START)
    log.close()
    ruin = harm(log.path.read_bytes())
    log.path.write_bytes(ruin)
    kept = restore(log.path, copy, now=START)
    with open_log(log.path) as again:
        assert rooms(again) == [15.0]
    assert kept is not None
    assert kept.read_bytes() == ruin


def test_a_copy_comes_back_where_no_log_is(log: Log, tmp_path: Path) -> None:
    log.add([said(0, indoor_c=15.0)])
    copy = back_up(log, tmp_path / "copies", now=START)
    assert restore(tmp_path / "new" / "cabin.db", copy, now=START) is None
    with open_log(tmp_path / "new" / "cabin.db", create=False) as again:
        assert rooms(again) == [15.0]


def test_restoring_what_is_no_sound_copy_changes_nothing(log: Log, tmp_path: Path) -> None:
    log.add([said(0, indoor_c=15.0)])
    (tmp_path / "notes.txt").write_text("not a log")
    for bad in (tmp_path / "notes.txt", tmp_path / "none.db", log.path):
        with pytest.raises(LogFileError):
            restore(log.path, bad, now=START)
    assert rooms(log) == [15.0]


def test_check_counts_what_it_looked_at(log: Log) -> None:
    log.add_description(CABIN)
    log.add([said(0, indoor_c=15.0)])
    log.undo()
    found = check(log.path)
    assert found.sound
    assert (found.events, found.entries, found.descriptions) == (3, 1, 1)


@pytest.mark.parametrize(
    ("harm", "says"),
    [
        ("DELETE FROM entry", "entry event without its entry"),
        ("DELETE FROM event WHERE act = 'record'", "missing event"),
        (
            "UPDATE event SET root = (SELECT uuid FROM event WHERE act = 'setting') WHERE act = 'edit'",
            "no entry",
        ),
        ("UPDATE event SET counter = 99 WHERE act = 'record'", "numbered before"),
        ("DELETE FROM setting", "setting event without"),
    ],
)
def test_check_sees_what_cannot_be(log: Log, harm: str, says: str) -> None:
    first, *_ = log.add([said(0, indoor_c=15.0)], learned=[("a", "b")])
    log.edit(first.uuid, said(0, indoor_c=16.0))
    log.connection.execute("PRAGMA foreign_keys = OFF")
    log.connection.execute(harm)
    problems = check(log.path).problems
    assert any(says in problem for problem in problems), problems


@pytest.mark.parametrize("second_names", [True, False])
def test_windows_that_copy_in_the_same_moment_get_a_name_each(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, second_names: bool
) -> None:
    """Looking for a free name and taking it were two steps: the later copy took the earlier one's place."""
    if not second_names:  # as on a stick with FAT

        def refused(*_: object) -> None:
            raise OSError(errno.EPERM, "Operation not permitted")

        monkeypatch.setattr(Path, "hardlink_to", refused)
    halves = [tmp_path / f"{n}.part" for n in range(24)]
    for half in halves:
        half.write_text(half.name)
    at_once = Barrier(8)

    def named(half: Path) -> Path:
        at_once.wait(10)
        return named_free(half, tmp_path / "cabin 2026-01-16 2000.db")

    with ThreadPoolExecutor(8) as windows:
        names = list(windows.map(named, halves))
    assert [name.read_text() for name in names] == [half.name for half in halves]
    assert sorted(tmp_path.iterdir()) == sorted(names)


def test_a_copy_made_while_another_is_under_way_keeps_both(
    log: Log, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log.add([said(0, indoor_c=15.0)])
    folder, other = tmp_path / "copies", tmp_path / "copies" / "cabin 2026-01-16 2000.db"
    real = connection.named_free

    def meanwhile(half: Path, wanted: Path) -> Path:
        other.write_text("another window's")
        return real(half, wanted)

    monkeypatch.setattr(connection, "named_free", meanwhile)
    made = back_up(log, folder, now=START)
    assert made.name == "cabin 2026-01-16 2000 (2).db"
    assert other.read_text() == "another window's"
    assert sorted(folder.iterdir()) == sorted([made, other])


def test_a_name_taken_in_vain_is_given_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a stick without second names that is full: an empty file would look like the newest copy."""

    def refused(*_: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refused)
    monkeypatch.setattr(Path, "replace", refused)
    half = tmp_path / "1.part"
    half.write_text("whole")
    with pytest.raises(OSError, match="not permitted"):
        named_free(half, tmp_path / "cabin.db")
    assert list(tmp_path.iterdir()) == [half]
