"""Series over time as rows, made lane by lane only when their step comes.

A stay's weather is the same for all lanes, and a lane's unknowns are the same for all steps: multiplied out
beforehand they would fill memory many times over and cost more than the physics. Inside the runs the lanes'
axes stand reversed, so that draws, the long axis, lie side by side.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from logbook.heat.arrays import FloatArray


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


def laid_out(values: FloatArray | float, shape: tuple[int, ...], dtype: np.dtype[np.floating]) -> FloatArray:
    """A value for every lane, lanes' axes reversed, contiguous and not shared: safe to reckon in."""
    out: FloatArray = np.array(np.broadcast_to(np.asarray(values), shape).T, dtype=dtype, order="C")
    return out


def upright(series: FloatArray) -> FloatArray:
    """A series made with reversed lanes, seen with axes (step, *lanes) again."""
    return series.transpose(0, *range(series.ndim - 1, 0, -1))


class Rows:
    """One input of a run, row by row; ``turned[i]`` is False where row i is the row before.

    Args:
        given: The input.
        steps: How many rows.
        shape: Shape of the lanes.
        dtype: Precision of the rows.
    """

    def __init__(
        self, given: Series, *, steps: int, shape: tuple[int, ...], dtype: np.dtype[np.floating]
    ) -> None:
        if isinstance(given, (np.ndarray, float, int)):
            given = [Term(np.asarray(given), 1.0)]
        self.turned = [True] + [False] * (steps - 1)
        self._row: FloatArray | None = None
        self._room = np.empty((2, *reversed(shape)), dtype=dtype)
        self._always = np.zeros((1,) * len(shape), dtype=dtype)
        self._terms: list[tuple[FloatArray, FloatArray | float | None]] = []
        for series, scale in given:
            whole = np.asarray(series, dtype=dtype)
            whole = whole.reshape(whole.shape or (1,) * (len(shape) + 1))
            if len(whole) == 1:
                self._always = self._always + whole[0].T * laid_out(scale, shape, dtype)
                continue
            self._note_turns(whole, shape)
            factor = float(scale) if np.ndim(scale) == 0 else laid_out(scale, shape, dtype)
            self._terms.append((upright(whole), None if np.ndim(scale) == 0 and factor == 1.0 else factor))
        self._shifted = not self._terms or bool(self._always.any())

    def _note_turns(self, series: FloatArray, shape: tuple[int, ...]) -> None:
        if series.strides[0] == 0 or len(series) < 2:
            return
        if series[0].size * 4 > np.prod(shape) and series[0].size > 64:
            self.turned = [True] * len(series)  # looking would cost as much as reckoning
            return
        same = (series[1:] == series[:-1]).reshape(len(series) - 1, -1).all(axis=1)
        self.turned = [a or not b for a, b in zip(self.turned, [False, *same.tolist()], strict=True)]

    def at(self, i: int) -> FloatArray:
        """Row ``i``, lanes' axes reversed; may be of size 1 along any. Not to be written to."""
        if self._row is None or self.turned[i]:
            self._row = self._made(i)
        return self._row

    def _made(self, i: int) -> FloatArray:
        room, spare = self._room
        row: FloatArray | None = self._always if self._shifted else None
        for series, factor in self._terms:
            part = series[i]
            if factor is not None:
                part = np.multiply(part, factor, out=room if row is None else spare)
            row = part if row is None else np.add(row, part, out=room)
        assert row is not None
        return row
