"""What an owner writes into one blank of the description, read with its unit and its limits; and back.

A bare number is in the owner's own units; any number may say its unit ("300 ft²", "18 lb", "3/4 closed").
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, time

from logbook.entry import read_plan
from logbook.errors import EntryError, LogbookError
from logbook.materials import find_material, similar_materials
from logbook.records import Layer, OwnUnits, Surface
from logbook.setting import Setting
from logbook.units import M2_PER_FT2, M3_PER_FT3, M_PER_FT, c_from_f, f_from_c, kg_from_lb, lb_from_kg

KINDS = ("wall", "roof", "floor", "window", "door")
FACES = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")

_NUMBER = re.compile(r"([-+−–]?\d+(?:[.,]\d+)?)\s*([^\d\s].*)?")
_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, '"': 25.4}
"""Millimetres in each; the inch by definition."""


def _same(value: float) -> float:
    return value


TO_SI: dict[str, dict[str, Callable[[float], float]]] = {
    "area": {"m²": _same, "ft²": lambda v: v * M2_PER_FT2},
    "volume": {"m³": _same, "ft³": lambda v: v * M3_PER_FT3},
    "mass": {"kg": _same, "lb": kg_from_lb},
    "temperature": {"°C": _same, "°F": c_from_f},
    "length": {"m": _same, "ft": lambda v: v * M_PER_FT},
    "litres": {"l": _same, "ft³": lambda v: v * M3_PER_FT3 * 1000.0},
    "minutes": {"min": _same},
    "per cent": {"%": _same},
    "degrees": {"°": _same},
}
"""Units of each quantity, the metric one first, and what brings them to SI."""

_SPELT = {
    "m2": "m²", "sqm": "m²", "ft2": "ft²", "sqft": "ft²", "sq ft": "ft²", "m3": "m³", "cbm": "m³",
    "ft3": "ft³", "cuft": "ft³", "cu ft": "ft³", "kgs": "kg", "lbs": "lb", "pounds": "lb", "c": "°C",
    "°c": "°C", "f": "°F", "°f": "°F", "litres": "l", "liters": "l", "litre": "l", "pct": "%",
    "minutes": "min", "feet": "ft",
}  # fmt: skip
"""Other ways to write a unit."""


def unit_of(quantity: str, units: OwnUnits) -> str:
    """The owner's unit of a quantity: floor and volume go with the mass, as in the choice of units."""
    names = list(TO_SI[quantity])
    american = units.temperature == "F" if quantity == "temperature" else units.mass == "lb"
    return names[-1] if american else names[0]


def amount(text: str, *, quantity: str, units: OwnUnits, low: float, high: float, what: str) -> float:
    """A number in SI.

    Raises:
        LogbookError: No number, an unknown unit, or out of ``low`` to ``high`` (SI); with the numbers.
    """
    known = TO_SI[quantity]
    own = unit_of(quantity, units)
    found = _NUMBER.fullmatch(text.strip())
    if found is None:
        raise LogbookError(f"'{text.strip()}' is no number.\n{what} is a number in {own}, such as 12 or 7.5.")
    said = (found[2] or own).strip()
    unit = _SPELT.get(said.casefold(), said)
    if unit not in known:
        raise LogbookError(f"'{said}' is no unit known here.\n{what} may be in {' or '.join(known)}.")
    value = known[unit](number(found[1]))
    if not low <= value <= high:
        lowest, highest = (shown(x, quantity=quantity, units=units) for x in (low, high))
        raise LogbookError(f"{text.strip()} is outside {lowest} to {highest} {own}.\n{_hint(quantity, own)}")
    return value


def _hint(quantity: str, own: str) -> str:
    others = [unit for unit in TO_SI[quantity] if unit != own]
    return (
        f"If it was meant in {others[0]}, write the unit after it." if others else "Check it and type again."
    )


def number(text: str) -> float:
    """A number with a point or a comma, and any minus."""
    return float(text.replace(",", ".").replace("−", "-").replace("–", "-"))


