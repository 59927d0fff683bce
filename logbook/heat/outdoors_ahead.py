"""Outdoors tonight and in the days to come: as told, else from the last reading, else the calendar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.branch import Base
from logbook.heat.effects import (
    OUTDOOR_BLOCK_H,
    OUTDOOR_GROWTH_K_PER_H,
    OUTDOOR_MOST_SD_K,
    OUTDOOR_PAST_SD_K,
    OUTDOOR_TONIGHT_SD_K,
    outdoor_sd_k,
)
from logbook.heat.notebook import Said, Stay
from logbook.heat.scenario import Scenario
from logbook.heat.weather import (
    DAILY_SWING_K,
    STEP,
    calendar_low_c,
    daily_swing_k,
    outdoor_course,
    solar_hours,
)
from logbook.records import Entry, Site

USUAL_NIGHT_DROP_K, USUAL_NIGHT_DROP_SD_K = 4.5, 3.0
"""From the last outdoor reading of an evening to the low at waking, without a forecast, K.
ASSUMED; on an open data year evening to dawn is a drop of 3–4 K with a spread near 3 K."""

EVENING_READING_WITHIN = timedelta(hours=12)
"""An outdoor reading older than this says nothing of tonight. ASSUMED."""


@dataclass(frozen=True, kw_only=True)
class Evening:
    """What is known of the night ahead; ``outdoor`` (time, °C) takes precedence over the forecast low."""

    as_of: datetime
    bed: datetime
    wake: datetime
    night_low_c: float | None = None
    outdoor: tuple[tuple[datetime, float], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Told:
    """What is said of the weather ahead: the temperature outside now, or the low of the nights ahead, °C."""

    outdoor_c: float | None = None
    night_low_c: float | None = None


@dataclass(frozen=True)
class OutdoorAhead:
    """Outdoor temperature expected at each step from now, °C, and its spread, K; axes (step,).

    ``own_sd_k`` comes and goes within hours; ``common_sd_k`` is the same error all along.
    """

    course_c: FloatArray
    own_sd_k: FloatArray
    common_sd_k: FloatArray

    def cut(self, steps: int) -> OutdoorAhead:
        """The first steps of it."""
        return OutdoorAhead(self.course_c[:steps], self.own_sd_k[:steps], self.common_sd_k[:steps])


def tonight_outdoors(
    s: Scenario, *, stay: Stay, evening: Evening, now: int, site: Site
) -> tuple[Scenario, FloatArray, bool]:
    """The scenario with tonight's outdoor temperature in it; its spread at each step; whether it is a guess.

    A straight line from the last evening value to the low at waking: a dip-and-rise curve fitted to true
    nights forecast worse. Without a forecast low the evening's value and a usual drop serve, more widely;
    without an evening value either, the calendar.
    """
    sd = outdoor_sd_k(s)
    course = s.outdoor_c.copy()
    grid = np.arange(s.steps) + 0.5
    if evening.outdoor:
        at = np.array([(t - s.start) / STEP for t, _ in evening.outdoor])
        given = np.interp(grid, at, [c for _, c in evening.outdoor])
        course[now:] = given[now:]
        sd[now:] = OUTDOOR_PAST_SD_K
        return replace(s, outdoor_c=course), sd, False
    recent = [r for r in stay.outdoor if evening.as_of - r.at <= EVENING_READING_WITHIN]
    low, extra_k, guessed = evening.night_low_c, 0.0, evening.night_low_c is None
    if low is None and recent:
        low, extra_k = recent[-1].value - USUAL_NIGHT_DROP_K, USUAL_NIGHT_DROP_SD_K
    elif low is None:
        low, extra_k = calendar_low_c(evening.as_of, site)
    first = (recent[-1].at - s.start) / STEP if recent else float(now)
    begin = recent[-1].value if recent else low + USUAL_NIGHT_DROP_K
    wake = max((evening.wake - s.start) / STEP, now + 1.0)
    after = int(np.clip(np.floor(first), 0, s.steps - 1))
    course[after:] = np.interp(grid, [first, wake], [begin, low])[after:]
    sd[now:] = np.hypot(OUTDOOR_TONIGHT_SD_K, extra_k)
    return replace(s, outdoor_c=course), sd, guessed


def with_spread(course_c: FloatArray, *, extra_k: float = 0.0) -> OutdoorAhead:
    """A course told now with its spread: it grows after six hours; ``extra_k`` where it is a guess, K."""
    hours = (np.arange(len(course_c)) + 0.5) * STEP_H
    grown = OUTDOOR_TONIGHT_SD_K + OUTDOOR_GROWTH_K_PER_H * np.maximum(hours - OUTDOOR_BLOCK_H, 0.0)
    grown = np.minimum(grown, OUTDOOR_MOST_SD_K)
    return OutdoorAhead(
        course_c=course_c,
        own_sd_k=np.full(len(course_c), OUTDOOR_TONIGHT_SD_K),
        common_sd_k=np.sqrt(grown**2 - OUTDOOR_TONIGHT_SD_K**2 + extra_k**2),
    )


def outdoors_ahead(
    told: Told, *, readings: Sequence[Said], as_of: datetime, steps: int, site: Site
) -> tuple[OutdoorAhead, bool]:
    """Outdoor temperature from now on, and whether it is a guess.

    Told a low, days swing above it as usual for the season. Told the temperature now, or with a reading
    of the last twelve hours, the usual day goes on from there. With neither the calendar speaks, widely.

    Args:
        told: What was said with the question.
        readings: Outdoor readings of this stay, °C.
        as_of: Now.
        steps: Steps to look ahead.
        site: For sun and calendar.
    """
    grid_h = (np.arange(steps) + 0.5) * STEP_H
    solar = solar_hours(as_of, grid_h, site.longitude_deg or 0.0)
    swing = daily_swing_k(solar, day=as_of, site=site)
    if told.night_low_c is not None:
        return with_spread(told.night_low_c + DAILY_SWING_K + swing), False
    recent = [r for r in readings if timedelta(0) <= as_of - r.at <= EVENING_READING_WITHIN]
    if told.outdoor_c is not None:
        recent = [Said(as_of, told.outdoor_c)]
    if recent:
        course, _ = outdoor_course(recent[-1:], start=as_of, steps=steps, site=site)
        return with_spread(course), told.outdoor_c is None
    low, extra_k = calendar_low_c(as_of, site)
    return with_spread(low + DAILY_SWING_K + swing, extra_k=extra_k), True


def tonight_ahead(base: Base, *, entries: Sequence[Entry], evening: Evening) -> OutdoorAhead:
    """Tonight's outdoor temperature as the forecast takes it, with how unsure it is hour by hour.

    A reading made just now is sure for a while; a guessed drop to the morning grows with the hours.

    Args:
        base: The evening so far, laid on the grid to waking.
        entries: Those known now.
        evening: The night ahead.
    """
    s = base.scenario
    steps = max(s.steps - base.now - 1, 1)
    course = s.outdoor_c[base.now : base.now + steps]
    ahead_h = (np.arange(steps) + 0.5) * STEP_H
    if evening.outdoor:
        return OutdoorAhead(course, np.full(steps, OUTDOOR_PAST_SD_K), np.zeros(steps))
    read = [
        (evening.as_of - e.at) / timedelta(hours=1)
        for e in entries
        if e.outdoor_c is not None and timedelta(0) <= evening.as_of - e.at <= EVENING_READING_WITHIN
    ]
    if not read:
        _, guess_k = calendar_low_c(evening.as_of, base.batch.frame.descriptions[0].site)
        common = np.full(steps, guess_k if base.outdoor_guessed else 0.0)
        return OutdoorAhead(course, np.full(steps, OUTDOOR_TONIGHT_SD_K), common)
    since_h = min(read)
    own = OUTDOOR_TONIGHT_SD_K * np.sqrt(1.0 - np.exp(-2.0 * (ahead_h + since_h) / OUTDOOR_BLOCK_H))
    share = (ahead_h + since_h) / (ahead_h[-1] + since_h)
    return OutdoorAhead(course, own, share * (USUAL_NIGHT_DROP_SD_K if base.outdoor_guessed else 0.0))
