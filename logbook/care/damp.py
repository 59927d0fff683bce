"""Damp: dew point against the surfaces' likely temperature, the stay's water, and airing on leaving.

Moist air and the surfaces' insulation come in from outside this module; the equations here are the simple
steady ones, good to a degree or two: a draught or a curtain moves a pane further than that.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Protocol

from logbook.care.sights import standing
from logbook.house import House
from logbook.matters import Sight, folded
from logbook.records import MAIN_PLACE, Entry
from logbook.results.damp import Airing, HumidityRow, SeenRow, StayWater, SurfaceRow, SurfaceState
from logbook.results.night import Range
from logbook.units import ZERO_C_IN_K

R_VAPOUR_J_PER_KGK = 461.5
"""Gas constant of water vapour, J/kgK. Source: 8.314 J/molK over 18.015 g/mol."""

BEHIND_FURNITURE_M2K_PER_W = 0.25
"""Inner surface resistance in corners and behind furniture, m2K/W. Source: ISO 13788, for the risk of mould
(from memory)."""

NEAR_K = 2.0
"""A surface this near above the dew point is called near. ASSUMED: the spread of a steady estimate."""

READ_WITHIN = timedelta(hours=12)
"""A reading this fresh stands for now. ASSUMED: as for the temperature outside elsewhere."""

LISTED_WITHIN = timedelta(days=30)
"""Humidity read this recently is listed. ASSUMED."""

BREATH_KG_PER_DAY = Range(0.96, 1.25, 1.44)
"""Water of one person's breath and skin at rest, kg a day. Source: 0.44 US pints an hour for a family of four
(Moisture Sources Associated with Potential Damage in Cold Climate Housing, 1988, as reported); ends from 40
to 60 g an hour sitting (a table of emission rates in a book on solar housing, read)."""

COOKING_KG_PER_DAY = Range(0.14, 0.35, 1.2)
"""Water of cooking, kg a person-day. Source: 1.2 pints a dinner of four, 1.6 more on gas (the same, as
reported); upper end 3.0 L a day for 2.5 people (a roofing code of practice, read). Middle ASSUMED."""

DISHES_KG_PER_DAY = Range(0.08, 0.15, 0.40)
"""Water of washing up, kg a person-day. Source: 0.68 pints a dinner of four; upper end 1.0 L a day for 2.5
people (the same two). Middle ASSUMED."""

OUTDOOR_RH_PCT = 85.0
"""Humidity outside in the cold months, %. ASSUMED: 80 to 90 on most winter days; nobody reads it."""

AS_DRY_WITHIN = 0.1
"""Nearly as dry as outside: this share above it. ASSUMED."""

AIR_CHANGES_PER_H = (
    ("window cracked", 0.5, 2.0),
    ("window half open", 5.0, 10.0),
    ("window wide open", 9.0, 15.0),
    ("windows open on both sides", 40.0, 40.0),
)
"""Changes of a room's air an hour by how it is opened, least and most. Source: a German advice page on mould
(tilted, half, wide, opposite), read; wind and cold move it further."""

DAMP_SIGHTS = frozenset({Sight.SWEATING, Sight.FROST, Sight.MOULD, Sight.LEAK})


class MoistAir(Protocol):
    """What is asked of moist air; frost form below 0 °C."""

    def saturation_pa(self, temperature_c: float) -> float:
        """Pressure of water vapour at saturation, Pa."""

    def dew_point_c(self, temperature_c: float, rh_pct: float) -> float:
        """Temperature at which the air wets or frosts a surface, °C."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A surface of the cabin: heat loss per area and the resistance of its inner film in the open, m2K/W."""

    kind: str
    faces: str
    u_w_per_m2k: float
    film_m2k_per_w: float
    assumed: bool = False


def inner_face_c(*, inside_c: float, outdoor_c: float, u_w_per_m2k: float, film_m2k_per_w: float) -> float:
    """Likely temperature of a surface's inner face, °C: the film's share of the whole drop.

    Args:
        inside_c: Room temperature, °C.
        outdoor_c: Temperature outside, °C.
        u_w_per_m2k: Heat loss of the surface per area, films included, W/m2K.
        film_m2k_per_w: Resistance of the inner film, m2K/W.

    Steady; a wall that was cold this morning is colder still. Source: ISO 6946, temperatures in a
    component; the same as the surface factor f = 1 - U Rsi of ISO 13788.
    """
    share = min(u_w_per_m2k * film_m2k_per_w, 1.0)
    return inside_c - share * (inside_c - outdoor_c)


def surface_rows(
    faces: Iterable[Face], *, inside_c: float, outdoor_c: float, rh_pct: float | None, air: MoistAir
) -> tuple[SurfaceRow, ...]:
    """Every surface, the coldest first, against the room's air."""
    dew_c = None if rh_pct is None else air.dew_point_c(inside_c, rh_pct)
    rows = []
    for face in faces:
        open_c, behind_c = (
            inner_face_c(
                inside_c=inside_c, outdoor_c=outdoor_c, u_w_per_m2k=face.u_w_per_m2k, film_m2k_per_w=film
            )
            for film in (face.film_m2k_per_w, BEHIND_FURNITURE_M2K_PER_W)
        )
        wet_from = 100.0 * air.saturation_pa(open_c) / air.saturation_pa(inside_c)
        rows.append(
            SurfaceRow(
                kind=face.kind,
                faces=face.faces,
                u_w_per_m2k=face.u_w_per_m2k,
                assumed=face.assumed,
                inside_c=open_c,
                behind_c=None if face.kind in ("window", "door") else behind_c,
                wet_from_rh_pct=min(wet_from, 100.0),
                state=None if dew_c is None else _state(open_c, dew_c),
            )
        )
    return tuple(sorted(rows, key=lambda row: row.inside_c))


