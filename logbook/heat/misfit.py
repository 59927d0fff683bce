"""Do the stays fit one another, and by how much less well than their errors allow?

What a fit misses, whitened, has a known size when all is well: the sum of its squares, with that of the
unknowns, is chi-square with a degree of freedom for each reading. Two questions are asked of a mode and its
slopes, with no further run. How large is that sum? Is any one stay, forecast from all the others, farther off
than that (a node split, after Marshall & Spiegelhalter 2007)? Far beyond chance nothing is learned from what
misses; a little beyond it the log counts for less, by as much as the sum is too large (the Birge ratio, usual
where published values of one quantity disagree).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.heat.mode import Mode, Terms

WHOLE_SD, STAY_SD = 3.0, 3.9
"""Beyond so many sd of chance the whole log, or one stay against the others, is not believed. Over 183
evenings of five practice cabins, two notebooks each, at most 2.3 and 3.2; over 40 sound logs 2.4, 3.6."""

WIDEN_FROM_SD = 1.645
"""Up to what chance exceeds once in twenty nothing is widened."""

LEAST_TO_BLAME = 3
"""Of two stays that disagree neither is to blame. The newest is never the one: tonight goes on from it."""


@dataclass(frozen=True)
class Misfit:
    """How far a log is from fitting.

    ``whole_sd`` and ``stays_sd``: the whole, and each stay forecast from the others, in sd of chance.
    ``doubt``: by how much the errors were too small, as a variance; 1 for a log that fits.
    """

    whole_sd: float
    stays_sd: tuple[float, ...]
    doubt: float

    @property
    def doubtful(self) -> bool:
        """Whether what was learned should not be relied on."""
        return self.whole_sd > WHOLE_SD or max(self.stays_sd, default=0.0) > STAY_SD

    @property
    def worth_keeping(self) -> tuple[int, ...]:
        """The stays without the one that fits the others least; none where that can't be told."""
        if len(self.stays_sd) < LEAST_TO_BLAME:
            return ()
        worst = int(np.argmax(self.stays_sd))
        if worst == len(self.stays_sd) - 1:
            return ()
        return tuple(i for i in range(len(self.stays_sd)) if i != worst)


def misfit(mode: Mode) -> Misfit:
    """How far the stays of this mode are from fitting the description and one another."""
    read = [t.residual[: t.readings] for t in mode.terms]
    count = sum(t.readings for t in mode.terms)
    square = float(mode.z @ mode.z) + sum(float(r @ r) for r in read)
    return Misfit(
        whole_sd=sds(square, count),
        stays_sd=against_the_others(mode.z, mode.terms),
        doubt=max(1.0, square / of_chance(count, WIDEN_FROM_SD)),
    )


def against_the_others(z: FloatArray, terms: Sequence[Terms]) -> tuple[float, ...]:
    """For each stay what it misses of a forecast from all others, in sd of chance; nothing of one alone."""
    if len(terms) < 2:
        return ()
    known = [t.slope.T @ t.slope for t in terms]
    pull = [t.slope.T @ (t.residual - t.slope @ z) for t in terms]
    out = []
    for i, t in enumerate(terms):
        precision = np.eye(len(z)) + sum(known) - known[i]
        mean = -np.linalg.solve(precision, sum(pull) - pull[i])
        missed = t.residual + t.slope @ (mean - z)
        spread = np.eye(len(missed)) + t.slope @ np.linalg.solve(precision, t.slope.T)
        out.append(sds(float(missed @ np.linalg.solve(spread, missed)), len(missed)))
    return tuple(out)


def softened(mode: Mode, doubt: float) -> Mode:
    """The mode with the log's word divided by ``doubt``: it moves towards what was believed, and is wider.

    One Newton step from the mode as it was; the draws are weighted by the density itself afterwards.
    """
    if doubt <= 1.0:
        return mode
    size = np.eye(len(mode.z))
    curvature = size + (mode.curvature - size) / doubt
    back = np.linalg.solve(curvature, mode.z * (1.0 - 1.0 / doubt))
    return replace(mode, z=mode.z - back, curvature=curvature, doubt=doubt)


def sds(square: float, count: int) -> float:
    """A sum of squares of ``count`` standard normals as the standard normal it is as rare as, above.

    Source: Wilson & Hilferty 1931; right to 0.07 from five up and to 3.7.
    """
    var = 2.0 / (9.0 * count)
    return float((np.cbrt(square / count) - (1.0 - var)) / np.sqrt(var))


def of_chance(count: int, sd: float) -> float:
    """The inverse of ``sds``."""
    var = 2.0 / (9.0 * count)
    return float(count * (1.0 - var + sd * np.sqrt(var)) ** 3)
