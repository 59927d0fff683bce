"""The fire keeps its accounts of mass and heat, and answers air, kindling and firebox as a fire does.

What is asserted holds for any stove the prior allows, so the laws are drawn from it; nothing here depends on
the numbers that are tuned.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from logbook.heat.arrays import STEP_H
from logbook.heat.construction import building
from logbook.heat.priors import UNKNOWNS, Frame, fire_law
from logbook.heat.stove import CHAR_YIELD, Burn, FireLaw, FireState, burn, cold_stove, log_air_limit
from logbook.records import Description

H_MJ_PER_KG = 17.6
"""Net heat for these runs, MJ/kg dry; no wood's usual figure, so that a built-in one would show."""

LANES = 24
HOURS = 10
STEPS = round(HOURS / STEP_H)


@pytest.fixture(scope="module")
def law(boards: Description) -> FireLaw:
    """Stoves drawn from the prior, axes (lane, 1)."""
    frame = Frame((building(boards.cabin),), (boards,), (), np.zeros((0, 1)))
    return fire_law(frame, np.random.default_rng(11).standard_normal((LANES, len(UNKNOWNS))))


def fire(
    law: FireLaw,
    *,
    load_kg: float = 4.0,
    air: float = 0.4,
    kindled: bool = True,
    firebox_kg: float = 9.0,
    steps: int = STEPS,
    second: tuple[int, float] | None = None,
    start: FireState | None = None,
) -> Burn:
    """One load, kindled, burned at one setting; ``second`` is a step and a further load."""
    loads = np.zeros((steps, 1, 1))
    loads[0] = load_kg
    if second is not None:
        loads[second[0]] += second[1]
    lit = np.zeros((steps, 1, 1))
    lit[0] = float(kindled)
    return burn(
        law,
        air_open=np.full((steps, 1, 1), air),
        load_kg=loads,
        kindled=lit,
        firebox_kg=firebox_kg,
        heat_mj_per_kg=H_MJ_PER_KG,
        start=cold_stove((LANES, 1)) if start is None else start,
    )


def gross_mj(b: Burn) -> np.ndarray:
    """All heat given off, MJ, per lane."""
    return b.gross_kw.sum(axis=0) * STEP_H * 3.6


@pytest.mark.parametrize("air", [0.0, 0.13, 0.4, 1.0])
@pytest.mark.parametrize("second", [None, (31, 2.7)])
def test_mass_and_heat_close(law: FireLaw, air: float, second: tuple[int, float] | None) -> None:
    """Heat is what the burned wood and the burned charcoal hold, and nothing else: summed over the run,
    wood gives (1 - share) H per kg, charcoal share x H / yield; charcoal burned is what the burned wood made
    less what is left. Holds to rounding: the equations are sums."""
    b = fire(law, air=air, second=second)
    laid = 4.0 + (second[1] if second else 0.0)
    burned = laid - b.wood_kg[-1]
    char_burned = CHAR_YIELD * burned - b.char_kg[-1]
    assert (burned > 0.0).all()
    assert (char_burned >= -1e-9).all()
    from_wood = (1.0 - law.char_share) * H_MJ_PER_KG * burned
    from_char = law.char_share * H_MJ_PER_KG / CHAR_YIELD * char_burned
    np.testing.assert_allclose(gross_mj(b), from_wood + from_char, rtol=1e-9)


def test_last_state_is_the_last_step(law: FireLaw) -> None:
    """A run goes on from its last state as if it had never stopped, to the last digit but one: charcoal is
    handed over in kg and reckoned as the wood it came from."""
    whole = fire(law, second=(80, 1.3))
    first = fire(law, steps=60)
    rest = np.zeros((STEPS - 60, 1, 1))
    rest[20] = 1.3
    second = burn(
        law,
        air_open=np.full((STEPS - 60, 1, 1), 0.4),
        load_kg=rest,
        kindled=np.zeros_like(rest),
        firebox_kg=9.0,
        heat_mj_per_kg=H_MJ_PER_KG,
        start=first.last,
    )
    np.testing.assert_allclose(whole.to_room_kw[60:], second.to_room_kw, rtol=1e-14)
    np.testing.assert_array_equal(whole.last.fresh_kg + whole.last.wood_kg, whole.wood_kg[-1])
    np.testing.assert_array_equal(whole.last.char_kg, whole.char_kg[-1])


def test_no_more_heat_than_the_wood_holds_and_nearly_all_of_it_in_the_end(law: FireLaw) -> None:
    b = fire(law, air=1.0, steps=round(72 / STEP_H))
    held = 4.0 * H_MJ_PER_KG
    so_far = np.cumsum(b.gross_kw, axis=0) * STEP_H * 3.6
    assert (so_far <= held * (1.0 + 1e-9)).all()
    left = law.char_share * H_MJ_PER_KG / CHAR_YIELD * b.char_kg[-1] + H_MJ_PER_KG * b.wood_kg[-1]
    # Three days wide open: whatever is missing lies in the firebox as wood and charcoal.
    np.testing.assert_allclose(so_far[-1] + left, held, rtol=1e-9)
    assert float(np.median(so_far[-1])) > 0.85 * held


