"""The mode: damped Gauss-Newton over all starts at once.

Each step runs every start's finite differences as lanes of one simulation, which costs little more than one.
The covariance of the effects and the Student weights are rebuilt as the mode moves, from the
simulation that is already there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.effects import T_FREEDOM, Effects, Seen, effects, error_variance, matern, seen
from logbook.heat.model import Batch, Simulated, simulate
from logbook.heat.priors import values
from logbook.heat.scenario import WOOD_LEFT_KG, Scenario

COALS_SD, WOOD_SEEN_SD = 0.45, 0.6
"""Error of a word for coals, and of "wood left", on the logarithm of the mass. ASSUMED."""

COALS_BEFORE_STEPS = 4
"""Coals are seen before the row is written, and before the reload: 20 min. ASSUMED."""

SOFT_AT = 3.0
"""Residuals beyond this many sd count linearly. ASSUMED."""

ROUNDS, STEPS_PER_ROUND = 4, 6
"""How often the covariance is rebuilt, and the most steps between. ASSUMED: more changed nothing."""

LARGEST_STEP = 1.5
"""Longest step in any unknown, prior sd. ASSUMED."""

DIFFERENCE = 0.03
"""Step of the finite differences, prior sd. ASSUMED: well above rounding, well below curvature."""

SMALL_GAIN = 0.05
"""A fall of the cost (twice the log density) below this ends a round: far under what one reading says."""

MOST_DAMPING = 1e3
"""Above this no direction leads down any more."""


@dataclass(frozen=True)
class Whitening:
    """One stay's covariance at the current mode: where its readings look, and the inverse Cholesky factor."""

    seen: Seen
    inverse: FloatArray
    log_det: float
    weights: FloatArray


def whitening(
    b: Batch,
    z: FloatArray,
    sim: Simulated,
    old: Sequence[Whitening] | None,
    *,
    outdoor_sd: Sequence[FloatArray] | None = None,
    responses: Sequence[Effects] | None = None,
) -> list[Whitening]:
    """Covariance of the readings of every stay at ``z``, with Student weights from the residuals there.

    ``sim`` is the simulation at ``z``, one lane; ``responses`` are its effects where they are at hand.
    """
    made = []
    found = effects(b, z, sim, outdoor_sd=outdoor_sd) if responses is None else responses
    for i, (s, e) in enumerate(zip(b.scenarios, found, strict=True)):
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


def residuals(b: Batch, z: FloatArray, sim: Simulated, whites: Sequence[Whitening]) -> FloatArray:
    """All residuals at unit variance: priors, whitened readings, coals; axes (lane, residual)."""
    words = values(z)["coals_words"]
    parts = [z]
    for i, (s, w) in enumerate(zip(b.scenarios, whites, strict=True)):
        miss = s.reading_c[:, None] - w.seen.at(sim.air_c[: s.steps + 1, :, i])
        parts += [(w.inverse @ miss).T, coals_residuals(s, sim, i, words)]
    return np.concatenate(parts, axis=1)


@dataclass(frozen=True)
class Mode:
    """A mode with its curvature and the Laplace evidence by which starts are compared."""

    z: FloatArray
    curvature: FloatArray
    whites: tuple[Whitening, ...]
    log_evidence: float


class _Climb:
    """One start on its way: where it stands, and the simulation of its finite differences there."""

    def __init__(self, z: FloatArray) -> None:
        self.z = z.copy()
        self.whites: list[Whitening] | None = None
        self.sim: Simulated | None = None
        self.damping = 1e-2
        self.resting = False
        self.trial = self.z

    def lanes(self, z: FloatArray) -> FloatArray:
        """The place and a small step in every direction; axes (lane, number)."""
        return np.concatenate([z[None, :], z + DIFFERENCE * np.eye(len(z))])

    def linearise(self, b: Batch, z: FloatArray, sim: Simulated) -> tuple[FloatArray, FloatArray, float]:
        """Residuals, their derivatives (residual, number) and the cost."""
        assert self.whites is not None
        r = residuals(b, self.lanes(z), sim, self.whites)
        return r[0], ((r[1:] - r[0]) / DIFFERENCE).T, float(r[0] @ r[0])

    def begin_round(self, b: Batch, sim: Simulated | None) -> None:
        """Rebuild the covariance from the simulation at the place."""
        self.sim = sim or self.sim
        assert self.sim is not None
        self.whites = whitening(b, self.z, self.sim.lanes(slice(0, 1)), self.whites)
        self.r, self.jac, self.cost = self.linearise(b, self.z, self.sim)
        self.damping, self.resting = 1e-2, False

    def propose(self) -> FloatArray:
        """Lanes of the next trial."""
        curvature = self.jac.T @ self.jac
        damped = curvature + self.damping * np.diag(np.diag(curvature))
        step = -np.linalg.solve(damped, self.jac.T @ self.r)
        step *= min(1.0, LARGEST_STEP / max(float(np.abs(step).max()), 1e-12))
        self.trial = self.z + step
        return self.lanes(self.trial)

    def judge(self, b: Batch, sim: Simulated) -> None:
        """Keep the trial when the cost fell; else damp more and try from the old place."""
        r, jac, cost = self.linearise(b, self.trial, sim)
        if cost < self.cost:
            self.resting = self.cost - cost < SMALL_GAIN
            self.z, self.r, self.jac, self.cost, self.sim = self.trial, r, jac, cost, sim
            self.damping = max(self.damping * 0.2, 1e-4)
        else:
            self.damping *= 8.0
            self.resting = self.damping > MOST_DAMPING


def find_modes(b: Batch, starts: Sequence[FloatArray], *, rounds: int = ROUNDS) -> list[Mode]:
    """Modes reached from each of ``starts``, in their order."""
    climbs = [_Climb(z) for z in starts]
    first = _run(b, [c.lanes(c.z) for c in climbs])
    for n in range(rounds):
        for climb, sim in zip(climbs, first, strict=True):
            climb.begin_round(b, sim if n == 0 else None)
        for _ in range(STEPS_PER_ROUND):
            going = [c for c in climbs if not c.resting]
            if not going:
                break
            for climb, sim in zip(going, _run(b, [c.propose() for c in going]), strict=True):
                climb.judge(b, sim)
    return [_mode_of(c) for c in climbs]


def _run(b: Batch, lanes: Sequence[FloatArray]) -> list[Simulated]:
    """One simulation of all lanes, handed out again by start."""
    sim = simulate(b, np.concatenate(lanes))
    ends = np.cumsum([len(part) for part in lanes])
    return [sim.lanes(slice(int(end) - len(part), int(end))) for end, part in zip(ends, lanes, strict=True)]


def _mode_of(climb: _Climb) -> Mode:
    assert climb.whites is not None
    curvature = climb.jac.T @ climb.jac
    evidence = _evidence(climb.cost, curvature, climb.whites)
    return Mode(z=climb.z, curvature=curvature, whites=tuple(climb.whites), log_evidence=evidence)


def _evidence(cost: float, curvature: FloatArray, whites: Sequence[Whitening]) -> float:
    """Laplace evidence, up to a constant that all starts share."""
    _, log_det = np.linalg.slogdet(curvature)
    robust = sum(
        float(((T_FREEDOM - 1.0) / 2.0 * np.log(w.weights) - T_FREEDOM / 2.0 * w.weights).sum())
        for w in whites
    )
    return float(-0.5 * cost - 0.5 * log_det - sum(w.log_det for w in whites) + robust)
