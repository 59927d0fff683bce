"""Readings -> posterior draws of the unknowns.

Priors first; then the mode by damped Gauss-Newton, with the covariance of the effects rebuilt as the mode
moves and Student weights on the readings' errors; then draws from a widened Student approximation, weighted
by the posterior with the weights tempered until enough draws count. The number that count is reported.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.construction import building
from logbook.heat.effects import T_FREEDOM, Seen, effects, error_variance, matern, seen
from logbook.heat.model import Batch, Simulated, batch, simulate
from logbook.heat.notebook import Stay, stays
from logbook.heat.priors import INDEX, UNKNOWNS, Change, Frame, change_kind, values
from logbook.heat.scenario import WOOD_LEFT_KG, Scenario, scenario
from logbook.heat.versions import description_at
from logbook.records import DatedDescription, Entry

MODEL_VERSION = "1"
"""Goes up with every change that moves a learned number; the cache and logged forecasts carry it."""

COALS_SD, WOOD_SEEN_SD = 0.45, 0.6
"""Error of a word for coals, and of "wood left", on the logarithm of the mass. ASSUMED."""

COALS_BEFORE_STEPS = 4
"""Coals are seen before the row is written, and before the reload: 20 min. ASSUMED."""

SOFT_AT = 3.0
"""Residuals beyond this many sd count linearly."""

ROUNDS, STEPS_PER_ROUND = 4, 6
LARGEST_STEP = 1.5
DIFFERENCE = 0.03
LEAST_EFFECTIVE = 120.0
"""Weights are tempered until this many of the draws count."""

PROPOSAL_FREEDOM = 8.0
PROPOSAL_CURVATURE = 0.9
MOST_READINGS = 160
"""More readings in one stay are thinned evenly: beyond one in ten minutes nothing is learned."""


@dataclass(frozen=True)
class Posterior:
    """What was learned: equally weighted draws of ``z``, axes (draw, number), and the mode (number,)."""

    z: FloatArray
    mode: FloatArray
    changes: tuple[Change, ...]
    effective_draws: float
    readings: int
    stays: int
    widened: bool
    log_evidence: float
    model_version: str = MODEL_VERSION

    def to_arrays(self) -> dict[str, np.ndarray]:
        """Everything as arrays, for a cache."""
        return {
            "z": self.z,
            "mode": self.mode,
            "change_names": np.array([c.name for c in self.changes], dtype=str),
            "change_times": np.array([c.at.isoformat() for c in self.changes], dtype=str),
            "numbers": np.array(
                [self.effective_draws, self.readings, self.stays, float(self.widened), self.log_evidence]
            ),
            "model_version": np.array(self.model_version),
        }

    @staticmethod
    def from_arrays(arrays: Mapping[str, np.ndarray]) -> Posterior:
        """The inverse of ``to_arrays``."""
        n = arrays["numbers"]
        names, times = arrays["change_names"], arrays["change_times"]
        return Posterior(
            z=arrays["z"],
            mode=arrays["mode"],
            changes=tuple(
                Change(str(name), datetime.fromisoformat(str(at)), change_kind(str(name)))
                for name, at in zip(names, times, strict=True)
            ),
            effective_draws=float(n[0]),
            readings=int(n[1]),
            stays=int(n[2]),
            widened=bool(n[3]),
            log_evidence=float(n[4]),
            model_version=str(arrays["model_version"]),
        )


def useful_stays(told: Sequence[Stay], last: int | None) -> tuple[Stay, ...]:
    """Stays with at least two readings, the newest ``last`` of them; crowded readings thinned."""
    used = [thinned(stay) for stay in told if len(stay.readings) >= 2]
    return tuple(used if last is None else used[-last:])


def thinned(stay: Stay) -> Stay:
    """The stay with at most MOST_READINGS readings and as many outdoor ones."""
    if len(stay.readings) <= MOST_READINGS:
        return stay
    keep = np.unique(np.linspace(0, len(stay.readings) - 1, MOST_READINGS).round().astype(int))
    return replace(stay, readings=tuple(stay.readings[i] for i in keep))


def changes_between(entries: Sequence[Entry], used: Sequence[Stay]) -> tuple[Change, ...]:
    """Dated changes that have stays on both sides; others can't be told from what came with them."""
    if not used:
        return ()
    named = [Change(e.change, e.at, change_kind(e.change)) for e in entries if e.change]
    return tuple(c for c in named if used[0].start < c.at <= used[-1].start)


