"""Reading the notebook: what the rows of people who write late, forget and copy are taken to mean.

Each test is a page as someone might write it. The rules are ours (see notebook.py); what is checked is that
a page gives what a careful reader would make of it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from logbook.heat.notebook import (
    OPENING_PCT,
    UNSAID_TURN_DOWN,
    AirSet,
    Stay,
    air_settings,
    stays,
)
from logbook.heat.stay_rows import LATE_ROW, LONGEST_PIECE, in_written_order
from logbook.records import Coals, Entry, Mark, Wind, Window

DAY = datetime(2025, 1, 10, tzinfo=UTC)


def at(clock: str, day: int = 0) -> datetime:
    """A time of the weekend."""
    hours, minutes = clock.split(":")
    return DAY + timedelta(days=day, hours=int(hours), minutes=int(minutes))


def row(clock: str, day: int = 0, **said: object) -> Entry:
    return Entry(at=at(clock, day), **said)  # type: ignore[arg-type]


def times(rows: list[Entry]) -> list[str]:
    return [r.at.strftime("%H:%M") for r in rows]


def one(rows: list[Entry]) -> Stay:
    (stay,) = stays(rows)
    return stay


def air(rows: list[Entry]) -> list[tuple[str, float]]:
    return [(s.at.strftime("%H:%M"), s.open_pct) for s in air_settings(rows)]


# Times and order


def test_rows_in_order_stay_as_they_are() -> None:
    rows = [row("18:00", indoor_c=8.0), row("18:10", load_kg=2.0), row("21:00", indoor_c=17.5)]
    assert in_written_order(rows) == (rows, 0)


def test_a_row_stamped_late_is_pulled_back_to_the_row_written_next() -> None:
    rows = [
        row("20:00", indoor_c=15.0),
        row("22:20", load_kg=4.0),
        row("22:00", air_open_pct=20.0),
        row("22:30", mark=Mark.BED),
    ]
    mended, pulled = in_written_order(rows)
    assert times(mended) == ["20:00", "22:00", "22:00", "22:30"]
    assert pulled == 1
    assert [bool(r.load_kg) for r in mended] == [False, True, False, False]


def test_written_order_beats_time_order_within_the_half_hour() -> None:
    """Sorting by time would leave the air at 60 all night: 'air 60' is stamped after 'air 20'."""
    rows = [row("22:25", air_open_pct=60.0), row("22:05", air_open_pct=20.0), row("22:30", mark=Mark.BED)]
    assert air(in_written_order(rows)[0])[-1][1] == 20.0


def test_every_row_of_a_chain_of_late_stamps_is_pulled_back() -> None:
    rows = [row("21:30", indoor_c=1.0), row("21:20", indoor_c=2.0), row("21:10", indoor_c=3.0)]
    mended, pulled = in_written_order(rows)
    assert times(mended) == ["21:10"] * 3
    assert [r.indoor_c for r in mended] == [1.0, 2.0, 3.0]
    assert pulled == 2


def test_exactly_the_limit_is_late_and_a_minute_more_is_copied_in() -> None:
    first = row("22:00", indoor_c=18.0)
    late = replace(first, at=first.at - LATE_ROW, indoor_c=17.0)
    copied = replace(first, at=first.at - LATE_ROW - timedelta(minutes=1), indoor_c=17.0)
    mended, pulled = in_written_order([first, late])
    assert ([r.indoor_c for r in mended], pulled) == ([18.0, 17.0], 1)  # as written, at the earlier time
    mended, pulled = in_written_order([first, copied])
    assert ([r.indoor_c for r in mended], pulled) == ([17.0, 18.0], 0)  # by time, times untouched


def test_a_paper_page_copied_in_afterwards_falls_into_its_place() -> None:
    tonight = [row("18:00", 7, indoor_c=6.0), row("22:00", 7, indoor_c=18.0)]
    paper = [row("17:00", indoor_c=5.0), row("21:00", indoor_c=16.0), row("08:00", 1, mark=Mark.LEFT)]
    mended, pulled = in_written_order([*tonight, *paper])
    assert mended == [*paper, *tonight]
    assert pulled == 0
    assert [s.start for s in stays([*tonight, *paper])] == [at("17:00"), at("18:00", 7)]


def test_rows_after_a_copied_page_carry_on_by_time() -> None:
    """The page was copied in mid-evening; the evening's later rows still come last."""
    rows = [row("18:00", 7, indoor_c=6.0), row("17:00", indoor_c=5.0), row("22:00", 7, indoor_c=18.0)]
    mended, _ = in_written_order(rows)
    assert [r.indoor_c for r in mended] == [5.0, 6.0, 18.0]


