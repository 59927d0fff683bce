"""Degree-days against published rows and a measured year; days known, own records, the night's low."""

from __future__ import annotations

import csv
from collections import defaultdict
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.care.weather_by_hand import (
    BASE_65F_C,
    degree_hours_k,
    low_of_night,
    mean_degree_days_k,
    met_office_degree_days_k,
    own_record,
    weather_answer,
)
from logbook.errors import BadInputError
from logbook.house import House, Told
from logbook.matters import DayWeather, Sky
from logbook.records import Entry, OwnUnits
from logbook.results.stays import Extreme
from logbook.results.weather import DayFrom
from logbook.setting import Setting
from logbook.units import c_from_f
from logbook.wording.weather import weather_text

ZONE = "Etc/GMT-1"
SEASON = date(2025, 7, 1)

US_ROWS = [  # high °F, low °F, degree-days °F below 65 °F, where it is printed
    (55.0, 35.0, 20.0, "artemis.bm weather glossary, heating degree day: 65-45 (read)"),
    (60.0, 40.0, 15.0, "an energy glossary's worked day: average 50 (read)"),
    (90.0, 70.0, 0.0, "burlingtonnc.gov FAQ 57: average 80, cooling only (read)"),
]


@pytest.mark.parametrize(("high_f", "low_f", "days_f", "source"), US_ROWS)
def test_the_mean_method_gives_the_printed_days(high_f, low_f, days_f, source):
    got = mean_degree_days_k(low_c=c_from_f(low_f), high_c=c_from_f(high_f))
    assert got * 1.8 == pytest.approx(days_f, abs=1e-9), source


@pytest.mark.parametrize(("high_f", "low_f", "days_f", "source"), US_ROWS)
def test_both_methods_agree_where_a_day_is_on_one_side_of_the_base(high_f, low_f, days_f, source):
    got = met_office_degree_days_k(low_c=c_from_f(low_f), high_c=c_from_f(high_f), base_c=BASE_65F_C)
    assert got * 1.8 == pytest.approx(days_f, abs=1e-9), source


MET_OFFICE = [  # low, high, degree-days: the four printed cases, worked by hand (vesma.com, ddcalcs, read)
    (16.0, 24.0, 0.0, "Tmin > Tbase: 0"),
    (11.5, 21.5, 1.0, "mean 16.5 > 15.5: (15.5 - 11.5) / 4"),
    (7.5, 17.5, 3.5, "Tmax >= Tbase: (15.5 - 7.5) / 2 - (17.5 - 15.5) / 4"),
    (-8.0, -2.0, 20.5, "Tmax < Tbase: 15.5 - (-2 - 8) / 2"),
]


@pytest.mark.parametrize(("low_c", "high_c", "days_k", "case"), MET_OFFICE)
def test_the_met_office_equations_case_by_case(low_c, high_c, days_k, case):
    assert met_office_degree_days_k(low_c=low_c, high_c=high_c) == pytest.approx(days_k, abs=1e-9), case


@given(st.floats(-40, 40), st.floats(0, 30), st.floats(0, 25))
def test_degree_days_never_fall_with_the_cold_and_never_leave_their_bounds(low, width, base):
    got = met_office_degree_days_k(low_c=low, high_c=low + width, base_c=base)
    assert got >= mean_degree_days_k(low_c=low, high_c=low + width, base_c=base) - 1e-9
    assert got <= max(base - low, 0.0) + 1e-9
    assert got <= met_office_degree_days_k(low_c=low - 1.0, high_c=low - 1.0 + width, base_c=base) + 1e-9


