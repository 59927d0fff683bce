"""Learning from a notebook: honest ranges on invented cabins, and every step against an outside reference."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from reference_filter import smoothed
from scipy.optimize import least_squares
from scipy.stats import binom, multivariate_normal
from simulated import FRIDAY, HOUR, Lived, coverage, heated_house, live

from logbook.heat import fit, mode
from logbook.heat.arrays import STEP_H
from logbook.heat.effects import DISCREPANCY_H, DISCREPANCY_SD_K, effects, error_variance, matern, seen
from logbook.heat.fit import Posterior, draw, learn, prepare, summary, thinned, useful_stays
from logbook.heat.mode import Mode, Whitening, find_modes, residuals, soft, whitening
from logbook.heat.model import Batch, simulate
from logbook.heat.notebook import stays
from logbook.heat.priors import UNKNOWNS, fire_law, values
from logbook.records import DatedDescription, Entry, Mark


@pytest.fixture(scope="module")
def lived() -> Lived:
    return live(3)


@pytest.fixture(scope="module")
def told(lived: Lived) -> Batch:
    """Both stays of the invented cabin, on the grid."""
    return prepare(stays(lived.entries), descriptions=lived.descriptions, changes=())


@pytest.fixture(scope="module")
def learned(lived: Lived) -> Posterior:
    return taught(lived)


def taught(lived: Lived, entries: tuple[Entry, ...] | None = None, *, seed: int = 1) -> Posterior:
    return learn(
        descriptions=lived.descriptions,
        entries=lived.entries if entries is None else entries,
        as_of=lived.evening.as_of,
        rng=np.random.default_rng(seed),
        draws=200,
    )


def same(a: Posterior, b: Posterior) -> None:
    left, right = a.to_arrays(), b.to_arrays()
    assert left.keys() == right.keys()
    for key in left:
        np.testing.assert_array_equal(left[key], right[key], key)


# Honest ranges


def test_ranges_hold_the_truth_of_a_dozen_invented_cabins() -> None:
    """A 90 % range holds it 12 x 0.9 times; 7 or fewer would happen by chance once in 230 sets of cabins.
    So this tells 90 % from about 60 %, no finer: 200 cabins in the bench do that."""
    assert binom.cdf(7, 12, 0.9) < 0.0045
    got = coverage(range(12), draws=200)
    print({key: round(value, 2) for key, value in got.items()})
    assert got["cabins"] == 12
    assert got["heat_loss_w_per_k_inside"] >= 8
    assert got["wake_c_inside"] >= 8


def test_readings_sharpen_what_the_description_says(lived: Lived, learned: Posterior) -> None:
    before = taught(lived, ())
    assert before.z.std(axis=0).mean() > learned.z.std(axis=0).mean()
    log_before, log_after = (np.log(p.derived.heat_loss_w_per_k).std() for p in (before, learned))
    assert log_after < 0.8 * log_before


def test_a_heater_of_known_power_serves_instead_of_a_stove() -> None:
    """Watts set the scale as weighed wood does: the heat loss comes out within its range and narrower than
    the description's, and nothing is claimed of a stove that nobody lit."""
    descriptions, rows, loss, tau = heated_house(2)
    got = learn(
        descriptions=descriptions,
        entries=rows,
        as_of=rows[-1].at,
        rng=np.random.default_rng(0),
        draws=200,
    )
    answer = summary(got)
    assert answer.heat_loss_w_per_k is not None
    assert answer.heat_loss_w_per_k.p05 < loss < answer.heat_loss_w_per_k.p95
    assert answer.time_constant_h is not None
    assert answer.time_constant_h.p05 < tau < answer.time_constant_h.p95
    assert answer.stove_efficiency is None
    assert "stove_efficiency" in dict(answer.cannot_tell)
    prior = learn(
        descriptions=descriptions, entries=(), as_of=rows[-1].at, rng=np.random.default_rng(0), draws=200
    )
    width = np.log(answer.heat_loss_w_per_k.p95 / answer.heat_loss_w_per_k.p05)
    described = summary(prior).heat_loss_w_per_k
    assert described is not None
    assert width < 0.8 * np.log(described.p95 / described.p05)


