"""Stays that don't fit one another: how far is told in sd of chance, and the log's word counts for less.

Figures of chance are held to scipy's chi-square; the arithmetic to a linear world where everything is exact.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import chi2, norm
from simulated import live

from logbook.heat.fit import draw, prepare, starts
from logbook.heat.misfit import Misfit, against_the_others, misfit, of_chance, sds, softened
from logbook.heat.mode import Mode, Terms, find_modes, seen_residuals
from logbook.heat.model import simulate
from logbook.heat.notebook import stays

SIZE = 4


@pytest.mark.parametrize("count", [5, 12, 40, 200])
@pytest.mark.parametrize("rarity", [0.3, 0.05, 1e-3, 1e-4])
def test_a_sum_of_squares_is_as_rare_as_the_chi_square_says(count, rarity):
    square = float(chi2.isf(rarity, count))
    assert sds(square, count) == pytest.approx(norm.isf(rarity), abs=0.07)
    assert of_chance(count, sds(square, count)) == pytest.approx(square)


def world(rng: np.random.Generator, *, stays: int = 4, readings: int = 10, other: int | None = None) -> Mode:
    """The mode of a linear world; the unknowns of stay ``other`` are somebody else's."""
    truth = rng.standard_normal(SIZE)
    else_where = -3.0 * truth
    slopes = [2.0 * rng.standard_normal((readings, SIZE)) for _ in range(stays)]
    lived = [else_where if i == other else truth for i in range(stays)]
    read = [s @ z + rng.standard_normal(readings) for s, z in zip(slopes, lived, strict=True)]
    curvature = np.eye(SIZE) + sum(s.T @ s for s in slopes)
    z = np.linalg.solve(curvature, sum(s.T @ y for s, y in zip(slopes, read, strict=True)))
    terms = tuple(Terms(s @ z - y, s, readings) for s, y in zip(slopes, read, strict=True))
    return Mode(z=z, curvature=curvature, whites=(), log_evidence=0.0, terms=terms)


def test_sound_logs_miss_by_chance():
    """In a world that is as believed both figures are standard normals: neither late nor trigger-happy."""
    found = [misfit(world(np.random.default_rng(seed))) for seed in range(400)]
    whole = np.array([m.whole_sd for m in found])
    split = np.array([m.stays_sd for m in found]).ravel()
    for sd in (whole, split):
        assert abs(sd.mean()) < 0.15
        assert 0.9 < sd.std() < 1.1
    assert sum(m.doubtful for m in found) <= 4
    assert 0.02 < np.mean([m.doubt > 1.0 for m in found]) < 0.09, "once in twenty"


def test_a_stay_of_another_cabin_is_the_one_that_is_blamed():
    for seed in range(20):
        found = misfit(world(np.random.default_rng(seed), other=1))
        assert found.doubtful
        assert found.worth_keeping == (0, 2, 3)


def test_the_forecast_of_a_stay_does_not_see_it():
    """By hand: fit the others alone, forecast it, and count."""
    mode = world(np.random.default_rng(5))
    rest, last = mode.terms[:-1], mode.terms[-1]
    known = np.eye(SIZE) + sum(t.slope.T @ t.slope for t in rest)
    read = [t.slope @ mode.z - t.residual for t in mode.terms]
    alone = np.linalg.solve(known, sum(t.slope.T @ y for t, y in zip(rest, read[:-1], strict=True)))
    spread = np.eye(10) + last.slope @ np.linalg.inv(known) @ last.slope.T
    off = read[-1] - last.slope @ alone
    expected = sds(float(off @ np.linalg.inv(spread) @ off), 10)
    assert against_the_others(mode.z, mode.terms)[-1] == pytest.approx(expected)


def test_neither_of_two_is_to_blame_nor_the_newest():
    assert Misfit(4.0, (5.0, 5.0), 2.0).worth_keeping == ()
    assert Misfit(4.0, (0.0, 1.0, 5.0), 2.0).worth_keeping == ()
    assert Misfit(4.0, (5.0, 1.0, 0.0), 2.0).worth_keeping == (1, 2)
    assert against_the_others(np.zeros(SIZE), world(np.random.default_rng(1), stays=1).terms) == ()


def test_a_log_whose_errors_are_too_small_counts_for_less():
    """As if every error were larger by the root of the doubt: exact in a linear world."""
    mode = world(np.random.default_rng(2))
    doubt = 2.5
    known = sum(t.slope.T @ t.slope for t in mode.terms) / doubt
    pulled = sum(t.slope.T @ (t.slope @ mode.z - t.residual) for t in mode.terms) / doubt
    got = softened(mode, doubt)
    assert got.curvature == pytest.approx(np.eye(SIZE) + known)
    assert got.z == pytest.approx(np.linalg.solve(np.eye(SIZE) + known, pulled))
    assert got.doubt == doubt
    assert softened(mode, 1.0) is mode


def test_the_doubt_is_the_ratio_to_what_chance_exceeds_once_in_twenty():
    mode = world(np.random.default_rng(2))
    loud = replace(mode, terms=tuple(replace(t, residual=3.0 * t.residual) for t in mode.terms))
    square = float(mode.z @ mode.z) + sum(float((t.residual**2).sum()) for t in loud.terms)
    assert misfit(loud).doubt == pytest.approx(square / chi2.isf(0.05, 40), rel=0.005)


def test_every_stay_has_its_own_rows_of_a_real_mode():
    """The slopes make up the curvature, nothing pulls at the mode, and each stay's rows are its own."""
    lived = live(3)
    told = stays(lived.entries)
    b = prepare(told, descriptions=lived.descriptions, changes=())
    for mode in find_modes(b, starts(b.frame.size, None)):
        known = sum(t.slope.T @ t.slope for t in mode.terms)
        assert np.eye(len(mode.z)) + known == pytest.approx(mode.curvature)
        assert [t.readings for t in mode.terms] == [len(s.readings) for s in told]
        for i, t in enumerate(mode.terms):
            one, white = b.only([i]), [mode.whites[i]]
            seen = seen_residuals(one, mode.z[None, :], simulate(one, mode.z[None, :]), white)
            assert t.residual == pytest.approx(seen[0], abs=1e-6)


def test_the_draws_of_a_doubted_log_are_as_much_wider():
    """The best known direction, four times the variance: the weighting must not pull the draws back."""
    lived = live(3)
    b = prepare(stays(lived.entries), descriptions=lived.descriptions, changes=())
    (mode,) = find_modes(b, [np.zeros(b.frame.size)])
    best_known = np.linalg.eigh(mode.curvature)[1][:, -1]
    spreads = []
    for doubt in (1.0, 4.0):
        z, _, _ = draw(b, softened(mode, doubt), rng=np.random.default_rng(1), draws=300)
        spreads.append(float((z @ best_known).std()))
    assert 1.6 < spreads[1] / spreads[0] < 2.5
