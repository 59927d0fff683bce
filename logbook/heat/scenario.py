"""A stay as arrays on the five-minute grid: what the fire and the cabin are run through."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.construction import Building
from logbook.heat.notebook import AirSet, Stay
from logbook.heat.species import counted_kg_dry
from logbook.heat.weather import STEP, outdoor_course, sun_w
from logbook.records import Coals, Description, Window

WINDOW_CODE = {Window.SHUT: 0, Window.CRACKED: 1, Window.OPEN: 2}
"""Windows as numbers on the grid, no unit."""

COALS_BOUNDS_KG = {Coals.NONE: (0.0, 0.09), Coals.FEW: (0.09, 0.45), Coals.GOOD: (0.45, np.inf)}
"""Charcoal meant by each word, kg. ASSUMED: the cut points that fitted simulated notebooks; the model learns
a factor on them for each owner, and takes the words as weak evidence."""

WOOD_LEFT_KG = 0.42
"""Wood that someone would call unburnt wood left, kg dry. ASSUMED, as above."""


@dataclass(frozen=True, slots=True)
class Scenario:
    """One stay on the grid. Arrays of one axis: step, reading, coals row, episode or load."""

    start: datetime
    steps: int
    first_indoor_c: float
    first_known: bool
    air_open: FloatArray
    load_kg: FloatArray
    kindled: FloatArray
    window: FloatArray  # 0 shut, 1 cracked, 2 open
    outdoor_c: FloatArray
    outdoor_gap_h: FloatArray
    other_w: FloatArray
    people: FloatArray
    sun: FloatArray  # W at a factor of 1
    wind: FloatArray
    reading_at: FloatArray  # in steps from the start
    reading_c: FloatArray
    reading_since: FloatArray  # NaN for a plain reading
    reading_sign: FloatArray  # 0 plain, -1 low, +1 high
    coals_at: FloatArray
    coals_low: FloatArray
    coals_high: FloatArray
    wood_seen: FloatArray  # 1 left, 0 none left, NaN not said
    load_steps: tuple[int, ...]
    episodes: tuple[tuple[int, int, int], ...]  # first step, last step, window code


def _hold(
    steps: int, start: datetime, settings: Sequence[tuple[datetime, float]], before: float
) -> FloatArray:
    out = np.full(steps, before)
    for at, value in settings:
        out[max(step_of(start, at), 0) :] = value
    return out


def step_of(start: datetime, at: datetime) -> int:
    """Index of the first step that begins at ``at`` or later, to the nearest step."""
    return round((at - start) / STEP)


def _found_out(stay: Stay, *, since: datetime, until: datetime) -> bool:
    """Whether the last word for the coals after one load, up to the next, was that there are none."""
    words = [seen.coals for seen in stay.coals if since < seen.at <= until and seen.coals is not None]
    return bool(words) and words[-1] is Coals.NONE


def scenario(
    stay: Stay,
    *,
    description: Description,
    building: Building,
    until: datetime | None = None,
) -> Scenario:
    """Lay a stay on the grid, from its first row to its last, or to ``until``."""
    start = stay.start
    end = max(until or stay.end, stay.end)
    steps = max(int(np.ceil((end - start) / STEP)) + 1, 2)
    load = np.zeros(steps)
    kindled = np.zeros(steps)
    for n, laid in enumerate(stay.loads):
        i = step_of(start, laid.at)
        load[i] += counted_kg_dry(laid.kg, wood=laid, pile=description.wood)
        # Nobody lays the first load of a stay, or one on a stove found out, without lighting it.
        if laid.kindling or n == 0 or _found_out(stay, since=stay.loads[n - 1].at, until=laid.at):
            kindled[i] = 1.0
    outdoor, gap = outdoor_course(
        (*stay.outdoor, *stay.expected_lows), start=start, steps=steps, site=description.site
    )
    windows = [(w.at, float(WINDOW_CODE[w.state])) for w in stay.windows]
    window = _hold(steps, start, windows, 0.0)
    plain = [r for r in stay.readings if r.kind == "at"]
    first = plain[0].indoor_c if plain else float("nan")
    return Scenario(
        start=start,
        steps=steps,
        first_indoor_c=first,
        first_known=bool(plain) and (plain[0].at - start) < timedelta(hours=1.5),
        air_open=air_course(stay.air, start=start, steps=steps),
        load_kg=load,
        kindled=kindled,
        window=window,
        outdoor_c=outdoor,
        outdoor_gap_h=gap,
        other_w=_hold(steps, start, [(s.at, s.value) for s in stay.other_heat], 0.0),
        people=np.full(steps, float(description.comfort.people) if stay.occupied else 0.0),
        sun=sun_w(description=description, building=building, start=start, steps=steps),
        wind=_winds(stay, start, steps),
        reading_at=np.array([(r.at - start) / STEP for r in stay.readings]),
        reading_c=np.array([r.indoor_c for r in stay.readings]),
        reading_since=np.array(
            [np.nan if r.since is None else (r.since - start) / STEP for r in stay.readings]
        ),
        reading_sign=np.array([{"at": 0.0, "low": -1.0, "high": 1.0}[r.kind] for r in stay.readings]),
        coals_at=np.array([(c.at - start) / STEP for c in stay.coals]),
        coals_low=np.array([np.nan if c.coals is None else COALS_BOUNDS_KG[c.coals][0] for c in stay.coals]),
        coals_high=np.array([np.nan if c.coals is None else COALS_BOUNDS_KG[c.coals][1] for c in stay.coals]),
        wood_seen=np.array([np.nan if c.wood_left is None else float(c.wood_left) for c in stay.coals]),
        load_steps=_merged([step_of(start, laid.at) for laid in stay.loads]),
        episodes=_episodes(window),
    )


def air_course(settings: Sequence[AirSet], *, start: datetime, steps: int) -> FloatArray:
    """The lever at each step, 0–1; shut before the first setting."""
    return _hold(steps, start, [(s.at, s.open_pct / 100.0) for s in settings], 0.0)


def _winds(stay: Stay, start: datetime, steps: int) -> FloatArray:
    """A wind holds for eight hours after it was written, then it is the usual one again."""
    out = np.ones(steps)
    for said in stay.wind:
        i = max(step_of(start, said.at), 0)
        out[i : i + round(8 / STEP_H)] = said.value
    return out


def _merged(steps: Sequence[int]) -> tuple[int, ...]:
    """Loads within half an hour of one another are one event to the model."""
    out: list[int] = []
    for i in sorted(steps):
        if not out or i - out[-1] > round(0.5 / STEP_H):
            out.append(i)
    return tuple(out)


def _episodes(window: FloatArray) -> tuple[tuple[int, int, int], ...]:
    edges = np.flatnonzero(np.diff(window)) + 1
    bounds = [0, *edges.tolist(), len(window)]
    return tuple((a, b, int(window[a])) for a, b in pairwise(bounds) if window[a] > 0)


PER_STEP = (
    "air_open",
    "load_kg",
    "kindled",
    "window",
    "outdoor_c",
    "outdoor_gap_h",
    "other_w",
    "people",
    "sun",
    "wind",
)
"""Fields of a scenario with one number per step."""


def cut(s: Scenario, steps: int) -> Scenario:
    """The first ``steps`` steps of a scenario."""
    return replace(s, steps=steps, **{name: getattr(s, name)[:steps] for name in PER_STEP})