def test_cooling_alone_claims_no_heat_loss(dated: list[DatedDescription]) -> None:
    """No wood, no watts: only loss over capacity can be seen, and the answer says so."""
    rows = [Entry(at=FRIDAY + i * HOUR, indoor_c=20.0 * 0.95**i, outdoor_c=-1.0) for i in range(24)]
    answer = summary(
        learn(descriptions=dated, entries=rows, as_of=rows[-1].at, rng=np.random.default_rng(0), draws=100)
    )
    assert answer.heat_loss_w_per_k is None
    assert answer.heat_capacity_mj_per_k is None
    assert answer.time_constant_h is not None


def test_a_room_that_never_cooled_claims_no_time_constant(dated: list[DatedDescription]) -> None:
    rows = [
        Entry(at=FRIDAY + i * HOUR, indoor_c=20.0 + 0.1 * (i % 2), outdoor_c=2.0, other_heat_w=1200.0)
        for i in range(24)
    ]
    answer = summary(
        learn(descriptions=dated, entries=rows, as_of=rows[-1].at, rng=np.random.default_rng(0), draws=100)
    )
    assert answer.time_constant_h is None
    assert answer.heat_loss_w_per_k is not None


# Each step against a reference


def covariance_of(b: Batch, i: int, z: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """Covariance of one stay's readings put together by hand."""
    sim = simulate(b, z[None, :])
    s = b.scenarios[i]
    course = sim.air_c[: s.steps + 1, 0, i]
    basis = seen(s, course).at(effects(b, z, sim)[i].response_k)
    hours = s.reading_at * STEP_H
    return basis @ basis.T + matern(hours, hours) + np.diag(error_variance(s, course) / weights)


def test_whitened_readings_have_the_density_scipy_says(told: Batch) -> None:
    """Linear effects integrated out: -1/2 |w|2 - log det - n/2 log 2 pi is the multivariate normal's
    log density, with and without Student weights."""
    z = np.full(len(UNKNOWNS), 0.3)
    sim = simulate(told, z[None, :])
    plain = whitening(told, z, sim, None)
    for whites in (plain, whitening(told, z, sim, plain)):
        for i, (s, w) in enumerate(zip(told.scenarios, whites, strict=True)):
            middle = w.seen.at(sim.air_c[: s.steps + 1, 0, i])
            white = w.inverse @ (s.reading_c - middle)
            got = -0.5 * white @ white - w.log_det - 0.5 * len(white) * np.log(2.0 * np.pi)
            covariance = covariance_of(told, i, z, w.weights)
            assert got == pytest.approx(
                float(multivariate_normal(mean=middle, cov=covariance).logpdf(s.reading_c)), abs=1e-8
            )


def test_whitened_readings_have_the_likelihood_a_kalman_filter_finds(told: Batch) -> None:
    """The same as a state space, reading after reading (pykalman, a general-purpose filter)."""
    z = np.full(len(UNKNOWNS), -0.2)
    sim = simulate(told, z[None, :])
    found = effects(told, z, sim)
    for i, (s, w) in enumerate(zip(told.scenarios, whitening(told, z, sim, None), strict=True)):
        course = sim.air_c[: s.steps + 1, 0, i]
        miss = s.reading_c - w.seen.at(course)
        white = w.inverse @ miss
        got = -0.5 * white @ white - w.log_det - 0.5 * len(white) * np.log(2.0 * np.pi)
        basis = w.seen.at(found[i].response_k)
        reference = smoothed(
            reading_h=s.reading_at * STEP_H,
            reading_basis=basis,
            reading_variance_k2=error_variance(s, course),
            miss_k=miss,
            grid_h=s.reading_at[-1:] * STEP_H,
            grid_basis=basis[-1:],
            sd_k=DISCREPANCY_SD_K,
            length_h=DISCREPANCY_H,
        )
        assert got == pytest.approx(reference.log_likelihood, abs=1e-6)


def test_a_far_off_reading_loses_its_weight(lived: Lived) -> None:
    """One reading written ten kelvin off: its Student weight falls under a tenth, the others' do not."""
    entries = list(lived.entries)
    wrong = [i for i, e in enumerate(entries) if e.indoor_c is not None][4]
    entries[wrong] = replace(entries[wrong], indoor_c=(entries[wrong].indoor_c or 0.0) - 10.0)
    b = prepare(stays(entries), descriptions=lived.descriptions, changes=())
    (best,) = find_modes(b, [np.zeros(len(UNKNOWNS))])
    weights = np.concatenate([w.weights for w in best.whites])
    assert weights.min() < 0.1
    readings = [e for e in entries if e.indoor_c is not None]
    assert readings[int(np.argmin(weights))] == entries[wrong]
    assert np.median(weights) > 0.8


def test_the_mode_is_where_a_general_purpose_optimiser_ends(told: Batch) -> None:
    """scipy's least squares on the same residuals, covariance held: no lower cost to speak of (0.1 in twice
    the log density), no other place (0.15 prior sd, the finite differences' own error being 0.03)."""
    (best,) = find_modes(told, [np.zeros(len(UNKNOWNS))])

    def at(z: np.ndarray) -> np.ndarray:
        lane = z[None, :]
        return residuals(told, lane, simulate(told, lane), best.whites)[0]

    def slope(z: np.ndarray) -> np.ndarray:
        lanes = np.concatenate([z + 1e-4 * np.eye(len(z)), z - 1e-4 * np.eye(len(z))])
        r = residuals(told, lanes, simulate(told, lanes), best.whites)
        return (r[: len(z)] - r[len(z) :]).T / 2e-4

    found = least_squares(at, best.z, jac=slope, method="lm")
    assert float((at(best.z) ** 2).sum()) - 2.0 * float(found.cost) < 0.1
    np.testing.assert_allclose(best.z, found.x, atol=0.15)


def test_two_starts_together_are_two_starts_alone(told: Batch) -> None:
    starts = fit.starts(len(UNKNOWNS), None)
    together = find_modes(told, starts)
    for start, got in zip(starts, together, strict=True):
        (alone,) = find_modes(told, [start])
        np.testing.assert_allclose(got.z, alone.z, atol=1e-8)
        assert got.log_evidence == pytest.approx(alone.log_evidence, abs=1e-8)


def linear_mode(rows: int, size: int) -> tuple[np.ndarray, np.ndarray, np.ndarray, Mode]:
    """A linear model y = A z + noise: slopes, readings, exact mean; and its mode as the fit would have it."""
    rng = np.random.default_rng(5)
    slopes, readings = rng.normal(0.0, 1.0, (rows, size)), rng.normal(0.0, 2.0, rows)
    curvature = np.eye(size) + slopes.T @ slopes
    mean = np.linalg.solve(curvature, slopes.T @ readings)
    return slopes, readings, mean, Mode(z=mean, curvature=curvature, whites=(), log_evidence=0.0)


def test_laplace_evidence_is_exact_where_everything_is_linear(monkeypatch: pytest.MonkeyPatch) -> None:
    """log N(y; 0, A A' + C), from scipy, up to a constant of the number of readings alone."""
    monkeypatch.setattr(mode, "T_FREEDOM", 4.0)
    slopes, readings, _, _ = linear_mode(9, 4)
    found = []
    for scale in (0.5, 1.0, 3.0):
        noise = scale * np.diag(np.linspace(0.4, 1.6, 9))
        lower = np.linalg.cholesky(noise)
        white = np.linalg.inv(lower)
        curvature = np.eye(4) + slopes.T @ white.T @ white @ slopes
        mean = np.linalg.solve(curvature, slopes.T @ white.T @ white @ readings)
        rest = white @ (readings - slopes @ mean)
        w = Whitening(
            seen=None,  # type: ignore[arg-type]
            inverse=white,
            log_det=float(np.log(np.diag(lower)).sum()),
            weights=np.ones(9),
        )
        got = mode._evidence(float(mean @ mean + rest @ rest), curvature, [w])
        exact = multivariate_normal(np.zeros(9), slopes @ slopes.T + noise).logpdf(readings)
        found.append(got - float(exact))
    np.testing.assert_allclose(found, found[0], atol=1e-9)


def test_draws_have_the_mean_and_spread_of_a_known_posterior(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the residuals of a linear model the posterior is normal and known. 6,000 draws: means within
    4 standard errors, spreads within 6 % (4 x 1/sqrt(2 x effective)), nothing tempered, nothing widened."""
    slopes, readings, mean, best = linear_mode(12, 5)

    def density(_b: Batch, z: np.ndarray, _mode: Mode) -> np.ndarray:
        return -0.5 * ((z**2).sum(axis=1) + ((readings - z @ slopes.T) ** 2).sum(axis=1))

    monkeypatch.setattr(fit, "log_density", density)
    z, count, widened = draw(None, best, rng=np.random.default_rng(1), draws=6000)  # type: ignore[arg-type]
    exact = np.linalg.inv(best.curvature)
    error = np.sqrt(np.diag(exact) / min(count, 6000.0))
    assert (np.abs(z.mean(axis=0) - mean) < 4.0 * error).all()
    np.testing.assert_allclose(
        z.std(axis=0), np.sqrt(np.diag(exact)), rtol=4.0 / np.sqrt(2.0 * 6000.0) + 0.02
    )
    assert count > 3000.0
    assert not widened


def test_too_few_draws_are_made_enough_and_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """A target a tenth as wide as the proposal in 20 dimensions: the weights are tempered until enough
    draws count, the number is reported, and the answer says it was widened."""
    size = 20
    best = Mode(z=np.zeros(size), curvature=np.eye(size), whites=(), log_evidence=0.0)
    monkeypatch.setattr(fit, "log_density", lambda _b, z, _mode: -0.5 * ((10.0 * z) ** 2).sum(axis=1))
    z, count, widened = draw(None, best, rng=np.random.default_rng(1), draws=400)  # type: ignore[arg-type]
    assert fit.LEAST_EFFECTIVE <= count < 800.0
    assert widened
    assert z.std() > 0.1  # wider than the target, never narrower


def test_soft_residuals_are_plain_near_zero_and_linear_far_out() -> None:
    small = np.array([-0.1, 0.0, 0.2])
    np.testing.assert_allclose(soft(small), small, rtol=1e-3)
    assert soft(np.array([60.0]))[0] ** 2 == pytest.approx(2.0 * 3.0 * 60.0, rel=0.05)
    assert soft(np.array([-60.0]))[0] == -soft(np.array([60.0]))[0]


# What goes in, what comes out


def test_a_posterior_survives_the_cache(learned: Posterior, lived: Lived) -> None:
    for posterior in (learned, taught(lived, ()), with_change(lived)):
        back = Posterior.from_arrays(posterior.to_arrays())
        same(back, posterior)
        assert back.changes == posterior.changes
        assert back.cannot_tell == posterior.cannot_tell
        assert summary(back) == summary(posterior)


def with_change(lived: Lived) -> Posterior:
    between = Entry(at=FRIDAY + timedelta(days=4), change="skirting round the crawl space")
    rows = sorted([*lived.entries, between], key=lambda e: e.at)
    return taught(lived, tuple(rows))


def test_a_change_between_stays_has_a_factor_of_its_own(lived: Lived) -> None:
    posterior = with_change(lived)
    assert [c.name for c in posterior.changes] == ["skirting round the crawl space"]
    assert posterior.z.shape[1] == len(UNKNOWNS) + 1
    assert posterior.mode.shape == (len(UNKNOWNS) + 1,)
    before_all = Entry(at=FRIDAY - timedelta(days=4), change="new door")
    assert taught(lived, (before_all, *lived.entries)).changes == ()  # no stay on its other side


def test_the_same_dice_give_the_same_answer(lived: Lived, learned: Posterior) -> None:
    same(taught(lived), learned)
    assert not np.array_equal(taught(lived, seed=2).z, learned.z)


def test_rows_that_do_not_exist_yet_change_nothing(lived: Lived, learned: Posterior) -> None:
    night = lived.evening.as_of
    later = (
        Entry(at=night + timedelta(minutes=1), load_kg=5.0, air_open_pct=90.0),
        Entry(at=night + timedelta(hours=8), indoor_c=31.0, low_c=2.0, outdoor_c=-25.0, mark=Mark.WOKE),
        Entry(at=night + timedelta(hours=9), change="new stove pipe"),
    )
    same(taught(lived, (*lived.entries, *later)), learned)


def test_a_description_alone_answers_and_says_so(scant: list[DatedDescription]) -> None:
    got = learn(descriptions=scant, entries=(), as_of=FRIDAY, rng=np.random.default_rng(0), draws=300)
    answer = summary(got, seconds=0.25)
    assert answer.from_description_only
    assert (answer.readings, answer.stays, answer.effective_draws, answer.seconds) == (0, 0, 300.0, 0.25)
    for told_range in (
        answer.heat_loss_w_per_k,
        answer.time_constant_h,
        answer.heat_capacity_mj_per_k,
        answer.stove_efficiency,
    ):
        assert told_range is not None
        assert 0.0 < told_range.p05 < told_range.p50 < told_range.p95
    assert answer.heat_loss_w_per_k is not None
    assert answer.heat_loss_w_per_k.p95 > 2.0 * answer.heat_loss_w_per_k.p05  # nothing described: wide


def test_one_reading_teaches_nothing_yet_and_two_do(dated: list[DatedDescription]) -> None:
    first = Entry(at=FRIDAY, indoor_c=7.0, outdoor_c=-2.0, load_kg=3.0, kindling=True, air_open_pct=80.0)
    second = Entry(at=FRIDAY + 3 * HOUR, indoor_c=16.5)

    def after(*rows: Entry) -> Posterior:
        return learn(
            descriptions=dated,
            entries=rows,
            as_of=FRIDAY + 4 * HOUR,
            rng=np.random.default_rng(0),
            draws=100,
        )

    one, two = after(first), after(first, second)
    assert (one.stays, one.readings) == (0, 1)
    assert summary(one).from_description_only
    same(replace(one, readings=0), after())
    assert (two.stays, two.readings) == (1, 2)
    assert not summary(two).from_description_only
    assert np.isfinite(two.z).all()


def test_effective_draws_are_reported(learned: Posterior) -> None:
    assert 1.0 <= learned.effective_draws <= 400.0
    assert learned.z.shape == (200, len(UNKNOWNS))
    assert learned.effective_draws >= min(fit.LEAST_EFFECTIVE, 100.0)


def test_only_the_last_stays_are_used_and_thousands_of_rows_are_thinned() -> None:
    rows = [
        Entry(at=FRIDAY + timedelta(days=7 * week, minutes=10 * i), indoor_c=15.0 + 0.01 * i)
        for week in range(4)
        for i in range(400)
    ]
    told = stays(rows)
    assert len(useful_stays(told, None)) == 4
    assert [s.start for s in useful_stays(told, 2)] == [told[2].start, told[3].start]
    thin = thinned(told[0])
    assert len(thin.readings) == fit.MOST_READINGS
    assert (thin.readings[0], thin.readings[-1]) == (told[0].readings[0], told[0].readings[-1])


def test_stove_efficiency_is_heat_to_the_room_over_heat_burned(told: Batch, learned: Posterior) -> None:
    """Over both stays and every draw, what the warm stove has yet to give counted in: a lag with gain g
    keeps state x (1/g - 1) steps of heat. So it never exceeds the share before the losses by air and rate."""
    fire, law = simulate(told, learned.z).burn, fire_law(told.frame, learned.z)
    to_come = fire.last.body_kw * (1.0 / -np.expm1(-STEP_H / law.body_h) - 1.0)
    to_come = to_come + fire.last.slow_kw * (1.0 / -np.expm1(-STEP_H / law.slow_h) - 1.0)
    room = fire.to_room_kw.sum(axis=(0, 2)) + to_come.sum(axis=1)
    got = learned.derived.stove_efficiency
    np.testing.assert_allclose(got, room / fire.gross_kw.sum(axis=(0, 2)), rtol=0.005)
    assert (got < 1.005 * values(learned.z)["efficiency"][:, 0]).all()
