"""The night ahead: what is known of it, and tonight's outdoor temperature."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.heat.effects import OUTDOOR_PAST_SD_K, OUTDOOR_TONIGHT_SD_K, outdoor_sd_k
from logbook.heat.notebook import Stay
from logbook.heat.scenario import Scenario
from logbook.heat.weather import STEP, calendar_low_c
from logbook.records import Site

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
