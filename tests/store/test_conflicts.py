"""What two sides made of one entry: found from the events, until somebody settles it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace

import pytest
from log_lines import rooms, said

from logbook.demo import demo_description
from logbook.errors import BadInputError, LogFileError
from logbook.store.conflicts import _settled
from logbook.store.connection import connect_for_looking
from logbook.store.copies import check
from logbook.store.digest import fill
from logbook.store.log import Log
from logbook.store.merging import kinship, merge
from logbook.store.settling import conflict_named, conflicts, settle, unsettled_in

Two = tuple[Log, Log]


@pytest.fixture
def apart(opened: Callable[..., Log]) -> Two:
    """Two computers with the same two readings, 15 and 16 °C."""
    mine = opened("mine.db", device="mine")
    mine.add([said(0, indoor_c=15.0)])
    mine.add([said(1, indoor_c=16.0)])
    mine.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copy(mine.path, mine.path.with_name("yours.db"))
    return mine, opened("yours.db", device="yours")


def sides(log: Log) -> list[list[float | None]]:
    """What each side of each conflict says, what holds first."""
    return [
        [None if c.says is None else log.version(c.says).entry.indoor_c for c in conflict.claims]  # type: ignore[union-attr]
        for conflict in conflicts(log)
    ]


def first(log: Log) -> str:
    return log.current_entries()[0].uuid


def both(apart: Two) -> Log:
    """The merged log; the other way round says the same."""
    mine, yours = apart
    merge(mine, yours.path)
    merge(yours, mine.path)
    assert (conflicts(mine), rooms(mine)) == (conflicts(yours), rooms(yours))
    return mine


def test_edited_on_both_sides(apart: Two) -> None:
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=15.5))
    yours.edit(first(yours), said(0, indoor_c=25.0))
    log = both(apart)
    assert sides(log) == [[25.0, 15.5]]
    assert rooms(log)[0] == 25.0
    assert unsettled_in(log.path) == 1


def test_left_out_on_one_side_and_edited_on_the_other(apart: Two) -> None:
    mine, yours = apart
    mine.remove(first(mine))
    yours.edit(first(yours), said(0, indoor_c=25.0))
    assert sides(both(apart)) == [[25.0, None]]


def test_taken_back_on_one_side_and_edited_on_the_other(apart: Two) -> None:
    """The line is gone, and with it the other's correction: that must be told."""
    mine, yours = apart
    mine.undo()
    yours.edit(yours.current_entries()[1].uuid, said(1, indoor_c=26.0))
    log = both(apart)
    assert rooms(log) == [15.0]
    assert sides(log) == [[None, 26.0]]


def test_an_edit_taken_back_while_the_other_edits_it_further(apart: Two) -> None:
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=15.5))
    merge(yours, mine.path)
    mine.undo()
    yours.edit(first(yours), said(0, indoor_c=15.7))
    assert sides(both(apart)) == [[15.7, 15.0]]


@pytest.mark.parametrize("same", [lambda log: log.edit(first(log), said(0, indoor_c=17.0)),
                                  lambda log: log.remove(first(log))])  # fmt: skip
def test_both_did_the_same_so_there_is_nothing_to_settle(apart: Two, same: Callable[[Log], object]) -> None:
    for log in apart:
        same(log)
    assert sides(both(apart)) == []


def test_what_one_side_changed_knowing_the_other_is_no_conflict(apart: Two) -> None:
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=15.5))
    merge(yours, mine.path)
    yours.edit(first(yours), said(0, indoor_c=15.6))
    yours.remove(first(yours))
    yours.undo()
    assert sides(both(apart)) == []
    assert rooms(mine)[0] == 15.6


def test_one_computer_alone_never_has_a_conflict(opened: Callable[..., Log]) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    for reading in (16.0, 17.0):
        log.edit(first(log), said(0, indoor_c=reading))
        log.undo()
        log.edit(first(log), said(0, indoor_c=reading + 0.5))
        log.undo(), log.redo()
    log.remove(first(log))
    log.undo()
    assert conflicts(log) == ()


def test_an_edit_settles_it_and_undo_opens_it_again(apart: Two) -> None:
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=15.5))
    yours.edit(first(yours), said(0, indoor_c=25.0))
    log = both(apart)
    before = conflicts(log)
    log.edit(first(log), said(0, indoor_c=20.0))
    assert conflicts(log) == ()
    merge(yours, log.path)
    assert conflicts(yours) == (), "settled for the other computer too"
    log.undo()
    assert conflicts(log) == before


@pytest.mark.parametrize("number", [0, 1])
def test_either_side_can_be_chosen(apart: Two, number: int) -> None:
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=15.5))
    yours.edit(first(yours), said(0, indoor_c=25.0))
    log = both(apart)
    (conflict,) = conflicts(log)
    settle(log, conflict, conflict.claims[number])
    assert rooms(log)[0] == (25.0, 15.5)[number]
    assert conflicts(log) == ()
    log.undo()
    assert conflicts(log) == (conflict,)


