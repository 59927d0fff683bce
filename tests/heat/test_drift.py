"""Drift: quiet nights stay quiet, a real shift is found, one odd night is none."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from quiet_nights import quiet_run

from logbook.heat.drift import ALIKE, LIMIT, MOST_MISS, against_earlier, drift, sums
from logbook.results.night import NightScore, Range

FIRST = datetime(2025, 11, 7, 22, 0, tzinfo=UTC)


def nights(misses: list[float | None], *, width_k: float = 6.58) -> list[NightScore]:
    """A track record with these misses in spreads (None: nobody read it), one night a day."""
    made = []
    for i, miss in enumerate(misses):
        bed = FIRST + timedelta(days=i)
        seen = None if miss is None else 15.0 + miss * width_k / 3.29
        made.append(
            NightScore(
                bed=bed,
                wake=bed + timedelta(hours=8),
                predicted_at_wake_c=Range(15.0 - width_k / 2, 15.0, 15.0 + width_k / 2),
                observed_at_wake_c=seen,
                inside_90=None,
                wood_kg=3.0,
                air_open_pct=30.0,
            )
        )
    return made


def test_quiet_nights_raise_it_at_most_once_in_fifty():
    assert quiet_run(rng=np.random.default_rng(11)) > 75
    assert quiet_run(rng=np.random.default_rng(11), alike=0.5) > 55
    assert quiet_run(rng=np.random.default_rng(11), spread=1.1) > 50  # ranges a tenth too narrow
    assert quiet_run(rng=np.random.default_rng(11), own_miss_sd=0.9) > 70  # a cabin the model reads badly


def test_a_limit_for_independent_nights_would_not_do():
    """The overlap of neighbouring nights matters: 3.0 is quiet for 50 independent nights, not for these."""
    assert quiet_run(rng=np.random.default_rng(11), limit=3.0, alike=0.0) > 50
    assert quiet_run(rng=np.random.default_rng(11), limit=3.0, alike=ALIKE) < 50


def test_a_lasting_miss_is_no_drift():
    """A plain sum takes a cabin that always reads a little warm for one that drifts."""
    assert quiet_run(rng=np.random.default_rng(11), learned=False) < 50
    steady = [0.9, 0.7, 0.8, 0.9, 0.6, 0.9, 0.8] * 5
    assert sums(np.array(steady))[1][-1] > LIMIT
    assert drift(nights(steady)).direction is None


def test_the_run_length_of_independent_nights_is_the_published_one():
    """k = 0.5, h = 4: 335.4 nights one-sided in control, so 168 two-sided; 8.38 at a shift of one spread.

    Source: Montgomery, Introduction to Statistical Quality Control (168 and 8.38), from memory. Misses are
    cut at three spreads here, which makes runs a little longer. For the plain sums, nothing learned.
    """
    plain = {"limit": 4.0, "alike": 0.0, "own_miss_sd": 0.0, "learned": False, "runs": 1500}
    assert quiet_run(rng=np.random.default_rng(2), **plain) == pytest.approx(168.0, rel=0.12)
    assert quiet_run(rng=np.random.default_rng(2), shift=1.0, **plain) == pytest.approx(8.38, rel=0.06)


def test_each_night_is_held_against_those_before_it():
    """By hand, with the belief in none counting as 1/0.36 nights: the second is 1 - 1/(1 + 2.78) = 0.735."""
    first, second = against_earlier(np.array([1.0, 1.0]))
    assert first == pytest.approx(1.0 / np.sqrt(1.0 + 0.36))
    assert second == pytest.approx((1.0 - 1.0 / (1.0 + 1.0 / 0.36)) / np.sqrt(1.0 + 1.0 / (1.0 + 1.0 / 0.36)))


def test_a_shift_is_found_within_a_month_or_two_of_weekends():
    assert quiet_run(rng=np.random.default_rng(4), shift=1.5, quiet_before=20) < 8
    assert quiet_run(rng=np.random.default_rng(4), shift=-2.0, quiet_before=20) < 5


@pytest.mark.parametrize(("miss", "direction"), [(-2.0, "colder"), (2.0, "warmer")])
def test_it_says_which_way_how_long_and_how_far(miss, direction):
    told = drift(nights([*([0.2, -0.2] * 6), *([miss] * 6)]))
    assert told.direction == direction
    assert told.nights == 6
    assert told.miss_k == pytest.approx(miss * 2.0)
    assert told.since == FIRST + timedelta(days=12)
    assert told.score > 1.0
    assert told.tested == 18


def test_one_odd_night_is_no_drift():
    assert drift(nights([0.1, -0.3, 0.4, -9.0])).direction is None
    assert sums(np.array([-9.0]))[0][0] == MOST_MISS - 0.5


def test_few_nights_say_nothing():
    assert drift(nights([-3.0, -3.0, -3.0])).direction is None
    assert drift([]).direction is None


def test_nights_nobody_read_are_passed_over():
    assert drift(nights([*([0.0] * 12), -2.0, None, -2.0, None, -2.0, -2.0, -2.0])).nights == 5


def test_a_change_on_record_begins_anew():
    missed = nights([*([0.0] * 12), *([-2.0] * 5)])
    assert drift(missed).direction == "colder"
    assert drift(missed, resets=[FIRST + timedelta(days=12, hours=-3)]).direction is None
    assert drift(missed, resets=[FIRST - timedelta(days=1)]).direction == "colder"


def test_it_falls_silent_when_nights_come_right_again():
    assert drift(nights([*([0.0] * 12), *([-2.0] * 4), *([1.0] * 4)])).direction is None


def test_the_sums_by_hand():
    low, high = sums(np.array([1.0, -1.0, 2.0]))
    assert high.tolist() == [0.5, 0.0, 1.5]
    assert low.tolist() == [0.0, 0.5, 0.0]
    assert pytest.approx(4.0) == LIMIT
