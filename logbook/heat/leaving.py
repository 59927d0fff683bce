"""Leaving: how long until the room falls to a line with no more wood. The room, never the pipes.

Nobody is there and the stove burns down as it stands. The range comes from the draws: it is wide, and no
single hour of it is a promise. Pipes in walls and floors freeze before the thermometer shows it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from logbook.heat.crossing import first_hours, reached
from logbook.heat.hours_ahead import Hours, draw_luck, hours_ahead
from logbook.heat.night import Base, fire_now
from logbook.heat.outdoors_ahead import OutdoorAhead
from logbook.heat.weather import STEP
from logbook.records import Entry, Window
from logbook.results.journeys import Reached

USUAL_LINES_C = (10.0, 5.0, 0.0)
"""Lines a room is told to cross, °C: chilled things, water at risk, freezing. Common practice, no source."""

HORIZON_H = 120.0
"""How far ahead is looked, h. ASSUMED: beyond five days the weather told at the door says nothing."""


@dataclass(frozen=True, kw_only=True)
class Departure:
    """What comes of leaving now. ``fire`` is 0 out, 1 coals, 2 wood, as ``fire_now`` tells."""

    lines: tuple[Reached, ...]
    inside_c: float
    outdoor_low_c: float
    fire: int
    hours: Hours


def leave_now(
    base: Base,
    *,
    outdoor: OutdoorAhead,
    lines_c: Sequence[float] = USUAL_LINES_C,
    rng: np.random.Generator,
) -> Departure:
    """Hours until the room is down to each line, warmest line first.

    Args:
        base: The stay so far for every draw.
        outdoor: Outdoor temperature of the steps ahead; its length is the horizon.
        lines_c: Lines, °C.
        rng: For what is open.
    """
    start = base.scenario.start + base.now * STEP
    steps = len(outdoor.course_c)
    hours = hours_ahead(
        base,
        plans=[(Entry(at=start, window=Window.SHUT),)],
        outdoor=outdoor,
        people=0.0,
        luck=draw_luck(len(base.z), steps=steps, loads=0, rng=rng),
    )
    air = hours.air_c[0]
    horizon = float(hours.hours[-1])
    told = tuple(
        reached(f"{line:g} °C", first_hours(line - air, hours.hours), horizon_h=horizon, line_c=line)
        for line in sorted(set(lines_c), reverse=True)
    )
    return Departure(
        lines=told,
        inside_c=float(np.median(air[:, 0])),
        outdoor_low_c=float(outdoor.course_c.min()),
        fire=fire_now(hours.wood_kg[0, :, 0], hours.char_kg[0, :, 0]),
        hours=hours,
    )
