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

ROUNDS = ((2, 1), (2, 2), (3, 2), (6, 1))
"""The most steps between two rebuildings of the covariance, and how often the weights follow each. ASSUMED:
on 29 evenings of the practice cabins four rounds of six steps ended no nearer, with twice the runs."""

NEAR_ROUNDS = ((2, 3), (2, 2), (4, 1))
"""The same from the mode of the evening before. ASSUMED: on 32 practice evenings, one after the other, the
evidence was that of a climb from nothing to within 1 in nine of ten, and the mode jumped no farther."""

BETTER_ELSEWHERE = 2.0
"""A cost lower by this at the other start's place says that the mode lies there. ASSUMED: e in density, and
far more than a climb leaves undone."""

LARGEST_STEP = 1.5
"""Longest step in any unknown, prior sd. ASSUMED."""

DIFFERENCE = 0.03
"""Step of the finite differences, prior sd. ASSUMED: well above rounding, well below curvature."""

SMALL_GAIN = 0.05
"""A fall of the cost (twice the log density) below this ends a round: far under what one reading says."""

SMALL_PROMISE = 0.02
"""The same before a step, by the slope alone: 0.14 sd from the mode of the round."""

FIRST_DAMPING = 1e-2
"""Of the curvature. ASSUMED."""

MORE_DAMPING = (10.0, 100.0, 1000.0)
"""Times the damping, each tried aside as one lane more: where the course has a kink a full step often leads
up, and looking for a shorter one run by run took most of the runs."""


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
class Terms:
    """What one stay says at a mode: residuals of its ``readings``, then of its coals, at unit variance, and
    their derivatives; axes (residual,) and (residual, number)."""

    residual: FloatArray
    slope: FloatArray
    readings: int


@dataclass(frozen=True)
class Mode:
    """A mode with its curvature and the Laplace evidence by which starts are compared.

    The readings count for 1 / ``doubt`` of what their errors say (``misfit``).
    """

    z: FloatArray
    curvature: FloatArray
    whites: tuple[Whitening, ...]
    log_evidence: float
    terms: tuple[Terms, ...] = ()
    doubt: float = 1.0


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
        self.at = self.lanes(self.z)
        self.trials = self.at
        self.damping = FIRST_DAMPING
        self.resting = False

    def lanes(self, z: FloatArray) -> FloatArray:
        """The place and a small step in every direction; axes (lane, number)."""
        return np.concatenate([z[None, :], z + DIFFERENCE * np.eye(len(z))])

    def linearise(
        self, lanes: FloatArray, ran: Sequence[_Ran]
    ) -> tuple[FloatArray, FloatArray, float, FloatArray]:
        """Residuals, their derivatives (residual, number) and the cost; the cost of each lane set aside."""
        assert self.whites is not None
        parts = [part.missed(whites) for part, whites in zip(ran, self.whites, strict=True)]
        r = np.concatenate([lanes, *parts], axis=1)
        own, aside = r[: len(self.z) + 1], r[len(self.z) + 1 :]
        return r[0], ((own[1:] - r[0]) / DIFFERENCE).T, float(r[0] @ r[0]), (aside**2).sum(axis=1)

    def begin_round(self, ran: list[_Ran] | None = None, *, settle: int = 1) -> None:
        """Rebuild the covariance from what was run at the place; the weights follow it ``settle`` times."""
        self.ran = ran or self.ran
        whites = []
        for n, part in enumerate(self.ran):
            found = effects(part.group, self.z, part.centre)
            white = None if self.whites is None else self.whites[n]
            for _ in range(settle):
                white = whitening(part.group, self.z, part.centre, white, responses=found)
            assert white is not None
            whites.append(white)
        self.whites = whites
        self.begin_again()

    def begin_again(self) -> None:
        """Differences with the covariance as it is now; at rest when no step promises anything."""
        self.r, self.jac, self.cost, _ = self.linearise(self.at, self.ran)
        self.damping = min(self.damping, FIRST_DAMPING)
        self.resting = self.promise() < SMALL_PROMISE

    def promise(self) -> float:
        """How far the cost would fall by a full step, were everything linear."""
        slope = self.jac.T @ self.r
        return float(slope @ np.linalg.solve(self.jac.T @ self.jac, slope))

    def go_along(self, climb: _Climb, ran: list[_Ran] | None = None) -> None:
        """Begin a round with the covariance of another climb."""
        self.ran, self.whites = ran or self.ran, climb.whites
        self.begin_again()

    def propose(self) -> FloatArray:
        """Lanes of the next trial, and aside of shorter ones: which of those leads down, if it doesn't."""
        curvature = self.jac.T @ self.jac
        slope, scale = self.jac.T @ self.r, np.diag(np.diag(curvature))
        ends = []
        for more in (1.0, *MORE_DAMPING):
            step = -np.linalg.solve(curvature + more * self.damping * scale, slope)
            step *= min(1.0, LARGEST_STEP / max(float(np.abs(step).max()), 1e-12))
            ends.append(self.z + step)
        self.trials = np.concatenate([self.lanes(ends[0]), ends[1:]])
        return self.trials

    def judge(self, ran: list[_Ran]) -> None:
        """Keep the trial when the cost fell; else damp as much as helps and try from the old place."""
        r, jac, cost, aside = self.linearise(self.trials, ran)
        if cost < self.cost:
            gain = self.cost - cost
            self.z, self.at, self.ran = self.trials[0], self.trials, ran
            self.r, self.jac, self.cost = r, jac, cost
            self.resting = gain < SMALL_GAIN or self.promise() < SMALL_PROMISE
            self.damping = max(self.damping * 0.2, 1e-4)
        else:
            best = int(np.argmin(aside))
            self.damping *= MORE_DAMPING[best]
            self.resting = self.cost - float(aside[best]) < SMALL_GAIN


