"""Drift: do the last nights keep missing on one side?

The track record gives each night's miss in units of the spread that was said. Every cabin has a lasting miss
of its own, which is no drift: each night is held against the nights before it (self-starting, after Hawkins
1987), and then, while all is well, is about standard normal. Two running sums (CUSUM, Page 1954), one for
colder and one for warmer, add each miss less an allowance and never fall below zero; when one passes its
limit, something has probably changed. The limit is set by simulation (the tests hold it) so that quiet nights
raise it at most once in fifty on average, with neighbouring nights alike as they are within a stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.results.night import NightScore
from logbook.results.works import DriftAnswer

ALLOWANCE = 0.5
"""Taken off each miss, in spreads: half of the shift worth finding, one spread (Page 1954, Hawkins 1998, from
memory)."""

LIMIT = 4.0
"""Where a sum speaks up, in spreads. Source: simulated nights (``tests/heat/quiet_nights.py``): every 97
quiet nights on average at ``ALIKE``, every 74 if they are more alike (0.5), every 62 if ranges are a tenth
too narrow. After twenty quiet nights a drift of one spread is found in 17 nights, of one and a half in 6, of
two in 4. On the records of five simulated cabins, 100 nights, it spoke up once."""

ALIKE = 0.3
"""How alike the misses of two nights of one stay are (lag-one correlation). Source: 0.24-0.27 over 53
pairs of neighbouring nights of five simulated cabins, each forecast from its own bed."""

OWN_MISS_SD = 0.6
"""How far the lasting miss of one cabin is from none, spreads. Source: the same five: -0.9 to 0.75."""

OWN_MISS_NIGHTS = 1.0 / OWN_MISS_SD**2
"""As many nights the belief in no lasting miss counts for."""

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
    low, high = sums(against_earlier(misses, again=again), again=again)
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
        miss_k=_mean_miss_k(last) - _mean_miss_k(seen[:first]),
        since=last[0].bed,
        score=score / LIMIT,
        tested=len(seen),
    )


def _mean_miss_k(nights: Sequence[NightScore]) -> float:
    """Seen less said over some nights, K; 0 of none."""
    misses = [(n.observed_at_wake_c or 0.0) - n.predicted_at_wake_c.p50 for n in nights]
    return float(np.mean(misses)) if misses else 0.0


def _spreads(night: NightScore) -> float:
    """Seen less said, in spreads of what was said."""
    said = night.predicted_at_wake_c
    return ((night.observed_at_wake_c or 0.0) - said.p50) * SPREADS_OF_90 / max(said.p95 - said.p05, 0.5)


def _reset(before: NightScore, night: NightScore, resets: Sequence[datetime]) -> bool:
    return any(before.bed < at <= night.bed for at in resets)


def against_earlier(misses: FloatArray, *, again: np.ndarray | None = None) -> FloatArray:
    """Each miss less the lasting miss known from the nights before it, in spreads of that difference.

    ``again`` marks nights before which the lasting miss has to be learned anew.
    """
    out = np.zeros(len(misses))
    total = count = 0.0
    for i, miss in enumerate(np.clip(misses, -MOST_MISS, MOST_MISS)):
        if again is not None and again[i]:
            total = count = 0.0
        known = count + OWN_MISS_NIGHTS
        out[i] = (float(miss) - total / known) / np.sqrt(1.0 + 1.0 / known)
        total, count = total + float(miss), count + 1.0
    return out


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
