"""One surface of the cabin: how well it insulates and how much heat its inner side holds.

Layers run from outside to inside. Framing an owner did not describe is not counted: a stud wall of
batts is about a tenth worse than its batts alone (`parallel_path_r` shows it), and the width of the
prior has to cover that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from logbook.errors import BadInputError
from logbook.records import Layer, Surface

INNER_FILM_M2K_PER_W = {"wall": 0.13, "door": 0.13, "window": 0.13, "roof": 0.10, "floor": 0.17}
"""Inner surface resistance, m2K/W: heat flowing sideways, up, down. Source: ISO 6946, table of
surface resistances (from memory; the wall's also in the worked wall of the tests)."""

OUTER_FILM_M2K_PER_W = 0.04
"""Outer surface resistance, m2K/W. Source: ISO 6946, wind 4 m/s."""

GLAZING_W_PER_M2K = {"single": 5.2, "double": 2.9}
"""U of a window in its wooden frame, W/m2K. Source: single pane 5.8 and air-filled double 2.8 in the
glass alone (EN ISO 10077-1, from memory), a quarter of the window frame at 2.0, and the spacer.
Handbook tables of older American windows give 6.4 and 3.7: treat as 15 % uncertain."""

INSULATION_BELOW_W_PER_MK = 0.10
"""A layer conducting less than this counts as insulation, W/mK. Source: the line drawn in German
practice for ISO 13786's "insulating layer" (from memory); logs and boards (0.115 and up) stay fabric."""

EFFECTIVE_DEPTH_M = 0.10
"""Depth that takes part in a day's swing, m. Source: ISO 13786 annex A, simplified method: at most
10 cm, at most half the construction, and only up to the first insulating layer."""

GROUND_CONDUCTIVITY_W_PER_MK = 2.0
"""Sand or gravel, the default when the ground is unknown, W/mK. Source: ISO 13370."""

WALL_THICKNESS_M = 0.15
"""Thickness of a cabin's wall where it meets the floor, m. ASSUMED."""


def r_value_m2k_per_w(*, layers: Sequence[Layer], kind: str, over: str | None = None) -> float:
    """Thermal resistance of a layered surface with its films, m2K/W.

    Args:
        layers: Layers from outside to inside, homogeneous each.
        kind: "wall", "roof", "floor", "window" or "door"; sets the inner film by the way heat flows.
        over: For a floor: "air", "crawl" or "ground". Over a crawl space the lower face stands in
            still air and has the inner film too; over ground it has none.

    Raises:
        BadInputError: A layer with no positive conductivity or thickness, or an unknown kind.

    Source: ISO 6946, homogeneous layers.
    """
    if kind not in INNER_FILM_M2K_PER_W:
        raise BadInputError(
            f"'{kind}' is not a kind of surface.\nUse one of: {', '.join(INNER_FILM_M2K_PER_W)}."
        )
    for layer in layers:
        if not (layer.conductivity_w_per_mk > 0.0 and layer.thickness_mm > 0.0):
            raise BadInputError(
                f"Layer '{layer.material}': {layer.thickness_mm:g} mm at "
                f"{layer.conductivity_w_per_mk:g} W/mK insulates nothing known.\n"
                "Give a thickness and a conductivity above 0."
            )
    inner = INNER_FILM_M2K_PER_W[kind]
    outer = {"crawl": inner, "ground": 0.0}.get(over or "", OUTER_FILM_M2K_PER_W)
    return inner + outer + sum(layer.thickness_mm / 1000.0 / layer.conductivity_w_per_mk for layer in layers)


def parallel_path_r(*, paths: Sequence[tuple[float, float]]) -> float:
    """Resistance of a surface made of parts side by side, such as studs and the bays between.

    Args:
        paths: (share of the area, resistance of that path with films), any one unit; shares sum to 1.

    Raises:
        BadInputError: Shares that do not sum to 1 within 0.5 %.

    Source: the parallel-path method of the ASHRAE Handbook of Fundamentals (the upper limit of ISO
    6946's combined method).
    """
    total = sum(share for share, _ in paths)
    if abs(total - 1.0) > 0.005:
        raise BadInputError(f"The shares of the paths sum to {total:g}.\nThey must sum to 1.")
    return 1.0 / sum(share / r for share, r in paths)


def u_value_w_per_m2k(surface: Surface) -> float | None:
    """Heat loss of a described surface per area, W/m2K; None when nothing says how it insulates.

    A floor over a crawl space or the ground includes the ground's own resistance (ISO 13370,
    simplified: a compact floor, the default ground).

    Raises:
        BadInputError: A glazing that is not "single" or "double"; otherwise as `r_value_m2k_per_w`.
    """
    if surface.u_w_per_m2k is not None:
        return surface.u_w_per_m2k
    if surface.glazing is not None:
        if surface.glazing not in GLAZING_W_PER_M2K:
            raise BadInputError(
                f"Glazing '{surface.glazing}' is not known.\nUse one of: {', '.join(GLAZING_W_PER_M2K)}."
            )
        return GLAZING_W_PER_M2K[surface.glazing]
    if not surface.layers:
        return None
    r = r_value_m2k_per_w(layers=surface.layers, kind=surface.kind, over=surface.over)
    if surface.kind == "floor" and surface.over == "crawl":
        return crawl_floor_u_w_per_m2k(floor_u_w_per_m2k=1.0 / r, area_m2=surface.area_m2)
    if surface.kind == "floor" and surface.over == "ground":
        return ground_floor_u_w_per_m2k(floor_r_m2k_per_w=r, area_m2=surface.area_m2)
    return 1.0 / r


def compact_perimeter_m(*, area_m2: float) -> float:
    """Perimeter of a floor 1.4 times as long as wide, m. ASSUMED when only the area is known."""
    width = math.sqrt(area_m2 / 1.4)
    return 2.0 * (width + 1.4 * width)


def crawl_floor_u_w_per_m2k(
    *,
    floor_u_w_per_m2k: float,
    area_m2: float,
    perimeter_m: float | None = None,
    skirt_height_m: float = 0.4,
    skirt_u_w_per_m2k: float = 3.0,
    vent_m2_per_m: float = 0.0015,
    wind_m_per_s: float = 4.0,
    wind_shield: float = 0.05,
) -> float:
    """Heat loss of a floor over a crawl space, W per m2 and K of inside less outside.

    Args:
        floor_u_w_per_m2k: The floor alone, with the inner film on both faces, W/m2K.
        area_m2: Floor area, m2.
        perimeter_m: Its exposed edge, m; None: a compact floor.
        skirt_height_m: Height of the skirting above ground, m (0.4 ASSUMED).
        skirt_u_w_per_m2k: The skirting, W/m2K (3.0 ASSUMED: boards or block).
        vent_m2_per_m: Openings per metre of edge, m2/m (ISO 13370's usual 0.0015).
        wind_m_per_s: Wind at 10 m, m/s.
        wind_shield: 0.02 sheltered, 0.05 average, 0.10 exposed.

    Source: ISO 13370, suspended floor; from memory.
    """
    edge = perimeter_m if perimeter_m is not None else compact_perimeter_m(area_m2=area_m2)
    b = area_m2 / (0.5 * edge)
    films = INNER_FILM_M2K_PER_W["floor"] + OUTER_FILM_M2K_PER_W
    ground = _ground_u(
        b=b,
        depth_m=WALL_THICKNESS_M + GROUND_CONDUCTIVITY_W_PER_MK * films,
        ground_w_per_mk=GROUND_CONDUCTIVITY_W_PER_MK,
    )
    vents = 1450.0 * vent_m2_per_m * wind_m_per_s * wind_shield / b
    crawl = 2.0 * skirt_height_m * skirt_u_w_per_m2k / b + vents
    return 1.0 / (1.0 / floor_u_w_per_m2k + 1.0 / (ground + crawl))


def ground_floor_u_w_per_m2k(
    *,
    floor_r_m2k_per_w: float,
    area_m2: float,
    perimeter_m: float | None = None,
    ground_w_per_mk: float = GROUND_CONDUCTIVITY_W_PER_MK,
    wall_thickness_m: float = WALL_THICKNESS_M,
) -> float:
    """Heat loss of a slab on the ground, W per m2 and K of the yearly mean difference.

    Args:
        floor_r_m2k_per_w: Inner film and slab, without ground, m2K/W.
        area_m2: Floor area, m2.
        perimeter_m: Its exposed edge, m; None: a compact floor.
        ground_w_per_mk: Conductivity of the ground, W/mK; 1.5 clay, 2.0 sand, 3.5 rock.
        wall_thickness_m: Thickness of the walls around it, m.

    Source: ISO 13370, slab on ground; from memory.
    """
    edge = perimeter_m if perimeter_m is not None else compact_perimeter_m(area_m2=area_m2)
    b = area_m2 / (0.5 * edge)
    depth = wall_thickness_m + ground_w_per_mk * (floor_r_m2k_per_w + OUTER_FILM_M2K_PER_W)
    if depth >= b:
        return ground_w_per_mk / (0.457 * b + depth)
    return _ground_u(b=b, depth_m=depth, ground_w_per_mk=ground_w_per_mk)


def _ground_u(*, b: float, depth_m: float, ground_w_per_mk: float) -> float:
    """ISO 13370's half-space solution for a floor of characteristic size b, W/m2K."""
    twice = 2.0 * ground_w_per_mk
    return twice / (math.pi * b + depth_m) * math.log(math.pi * b / depth_m + 1.0)


def effective_capacity_mj_per_m2k(*, layers: Sequence[Layer], depth_m: float = EFFECTIVE_DEPTH_M) -> float:
    """Heat held by the inner side of a surface that takes part in a day's swing, MJ/m2K.

    Counts from the inner face up to ``depth_m``, to the first insulating layer, or to half the
    construction, whichever comes first.

    Args:
        layers: Layers from outside to inside.
        depth_m: Greatest depth counted, m.

    Source: ISO 13786 annex A, simplified method (from memory); depth as reported by a trade article.
    """
    left_m = min(depth_m, sum(layer.thickness_mm for layer in layers) / 2000.0)
    joules = 0.0
    for layer in reversed(layers):
        if left_m <= 0.0 or layer.conductivity_w_per_mk < INSULATION_BELOW_W_PER_MK:
            break
        take_m = min(left_m, layer.thickness_mm / 1000.0)
        joules += take_m * layer.density_kg_per_m3 * layer.specific_heat_j_per_kgk
        left_m -= take_m
    return joules / 1e6
