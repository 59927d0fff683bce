"""Amounts as they must read: the forms are the project's own list of words for screens and paper."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from logbook.records import OwnUnits
from logbook.results.night import Range
from logbook.wording import (
    air_text,
    chance_text,
    day_text,
    difference_text,
    hours_text,
    mass_text,
    pieces_text,
    range_text,
    span_text,
    temperature_text,
    time_text,
)

METRIC, AMERICAN = OwnUnits(), OwnUnits(temperature="F", mass="lb")

AIR = [
    (100.0, "all open (none closed)"),
    (99.2, "all open (none closed)"),
    (75.0, "3/4 open (1/4 closed)"),
    (66.0, "2/3 open (1/3 closed)"),
    (200 / 3, "2/3 open (1/3 closed)"),
    (60.0, "60 % open (40 % closed)"),
    (50.9, "1/2 open (1/2 closed)"),
    (51.4, "51 % open (49 % closed)"),
    (100 / 3, "1/3 open (2/3 closed)"),
    (33.0, "1/3 open (2/3 closed)"),
    (25.0, "1/4 open (3/4 closed)"),
    (26.4, "26 % open (74 % closed)"),
    (10.0, "10 % open (90 % closed)"),
    (0.0, "shut (all closed)"),
]


@pytest.mark.parametrize(("open_pct", "text"), AIR)
def test_air_is_always_said_both_ways(open_pct, text):
    assert air_text(open_pct) == text
    assert air_text(open_pct, both_ways=False) == text.split(" (")[0], "narrow screens put the rest elsewhere"


def test_open_and_closed_add_up_to_the_whole_lever():
    for open_pct in range(2, 99):
        text = air_text(float(open_pct))
        if "%" in text:
            opened, closed = (int(word) for word in text.replace("(", "").split() if word.isdigit())
            assert opened + closed == 100, text


TEMPERATURES = [
    (18.0, METRIC, 1, "18.0 °C"),
    (-9.0, METRIC, 0, "−9 °C"),
    (-0.04, METRIC, 1, "0.0 °C"),
    # 64 °F = 17.78 °C and -12 °C = 10.4 °F: t/°F = 1.8 t/°C + 32 (NIST SP 811, B.9)
    (17.7778, AMERICAN, 0, "64 °F"),
    (-12.0, AMERICAN, 1, "10.4 °F"),
]


@pytest.mark.parametrize(("value_c", "units", "decimals", "text"), TEMPERATURES)
def test_temperatures_have_a_unit_and_a_proper_minus(value_c, units, decimals, text):
    assert temperature_text(value_c, units=units, decimals=decimals) == text
    assert "-" not in temperature_text(value_c, units=units)


def test_a_difference_in_fahrenheit_has_no_32_in_it():
    assert difference_text(1.4, units=METRIC) == "1.4 °C"
    assert difference_text(2.0, units=AMERICAN) == "3.6 °F"


def test_masses_in_the_owners_unit():
    # 6.4 kg / 0.45359237 = 14.11 lb (NIST SP 811)
    assert [mass_text(6.4, units=u) for u in (METRIC, AMERICAN)] == ["6.4 kg", "14.1 lb"]
    assert mass_text(0.0, units=METRIC) == "0.0 kg"
    assert mass_text(0.04, units=METRIC) == "0.04 kg"
    assert mass_text(-2.12, units=METRIC) == "−2.1 kg", "as fine as on the other side of zero"


RANGES = [
    (Range(13.0, 17.0, 20.0), METRIC, "13–20 °C, likely 17 °C"),
    (Range(-4.0, 1.0, 5.0), METRIC, "−4 to 5 °C, likely 1 °C"),
    (Range(-9.4, -8.0, -6.2), METRIC, "−9 to −6 °C, likely −8 °C"),
    (Range(19.6, 19.9, 20.2), METRIC, "20 °C, likely 20 °C"),
    (Range(10.0, 15.0, 20.0), AMERICAN, "50–68 °F, likely 59 °F"),
]


@pytest.mark.parametrize(("expected", "units", "text"), RANGES)
def test_ranges(expected, units, text):
    assert range_text(expected, units=units) == text
    assert range_text(expected, units=units, likely=False) == text.split(", likely")[0]


def test_below_zero_a_dash_would_read_as_a_minus():
    assert span_text(-4.0, 5.0, units=METRIC) == "−4 to 5 °C"


CHANCES = [
    (0.0, "under 1 in 100"),
    (0.009, "under 1 in 100"),
    (0.05, "under 1 in 10"),
    (0.1, "1 night in 10"),
    (0.3, "3 nights in 10"),
    (0.26, "3 nights in 10"),
    (0.9, "9 nights in 10"),
    (0.96, "over 9 in 10"),
    (0.995, "over 99 in 100"),
    (1.0, "over 99 in 100"),
]


@pytest.mark.parametrize(("chance", "text"), CHANCES)
def test_chances_are_no_finer_than_one_in_ten_but_at_the_ends(chance, text):
    assert chance_text(chance) == text


def test_nothing_is_ever_certain():
    for step in range(1001):
        text = chance_text(step / 1000.0)
        assert "10 nights in 10" not in text and "0 nights" not in text.split("1")[0]


def test_pieces_have_a_space_between_number_and_size():
    assert [pieces_text(p) for p in ("3M 1L", "3 M 1 L", "0.5 box", "4m")] == [
        "3 M 1 L",
        "3 M 1 L",
        "0.5 box",
        "4 m",
    ]


def test_times_and_days_are_the_sites():
    at = datetime(2026, 7, 16, 23, 30, tzinfo=UTC)
    assert time_text(at, zone="Asia/Kathmandu") == "05:15"  # UTC+05:45
    assert day_text(at, zone="Asia/Kathmandu") == "Fri 17 Jul"
    assert day_text(at, zone="UTC", year=True) == "Thu 16 Jul 2026"


def test_durations():
    assert [hours_text(h) for h in (0.75, 2.6, 14.2)] == ["45 min", "2.6 h", "14 h"]
