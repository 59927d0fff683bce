"""Outdoor temperature and sun on the grid: between readings, through tonight, and when nothing is known."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.construction import Building
from logbook.heat.daily import climate_guess_c, hourly_from_extremes
from logbook.heat.notebook import Said
from logbook.heat.sky import solar_elevation_deg, sun_times
from logbook.records import Description, Site

STEP = timedelta(hours=STEP_H)

DAILY_SWING_K = 3.0
"""Half the usual difference between a day's high and low outdoors, K, used between readings only.
ASSUMED: readings every few hours carry the rest."""

GLAZING_SUN_W_PER_M2 = 150.0
ROOM_SUN_W_PER_M2 = 6.0
"""Usual winter sun through a square metre of south window, and through roof and walls per m2 of floor, W/m2.
ASSUMED, both multiplied by a learned factor whose sign is fixed: a free solar term ruins the heat loss."""

USUAL_LATITUDE_DEG = 47.0
"""Latitude when none is described, degrees. ASSUMED."""


def solar_hours(start: datetime, at_h: FloatArray, longitude_deg: float) -> FloatArray:
    """Mean solar hour of the day, some hours ``at_h`` after ``start``."""
    hours: FloatArray = (start.timestamp() / 3600.0 + longitude_deg / 15.0 + at_h) % 24.0
    return hours


def daily_swing_k(hours_solar: FloatArray, *, day: datetime, site: Site) -> FloatArray:
    """Departure of the outdoor temperature over a usual day, K: the daily curve between −3 and 3.

    Args:
        hours_solar: Mean solar hours, 0–24; any shape.
        day: Any moment of the day whose sunrise counts.
        site: For latitude and longitude.
    """
    latitude = USUAL_LATITUDE_DEG if site.latitude_deg is None else site.latitude_deg
    sun = sun_times(day=day.date(), latitude_deg=latitude, longitude_deg=0.0)
    if sun is None:  # polar day or night: a plain wave
        wave: FloatArray = DAILY_SWING_K * np.cos((hours_solar - 15.0) * (np.pi / 12.0))
        return wave
    rise, fall = (t.hour + t.minute / 60.0 for t in sun)
    curve: FloatArray = hourly_from_extremes(
        hours=hours_solar,
        low_c=[-DAILY_SWING_K],
        high_c=[DAILY_SWING_K],
        sunrise_h=[rise],
        sunset_h=[fall],
    )
    return curve


def outdoor_course(
    readings: Sequence[Said], *, start: datetime, steps: int, site: Site
) -> tuple[FloatArray, FloatArray]:
    """Outdoor temperature at each step, °C, and hours to the nearest reading.

    Readings are joined by lines on top of a usual day's curve; before the first and after the last the
    departure is held. Without a reading the calendar speaks, and the hours are many.
    """
    longitude = site.longitude_deg or 0.0
    grid_h = (np.arange(steps) + 0.5) * STEP_H
    swing = daily_swing_k(solar_hours(start, grid_h, longitude), day=start, site=site)
    if not readings:
        low, _ = calendar_low_c(start, site)
        return low + DAILY_SWING_K + swing, np.full(steps, 240.0)
    at = np.array([(r.at - start) / timedelta(hours=1) for r in readings])
    order = np.argsort(at, kind="stable")
    at = at[order]
    departure = np.array([r.value for r in readings])[order]
    departure = departure - daily_swing_k(solar_hours(start, at, longitude), day=start, site=site)
    course = np.interp(grid_h, at, departure) + swing
    right = np.searchsorted(at, grid_h)
    before = np.where(right > 0, grid_h - at[np.maximum(right - 1, 0)], np.inf)
    after = np.where(right < len(at), at[np.minimum(right, len(at) - 1)] - grid_h, np.inf)
    return course, np.minimum(before, after)


def calendar_low_c(day: datetime, site: Site) -> tuple[float, float]:
    """A wide guess of a night's low and its sd from the calendar alone, °C and K."""
    return climate_guess_c(
        day_of_year=day.timetuple().tm_yday, latitude_deg=site.latitude_deg, elevation_m=site.elevation_m
    )


def sun_w(*, description: Description, building: Building, start: datetime, steps: int) -> FloatArray:
    """Heat of the sun in the cabin on a usual clear winter day, W, before the learned factor."""
    site = description.site
    latitude = USUAL_LATITUDE_DEG if site.latitude_deg is None else site.latitude_deg
    when = start.timestamp() + (np.arange(steps) + 0.5) * STEP_H * 3600.0
    elevation = solar_elevation_deg(
        times_s=when, latitude_deg=latitude, longitude_deg=site.longitude_deg or 0.0
    )
    height = np.sin(np.radians(np.maximum(elevation, 0.0)))
    area = building.window_area_by_facing
    towards_sun, away = ("S", "N") if latitude >= 0 else ("N", "S")
    sides = area.get("E", 0.0) + area.get("W", 0.0)
    glass = area.get(towards_sun, 0.0) + 0.5 * sides + 0.2 * area.get(away, 0.0)
    full = GLAZING_SUN_W_PER_M2 * glass + ROOM_SUN_W_PER_M2 * building.floor_m2
    sun: FloatArray = full * 1.5 * height**1.2  # power 1.2: low sun is weak; a square root gave 1 kW at dawn
    return sun
