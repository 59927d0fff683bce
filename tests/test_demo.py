"""The demo log: written afresh, whole, the same each time, and never over something else."""

from __future__ import annotations

from datetime import timedelta

import pytest

from logbook.demo import demo_description, demo_entries, demo_now, write_demo
from logbook.errors import LogFileError
from logbook.records import Flag, How
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