def find_modes(b: Batch, starts: Sequence[FloatArray], *, rounds: int = len(ROUNDS)) -> list[Mode]:
    """Modes reached from each of ``starts``, in their order; with fewer ``rounds`` by the last of them."""
    alike = b.alike()
    groups = [b.only(which) for which in alike]
    climbs = [_Climb(z) for z in starts]
    first = _run(groups, [c.lanes(c.z) for c in climbs])
    for n, (steps, settle) in enumerate(ROUNDS[-rounds:]):
        for climb, ran in zip(climbs, first, strict=True):
            climb.begin_round(ran if n == 0 else None, settle=settle)
        for _ in range(steps):
            going = [c for c in climbs if not c.resting]
            if not going:
                break
            for climb, ran in zip(going, _run(groups, [c.propose() for c in going]), strict=True):
                climb.judge(ran)
    return [_mode_of(c, alike) for c in climbs]


def mode_near(b: Batch, last: FloatArray, *, other: FloatArray) -> Mode | None:
    """The mode reached from ``last``, a place that should be near it, in a few runs.

    None when it isn't there to be had: ``last`` is no place, the climb is not at rest after its rounds, or
    the climb from ``other`` that goes along for the first round, under the same covariance, has found a
    better place.
    """
    if last.shape != other.shape or not np.isfinite(last).all():
        return None
    alike = b.alike()
    groups = [b.only(which) for which in alike]
    climb, guard = _Climb(last), _Climb(other)
    ran = _run(groups, [c.lanes(c.z) for c in (climb, guard)])
    for n, (steps, settle) in enumerate(NEAR_ROUNDS):
        climb.begin_round(ran[0] if n == 0 else None, settle=settle)
        guard.go_along(climb, ran[1] if n == 0 else None)
        for _ in range(steps):
            if climb.resting:
                break
            going = [climb] if guard.resting or n else [climb, guard]
            for c, got in zip(going, _run(groups, [c.propose() for c in going]), strict=True):
                c.judge(got)
    if not climb.resting or guard.cost < climb.cost - BETTER_ELSEWHERE:
        return None
    return _mode_of(climb, alike)


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
        terms=_terms(climb, alike),
    )


def _terms(climb: _Climb, alike: Sequence[Sequence[int]]) -> tuple[Terms, ...]:
    """The residuals of a climb stay by stay."""
    terms, at = {}, len(climb.z)
    for which, ran in zip(alike, climb.ran, strict=True):
        for i, s, coals in zip(which, ran.group.scenarios, ran.coals, strict=True):
            rows = slice(at, at + len(s.reading_c) + coals.shape[1])
            terms[i] = Terms(climb.r[rows], climb.jac[rows], len(s.reading_c))
            at = rows.stop
    return tuple(terms[i] for i in sorted(terms))


def _evidence(cost: float, curvature: FloatArray, whites: Sequence[Whitening]) -> float:
    """Laplace evidence, up to a constant that all starts share."""
    _, log_det = np.linalg.slogdet(curvature)
    robust = sum(
        float(((T_FREEDOM - 1.0) / 2.0 * np.log(w.weights) - T_FREEDOM / 2.0 * w.weights).sum())
        for w in whites
    )
    return float(-0.5 * cost - 0.5 * log_det - sum(w.log_det for w in whites) + robust)