def test_times_never_run_back_and_no_row_is_lost() -> None:
    clock = ["18:00", "18:40", "18:20", "19:30", "19:31", "17:00", "17:40", "17:20", "23:50", "23:20"]
    rows = [row(c, indoor_c=float(i)) for i, c in enumerate(clock)]
    mended, _ = in_written_order(rows)
    assert [r.at for r in mended] == sorted(r.at for r in mended)
    assert sorted(r.indoor_c or 0.0 for r in mended) == [float(i) for i in range(len(rows))]
    assert [r.at for r in rows] == [at(c) for c in clock]  # what was written is not touched


# The air


def test_a_bare_air_row_is_an_act() -> None:
    assert air([row("20:00", air_open_pct=60.0), row("22:00", air_open_pct=20.0)]) == [
        ("20:00", 60.0),
        ("22:00", 20.0),
    ]


def test_a_load_with_little_air_stood_open_first() -> None:
    """Nobody lays a cold log on at 20 %: wide while it caught, then as written."""
    assert air([row("22:00", load_kg=4.0, air_open_pct=20.0)]) == [("22:00", OPENING_PCT), ("22:12", 20.0)]
    assert timedelta(minutes=12) == UNSAID_TURN_DOWN


def test_a_load_with_open_air_is_taken_as_written() -> None:
    assert air([row("18:00", load_kg=2.0, air_open_pct=90.0)]) == [("18:00", 90.0)]


def test_air_beside_a_load_is_as_found_when_the_change_is_written_next() -> None:
    """'4 kg, air 35', then 'air 80', then 'air 20': 35 is what it stood at, no opening is made up."""
    rows = [
        row("22:00", load_kg=4.0, air_open_pct=35.0),
        row("22:02", air_open_pct=80.0),
        row("22:20", air_open_pct=20.0),
    ]
    assert air(rows) == [("22:00", 35.0), ("22:02", 80.0), ("22:20", 20.0)]


def test_air_found_after_a_night_was_changed_in_the_night() -> None:
    """Set to 25 at bed by an act, found at 10 in the morning: someone got up; when is unknown, so mid-way."""
    rows = [row("23:00", air_open_pct=25.0), row("07:00", 1, indoor_c=12.0, air_open_pct=10.0)]
    assert air(rows) == [("23:00", 25.0), ("03:00", 10.0)]


def test_air_found_after_a_night_left_wide_was_turned_down_soon() -> None:
    """Left at 70 for the load to catch and found at 20: the usual turn-down went unwritten."""
    rows = [row("22:30", load_kg=4.0, air_open_pct=70.0), row("07:00", 1, indoor_c=12.0, air_open_pct=20.0)]
    assert air(rows) == [("22:30", 70.0), ("22:42", 20.0)]


def test_air_found_as_it_was_left_changes_nothing() -> None:
    rows = [row("23:00", air_open_pct=25.0), row("07:00", 1, indoor_c=12.0, air_open_pct=26.0)]
    assert all(abs(pct - 25.0) <= 2.0 for _, pct in air(rows))


def test_a_reading_with_another_air_by_day_is_taken_at_its_time() -> None:
    """Within three hours no night lay between: moving every odd value ruined daytimes."""
    rows = [row("18:00", air_open_pct=60.0), row("19:30", indoor_c=15.0, air_open_pct=30.0)]
    assert air(rows) == [("18:00", 60.0), ("19:30", 30.0)]


