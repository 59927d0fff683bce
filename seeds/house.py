"""The invented cabin: heat conducted through each wall layer by layer, on a grid.

One-dimensional finite differences through walls, roof and floor, implicit in time; the inner faces
see each other through one radiant point; the room's air and its furniture stand between them.
Below the floor lies a crawl space, open at first, closed in by a skirting later. Air comes in by
stack and gusty wind with a flow exponent, and through a window as through an orifice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from weather import Moment

STEP_S = 60.0
AIR_J_PER_M3K = 1210.0
VOLUME_M3 = 70.0
ROOM_HEIGHT_M = 2.5
GROUND_C = 5.0

AIR, RADIANT, FURNITURE, CRAWL = 0, 1, 2, 3
"""Places in the state vector; the layers' points follow."""


@dataclass(frozen=True)
class Stuff:
    """A building material: W/mK, kg/m3, J/kgK."""

    conductivity: float
    density: float
    heat: float


LARCH = Stuff(0.13, 540.0, 1600.0)
FLEECE = Stuff(0.043, 28.0, 1300.0)
SHINGLE = Stuff(0.16, 420.0, 1600.0)
GYPSUM = Stuff(0.21, 900.0, 1050.0)


@dataclass(frozen=True)
class Face:
    """A surface as built: layers from outside to inside as (stuff, metres, points)."""

    name: str
    area_m2: float
    layers: tuple[tuple[Stuff, float, int], ...]
    outside_w_per_m2k: float
    over_crawl: bool = False
    sunlit: float = 0.0


FACES = (
    Face("walls", 50.0, ((LARCH, 0.024, 2), (FLEECE, 0.075, 3), (LARCH, 0.020, 3)), 20.0, sunlit=0.16),
    Face("roof", 32.0, ((SHINGLE, 0.022, 2), (FLEECE, 0.120, 4), (GYPSUM, 0.0125, 2)), 20.0, sunlit=0.30),
    Face("floor", 28.0, ((LARCH, 0.018, 2), (FLEECE, 0.030, 2), (LARCH, 0.028, 4)), 6.0, over_crawl=True),
)

WINDOWS_W_PER_K = 3.2 * 4.8
DOOR_W_PER_K = 2.4 * 1.9
THIN_SPOTS_W_PER_K = 8.0
"""Studs, sills and corners that the layers leave out."""

SOUTH_GLASS_M2 = 2.2
WEST_GLASS_M2 = 1.0
CRAWL_VOLUME_M3 = 14.0

CONVECTION_W_PER_M2K = 2.6
RADIATION_W_PER_M2K = 5.0


