"""The demo log: written afresh, whole, the same each time, and never over something else."""

from __future__ import annotations

from datetime import timedelta

import pytest

from logbook.actions import emergency
from logbook.actions.house import house_of
from logbook.actions.upkeep import what_is_due
from logbook.actions.woodshed import wood
from logbook.care.checklists import SHIPPED
from logbook.care.list_rounds import list_named, skipped_on_leaving
from logbook.care.supplies import WATER_PLANNING, supplies
from logbook.demo import demo_description, demo_entries, demo_now, write_demo
from logbook.errors import LogFileError
from logbook.matters import KINDS, Improvement, StaySaid, Tick
from logbook.records import Flag, How
from logbook.results.upkeep import DueState
from logbook.setting import local_time
from logbook.store.log import open_log


@pytest.fixture(scope="module")
def entries():
    return demo_entries()


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """One fresh copy for the tests that only read."""
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    write_demo(path)
    return path


@pytest.fixture(scope="module")
def house(written):
    """The demo as the whole year sees it on its last evening."""
    with open_log(written, create=False) as log:
        return house_of(log, as_of=demo_now())


def test_every_row_of_the_notebook_goes_in(written, entries):
    """All or nothing: a row refused here would be a slip in the demo, not the owner's."""
    with open_log(written, create=False) as log:
        kept = log.entries()
    assert len(entries) > 700
    assert kept == entries


def test_it_answers_for_its_own_last_evening(entries):
    now = demo_now()
    assert now == max(entry.at for entry in entries)
    local = now + timedelta(hours=1)  # the valley's clock is an hour ahead of UTC all year
    assert (local.hour, local.date().isoformat()) == (21, "2026-02-28")


def test_the_description_goes_in_with_its_remarks(written):
    with open_log(written, create=False) as log:
        assert log.description() == demo_description()
        assert log.newest_at() == demo_now()


def test_units_arrive_as_meant(written):
    """One weekend was written in °F and lb; the exact conversions are those of NIST SP 811 (from memory)."""
    with open_log(written, create=False) as log:
        events = log.current_entries()
    typed = [(event.entry, one) for event in events for one in event.typed if one.unit in ("°F", "lb")]
    assert {one.unit for _, one in typed} == {"°F", "lb"}
    for entry, one in typed:
        if one.unit == "°F":
            assert entry.indoor_c == pytest.approx((float(one.text) - 32) / 1.8)
        else:
            assert entry.load_kg == pytest.approx(float(one.text) * 0.45359237)


def test_deeds_arrive_as_meant(entries):
    assert [entry.change for entry in entries if entry.change] == ["skirting"]
    assert sum(entry.alarms_tested for entry in entries) >= 10
    assert sum(entry.fire_out for entry in entries) == 1
    assert any(entry.kindling for entry in entries)
    too_much = [entry.load_kg for entry in entries if Flag.OVER_LIMIT in entry.flags]
    assert too_much
    assert min(too_much) > 8  # the limit its description gives


def test_two_copies_are_the_same(written, tmp_path):
    """Merging a copy into another adds nothing, because the events are the same ones."""
    write_demo(tmp_path / "other.db")
    with open_log(written, create=False) as one, open_log(tmp_path / "other.db", create=False) as other:
        assert one.events() == other.events()
        assert {event.how for event in one.current_entries()} == {How.IMPORTED}


def test_it_is_never_written_over_a_file(tmp_path):
    path = tmp_path / "mine.db"
    path.write_bytes(b"years of readings")
    with pytest.raises(LogFileError, match="does not exist yet"):
        write_demo(path)
    assert path.read_bytes() == b"years of readings"


# The year around the nights


def test_every_kind_of_matter_is_told(house):
    """So that no page of the demo is empty."""
    assert {type(told.matter) for told in house.told} == set(KINDS.values())


def test_no_stay_begins_or_ends_by_a_matter(house, entries):
    """Work in May and October is no stay: fifteen there were before, and fifteen there are."""
    assert len(house.stays) == 15
    nights_alone = [e for e in entries if not e.is_matter_alone]
    assert {stay.start for stay in house.stays} <= {e.at for e in nights_alone}


