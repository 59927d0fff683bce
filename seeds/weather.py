"""An invented mountain valley's winter, hour by hour: temperature, wind, cloud and sun.

A seasonal mean, a slow wander from day to day, cold fronts that come in with wind and clear behind,
and a daily swing that clouds flatten. Numbers are made up to look like an inland valley at 800 m.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

LATITUDE_DEG = 47.0
SOLAR_CONSTANT_W_PER_M2 = 1361.0


@dataclass(frozen=True)
class Moment:
    """The weather at one minute."""

    air_c: float
    wind_m_per_s: float
    cloud: float
    sun_w_per_m2: float
    sun_elevation_rad: float
    sun_azimuth_rad: float


class Weather:
    """Hourly series from ``start`` on, read between the hours."""

    def __init__(self, start: datetime, days: int, rng: np.random.Generator) -> None:
        self.start = start
        hours = days * 24
        self.cloud = _cloud(hours, rng)
        drop_k, gust = _fronts(hours, rng)
        wander_k = _wander(hours, rng)
        swing_k = 5.5 * (1.0 - 0.75 * self.cloud)
        hour = np.arange(hours)
        day_of_year = np.array([(start + timedelta(hours=int(h))).timetuple().tm_yday for h in hour])
        season_c = 5.2 - 8.6 * np.cos(2 * np.pi * (day_of_year - 18) / 365.25)
        daily = -swing_k * np.cos(2 * np.pi * (hour % 24 - 14.5 + 12) / 24.0)
        self.air_c = season_c + wander_k - drop_k + daily
        self.wind = np.maximum(0.1, _wind(hours, rng) + gust)
        self._flutter = rng.normal(0.0, 1.0, 4096)

    def at(self, when: datetime) -> Moment:
        """The weather at a minute, with gusts that hourly wind does not show."""
        place = (when - self.start).total_seconds() / 3600.0
        minute = round(place * 60)
        gust = 1.0 + 0.35 * float(self._flutter[minute % 4096])
        elevation, azimuth = sun(when)
        cloud = self._between(self.cloud, place)
        clear = 0.0
        if elevation > 0.05:
            air_mass = 1.0 / (math.sin(elevation) + 0.15 * (math.degrees(elevation) + 3.885) ** -1.253)
            clear = SOLAR_CONSTANT_W_PER_M2 * 0.72**air_mass
        return Moment(
            air_c=self._between(self.air_c, place),
            wind_m_per_s=max(0.0, self._between(self.wind, place) * gust),
            cloud=cloud,
            sun_w_per_m2=clear * (1.0 - 0.9 * cloud),
            sun_elevation_rad=elevation,
            sun_azimuth_rad=azimuth,
        )

    def low_after(self, when: datetime) -> float:
        """The lowest hour of the next fourteen: what a forecaster would try to say."""
        first = int((when - self.start).total_seconds() // 3600)
        return float(self.air_c[first : first + 14].min())

    def mean_before(self, when: datetime, days: int) -> float:
        """Mean air temperature of the days before, °C."""
        last = int((when - self.start).total_seconds() // 3600)
        return float(self.air_c[max(0, last - 24 * days) : last].mean())

    @staticmethod
    def _between(series: np.ndarray, place: float) -> float:
        before = int(place)
        share = place - before
        return float(series[before] * (1.0 - share) + series[before + 1] * share)


def sun(when: datetime) -> tuple[float, float]:
    """Elevation and azimuth (from south, west positive), rad; clock time taken as sun time."""
    declination = math.radians(-23.44) * math.cos(2 * math.pi * (when.timetuple().tm_yday + 10) / 365.25)
    hour_angle = math.radians(15.0 * (when.hour + when.minute / 60.0 - 12.0))
    latitude = math.radians(LATITUDE_DEG)
    height = math.sin(latitude) * math.sin(declination)
    height += math.cos(latitude) * math.cos(declination) * math.cos(hour_angle)
    across = math.cos(declination) * math.sin(hour_angle)
    along = math.sin(latitude) * math.cos(declination) * math.cos(hour_angle)
    along -= math.cos(latitude) * math.sin(declination)
    return math.asin(height), math.atan2(across, along)


def _autoregressive(hours: int, memory_h: float, spread: float, rng: np.random.Generator) -> np.ndarray:
    keep = math.exp(-1.0 / memory_h)
    kick = rng.normal(0.0, spread * math.sqrt(1.0 - keep * keep), hours)
    series = np.empty(hours)
    value = 0.0
    for hour in range(hours):
        value = keep * value + kick[hour]
        series[hour] = value
    return series


def _cloud(hours: int, rng: np.random.Generator) -> np.ndarray:
    return 1.0 / (1.0 + np.exp(-(_autoregressive(hours, 16.0, 2.0, rng) + 0.2)))


def _wander(hours: int, rng: np.random.Generator) -> np.ndarray:
    return _autoregressive(hours, 60.0, 2.8, rng) + _autoregressive(hours, 5.0, 0.6, rng)


def _wind(hours: int, rng: np.random.Generator) -> np.ndarray:
    return 1.7 + _autoregressive(hours, 9.0, 1.0, rng)


def _fronts(hours: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Cold air that falls in within hours and mixes away over days, and the wind that comes with it."""
    drop_k, gust = np.zeros(hours), np.zeros(hours)
    hour = float(rng.exponential(130.0))
    while hour < hours:
        after = np.arange(hours) - hour
        depth = float(rng.uniform(3.0, 8.0))
        arrival = 1.0 / (1.0 + np.exp(-np.clip(after / 1.5, -60.0, 60.0)))
        drop_k += depth * arrival * np.exp(-np.clip(after, 0.0, None) / 55.0)
        gust += float(rng.uniform(2.0, 5.5)) * np.exp(-((after - 1.0) ** 2) / (2 * 4.0**2))
        hour += float(rng.exponential(130.0))
    return drop_k - drop_k.mean(), gust
