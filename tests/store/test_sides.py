"""What is kept as a whole and was changed on two computers: told apart, joined, or settled by the next."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from log_lines import START, said

from logbook.actions.left_out import LEFT_OUT, left_out, text_of
from logbook.records import Cabin, Description, Stove
from logbook.results.app import Between
from logbook.store.digest import fill
from logbook.store.log import Log
from logbook.store.merging import merge
from logbook.store.settling import setting_named, settings_apart, settle_setting, unsettled_in
from logbook.store.sides import DESCRIBED, sides_of

Two = tuple[Log, Log]
CABIN = Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0))


@pytest.fixture
def apart(opened: Callable[..., Log]) -> Two:
    """Two computers with one line, one description and one list in common."""
    mine = opened("mine.db", device="mine")
    mine.add_description(CABIN)
    mine.add([said(0, indoor_c=15.0)], learned=[("list leaving", "a b")])
    mine.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copy(mine.path, mine.path.with_name("yours.db"))
    return mine, opened("yours.db", device="yours")


def values(log: Log, name: str) -> list[str]:
    """What holds last."""
    return [side.value for side in sides_of(log.connection, name).sides]


def both(apart: Two) -> Log:
    mine, yours = apart
    merge(mine, yours.path)
    merge(yours, mine.path)
    assert settings_apart(mine) == settings_apart(yours)
    return mine


@pytest.mark.parametrize("name", ["list leaving", "emergency"])
def test_written_on_both_sides(apart: Two, name: str) -> None:
    """A page nobody had yet, and a list both had."""
    mine, yours = apart
    mine.set_setting(name, "mine")
    yours.set_setting(name, "yours")
    log = both(apart)
    assert sorted(values(log, name)) == ["mine", "yours"]
    assert values(log, name)[-1] == log.setting(name)
    assert unsettled_in(log.path) == 1


def test_written_on_one_side_or_alike_is_nothing_to_tell(apart: Two) -> None:
    mine, yours = apart
    mine.set_setting("list leaving", "a b c")
    for log in apart:
        log.set_setting("air_lever_reads", "closed")
    yours.add([said(1, indoor_c=16.0)])
    assert settings_apart(both(apart)) == ()


def test_the_next_writing_settles_it_for_both(apart: Two) -> None:
    mine, yours = apart
    mine.set_setting("emergency", "mine")
    yours.set_setting("emergency", "yours")
    log = both(apart)
    log.set_setting("emergency", "ours")
    merge(yours, log.path)
    assert settings_apart(log) == settings_apart(yours) == ()
    log.undo()
    assert len(settings_apart(log)) == 1


@pytest.mark.parametrize("number", [0, 1])
def test_either_side_can_be_chosen(apart: Two, number: int) -> None:
    mine, yours = apart
    mine.set_setting("emergency", "mine")
    yours.set_setting("emergency", "yours")
    log = both(apart)
    (sides,) = settings_apart(log)
    assert setting_named(log, sides.sides[0].uuid) == sides
    settle_setting(log, sides, sides.sides[number])
    assert log.setting("emergency") == sides.sides[number].value
    assert settings_apart(log) == ()


def test_what_was_taken_back_is_no_side(apart: Two) -> None:
    mine, yours = apart
    mine.set_setting("emergency", "mine")
    mine.undo()
    yours.set_setting("emergency", "yours")
    assert values(both(apart), "emergency") == ["yours"]


def test_the_description_of_both_sides(apart: Two) -> None:
    """The later one holds, and has not what the other changed: that must be told."""
    mine, yours = apart
    mine.add_description(replace(CABIN, cabin=replace(CABIN.cabin, floor_m2=31.0)), START)
    yours.add_description(replace(CABIN, cabin=replace(CABIN.cabin, volume_m3=90.0)), START + timedelta(1))
    log = both(apart)
    (sides,) = settings_apart(log)
    assert sides.name == DESCRIBED
    chosen = next(side for side in sides.sides if "31" in side.value)
    settle_setting(log, sides, chosen)
    assert log.description().cabin.floor_m2 == 31.0
    assert settings_apart(log) == ()


def test_what_a_version_of_before_wrote_is_taken_to_know_all_before_it(apart: Two) -> None:
    for log in apart:
        log.set_setting("emergency", log.device)
        log.connection.execute("UPDATE event SET line = '' WHERE act = 'setting' AND counter > 3")
        fill(log.connection)
    assert values(both(apart), "emergency") == ["yours"]


def spans(*hours: int) -> list[Between]:
    return [Between(start=START + timedelta(hours=h), end=START + timedelta(hours=h + 1)) for h in hours]


def test_what_either_side_left_out_is_left_out_and_what_either_uses_again_is_used(apart: Two) -> None:
    mine, yours = apart
    mine.set_setting(LEFT_OUT, text_of(spans(1, 2)))
    merge(yours, mine.path)
    mine.set_setting(LEFT_OUT, text_of(spans(1, 2, 3)))
    yours.set_setting(LEFT_OUT, text_of(spans(2, 4)))
    log = both(apart)
    assert list(left_out(log)) == spans(2, 3, 4)
    assert settings_apart(log) == (), "joined: nothing to settle"
    log.set_setting(LEFT_OUT, text_of(spans(3, 4)))
    assert list(left_out(log)) == spans(3, 4)
