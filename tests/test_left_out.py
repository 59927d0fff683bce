"""Readings left out of learning: kept as an event, taken back by undo, and really not learned from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from logbook.actions.desk import AppDesk
from logbook.actions.left_out import LEFT_OUT, learned_from, left_out, text_of
from logbook.actions.opening import Place
from logbook.actions.reckoning import fingerprint, known, posterior_of
from logbook.actions.stretches import fire_out_stretches
from logbook.actions.works import told_stays
from logbook.demo import demo_description
from logbook.errors import LogbookError
from logbook.records import Act, Coals, Entry, Mark, NewEvent, Window
from logbook.results.app import Between

START = datetime(2026, 1, 9, 16, 0, tzinfo=UTC)


def at(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def weekend(*, spoilt: bool) -> tuple[Entry, ...]:
    """Two nights; in the second morning a stretch in which, if spoilt, the door stood open unwritten."""
    fall = (20.0, 11.0, 5.0) if spoilt else (20.0, 18.6, 17.4)
    return (
        Entry(at=at(0), mark=Mark.ARRIVED, indoor_c=2.0, outdoor_c=-4.0),
        Entry(at=at(0.5), load_kg=2.0, air_open_pct=100.0, kindling=True),
        Entry(at=at(1.5), load_kg=3.0, air_open_pct=60.0),
        Entry(at=at(3.0), load_kg=3.0, air_open_pct=50.0),
        Entry(at=at(6.0), indoor_c=20.5, outdoor_c=-6.0, mark=Mark.BED),
        Entry(at=at(14.0), indoor_c=12.0, outdoor_c=-7.0, coals=Coals.NONE, mark=Mark.WOKE),
        Entry(at=at(14.5), load_kg=4.0, air_open_pct=60.0),
        Entry(at=at(17.0), indoor_c=fall[0], outdoor_c=-5.0),
        Entry(at=at(19.0), indoor_c=fall[1]),
        Entry(at=at(21.0), indoor_c=fall[2]),
        Entry(at=at(21.5), load_kg=3.0, air_open_pct=60.0),
        Entry(at=at(29.0), indoor_c=19.0, outdoor_c=-6.0, mark=Mark.BED),
        Entry(at=at(37.0), indoor_c=11.5, outdoor_c=-7.0, mark=Mark.WOKE),
    )


SPOILT = Between(start=at(17.0), end=at(21.0))


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[AppDesk]:
    found = AppDesk(Place(tmp_path / "cabin.db"), at=at(38))
    found._log().add_description(demo_description())
    found._log().add([NewEvent(entry=entry) for entry in weekend(spoilt=True)])
    yield found
    found.close()


def loss(desk: AppDesk) -> float:
    """Likely heat loss as the Cabin page tells it, W/K."""
    from logbook.actions.learned import learned  # noqa: PLC0415 - the model loads here

    found = learned(known(desk._log(), as_of=desk.now()), seconds=lambda: 0.0).heat_loss_w_per_k
    assert found is not None
    return found.p50


# What is listed


def test_a_stretch_runs_from_the_first_reading_after_the_fire_to_the_last_before_the_next() -> None:
    found = fire_out_stretches(weekend(spoilt=False), until=at(38))
    assert [(s.start, s.end) for s in found] == [(at(29), at(37)), (at(17), at(21)), (at(6), at(14))]
    morning = found[1]
    assert (morning.from_c, morning.to_c, morning.outside_c) == (20.0, 17.4, -5.0)
    assert morning.why == "coals at first" and found[0].why == "coals at first"


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        (Entry(at=at(18), window=Window.OPEN), "window open"),
        (Entry(at=at(16.5), window=Window.CRACKED), "window cracked"),
        (Entry(at=at(16.5), fire_out=True), "steady"),
    ],
)
def test_why_says_what_stood_open_or_that_the_stove_was_cold(changed: Entry, why: str) -> None:
    rows = sorted((*weekend(spoilt=False), changed), key=lambda e: e.at)
    found = fire_out_stretches(rows, until=at(38))
    assert next(s for s in found if s.start == at(17)).why == why


@pytest.mark.parametrize(
    "changed",
    [
        Entry(at=at(18.5), load_kg=1.0),  # lit in the middle
        Entry(at=at(16.9), other_heat_w=1500.0),  # an electric heater went on
    ],
)
def test_hours_with_a_fire_or_a_heater_are_no_stretch(changed: Entry) -> None:
    rows = sorted((*weekend(spoilt=False), changed), key=lambda e: e.at)
    assert at(17) not in [s.start for s in fire_out_stretches(rows, until=at(38))]


def test_a_room_that_warms_or_stands_as_cold_as_outdoors_is_no_stretch() -> None:
    rows = [replace(e, indoor_c=17.0) if e.at == at(17) else e for e in weekend(spoilt=False)]
    assert at(17) not in [s.start for s in fire_out_stretches(rows, until=at(38))]
    rows = [replace(e, outdoor_c=18.0) if e.at == at(17) else e for e in weekend(spoilt=False)]
    assert at(17) not in [s.start for s in fire_out_stretches(rows, until=at(38))]


def test_later_rows_do_not_count() -> None:
    assert [s.start for s in fire_out_stretches(weekend(spoilt=False), until=at(22))] == [at(17), at(6)]


# What is learned from


def test_the_readings_of_the_room_go_and_all_else_stays() -> None:
    rows = (
        Entry(at=at(17), indoor_c=20.0, outdoor_c=-5.0, low_c=12.0, high_c=21.0, load_kg=2.0),
        Entry(at=at(18), indoor_c=26.0, place="loft"),
        Entry(at=at(22), indoor_c=15.0),
    )
    first, loft, after = learned_from(rows, [SPOILT])
    assert (first.indoor_c, first.low_c, first.high_c) == (None, None, None)
    assert (first.outdoor_c, first.load_kg) == (-5.0, 2.0)
    assert (loft.indoor_c, after.indoor_c) == (26.0, 15.0)


def test_the_fit_gets_no_reading_of_the_stretch(desk: AppDesk, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[tuple[Entry, ...]] = []

    def learn(*, entries: tuple[Entry, ...], **_: object) -> None:
        seen.append(entries)
        raise LogbookError("seen")

    monkeypatch.setattr("logbook.heat.fit.learn", learn)
    desk.leave_out(SPOILT)
    with pytest.raises(LogbookError, match="seen"):
        posterior_of(known(desk._log(), as_of=desk.now()))
    read = [e.at for e in seen[0] if e.indoor_c is not None]
    assert not [moment for moment in read if at(17) <= moment <= at(21)]
    assert len(read) == 5 and len(seen[0]) == len(weekend(spoilt=True))


def test_the_joint_fit_around_a_change_gets_none_either(desk: AppDesk) -> None:
    desk.leave_out(SPOILT)
    told = known(desk._log(), as_of=desk.now())
    readings = [r.at for stay in told_stays(told.learned_from, as_of=told.as_of) for r in stay.readings]
    assert readings and not [moment for moment in readings if at(17) <= moment <= at(21)]


def test_what_is_learned_is_what_a_log_without_these_readings_teaches(
    desk: AppDesk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same dice for all: then leaving out and never having written must agree to the last digit."""
    monkeypatch.setattr("logbook.actions.reckoning.seed_of", lambda _: 1)
    with_it = loss(desk)
    desk.leave_out(SPOILT)
    without = loss(desk)
    desk.undo()
    assert loss(desk) == with_it != without
    never = AppDesk(Place(tmp_path / "never.db"), at=at(38))
    never._log().add_description(demo_description())
    rows = [replace(e, indoor_c=None) if at(17) <= e.at <= at(21) else e for e in weekend(spoilt=True)]
    never._log().add([NewEvent(entry=entry) for entry in rows])
    assert loss(never) == without
    never.close()


