"""Damp against published figures: dew and frost points, surface temperatures, water per person, airing."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.actions.damp import _Handbook
from logbook.care.damp import (
    AIR_CHANGES_PER_H,
    BREATH_KG_PER_DAY,
    COOKING_KG_PER_DAY,
    DISHES_KG_PER_DAY,
    Face,
    airing,
    humidity_rows,
    inner_face_c,
    seen_rows,
    stay_water,
    surface_rows,
    vapour_g_per_m3,
    water_per_person_day_kg,
)
from logbook.heat.envelope import INNER_FILM_M2K_PER_W
from logbook.house import House, StayLived, Told
from logbook.matters import Seen, Sight
from logbook.records import Entry
from logbook.results.damp import SurfaceState
from logbook.setting import Setting

AIR = _Handbook()
NOW = datetime(2026, 1, 17, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)

PINT_KG = 0.473
"""A US pint of water, kg."""


# Moist air

DEW = [  # temperature °C, humidity %, dew point °C, tolerance, source
    (25.0, 80.0, 21.3094, 0.01, "psychrolib's documented example (read)"),
    (20.0, 50.0, 9.26, 0.05, "Magnus over water with the WMO's figures: 243.12, 17.62 (as reported)"),
    (22.0, 50.0, 10.0, 1.2, "a maker's glossary: at 22 °C and 50 % about 10 °C (read)"),
]


@pytest.mark.parametrize(("temperature", "rh", "dew", "tolerance", "source"), DEW)
def test_dew_points(temperature, rh, dew, tolerance, source):
    assert AIR.dew_point_c(temperature, rh) == pytest.approx(dew, abs=tolerance), source


SATURATION = [(-20.0, 103.24), (-5.0, 401.74), (5.0, 872.6), (25.0, 3169.7)]
"""°C, Pa: ASHRAE Handbook of Fundamentals 2017, ch. 1, table 3, as quoted in psychrolib's tests (read)."""


@pytest.mark.parametrize(("temperature", "pressure"), SATURATION)
def test_saturation_over_ice_below_freezing(temperature, pressure):
    assert AIR.saturation_pa(temperature) == pytest.approx(pressure, rel=3e-4)


def test_frost_goes_by_the_ice_form():
    """At -5 °C the form over water gives 422 Pa (Magnus, WMO figures), 5 % too much."""
    over_water = 611.2 * math.exp(17.62 * -5.0 / (243.12 - 5.0))
    assert over_water == pytest.approx(422.0, abs=1.0)
    pressure_at_5 = AIR.saturation_pa(5.0)
    point = AIR.dew_point_c(5.0, 100.0 * 410.0 / pressure_at_5)  # 410 Pa: between the two forms
    assert -5.0 < point < -4.6


# Surfaces


def test_a_worked_walls_inner_face():
    """A Spanish code's worked wall, in a repository that checks it: U 0.80368578, 20 inside, 5 outside, Rsi
    0.13: 18.43281272 °C (read)."""
    got = inner_face_c(inside_c=20.0, outdoor_c=5.0, u_w_per_m2k=0.80368578, film_m2k_per_w=0.13)
    assert got == pytest.approx(18.43281272, abs=1e-7)


def test_single_glass_sweats_from_the_charted_outdoor_temperature_on():
    """A chart's example: U 6, 18.3 °C inside at 50 %: condensation from 6 °C outside down (read).

    Its film is its own; 1.5 K is the width of a line in the chart and of films between 0.11 and 0.13.
    """
    glass = Face(kind="window", faces="", u_w_per_m2k=6.0, film_m2k_per_w=INNER_FILM_M2K_PER_W["window"])

    def state(outdoor: float) -> SurfaceState | None:
        (row,) = surface_rows([glass], inside_c=18.3, outdoor_c=outdoor, rh_pct=50.0, air=AIR)
        return row.state

    assert state(6.0 + 1.5) in (SurfaceState.NEAR, SurfaceState.DRY)
    assert state(6.0 - 1.5) is SurfaceState.WET


def faces() -> list[Face]:
    return [
        Face(kind="wall", faces="", u_w_per_m2k=0.8, film_m2k_per_w=0.13),
        Face(kind="window", faces="S", u_w_per_m2k=5.8, film_m2k_per_w=0.13),
    ]


