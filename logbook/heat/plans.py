"""A plan for the night -> air, loads and window on the grid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.notebook import OPENING_PCT
from logbook.heat.scenario import WINDOW_CODE, step_of
from logbook.heat.species import counted_kg_dry
from logbook.records import Entry, Window, WoodPile

OWN_TURN_DOWN = timedelta(minutes=25)
"""A plan that sets the air again this soon after a load says itself how long it stays open."""

DEAD_STOVE_OPEN_MINUTES = 22.0
"""How long the air stays wide when a cold stove is lit (the contract's figure)."""


@dataclass(frozen=True)
class PlanArrays:
    """Plans side by side from now to waking; axes (step, plan)."""

    air_open: FloatArray
    load_kg: FloatArray
    kindled: FloatArray
    window: FloatArray
    first_load: tuple[tuple[int, ...], ...]  # steps of each plan's loads


def plan_arrays(
    plans: Sequence[Sequence[Entry]],
    *,
    start: datetime,
    steps: int,
    standing_air: FloatArray,
    laid_kg: float = 0.0,
    lit: bool = False,
    dead: Sequence[bool],
    open_minutes: float,
    pile: WoodPile,
) -> PlanArrays:
    """Lay plans on the grid.

    ``load X air P%`` means: wide until it burns well, then P; 22 minutes and kindling from a dead stove. A
    plan that sets the air again within 25 minutes is taken at its word for the air; a dead stove is lit all
    the same: what is forecast is what the advice tells to do. The window is shut unless named.

    Args:
        plans: Each a series of entries from ``start`` on; ``air_open_pct`` in per cent open.
        start: Now.
        steps: Steps from now to waking.
        standing_air: The lever at each step if nobody touches it again, 0–1; a load just laid in may still be
            on its way to a turn-down.
        laid_kg: Wood written down at this very moment, kg dry: every plan begins with it in the stove.
        lit: Whether it was kindled.
        dead: For each step, whether without more wood the stove would be dead then.
        open_minutes: How long the air stays wide after a load on coals.
        pile: The wood usually burned: what a kilogram as weighed counts for.
    """
    count = len(plans)
    held = np.full(max(steps - len(standing_air), 0), standing_air[-1])
    air = np.repeat(np.concatenate([standing_air, held])[:steps, None], count, axis=1)
    load = np.zeros((steps, count))
    load[0] = laid_kg
    kindled = np.zeros((steps, count))
    kindled[0] = float(lit)
    window = np.full((steps, count), float(WINDOW_CODE[Window.SHUT]))
    loads: list[tuple[int, ...]] = []
    for p, plan in enumerate(plans):
        at_steps: list[int] = []
        entries = sorted(plan, key=lambda e: e.at)
        for n, entry in enumerate(entries):
            i = min(max(step_of(start, entry.at), 0), steps - 1)
            if entry.window is not None:
                window[i:, p] = WINDOW_CODE[entry.window]
            if entry.load_kg:
                load[i, p] += counted_kg_dry(entry.load_kg, species=entry.species, pile=pile)
                soon = [
                    e
                    for e in entries[n + 1 :]
                    if e.air_open_pct is not None and e.at - entry.at <= OWN_TURN_DOWN
                ]
                kindle = entry.kindling or (dead[i] and not at_steps)
                kindled[i, p] = max(kindled[i, p], float(kindle))
                at_steps.append(i)
                wanted = air[i, p] if entry.air_open_pct is None else entry.air_open_pct / 100.0
                if soon:
                    air[i:, p] = wanted
                else:
                    minutes = DEAD_STOVE_OPEN_MINUTES if kindle else open_minutes
                    until = i + max(round(minutes / 60.0 / STEP_H), 1)
                    air[i:until, p] = max(wanted, OPENING_PCT / 100.0)
                    air[until:, p] = wanted
            elif entry.air_open_pct is not None:
                air[i:, p] = entry.air_open_pct / 100.0
        loads.append(tuple(at_steps))
    return PlanArrays(air_open=air, load_kg=load, kindled=kindled, window=window, first_load=tuple(loads))
