"""From the owner's description to prior numbers: heat loss, heat capacity, windows, and how sure.

Whatever is not described is filled in from a plausible box over the floor, and the widths grow.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from logbook.errors import BadInputError
from logbook.heat.envelope import compact_perimeter_m, effective_capacity_mj_per_m2k, u_value_w_per_m2k
from logbook.heat.infiltration import (
    LEAKAGE_CM2_PER_M2,
    PRIOR_DELTA_K,
    PRIOR_WIND_M_PER_S,
    air_w_per_k,
    infiltration_m3_per_h,
)
from logbook.records import Cabin, Surface

DEFAULT_U_W_PER_M2K = {"wall": 0.65, "roof": 0.5, "floor": 0.55, "window": 3.8, "door": 2.2}
"""Heat loss per area when nothing says how a surface insulates, W/m2K. ASSUMED: between 9 cm of batts
(0.4) and bare boards (1.6-2.4), nearer the batts; windows between single (5.2) and double (2.9)."""

KINDS = tuple(DEFAULT_U_W_PER_M2K)

FABRIC_LOG_SD = {True: 0.20, False: 0.50}
"""Log sd of the heat loss through the fabric: its described part, and the part guessed. ASSUMED: framing
nobody described, wet batts and gaps add, while ISO 6946 against a detailed simulation of five cabins
agreed within 12 %; undescribed, bare boards to thick batts is a factor of four."""

AIR_LOG_SD = {True: 0.50, False: 0.80}
"""Log sd of the air change: with a word for leakiness, or without. Source: five simulated cabins
spanned 0.6-4.8 changes per hour; ASSUMED otherwise."""

LOSS_LOG_SD_LEAST = 0.30
"""Least log sd of the whole heat loss of a described cabin. Source: leave-one-out runs on five simulated
cabins; a narrower prior missed the leaky one."""

GUESSED_LOG_SD = 0.20
"""What is added to that when all of the fabric is guessed, in proportion to the guessed part. ASSUMED."""

MOSTLY_DESCRIBED = 0.15
"""Share of the fabric's loss that may be guessed (a door, say) while the cabin still counts as described."""

INNER_DEPTH_M = 0.05
"""Fabric that follows a fire within the evening, m from the inner face. Source: the same runs; the
standard's 10 cm is for a whole day's swing and goes to the deep part here."""

FURNITURE_MJ_PER_M2K = 0.03
"""Furniture and light partitions per floor area, MJ/m2K. ASSUMED; ISO 13790 counts 0.01-0.02 in homes."""

CAPACITY_LOG_SD = {True: 0.45, False: 0.60}
"""Log sd of the inner heat capacity: layers given, or guessed."""

BARE_CAPACITY_MJ_PER_M2K = {"wall": 0.012, "roof": 0.012, "floor": 0.018, "door": 0.012, "window": 0.0}
"""Inner capacity per area of a surface without layers, MJ/m2K: a 16 mm board, a 22 mm floor. ASSUMED."""

WINDOW_PER_FLOOR = 0.14
"""Window area per floor area when no window is described. ASSUMED; a tenth is the usual least by code."""

DOOR_M2 = 1.8
"""One door, m2. Common practice, no source."""

ROOF_PER_FLOOR = 1.15
"""Roof (or ceiling under it) per floor area: a low pitch. ASSUMED."""

FACINGS = ("N", "E", "S", "W")


@dataclass(frozen=True, slots=True, kw_only=True)
class Building:
    """The cabin as numbers, before any reading. Widths are sds of the natural logarithm.

    Conductances in W per K of inside less outside, at the steady figure's weather (20 and -5 °C,
    2.5 m/s). ``air_share`` is the air's part of the whole. Capacities in MJ/K: ``inner`` follows a
    fire within the evening, ``deep`` within days. ``described`` is false when more than
    `MOSTLY_DESCRIBED` of the fabric's loss is guessed; ``sources`` says what was, and by which method.
    """

    opaque_w_per_k: float
    glazed_w_per_k: float
    floor_w_per_k: float
    air_w_per_k: float
    heat_loss_w_per_k: float
    heat_loss_log_sd: float
    fabric_log_sd: float
    air_log_sd: float
    inner_capacity_mj_per_k: float
    capacity_log_sd: float
    deep_capacity_mj_per_k: float
    inner_area_m2: float
    window_area_by_facing: Mapping[str, float]
    air_share: float
    volume_m3: float
    floor_m2: float
    described: bool
    sources: tuple[str, ...]


