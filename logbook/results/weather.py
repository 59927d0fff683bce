"""Frozen answers about the weather typed by hand and read outside: days, degree-days, own records; in SI."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from logbook.matters import Sky
from logbook.results.stays import Extreme


class DayFrom(StrEnum):
    """Where a day's low and high are from."""

    SEEN = "seen"
    """Written down as it was."""
    READINGS = "readings"
    """Lowest and highest of the readings outside."""
    FORECAST = "forecast"


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow:
    """A day known: low and high outside, °C, and what follows from them.

    ``degree_days_k`` to the base by the Met Office equations, ``degree_days_65f_k`` by the mean of low and
    high below 65 °F; both in K·day. ``degree_hours_k`` in K·h below the wanted inside temperature.
    """

    day: date
    low_c: float
    high_c: float
    source: DayFrom
    wind: str
    sky: Sky | None
    degree_days_k: float
    degree_days_65f_k: float
    degree_hours_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DegreeTotal:
    """The sum over the days known from one day to another, both included; ``forecast`` of them only told."""

    first: date
    last: date
    days: int
    forecast: int
    degree_days_k: float
    degree_days_65f_k: float
    degree_hours_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastMiss:
    """What came against the forecast low, over days with both: mean of came minus forecast, K."""

    days: int
    mean_k: float
    mean_size_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherAnswer:
    """Days behind (oldest first) and ahead (today first), their sums, and the owner's own record.

    ``season`` sums every day known since the season began. ``coldest`` and ``warmest`` are the ends of
    everything read or written as it was; a forecast is no record.
    """

    as_of: datetime
    today: date
    base_c: float
    inside_c: float
    behind: tuple[DayRow, ...]
    ahead: tuple[DayRow, ...]
    season: DegreeTotal | None
    coming: DegreeTotal | None
    coldest: Extreme | None
    warmest: Extreme | None
    miss: ForecastMiss | None