def test_the_room_gets_its_share_and_the_flue_the_rest(law: FireLaw) -> None:
    """No air loss (lever shut) and no rate loss: over the run the room has had efficiency x gross, less what
    still sits in the body. A first-order lag with gain g keeps exactly state x (1/g - 1) for later."""
    plain = law._replace(loss_by_rate=np.zeros_like(law.loss_by_rate))
    b = fire(plain, air=0.0)
    body_gain = -np.expm1(-STEP_H / plain.body_h)
    slow_gain = -np.expm1(-STEP_H / plain.slow_h)
    to_come = b.last.body_kw * (1.0 / body_gain - 1.0) + b.last.slow_kw * (1.0 / slow_gain - 1.0)
    useful = b.to_room_kw.sum(axis=0) + to_come
    np.testing.assert_allclose(useful, plain.efficiency * b.gross_kw.sum(axis=0), rtol=1e-9)


def test_open_air_and_a_fierce_fire_send_more_up_the_flue(law: FireLaw) -> None:
    def share(air: float, kg: float) -> np.ndarray:
        b = fire(law, air=air, load_kg=kg, steps=round(48 / STEP_H))
        return b.to_room_kw.sum(axis=0) / b.gross_kw.sum(axis=0)

    # The slow parts hold back the heat of the last hours; after two days that is below a thousandth.
    assert (share(1.0, 8.0) < share(0.0, 2.0)).all()
    assert (share(0.0, 2.0) <= law.efficiency).all()
    assert (share(1.0, 8.0) > 0.0).all()


def test_more_air_burns_faster(law: FireLaw) -> None:
    """Wood left after an hour, and the hour's heat, follow the lever step by step."""
    runs = [fire(law, air=air) for air in (0.0, 0.1, 0.3, 0.6, 1.0)]
    hour = round(1.0 / STEP_H)
    for less, more in pairwise(runs):
        assert (more.wood_kg[hour] < less.wood_kg[hour]).all()
        assert (more.gross_kw[:hour].sum(axis=0) > less.gross_kw[:hour].sum(axis=0)).all()


def test_shut_lever_never_shuts_the_fire(law: FireLaw) -> None:
    """No stove is tight: an air limit above zero, rising with the lever; and wood does go."""
    lever = np.linspace(0.0, 1.0, 21).reshape(-1, 1, 1)
    limit = np.exp(log_air_limit(law, lever))
    assert (limit > 0.0).all()
    assert (np.diff(limit, axis=0) > 0.0).all()
    np.testing.assert_allclose(limit[0], law.leak_share * law.rate_at_30, rtol=1e-12)
    shut = fire(law, air=0.0)
    assert (np.diff(shut.wood_kg, axis=0) < 0.0).all()


def test_the_lever_law_goes_through_what_it_is_named_after(law: FireLaw) -> None:
    """At 30 % the air allows rate_at_30, wide open rate_at_100, where the guards on either don't bite."""
    usual = law._replace(
        leak_share=np.full_like(law.leak_share, 0.3),
        rate_at_30=np.full_like(law.rate_at_30, 2.5),
        rate_at_100=np.full_like(law.rate_at_100, 14.0),
    )
    at = np.exp(log_air_limit(usual, np.array([0.3, 1.0]).reshape(-1, 1, 1)))
    np.testing.assert_allclose(at[0], 2.5, rtol=1e-12)
    np.testing.assert_allclose(at[1], 14.0, rtol=1e-12)


def test_rates_in_the_wrong_order_still_give_a_law(law: FireLaw) -> None:
    """A draw may have less air at 100 % than at 30 %, or a leak as big as the rest: guarded, no NaN."""
    odd = law._replace(rate_at_100=0.5 * law.rate_at_30, leak_share=np.full_like(law.leak_share, 0.9))
    limit = log_air_limit(odd, np.linspace(0.0, 1.0, 11).reshape(-1, 1, 1))
    assert np.isfinite(limit).all()
    assert (np.diff(limit, axis=0) > 0.0).all()


def test_a_load_counts_only_as_far_as_it_fits(law: FireLaw) -> None:
    """Sixteen kilos into a box of nine are nine; a second load fits beside what is left, no further."""
    np.testing.assert_array_equal(
        fire(law, load_kg=16.0, firebox_kg=9.0).to_room_kw, fire(law, load_kg=9.0, firebox_kg=9.0).to_room_kw
    )
    step = 12
    before = fire(law, load_kg=7.0, steps=step).wood_kg[-1]
    reloaded = fire(law, load_kg=7.0, second=(step, 9.0), steps=step + 1)
    added = reloaded.wood_kg[-1] - fire(law, load_kg=7.0, steps=step + 1).wood_kg[-1]
    assert (added <= 9.0 - before + 1e-9).all()
    assert (added > 0.8 * (9.0 - before)).all()  # a step's burning of the larger fire is taken off


