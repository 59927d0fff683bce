"""A plan for the night -> air, loads and window on the grid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import partial

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
    other_w: FloatArray  # heat from anything but the stove that a plan names, W; NaN: as it stands
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
    grid = PlanArrays(
        air_open=np.repeat(np.concatenate([standing_air, held])[:steps, None], count, axis=1),
        load_kg=np.zeros((steps, count)),
        kindled=np.zeros((steps, count)),
        window=np.full((steps, count), float(WINDOW_CODE[Window.SHUT])),
        other_w=np.full((steps, count), np.nan),
        first_load=(),
    )
    grid.load_kg[0] = laid_kg
    grid.kindled[0] = float(lit)
    lay = partial(_lay, grid, start=start, dead=dead, open_minutes=open_minutes, pile=pile)
    return replace(grid, first_load=tuple(lay(plan, p) for p, plan in enumerate(plans)))


def _lay(
    grid: PlanArrays,
    plan: Sequence[Entry],
    p: int,
    *,
    start: datetime,
    dead: Sequence[bool],
    open_minutes: float,
    pile: WoodPile,
) -> tuple[int, ...]:
    """Write one plan into its column of the grid; the steps of its loads."""
    steps = len(grid.load_kg)
    loads: list[int] = []
    entries = sorted(plan, key=lambda e: e.at)
    for n, entry in enumerate(entries):
        i = min(max(step_of(start, entry.at), 0), steps - 1)
        if entry.window is not None:
            grid.window[i:, p] = WINDOW_CODE[entry.window]
        if entry.other_heat_w is not None:
            grid.other_w[i:, p] = entry.other_heat_w
        if entry.load_kg:
            grid.load_kg[i, p] += counted_kg_dry(entry.load_kg, wood=entry, pile=pile)
            kindle = entry.kindling or (dead[i] and not loads)
            grid.kindled[i, p] = max(grid.kindled[i, p], float(kindle))
            minutes = max(DEAD_STOVE_OPEN_MINUTES, open_minutes) if kindle else open_minutes
            _air_with_load(grid.air_open[:, p], entries[n:], i, open_minutes=minutes)
            loads.append(i)
        elif entry.air_open_pct is not None:
            grid.air_open[i:, p] = entry.air_open_pct / 100.0
    return tuple(loads)


def _air_with_load(air: FloatArray, entries: Sequence[Entry], i: int, *, open_minutes: float) -> None:
    """The air from step ``i`` on, when the first of these entries lays a load in."""
    entry = entries[0]
    wanted = air[i] if entry.air_open_pct is None else entry.air_open_pct / 100.0
    said_soon = any(e.air_open_pct is not None and e.at - entry.at <= OWN_TURN_DOWN for e in entries[1:])
    if not said_soon:
        until = i + max(round(open_minutes / 60.0 / STEP_H), 1)
        air[i:until] = max(wanted, OPENING_PCT / 100.0)
        i = until
    air[i:] = wanted
