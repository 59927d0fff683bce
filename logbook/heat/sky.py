"""Where the sun stands and when it rises and sets.

Longitudes are positive east (the NOAA sheet of the 1990s counts west; a slip of that sign moves
sunrise by hours). Heights and azimuths are geometric: no refraction, which only matters within a
degree of the horizon where the sun gives no heat worth counting.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

POSIX_OF_J2000_S = 946_728_000.0
"""POSIX time of 2000-01-01 12:00 UTC, s; the epoch J2000.0 to within about a minute (TT - UTC)."""

SECONDS_PER_CENTURY = 36_525 * 86_400.0
"""Julian century, s."""


def sun_times(*, day: date, latitude_deg: float, longitude_deg: float) -> tuple[datetime, datetime] | None:
    """Sunrise and sunset of a local day, aware and in UTC; None where the sun does not cross the horizon.

    Upper limb, sea-level horizon, standard refraction. The local day is the one of the mean solar
    time of the longitude, so both times belong to the same daylight even where UTC has another date.

    Args:
        day: Local calendar day.
        latitude_deg: North positive, degrees.
        longitude_deg: East positive, degrees.

    Source: astral (NOAA equations), held by a test to within a minute of the US Naval Observatory's
    table for every day of 2007.
    """
    from astral import Observer  # noqa: PLC0415 - 20 ms that the first screen need not pay
    from astral.sun import sunrise, sunset  # noqa: PLC0415

    zone = timezone(timedelta(hours=round(longitude_deg / 15.0)))
    where = Observer(latitude=latitude_deg, longitude=longitude_deg, elevation=0.0)
    try:
        rise: datetime = sunrise(where, date=day, tzinfo=zone)
        fall: datetime = sunset(where, date=day, tzinfo=zone)
    except ValueError:  # astral's word for "never reaches the horizon on this day"
        return None
    return rise.astimezone(UTC), fall.astimezone(UTC)


def solar_elevation_deg(*, times_s: Any, latitude_deg: float, longitude_deg: float) -> Floats:
    """Height of the sun's centre above the horizon, degrees; negative at night.

    Args:
        times_s: POSIX times, s; any shape.
        latitude_deg: North positive, degrees.
        longitude_deg: East positive, degrees.

    Source: NOAA solar calculator (Meeus, Astronomical Algorithms, ch. 25). Agrees with astral to
    0.0005 degrees and with the US Naval Observatory's sunrises to their printed minute.
    """
    declination, hour_angle = _declination_and_hour_angle(times_s, longitude_deg)
    latitude = np.radians(latitude_deg)
    sine = np.sin(latitude) * np.sin(declination) + (
        np.cos(latitude) * np.cos(declination) * np.cos(hour_angle)
    )
    return np.asarray(np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0))))


def _declination_and_hour_angle(times_s: Any, longitude_deg: float) -> tuple[Floats, Floats]:
    """Declination and local hour angle, radians. Constants: Meeus ch. 22, 25 and 28, as NOAA uses them."""
    posix = np.asarray(times_s, dtype=np.float64)
    t = (posix - POSIX_OF_J2000_S) / SECONDS_PER_CENTURY
    mean_longitude = np.radians((280.46646 + t * (36000.76983 + 0.0003032 * t)) % 360.0)
    anomaly = np.radians(357.52911 + t * (35999.05029 - 0.0001537 * t))
    eccentricity = 0.016708634 - t * (0.000042037 + 0.0000001267 * t)
    centre = np.radians(
        np.sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t))
        + np.sin(2 * anomaly) * (0.019993 - 0.000101 * t)
        + np.sin(3 * anomaly) * 0.000289
    )
    node = np.radians(125.04 - 1934.136 * t)
    apparent = mean_longitude + centre - np.radians(0.00569 + 0.00478 * np.sin(node))
    obliquity = np.radians(23.439291 - 0.0130042 * t + 0.00256 * np.cos(node))
    declination = np.arcsin(np.sin(obliquity) * np.sin(apparent))
    y = np.tan(obliquity / 2.0) ** 2
    equation_of_time = (  # radians
        y * np.sin(2 * mean_longitude)
        - 2 * eccentricity * np.sin(anomaly)
        + 4 * eccentricity * y * np.sin(anomaly) * np.cos(2 * mean_longitude)
        - 0.5 * y**2 * np.sin(4 * mean_longitude)
        - 1.25 * eccentricity**2 * np.sin(2 * anomaly)
    )
    since_midnight = (posix % 86_400.0) / 86_400.0 * 2.0 * np.pi
    hour_angle = since_midnight + np.radians(longitude_deg) + equation_of_time - np.pi
    return declination, hour_angle