def shown(value: float, *, quantity: str, units: OwnUnits) -> str:
    """A number from SI as it goes into a blank, in the owner's unit, without it."""
    unit = unit_of(quantity, units)
    back: Callable[[float], float] = {
        "ft²": lambda v: v / M2_PER_FT2,
        "lb": lb_from_kg,
        "°F": f_from_c,
        "ft": lambda v: v / M_PER_FT,
        "ft³": lambda v: v / M3_PER_FT3 / (1000.0 if quantity == "litres" else 1.0),
    }.get(unit, _same)
    places = 4 if quantity == "degrees" else 1
    return f"{round(back(value), places):.10g}"


def air_open(text: str, *, lever: str) -> float:
    """A lever position in per cent open: "1/4", "30 %", "3/4 closed"; bare, it is as the lever reads.

    Raises:
        LogbookError: It is none.
    """
    said = text.strip().removeprefix("air ").strip()
    moment = datetime(2000, 1, 1, tzinfo=UTC)
    try:
        steps = read_plan(f"air {said}", start=moment, setting=Setting(air_lever_reads=lever))
    except EntryError:
        steps = ()
    if len(steps) != 1 or steps[0].air_open_pct is None:
        raise LogbookError(
            f"'{text.strip()}' is no position of an air lever.\nWrite 1/4, 30 % or 3/4 closed."
        )
    return steps[0].air_open_pct


def pieces(text: str, *, units: OwnUnits) -> tuple[tuple[str, float], ...]:
    """Sizes and what one weighs, kg: "S 0.8, M 1.6, L 2.8"; three bare numbers are S, M and L.

    Raises:
        LogbookError: Something else.
    """
    how = "Write your sizes and what one weighs, such as: S 0.8, M 1.6, L 2.8."
    parts = [part.strip() for part in re.split(r"[,;](?=\s|[A-Za-z])", text) if part.strip()]
    if len(parts) == 1 and re.fullmatch(r"[\d.\s]+", text):
        parts = [f"{name} {kg}" for name, kg in zip("SML", text.split(), strict=False)]
    found = []
    for part in parts:
        named = re.fullmatch(r"([^\W\d_]+)\s*=?\s*(\d.*)", part)
        if named is None:
            raise LogbookError(f"'{part}' is no size with its weight.\n{how}")
        kg = amount(named[2], quantity="mass", units=units, low=0.01, high=50.0, what=f"One {named[1]}")
        found.append((named[1], kg))
    if len({name.casefold() for name, _ in found}) < len(found):
        raise LogbookError(f"'{text.strip()}' names a size twice.\n{how}")
    return tuple(found)


def clock(text: str) -> time:
    """A time of day: "22:30", "2230", "7".

    Raises:
        LogbookError: It is none.
    """
    found = re.fullmatch(r"(\d{1,2})(?:[:.]?(\d{2}))?", text.strip())
    if found is None or int(found[1]) > 23 or int(found[2] or 0) > 59:
        raise LogbookError(f"'{text.strip()}' is no clock time.\nWrite it as 22:30, from 0:00 to 23:59.")
    return time(int(found[1]), int(found[2] or 0))


def day(text: str) -> date:
    """A date, or a month: its first day, so that an alarm's life is never taken as longer than printed.

    Raises:
        LogbookError: It is none.
    """
    said = text.strip()
    for full in (said, f"{said}-01"):
        try:
            return date.fromisoformat(full)
        except ValueError:
            continue
    raise LogbookError(f"'{said}' is no date.\nWrite year, month and day: 2031-05-01, or 2031-05.")


def layers(text: str) -> tuple[Layer, ...]:
    """Layers from outside to inside: "19 mm board, 90 mm mineral wool batt"; a bare board is 20 mm.

    Raises:
        LogbookError: A material or thickness that is not known.
    """
    return tuple(_layer(part.strip()) for part in text.split(",") if part.strip())


