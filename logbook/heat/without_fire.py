"""The room as it cools beside a cold stove, draw by draw, with its ranges."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.cabin import cooling_c
from logbook.heat.construction import building
from logbook.heat.fit import Posterior
from logbook.heat.priors import Frame, network
from logbook.records import Description
from logbook.results.night import Range

EVERY_STEPS = 3
"""A figure every quarter of an hour."""

SETTLED_H = 2.0
"""How long the stove has given nothing when the cooling begins, h: in the first hours the air falls to its
walls, and nobody's stove stops at once. The time constant is told from the same hour on."""


@dataclass(frozen=True)
class Cooling:
    """Hours from the start, and the room then, °C, axes (draw, hour)."""

    hours: FloatArray
    inside_c: FloatArray

    def ranges(self) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
        """5, 50 and 95 % at every hour, °C."""
        low, mid, high = np.percentile(self.inside_c, (5.0, 50.0, 95.0), axis=0)
        return tuple(map(float, low)), tuple(map(float, mid)), tuple(map(float, high))

    def until(self, line_c: float) -> Range | None:
        """Hours until the room is at a temperature, 90 % range; None where a draw stays above it."""
        below = self.inside_c <= line_c
        if not below.any(axis=1).mean() >= 0.95:
            return None
        first = np.where(below.any(axis=1), below.argmax(axis=1), len(self.hours) - 1)
        p05, p50, p95 = (float(x) for x in np.percentile(self.hours[first], (5.0, 50.0, 95.0)))
        return Range(p05, p50, p95)


def without_fire(
    posterior: Posterior, description: Description, *, from_c: float, outdoor_c: float, hours: float
) -> Cooling:
    """Cool every draw's cabin from ``from_c`` at ``outdoor_c``: stove cold, window shut, nobody in, night.

    After a long hold and ``SETTLED_H`` without heat; scaled to ``from_c`` there, for the room is nearly
    linear in its difference to outdoors.

    Args:
        posterior: What was learned; with no stay in it, the prior.
        description: What holds now.
        from_c: Room temperature at the start, °C; above outdoors.
        outdoor_c: Outdoors, °C.
        hours: How long.
    """
    changed = np.ones((len(posterior.changes), 1))
    net = network(
        Frame((building(description.cabin),), (description,), posterior.changes, changed), posterior.z
    )
    first, steps = round(SETTLED_H / STEP_H), round((SETTLED_H + hours) / STEP_H)
    lanes = (len(posterior.z), 1)
    air_c = cooling_c(net, from_c=float(from_c), outside_c=outdoor_c, steps=steps, shape=lanes)
    whole = np.concatenate([np.full((1, len(posterior.z)), from_c), air_c[:, :, 0]])
    at = np.arange(first, steps + 1, EVERY_STEPS)
    above = whole[at] - outdoor_c
    scaled = outdoor_c + (from_c - outdoor_c) * above / above[0]
    return Cooling(hours=(at - first) * STEP_H, inside_c=np.ascontiguousarray(scaled.T))
