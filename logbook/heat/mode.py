"""The mode: damped Gauss-Newton over all starts at once.

Each step runs every start's finite differences as lanes of one simulation of stays of about one length, which
costs little more than one lane.
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
    return np.concatenate([z, seen_residuals(b, z, sim, whites)], axis=1)


def seen_residuals(b: Batch, z: FloatArray, sim: Simulated, whites: Sequence[Whitening]) -> FloatArray:
    """The same without the priors."""
    words = values(z)["coals_words"]
    parts = []
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


@dataclass(frozen=True)
class _Ran:
    """One group of stays run for the place of a climb and its finite differences.

    ``air_c`` has axes (step + 1, lane, stay), the place in its first lane; ``coals`` (lane, row).
    """

    group: Batch
    centre: Simulated
    air_c: FloatArray
    coals: tuple[FloatArray, ...]

    def missed(self, whites: Sequence[Whitening]) -> FloatArray:
        """What the readings and the coals miss, at unit variance; axes (lane, residual)."""
        parts = []
        for i, (s, w) in enumerate(zip(self.group.scenarios, whites, strict=True)):
            miss = s.reading_c[:, None] - w.seen.at(self.air_c[: s.steps + 1, :, i])
            parts += [(w.inverse @ miss).T, self.coals[i]]
        return np.concatenate(parts, axis=1)


class _Climb:
    """One start on its way: where it stands, and what was run for its finite differences there."""

    def __init__(self, z: FloatArray) -> None:
        self.z = z.copy()
        self.whites: list[list[Whitening]] | None = None
        self.ran: list[_Ran] = []
        self.damping = 1e-2
        self.resting = False
        self.trial = self.z

    def lanes(self, z: FloatArray) -> FloatArray:
        """The place and a small step in every direction; axes (lane, number)."""
        return np.concatenate([z[None, :], z + DIFFERENCE * np.eye(len(z))])

    def linearise(self, z: FloatArray, ran: Sequence[_Ran]) -> tuple[FloatArray, FloatArray, float]:
        """Residuals, their derivatives (residual, number) and the cost."""
        assert self.whites is not None
        parts = [part.missed(whites) for part, whites in zip(ran, self.whites, strict=True)]
        r = np.concatenate([self.lanes(z), *parts], axis=1)
        return r[0], ((r[1:] - r[0]) / DIFFERENCE).T, float(r[0] @ r[0])

    def begin_round(self, ran: list[_Ran] | None) -> None:
        """Rebuild the covariance from what was run at the place."""
        self.ran = ran or self.ran
        self.whites = [
            whitening(part.group, self.z, part.centre, None if self.whites is None else self.whites[n])
            for n, part in enumerate(self.ran)
        ]
        self.r, self.jac, self.cost = self.linearise(self.z, self.ran)
        self.damping, self.resting = 1e-2, False

    def propose(self) -> FloatArray:
        """Lanes of the next trial."""
        curvature = self.jac.T @ self.jac
        damped = curvature + self.damping * np.diag(np.diag(curvature))
        step = -np.linalg.solve(damped, self.jac.T @ self.r)
        step *= min(1.0, LARGEST_STEP / max(float(np.abs(step).max()), 1e-12))
        self.trial = self.z + step
        return self.lanes(self.trial)

    def judge(self, ran: list[_Ran]) -> None:
        """Keep the trial when the cost fell; else damp more and try from the old place."""
        r, jac, cost = self.linearise(self.trial, ran)
        if cost < self.cost:
            self.resting = self.cost - cost < SMALL_GAIN
            self.z, self.r, self.jac, self.cost, self.ran = self.trial, r, jac, cost, ran
            self.damping = max(self.damping * 0.2, 1e-4)
        else:
            self.damping *= 8.0
            self.resting = self.damping > MOST_DAMPING


def find_modes(b: Batch, starts: Sequence[FloatArray], *, rounds: int = ROUNDS) -> list[Mode]:
    """Modes reached from each of ``starts``, in their order."""
    alike = b.alike()
    groups = [b.only(which) for which in alike]
    climbs = [_Climb(z) for z in starts]
    first = _run(groups, [c.lanes(c.z) for c in climbs])
    for n in range(rounds):
        for climb, ran in zip(climbs, first, strict=True):
            climb.begin_round(ran if n == 0 else None)
        for _ in range(STEPS_PER_ROUND):
            going = [c for c in climbs if not c.resting]
            if not going:
                break
            for climb, ran in zip(going, _run(groups, [c.propose() for c in going]), strict=True):
                climb.judge(ran)
    return [_mode_of(c, alike) for c in climbs]


def _run(groups: Sequence[Batch], lanes: Sequence[FloatArray]) -> list[list[_Ran]]:
    """Every group of stays for all lanes in one run each, handed out again by start."""
    whole = np.concatenate(lanes)
    words = values(whole)["coals_words"]
    ends = np.cumsum([len(part) for part in lanes])
    own = [slice(int(end) - len(part), int(end)) for end, part in zip(ends, lanes, strict=True)]
    out: list[list[_Ran]] = [[] for _ in lanes]
    for group in groups:
        sim = simulate(group, whole)
        coals = [coals_residuals(s, sim, i, words) for i, s in enumerate(group.scenarios)]
        for ran, part in zip(out, own, strict=True):
            mine = sim.lanes(part)
            ran.append(_Ran(group, mine.centre(), mine.air_c, tuple(rows[part] for rows in coals)))
    return out


def _mode_of(climb: _Climb, alike: Sequence[Sequence[int]]) -> Mode:
    assert climb.whites is not None
    curvature = climb.jac.T @ climb.jac
    placed = {
        i: w
        for which, whites in zip(alike, climb.whites, strict=True)
        for i, w in zip(which, whites, strict=True)
    }
    whites = [placed[i] for i in sorted(placed)]
    return Mode(
        z=climb.z,
        curvature=curvature,
        whites=tuple(whites),
        log_evidence=_evidence(climb.cost, curvature, whites),
    )


def _evidence(cost: float, curvature: FloatArray, whites: Sequence[Whitening]) -> float:
    """Laplace evidence, up to a constant that all starts share."""
    _, log_det = np.linalg.slogdet(curvature)
    robust = sum(
        float(((T_FREEDOM - 1.0) / 2.0 * np.log(w.weights) - T_FREEDOM / 2.0 * w.weights).sum())
        for w in whites
    )
    return float(-0.5 * cost - 0.5 * log_det - sum(w.log_det for w in whites) + robust)