@pytest.mark.parametrize(("number", "after"), [(0, [15.0]), (1, [15.0, 26.0])])
def test_what_was_taken_back_can_come_back_or_stay_gone(apart: Two, number: int, after: list[float]) -> None:
    mine, yours = apart
    mine.undo()
    yours.edit(yours.current_entries()[1].uuid, said(1, indoor_c=26.0))
    log = both(apart)
    (conflict,) = conflicts(log)
    settle(log, conflict, conflict.claims[number])
    assert rooms(log) == after
    assert conflicts(log) == ()
    assert check(log.path).sound


def test_settled_differently_on_both_sides_is_open_again(apart: Two) -> None:
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=15.5))
    yours.edit(first(yours), said(0, indoor_c=25.0))
    both(apart)
    for log, number in zip(apart, (0, 1), strict=True):
        (conflict,) = conflicts(log)
        settle(log, conflict, conflict.claims[number])
    (told,) = sides(both(apart))
    assert sorted(told) == [15.5, 25.0]  # type: ignore[type-var]


def test_a_conflict_settled_in_another_window_meanwhile_is_refused(apart: Two) -> None:
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=15.5))
    yours.edit(first(yours), said(0, indoor_c=25.0))
    log = both(apart)
    conflict = conflict_named(log, conflicts(log)[0].root[:6])
    log.edit(first(log), said(0, indoor_c=20.0))
    with pytest.raises(BadInputError, match="meanwhile"):
        settle(log, conflict, conflict.claims[1])
    with pytest.raises(BadInputError, match="No unsettled entry"):
        conflict_named(log, conflict.root)


def test_an_event_told_otherwise_is_refused(apart: Two) -> None:
    mine, yours = apart
    before = mine.events()
    yours.connection.execute("UPDATE entry SET indoor_c = 99 WHERE indoor_c = 15")
    fill(yours.connection)  # whoever changed it knows of digests
    assert check(yours.path).sound
    with pytest.raises(LogFileError, match="tells the event"):
        merge(mine, yours.path)
    assert mine.events() == before


def test_digests_come_along(apart: Two) -> None:
    mine, yours = apart
    yours.add([said(3, indoor_c=18.0)], learned=[("a", "b")])
    merge(mine, yours.path)
    asked = "SELECT uuid, digest FROM event ORDER BY uuid"
    with closing(connect_for_looking(yours.path)) as theirs:
        assert mine.connection.execute(asked).fetchall() == theirs.execute(asked).fetchall()
    assert check(mine.path).sound


def test_what_two_logs_have_in_common(apart: Two, opened: Callable[..., Log]) -> None:
    mine, yours = apart
    yours.add([said(2, indoor_c=17.0)])
    assert kinship(mine, yours.path).common == 2
    assert not kinship(mine, yours.path).strangers
    assert not kinship(mine, opened("blank.db").path).strangers, "no description: nothing tells them apart"


def test_logs_begun_apart_with_one_description_are_of_one_cabin(opened: Callable[..., Log]) -> None:
    """Nobody is asked whether it is a second one."""
    cabin = demo_description()
    other = replace(cabin, cabin=replace(cabin.cabin, floor_m2=19.0))
    assert cabin != other
    mine, yours, strange = (opened(f"{name}.db") for name in ("mine", "yours", "strange"))
    for log, described in ((mine, cabin), (yours, cabin), (strange, other)):
        log.add_description(described)
    assert not kinship(mine, yours.path).strangers
    assert kinship(mine, strange.path).strangers


def test_each_took_back_its_own_change_of_one_entry(apart: Two) -> None:
    """Found by history 134 of seed 2: the first version holds, which neither side had before it."""
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=14.0))
    merge(yours, mine.path)
    yours.edit(first(yours), said(0, indoor_c=11.0))
    merge(mine, yours.path)
    mine.undo()
    yours.undo()
    assert sides(both(apart)) == [[15.0, 14.0]]


def gone_on_one_side_and_a_step_back_on_the_other(apart: Two) -> Log:
    """Yours corrected 16 to 26 and both know; then mine takes the line back, yours the correction."""
    mine, yours = apart
    yours.edit(yours.current_entries()[1].uuid, said(1, indoor_c=26.0))
    merge(mine, yours.path)
    mine.undo()
    yours.undo()
    return both(apart)


def test_the_line_taken_back_on_one_side_and_its_correction_on_the_other(apart: Two) -> None:
    """Found by history 733 of seed 5: yours went back to 16, which neither held nor was listed."""
    log = gone_on_one_side_and_a_step_back_on_the_other(apart)
    assert rooms(log) == [15.0]
    assert sides(log) == [[None, 16.0]]


