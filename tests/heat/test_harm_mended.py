"""What random cabins and evenings once got wrong, each as small as it can be made.

The forecast is the small one of ``fake_night``: a failing test means the choosing.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from fake_night import FakeForecast
from test_evening import BED, DESCRIBED, question, two_plans

from logbook.heat.candidates import Plan, Put, Size, entries_of, sizes
from logbook.heat.evening import advise, try_plan
from logbook.heat.ranking import fitting, order
from logbook.records import Entry, Window, WoodPile

EARLY = BED - timedelta(hours=1)


def air_at(plan: tuple[Entry, ...], at: datetime, *, stands: float) -> float:
    said = [e.air_open_pct for e in plan if e.air_open_pct is not None and e.at <= at]
    return said[-1] if said else stands


def test_air_below_the_floor_is_put_up_at_once_not_with_the_load_at_bed():
    """An hour before bed the air stood at 10 % on coals: every load at bed left it there until then."""
    stands = (Entry(at=BED - timedelta(hours=3), load_kg=2.0, air_open_pct=10.0),)
    shown = advise(
        question(as_of=EARLY, entries=stands, forecast=FakeForecast(coals_left_kg=1.0, start_c=14.0))
    )
    assert any(o.choice.loads and o.choice.loads[0].at > EARLY for o in shown)
    assert all(air_at(o.plan, EARLY, stands=10.0) >= 25.0 for o in shown)


def test_air_that_stands_clean_is_left_alone():
    plan = Plan((Put(BED, Size(2.0, ""), 30.0),), 30.0, Window.SHUT)
    assert [e.air_open_pct for e in entries_of(plan, as_of=EARLY, bed=BED)] == [None, 30.0]
    assert [e.air_open_pct for e in entries_of(plan, as_of=EARLY, bed=BED, air_up_pct=25.0)] == [
        None,
        25.0,
        30.0,
    ]


def test_a_firebox_is_never_overfilled_by_two_in_a_hundred():
    """2 % over was let pass as the error of a scale: 1.2 kg over in a stove that takes 60."""
    big = replace(
        DESCRIBED, stove=replace(DESCRIBED.stove, max_load_kg=60.0), wood=WoodPile(pieces_kg=(("S", 1.5),))
    )
    for left in (40.0, 48.4, 59.5):
        cold = FakeForecast(coals_left_kg=left * 0.82, heat_k_per_kg=0.05, time_constant_h=3.0)
        at_bed = [
            put.kg
            for o in advise(question(forecast=cold, description=big))
            for put in o.choice.loads
            if put.at == BED
        ]
        assert all(left + kg <= 60.0 + 2e-3 for kg in at_bed)


def test_nothing_goes_on_a_full_bed_however_small():
    """0.8 kg went onto 57.9 kg of 60."""
    big = replace(
        DESCRIBED, stove=replace(DESCRIBED.stove, max_load_kg=60.0), wood=WoodPile(pieces_kg=(("S", 0.8),))
    )
    full = FakeForecast(coals_left_kg=56.0 * 0.82, heat_k_per_kg=0.05, time_constant_h=3.0)
    shown = advise(question(forecast=full, description=big))
    assert not [put for o in shown for put in o.choice.loads if put.at == BED]


@pytest.mark.parametrize("cap", [0.1375, 0.4999, 1.23456, 7.77777])
def test_no_weighed_step_is_rounded_over_the_cap(cap):
    """0.138 kg was offered where 0.1375 was the most."""
    assert all(size.kg <= cap for size in sizes(cap_kg=cap, pieces_kg=()))


def test_no_wood_first_where_without_any_it_gets_too_hot_as_likely_as_not():
    """Every plan passed 28 °C; a load in the far end of the night cost a little less than none."""
    hot = FakeForecast(start_c=29.0, coals_left_kg=6.0, heat_k_per_kg=9.0, time_constant_h=5.0)
    for gets_up in (False, True):
        first = advise(question(forecast=hot, low_c=-30.0, gets_up=gets_up))[0]
        assert not first.choice.loads


def test_no_wood_first_in_a_room_that_stays_above_the_band():
    warm = FakeForecast(start_c=26.0, time_constant_h=200.0, coals_left_kg=0.3, heat_k_per_kg=0.01)
    assert not advise(question(forecast=warm, low_c=20.0))[0].choice.loads


# Plans tried


def tried(*steps: Entry, stands: tuple[Entry, ...] = (), **forecast: float):
    asked = question(
        forecast=FakeForecast(**forecast), entries=stands or (Entry(at=EARLY, air_open_pct=50.0),)
    )
    return try_plan(asked, steps).facts


def test_air_shut_before_the_load_goes_in_counts_while_it_burns():
    """ "air 0 %; an hour later 3 kg": nothing burned when the air was shut, and nothing was said."""
    facts = tried(
        Entry(at=BED, air_open_pct=0.0), Entry(at=BED + timedelta(hours=1), load_kg=3.0), coals_left_kg=0.0
    )
    assert facts.least_air_pct == 0.0


def test_a_damper_closed_before_the_load_goes_in_counts_while_it_burns():
    steps = (
        Entry(at=BED, flue_damper_open_pct=20.0),
        Entry(at=BED + timedelta(hours=1), load_kg=3.0, air_open_pct=60.0),
    )
    assert tried(*steps, coals_left_kg=0.0).least_damper_pct == 20.0
    opened = (*steps[:1], Entry(at=BED + timedelta(minutes=30), flue_damper_open_pct=100.0), *steps[1:])
    assert tried(*opened, coals_left_kg=0.0).least_damper_pct is None


def test_a_load_planned_after_waking_is_a_fire_all_the_same():
    """Beyond the forecast's end nothing was reckoned to burn, and coals were not spoken of."""
    assert tried(Entry(at=BED + timedelta(hours=9), load_kg=3.0, air_open_pct=60.0), coals_left_kg=0.0).burns