def frame_of(
    used: Sequence[Stay], *, descriptions: Sequence[DatedDescription], changes: Sequence[Change]
) -> Frame:
    """What ``z`` refers to for these stays."""
    described = tuple(description_at(descriptions, stay.start).description for stay in used)
    return Frame(
        buildings=tuple(building(d.cabin) for d in described),
        descriptions=described,
        changes=tuple(changes),
        changed=np.array([[float(stay.start >= c.at) for stay in used] for c in changes]).reshape(
            len(changes), len(used)
        ),
    )


def prepare(
    used: Sequence[Stay],
    *,
    descriptions: Sequence[DatedDescription],
    changes: Sequence[Change],
    until: datetime | None = None,
) -> Batch:
    """Stays on the grid, ready to run; ``until`` lengthens the last one."""
    frame = frame_of(used, descriptions=descriptions, changes=changes)
    laid = [
        scenario(
            stay,
            description=frame.descriptions[i],
            building=frame.buildings[i],
            until=until if i == len(used) - 1 else None,
        )
        for i, stay in enumerate(used)
    ]
    return batch(frame, laid)


@dataclass(frozen=True)
class Whitening:
    """One stay's covariance at the current mode: where its readings look, and the inverse Cholesky factor."""

    seen: Seen
    inverse: FloatArray
    log_det: float
    weights: FloatArray


def whitenings(
    b: Batch,
    z: FloatArray,
    old: Sequence[Whitening] | None,
    *,
    outdoor_sd: Sequence[FloatArray] | None = None,
) -> list[Whitening]:
    """Covariance of the readings of every stay at ``z``, with Student weights from the residuals there."""
    sim = simulate(b, z[None, :])
    made = []
    for i, (s, e) in enumerate(zip(b.scenarios, effects(b, z, sim, outdoor_sd=outdoor_sd), strict=True)):
        course = sim.air_c[: s.steps + 1, 0, i]
        look = seen(s, course)
        basis = look.at(e.response_k)
        hours = s.reading_at * STEP_H
        smooth = basis @ basis.T + matern(hours, hours)
        own = error_variance(s, course)
        weights = np.ones(len(own))
        if old is not None:
            covariance = smooth + np.diag(own / old[i].weights)
            error = own / old[i].weights * np.linalg.solve(covariance, s.reading_c - look.at(course))
            weights = (T_FREEDOM + 1.0) / (T_FREEDOM + error**2 / own)
        covariance = smooth + np.diag(own / weights)
        lower = np.linalg.cholesky(covariance)
        made.append(
            Whitening(
                seen=look,
                inverse=np.linalg.inv(lower),
                log_det=float(np.log(np.diag(lower)).sum()),
                weights=weights,
            )
        )
    return made


def soft(residual: FloatArray) -> FloatArray:
    """Residuals whose squares grow only linearly beyond SOFT_AT (pseudo-Huber)."""
    scaled = residual / SOFT_AT
    # Through log1p-safe algebra: sqrt(2 (sqrt(1+x2) - 1)) = x / sqrt((1+sqrt(1+x2))/2), smooth at 0.
    out: FloatArray = residual / np.sqrt(0.5 * (1.0 + np.sqrt(1.0 + scaled**2)))
    return out


