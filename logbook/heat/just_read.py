"""A reading just made holds the start: the room is where its thermometer says, not where the model had it.

The pull of the readings (``conditioning``) shares a surprise out among all it could be, and takes a reading
far from the course for a slip of the pen. That serves a whole night; but who stands in the room with a
reading half an hour old is not to be told that the room is 10 K colder than that.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.cabin import RoomState
from logbook.heat.effects import READING_SD_K, TIME_SD_H
from logbook.heat.hours_ahead import SETTLING_H
from logbook.heat.night import Base

HOLDS_WHOLLY = timedelta(minutes=30)
"""A reading up to this old holds the start wholly. ASSUMED."""

HOLDS_NO_MORE = timedelta(hours=1.5)
"""From this age on it has only the pull that all readings have; in between it holds fewer and fewer draws.
ASSUMED: with 3 h one of three simulated cabins had its next reading told worse by 0.2 K, none better."""

SINCE_SD_K_PER_H = 2.5
"""How unsure the room is for each hour since the reading, K/h: what a fire did in it is known no better.
ASSUMED: from readings of two simulated cabins told from the one before them."""

STEEPEST_K_PER_H = 20.0
"""A course is taken as no steeper than this, as for the errors of the readings (``effects``)."""


def held(base: Base, *, rng: np.random.Generator) -> Base:
    """The stay so far with the air of every draw where the newest reading puts it, and what came since.

    What came since is the model's (a load laid in warms on). The fabric follows by as much as the hours of
    the stay let it, the deep fabric not at all: a room just heated is warm in its air first. A reading that
    the stay begins with is its start already.

    Args:
        base: The stay so far for every draw.
        rng: For the errors of the thermometer, of the time written down, and of what came since.
    """
    s = base.scenario
    plain = np.flatnonzero((s.reading_sign == 0.0) & (s.reading_at <= base.now))
    if not len(plain):
        return base
    newest = plain[np.argmax(s.reading_at[plain])]
    at = float(s.reading_at[newest])
    age_h = (base.now - at) * STEP_H
    share = _hold(age_h)
    if at < 1.0 or share == 0.0:
        return base
    course = base.mode_sim.air_c[: base.now + 1, 0, 0]
    since_k = float(course[-1] - np.interp(at, np.arange(len(course)), course))
    slope = min(abs(float(np.gradient(course)[round(at)])) / STEP_H, STEEPEST_K_PER_H)
    sd_k = float(np.linalg.norm((READING_SD_K, TIME_SD_H * slope, SINCE_SD_K_PER_H * age_h)))
    aimed = s.reading_c[newest] + since_k + sd_k * rng.standard_normal((len(base.z), 1))
    holds = rng.random((len(base.z), 1)) < share  # whole or not at all: half a hold would narrow the range
    extra: FloatArray = np.where(holds, aimed - base.room.air_c - base.correction_k[:, :1], 0.0)
    settled = 1.0 - float(np.exp(-base.now * STEP_H / SETTLING_H))
    air, fabric, deep = base.room
    return replace(base, room=RoomState(air + extra, fabric + settled * extra, deep))


def _hold(age_h: float) -> float:
    """Share of the hold that is left at an age, 0–1."""
    whole, none = HOLDS_WHOLLY / timedelta(hours=1), HOLDS_NO_MORE / timedelta(hours=1)
    return float(np.clip((none - age_h) / (none - whole), 0.0, 1.0))