def _state(surface_c: float, dew_c: float) -> SurfaceState:
    if surface_c > dew_c:
        return SurfaceState.NEAR if surface_c - dew_c <= NEAR_K else SurfaceState.DRY
    return SurfaceState.FROST if surface_c < 0.0 else SurfaceState.WET


def humidity_rows(house: House, *, air: MoistAir) -> tuple[HumidityRow, ...]:
    """The newest humidity of every place of the last month, the main room first."""
    newest: dict[str, HumidityRow] = {}
    for entry in house.entries:
        if entry.rh_pct is None or house.as_of - entry.at > LISTED_WITHIN or entry.rh_pct <= 0.0:
            continue
        temperature = entry.indoor_c if entry.indoor_c is not None else _nearest_c(house.entries, entry)
        if temperature is None:
            continue
        newest[entry.place] = HumidityRow(
            place=entry.place,
            at=entry.at,
            temperature_c=temperature,
            rh_pct=entry.rh_pct,
            dew_point_c=air.dew_point_c(temperature, entry.rh_pct),
        )
    return tuple(sorted(newest.values(), key=lambda row: (row.place != MAIN_PLACE, row.place)))


def seen_rows(house: House) -> tuple[SeenRow, ...]:
    """Sights of damp by place that stand: seen, and not said to be gone there since; the newest first."""
    rows: dict[tuple[Sight, str], SeenRow] = {}
    for at, seen in standing(house, DAMP_SIGHTS):
        key = seen.sight, folded(seen.place)
        had = rows.get(key)
        rows[key] = SeenRow(
            sight=seen.sight,
            place=seen.place,
            since=had.since if had else at,
            last=at,
            times=had.times + 1 if had else 1,
        )
    return tuple(sorted(rows.values(), key=lambda row: row.last, reverse=True))


def water_per_person_day_kg() -> Range:
    """Water one person gives to the cabin in a day there, kg: breath, cooking, dishes; no bath, no laundry.

    The parts' ends are taken as independent.
    """
    parts = (BREATH_KG_PER_DAY, COOKING_KG_PER_DAY, DISHES_KG_PER_DAY)
    middle = sum(part.p50 for part in parts)
    low = math.sqrt(sum((part.p50 - part.p05) ** 2 for part in parts))
    high = math.sqrt(sum((part.p95 - part.p50) ** 2 for part in parts))
    return Range(middle - low, middle, middle + high)


def stay_water(house: House) -> StayWater | None:
    """The water of the stay going on, else of the last one; None without any."""
    if not house.stays:
        return None
    stay = house.stays[-1]
    end = house.as_of if stay.going_on else stay.end
    days = stay.head_count * max((end - stay.start) / timedelta(days=1), 0.0)
    each = water_per_person_day_kg()
    kg = Range(days * each.p05, days * each.p50, days * each.p95)
    return StayWater(person_days=days, kg=kg, going_on=stay.going_on)


def vapour_g_per_m3(*, temperature_c: float, rh_pct: float, air: MoistAir) -> float:
    """Water in a cubic metre of air, g. Source: the ideal gas law for the vapour."""
    pressure_pa = rh_pct / 100.0 * air.saturation_pa(temperature_c)
    return 1000.0 * pressure_pa / (R_VAPOUR_J_PER_KGK * (temperature_c + ZERO_C_IN_K))


def airing(
    *, inside_c: float, rh_pct: float, outdoor_c: float, cooled_c: float, volume_m3: float, air: MoistAir
) -> Airing:
    """How much air to change on leaving, and how long that takes by how it is opened.

    Room air that mixes with what comes in nears the outdoor air as exp(-changes). It is changed until what
    is left in it would not wet anything at ``cooled_c``; where the air outside holds more than that, until
    it is within a tenth of outside. Walls, bedding and wood give water back afterwards: this is the least.

    Args:
        inside_c: Room temperature now, °C.
        rh_pct: Humidity of the room now, %.
        outdoor_c: Temperature outside now, °C.
        cooled_c: What the coldest surface comes down to when nobody heats, °C.
        volume_m3: Air in the room, m3.
        air: Moist air.
    """
    inside = vapour_g_per_m3(temperature_c=inside_c, rh_pct=rh_pct, air=air)
    outside = vapour_g_per_m3(temperature_c=outdoor_c, rh_pct=OUTDOOR_RH_PCT, air=air)
    wanted = vapour_g_per_m3(temperature_c=cooled_c, rh_pct=100.0, air=air)
    least = (1.0 + AS_DRY_WITHIN) * outside
    reachable = wanted >= least
    target = wanted if reachable else least
    changes = math.log((inside - outside) / (target - outside)) if inside > target else 0.0
    return Airing(
        cooled_c=cooled_c,
        outdoor_c=outdoor_c,
        reachable=reachable,
        air_changes=changes,
        in_air_kg=inside * volume_m3 / 1000.0,
        minutes=tuple(
            (how, 60.0 * changes / most, 60.0 * changes / least_per_h)
            for how, least_per_h, most in AIR_CHANGES_PER_H
        ),
    )


def _nearest_c(entries: Sequence[Entry], to: Entry) -> float | None:
    """The temperature read at the same place within an hour, °C."""
    near = [
        (abs(e.at - to.at), e.indoor_c)
        for e in entries
        if e.indoor_c is not None and e.place == to.place and abs(e.at - to.at) <= timedelta(hours=1)
    ]
    return min(near)[1] if near else None
