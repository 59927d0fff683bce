"""Building materials a cabin is likely made of.

Design values of EN ISO 10456 and its neighbours, from memory unless said otherwise; wood and batts
agree with the handbook R-values held in the tests. An owner's own figures always win.
"""

from __future__ import annotations

from dataclasses import dataclass

from logbook.errors import BadInputError


@dataclass(frozen=True, slots=True)
class Material:
    """One material: conductivity W/mK, density kg/m3, specific heat J/kgK."""

    name: str
    conductivity_w_per_mk: float
    density_kg_per_m3: float
    specific_heat_j_per_kgk: float


MATERIALS = (
    Material("softwood board", 0.12, 480, 1600),
    Material("hardwood board", 0.18, 700, 1600),
    Material("log", 0.12, 450, 1600),
    Material("plywood", 0.12, 540, 1600),
    Material("osb", 0.13, 620, 1700),
    Material("particle board", 0.14, 650, 1700),
    Material("hardboard", 0.18, 900, 1700),
    Material("softboard", 0.05, 250, 1700),
    Material("mineral wool batt", 0.040, 20, 1030),
    Material("glass wool batt", 0.042, 15, 1030),
    Material("rigid mineral wool", 0.037, 100, 1030),
    Material("blown cellulose", 0.040, 45, 1600),
    Material("wood fibre batt", 0.039, 50, 2100),
    Material("sheep wool", 0.040, 20, 1700),
    Material("hemp batt", 0.040, 38, 1700),
    Material("straw bale", 0.060, 100, 2000),
    Material("sawdust", 0.070, 200, 1600),
    Material("eps", 0.037, 20, 1450),
    Material("xps", 0.034, 35, 1450),
    Material("polyurethane foam", 0.026, 32, 1400),  # aged; worse when cold
    Material("gypsum board", 0.21, 700, 1000),
    Material("cement board", 0.35, 1300, 1000),
    Material("lime plaster", 0.70, 1600, 1000),
    Material("brick", 0.60, 1700, 840),
    Material("concrete", 1.65, 2200, 1000),
    Material("lightweight concrete block", 0.35, 1000, 1000),
    Material("stone", 2.3, 2600, 1000),
    Material("earth", 1.5, 1800, 1000),
    Material("roofing felt", 0.23, 1100, 1000),
    Material("asphalt shingle", 0.70, 2100, 1000),
    Material("sheet steel", 50.0, 7800, 450),
    Material("carpet", 0.06, 200, 1300),
    Material("linoleum", 0.17, 1200, 1400),
)
"""Source: EN ISO 10456:2007 table 3 and manufacturers' usual declared values, from memory."""

_OTHER_NAMES = {
    "asphalt roofing": "asphalt shingle",
    "batt": "mineral wool batt",
    "board": "softwood board",
    "boards": "softwood board",
    "cellulose": "blown cellulose",
    "chipboard": "particle board",
    "drywall": "gypsum board",
    "expanded polystyrene": "eps",
    "extruded polystyrene": "xps",
    "fibreboard": "softboard",
    "fiberglass": "glass wool batt",
    "fibreglass": "glass wool batt",
    "fiberglass batt": "glass wool batt",
    "foam": "eps",
    "glass wool": "glass wool batt",
    "gypsum": "gypsum board",
    "hardwood": "hardwood board",
    "insulation": "mineral wool batt",
    "logs": "log",
    "mineral wool": "mineral wool batt",
    "pine": "softwood board",
    "pine board": "softwood board",
    "plaster": "lime plaster",
    "plasterboard": "gypsum board",
    "plank": "softwood board",
    "planks": "softwood board",
    "ply": "plywood",
    "polyiso": "polyurethane foam",
    "polystyrene": "eps",
    "rock wool": "mineral wool batt",
    "rockwool": "mineral wool batt",
    "shingles": "asphalt shingle",
    "slab": "concrete",
    "softwood": "softwood board",
    "spray foam": "polyurethane foam",
    "spruce board": "softwood board",
    "steel": "sheet steel",
    "stone wool": "mineral wool batt",
    "straw": "straw bale",
    "styrofoam": "xps",
    "tar paper": "roofing felt",
    "tarpaper": "roofing felt",
    "timber": "softwood board",
    "tongue and groove": "softwood board",
    "wood": "softwood board",
    "wood fibre": "wood fibre batt",
    "wool": "sheep wool",
}


def find_material(text: str) -> Material:
    """The material an owner means, by name, whatever its case, hyphens and spaces.

    Raises:
        BadInputError: No such material; the message lists the known ones.
    """
    name = " ".join(text.lower().replace("-", " ").replace("_", " ").split())
    name = _OTHER_NAMES.get(name, name)
    for material in MATERIALS:
        if material.name == name:
            return material
    known = ", ".join(material.name for material in MATERIALS)
    raise BadInputError(
        f"'{text}' is not a material known here.\n"
        f"Give its conductivity, density and specific heat, or use one of: {known}."
    )
