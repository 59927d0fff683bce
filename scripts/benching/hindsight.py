"""What a plan that nobody ran would have cost, estimated from plans of the same evening that were run.

The posterior's draws are weighted by how well each foretold the waking temperature, the peak and the
degree-hours of the plans that were run; then every course is moved by what, over the weighted draws, goes
with the misses that are left (weighted regression, as in approximate Bayesian computation: Beaumont, Zhang
and Balding 2002, from memory). How far such an estimate is off is found by leaving out a plan that was run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

BAND_C = (16.0, 22.0)
"""The band in whose degree-hours the practice cabins' plans were judged, °C."""

FROM_BED = timedelta(hours=1)
"""Their first hour does not count."""

WAKE_SD_K, PEAK_SD_K, COST_SD = 1.0, 1.5, 4.0
"""How near a draw must come to count fully: K, K, K·h. ASSUMED: about what the model is off
by with everything known."""

LEAST_DRAWS = 80.0
"""The weights are tempered until so many draws count. Chosen by estimating fixed plans left out: 40 and
150 do about as well (rms of cheap plans 5.0, 5.1, 5.3 K·h)."""

RIDGE = 0.3
"""Holds the regression back, K². Chosen likewise among 0.1, 0.3, 1 and 3."""


@dataclass(frozen=True)
class Run:
    """What came of a plan that was run: °C, °C, K·h."""

    wake_c: float
    peak_c: float
    cost: float


@dataclass(frozen=True)
class Known:
    """Courses of plans that were run, axes (plan, draw, time), °C, and what came of them."""

    indoor_c: Array
    came: tuple[Run, ...]

    def without(self, left_out: int) -> Known:
        """All but one."""
        others = [i for i in range(len(self.came)) if i != left_out]
        return Known(self.indoor_c[others], tuple(self.came[i] for i in others))


@dataclass(frozen=True)
class Estimate:
    """Expected cost, K·h, and the weighted chance of a cost at most so much."""

    costs: Array
    weights: Array

    @property
    def cost(self) -> float:
        """Expected degree-hours."""
        return float(self.costs @ self.weights)

    def chance_at_most(self, limit: float) -> float:
        """Chance that the cost is at most this."""
        return float(self.weights[self.costs <= limit].sum())


@dataclass(frozen=True)
class Span:
    """The part of a night that counts: which times, and their hours."""

    inside: NDArray[np.bool_]
    hours: Array

    @classmethod
    def of(cls, times: Sequence[datetime], *, bed: datetime) -> Span:
        """From one hour after bed to the last time."""
        inside = np.array([t >= bed + FROM_BED for t in times])
        hours = np.array([t.timestamp() for t in times])[inside] / 3600.0
        return cls(inside, hours)

    def cost(self, indoor_c: Array) -> Array:
        """Degree-hours outside the band; the last axis is time."""
        span = indoor_c[..., self.inside]
        outside = np.maximum(BAND_C[0] - span, 0.0) + np.maximum(span - BAND_C[1], 0.0)
        return np.asarray(np.trapezoid(outside, self.hours, axis=-1), dtype=float)

    def peak(self, indoor_c: Array) -> Array:
        """Highest temperature, °C."""
        return np.asarray(indoor_c[..., self.inside].max(axis=-1), dtype=float)


def estimate(indoor_c: Array, known: Known, span: Span) -> Estimate:
    """What a plan would have cost.

    Args:
        indoor_c: Its forecast courses, °C; axes (draw, time).
        known: Plans of the same evening that were run, with the same draws.
        span: What counts.
    """
    weights = weights_of(known, span)
    foretold = np.concatenate([known.indoor_c[:, :, -1], span.peak(known.indoor_c)]).T
    came = np.array([r.wake_c for r in known.came] + [r.peak_c for r in known.came])
    apart = foretold - weights @ foretold
    leaning = (apart * weights[:, None]).T
    slopes = np.linalg.solve(leaning @ apart + RIDGE * np.eye(apart.shape[1]), leaning @ indoor_c)
    return Estimate(span.cost(indoor_c + (came - foretold) @ slopes), weights)


def weights_of(known: Known, span: Span) -> Array:
    """Weight of each draw by what came of the plans that were run; they sum to one."""
    missed = np.zeros(known.indoor_c.shape[1])
    for course, came in zip(known.indoor_c, known.came, strict=True):
        missed += ((course[:, -1] - came.wake_c) / WAKE_SD_K) ** 2
        missed += ((span.peak(course) - came.peak_c) / PEAK_SD_K) ** 2
        missed += ((span.cost(course) - came.cost) / COST_SD) ** 2
    power = 0.5
    while True:
        weights = np.exp(-power * (missed - missed.min()))
        weights /= weights.sum()
        if 1.0 / (weights**2).sum() >= min(LEAST_DRAWS, 0.5 * len(weights)):
            return np.asarray(weights, dtype=float)
        power *= 0.85