def test_a_measured_year_summed_by_the_hour_is_met_within_two_in_a_hundred():
    """363 days of an airport's hours: the equations stand for just this integral."""
    year = Path(__file__).parents[1] / "data" / "hourly_weather" / "ewr_2013_hourly.csv"
    hours = defaultdict(list)
    with year.open(encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            if row["T_C"]:
                hours[row["time_est"][:10]].append(float(row["T_C"]))
    whole = [day for day in hours.values() if len(day) >= 23]
    assert len(whole) > 350
    by_hour = sum(sum(max(15.5 - c, 0.0) for c in day) / len(day) for day in whole)
    by_ends = sum(met_office_degree_days_k(low_c=min(day), high_c=max(day)) for day in whole)
    assert by_ends == pytest.approx(by_hour, rel=0.02)
    # The bare mean of low and high misses the mild half of the year.
    bare = sum(mean_degree_days_k(low_c=min(d), high_c=max(d), base_c=15.5) for d in whole)
    assert abs(bare - by_hour) > abs(by_ends - by_hour)


def test_a_high_below_the_low_is_refused_with_both():
    with pytest.raises(BadInputError, match=r"-9 °C can't be below its low of -2"):
        met_office_degree_days_k(low_c=-2.0, high_c=-9.0)


def test_degree_hours_are_heat_over_heat_loss():
    """At -5 outside all day and 20 inside, 120 W/K lose 25 K x 24 h x 120 W/K = 72 kWh."""
    assert degree_hours_k(low_c=-8.0, high_c=-2.0, inside_c=20.0) * 120.0 == pytest.approx(72_000.0)


# Days known


def at(text: str) -> datetime:
    """A moment by the cabin's clock, an hour ahead of UTC."""
    return datetime.fromisoformat(f"2026-{text}").replace(tzinfo=UTC) - timedelta(hours=1)


def house(*rows: Entry | tuple[str, DayWeather], as_of: str = "01-16T12:00") -> House:
    entries = [row for row in rows if isinstance(row, Entry)]
    entries += [Entry(at=at(row[0]), matter=row[1]) for row in rows if not isinstance(row, Entry)]
    entries.sort(key=lambda e: e.at)
    return House(
        as_of=at(as_of),
        setting=Setting(zone=ZONE),
        description=None,
        entries=tuple(entries),
        told=tuple(Told(at=e.at, matter=e.matter) for e in entries if e.matter),
    )


def day(text: str, low: float, high: float, **more: object) -> DayWeather:
    return DayWeather(day=date.fromisoformat(f"2026-{text}"), low_c=low, high_c=high, **more)


def read(text: str, outdoor_c: float) -> Entry:
    return Entry(at=at(text), outdoor_c=outdoor_c)


def known(*rows: Entry | tuple[str, DayWeather], **more: object) -> list[tuple[str, float, float, DayFrom]]:
    answer = weather_answer(house(*rows, **more), season_began=SEASON)
    return [(str(r.day)[5:], r.low_c, r.high_c, r.source) for r in (*answer.behind, *answer.ahead)]


READ_DAY = (read("01-15T07:00", -9.0), read("01-15T14:00", -1.0), read("01-15T22:00", -6.0))


def test_a_day_as_written_beats_readings_and_those_beat_a_forecast():
    forecast = ("01-14T20:00", day("01-15", -6, 2))
    assert known(forecast) == [("01-15", -6, 2, DayFrom.FORECAST)]
    assert known(forecast, *READ_DAY) == [("01-15", -9, -1, DayFrom.READINGS)]
    seen = ("01-16T08:00", day("01-15", -10, 0, seen=True))
    assert known(forecast, *READ_DAY, seen) == [("01-15", -10, 0, DayFrom.SEEN)]


def test_the_last_word_on_a_day_counts():
    first, second = ("01-15T08:00", day("01-17", -5, 0)), ("01-16T08:00", day("01-17", -11, -4))
    assert known(first, second) == [("01-17", -11, -4, DayFrom.FORECAST)]


@pytest.mark.parametrize(
    "left_out", range(3), ids=["without its morning", "without its afternoon", "with two readings"]
)
def test_a_day_hardly_read_is_not_known(left_out):
    assert known(*[row for n, row in enumerate(READ_DAY) if n != left_out]) == []


def test_ends_written_the_wrong_way_round_are_turned():
    assert known(("01-16T08:00", day("01-17", -2, -8))) == [("01-17", -8, -2, DayFrom.FORECAST)]


def test_a_day_a_zone_left_out_does_not_stop_the_page():
    """Samoa had no 30 December 2011 (tz database): a day typed for it is no record, and no error."""
    typed = DayWeather(day=date(2011, 12, 30), low_c=22.0, high_c=31.0, seen=True)
    asked = house(("01-16T08:00", typed))
    samoa = House(as_of=asked.as_of, setting=Setting(zone="Pacific/Apia"), description=None, told=asked.told)
    assert own_record(samoa) == (None, None)


def test_sums_ahead_and_over_the_season_are_of_their_days():
    answer = weather_answer(
        house(
            ("01-16T08:00", day("01-16", -8, -2, wind="strong", sky=Sky.CLEAR)),
            ("01-16T08:00", day("01-17", 7.5, 17.5)),
            ("01-10T08:00", day("01-10", -8, -2, seen=True)),
            (
                "01-10T08:00",
                DayWeather(day=date(2025, 6, 30), low_c=0.0, high_c=2.0, seen=True),
            ),  # last season
        ),
        season_began=SEASON,
    )
    assert answer.coming is not None
    assert (answer.coming.days, answer.coming.forecast) == (2, 2)
    assert answer.coming.degree_days_k == pytest.approx(20.5 + 3.5)
    assert answer.season is not None
    assert (answer.season.days, answer.season.forecast) == (1, 0)
    assert answer.season.degree_days_k == pytest.approx(20.5)
    assert answer.season.degree_hours_k == pytest.approx(24.0 * 24.0)  # 19 inside, the band's middle, less -5


def test_the_own_record_holds_no_forecast():
    found = own_record(
        house(
            ("01-14T08:00", day("01-15", -40, 39)),
            *READ_DAY,
            ("01-16T09:00", day("01-13", -12, 1, seen=True)),
        )
    )
    assert found == (Extreme(-12.0, at("01-13T12:00")), Extreme(1.0, at("01-13T12:00")))
    assert own_record(house()) == (None, None)


def test_forecasts_are_held_against_what_came():
    answer = weather_answer(
        house(
            ("01-12T08:00", day("01-13", -5, 0)),
            ("01-12T08:00", day("01-14", -5, 0)),
            ("01-15T08:00", day("01-13", -8, 0, seen=True)),
            ("01-15T08:00", day("01-14", -4, 0, seen=True)),
        ),
        season_began=SEASON,
    )
    assert answer.miss is not None
    assert (answer.miss.days, answer.miss.mean_k, answer.miss.mean_size_k) == (2, -1.0, 2.0)


# The night's low


def test_the_low_of_a_night_is_that_of_the_day_before_it_the_newest_said():
    told = [
        (at("01-14T08:00"), day("01-16", -6, 0)),
        (at("01-15T08:00"), day("01-16", -9, -1)),
        (at("01-15T09:00"), day("01-17", -20, -9)),
        (at("01-15T10:00"), day("01-16", -30, -9, seen=True)),
    ]
    assert low_of_night(told, date(2026, 1, 16)) == (at("01-15T08:00"), -9)
    assert low_of_night(told, date(2026, 1, 18)) is None


# In words


def test_the_page_in_both_units():
    answer = weather_answer(
        house(("01-16T08:00", day("01-17", -8, -2, wind="strong", sky=Sky.CLEAR)), *READ_DAY),
        season_began=SEASON,
    )
    rows = weather_text(answer, setting=Setting(zone=ZONE))
    assert "  Sat 17 Jan   −8 to −2 °C   20.5 degree-days  strong, clear, forecast" in rows
    assert "Degree-days below 15.5 °C, by the UK Met Office's equations." in rows
    assert any("coldest −9 °C on Thu 15 Jan 2026; warmest −1 °C" in row for row in rows)
    american = Setting(zone=ZONE, units=OwnUnits(temperature="F", mass="lb"))
    rows = weather_text(answer, setting=american)
    assert "  Sat 17 Jan   18 to 28 °F     42 degree-days  strong, clear, forecast" in rows  # 65 - 23
    assert any("below 65 °F" in row for row in rows)


def test_with_nothing_ahead_it_says_what_to_type():
    (row,) = weather_text(weather_answer(house(), season_began=SEASON), setting=Setting(zone=ZONE))
    assert "weather sat -8 -2 strong clear" in row