@pytest.mark.parametrize(("kg", "fits"), [(4.99, True), (5.0, True), (5.05, False), (5.1, False)])
def test_what_is_left_and_what_goes_in_never_pass_the_limit_together(kg: float, fits: bool):
    """4 kg left in a firebox for 9: 5.05 kg, 0.6 % over in all, was within the 2 % once allowed."""
    idle, load = Plan((), None, Window.SHUT), Plan((Put(BED, Size(kg, ""), 30.0),), 30.0, Window.SHUT)
    times = [BED, BED + timedelta(minutes=15)]
    got = fitting([idle, load], np.full((2, 2), 4.0), times, max_load_kg=9.0)
    assert list(got) == [True, fits]


# Wood first in a room that is warm without any: by cost alone it would come first in each of these


@pytest.mark.parametrize(
    ("low_without_c", "too_hot_without", "wood_first"),
    [
        (22.0, 0.0, False),  # never under the band's upper end
        (21.9, 0.0, True),
        (12.0, 0.50, False),  # above 28 °C as likely as not
        (12.0, 0.49, True),
    ],
)
def test_what_cost_says_of_wood_counts_only_where_the_room_needs_any(
    low_without_c: float, too_hot_without: float, wood_first: bool
) -> None:
    plans = [Plan((), 25.0, Window.SHUT), Plan((Put(BED, Size(1.0, ""), 25.0),), 25.0, Window.SHUT)]
    got = two_plans(chance_too_hot=[too_hot_without, too_hot_without - 0.1], degree_hours=[9.0, 3.0])
    got = replace(got, low=np.array([[low_without_c] * 3, [14.0] * 3]))
    ordered = order(
        plans,
        got,
        start=BED,
        gets_up=False,
        untried=[False, False],
        usable=np.ones(2, dtype=bool),
        high_c=22.0,
    )
    assert bool(plans[ordered[0]].loads) is wood_first