def test_kindling_lights_and_wood_alone_does_not(law: FireLaw) -> None:
    """An hour on, a lit load has burned; the same load on a dead stove has only begun to smoulder. Hours
    later a large load with the air open catches in the model as well, slowly: its smoulder grows."""
    hour = round(1.0 / STEP_H)
    lit = gross_mj(fire(law, steps=hour))
    unlit = gross_mj(fire(law, steps=hour, kindled=False))
    assert float(np.median(unlit / lit)) < 0.1
    assert (unlit < lit).all()
    assert float(np.median(unlit)) < 0.03 * 4.0 * H_MJ_PER_KG


def test_coals_light_a_load_without_kindling(law: FireLaw) -> None:
    """A load on the glow of an earlier one catches: far more heat in its first hour than on a dead stove."""
    reload_at, hour = round(3.0 / STEP_H), round(1.0 / STEP_H)
    on_coals = fire(law, air=0.6, second=(reload_at, 3.0), steps=reload_at + hour)
    alone = fire(law, air=0.6, steps=reload_at + hour)
    gained = (on_coals.gross_kw - alone.gross_kw)[reload_at:].sum(axis=0)
    dead = fire(law, load_kg=3.0, air=0.6, kindled=False, steps=hour).gross_kw.sum(axis=0)
    assert float(np.mean(gained > 3.0 * dead)) > 0.5  # some draws give the dead stove no heat at all


def test_nothing_in_nothing_out(law: FireLaw) -> None:
    b = fire(law, load_kg=0.0, air=0.0, kindled=False)
    for series in (b.to_room_kw, b.gross_kw, b.wood_kg, b.char_kg):
        np.testing.assert_array_equal(series, 0.0)  # NaN would not equal 0 either


def test_kindling_in_an_empty_stove_gives_no_heat(law: FireLaw) -> None:
    """Small stuff lit with no load: a moment of fire with nothing to burn, and no heat from nowhere."""
    b = fire(law, load_kg=0.0)
    np.testing.assert_array_equal(b.gross_kw, 0.0)
    assert np.isfinite(b.last.hot_kw).all()


def test_a_thousand_kilos_and_all_the_air_stay_finite(law: FireLaw) -> None:
    """Thin pools burn out within a step and fat ones must not overshoot: never below zero, never NaN."""
    b = fire(law, load_kg=1000.0, firebox_kg=2000.0, air=1.0, steps=round(48 / STEP_H))
    for series in (b.to_room_kw, b.gross_kw, b.wood_kg, b.char_kg):
        assert np.isfinite(series).all()
        assert (series >= 0.0).all()


def test_lanes_are_single_runs_side_by_side(law: FireLaw) -> None:
    """Exactly, bit by bit: what one draw does must not depend on which draws run beside it."""
    together = fire(law, second=(40, 2.0))
    for lane in (0, 7, LANES - 1):
        one = FireLaw(*(part[lane : lane + 1] for part in law))
        alone = fire(one, second=(40, 2.0), start=cold_stove((1, 1)))
        np.testing.assert_array_equal(alone.to_room_kw[:, 0], together.to_room_kw[:, lane])
        np.testing.assert_array_equal(alone.char_kg[:, 0], together.char_kg[:, lane])


def test_plans_side_by_side_are_plans_alone(law: FireLaw) -> None:
    """Axes (step, draw, plan): each plan's column is that plan run by itself."""
    airs, kgs = (0.1, 0.7), (2.0, 5.0)
    loads = np.zeros((STEPS, 1, 2))
    loads[0, 0] = kgs
    lit = np.zeros_like(loads)
    lit[0] = 1.0
    both = burn(
        law,
        air_open=np.broadcast_to(np.array(airs), (STEPS, 1, 2)).copy(),
        load_kg=loads,
        kindled=lit,
        firebox_kg=9.0,
        heat_mj_per_kg=H_MJ_PER_KG,
        start=cold_stove((LANES, 2)),
    )
    for p, (air, kg) in enumerate(zip(airs, kgs, strict=True)):
        alone = fire(law, air=air, load_kg=kg).gross_kw[:, :, 0]
        np.testing.assert_array_equal(both.gross_kw[:, :, p], alone)


def test_single_precision_is_enough(law: FireLaw) -> None:
    """Half the memory moves the heat by under a thousandth of its peak: far below a thermometer's 0.1 K."""
    single = FireLaw(*(part.astype(np.float32) for part in law))
    exact = fire(law, second=(40, 2.0))
    rough = fire(single, second=(40, 2.0), start=cold_stove((LANES, 1), np.float32))
    assert rough.to_room_kw.dtype == np.float32
    np.testing.assert_allclose(rough.to_room_kw, exact.to_room_kw, atol=1e-3 * float(exact.to_room_kw.max()))
