"""When draws reach a line: hours with a range, and what lies beyond the horizon said as such."""

from __future__ import annotations

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.results.journeys import Reached
from logbook.results.night import Range

QUANTILES = (0.05, 0.5, 0.95)
"""Ends and middle of every range, share. The contract's 90 %."""


def first_hours(above_k: FloatArray, hours: FloatArray) -> FloatArray:
    """Hours until a series first reaches 0 from below, for each draw; infinite where it never does.

    Args:
        above_k: How far above its line each draw stands; axes (draw, look).
        hours: Hours of the last axis, rising from 0.
    """
    reached = above_k >= 0.0
    index = np.argmax(reached, axis=1)
    rows = np.arange(len(above_k))
    before = np.maximum(index - 1, 0)
    low, high = above_k[rows, before], above_k[rows, index]
    share = np.where(index > 0, -low / np.maximum(high - low, 1e-9), 0.0)
    at = hours[before] + np.clip(share, 0.0, 1.0) * (hours[index] - hours[before])
    out: FloatArray = np.where(reached.any(axis=1), at, np.inf)
    return out


def reached(name: str, first_h: FloatArray, *, horizon_h: float, line_c: float | None = None) -> Reached:
    """The range of those hours; percentiles beyond the horizon stand at it and say so."""
    p05, p50, p95 = (float(np.quantile(first_h, q, method="inverted_cdf")) for q in QUANTILES)
    if not np.isfinite(p05):
        return Reached(name=name, hours=None, more_than_h=horizon_h, line_c=line_c)
    beyond = not np.isfinite(p95)
    return Reached(
        name=name,
        hours=Range(*(min(x, horizon_h) for x in (p05, p50, p95))),
        more_than_h=horizon_h if beyond else None,
        line_c=line_c,
    )