def building(cabin: Cabin) -> Building:
    """Prior numbers of a cabin from its description.

    Args:
        cabin: Floor and volume at least; both above 0.

    Raises:
        BadInputError: No positive floor or volume, an unknown kind of surface or leakiness, or a
            surface as `envelope.u_value_w_per_m2k` refuses it.
    """
    _check(cabin)
    surfaces, notes = _completed(cabin)
    losses = dict.fromkeys(KINDS, 0.0)
    for surface in surfaces:
        losses[surface.kind] += surface.area_m2 * _u(surface)
    guessed = sum(s.area_m2 * _u(s) for s in surfaces if u_value_w_per_m2k(s) is None)
    fabric = sum(losses.values())
    air = _air_w_per_k(cabin, surfaces)
    whole = fabric + air
    inner = _inner_capacity_mj_per_k(cabin, surfaces)
    layered = any(surface.layers for surface in cabin.surfaces)
    return Building(
        opaque_w_per_k=losses["wall"] + losses["roof"] + losses["door"],
        glazed_w_per_k=losses["window"],
        floor_w_per_k=losses["floor"],
        air_w_per_k=air,
        heat_loss_w_per_k=whole,
        heat_loss_log_sd=_loss_log_sd(
            fabric=fabric, guessed=guessed, air=air, leakiness=cabin.leakiness is not None
        ),
        fabric_log_sd=math.hypot((fabric - guessed) * FABRIC_LOG_SD[True], guessed * FABRIC_LOG_SD[False])
        / fabric,
        air_log_sd=AIR_LOG_SD[cabin.leakiness is not None],
        inner_capacity_mj_per_k=inner,
        capacity_log_sd=CAPACITY_LOG_SD[layered],
        deep_capacity_mj_per_k=_behind_mj_per_k(surfaces) + DEEP_SHARE * inner,
        inner_area_m2=sum(surface.area_m2 for surface in surfaces if surface.kind != "window"),
        window_area_by_facing=MappingProxyType(_windows(surfaces)),
        air_share=air / whole,
        volume_m3=cabin.volume_m3,
        floor_m2=cabin.floor_m2,
        described=guessed <= MOSTLY_DESCRIBED * fabric,
        sources=(*notes, _leakiness_note(cabin), *_METHODS),
    )


_METHODS = (
    "Surfaces with layers: ISO 6946 (and ISO 13370, simplified, over crawl space and ground).",
    "Air: ASHRAE basic leakage model at 25 K and 2.5 m/s.",
    "Heat capacity: inner 5 cm up to the first insulation (after ISO 13786), furniture assumed.",
)


def _check(cabin: Cabin) -> None:
    if not (cabin.floor_m2 > 0.0 and cabin.volume_m3 > 0.0):
        raise BadInputError(
            f"A cabin of {cabin.floor_m2:g} m2 and {cabin.volume_m3:g} m3 has no room to heat.\n"
            "Give a floor area and a volume above 0."
        )
    for surface in cabin.surfaces:
        if surface.kind not in KINDS:
            raise BadInputError(
                f"'{surface.kind}' is not a kind of surface.\nUse one of: {', '.join(KINDS)}."
            )
    if cabin.leakiness is not None and cabin.leakiness not in LEAKAGE_CM2_PER_M2:
        raise BadInputError(
            f"Leakiness '{cabin.leakiness}' is not known.\nUse one of: {', '.join(LEAKAGE_CM2_PER_M2)}."
        )


def _completed(cabin: Cabin) -> tuple[tuple[Surface, ...], tuple[str, ...]]:
    """The described surfaces and a plausible one for each kind that is missing, with notes on those."""
    given = {surface.kind for surface in cabin.surfaces}
    notes = [
        f"A {surface.kind} of {surface.area_m2:g} m2 has no layers, U or glazing: "
        f"{DEFAULT_U_W_PER_M2K[surface.kind]:g} W/m2K assumed."
        for surface in cabin.surfaces
        if u_value_w_per_m2k(surface) is None
    ]
    areas = {
        "wall": max(compact_perimeter_m(area_m2=cabin.floor_m2) * cabin.volume_m3 / cabin.floor_m2, 1.0),
        "roof": ROOF_PER_FLOOR * cabin.floor_m2,
        "floor": cabin.floor_m2,
        "window": WINDOW_PER_FLOOR * cabin.floor_m2,
        "door": DOOR_M2,
    }
    holes = [areas[kind] for kind in ("window", "door") if kind not in given]
    holes += [surface.area_m2 for surface in cabin.surfaces if surface.kind in ("window", "door")]
    areas["wall"] = max(areas["wall"] - sum(holes), 0.3 * areas["wall"])
    added = [Surface(kind=kind, area_m2=areas[kind]) for kind in KINDS if kind not in given]
    notes += [
        f"No {surface.kind} described: {surface.area_m2:.0f} m2 at "
        f"{DEFAULT_U_W_PER_M2K[surface.kind]:g} W/m2K assumed."
        for surface in added
    ]
    return (*cabin.surfaces, *added), tuple(notes)


