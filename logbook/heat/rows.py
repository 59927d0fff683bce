"""Series over time as rows, made for a few steps at once only when their steps come.

A stay's weather is the same for all lanes, and a lane's unknowns are the same for all steps: multiplied out
beforehand they would fill memory many times over and cost more than the physics; made one step at a time
they would cost more calls than the physics. Inside the runs the lanes' axes stand reversed, so that draws,
the long axis, lie side by side.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from logbook.heat.arrays import BoolArray, FloatArray

TOGETHER = 12288
"""Numbers reckoned by one call where steps can go together: as many as stay in a core's nearest cache.
Measured; half or twice as many cost the same."""


class Term(NamedTuple):
    """``series`` times ``scale``: axes (step, *lanes) and (*lanes), any lane axis may be 1."""

    series: FloatArray
    scale: FloatArray | float


Series = FloatArray | float | Sequence[Term]
"""What a run takes for each of its inputs: an array (step, *lanes), a constant, or a sum of terms."""


def steps_of(series: Series) -> int:
    """How many rows a series has."""
    first = series if isinstance(series, (np.ndarray, float, int)) else series[0].series
    return len(np.asarray(first))


def steps_together(lanes: int) -> int:
    """How many steps of so many lanes are reckoned by one call, where they can be."""
    return max(1, TOGETHER // max(lanes, 1))


def turned_over(
    values: FloatArray | float, shape: tuple[int, ...], dtype: np.dtype[np.floating]
) -> FloatArray:
    """A value with the lanes' axes reversed, of size 1 along those it does not vary along."""
    given = np.asarray(values, dtype=dtype)
    given = given.reshape((1,) * (len(shape) - given.ndim) + given.shape)
    return np.ascontiguousarray(given.T)


def laid_out(values: FloatArray | float, shape: tuple[int, ...], dtype: np.dtype[np.floating]) -> FloatArray:
    """A value for every lane, lanes' axes reversed, contiguous and not shared: safe to reckon in."""
    out: FloatArray = np.array(np.broadcast_to(np.asarray(values), shape).T, dtype=dtype, order="C")
    return out


def upright(series: FloatArray) -> FloatArray:
    """A series made with reversed lanes, seen with axes (step, *lanes) again."""
    return series.transpose(0, *range(series.ndim - 1, 0, -1))


def turns(given: Series, *, steps: int) -> BoolArray:
    """At each step whether any row of the series differs from the row before; axes (step,)."""
    out = np.zeros(steps, dtype=bool)
    terms = [Term(np.asarray(given), 1.0)] if isinstance(given, (np.ndarray, float, int)) else given
    for series, _ in terms:
        if np.ndim(series) == 0 or len(series) < 2 or series.strides[0] == 0:
            continue
        out[1:] |= (series[1:] != series[:-1]).reshape(len(series) - 1, -1).any(axis=1)
    return out


def stretches(stops: BoolArray, *, most: int) -> Iterator[tuple[int, int]]:
    """The steps in stretches of at most ``most``, none running over a stop; (first, end) of each."""
    bounds = [0, *(np.flatnonzero(stops[1:]) + 1).tolist(), len(stops)]
    for first, end in pairwise(bounds):
        for at in range(first, end, most):
            yield at, min(at + most, end)


class Rows:
    """One input of a run, a few rows at a time.

    Args:
        given: The input.
        shape: Shape of the lanes.
        dtype: Precision of the rows.
    """

    def __init__(self, given: Series, *, shape: tuple[int, ...], dtype: np.dtype[np.floating]) -> None:
        if isinstance(given, (np.ndarray, float, int)):
            given = [Term(np.asarray(given), 1.0)]
        self._always = np.zeros((1, *(1,) * len(shape)), dtype=dtype)
        self._terms: list[tuple[FloatArray, FloatArray | None]] = []
        for series, scale in given:
            whole = np.asarray(series, dtype=dtype)
            whole = whole.reshape(whole.shape or (1,) * (len(shape) + 1))
            factor = None if np.ndim(scale) == 0 and scale == 1.0 else turned_over(scale, shape, dtype)
            if len(whole) == 1:
                self._always = self._always + upright(whole) * (1.0 if factor is None else factor)
            else:
                self._terms.append((upright(whole), factor))
        self._shifted = not self._terms or bool(self._always.any())

    def between(self, first: int, end: int) -> FloatArray:
        """Rows ``first`` to ``end``, axes (step, *reversed lanes), of size 1 along any that they don't vary
        along. Not to be written to."""
        rows: FloatArray | None = self._always if self._shifted else None
        for series, factor in self._terms:
            part = series[first:end] if factor is None else series[first:end] * factor
            rows = part if rows is None else rows + part
        assert rows is not None
        return rows
