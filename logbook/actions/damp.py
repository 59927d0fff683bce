"""Damp: from the log to an answer, with the cabin's surfaces and the handbook's moist air; no model run."""

from __future__ import annotations

from dataclasses import dataclass

from logbook.care.damp import (
    READ_WITHIN,
    Face,
    airing,
    humidity_rows,
    seen_rows,
    stay_water,
    surface_rows,
)
from logbook.care.weather_by_hand import days_known
from logbook.heat.construction import DEFAULT_U_W_PER_M2K
from logbook.heat.envelope import INNER_FILM_M2K_PER_W, u_value_w_per_m2k
from logbook.heat.moist_air import dew_point_c, saturation_pressure_pa
from logbook.house import House
from logbook.records import MAIN_PLACE, Surface
from logbook.results.damp import DampAnswer, HumidityRow, OutdoorFrom, SurfaceRow
from logbook.setting import local_time

PANE_W_PER_M2K = {"single": 5.8, "double": 2.8}
"""U of the glass alone, W/m2K: it sweats first, not the frame. Source: EN ISO 10077-1 (from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is said with the question; None where the log decides. °C, %."""

    inside_c: float | None = None
    outdoor_c: float | None = None
    rh_pct: float | None = None
    night_low_c: float | None = None


class _Handbook:
    """Moist air by the handbook."""

    def saturation_pa(self, temperature_c: float) -> float:
        """As ``care.damp`` asks for it."""
        return saturation_pressure_pa(temperature_c=temperature_c)

    def dew_point_c(self, temperature_c: float, rh_pct: float) -> float:
        """As ``care.damp`` asks for it."""
        return dew_point_c(temperature_c=temperature_c, rh_pct=rh_pct)


def damp(house: House, asked: Asked) -> DampAnswer:
    """Damp as of the house's time; without a description there are no surfaces and no airing."""
    air = _Handbook()
    readings = humidity_rows(house, air=air)
    now = _main_now(house, readings)
    inside = asked.inside_c if asked.inside_c is not None else _inside(house, now)
    rh = asked.rh_pct if asked.rh_pct is not None else (now.rh_pct if now else None)
    outdoor, source = _outdoor(house, asked)
    surfaces: tuple[SurfaceRow, ...] = ()
    leaving = None
    cabin = house.description.cabin if house.description else None
    if cabin is not None and inside is not None and outdoor is not None:
        faces = _faces(cabin.surfaces)
        surfaces = surface_rows(faces, inside_c=inside, outdoor_c=outdoor, rh_pct=rh, air=air)
        if rh is not None:
            leaving = airing(
                inside_c=inside,
                rh_pct=rh,
                outdoor_c=outdoor,
                cooled_c=_cooled_c(house, asked, outdoor),
                volume_m3=cabin.volume_m3,
                air=air,
            )
    return DampAnswer(
        as_of=house.as_of,
        inside_c=inside,
        outdoor_c=outdoor,
        outdoor_from=source,
        rh_pct=rh,
        dew_point_c=None if rh is None or inside is None else air.dew_point_c(inside, rh),
        readings=readings,
        surfaces=surfaces,
        seen=seen_rows(house),
        water=stay_water(house),
        airing=leaving,
        described=cabin is not None,
    )


def _main_now(house: House, readings: tuple[HumidityRow, ...]) -> HumidityRow | None:
    fresh = (row for row in readings if row.place == MAIN_PLACE and house.as_of - row.at <= READ_WITHIN)
    return next(fresh, None)


def _inside(house: House, now: HumidityRow | None) -> float | None:
    """The room's temperature that goes with the humidity, else the newest one read."""
    if now is not None:
        return now.temperature_c
    read = [
        e.indoor_c
        for e in house.entries
        if e.indoor_c is not None and e.place == MAIN_PLACE and house.as_of - e.at <= READ_WITHIN
    ]
    return read[-1] if read else None


def _outdoor(house: House, asked: Asked) -> tuple[float | None, OutdoorFrom | None]:
    if asked.outdoor_c is not None:
        return asked.outdoor_c, OutdoorFrom.ASKED
    read = [
        e.outdoor_c
        for e in house.entries
        if e.outdoor_c is not None and house.as_of - e.at <= READ_WITHIN
    ]  # fmt: skip
    if read:
        return read[-1], OutdoorFrom.READ
    today = local_time(house.as_of, house.setting.zone).date()
    typed = [day for day in days_known(house) if day.day == today]
    if typed:
        return (typed[0].low_c + typed[0].high_c) / 2.0, OutdoorFrom.TYPED
    return None, None


def _cooled_c(house: House, asked: Asked, outdoor_c: float) -> float:
    """What a pane comes down to in the nights to come: the lowest known, else as it is outside now."""
    if asked.night_low_c is not None:
        return min(asked.night_low_c, outdoor_c)
    today = local_time(house.as_of, house.setting.zone).date()
    return min([outdoor_c, *(day.low_c for day in days_known(house) if day.day >= today)])


def _faces(surfaces: tuple[Surface, ...]) -> list[Face]:
    """The described surfaces, alike ones once; a cabin without any has the kinds every cabin has, assumed."""
    faces = [_face(surface) for surface in surfaces]
    kinds = {face.kind for face in faces}
    faces += [_face(Surface(kind=kind, area_m2=1.0)) for kind in DEFAULT_U_W_PER_M2K if kind not in kinds]
    return list(dict.fromkeys(faces))


def _face(surface: Surface) -> Face:
    described = u_value_w_per_m2k(surface)
    if surface.glazing is not None and surface.u_w_per_m2k is None:
        described = PANE_W_PER_M2K.get(surface.glazing, described)
    return Face(
        kind=surface.kind,
        faces=surface.faces or "",
        u_w_per_m2k=DEFAULT_U_W_PER_M2K[surface.kind] if described is None else described,
        film_m2k_per_w=INNER_FILM_M2K_PER_W[surface.kind],
        assumed=described is None,
    )