class House:
    """The cabin's temperatures, moved on a minute at a time."""

    def __init__(self, start_c: float) -> None:
        count = 4 + sum(points for face in FACES for _, _, points in face.layers)
        self.temperature_c = np.full(count, start_c)
        self.temperature_c[CRAWL] = 0.6 * start_c + 0.4 * GROUND_C
        self.skirting = False
        self._build()

    def put_up_skirting(self) -> None:
        """From now on the crawl space is closed in."""
        self.skirting = True

    @property
    def air_c(self) -> float:
        """Air temperature in the middle of the room, °C."""
        return float(self.temperature_c[AIR])

    @property
    def radiant_c(self) -> float:
        """What the stove's surface sees, °C."""
        return float(self.temperature_c[RADIANT])

    def step(
        self, sky: Moment, *, window: str, convected_w: float, radiated_w: float, drawn_m3_per_s: float
    ) -> None:
        """One minute on. ``drawn_m3_per_s`` is what the stove takes from the room."""
        gains = np.zeros_like(self.temperature_c)
        sun_in = self._sun_in(sky)
        flow = (
            self._leak(sky)
            + window_flow(window, self.air_c - sky.air_c, sky.wind_m_per_s)
            + 0.6 * drawn_m3_per_s
        )
        gains[AIR] = convected_w + 0.25 * sun_in + AIR_J_PER_M3K * flow * (sky.air_c - self.air_c)
        gains[RADIANT] = radiated_w + 0.6 * sun_in
        gains[FURNITURE] = 0.15 * sun_in
        still_per_h, windy_per_h = (1.5, 0.5) if self.skirting else (10.0, 12.0)
        changes_per_h = still_per_h + windy_per_h * sky.wind_m_per_s
        crawl_w_per_k = AIR_J_PER_M3K * CRAWL_VOLUME_M3 * changes_per_h / 3600.0
        crawl_c = self.temperature_c[CRAWL]
        crawl_share = 1.0 - math.exp(-crawl_w_per_k * STEP_S / self._capacity[CRAWL])
        gains[CRAWL] = crawl_share * (sky.air_c - crawl_c) * self._capacity[CRAWL] / STEP_S
        sky_cold_k = 3.0 * (1.0 - sky.cloud)
        for point, w_per_k, sunlit, area in self._outer:
            warm_k = sunlit * sky.sun_w_per_m2 * max(0.0, math.sin(sky.sun_elevation_rad)) / 20.0
            gains[point] += w_per_k * (sky.air_c + warm_k - (sky_cold_k if area == FACES[1].area_m2 else 0.0))
        gains[AIR] += self._straight_w_per_k * sky.air_c
        gains[CRAWL] += self._ground_w_per_k * GROUND_C
        self.temperature_c = self._inverse @ (self._capacity / STEP_S * self.temperature_c + gains)

    def _sun_in(self, sky: Moment) -> float:
        if sky.sun_w_per_m2 <= 0.0:
            return 0.0
        level = math.cos(sky.sun_elevation_rad)
        south = max(0.0, level * math.cos(sky.sun_azimuth_rad))
        west = max(0.0, level * math.sin(sky.sun_azimuth_rad))
        return 0.45 * sky.sun_w_per_m2 * (SOUTH_GLASS_M2 * south + WEST_GLASS_M2 * west)

    def _leak(self, sky: Moment) -> float:
        """Air through the cracks, m3/s: pressure to a power, cracks high and low and on the wind's side."""
        stack_pa = 0.042 * ROOM_HEIGHT_M * abs(self.air_c - sky.air_c)
        wind_pa = 0.6 * 0.5 * (0.7 * sky.wind_m_per_s) ** 2
        cracks = 0.0140 if self.skirting else 0.0160
        return cracks * (0.5 * stack_pa + 0.35 * wind_pa) ** 0.66

    def _build(self) -> None:
        """Heat capacities, and the inverse of the implicit step's matrix."""
        count = len(self.temperature_c)
        links = np.zeros((count, count))
        capacity = np.zeros(count)
        capacity[AIR] = AIR_J_PER_M3K * VOLUME_M3 * 1.3
        capacity[RADIANT] = 2.0e4
        capacity[FURNITURE] = 420.0 * 1500.0
        capacity[CRAWL] = 3.0e6
        _tie(links, AIR, FURNITURE, 55.0)
        _tie(links, RADIANT, FURNITURE, 40.0)
        self._straight_w_per_k = WINDOWS_W_PER_K + DOOR_W_PER_K + THIN_SPOTS_W_PER_K
        self._ground_w_per_k = 14.0
        links[AIR, AIR] += self._straight_w_per_k
        links[CRAWL, CRAWL] += self._ground_w_per_k
        self._outer: list[tuple[int, float, float, float]] = []
        point = 4
        for face in FACES:
            point = self._lay(face, point, links, capacity)
        self._capacity = capacity
        self._inverse = np.linalg.inv(np.diag(capacity / STEP_S) + links)

    def _lay(self, face: Face, first: int, links: np.ndarray, capacity: np.ndarray) -> int:
        """Put one face's layers on the grid from ``first`` on; the next free point."""
        slices = [(stuff, metres / points) for stuff, metres, points in face.layers for _ in range(points)]
        half = [0.5 * metres / stuff.conductivity for stuff, metres in slices]
        for place, (stuff, metres) in enumerate(slices):
            point = first + place
            capacity[point] = stuff.density * stuff.heat * metres * face.area_m2
            if place:
                _tie(links, point - 1, point, face.area_m2 / (half[place - 1] + half[place]))
        outward = face.area_m2 / (1.0 / face.outside_w_per_m2k + half[0])
        last = first + len(slices) - 1
        if face.over_crawl:
            _tie(links, first, CRAWL, outward)
        else:
            links[first, first] += outward
            self._outer.append((first, outward, face.sunlit, face.area_m2))
        for other, film in ((AIR, CONVECTION_W_PER_M2K), (RADIANT, RADIATION_W_PER_M2K)):
            _tie(links, last, other, face.area_m2 / (1.0 / film + half[-1]))
        return last + 1


def window_flow(window: str, difference_k: float, wind_m_per_s: float) -> float:
    """Air through a window standing open, m3/s: one opening, stack through its own height, and wind."""
    area_m2 = {"shut": 0.0, "cracked": 0.04, "open": 0.30}[window]
    stack = 0.6 * area_m2 / 3.0 * math.sqrt(9.81 * 0.9 * abs(difference_k) / 283.0)
    return stack + 0.025 * area_m2 * wind_m_per_s


def _tie(links: np.ndarray, one: int, other: int, w_per_k: float) -> None:
    links[one, one] += w_per_k
    links[other, other] += w_per_k
    links[one, other] -= w_per_k
    links[other, one] -= w_per_k