def test_the_coldest_comes_first_and_frost_is_told_from_wet():
    window, wall = surface_rows(faces(), inside_c=15.0, outdoor_c=-20.0, rh_pct=55.0, air=AIR)
    assert (window.kind, window.state) == ("window", SurfaceState.FROST)
    assert window.inside_c == pytest.approx(15.0 - 5.8 * 0.13 * 35.0)
    assert (wall.kind, wall.state) == ("wall", SurfaceState.DRY)
    assert wall.behind_c == pytest.approx(15.0 - 0.8 * 0.25 * 35.0)
    assert window.behind_c is None


def test_without_a_humidity_it_says_from_which_on():
    window, _ = surface_rows(faces(), inside_c=20.0, outdoor_c=0.0, rh_pct=None, air=AIR)
    assert window.state is None
    again, _ = surface_rows(
        faces(), inside_c=20.0, outdoor_c=0.0, rh_pct=window.wet_from_rh_pct + 0.1, air=AIR
    )
    assert again.state is SurfaceState.WET
    dry, _ = surface_rows(faces(), inside_c=20.0, outdoor_c=0.0, rh_pct=window.wet_from_rh_pct - 0.1, air=AIR)
    assert dry.state is SurfaceState.NEAR


@given(inside=st.floats(-10, 30), drop=st.floats(0, 50), u=st.floats(0.05, 7.0), film=st.floats(0.05, 0.3))
def test_a_face_lies_between_inside_and_outside(inside, drop, u, film):
    got = inner_face_c(inside_c=inside, outdoor_c=inside - drop, u_w_per_m2k=u, film_m2k_per_w=film)
    assert inside - drop - 1e-9 <= got <= inside + 1e-9


# Water of people


def test_breath_is_what_is_published():
    """Moisture sources in cold-climate housing (1988): 0.44 pints an hour for four (as reported)."""
    assert BREATH_KG_PER_DAY.p50 == pytest.approx(24 * 0.44 * PINT_KG / 4, rel=0.02)
    assert (BREATH_KG_PER_DAY.p05, BREATH_KG_PER_DAY.p95) == (
        pytest.approx(24 * 0.040),
        pytest.approx(24 * 0.060),
    )


def test_cooking_and_dishes_reach_from_one_dinner_to_a_households_day():
    """The same: 1.2 and 0.68 pints a dinner for four; a code of practice: 3.0 and 1.0 L a day for 2.5."""
    assert COOKING_KG_PER_DAY.p05 == pytest.approx(1.2 * PINT_KG / 4, abs=0.005)
    assert COOKING_KG_PER_DAY.p95 == pytest.approx(3.0 / 2.5)
    assert DISHES_KG_PER_DAY.p05 == pytest.approx(0.68 * PINT_KG / 4, abs=0.005)
    assert DISHES_KG_PER_DAY.p95 == pytest.approx(1.0 / 2.5)


HOUSEHOLDS = [  # kg a day, people, source: whole households, baths and laundry in
    (7.0, 4, "a ventilation trade page: a family of four, 7 to 10 L (read)"),
    (10.0, 4, "the same, upper end"),
]


@pytest.mark.parametrize(("kg", "people", "source"), HOUSEHOLDS)
def test_the_whole_is_within_what_households_give_off(kg, people, source):
    each = water_per_person_day_kg()
    assert each.p05 <= kg / people <= each.p95, source


def test_a_stays_water_goes_by_people_and_days():
    stay = StayLived(start=NOW - 36 * HOUR, end=NOW - HOUR, going_on=True, head_count=3.0)
    found = stay_water(house(stays=(stay,)))
    assert found is not None
    assert found.person_days == pytest.approx(3 * 1.5)  # until now
    assert found.kg.p50 == pytest.approx(4.5 * water_per_person_day_kg().p50)
    assert stay_water(house()) is None


# Airing


def test_water_in_a_cubic_metre():
    """Saturated air at 20 °C holds 17.3 g/m3: any table of absolute humidity."""
    assert vapour_g_per_m3(temperature_c=20.0, rh_pct=100.0, air=AIR) == pytest.approx(17.3, abs=0.05)


def air_out(**changed: float):
    asked = {"inside_c": 20.0, "rh_pct": 60.0, "outdoor_c": 0.0, "cooled_c": 0.0, "volume_m3": 60.0}
    return airing(**(asked | changed), air=AIR)