def _layer(part: str) -> Layer:
    first = re.fullmatch(r'(\d+(?:\.\d+)?)\s*(mm|cm|inch|in|m|")?\s+(.+)', part)
    last = re.fullmatch(r'(.+?)\s+(\d+(?:\.\d+)?)\s*(mm|cm|inch|in|m|")?', part)
    name, value, unit = part, "20", "mm"
    if first:
        value, unit, name = first[1], first[2] or "mm", first[3]
    elif last:
        name, value, unit = last[1], last[2], last[3] or "mm"
    material = find_material(name)
    if material is None:
        like = similar_materials(name)
        near = f"Did you mean {' or '.join(like)}?" if like else "Tab offers those known."
        raise LogbookError(f"'{name}' is no material known here.\n{near} Write for example: 90 mm batt.")
    mm = float(value) * _MM[unit]
    if not 0.1 <= mm <= 3000.0:
        raise LogbookError(f"{part}: {mm:g} mm is outside 0.1 to 3000 mm.\nThicknesses are in mm, or say cm.")
    return Layer(
        material=material.name,
        thickness_mm=mm,
        conductivity_w_per_mk=material.conductivity_w_per_mk,
        density_kg_per_m3=material.density_kg_per_m3,
        specific_heat_j_per_kgk=material.specific_heat_j_per_kgk,
    )


def layers_text(found: tuple[Layer, ...]) -> str:
    """Layers as they are written: "19 mm softwood, 90 mm mineral wool batt"."""
    return ", ".join(f"{layer.thickness_mm:g} mm {layer.material}" for layer in found)


SURFACE_HOW = "Write: wall 44 m² 19 mm board, 90 mm batt   window 1.6 m² double S   door 1.8 m² U 2.0"


def surface(text: str, *, units: OwnUnits, before: Surface | None = None) -> Surface:
    """One part of the outside: kind, area, and how it insulates: layers, single or double, or its U.

    ``before`` keeps the numbers of layers whose material was the owner's own.

    Raises:
        LogbookError: Something in it can't be read; with an example.
    """
    found = re.fullmatch(r"(\w+)\s+(\d+(?:[.,]\d+)?)\s*(m²|m2|ft²|ft2)?[\s:]*(.*)", text.strip())
    if found is None or found[1].casefold() not in KINDS:
        raise LogbookError(f"'{text.strip()}' is no part of the outside ({', '.join(KINDS)}).\n{SURFACE_HOW}")
    kind = found[1].casefold()
    area = amount(f"{found[2]} {found[3] or ''}", quantity="area", units=units, low=0.02, high=1000.0,
                  what="Its area")  # fmt: skip
    rest, faces, over = found[4], None, None
    if near := re.search(r"\bover (air|crawl|ground)\b[\s,]*", rest):
        over, rest = near[1], rest.replace(near[0], "")
    if facing := re.search(r"(?:\bfaces )?\b(NE|NW|SE|SW|N|E|S|W)\b[\s,]*$", rest):
        faces, rest = facing[1], rest[: facing.start()]
    rest = rest.strip(" ,:")
    if u := re.fullmatch(r"[Uu]\s*=?\s*(\d+(?:[.,]\d+)?)(?:\s*W/m[²2]K)?", rest):
        value = number(u[1])
        if not 0.03 <= value <= 12.0:
            raise LogbookError(f"U {value:g} is outside 0.03 to 12 W/m²K.\n{SURFACE_HOW}")
        return Surface(kind=kind, area_m2=area, u_w_per_m2k=value, faces=faces, over=over)
    if rest in ("single", "double"):
        if kind not in ("window", "door"):
            raise LogbookError(f"A {kind} has no glazing.\n{SURFACE_HOW}")
        return Surface(kind=kind, area_m2=area, glazing=rest, faces=faces, over=over)
    if not rest:
        raise LogbookError(f"How does this {kind} insulate?\n{SURFACE_HOW}")
    if before is not None and rest == layers_text(before.layers):
        return Surface(kind=kind, area_m2=area, layers=before.layers, faces=faces, over=over)
    return Surface(kind=kind, area_m2=area, layers=layers(rest), faces=faces, over=over)


def surface_text(part: Surface, *, units: OwnUnits) -> str:
    """A part of the outside as it is written; ``surface`` reads it back."""
    area = f"{shown(part.area_m2, quantity='area', units=units)} {unit_of('area', units)}"
    how = layers_text(part.layers) or part.glazing or f"U {part.u_w_per_m2k:g}"
    over = f" over {part.over}" if part.over else ""
    faces = f" {part.faces}" if part.faces else ""
    return f"{part.kind} {area}{over} {how}{faces}"
