"""Past nights: bed and waking by mark or inferred; the plan of 35 minutes; nothing from later."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from logbook.heat.past_nights import at_local, night_span, past_nights
from logbook.records import Comfort, Entry, Mark, Window

ZONE = ZoneInfo("Etc/GMT+5")
USUAL = Comfort(bed=time(22, 30), wake=time(6, 30))
FRIDAY = datetime(2026, 1, 16, tzinfo=ZONE)


def at(hour: float, day: int = 0) -> datetime:
    return (FRIDAY + timedelta(days=day, hours=hour)).astimezone(UTC)


def nights_of(*entries: Entry, until: datetime | None = None):
    return past_nights(entries, comfort=USUAL, zone=ZONE, until=until)


MARKED = (
    Entry(at=at(20.0), indoor_c=19.0, outdoor_c=-3.0),
    Entry(at=at(22.0), load_kg=3.2, pieces="2M", air_open_pct=30.0),
    Entry(at=at(22.5), mark=Mark.BED, indoor_c=21.0),
    Entry(at=at(22.75), air_open_pct=25.0),
    Entry(at=at(6.0, 1), mark=Mark.WOKE, indoor_c=14.5, outdoor_c=-8.0),
)


def test_marks_say_when_the_night_was():
    (night,) = nights_of(*MARKED)
    assert (night.bed, night.wake, night.inferred) == (at(22.5), at(6.0, 1), False)
    assert (night.load_kg, night.pieces, night.woke_c, night.start_c) == (3.2, "2M", 14.5, 21.0)
    assert night.outdoor_low_c == -8.0


def test_what_goes_in_within_35_minutes_of_bed_is_the_plan_and_no_more():
    """The contract: a forecast uses the plan burned within 35 min of bed."""
    late = Entry(at=at(22.5) + timedelta(minutes=34), load_kg=1.6)
    later = Entry(at=at(22.5) + timedelta(minutes=36), load_kg=0.9)
    (night,) = nights_of(*MARKED, late, later)
    assert [e.load_kg for e in night.plan] == [None, 1.6]
    assert night.load_kg == pytest.approx(4.8)
    assert night.loads_after == 1


def test_readings_after_bed_are_no_part_of_the_plan():
    (night,) = nights_of(*MARKED, Entry(at=at(22.9), indoor_c=22.0))
    assert all(e.indoor_c is None for e in night.plan)


def test_the_air_that_stands_is_the_last_written():
    (night,) = nights_of(*MARKED)
    assert night.air_open_pct == 25.0


def test_without_marks_bed_is_the_last_deed_and_waking_the_first_morning_reading():
    (night,) = nights_of(
        Entry(at=at(20.0), indoor_c=19.0),
        Entry(at=at(22.2), load_kg=2.0, air_open_pct=30.0),
        Entry(at=at(7.1, 1), indoor_c=13.0),
        Entry(at=at(8.0, 1), indoor_c=15.0),
    )
    assert (night.bed, night.wake, night.inferred) == (at(22.2), at(7.1, 1), True)
    assert night.woke_c == 13.0


def test_a_bed_mark_without_a_waking_mark_takes_the_morning_reading_and_says_so():
    (night,) = nights_of(*MARKED[:4], Entry(at=at(6.9, 1), indoor_c=14.0))
    assert (night.wake, night.inferred) == (at(6.9, 1), True)


AWAKE_AT_TWO = Entry(at=at(2.0, 1), mark=Mark.WOKE, indoor_c=19.0)


def test_who_was_awake_at_two_woke_in_the_morning():
    """The key for "awake" writes the same mark: the night ended at two, and was scored there."""
    (night,) = nights_of(*MARKED, AWAKE_AT_TWO)
    assert (night.bed, night.wake, night.woke_c, night.inferred) == (at(22.5), at(6.0, 1), 14.5, False)


def test_going_back_to_bed_goes_on_with_the_night():
    """It began at the second bed, and was told as one without a fire."""
    back = Entry(at=at(2.5, 1), mark=Mark.BED)
    (night,) = nights_of(*MARKED, AWAKE_AT_TWO, back)
    assert (night.bed, night.wake, night.load_kg) == (at(22.5), at(6.0, 1), 3.2)


def test_awake_at_two_alone_is_no_waking_where_the_morning_was_read():
    rows = (*MARKED[:-1], AWAKE_AT_TWO)
    (night,) = nights_of(*rows, Entry(at=at(6.5, 1), indoor_c=14.0))
    assert (night.wake, night.woke_c, night.inferred) == (at(6.5, 1), 14.0, True)
    (night,) = nights_of(*rows)
    assert (night.wake, night.woke_c, night.inferred) == (at(2.0, 1), 19.0, False)


def test_at_two_the_night_is_not_over():
    """It was counted among the nights lived while it went on."""
    rows = (*MARKED[:-1], AWAKE_AT_TWO)
    assert nights_of(*rows, until=at(2.25, 1)) == ()
    assert len(nights_of(*rows, until=at(4.25, 1))) == 1, "nobody went on sleeping after all"


def test_who_goes_to_bed_at_dawn_wakes_when_they_say():
    rows = (Entry(at=at(6.75, 1), mark=Mark.BED), Entry(at=at(11.0, 1), mark=Mark.WOKE, indoor_c=15.0))
    (night,) = nights_of(*rows, until=at(11.5, 1))
    assert (night.wake, night.woke_c) == (at(11.0, 1), 15.0)


def test_a_nap_or_a_bed_given_up_is_not_the_night():
    nap = (Entry(at=at(14.5), mark=Mark.BED), Entry(at=at(18.0), mark=Mark.WOKE))
    (night,) = nights_of(*nap, *MARKED)
    assert night.bed == at(22.5)
    given_up = (Entry(at=at(21.0), mark=Mark.BED), Entry(at=at(21.75), mark=Mark.WOKE))
    (night,) = nights_of(*given_up, *MARKED)
    assert night.bed == at(22.5)


def test_an_evening_without_a_morning_is_no_night():
    assert nights_of(*MARKED[:4]) == ()


def test_a_night_not_over_yet_is_left_out():
    assert nights_of(*MARKED, until=at(5.0, 1)) == ()
    assert len(nights_of(*MARKED, until=at(6.0, 1))) == 1


def test_the_forecast_low_logged_stands_for_the_outdoor_low_when_nobody_read_one():
    entries = [
        Entry(at=at(21.0), forecast_low_c=-13.0),
        Entry(at=at(22.5), mark=Mark.BED, indoor_c=20.0),
        Entry(at=at(6.0, 1), mark=Mark.WOKE, indoor_c=12.0),
    ]
    assert nights_of(*entries)[0].outdoor_low_c == -13.0


def test_a_window_set_the_evening_before_last_does_not_count():
    entries = [Entry(at=at(9.0), window=Window.CRACKED), *MARKED]
    assert nights_of(*entries)[0].window is Window.CRACKED
    old = [Entry(at=at(3.0), window=Window.CRACKED), *MARKED]
    assert nights_of(*old)[0].window is Window.SHUT


SPANS = [  # local hour asked, bed, wake -> local bed and wake
    (21.0, (time(22, 30), time(6, 30)), ((22.5, 0), (6.5, 1)), "evening: tonight"),
    (2.0, (time(22, 30), time(6, 30)), ((22.5, -1), (6.5, 0)), "in the night: this night"),
    (10.0, (time(22, 30), time(6, 30)), ((22.5, 0), (6.5, 1)), "morning: the coming night"),
    (23.0, (time(0, 30), time(8, 0)), ((0.5, 1), (8.0, 1)), "bed after midnight"),
]


@pytest.mark.parametrize(("hour", "usual", "expected", "why"), SPANS)
def test_the_night_a_moment_belongs_to(hour, usual, expected, why):
    got = night_span(at(hour), bed=usual[0], wake=usual[1], zone=ZONE)
    assert got == (at(*expected[0]), at(*expected[1])), why


def test_a_night_in_which_the_clock_goes_back_is_an_hour_longer():
    """Central European time: clocks go back on the last Sunday of October (EU directive 2000/84/EC)."""
    vienna = ZoneInfo("Europe/Vienna")
    evening = datetime(2026, 10, 24, 20, 0, tzinfo=vienna)
    bed, wake = night_span(evening, bed=time(22, 30), wake=time(6, 30), zone=vienna)
    assert wake - bed == timedelta(hours=9)
    assert at_local(wake.astimezone(vienna).date(), time(6, 30), vienna) == wake
