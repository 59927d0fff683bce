"""Leaving and waking in the night: hours to a line against a formula, pipes, ash; the three choices."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from fake_night import Evening as FakeEvening
from fake_night import FakeForecast

from logbook.heat.cabin import Network, RoomState
from logbook.heat.coming_going_cautions import Scene, Where, listed
from logbook.heat.fit import Posterior, learn
from logbook.heat.leaving import USUAL_LINES_C, leave_now
from logbook.heat.night import Base, Evening, prepare_night
from logbook.heat.outcome import Question
from logbook.heat.outdoors_ahead import OutdoorAhead, with_spread
from logbook.heat.woken import kind_of, plans_now, woken
from logbook.records import DatedDescription, Entry, Mark, Stove, Window, WoodPile
from logbook.results.journeys import Awake
from logbook.units import c_from_f

NOW = datetime(2025, 1, 12, 14, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture(scope="module")
def prior(dated: list[DatedDescription]) -> Posterior:
    return learn(descriptions=dated, entries=(), as_of=NOW, rng=np.random.default_rng(1), draws=200)


def base_of(prior: Posterior, dated: list[DatedDescription], *, inside_c: float, burning: bool) -> Base:
    rows = [Entry(at=NOW - 2 * HOUR, mark=Mark.ARRIVED, indoor_c=inside_c, outdoor_c=-6.0)]
    if burning:
        rows.append(Entry(at=NOW - 0.5 * HOUR, load_kg=4.0, air_open_pct=60.0, kindling=True))
    rows.append(Entry(at=NOW, indoor_c=inside_c))
    return prepare_night(
        posterior=prior,
        descriptions=dated,
        entries=rows,
        evening=Evening(as_of=NOW, bed=NOW, wake=NOW + HOUR),
        rng=np.random.default_rng(2),
    )


def steady(outdoor_c: float, *, hours: float = 120.0) -> OutdoorAhead:
    return with_spread(np.full(round(12 * hours), outdoor_c))


def hours_of(prior, dated, **given):
    base = base_of(prior, dated, inside_c=given.pop("inside_c", 18.0), burning=given.pop("burning", False))
    outdoor = given.pop("outdoor", steady(-6.0))
    return leave_now(base, outdoor=outdoor, rng=np.random.default_rng(3), **given)


# Hours to a line


def test_cooling_follows_newtons_law_when_the_cabin_is_one_node(prior, dated, monkeypatch):
    """One node of known loss and heat, no luck: hours = τ ln((T0 − To)/(line − To)). 18 °C to 5 °C at
    −6 °C outside with τ of 8 h: 8 ln(24/11) = 6.24 h (Newton's law of cooling)."""
    loss, tau_h = 80.0, 8.0
    one = np.ones((len(prior.z), 1))

    def network(_frame: object, z: np.ndarray) -> Network:
        full = one[: len(z)]
        return Network(
            fabric_w_per_k=0.0 * full,
            direct_w_per_k=loss * full,
            leak_w_per_k=0.0 * full,
            couple_w_per_k=1e-9 * full,
            deep_w_per_k=1e-9 * full,
            air_j_per_k=loss * tau_h * 3600.0 * full,
            fabric_j_per_k=1e6 * full,
            deep_j_per_k=1e6 * full,
            to_fabric=0.0 * full,
        )

    base = base_of(prior, dated, inside_c=18.0, burning=False)
    base = replace(
        base,
        room=RoomState(*(18.0 * one for _ in range(3))),
        correction_k=np.zeros_like(base.correction_k),
        z=np.zeros_like(base.z),
    )
    monkeypatch.setattr("logbook.heat.hours_ahead.network", network)
    monkeypatch.setattr("logbook.heat.hours_ahead.ALWAYS_W", 0.0)
    monkeypatch.setattr("logbook.heat.hours_ahead.sun_w", lambda **given: np.zeros(given["steps"]))
    steps = 24 * 12
    outdoor = OutdoorAhead(np.full(steps, -6.0 + 0.3), np.zeros(steps), np.zeros(steps))  # offset −0.3 K
    got = leave_now(base, outdoor=outdoor, rng=np.random.default_rng(3), lines_c=(5.0,))
    (line,) = got.lines
    assert line.hours is not None
    # The smooth discrepancy of 0.6 K makes a first crossing a little early: 0.6/11 of τ is 0.4 h.
    assert line.hours.p50 == pytest.approx(8.0 * math.log(24.0 / 11.0), abs=0.45)


def test_lines_stand_from_warm_to_cold_and_take_longer_one_by_one(prior, dated):
    got = hours_of(prior, dated, lines_c=(0.0, 5.0, 10.0, 5.0))
    assert [line.line_c for line in got.lines] == [10.0, 5.0, 0.0]
    assert [line.name for line in got.lines] == ["10 °C", "5 °C", "0 °C"]
    for part in ("p05", "p50", "p95"):
        hours = [getattr(line.hours, part) for line in got.lines]
        assert hours == sorted(hours)
    assert all(line.hours.p05 < line.hours.p50 < line.hours.p95 for line in got.lines if line.hours)


def test_colder_outside_is_sooner_and_a_fire_is_later(prior, dated):
    def middle(**given):
        line = hours_of(prior, dated, lines_c=(5.0,), **given).lines[0]
        return line.hours.p50

    assert middle(outdoor=steady(-15.0)) < middle(outdoor=steady(-3.0)) - 0.5
    assert middle(burning=True) > middle(burning=False) + 0.5


def test_a_line_below_what_is_outside_is_never_promised(prior, dated):
    """At +6 °C outside most draws never see 0 °C: hours end at the horizon and say so, or there are none."""
    zero = hours_of(prior, dated, outdoor=steady(6.0), lines_c=(0.0,)).lines[0]
    assert zero.more_than_h == pytest.approx(120.0)
    if zero.hours is not None:
        assert zero.hours.p95 == pytest.approx(120.0)


def test_a_room_below_the_line_already_is_there(prior, dated):
    line = hours_of(prior, dated, inside_c=4.0, lines_c=(10.0,)).lines[0]
    assert line.hours is not None
    assert line.hours.p95 == 0.0


def test_the_fire_is_told_by_what_is_left(prior, dated):
    assert hours_of(prior, dated).fire == 0
    assert hours_of(prior, dated, burning=True).fire == 2


def test_nobody_warms_the_room_once_all_have_left(prior, dated):
    """People count while they are there; after leaving the room would otherwise keep two of them for days."""
    got = hours_of(prior, dated, lines_c=USUAL_LINES_C)
    assert np.median(got.hours.air_c[0, :, -1]) < -6.0 + 6.0


# Pipes


PIPES = [  # water, coldest outside, caution: drain reminder at 20 °F (−6.7 °C, as reported)
    ("in", -7.0, "drain_now"),
    ("drained", -12.0, "drain_now"),
    ("in", -2.0, "water_in"),
    ("in", c_from_f(20.0), "drain_now"),  # at 20 °F, not only below
    ("in", 3.0, "water_in"),
    ("in", 3.1, None),  # 3 K of margin, assumed
    ("none", -20.0, None),
    ("in", 8.0, None),
    ("drained", -2.0, None),
]


@pytest.mark.parametrize(("water", "low_c", "name"), PIPES)
def test_pipes_are_told_apart_from_the_room(water, low_c, name):
    scene = Scene(inside_c=15.0, outdoor_low_c=low_c, water=water)
    cautions = [item.name for item in listed(scene, Where.LEAVE_CAUTION)]
    assert "room_is_not_pipes" in cautions, "said whatever the figures are"
    for each in ("drain_now", "water_in"):
        assert (each in cautions) is (each == name)


def test_a_burning_stove_comes_first_on_leaving():
    burning = listed(Scene(inside_c=18.0, outdoor_low_c=5.0, fire=1), Where.LEAVE_CAUTION)
    assert burning[0].name == "still_burning"
    out = listed(Scene(inside_c=18.0, outdoor_low_c=5.0, fire=0), Where.LEAVE_CAUTION)
    assert "still_burning" not in [item.name for item in out]


# Awake in the night


def question(dated, *, start_c=20.0, entries=(), night_low_c=-5.0, coals_kg=0.3, **stove) -> Question:
    d = dated[0].description
    d = replace(
        d,
        stove=Stove(max_load_kg=8.0, clean_floor_open_pct=30.0, **stove),
        wood=WoodPile(pieces_kg=(("S", 0.8), ("M", 1.6), ("L", 2.8))),
    )
    now = NOW + 12.2 * HOUR  # 02:12
    return Question(
        night=FakeEvening(as_of=now, bed=now - 3 * HOUR, wake=now + 4.3 * HOUR, night_low_c=night_low_c),
        band_c=(16.0, 22.0),
        gets_up=True,
        descriptions=[replace(dated[0], description=d)],
        entries=entries,
        nights=(),
        forecast=FakeForecast(start_c=start_c, coals_left_kg=coals_kg),
    )


def test_the_three_things_are_told_each_once_with_ranges(dated):
    got = woken(question(dated))
    assert sorted(got.kinds) == sorted(Awake)
    for out in got.outcomes:
        wake = out.choice.indoor_at_wake_c
        assert wake.p05 < wake.p50 < wake.p95


AWAKE = [
    (14.0, -10.0, Awake.RELOAD, "cold already: wood"),
    (27.0, 12.0, Awake.WINDOW, "far too hot: the window"),
    (21.0, 14.0, Awake.LET, "fine as it is"),
]


@pytest.mark.parametrize(("start_c", "low_c", "first", "why"), AWAKE)
def test_the_first_is_what_keeps_nearest_to_the_band(dated, start_c, low_c, first, why):
    got = woken(question(dated, start_c=start_c, night_low_c=low_c, coals_kg=0.1))
    assert got.kinds[0] is first, why


def test_wood_now_is_small_and_clean(dated):
    asked = question(dated, entries=(Entry(at=NOW, air_open_pct=10.0),))
    plans = plans_now(asked, dead=False)
    for plan in plans:
        assert plan.air_open_pct >= 30.0, "air standing below the floor is put up to it"
        if kind_of(plan) is Awake.RELOAD:
            (put,) = plan.loads
            assert put.at == asked.night.as_of
            assert put.size.kg <= 0.6 * 8.0 + 1e-9
            assert not put.kindling
    assert {p.window for p in plans if not p.loads} == set(Window)


def test_on_a_dead_stove_wood_takes_kindling_and_staying_up(dated):
    got = woken(question(dated, start_c=12.0, coals_kg=0.0))
    reload = got.outcomes[got.kinds.index(Awake.RELOAD)]
    assert reload.choice.loads[0].kindling
    assert reload.facts.cold_start
