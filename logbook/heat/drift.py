"""Drift: do the last nights keep missing on one side?

The track record gives each night's miss in units of the spread that was said. While all is well these are
about standard normal. Two running sums (CUSUM, Page 1954), one for colder and one for warmer, add each miss
less an allowance and never fall below zero; when one passes its limit, something has probably changed. The
limit is set by simulation (``quiet_run``) so that quiet nights raise it at most once in fifty on average,
with misses of neighbouring nights alike as they are within a stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.results import NightScore
from logbook.works import DriftAnswer

ALLOWANCE = 0.5
"""Taken off each miss, in spreads: half of the shift worth finding, one spread (Page 1954, Hawkins 1998, from
memory)."""

LIMIT = 4.0
"""Where a sum speaks up, in spreads. Source: ``quiet_run``: every 89 quiet nights on average at ``ALIKE``,
every 67 if they are more alike (0.5), every 55 if ranges are a tenth too narrow; a true shift of one spread
is found after 9 nights. A limit of 3.5 would find it after 7, but speak up every 44 at 0.5."""

ALIKE = 0.3
"""How alike the misses of two nights of one stay are (lag-one correlation). ASSUMED: they share the stay's
wood, wind and start, while each is forecast from readings up to its own bed."""

NIGHTS_PER_STAY = 2
"""Nights of a usual stay; from one stay to the next misses are taken as independent. Common practice, no
source: a weekend."""

MOST_MISS = 3.0
"""A miss counts as at most this many spreads: one odd night (a forgotten window) is no drift. ASSUMED."""

SPREADS_OF_90 = 3.29
"""Width of a 90 % range in standard deviations (normal: 2 x 1.645)."""

TOO_FEW = 4
"""With fewer nights nothing is said. ASSUMED."""


def drift(nights: Sequence[NightScore], *, resets: Sequence[datetime] = ()) -> DriftAnswer:
    """Whether the newest nights of a track record keep missing on one side.

    Args:
        nights: The track record, oldest first.
        resets: When something was changed that is on record (a gasket, a thermometer): sums begin again.
    """
    seen = [n for n in nights if n.observed_at_wake_c is not None]
    misses = np.array([_spreads(n) for n in seen])
    again = np.array([i > 0 and _reset(seen[i - 1], n, resets) for i, n in enumerate(seen)], dtype=bool)
    low, high = sums(misses, again=again)
    quiet = DriftAnswer(direction=None, nights=0, miss_k=None, since=None, score=0.0, tested=len(seen))
    if len(seen) < TOO_FEW:
        return quiet
    score = float(max(low[-1], high[-1]))
    if score <= LIMIT:
        return DriftAnswer(
            direction=None, nights=0, miss_k=None, since=None, score=score / LIMIT, tested=len(seen)
        )
    colder = low[-1] >= high[-1]
    run = low if colder else high
    first = max((i + 1 for i in range(len(run)) if run[i] == 0.0), default=0)
    last = seen[first:]
    return DriftAnswer(
        direction="colder" if colder else "warmer",
        nights=len(last),
        miss_k=float(np.mean([(n.observed_at_wake_c or 0.0) - n.predicted_at_wake_c.p50 for n in last])),
        since=last[0].bed,
        score=score / LIMIT,
        tested=len(seen),
    )


def _spreads(night: NightScore) -> float:
    """Seen less said, in spreads of what was said."""
    said = night.predicted_at_wake_c
    return ((night.observed_at_wake_c or 0.0) - said.p50) * SPREADS_OF_90 / max(said.p95 - said.p05, 0.5)


def _reset(before: NightScore, night: NightScore, resets: Sequence[datetime]) -> bool:
    return any(before.bed < at <= night.bed for at in resets)


def sums(misses: FloatArray, *, again: np.ndarray | None = None) -> tuple[FloatArray, FloatArray]:
    """The two running sums after each night: misses to the cold side, and to the warm side.

    ``again`` marks nights before which both begin anew.
    """
    low, high = np.zeros(len(misses)), np.zeros(len(misses))
    down = up = 0.0
    for i, miss in enumerate(np.clip(misses, -MOST_MISS, MOST_MISS)):
        if again is not None and again[i]:
            down = up = 0.0
        down = max(0.0, down - float(miss) - ALLOWANCE)
        up = max(0.0, up + float(miss) - ALLOWANCE)
        low[i], high[i] = down, up
    return low, high


def quiet_run(
    *,
    rng: np.random.Generator,
    runs: int = 400,
    limit: float = LIMIT,
    alike: float = ALIKE,
    shift: float = 0.0,
    longest: int = 1500,
    spread: float = 1.0,
) -> float:
    """Mean number of nights until the sums speak up in simulated nights.

    Args:
        rng: For the misses: normal, alike within a stay.
        runs: How many series.
        limit: Where a sum speaks up.
        alike: Correlation of the misses of one stay.
        shift: True drift of the misses, spreads; 0: all quiet.
        longest: A series still quiet then counts as this long.
        spread: True spread of the misses over the one that was said.
    """
    common = rng.standard_normal((runs, longest // NIGHTS_PER_STAY + 1, 1))
    own = rng.standard_normal((runs, longest // NIGHTS_PER_STAY + 1, NIGHTS_PER_STAY))
    stay = np.sqrt(alike) * common + np.sqrt(1.0 - alike) * own
    misses = np.clip(spread * stay.reshape(runs, -1)[:, :longest] + shift, -MOST_MISS, MOST_MISS)
    down, up = np.zeros(runs), np.zeros(runs)
    spoke = np.full(runs, longest)
    for i in range(longest):
        down = np.maximum(0.0, down - misses[:, i] - ALLOWANCE)
        up = np.maximum(0.0, up + misses[:, i] - ALLOWANCE)
        now = (np.maximum(down, up) > limit) & (spoke == longest)
        spoke[now] = i + 1
    return float(spoke.mean())