def _u(surface: Surface) -> float:
    described = u_value_w_per_m2k(surface)
    return DEFAULT_U_W_PER_M2K[surface.kind] if described is None else described


def _air_w_per_k(cabin: Cabin, surfaces: tuple[Surface, ...]) -> float:
    envelope_m2 = sum(surface.area_m2 for surface in surfaces)
    leakage = LEAKAGE_CM2_PER_M2[cabin.leakiness or "average"] * envelope_m2
    flow = infiltration_m3_per_h(
        leakage_area_cm2=leakage, delta_k=PRIOR_DELTA_K, wind_m_per_s=PRIOR_WIND_M_PER_S
    )
    return air_w_per_k(flow_m3_per_h=flow)


def _leakiness_note(cabin: Cabin) -> str:
    if cabin.leakiness is None:
        return "Leakiness not described: average assumed, wide."
    return f"Leakiness as described: {cabin.leakiness}."


def _loss_log_sd(*, fabric: float, guessed: float, air: float, leakiness: bool) -> float:
    """The parts' widths combined; never below what leave-one-out runs needed."""
    parts = (
        (fabric - guessed) * FABRIC_LOG_SD[True],
        guessed * FABRIC_LOG_SD[False],
        air * AIR_LOG_SD[leakiness],
    )
    least = LOSS_LOG_SD_LEAST + GUESSED_LOG_SD * guessed / fabric
    return max(math.hypot(*parts) / (fabric + air), least)


def _inner_capacity_mj_per_k(cabin: Cabin, surfaces: tuple[Surface, ...]) -> float:
    held = FURNITURE_MJ_PER_M2K * cabin.floor_m2
    for surface in surfaces:
        if surface.layers:
            per_m2 = effective_capacity_mj_per_m2k(layers=surface.layers, depth_m=INNER_DEPTH_M)
        else:
            per_m2 = BARE_CAPACITY_MJ_PER_M2K[surface.kind]
        held += surface.area_m2 * per_m2
    return held


DEEP_DEPTH_M = 0.15
"""How far days reach into a surface without insulation, m. Source: the daily penetration depth of wood and
concrete is 8–15 cm (ISO 13786); ASSUMED the upper end."""

DEEP_SHARE = 0.25
"""What else follows only within days, as a share of the inner capacity: cores of furniture, framing, what
lies behind batts. ASSUMED."""


def _behind_mj_per_k(surfaces: tuple[Surface, ...]) -> float:
    """Capacity of the layers behind the inner part, up to the first insulation, MJ/K."""
    return sum(
        s.area_m2
        * (
            effective_capacity_mj_per_m2k(layers=s.layers, depth_m=DEEP_DEPTH_M)
            - effective_capacity_mj_per_m2k(layers=s.layers, depth_m=INNER_DEPTH_M)
        )
        for s in surfaces
        if s.layers
    )


def _windows(surfaces: tuple[Surface, ...]) -> dict[str, float]:
    """Glass by facing, m2: a corner direction goes half to each side, an unknown one to all four."""
    areas = dict.fromkeys(FACINGS, 0.0)
    for surface in surfaces:
        if surface.kind != "window":
            continue
        named = [letter for letter in (surface.faces or "").upper() if letter in FACINGS]
        for letter in named or FACINGS:
            areas[letter] += surface.area_m2 / len(named or FACINGS)
    return areas


def time_constant_h(*, capacity_mj_per_k: float, heat_loss_w_per_k: float) -> float:
    """Hours in which 63 % of a temperature difference is gone: capacity over heat loss.

    Args:
        capacity_mj_per_k: Heat capacity, MJ/K.
        heat_loss_w_per_k: Heat loss, W/K; above 0.

    Source: ISO 13790, 12.2.1.3.
    """
    return capacity_mj_per_k * 1e6 / (3600.0 * heat_loss_w_per_k)