def test_the_evening_going_on_and_the_list_of_nights_keep_the_readings(desk: AppDesk) -> None:
    desk.leave_out(SPOILT)
    told = known(desk._log(), as_of=desk.now())
    assert [e.indoor_c for e in told.recent if e.at == at(19)] == [11.0]
    assert [e.indoor_c for e in told.before(at(20)).entries if e.at == at(19)] == [11.0]
    assert SPOILT.start in [s.start for s in fire_out_stretches(told.entries, until=told.as_of)]


def test_what_was_learned_before_is_not_taken_for_what_is_learned_now(desk: AppDesk) -> None:
    before = fingerprint(known(desk._log(), as_of=desk.now()))
    desk.leave_out(SPOILT)
    left = known(desk._log(), as_of=desk.now())
    assert fingerprint(left) != before
    assert fingerprint(left.before(at(16))) == fingerprint(replace(left, left_out=()).before(at(16)))
    desk.undo()
    assert fingerprint(known(desk._log(), as_of=desk.now())) == before


# How it is kept


def test_it_is_an_event_that_undo_and_redo_turn_with_words_of_their_own(desk: AppDesk) -> None:
    kept = desk.leave_out(SPOILT)
    assert kept.sentence.startswith("Left out of learning: Sat 10 Jan ")
    assert [e.act for e in desk._log().events()][-1] is Act.SETTING
    assert desk.undo().sentence.startswith("Learned from again: Sat 10 Jan ")
    assert desk.left_out() == ()
    assert desk.redo().sentence.startswith("Left out of learning again: Sat 10 Jan ")
    assert desk.left_out() == (SPOILT,)
    assert desk.use_again(SPOILT).sentence.startswith("Learned from again: Sat 10 Jan ")
    assert desk.left_out() == ()