def test_airing_brings_what_is_left_below_what_wets_the_cold_room():
    """By hand: 10.4 g/m3 inside, 4.12 outside at 85 %, 4.85 wanted: ln(6.26 / 0.73) = 2.15 changes."""
    got = air_out()
    assert got.reachable
    assert got.air_changes == pytest.approx(2.15, abs=0.03)
    assert got.in_air_kg == pytest.approx(0.623, abs=0.005)


def test_a_wide_window_is_minutes_a_cracked_one_hours():
    got = {how: (least, most) for how, least, most in air_out().minutes}
    changes = air_out().air_changes
    assert got["window wide open"] == (pytest.approx(60 * changes / 15), pytest.approx(60 * changes / 9))
    assert got["window cracked"][1] == pytest.approx(60 * changes / 0.5)


def test_the_published_pace_changes_the_air_once_in_the_published_time():
    """The same page: half open 6 to 12 minutes, wide 4 to 7, opposite 1.5, for one change of air (read)."""
    times = {
        "window half open": (6, 12),
        "window wide open": (4, 7),
        "windows open on both sides": (1.5, 1.5),
    }
    for how, least, most in AIR_CHANGES_PER_H:
        if how in times:
            assert (60 / most, 60 / least) == pytest.approx(times[how], abs=0.4)


def test_air_outside_too_moist_for_a_colder_night_says_so():
    got = air_out(cooled_c=-12.0)
    assert not got.reachable
    assert got.air_changes > air_out().air_changes


def test_a_dry_room_needs_no_airing():
    assert air_out(rh_pct=20.0).air_changes == 0.0


# What was read and seen


def house(*rows: Entry, stays: tuple[StayLived, ...] = ()) -> House:
    ordered = tuple(sorted(rows, key=lambda e: e.at))
    return House(
        as_of=NOW,
        setting=Setting(),
        description=None,
        entries=ordered,
        told=tuple(Told(at=e.at, matter=e.matter) for e in ordered if e.matter),
        stays=stays,
    )


def test_the_newest_humidity_of_each_place_the_main_room_first():
    found = humidity_rows(
        house(
            Entry(at=NOW - 9 * HOUR, place="loft", indoor_c=14.0, rh_pct=70.0),
            Entry(at=NOW - 8 * HOUR, indoor_c=17.0, rh_pct=50.0),
            Entry(at=NOW - 2 * HOUR, indoor_c=18.0, rh_pct=60.0),
        ),
        air=AIR,
    )
    assert [(row.place, row.rh_pct) for row in found] == [("", 60.0), ("loft", 70.0)]
    assert found[0].dew_point_c == pytest.approx(AIR.dew_point_c(18.0, 60.0))


def test_a_humidity_alone_takes_the_temperature_read_within_the_hour_at_its_place():
    near = Entry(at=NOW - 2.5 * HOUR, indoor_c=16.0)
    loft = Entry(at=NOW - 2 * HOUR, indoor_c=9.0, place="loft")
    (row,) = humidity_rows(house(near, loft, Entry(at=NOW - 2 * HOUR, rh_pct=60.0)), air=AIR)
    assert row.temperature_c == 16.0
    assert humidity_rows(house(loft, Entry(at=NOW - 2 * HOUR, rh_pct=60.0)), air=AIR) == ()


@pytest.mark.parametrize("rh", [0.0])
def test_no_humidity_at_all_is_no_reading(rh):
    assert humidity_rows(house(Entry(at=NOW, indoor_c=10.0, rh_pct=rh)), air=AIR) == ()


def seen(hours: float, sight: Sight, place: str = "") -> Entry:
    return Entry(at=NOW - hours * HOUR, matter=Seen(sight=sight, place=place))


def test_sights_stand_by_place_until_they_are_gone():
    found = seen_rows(
        house(
            seen(90, Sight.MOULD, "north corner"),
            seen(80, Sight.SWEATING, "window"),
            seen(50, Sight.SWEATING, "Window"),
            seen(40, Sight.FROST),
            seen(30, Sight.DROPPINGS, "loft"),  # not damp
            seen(10, Sight.GONE, "North  corner"),
        )
    )
    assert [(row.sight, row.place, row.times) for row in found] == [
        (Sight.FROST, "", 1),
        (Sight.SWEATING, "Window", 2),
    ]
    assert found[1].since == NOW - 80 * HOUR