def test_settings_come_out_in_order_of_time() -> None:
    rows = [
        row("22:30", load_kg=3.0, air_open_pct=70.0),
        row("02:30", 1, air_open_pct=40.0),
        row("07:00", 1, indoor_c=12.0, air_open_pct=20.0),
    ]
    settings = air_settings(rows)
    assert settings == sorted(settings, key=lambda s: s.at)
    assert AirSet(at("02:30", 1), 40.0) in settings


# Stays


def test_eighteen_hours_without_a_line_end_a_stay() -> None:
    first = row("12:00", indoor_c=15.0)
    assert len(stays([first, replace(first, at=first.at + timedelta(hours=18))])) == 1
    assert len(stays([first, replace(first, at=first.at + timedelta(hours=18, minutes=1))])) == 2


def test_a_change_set_down_at_home_begins_no_stay() -> None:
    """The stay would begin hours before anybody was there, in a room nobody had read."""
    at_home = row("09:00", change="skirting", note="the boards came")
    arrived = [row("16:00", indoor_c=4.0), row("18:00", indoor_c=9.0)]
    assert stays([at_home, *arrived]) == stays(arrived)
    there = replace(at_home, indoor_c=3.0)
    assert stays([there, *arrived])[0].start == at("09:00")


def test_someone_asleep_is_still_there_for_longer() -> None:
    bed = row("22:00", mark=Mark.BED)
    assert len(stays([bed, replace(bed, at=bed.at + timedelta(hours=20), mark=Mark.WOKE)])) == 1
    assert len(stays([bed, replace(bed, at=bed.at + timedelta(hours=37), mark=Mark.WOKE)])) == 2
    awake = [bed, row("23:00", mark=Mark.WOKE), row("18:00", 1, indoor_c=9.0)]
    assert len(stays(awake)) == 2  # 19 h after waking


def test_left_ends_a_stay_and_arrived_begins_one() -> None:
    rows = [row("12:00", mark=Mark.LEFT, indoor_c=17.0), row("15:00", indoor_c=15.0)]
    assert [s.start for s in stays(rows)] == [at("12:00"), at("15:00")]
    rows = [row("12:00", indoor_c=17.0), row("15:00", mark=Mark.ARRIVED, indoor_c=8.0)]
    assert [s.end for s in stays(rows)] == [at("12:00"), at("15:00")]


def test_two_rows_of_the_minute_of_leaving_stay_together() -> None:
    rows = [row("12:00", indoor_c=17.0), row("14:00", mark=Mark.LEFT), row("14:00", air_open_pct=0.0)]
    stay = one(rows)
    assert stay.air[-1].open_pct == 0.0


@pytest.mark.parametrize("between", [(), (row("14:00", note="changed shifts at the gate"),)])
def test_left_and_arrived_in_one_minute_are_two_stays(between: tuple[Entry, ...]) -> None:
    rows = [row("12:00", indoor_c=17.0), row("14:00", mark=Mark.LEFT), *between]
    rows += [row("14:00", mark=Mark.ARRIVED), row("14:30", indoor_c=15.0)]
    assert [(s.start, s.end) for s in stays(rows)] == [(at("12:00"), at("14:00")), (at("14:00"), at("14:30"))]


def test_a_very_long_stay_is_cut_into_pieces() -> None:
    rows = [replace(row("12:00", indoor_c=15.0), at=DAY + timedelta(hours=12 * i)) for i in range(80)]
    pieces = stays(rows)
    assert len(pieces) == 3  # 39.5 days in pieces of 14
    assert all(p.end - p.start <= LONGEST_PIECE for p in pieces)
    assert sum(len(p.readings) for p in pieces) == 80


def test_logger_rows_alone_are_a_stay_of_nobody() -> None:
    """They may be learned from, but no person heats or airs the room, and no body warms it."""
    logged = one([row("12:00", indoor_c=5.0), row("13:00", indoor_c=5.1, outdoor_c=2.0)])
    assert not logged.occupied
    assert one([row("12:00", indoor_c=5.0), row("13:00", load_kg=2.0)]).occupied
    assert one([row("12:00", indoor_c=5.0), row("13:00", window=Window.CRACKED)]).occupied