def test_twice_is_refused_with_what_to_press(desk: AppDesk) -> None:
    desk.leave_out(SPOILT)
    with pytest.raises(LogbookError, match=r"left out already\.\nv uses it again"):
        desk.leave_out(SPOILT)
    desk.use_again(SPOILT)
    with pytest.raises(LogbookError, match="is in use"):
        desk.use_again(SPOILT)


def test_a_stretch_is_found_again_when_a_reading_at_its_edge_was_mended(desk: AppDesk) -> None:
    desk.leave_out(SPOILT)
    moved = Between(start=SPOILT.start + timedelta(minutes=20), end=SPOILT.end)
    assert desk.left_out()[0].leaves_out(moved)
    desk.use_again(moved)
    assert desk.left_out() == ()


@pytest.mark.parametrize(
    "spoilt", ["{", "3", '[["x", "y"]]', '[["2026-01-01T00:00:00", "2026-01-02T00:00:00"]]']
)
def test_a_setting_that_cannot_be_read_leaves_nothing_out(desk: AppDesk, spoilt: str) -> None:
    desk._log().set_setting(LEFT_OUT, spoilt)
    assert left_out(desk._log()) == ()


def test_spans_come_back_as_they_were_kept(desk: AppDesk) -> None:
    desk._log().set_setting(LEFT_OUT, text_of([SPOILT]))
    assert left_out(desk._log()) == (SPOILT,)


def test_the_cabin_page_lists_stretches_left_out_too(desk: AppDesk) -> None:
    desk.leave_out(SPOILT)
    page = desk.cabin(lambda _: None)
    assert SPOILT.start in [s.start for s in page.stretches]
    assert np.isfinite(page.line.likely_c).all()


def test_an_undo_of_something_else_says_what_it_said_before(desk: AppDesk) -> None:
    desk.leave_out(SPOILT)
    desk.keep(desk.read("in 19"))
    assert desk.undo().sentence.startswith("Taken back: ")
    assert desk.left_out() == (SPOILT,)
