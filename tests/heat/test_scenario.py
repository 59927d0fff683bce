"""A stay on the five-minute grid: every line at its step, outdoors and sun as they should run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from logbook.heat.arrays import STEP_H
from logbook.heat.construction import building
from logbook.heat.notebook import AirSet, CoalsSeen, LoadLaid, Reading, Said, Stay, WindowSet, stays
from logbook.heat.scenario import Scenario, cut, scenario, step_of
from logbook.heat.weather import DAILY_SWING_K, daily_swing_k, outdoor_course, solar_hours, sun_w
from logbook.heat.wood import dry_share
from logbook.records import Coals, Description, Entry, Site, Window

START = datetime(2025, 1, 10, 17, 0, tzinfo=UTC)


def after(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def on_grid(stay: Stay, d: Description, until: datetime | None = None) -> Scenario:
    return scenario(stay, description=d, building=building(d.cabin), until=until)


EVENING = Stay(
    start=START,
    end=after(6),
    readings=(Reading(START, 7.0), Reading(after(3.02), 16.5)),
    outdoor=(Said(START, -2.0), Said(after(5), -5.0)),
    loads=(LoadLaid(after(0.25), 2.0, kindling=True), LoadLaid(after(2), 3.0, kindling=False)),
    air=(AirSet(after(0.25), 80.0), AirSet(after(1), 40.0)),
    windows=(WindowSet(after(4), Window.CRACKED), WindowSet(after(5), Window.SHUT)),
    other_heat=(Said(after(1), 1500.0), Said(after(3), 0.0)),
)


def test_lines_land_on_their_steps(boards: Description) -> None:
    s = on_grid(EVENING, boards)
    share = dry_share(moisture_pct=boards.wood.moisture_pct, basis=boards.wood.moisture_basis)
    assert s.steps == 73  # six hours and the step in which the last line falls
    assert {int(i): float(s.load_kg[i] / share) for i in np.flatnonzero(s.load_kg)} == pytest.approx(
        {3: 2.0, 24: 3.0}
    )
    assert np.flatnonzero(s.kindled).tolist() == [3]
    assert (s.air_open[2], s.air_open[3], s.air_open[11], s.air_open[12]) == (0.0, 0.8, 0.8, 0.4)
    assert np.flatnonzero(s.window).tolist() == list(range(48, 60))
    assert s.episodes == ((48, 60, 1),)
    assert (s.other_w[11], s.other_w[12], s.other_w[35], s.other_w[36]) == (0.0, 1500.0, 1500.0, 0.0)
    assert s.reading_at == pytest.approx([0.0, 36.24])  # readings keep their minutes
    assert s.load_steps == (3, 24)


@pytest.mark.parametrize(
    ("words", "lit"),
    [
        ((), False),
        (((1.0, Coals.NONE),), True),
        (((2.0, Coals.NONE),), True),  # in the row of the load itself
        (((1.0, Coals.NONE), (1.9, Coals.FEW)), False),  # a second look found some
        (((1.0, Coals.GOOD),), False),
        (((0.25, Coals.NONE),), False),  # found out before the load before: that one was lit
    ],
)
def test_a_load_on_a_stove_found_out_was_lit(
    boards: Description, words: Sequence[tuple[float, Coals]], lit: bool
) -> None:
    """Without it such a load lay smouldering through the model's night: nobody types "kindling" after
    "coals none"."""
    seen = tuple(CoalsSeen(after(hours), word, False) for hours, word in words)
    s = on_grid(replace(EVENING, coals=seen), boards)
    assert np.flatnonzero(s.kindled).tolist() == ([3, 24] if lit else [3])


def test_the_same_minute_twice_adds_up(boards: Description) -> None:
    """Two pieces written as two rows are one load of both."""
    twice = replace(EVENING, loads=(LoadLaid(after(1), 1.5, kindling=False),) * 2)
    single = replace(EVENING, loads=(LoadLaid(after(1), 3.0, kindling=False),))
    np.testing.assert_allclose(on_grid(twice, boards).load_kg, on_grid(single, boards).load_kg)


def test_the_kind_of_wood_a_row_names_counts(boards: Description) -> None:
    """Spruce for someone who burns hardwood: 19.2 for 18.5 MJ/kg net dry, before the water is taken off."""
    hardwood = replace(boards, wood=replace(boards.wood, species="mixed hardwood"))
    loads = tuple(LoadLaid(after(1), 3.0, kindling=False, species=kind) for kind in ("beech", "spruce"))
    beech, spruce = (on_grid(replace(EVENING, loads=(load,)), hardwood).load_kg.sum() for load in loads)
    assert spruce / beech == pytest.approx(1.039, abs=0.002)


def test_loads_within_half_an_hour_are_one_event(boards: Description) -> None:
    loads = tuple(LoadLaid(after(h), 1.0, kindling=False) for h in (1.0, 1.4, 2.0, 4.0))
    assert on_grid(replace(EVENING, loads=loads), boards).load_steps == (12, 24, 48)


def test_until_lengthens_and_never_shortens(boards: Description) -> None:
    assert on_grid(EVENING, boards, until=after(14)).steps == 169
    assert on_grid(EVENING, boards, until=after(2)).steps == on_grid(EVENING, boards).steps
    longer = on_grid(EVENING, boards, until=after(14))
    assert longer.air_open[-1] == pytest.approx(0.4)  # as it was left
    assert longer.window[-1] == 0.0
    assert longer.load_kg[73:].sum() == 0.0


def test_nobody_there_gives_no_warmth(boards: Description) -> None:
    assert on_grid(replace(EVENING, occupied=False), boards).people.sum() == 0.0
    assert on_grid(EVENING, boards).people[0] == boards.comfort.people


def test_first_reading_known_only_when_it_is_early(boards: Description) -> None:
    late = replace(EVENING, readings=(Reading(after(2), 12.0),))
    none = replace(EVENING, readings=(Reading(after(5), 12.0, "low", START),))
    assert on_grid(EVENING, boards).first_known
    assert on_grid(EVENING, boards).first_indoor_c == 7.0
    assert not on_grid(late, boards).first_known
    assert np.isnan(on_grid(none, boards).first_indoor_c)  # a low is no reading of the start


def test_low_high_and_coals_are_marked(boards: Description) -> None:
    rows = [
        Entry(at=START, indoor_c=15.0),
        Entry(at=after(8), indoor_c=10.0, low_c=9.0, high_c=20.0, reset_at=after(1), coals=Coals.FEW),
        Entry(at=after(9), note="unburnt wood left"),
    ]
    s = on_grid(stays(rows)[0], boards)
    assert s.reading_sign.tolist() == [0.0, 0.0, -1.0, 1.0]
    assert s.reading_since[2:].tolist() == [12.0, 12.0]
    assert np.isnan(s.reading_since[:2]).all()
    assert 0.0 < s.coals_low[0] < s.coals_high[0] < np.inf
    assert np.isnan(s.coals_low[1])
    assert s.wood_seen.tolist() == [0.0, 1.0]


HERE = Site(latitude_deg=46.0, longitude_deg=8.0)


def test_outdoors_goes_through_its_readings() -> None:
    """Read in the middle of a step, the course there is the reading."""
    readings = [Said(after(2.0 + STEP_H / 2), 1.5), Said(after(9.0 + STEP_H / 2), -6.0)]
    course, gap = outdoor_course(readings, start=START, steps=150, site=HERE)
    assert course[24] == pytest.approx(1.5, abs=1e-9)
    assert course[108] == pytest.approx(-6.0, abs=1e-9)
    assert gap[24] == pytest.approx(0.0)
    assert gap[66] == pytest.approx(3.5)  # half-way
    assert gap[149] == pytest.approx((149 - 108) * STEP_H)


def test_outdoors_of_one_reading_swings_like_a_day() -> None:
    """One reading at sunrise, the coldest hour: the day's high is twice the half swing warmer, in the
    afternoon; a day later it is back."""
    sunrise = START.replace(hour=7, minute=10) + timedelta(days=1)  # 46 N, 10 January: about 7:40 by the sun
    course, _ = outdoor_course([Said(sunrise, -8.0)], start=sunrise, steps=289, site=HERE)
    assert course.max() == pytest.approx(-8.0 + 2.0 * DAILY_SWING_K, abs=0.3)
    assert 5.0 < float(np.argmax(course)) * STEP_H < 8.0
    assert course[288] == pytest.approx(course[0], abs=1e-9)
    assert course.min() > -8.3


def test_the_usual_day_has_no_jump_at_midnight_or_anywhere() -> None:
    """A step of five minutes moves it by a twentieth of the swing at most, also where the days meet."""
    for site in (HERE, Site(), Site(latitude_deg=75.0, longitude_deg=20.0), Site(latitude_deg=-42.0)):
        hours = solar_hours(START, np.arange(600) * STEP_H, site.longitude_deg or 0.0)
        curve = daily_swing_k(hours, day=START, site=site)
        assert np.abs(np.diff(curve)).max() < DAILY_SWING_K / 20.0
        assert curve.max() == pytest.approx(DAILY_SWING_K, abs=0.02)
        assert curve.min() == pytest.approx(-DAILY_SWING_K, abs=0.02)


def test_outdoors_without_a_reading_is_a_guess_by_the_calendar_and_says_so() -> None:
    winter, gap = outdoor_course([], start=START, steps=288, site=HERE)
    summer, _ = outdoor_course([], start=START + timedelta(days=181), steps=288, site=HERE)
    assert (gap > 100.0).all()
    assert summer.mean() > winter.mean() + 5.0


def test_outdoor_readings_out_of_order_are_put_in_order() -> None:
    ordered = [Said(after(1), 0.0), Said(after(3), -4.0), Said(after(6), -5.0)]
    one, _ = outdoor_course(ordered, start=START, steps=90, site=HERE)
    turned, _ = outdoor_course(ordered[::-1], start=START, steps=90, site=HERE)
    np.testing.assert_array_equal(one, turned)


def test_a_night_low_of_the_past_bends_the_course(boards: Description) -> None:
    stay = replace(EVENING, end=after(14))
    warned = on_grid(replace(stay, expected_lows=(Said(after(14), -12.0),)), boards)
    assert warned.outdoor_c[167] == pytest.approx(-12.0, abs=0.2)
    assert on_grid(stay, boards).outdoor_c[167] > -9.0


def test_a_scenario_cut_short_is_its_beginning(boards: Description) -> None:
    whole, part = on_grid(EVENING, boards), cut(on_grid(EVENING, boards), 30)
    assert part.steps == 30
    for name in ("air_open", "load_kg", "window", "outdoor_c", "sun", "wind", "people", "other_w"):
        np.testing.assert_array_equal(getattr(part, name), getattr(whole, name)[:30])


def test_the_sun_shines_by_day_on_the_side_the_window_faces(boards: Description) -> None:
    def day(d: Description) -> np.ndarray:
        return sun_w(description=d, building=building(d.cabin), start=START.replace(hour=0), steps=288)

    sun = day(boards)
    noon = float(np.argmax(sun)) * STEP_H
    assert sun[:60].max() == 0.0  # 46 N in January, before five
    assert noon == pytest.approx(12.0 - 8.0 / 15.0, abs=0.5)  # 8 E; the equation of time is 8 min then
    north = replace(boards.cabin.surfaces[3], faces="N")
    turned = replace(boards.cabin, surfaces=(*boards.cabin.surfaces[:3], north, boards.cabin.surfaces[4]))
    assert day(replace(boards, cabin=turned)).max() < sun.max()
    south = replace(boards, site=replace(boards.site, latitude_deg=-46.0))
    facing = replace(south, cabin=turned)
    assert day(facing).max() > day(south).max()  # below the equator the sun stands in the north


def test_steps_count_to_the_nearest() -> None:
    assert step_of(START, START + timedelta(minutes=7)) == 1
    assert step_of(START, START + timedelta(minutes=8)) == 2
    assert step_of(START, START - timedelta(minutes=8)) == -2
