"""A plan on the grid means what the contract says it means.

"load X air P%": opened wide until it burns well (the stove's open_minutes; 22 from a dead stove, with
kindling), then P. "No fire": the air stays as it stands. The window is shut unless named.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from logbook.heat.arrays import STEP_H
from logbook.heat.notebook import OPENING_PCT
from logbook.heat.plans import PlanArrays, plan_arrays
from logbook.records import Basis, Entry, Window, WoodPile

NOW = datetime(2025, 1, 10, 22, 0, tzinfo=UTC)
STEPS = round(8.0 / STEP_H)
PILE = WoodPile(species="mixed hardwood", moisture_pct=18.0, moisture_basis=Basis.WET)


def entry(minutes: float, **said: object) -> Entry:
    return Entry(at=NOW + timedelta(minutes=minutes), **said)  # type: ignore[arg-type]


def laid(*plans: tuple[Entry, ...], dead: bool = False, open_minutes: float = 12.0) -> PlanArrays:
    return plan_arrays(
        plans,
        start=NOW,
        steps=STEPS,
        standing_air=np.full(STEPS, 0.35),
        dead=[dead] * STEPS,
        open_minutes=open_minutes,
        pile=PILE,
    )


def spans(series: np.ndarray) -> list[tuple[int, float]]:
    """Minutes from now and value, wherever a series changes."""
    first = [0, *(np.flatnonzero(np.diff(series)) + 1).tolist()]
    return [(round(i * 60 * STEP_H), round(float(series[i]), 3)) for i in first]


def test_a_load_written_down_this_moment_is_in_every_plan() -> None:
    """Wood noted just before asking burns in "no fire" too, and its air is still on its way down."""
    coming_down = np.full(STEPS, 0.2)
    coming_down[:2] = 0.6
    arrays = plan_arrays(
        [(), (entry(60, load_kg=2.0, air_open_pct=40.0),)],
        start=NOW,
        steps=STEPS,
        standing_air=coming_down,
        laid_kg=3.1,
        lit=True,
        dead=[False] * STEPS,
        open_minutes=12.0,
        pile=PILE,
    )
    assert arrays.load_kg[0].tolist() == [3.1, 3.1]
    assert arrays.kindled[0].tolist() == [1.0, 1.0]
    assert spans(arrays.air_open[:, 0]) == [(0, 0.6), (10, 0.2)]


def test_no_fire_leaves_the_air_as_it_stands() -> None:
    got = laid(())
    assert spans(got.air_open[:, 0]) == [(0, 0.35)]
    assert not got.load_kg.any()
    assert not got.kindled.any()


def test_no_fire_with_an_air_of_its_own() -> None:
    assert spans(laid((entry(0, air_open_pct=20.0),)).air_open[:, 0]) == [(0, 0.2)]


@pytest.mark.parametrize("minutes", [10.0, 12.0, 20.0])
def test_a_load_stands_open_for_the_stoves_own_minutes(minutes: float) -> None:
    """To the nearest step of five minutes."""
    got = laid((entry(0, load_kg=4.0, air_open_pct=20.0),), open_minutes=minutes)
    step = round(minutes / 5.0) * 5
    assert spans(got.air_open[:, 0]) == [(0, OPENING_PCT / 100.0), (step, 0.2)]
    assert got.load_kg[0, 0] == pytest.approx(4.0 * 0.82)
    assert not got.kindled.any()


def test_a_load_at_more_than_the_opening_is_taken_as_said() -> None:
    assert spans(laid((entry(0, load_kg=4.0, air_open_pct=90.0),)).air_open[:, 0]) == [(0, 0.9)]


def test_a_load_without_air_goes_back_to_where_the_lever_stood() -> None:
    got = laid((entry(0, load_kg=4.0),))
    assert spans(got.air_open[:, 0]) == [(0, OPENING_PCT / 100.0), (10, 0.35)]


def test_a_dead_stove_is_lit_with_kindling_and_22_minutes() -> None:
    got = laid((entry(0, load_kg=3.0, air_open_pct=30.0),), dead=True)
    assert got.kindled[0, 0] == 1.0
    assert spans(got.air_open[:, 0]) == [(0, OPENING_PCT / 100.0), (20, 0.3)]  # 22 min to the nearest step
    again = laid((entry(0, load_kg=3.0, air_open_pct=30.0), entry(180, load_kg=2.0)), dead=True)
    assert float(again.kindled.sum()) == 1.0  # the second load finds the first one's fire


def test_a_plan_that_turns_down_by_itself_is_taken_at_its_word() -> None:
    """Set again within 25 minutes: no opening is added, not even from a dead stove, and no kindling."""
    plan = (entry(0, load_kg=8.0, air_open_pct=45.0), entry(20, air_open_pct=10.0))
    for dead in (False, True):
        got = laid(plan, dead=dead)
        assert spans(got.air_open[:, 0]) == [(0, 0.45), (20, 0.1)]
        assert bool(got.kindled.any()) is dead, "a dead stove is lit all the same"


def test_a_change_an_hour_later_is_a_change_and_not_the_turn_down() -> None:
    got = laid((entry(0, load_kg=8.0, air_open_pct=50.0), entry(60, air_open_pct=10.0)))
    assert spans(got.air_open[:, 0]) == [(0, OPENING_PCT / 100.0), (10, 0.5), (60, 0.1)]


def test_kindling_named_is_kindling_laid() -> None:
    got = laid((entry(5, load_kg=2.0, air_open_pct=40.0, kindling=True),))
    assert got.kindled[1, 0] == 1.0
    assert spans(got.air_open[:, 0]) == [(0, 0.35), (5, 0.6), (25, 0.4)]


def test_two_loads_each_open_and_settle() -> None:
    got = laid((entry(0, load_kg=3.0, air_open_pct=50.0), entry(240, load_kg=2.0, air_open_pct=40.0)))
    assert spans(got.air_open[:, 0]) == [(0, 0.6), (10, 0.5), (240, 0.6), (250, 0.4)]
    assert got.first_load[0] == (0, 48)
    assert np.flatnonzero(got.load_kg[:, 0]).tolist() == [0, 48]


def test_the_window_is_shut_until_named() -> None:
    shut, named = laid(()), laid((entry(90, window=Window.CRACKED), entry(240, window=Window.SHUT)))
    assert spans(shut.window[:, 0]) == [(0, 0.0)]
    assert spans(named.window[:, 0]) == [(0, 0.0), (90, 1.0), (240, 0.0)]
    assert spans(named.air_open[:, 0]) == [(0, 0.35)]  # nobody touches what a plan does not name


def test_lines_in_any_order_are_one_plan() -> None:
    lines = (
        entry(0, load_kg=8.0, air_open_pct=45.0),
        entry(20, air_open_pct=10.0),
        entry(60, window=Window.OPEN),
    )
    got, turned = laid(lines), laid(lines[::-1])
    np.testing.assert_array_equal(got.air_open, turned.air_open)
    np.testing.assert_array_equal(got.window, turned.window)


def test_a_line_before_now_counts_from_now_and_one_after_waking_does_no_harm() -> None:
    got = laid((entry(-20, air_open_pct=15.0), entry(60 * 30, air_open_pct=100.0)))
    assert got.air_open[0, 0] == pytest.approx(0.15)
    assert spans(got.air_open[:-1, 0]) == [(0, 0.15)]


def test_plans_do_not_touch_one_another() -> None:
    a = (entry(0, load_kg=4.0, air_open_pct=20.0),)
    b = (entry(30, air_open_pct=80.0, window=Window.OPEN),)
    both = laid(a, b, ())
    for column, plan in enumerate((a, b, ())):
        alone = laid(plan)
        for name in ("air_open", "load_kg", "kindled", "window"):
            np.testing.assert_array_equal(getattr(both, name)[:, column], getattr(alone, name)[:, 0], name)


def test_the_kind_of_wood_a_plan_names_counts() -> None:
    """Softwood: 19.2 MJ/kg net dry against the usual hardwood's 18.5, before the water is taken off."""
    usual, named = (laid((entry(0, load_kg=5.0, species=kind),)) for kind in (None, "spruce"))
    assert usual.load_kg.sum() == pytest.approx(5.0 * 0.82)
    assert named.load_kg.sum() / usual.load_kg.sum() == pytest.approx(1.039, abs=0.001)
