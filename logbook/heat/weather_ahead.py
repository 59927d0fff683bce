"""Outdoor temperature of the hours and days ahead: as told at the door, else from the last reading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from logbook.heat.ahead import EVENING_READING_WITHIN, USUAL_NIGHT_DROP_SD_K, Evening
from logbook.heat.arrays import STEP_H
from logbook.heat.effects import OUTDOOR_BLOCK_H, OUTDOOR_PAST_SD_K, OUTDOOR_TONIGHT_SD_K
from logbook.heat.hours_ahead import OutdoorAhead, with_spread
from logbook.heat.night import Base
from logbook.heat.notebook import Said
from logbook.heat.weather import DAILY_SWING_K, calendar_low_c, daily_swing_k, outdoor_course, solar_hours
from logbook.records import Entry, Site


@dataclass(frozen=True, kw_only=True)
class Told:
    """What is said of the weather ahead: the temperature outside now, or the low of the nights ahead, °C."""

    outdoor_c: float | None = None
    night_low_c: float | None = None


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