def coals_residuals(s: Scenario, sim: Simulated, stay: int, words: FloatArray) -> FloatArray:
    """How far the fire is from what was seen of it, in sd; axes (lane, row)."""
    if not len(s.coals_at):
        return np.zeros((words.shape[0], 0))
    at = np.clip(np.round(s.coals_at).astype(int) - COALS_BEFORE_STEPS, 0, s.steps - 1)
    char = np.log(sim.burn.char_kg[at, :, stay].T + 1e-3)
    wood = np.log(sim.burn.wood_kg[at, :, stay].T + 1e-3)
    low = np.log(np.maximum(s.coals_low, 1e-4) * words + 1e-3)
    high = np.log(np.where(np.isfinite(s.coals_high), s.coals_high, 1e6) * words + 1e-3)
    short = np.where(s.coals_low > 0.0, np.minimum(char - low, 0.0), 0.0)
    word = (short + np.maximum(char - high, 0.0)) / COALS_SD
    word = np.where(np.isnan(s.coals_low), 0.0, word)
    over = (wood - np.log(WOOD_LEFT_KG)) / WOOD_SEEN_SD
    left = np.where(s.wood_seen > 0.5, np.minimum(over, 0.0), np.maximum(over, 0.0))
    left = np.where(np.isnan(s.wood_seen), 0.0, left)
    return soft(np.concatenate([word, left], axis=1))


def residuals(b: Batch, z: FloatArray, whites: Sequence[Whitening]) -> FloatArray:
    """All residuals at unit variance: priors, whitened readings, coals; axes (lane, residual)."""
    sim = simulate(b, z)
    words = values(z)["coals_words"]
    parts = [z]
    for i, (s, w) in enumerate(zip(b.scenarios, whites, strict=True)):
        miss = s.reading_c[:, None] - w.seen.at(sim.air_c[: s.steps + 1, :, i])
        parts += [(w.inverse @ miss).T, coals_residuals(s, sim, i, words)]
    return np.concatenate(parts, axis=1)


def jacobian(b: Batch, z: FloatArray, whites: Sequence[Whitening]) -> tuple[FloatArray, FloatArray]:
    """Residuals at ``z`` (residual,) and their derivatives (residual, number), in one run of all lanes."""
    lanes = np.concatenate([z[None, :], z + DIFFERENCE * np.eye(len(z))])
    r = residuals(b, lanes, whites)
    return r[0], ((r[1:] - r[0]) / DIFFERENCE).T


@dataclass(frozen=True)
class Mode:
    """A mode with its curvature and the Laplace evidence by which starts are compared."""

    z: FloatArray
    curvature: FloatArray
    whites: tuple[Whitening, ...]
    log_evidence: float


def find_mode(b: Batch, start: FloatArray, *, rounds: int = ROUNDS) -> Mode:
    """Mode by damped Gauss-Newton from ``start``; each step is one run of all lanes.

    A step is kept when the cost fell; else the damping grows and the next one starts from the old place.
    """
    z: FloatArray = start.copy()
    whites: Sequence[Whitening] | None = None
    size = len(z)
    curvature: FloatArray = np.eye(size)
    cost = np.inf
    for _ in range(rounds):
        whites = whitenings(b, z, whites)
        r, jac = jacobian(b, z, whites)
        cost = float(r @ r)
        damping = 1e-2
        for _step in range(STEPS_PER_ROUND):
            curvature = jac.T @ jac
            step = -np.linalg.solve(curvature + damping * np.diag(np.diag(curvature)), jac.T @ r)
            step *= min(1.0, LARGEST_STEP / max(float(np.abs(step).max()), 1e-12))
            new_r, new_jac = jacobian(b, z + step, whites)
            new_cost = float(new_r @ new_r)
            if new_cost < cost:
                gained = cost - new_cost
                z, r, jac, cost = z + step, new_r, new_jac, new_cost
                damping = max(damping * 0.2, 1e-4)
                if gained < 0.05:
                    break
            else:
                damping *= 8.0
                if damping > 1e3:
                    break
        curvature = jac.T @ jac
    assert whites is not None
    return Mode(
        z=z, curvature=curvature, whites=tuple(whites), log_evidence=_evidence(cost, curvature, whites)
    )


def _evidence(cost: float, curvature: FloatArray, whites: Sequence[Whitening]) -> float:
    """Laplace evidence, up to a constant that all starts share."""
    _, log_det = np.linalg.slogdet(curvature)
    robust = sum(
        float(((T_FREEDOM - 1.0) / 2.0 * np.log(w.weights) - T_FREEDOM / 2.0 * w.weights).sum())
        for w in whites
    )
    return float(-0.5 * cost - 0.5 * log_det - sum(w.log_det for w in whites) + robust)


