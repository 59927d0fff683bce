"""Damp and the weather in one row of the Year page: each branch, in the owner's units."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from logbook.matters import Sight, Sky
from logbook.records import OwnUnits
from logbook.results.damp import Airing, DampAnswer, OutdoorFrom, SeenRow, SurfaceRow, SurfaceState
from logbook.results.stays import Extreme
from logbook.results.weather import DayFrom, DayRow, WeatherAnswer
from logbook.setting import Setting
from logbook.wording.year import damp_short, weather_short

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
SETTING = Setting()
AMERICAN = Setting(units=OwnUnits(temperature="F", mass="lb"))

WALL, WINDOW = (
    SurfaceRow(
        kind=kind, faces="north", u_w_per_m2k=1.0, assumed=False, inside_c=inside_c, behind_c=None,
        wet_from_rh_pct=50.0, state=SurfaceState.WET,
    )
    for kind, inside_c in (("wall", 14.0), ("window", 6.0))
)  # fmt: skip
SWEATING = SeenRow(
    sight=Sight.SWEATING, place="window", since=NOW - timedelta(days=1), last=NOW - timedelta(days=1), times=1
)
DAMP = DampAnswer(
    as_of=NOW, inside_c=18.0, outdoor_c=-6.0, outdoor_from=OutdoorFrom.READ, rh_pct=55.0, dew_point_c=8.8,
    readings=(), surfaces=(WALL, WINDOW), seen=(), water=None, airing=None, described=True,
)  # fmt: skip
AIRING = Airing(
    cooled_c=-6.0, outdoor_c=-6.0, reachable=True, air_changes=0.0, in_air_kg=0.3, minutes=()
)  # fmt: skip


def test_the_sight_the_dew_point_and_what_to_do() -> None:
    assert damp_short(replace(DAMP, seen=(SWEATING,)), setting=SETTING) == (
        "sweating at window (Sat 28 Feb); dew point 9 °C against the window's 6 °C; air before it cools"
    )


def test_more_sights_are_counted_and_an_old_one_has_its_year() -> None:
    old = replace(SWEATING, sight=Sight.MOULD, place="", last=datetime(2025, 2, 1, 12, tzinfo=UTC))
    assert damp_short(replace(DAMP, seen=(old, SWEATING)), setting=SETTING).startswith(
        "mould (Sat 1 Feb 2025) and 1 more; "
    )


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"inside_c": None, "dew_point_c": None}, "no temperature in the last 12 h"),
        ({"rh_pct": None, "dew_point_c": None}, "no humidity in the last 12 h"),
        ({"surfaces": ()}, "dew point 9 °C;"),
        ({"dew_point_c": -3.2}, "frost point −3 °C against the window's 6 °C;"),
        ({"surfaces": (replace(WINDOW, assumed=True),)}, "against the window's 6 °C (assumed);"),
    ],
)
def test_what_is_not_known_is_said(changes: dict[str, object], said: str) -> None:
    assert said in damp_short(replace(DAMP, **changes), setting=SETTING)  # type: ignore[arg-type]


def test_nobody_there_is_not_told_to_air() -> None:
    nobody = replace(DAMP, inside_c=None, dew_point_c=None, rh_pct=None, surfaces=(), seen=(SWEATING,))
    assert damp_short(nobody, setting=SETTING) == (
        "sweating at window (Sat 28 Feb); no temperature in the last 12 h"
    )


def test_only_an_airing_reckoned_as_none_tells_that_the_room_is_dry_enough() -> None:
    assert damp_short(DAMP, setting=SETTING).endswith("air before it cools")
    wet = replace(DAMP, airing=replace(AIRING, air_changes=2.0))
    assert damp_short(wet, setting=SETTING).endswith("air before it cools")
    assert damp_short(replace(DAMP, airing=AIRING), setting=SETTING).endswith(
        "dry enough to be left as it is"
    )
    for damper in ({"airing": replace(AIRING, reachable=False)}, {"airing": AIRING, "rh_pct": 65.0}):
        said = damp_short(replace(DAMP, **damper), setting=SETTING)  # type: ignore[arg-type]
        assert said.endswith("airing now makes it no drier")


def test_damp_in_fahrenheit() -> None:
    assert "dew point 48 °F against the window's 43 °F" in damp_short(DAMP, setting=AMERICAN)  # 47.84, 42.8


def a_day(day: date, **more: object) -> DayRow:
    fields = {
        "day": day, "low_c": -12.0, "high_c": -4.0, "source": DayFrom.FORECAST, "wind": "", "sky": None,
        "degree_days_k": 23.5, "degree_days_65f_k": 26.3, "degree_hours_k": 640.0,
    }  # fmt: skip
    return DayRow(**(fields | more))  # type: ignore[arg-type]


SUNDAY = date(2026, 3, 1)
WEATHER = WeatherAnswer(
    as_of=NOW, today=SUNDAY, base_c=15.5, inside_c=19.0, behind=(), ahead=(), season=None, coming=None,
    coldest=None, warmest=None, miss=None,
)  # fmt: skip


def test_the_nearest_day_ahead_and_the_coldest_on_record() -> None:
    saturday = a_day(date(2026, 3, 7), wind="strong", sky=Sky.CLEAR)
    answer = replace(WEATHER, ahead=(saturday, a_day(date(2026, 3, 8))), coldest=Extreme(-10.2, NOW))
    assert weather_short(answer, setting=SETTING) == (
        "Sat −12 to −4 °C strong, clear (forecast); coldest on record −10 °C"
    )
    assert weather_short(answer, setting=AMERICAN) == (
        "Sat 10 to 25 °F strong, clear (forecast); coldest on record 14 °F"  # 10.4, 24.8, 13.64
    )


@pytest.mark.parametrize(
    ("day", "said"),
    [(SUNDAY, "today −12"), (date(2026, 3, 7), "Sat −12"), (date(2026, 3, 8), "Sun 8 Mar −12")],
)
def test_a_weekday_alone_means_the_next_one(day: date, said: str) -> None:
    assert weather_short(replace(WEATHER, ahead=(a_day(day),)), setting=SETTING).startswith(said)


def test_without_a_day_ahead_the_last_one_known_with_its_date() -> None:
    behind = tuple(a_day(date(2026, 2, n), source=DayFrom.READINGS) for n in (27, 28))
    assert weather_short(replace(WEATHER, behind=behind), setting=SETTING) == (
        "no day ahead is known; Sat 28 Feb −12 to −4 °C (as read)"
    )
    assert weather_short(WEATHER, setting=SETTING) == "no day ahead is known; type weather sat -8 -2"