def test_rows_that_do_not_exist_yet_are_left_out() -> None:
    rows = [row("18:00", indoor_c=8.0), row("22:00", indoor_c=18.0), row("07:00", 1, indoor_c=11.0)]
    assert stays(rows, until=at("23:00")) == stays(rows[:2])
    assert stays(rows, until=at("01:00", -1)) == ()
    assert stays([]) == ()


# What else a row says


@pytest.mark.parametrize("field", ["low_c", "high_c"])
def test_a_low_or_high_looks_back_to_its_reset_or_to_bed(field: str) -> None:
    kind = field.removesuffix("_c")
    morning = row("07:00", 1, mark=Mark.WOKE, **{field: 9.5})
    asleep = one([row("22:30", mark=Mark.BED), morning]).readings
    assert [(r.kind, r.indoor_c, r.since) for r in asleep] == [(kind, 9.5, at("22:30"))]
    reset = one([row("22:30", mark=Mark.BED), replace(morning, reset_at=at("20:00"))]).readings
    assert reset[0].since == at("20:00")
    assert one([row("21:00", indoor_c=18.0), morning]).readings == one([row("21:00", indoor_c=18.0)]).readings


def test_a_low_beside_a_reading_gives_both() -> None:
    rows = [row("22:30", mark=Mark.BED), row("07:00", 1, indoor_c=12.0, low_c=9.5, high_c=21.0)]
    assert [(r.kind, r.indoor_c) for r in one(rows).readings] == [("at", 12.0), ("low", 9.5), ("high", 21.0)]


def test_another_place_is_not_the_room() -> None:
    rows = [row("20:00", indoor_c=18.0), row("20:05", indoor_c=9.0, low_c=7.0, place="loft")]
    assert [r.indoor_c for r in one(rows).readings] == [18.0]


def test_words_for_coals_and_wood_left() -> None:
    rows = [
        row("05:00", coals=Coals.GOOD),
        row("06:00", coals=Coals.FEW, note="some unburnt wood left"),
        row("06:30", note="unburned end of a log"),
        row("07:00", fire_out=True),
        row("07:30", indoor_c=10.0, note="frost on the window"),
    ]
    assert [(c.coals, c.wood_left) for c in one(rows).coals] == [
        (Coals.GOOD, False),
        (Coals.FEW, True),
        (None, True),
        (Coals.NONE, False),
    ]


def test_loads_windows_wind_heater_and_outdoors_are_taken_over() -> None:
    rows = [
        row("18:00", load_kg=1.2, kindling=True, outdoor_c=-3.0),
        row("19:00", window=Window.CRACKED, wind=Wind.STRONG),
        row("20:00", other_heat_w=1500.0, load_kg=0.0),
        row("21:00", other_heat_w=0.0),
    ]
    stay = one(rows)
    assert [(x.kg, x.kindling) for x in stay.loads] == [(1.2, True)]  # 0 kg is no load
    assert [w.state for w in stay.windows] == [Window.CRACKED]
    assert [s.value for s in stay.other_heat] == [1500.0, 0.0]
    assert [s.value for s in stay.outdoor] == [-3.0]
    assert stay.wind[0].value > 1.0


def test_the_low_a_night_was_forecast_stands_in_where_nobody_read_it() -> None:
    """Written in the evening, it counts at waking; a reading of one's own near waking says more."""
    bed = row("22:30", mark=Mark.BED, forecast_low_c=-7.0)
    woke = row("07:00", 1, mark=Mark.WOKE)
    assert [(s.at, s.value) for s in one([bed, woke]).expected_lows] == [(woke.at, -7.0)]
    assert one([bed, replace(woke, outdoor_c=-4.0)]).expected_lows == ()
    assert one([bed, row("08:00", 1, outdoor_c=-4.0), woke]).expected_lows == ()
    assert one([bed]).expected_lows == ()  # a night still ahead is tonight's business
