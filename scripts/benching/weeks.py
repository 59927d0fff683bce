"""Weeks as a cabin lives them: a stay of the demo, then nobody, every room reading from one run of the model.

A log laid together from pieces whose temperatures follow from no cabin teaches nothing: the fit sets such
stays aside. Here the loads, the air and the air outside are given, and one cabin answers to all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache

import numpy as np

from benching.told import described
from logbook.demo import demo_entries
from logbook.heat.arrays import STEP_H
from logbook.heat.fit import prepare
from logbook.heat.model import simulate
from logbook.heat.notebook import stays
from logbook.heat.priors import UNKNOWNS
from logbook.records import MAIN_PLACE, Entry, Flag

STEP = timedelta(minutes=10)
WEEK = timedelta(days=7)
SETTLED = timedelta(days=4)
"""So long after arriving the days of an empty cabin are alike enough to be laid end to end."""

ERROR_K = 0.15
"""A thermometer's error, one standard deviation."""

_LEVEL_C, _SEASON_K, _DAY_K = 4.0, 10.0, 3.0
"""The air outside: the year's mean and half its swing, half a day's. Invented."""


@dataclass(frozen=True)
class Week:
    """What people wrote of one stay, and a logger's rows from arriving on for a week."""

    rows: tuple[Entry, ...]
    logger: tuple[Entry, ...]

    def logged(self, moved: timedelta, until: datetime) -> list[Entry]:
        """The logger's rows moved in time, up to the next arriving; a longer wait repeats the last days."""
        out: list[Entry] = []
        settled = int(SETTLED / STEP)
        start, n = self.logger[0].at + moved, 0
        while (at := start + n * STEP) < until:
            of_week = n if n < len(self.logger) else settled + (n - settled) % (len(self.logger) - settled)
            out.append(replace(self.logger[of_week], at=at))
            n += 1
        return out


@lru_cache(maxsize=2)
def lived_weeks(*, seed: int) -> tuple[Week, ...]:
    """A week for each of the demo's stays that is told well enough."""
    rng = np.random.default_rng([11, seed])
    z = 0.5 * rng.standard_normal(len(UNKNOWNS))
    rows = [entry for entry in demo_entries() if not entry.is_matter_alone]
    lived = [stay for stay in stays(rows) if stay.occupied and stay.end - stay.start < SETTLED]
    told = [[e for e in rows if stay.start <= e.at <= stay.end] for stay in lived]
    return tuple(_week(stay, z, rng) for stay in told if len(stay) >= 8 and stay[0].indoor_c is not None)


def outside_c(at: datetime) -> float:
    """The air outside by season and hour."""
    year = 2 * np.pi * (at.timetuple().tm_yday - 20) / 365.25
    day = 2 * np.pi * (at.hour + at.minute / 60 - 3) / 24
    return float(_LEVEL_C - _SEASON_K * np.cos(year) - _DAY_K * np.cos(day))


def _week(rows: Sequence[Entry], z: np.ndarray, rng: np.random.Generator) -> Week:
    times = [rows[0].at + n * STEP for n in range(int(WEEK / STEP))]
    outdoor = [round(outside_c(at) + float(rng.normal(0.0, 0.2)), 1) for at in times]
    begun = outdoor[0] + float(rng.uniform(1.0, 4.0))
    read = [_as_lived(entry) for entry in rows]
    first = replace(read[0], indoor_c=begun, mark=None)
    hourly = [Entry(at=at, outdoor_c=c) for at, c in zip(times[::6], outdoor[::6], strict=True)]
    by_time = sorted([first, *(replace(e, mark=None) for e in read[1:]), *hourly], key=lambda e: e.at)
    (stay,) = stays(by_time)
    b = prepare([replace(stay, readings=stay.readings[:1])], descriptions=described(), changes=())
    air_c = simulate(b, z[None, :]).air_c[: b.scenarios[0].steps + 1, 0, 0]

    def room_c(at: datetime) -> float:
        hours = (at - stay.start) / timedelta(hours=1)
        lived = np.interp(hours, np.arange(len(air_c)) * STEP_H, air_c)
        return round(float(lived + rng.normal(0.0, ERROR_K)), 1)

    kept = [e if e.indoor_c is None else replace(e, indoor_c=room_c(e.at)) for e in read]
    flags = frozenset({Flag.LOGGER})
    logger = [
        Entry(at=at, indoor_c=room_c(at), outdoor_c=outdoor[n] if n % 6 == 0 else None, flags=flags)
        for n, at in enumerate(times)
    ]
    return Week(tuple(kept), tuple(logger))


def _as_lived(entry: Entry) -> Entry:
    """A row with what the air outside was; lows, highs and other places are left out, the model has none."""
    outdoor = None if entry.outdoor_c is None else round(outside_c(entry.at), 1)
    elsewhere = entry.place != MAIN_PLACE
    return replace(
        entry,
        outdoor_c=outdoor,
        indoor_c=None if elsewhere else entry.indoor_c,
        low_c=None,
        high_c=None,
        reset_at=None,
        forecast_low_c=None,
        change=None,
    )
