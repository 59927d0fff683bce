"""The sun against an almanac, a public table, a worked example and the library."""

import csv
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import numpy as np
import pytest
from astral import Observer
from astral.sun import elevation

from logbook.heat.sky import solar_elevation_deg, sun_times

ALMANAC = Path(__file__).parents[1] / "data" / "sun_times" / "usno_atlanta_2007.csv"
EST = timezone(timedelta(hours=-5))


def _almanac():
    with ALMANAC.open() as lines:
        return list(csv.DictReader(lines))


def test_every_day_of_the_almanac_year_is_met_within_a_minute():
    """US Naval Observatory, 33°46' N 84°25' W, whole minutes; 1 min is the table's rounding and ours."""
    off = []
    for row in _almanac():
        day = date.fromisoformat(row["date"])
        times = sun_times(day=day, latitude_deg=33 + 46 / 60, longitude_deg=-(84 + 25 / 60))
        for got, printed in zip(times, (row["sunrise_est"], row["sunset_est"]), strict=True):
            want = datetime.fromisoformat(f"{day}T{printed}").replace(tzinfo=EST)
            off.append(abs((got - want).total_seconds()) / 60)
    assert len(off) == 730
    assert max(off) < 1.0


SUNRISE_1_JANUARY = [
    (0, "6:00"),
    (10, "6:17"),
    (20, "6:35"),
    (30, "6:56"),
    (40, "7:22"),
    (44, "7:35"),
    (48, "7:50"),
    (50, "7:59"),
]


@pytest.mark.parametrize(("latitude", "clock"), SUNRISE_1_JANUARY)
def test_sunrise_on_new_year_s_day_by_latitude(latitude, clock):
    """Astronomy Answers (aa.quae.nl), local mean time on 1 January 2002 (read); 1.5 min."""
    rise, _ = sun_times(day=date(2002, 1, 1), latitude_deg=latitude, longitude_deg=0.0)
    hours, minutes = clock.split(":")
    assert rise.hour * 60 + rise.minute + rise.second / 60 == pytest.approx(
        int(hours) * 60 + int(minutes), abs=1.5
    )


def test_the_almanac_office_s_worked_example():
    """Almanac for Computers 1990: 25 June 1990, 40.9 N 74.3 W, 5:26 EDT (steps read, answer computed)."""
    rise, _ = sun_times(day=date(1990, 6, 25), latitude_deg=40.9, longitude_deg=-74.3)
    want = datetime(1990, 6, 25, 9, 26, tzinfo=UTC)
    assert abs((rise - want).total_seconds()) <= 60


@pytest.mark.parametrize("longitude", [-179.0, -117.0, -75.0, 0.0, 15.0, 100.0, 179.0])
def test_both_times_belong_to_the_asked_day_on_every_meridian(longitude):
    """A sunset can fall on the next UTC date; it must still be the one after this morning's sunrise."""
    day = date(2024, 2, 10)
    rise, fall = sun_times(day=day, latitude_deg=50.0, longitude_deg=longitude)
    noon = datetime(2024, 2, 10, 12, tzinfo=UTC) - timedelta(hours=longitude / 15.0)
    assert rise < noon < fall
    assert (fall - rise).total_seconds() / 3600 == pytest.approx(9.8, abs=0.2)  # 50° N, 10 February
    assert rise.tzinfo is UTC


@pytest.mark.parametrize("day", [date(2024, 12, 21), date(2024, 6, 21)])
def test_no_sunrise_beyond_the_polar_circle(day):
    """At 70° N the sun stays down on 21 December and up on 21 June (any almanac)."""
    assert sun_times(day=day, latitude_deg=70.0, longitude_deg=25.0) is None


def test_a_wrong_sign_of_longitude_shows():
    east = sun_times(day=date(2024, 3, 20), latitude_deg=45.0, longitude_deg=75.0)[0]
    west = sun_times(day=date(2024, 3, 20), latitude_deg=45.0, longitude_deg=-75.0)[0]
    assert (west - east).total_seconds() / 3600 == pytest.approx(10.0, abs=0.05)


PLACES = [(45.2, -75.0), (60.5, 15.0), (-33.0, 151.0), (69.0, 20.0), (0.0, 0.0)]


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_height_agrees_with_the_library(latitude, longitude):
    """astral, geometric: the same equations written by others, so 0.0005 degrees (met to 2e-7)."""
    where = Observer(latitude=latitude, longitude=longitude)
    moments = [datetime(2023, 1, 3, 1, tzinfo=UTC) + timedelta(hours=37.3 * k) for k in range(230)]
    seconds = np.array([m.timestamp() for m in moments])
    height = solar_elevation_deg(times_s=seconds, latitude_deg=latitude, longitude_deg=longitude)
    want = [elevation(where, m, with_refraction=False) for m in moments]
    assert np.max(np.abs(height - want)) < 5e-4


def test_height_is_minus_50_arc_minutes_at_the_almanac_s_sunrise():
    """Refraction 34' and radius 16': the definition of sunrise. 0.2 degrees is the minute of rounding."""
    for row in _almanac()[::10]:
        rise = datetime.fromisoformat(f"{row['date']}T{row['sunrise_est']}").replace(tzinfo=EST)
        height = solar_elevation_deg(
            times_s=rise.timestamp(), latitude_deg=33 + 46 / 60, longitude_deg=-(84 + 25 / 60)
        )
        assert float(height) == pytest.approx(-0.833, abs=0.2)


def test_the_sun_is_highest_at_the_almanac_s_height_and_any_shape_is_kept():
    day = datetime(2024, 4, 2, tzinfo=UTC).timestamp() + np.arange(0, 86400, 60.0).reshape(24, 60)
    height = solar_elevation_deg(times_s=day, latitude_deg=50.0, longitude_deg=7.0)
    assert height.shape == (24, 60)
    assert np.max(height) == pytest.approx(90 - 50 + 5.1, abs=0.4)  # declination 5.1° on 2 April (almanac)