OTHER_START = {"rate_at_30": 0.9, "wood_rate": 1.0, "char_rate": -1.0, "rate_at_100": -0.5}
"""Second place to start from, in prior sd: a leaky stove. Two explanations (little air and much wood, or the
reverse) can each hold a mode."""


def starts(size: int, last: FloatArray | None) -> list[FloatArray]:
    """Where to look for the mode: the prior's centre, and a leaky stove or the last mode known."""
    other = np.zeros(size)
    if last is not None:
        n = min(len(last), len(UNKNOWNS))
        other[:n] = last[:n]
    else:
        for name, value in OTHER_START.items():
            other[INDEX[name]] = value
    return [np.zeros(size), other]


def draw(b: Batch, mode: Mode, *, rng: np.random.Generator, draws: int) -> tuple[FloatArray, float, bool]:
    """Draws around the mode, weighted by the posterior; how many count, and whether too few did."""
    size = len(mode.z)
    lower = np.linalg.cholesky(PROPOSAL_CURVATURE * mode.curvature)
    normal = rng.standard_normal((2 * draws, size))
    scale = np.sqrt(PROPOSAL_FREEDOM / rng.chisquare(PROPOSAL_FREEDOM, size=(2 * draws, 1)))
    offset = np.linalg.solve(lower.T, normal.T).T * scale
    z = np.clip(mode.z + offset, -6.0, 6.0)
    r = residuals(b, z, mode.whites)
    log_target = -0.5 * (r**2).sum(axis=1)
    square = ((offset @ lower) ** 2).sum(axis=1)
    log_proposal = -0.5 * (PROPOSAL_FREEDOM + size) * np.log1p(square / PROPOSAL_FREEDOM)
    log_weight = log_target - log_proposal
    log_weight -= log_weight.max()
    power, count = 1.0, 0.0
    while power > 1e-3:
        weight = np.exp(power * log_weight)
        weight /= weight.sum()
        count = 1.0 / float((weight**2).sum())
        if count >= min(LEAST_EFFECTIVE, 0.5 * draws):
            break
        power *= 0.85
    # Systematic resampling: least extra noise for the same expectation.
    edges = (rng.random() + np.arange(draws)) / draws
    chosen = np.minimum(np.searchsorted(np.cumsum(weight), edges), 2 * draws - 1)
    return z[chosen], count, power < 0.5


def learn(
    *,
    descriptions: Sequence[DatedDescription],
    entries: Sequence[Entry],
    as_of: datetime,
    rng: np.random.Generator,
    start: Posterior | None = None,
    draws: int = 400,
    last_stays: int | None = 5,
) -> Posterior:
    """What the notebook up to ``as_of`` teaches; the prior alone when it has no two readings of one stay.

    Args:
        descriptions: All versions, oldest first; at least one.
        entries: As written, in the order written.
        as_of: Later rows are left out.
        rng: For the draws.
        start: An earlier posterior of the same log: its mode is a second place to start from.
        draws: How many draws to keep.
        last_stays: How many stays to use, newest first; None for all. Five lose nothing for tonight.
    """
    told = useful_stays(stays(entries, until=as_of), last_stays)
    known = [e for e in entries if e.at <= as_of]
    changes = changes_between(known, told)
    size = len(UNKNOWNS) + len(changes)
    if not told:
        prior = rng.standard_normal((draws, size))
        return Posterior(prior, np.zeros(size), changes, float(draws), 0, 0, widened=False, log_evidence=0.0)
    b = prepare(told, descriptions=descriptions, changes=changes)
    modes = [find_mode(b, z) for z in starts(size, None if start is None else start.mode)]
    best = max(modes, key=lambda m: m.log_evidence)
    z, count, widened = draw(b, best, rng=rng, draws=draws)
    return Posterior(
        z=z,
        mode=best.z,
        changes=changes,
        effective_draws=count,
        readings=sum(len(s.readings) for s in told),
        stays=len(told),
        widened=widened,
        log_evidence=best.log_evidence,
    )
