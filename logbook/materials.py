"""Usual cabin materials by name, for the layers of a description.

Values as an owner may use them when the sack or the datasheet does not say. They are the design values of
EN ISO 10456 (tables 3 and 4) as far as remembered: all **from memory**, none read in the standard, rounded
to what a cabin needs. Soft insulation is given at the upper end of its usual range. Numbers written in the
description always win over this table.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, slots=True)
class Material:
    """Thermal conductivity W/mK, density kg/m3, specific heat J/kgK, and other names it goes by."""

    name: str
    conductivity_w_per_mk: float
    density_kg_per_m3: float
    specific_heat_j_per_kgk: float
    also: tuple[str, ...] = ()


MATERIALS: tuple[Material, ...] = (
    # Wood and boards: EN ISO 10456, from memory (softwood 0.12-0.13 at 450-500 kg/m3, 1600 J/kgK).
    Material(
        "softwood", 0.13, 500.0, 1600.0, ("wood", "pine", "pine board", "spruce", "board", "plank", "timber")
    ),
    Material("hardwood", 0.18, 700.0, 1600.0, ("oak", "beech", "hardwood board")),
    Material("log", 0.13, 480.0, 1600.0, ("logs", "round log", "log wall")),
    Material("plywood", 0.13, 500.0, 1600.0, ("ply",)),
    Material("osb", 0.13, 650.0, 1700.0, ("oriented strand board", "strand board")),
    Material("particle board", 0.14, 600.0, 1700.0, ("chipboard",)),
    Material(
        "wood fibre board", 0.07, 400.0, 1700.0, ("soft board", "softboard", "fibre board", "fiberboard")
    ),
    Material("gypsum board", 0.21, 700.0, 1000.0, ("gypsum", "drywall", "plasterboard")),
    Material("cement board", 0.23, 1200.0, 1500.0, ("cement-bonded board",)),
    # Insulation: conductivities of trade products, from memory; density and heat EN ISO 10456, from memory.
    Material(
        "mineral wool batt",
        0.040,
        20.0,
        1030.0,
        ("batt", "mineral wool", "glass wool", "fibreglass", "fiberglass", "insulation"),
    ),
    Material("rock wool", 0.038, 40.0, 1030.0, ("stone wool", "rock wool batt", "stone wool batt")),
    Material("cellulose", 0.042, 50.0, 1600.0, ("blown cellulose", "cellulose fibre")),
    Material("wood fibre batt", 0.040, 50.0, 2000.0, ("wood fibre", "wood fiber")),
    Material("sheep wool", 0.042, 20.0, 1300.0, ("wool",)),
    Material("straw bale", 0.065, 100.0, 2000.0, ("straw",)),
    Material("eps", 0.038, 18.0, 1450.0, ("expanded polystyrene", "polystyrene", "white foam", "bead board")),
    Material("xps", 0.035, 33.0, 1450.0, ("extruded polystyrene", "foam board")),
    Material("pur", 0.028, 30.0, 1400.0, ("pir", "polyurethane", "spray foam", "rigid foam")),
    Material("sawdust", 0.07, 190.0, 1600.0, ("wood shavings", "shavings")),
    Material("cork", 0.045, 120.0, 1560.0, ("cork board",)),
    # Heavy things: EN ISO 10456, from memory.
    Material("concrete", 1.65, 2200.0, 1000.0, ("slab",)),
    Material("brick", 0.77, 1700.0, 1000.0, ("bricks", "solid brick")),
    Material("stone", 2.3, 2500.0, 1000.0, ("granite", "field stone", "fieldstone")),
    Material("limestone", 1.4, 2000.0, 1000.0, ()),
    Material("lime plaster", 0.8, 1600.0, 1000.0, ("plaster", "lime render", "render")),
    Material("clay plaster", 0.7, 1500.0, 1000.0, ("clay", "earth", "loam")),
    Material("tile", 1.3, 2300.0, 840.0, ("tiles", "ceramic tile")),
    Material("soil", 1.5, 1500.0, 2000.0, ("ground",)),
    # Skins: EN ISO 10456, from memory.
    Material(
        "bitumen felt", 0.23, 1100.0, 1000.0, ("tarpaper", "tar paper", "roofing felt", "building paper")
    ),
    Material("rubber membrane", 0.17, 1200.0, 1400.0, ("membrane", "epdm")),
    Material("steel", 50.0, 7800.0, 450.0, ("steel sheet", "metal roof", "metal", "corrugated steel")),
    Material("aluminium", 160.0, 2800.0, 880.0, ("aluminum",)),
    Material("glass", 1.0, 2500.0, 750.0, ()),
    Material("linoleum", 0.17, 1200.0, 1400.0, ("vinyl",)),
)
"""The materials known by name."""


def find_material(name: str) -> Material | None:
    """The material an owner means, or None.

    Case, hyphens, underscores, a plural s and doubled spaces do not matter; other names count.
    """
    wanted = _plain(name)
    for material in MATERIALS:
        if wanted in {_plain(known) for known in (material.name, *material.also)}:
            return material
    return None


def similar_materials(name: str, count: int = 3) -> tuple[str, ...]:
    """Names of the materials spelt most like ``name``, for a message."""
    known = {
        _plain(other): material.name for material in MATERIALS for other in (material.name, *material.also)
    }
    close = get_close_matches(_plain(name), known, n=count, cutoff=0.5)
    return tuple(dict.fromkeys(known[match] for match in close))


def _plain(name: str) -> str:
    words = name.casefold().replace("-", " ").replace("_", " ").split()
    return " ".join(
        word.removesuffix("s") if len(word) > 3 and not word.endswith("ss") else word for word in words
    )