@pytest.mark.parametrize(("number", "after"), [(0, [15.0]), (1, [15.0, 16.0])])
def test_a_step_back_to_what_was_taken_back_can_be_settled_either_way(
    apart: Two, number: int, after: list[float]
) -> None:
    """Settling it for none was written as a removal of the undo, which is no entry, and settled nothing."""
    log = gone_on_one_side_and_a_step_back_on_the_other(apart)
    (conflict,) = conflicts(log)
    settle(log, conflict, conflict.claims[number])
    assert rooms(log) == after
    assert conflicts(log) == ()
    assert check(log.path).sound
    log.undo()
    assert conflicts(log) == (conflict,)


@pytest.mark.parametrize(("number", "after"), [(0, [15.0, 16.0]), (1, [15.0, 16.0, 27.0, 28.0])])
def test_one_undo_of_several_entries_is_settled_for_each_alone(
    apart: Two, number: int, after: list[float]
) -> None:
    """Found by history 4815 of seed 5: with one entry settled, the correction of the next was lost unseen."""
    mine, yours = apart
    mine.add([said(2, indoor_c=17.0), said(3, indoor_c=18.0)])
    merge(yours, mine.path)
    mine.undo()
    for nth, reading in ((2, 27.0), (3, 28.0)):
        yours.edit(yours.current_entries()[nth].uuid, said(nth, indoor_c=reading))
    log = both(apart)
    assert sorted(sides(log), key=str) == [[None, 27.0], [None, 28.0]]
    for left in (1, 0):
        conflict = conflicts(log)[0]
        settle(log, conflict, conflict.claims[number])
        assert len(conflicts(log)) == left
    assert sorted(rooms(log)) == after


def test_one_undo_of_several_corrections_is_settled_for_each_alone(apart: Two) -> None:
    """The same of edits: settling the first of them settled the second, and nobody was asked."""
    mine, yours = apart
    held = mine.current_entries()
    mine.correct([(event.uuid, said(n, indoor_c=15.5)) for n, event in enumerate(held)])
    merge(yours, mine.path)
    mine.undo()
    for number, event in enumerate(held):
        yours.edit(event.uuid, said(number, indoor_c=25.0 + number))
    log = both(apart)
    assert sorted(sides(log)) == [[25.0, 15.0], [26.0, 16.0]]
    settle(log, conflicts(log)[0], conflicts(log)[0].claims[0])
    assert sides(log) == [[26.0, 16.0]]


def test_one_undo_settled_by_a_version_of_before_is_settled_for_its_entry_alone(apart: Two) -> None:
    """Its settling has no entry's name: the edit it stands beside tells which it was."""
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=15.5))
    merge(yours, mine.path)
    mine.undo()
    yours.edit(first(yours), said(0, indoor_c=15.7))
    log = both(apart)
    log.edit(first(log), said(0, indoor_c=20.0))
    log.connection.execute("UPDATE event SET line = '' WHERE act = 'setting'")
    assert conflicts(log) == ()
    ((root, lost),) = log.connection.execute(
        "SELECT x.root, s.value FROM setting AS s JOIN event AS e ON e.id = s.event"
        " JOIN event AS x ON x.batch = e.batch AND x.root IS NOT NULL WHERE s.name = 'settled'"
    )
    assert _settled(log.connection) == {(root, key) for key in lost.split()}


@pytest.mark.parametrize("written", ["as it is now", "by a version of before"])
@pytest.mark.parametrize("line_first", [True, False])
def test_a_step_back_known_to_the_other_is_no_conflict(apart: Two, line_first: bool, written: str) -> None:
    """Whoever takes the line back knowing that its correction was taken back has said the last word on it.

    A version of before did not write what it knew: then it is listed, once too often rather than never.
    """
    mine, yours = apart
    yours.edit(yours.current_entries()[1].uuid, said(1, indoor_c=26.0))
    merge(mine, yours.path)
    for log, other in ((mine, yours), (yours, mine)) if line_first else ((yours, mine), (mine, yours)):
        log.undo()
        merge(other, log.path)
    assert rooms(mine) == [15.0]
    if written == "as it is now":
        assert sides(both(apart)) == []
    else:
        mine.connection.execute("UPDATE event SET line = '' WHERE act = 'undo'")
        assert sides(mine) == [[None, 16.0]]


def test_each_took_back_its_own_of_two_changes_made_apart(apart: Two) -> None:
    """Found by history 3507 of seed 11: one went back to the other's edit, which that one took back."""
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=14.0))
    yours.remove(first(yours))
    both(apart)
    left = [rooms(log)[0] for log in apart if log.undo()]
    assert left == [16.0, 14.0], "mine is left without the line, yours with my edit of it"
    log = both(apart)
    assert rooms(log)[0] == 15.0
    assert sides(log) == [[15.0, 14.0]]


def test_what_each_changed_and_took_back_before_they_met_is_no_conflict(apart: Two) -> None:
    mine, yours = apart
    mine.edit(first(mine), said(0, indoor_c=14.0)), mine.undo()
    yours.remove(first(yours))
    yours.undo()
    assert sides(both(apart)) == []