def test_everybody_has_initials_and_two_are_there(house):
    """The heat of two people is in the nights, so no stay may tell of more."""
    for stay in house.stays:
        assert stay.head_count_said
        assert len(stay.people) == stay.head_count == 2
        assert all(len(name) == 1 for name in stay.people)
    assert sum(bool(stay.guest_book) for stay in house.stays) >= 6


def test_no_more_wood_was_burned_than_was_there(house):
    """No account is overdrawn, the count agrees, something is left, and every kilogram is in the sum."""
    got = wood(house)
    assert len(got.stacks) == 3
    assert all(stack.overdrawn is None for stack in got.stacks)
    assert all(stack.left_kg is not None and stack.left_kg.p50 > 0 for stack in got.stacks)
    counted = [stack.counted for stack in got.stacks if stack.counted]
    assert [one.agrees for one in counted] == [True]
    burned = sum(stack.burned_kg for stack in got.stacks) + sum(one.kg for one in got.unplaced)
    assert burned == pytest.approx(sum(load.kg for load in house.burned))
    assert {stack.metered.fresh_face for stack in got.stacks if stack.metered} == {True, False}
    assert {stack.dry_enough for stack in got.stacks} == {True, False}


def test_supplies_go_by_the_days_and_heads_there_were(house):
    """Water between survival and the upper end of the basic need (FEMA and Sphere, as reported, the bounds
    of the planning figure); no level rises by itself, nothing vanishes while nobody is there."""
    used = {use.item: use for use in supplies(house)}
    assert set(used) == {"water", "lamp oil", "gas"}
    for use in used.values():
        assert use.intervals == 6
        assert (use.odd, use.lost) == (0, 0.0)
    water = used["water"].per_person_day
    assert WATER_PLANNING.p05 < water.p50 < WATER_PLANNING.p95


def test_what_is_due_on_the_last_evening(house):
    """The alarms tested in the cold come first; neither flue nor extinguisher is overdue."""
    got = what_is_due(house)
    state = {item.task: item.state for item in got.items}
    urgent = {task for task, how in state.items() if how in (DueState.NOW, DueState.DUE)}
    assert urgent == {"smoke alarm test", "co alarm test", "roof"}
    assert [item.task for item in got.items[:2]] == ["smoke alarm test", "co alarm test"]
    assert state["flue"] is state["extinguisher"] is DueState.NEXT_STAY
    assert state["hand pump"] is DueState.SILENCED
    assert got.ash is not None and got.ash.where == "stone slab by the path"


def test_ticks_are_of_lines_there_are_and_one_was_skipped(house):
    for _, tick in house.of(Tick):
        assert tick.line in {line.name for line in SHIPPED[list_named(tick.list_name)]}
    assert [tick.line for tick in skipped_on_leaving(house)] == ["nothing that bursts"]


def test_the_cost_is_that_of_the_dated_change(house):
    ((at, cost),) = house.of(Improvement)
    changed = [e for e in house.entries if e.change]
    assert [e.change for e in changed] == [cost.name]
    assert timedelta(0) < at - changed[0].at < timedelta(days=2)


def test_who_was_there_is_written_while_they_are(house):
    """Not so far from a stay that it falls to another, or to none."""
    for at, _ in house.of(StaySaid):
        assert sum(stay.start <= at <= stay.end for stay in house.stays) == 1, at


def test_the_emergency_page_is_there_and_was_looked_at_before(written):
    with open_log(written, create=False) as log:
        page = emergency.written(log, zone="Etc/GMT-1")
    assert page.lines[0].startswith("OUT, everybody, now.")
    assert "2025" in page.checked
    assert all(len(line) <= 76 for line in page.lines), "one row each on a screen of 80"


def test_undo_on_a_fresh_demo_takes_no_page_away(written):
    """The page is written before the notebook: the last act is the notebook's own."""
    with open_log(written, create=False) as log:
        events = log.events()
    assert events[-1].entry is not None
    assert local_time(events[-1].entry.at, "Etc/GMT-1").date().isoformat() == "2026-02-28"
