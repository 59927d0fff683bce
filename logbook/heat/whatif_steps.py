"""Steps of a what-if as they are typed: a surface, and what would be done to it.

roof +100mm mineral wool batt      insulation or boards added to every surface of a kind
window S double                    one facing only; glazing single or double
door u 1.2                         a surface of this U, W/m2K
leakiness tight                    tight, average or leaky
load limit 5kg                     another stove's largest load, as weighed
"""

from __future__ import annotations

import re

from logbook.errors import BadInputError
from logbook.heat.construction import KINDS
from logbook.heat.envelope import GLAZING_W_PER_M2K
from logbook.heat.infiltration import LEAKAGE_CM2_PER_M2
from logbook.heat.whatif import Added, LoadLimit, Replaced, Step, Tightened
from logbook.materials import find_material, similar_materials
from logbook.records import Layer
from logbook.units import kg_from_lb

HOW = (
    'Write steps such as: "roof +100mm mineral wool batt"   "window double"   "window S double"   '
    '"door u 1.2"   "leakiness tight"   "load limit 5kg"'
)

ADDED_MM = (1.0, 1000.0)
"""Thicknesses that are taken, mm. ASSUMED: beyond them it is a slip."""

U_W_PER_M2K = (0.05, 7.0)
"""U that are taken, W/m2K. ASSUMED: from the best wall to a bare pane."""

LIMIT_KG = (0.5, 60.0)
"""Load limits that are taken, kg. ASSUMED: from the smallest tent stove to a furnace."""

_ADDED = re.compile(r"\+\s*(\d+(?:[.,]\d+)?)\s*(mm|cm|in|inch|inches)\s+(.+)")
_U = re.compile(r"u\s*=?\s*(\d+(?:[.,]\d+)?)(?:\s*w/m[2²]k)?")
_LIMIT = re.compile(r"(?:load|limit|load limit|stove)\s+(\d+(?:[.,]\d+)?)\s*(kg|lb)")
_FACES = ("n", "ne", "e", "se", "s", "sw", "w", "nw")
# Millimetres in each; the inch by definition (ISO 80000-3).
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4}


def read_step(text: str) -> Step:
    """One step.

    Raises:
        BadInputError: It is none, or its number can't be.
    """
    words = " ".join(text.casefold().split())
    leak = words.removeprefix("leakiness ").strip()
    if leak in LEAKAGE_CM2_PER_M2:
        return Tightened(leak)
    if found := _LIMIT.fullmatch(words):
        kg = _number(found[1])
        kg = kg_from_lb(kg) if found[2] == "lb" else kg
        return LoadLimit(_within(kg, LIMIT_KG, text, "kg"))
    kind, _, rest = words.partition(" ")
    kind = kind.removesuffix("s") if kind not in KINDS else kind
    if kind not in KINDS:
        raise BadInputError(f"'{text}' begins with no kind of surface ({', '.join(KINDS)}).\n{HOW}")
    first, _, behind = rest.partition(" ")
    faces = first.upper() if first in _FACES and behind else None
    return _surface_step(kind, behind if faces else rest, faces, text)


def _surface_step(kind: str, what: str, faces: str | None, text: str) -> Step:
    if what in GLAZING_W_PER_M2K and kind == "window":
        return Replaced(kind, GLAZING_W_PER_M2K[what], faces)
    if found := _U.fullmatch(what):
        return Replaced(kind, _within(_number(found[1]), U_W_PER_M2K, text, "W/m²K"), faces)
    if found := _ADDED.fullmatch(what):
        mm = _within(_number(found[1]) * _MM[found[2]], ADDED_MM, text, "mm")
        material = find_material(found[3])
        if material is None:
            like = similar_materials(found[3])
            near = f"Did you mean: {', '.join(like)}?" if like else "See the materials in setup --example."
            raise BadInputError(f"'{found[3]}' is no material known here.\n{near}")
        return Added(
            kind,
            Layer(
                material=material.name,
                thickness_mm=mm,
                conductivity_w_per_mk=material.conductivity_w_per_mk,
                density_kg_per_m3=material.density_kg_per_m3,
                specific_heat_j_per_kgk=material.specific_heat_j_per_kgk,
            ),
            faces,
        )
    raise BadInputError(f"'{text}' says nothing that can be done to a {kind}.\n{HOW}")


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _within(value: float, bounds: tuple[float, float], text: str, unit: str) -> float:
    if not bounds[0] <= value <= bounds[1]:
        raise BadInputError(
            f"'{text}': {value:g} {unit} can't be ({bounds[0]:g} to {bounds[1]:g} {unit}).\n{HOW}"
        )
    return value
