"""Figures of plans by hand, their order and the few worth showing: each rule at the point where it turns.

Found by changing the code. Paths and figures are given; no forecast is run.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from test_evening import BED, WAKE

from logbook.heat.candidates import Plan, Put, Size
from logbook.heat.ranking import Figures, differ, figures, order, worth_showing
from logbook.records import Window

NO_FIRE = Plan((), 25.0, Window.SHUT)
BAND_C = (16.0, 22.0)


def load(*kg_at: tuple[float, float], window: Window = Window.SHUT, air: float = 25.0) -> Plan:
    """A plan of loads, each so many kg so many hours after bed."""
    puts = tuple(Put(BED + timedelta(hours=hours), Size(kg, ""), air) for kg, hours in kg_at)
    return Plan(puts, air, window)


def got_of(costs: list[float], *, too_hot: list[float] | None = None, **more: list[float]) -> Figures:
    """Figures that are nought but for the cost, K·h, and what else is given."""
    n = len(costs)
    ranges = np.zeros((n, 3))
    columns = {"chance_in_band": [0.0] * n, "asleep_too_hot": [0.0] * n, **more}
    given = {name: np.array(column, dtype=float) for name, column in columns.items()}
    return Figures(
        low=ranges,
        high=ranges,
        wake=ranges,
        degree_hours=np.array(costs, dtype=float),
        chance_too_hot=np.array(too_hot or [0.0] * n),
        **given,
    )


def quarters(start: datetime, end: datetime) -> tuple[datetime, ...]:
    step = timedelta(minutes=15)
    return tuple(start + i * step for i in range(int((end - start) / step) + 1))


def test_a_hot_evening_before_bed_is_no_hot_bedroom():
    """Asked two hours before bed, in a room of 30 °C until bed."""
    times = quarters(BED - timedelta(hours=2), WAKE)
    room = np.array([30.0 if at < BED else 20.0 for at in times])
    got = figures(room[None, None, :], times, as_of=times[0], bed=BED, wake=WAKE, band_c=BAND_C)
    assert (got.asleep_too_hot[0], got.chance_too_hot[0]) == (0.0, 0.0)
    late = np.array([30.0 if at <= BED else 20.0 for at in times])
    got = figures(late[None, None, :], times, as_of=times[0], bed=BED, wake=WAKE, band_c=BAND_C)
    assert (got.asleep_too_hot[0], got.chance_too_hot[0]) == (1.0, 0.0), "at bed it is; by an hour after not"


def test_at_twenty_eight_a_bedroom_is_not_yet_too_hot():
    """Above it, as the sentence says."""
    times = quarters(BED, WAKE)
    flat = np.array([27.99, 28.0, 28.01])[:, None, None] * np.ones((3, 2, len(times)))
    got = figures(flat, times, as_of=BED, bed=BED, wake=WAKE, band_c=BAND_C)
    assert got.asleep_too_hot.tolist() == [0.0, 0.0, 1.0]


@pytest.mark.parametrize(("room_c", "inside"), [(15.99, 0.0), (16.0, 1.0), (22.0, 1.0), (22.01, 0.0)])
def test_both_ends_of_the_band_are_in_it(room_c: float, inside: float):
    times = quarters(BED, WAKE)
    flat = np.full((1, 2, len(times)), room_c)
    got = figures(flat, times, as_of=BED, bed=BED, wake=WAKE, band_c=BAND_C)
    assert got.chance_in_band[0] == inside


def test_a_range_is_from_five_to_ninety_five_in_a_hundred():
    """Of the hundred and one whole temperatures from 0 to 100 °C these are 5, 50 and 95 °C."""
    times = quarters(BED, WAKE)
    flat = np.tile(np.arange(101.0)[:, None], len(times))[None]
    got = figures(flat, times, as_of=BED, bed=BED, wake=WAKE, band_c=BAND_C)
    assert got.wake[0].tolist() == got.low[0].tolist() == [5.0, 50.0, 95.0]


def test_of_a_night_shorter_than_an_hour_the_last_moment_counts():
    times = quarters(BED, BED + timedelta(minutes=45))
    room = np.array([19.0, 18.0, 17.0, 15.0])
    got = figures(room[None, None, :], times, as_of=BED, bed=BED, wake=times[-1], band_c=BAND_C)
    assert (got.low[0, 1], got.chance_in_band[0]) == (15.0, 0.0)


def test_six_are_shown_however_many_kinds_there_are():
    ajar = Window.CRACKED
    plans = [
        load((3.0, 0.0)),
        load((3.0, 0.0), window=ajar),
        load((3.0, 3.0)),
        load((3.0, 3.0), window=ajar),
        load((3.0, 0.0), (2.0, 3.0)),
        load((3.0, 0.0), (2.0, 3.0), window=ajar),
        load((1.5, 0.0)),
        NO_FIRE,
    ]
    got = got_of([1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 5.0])
    assert worth_showing(range(8), plans, got, start=BED) == (0, 1, 2, 3, 6, 7)


def test_those_shown_keep_the_order_of_all():
    plans = [load((3.0, 0.0), window=Window.CRACKED), NO_FIRE, load((3.0, 3.0)), load((3.0, 0.0))]
    got = got_of([3.0, 2.0, 4.0, 1.0])
    assert worth_showing((3, 1, 0, 2), plans, got, start=BED) == (3, 1, 0, 2)


def first_of(plans: list[Plan], got: Figures, *, untried: tuple[bool, ...] = (False, False)) -> int:
    usable = np.ones(len(plans), dtype=bool)
    more = {"untried": untried, "usable": usable, "high_c": BAND_C[1]}
    return order(plans, got, start=BED, gets_up=False, **more)[0]


@pytest.mark.parametrize(
    ("one", "other", "untried"),
    [
        (load((3.0, 0.0)), load((2.0, 0.0)), (True, False)),  # what was tried
        (load((2.0, 0.0)), load((3.0, 0.0)), (True, False)),  # before less wood
        (load((3.0, 0.0)), load((2.0, 0.0)), (False, False)),  # less wood
        (load((2.0, 0.0), window=Window.CRACKED), load((2.0, 0.0)), (False, False)),  # a shut window
        (
            Plan((), 25.0, Window.SHUT, names_air=True),
            Plan((), 60.0, Window.SHUT),
            (False, False),
        ),  # as it is
    ],
)
def test_of_two_that_cannot_be_told_apart_the_one_with_less_to_do_comes_first(
    one: Plan, other: Plan, untried: tuple[bool, bool]
):
    """The other costs 0.4 K·h more, which is no difference; at 0.6 more the one comes first all the same."""
    assert first_of([one, other], got_of([5.0, 5.4]), untried=untried) == 1
    assert first_of([one, other], got_of([5.0, 5.6]), untried=untried) == 0


@pytest.mark.parametrize(("low_c", "wood_first"), [((12.0, 21.9, 25.0), True), ((12.0, 22.0, 25.0), False)])
def test_a_room_warm_without_wood_is_one_whose_middle_stays_above_the_band(low_c, wood_first):
    plans = [NO_FIRE, load((2.0, 0.0))]
    got = got_of([9.0, 3.0])
    got.low[0] = low_c
    assert (first_of(plans, got) == 1) is wood_first


def test_a_bedroom_cool_from_bed_on_comes_before_one_cool_an_hour_later():
    """Five in a hundred above 28 °C in the first hour of the night are enough to come after."""
    plans = [load((2.0, 0.0)), load((2.0, 0.0), window=Window.CRACKED)]
    assert first_of(plans, got_of([3.0, 6.0], asleep_too_hot=[0.05, 0.04])) == 1
    assert first_of(plans, got_of([3.0, 6.0], asleep_too_hot=[0.04, 0.04])) == 0


def test_where_no_bedroom_is_cool_from_bed_on_one_cool_an_hour_later_beats_one_that_stays_hot():
    plans = [load((2.0, 0.0)), load((1.0, 0.0))]
    assert first_of(plans, got_of([3.0, 6.0], too_hot=[0.3, 0.0], asleep_too_hot=[0.4, 0.2])) == 1


def test_where_all_may_get_too_hot_one_whose_range_ends_below_the_limit_comes_first():
    """Of 48 draws three lay above 28 °C and the range ended at 27.99: the window, at 28.7, came first."""
    plans = [Plan((), 25.0, Window.CRACKED), Plan((), 25.0, Window.SHUT)]
    got = got_of([3.0, 6.0], too_hot=[4 / 48, 3 / 48])
    got = replace(got, high=np.array([[10.0, 20.0, 28.72], [10.0, 20.0, 27.99]]))
    assert first_of(plans, got) == 1
    hotter = replace(got, high=got.high + 0.02)
    assert first_of(plans, hotter) == 0, "none ends below: the cheapest of those about as likely"


@pytest.mark.parametrize(("kg", "air", "other"), [(6.2, 25.0, False), (6.3, 25.0, True), (5.0, 36.0, False),
                                                  (5.0, 37.0, True)])  # fmt: skip
def test_loads_differ_by_a_fifth_of_the_larger_or_by_twelve_points_of_air(kg: float, air: float, other: bool):
    """From 5 kg at 25 %: 5 is four fifths of 6.25."""
    assert differ(load((5.0, 0.0)), load((kg, 0.0), air=air)) is other
    assert differ(load((kg, 0.0), air=air), load((5.0, 0.0))) is other
