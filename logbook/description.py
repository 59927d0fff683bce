"""The description file: an owner's TOML to a ``Description``, and back.

Only floor_m2, volume_m3 and max_load_kg are required. A key this program does not know is refused, with the
nearest one it does: a misspelt key kept quietly would leave the owner with a default never asked for.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date, time
from enum import StrEnum
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from logbook.description_table import Table
from logbook.errors import DescriptionError
from logbook.materials import find_material, similar_materials
from logbook.records import (
    MOST_MOISTURE_PCT,
    Alarms,
    Basis,
    Cabin,
    Comfort,
    Description,
    Layer,
    OwnUnits,
    Site,
    Stove,
    Surface,
    WoodPile,
)
from logbook.units import c_from_f

ROOM_HEIGHT_M = (1.2, 12.0)
"""Volume over floor accepted, m. ASSUMED: catches cubic feet beside square metres and swapped numbers."""

KINDS = ("wall", "roof", "floor", "window", "door")
FACES = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
_ESCAPES = str.maketrans({code: f"\\u{code:04x}" for code in (*range(32), 127)} | {'"': '\\"', "\\": "\\\\"})
"""What a basic string of TOML must not hold as it is (toml.io, v1.0.0, "String"; from memory)."""


def example_toml() -> str:
    """A commented description with every key: what ``setup --example`` prints."""
    return Path(__file__).with_name("example.toml").read_text(encoding="utf-8")


def parse_description(text: str, *, machine_zone: str) -> Description:
    """Read a description file.

    Args:
        text: TOML, SI units.
        machine_zone: IANA zone of this machine, taken (and marked as assumed) when the file names none.

    Raises:
        DescriptionError: No TOML, a key missing or unknown, a value out of its range; with the numbers.
    """
    try:
        raw = tomllib.loads(text.removeprefix("\ufeff"))
    except tomllib.TOMLDecodeError as error:
        raise DescriptionError(
            f"The description is not valid TOML: {error}.\n"
            'Numbers use a point (2.5), words stand in quotes ("wall"). See: nightload setup --example.'
        ) from error
    except (RecursionError, ValueError) as error:  # nested a thousand deep; a number of thousands of digits
        raise DescriptionError(
            "The description holds a table within tables without end, or a number of thousands of digits.\n"
            "See what one looks like: nightload setup --example."
        ) from error
    top = Table("", raw)
    parsed = Description(
        site=_site(top.table("site"), machine_zone),
        cabin=_cabin(top.table("cabin")),
        stove=_stove(top.table("stove")),
        wood=_wood(top.table("wood")),
        comfort=_comfort(top.table("comfort")),
        alarms=_alarms(top.table("alarms")),
        units=_units(top.table("units")),
    )
    top.done()
    return parsed


def _site(table: Table, machine_zone: str) -> Site:
    named = table.text("timezone")
    assumed = table.flag("timezone_assumed")
    site = Site(
        name=table.text("name") or "",
        latitude_deg=table.number("latitude_deg", -90, 90),
        longitude_deg=table.number("longitude_deg", -180, 180),
        elevation_m=table.number("elevation_m", -450, 6000),
        timezone=named or machine_zone,
        timezone_assumed=named is None or bool(assumed),
    )
    _check_zone(site.timezone)
    table.done()
    return site


def _check_zone(name: str) -> None:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:  # unknown, malformed, or a folder of the zone data
        raise DescriptionError(
            f"[site] timezone is '{name}', which is no time zone known here.\n"
            'Write it as region and city, such as timezone = "Europe/Oslo" or "America/Toronto".'
        ) from error


def _cabin(table: Table) -> Cabin:
    cabin = Cabin(
        floor_m2=table.required("floor_m2", 2, 500),
        volume_m3=table.required("volume_m3", 4, 3000),
        leakiness=table.word("leakiness", ("tight", "average", "leaky")),
        water=table.word("water", ("none", "in", "drained")) or "none",
        surfaces=tuple(_surface(surface) for surface in table.tables("surface")),
    )
    height_m = cabin.volume_m3 / cabin.floor_m2
    if not ROOM_HEIGHT_M[0] <= height_m <= ROOM_HEIGHT_M[1]:
        raise DescriptionError(
            f"[cabin] volume_m3 {cabin.volume_m3:g} over floor_m2 {cabin.floor_m2:g} makes a room "
            f"{height_m:.1f} m high; it should be {ROOM_HEIGHT_M[0]:g} to {ROOM_HEIGHT_M[1]:g}.\n"
            "Floor is in square metres (ft² × 0.0929), volume in cubic metres (ft³ × 0.0283)."
        )
    table.done()
    return cabin


def _surface(table: Table) -> Surface:
    kind = table.word("kind", KINDS)
    if kind is None:
        raise DescriptionError(f"{table.where} has no kind.\nAdd one of: {', '.join(KINDS)}.")
    surface = Surface(
        kind=kind,
        area_m2=table.required("area_m2", 0.02, 1000),
        u_w_per_m2k=table.number("u_w_per_m2k", 0.03, 12),
        layers=tuple(_layer(layer) for layer in table.tables("layers")),
        glazing=table.word("glazing", ("single", "double")),
        faces=table.word("faces", FACES),
        over=table.word("over", ("air", "crawl", "ground")),
    )
    ways = [surface.u_w_per_m2k is not None, bool(surface.layers), surface.glazing is not None]
    if sum(ways) != 1:
        raise DescriptionError(
            f"{table.where} ({kind}) says {sum(ways)} times how well it insulates; it must be once.\n"
            "Give one of u_w_per_m2k, layers or (for windows and doors) glazing."
        )
    if surface.glazing and kind not in ("window", "door"):
        raise DescriptionError(
            f"{table.where} is a {kind} with glazing.\nGive layers or u_w_per_m2k instead."
        )
    if surface.over and kind != "floor":
        raise DescriptionError(
            f"{table.where} is a {kind} with 'over'.\nOnly a floor lies over air, crawl or ground."
        )
    table.done()
    return surface


def _layer(table: Table) -> Layer:
    name = table.text("material") or ""
    known = find_material(name) if name else None
    given = {
        "conductivity_w_per_mk": table.number("conductivity_w_per_mk", 0.005, 500),
        "density_kg_per_m3": table.number("density_kg_per_m3", 1, 12000),
        "specific_heat_j_per_kgk": table.number("specific_heat_j_per_kgk", 100, 5000),
    }
    if known is None and None in given.values():
        missing = ", ".join(key for key, value in given.items() if value is None)
        like = similar_materials(name) if name else ()
        raise DescriptionError(
            f"{table.where}: material '{name}' is not in the table of materials, and no {missing} is given.\n"
            + (f"Did you mean {' or '.join(like)}? Or give" if like else "Give")
            + " conductivity_w_per_mk, density_kg_per_m3 and specific_heat_j_per_kgk yourself."
        )
    values = {key: getattr(known, key) if value is None else value for key, value in given.items()}
    layer = Layer(material=name, thickness_mm=table.required("thickness_mm", 0.01, 3000), **values)
    table.done()
    return layer


def _stove(table: Table) -> Stove:
    floor = table.number("clean_floor_open_pct", 0, 100)
    assumed = table.flag("clean_floor_assumed")
    stove = Stove(
        max_load_kg=table.required("max_load_kg", 0.2, 100),
        clean_floor_assumed=floor is None or bool(assumed),
        **_given(
            body_kg=table.number("body_kg", 5, 3000),
            firebox_l=table.number("firebox_l", 2, 1000),
            air_lever_reads=table.word("air_lever_reads", ("open", "closed")),
            clean_floor_open_pct=floor,
            open_minutes=table.number("open_minutes", 0, 120),
        ),
    )
    table.done()
    return stove


def _wood(table: Table) -> WoodPile:
    basis = table.word("moisture_basis", tuple(Basis))
    moisture = table.number("moisture_pct", 0, MOST_MOISTURE_PCT[Basis(basis or Basis.WET)])
    assumed = table.flag("moisture_assumed")
    pieces = table.numbers("pieces_kg", 0.01, 50)
    pile = WoodPile(
        moisture_assumed=moisture is None or bool(assumed),
        pieces_kg=tuple(pieces.items()),
        **_given(
            species=table.text("species"),
            moisture_pct=moisture,
            moisture_basis=None if basis is None else Basis(basis),
        ),
    )
    table.done()
    return pile


def _comfort(table: Table) -> Comfort:
    band = table.pair("band_c", 0, 40)
    band_f = table.pair("band_f", 32, 104)
    if band and band_f:
        raise DescriptionError("[comfort] has both band_c and band_f.\nKeep one of them.")
    if band_f:
        band = (c_from_f(band_f[0]), c_from_f(band_f[1]))
    people = table.number("people", 0, 50)
    comfort = Comfort(
        **_given(
            band_c=band,
            bed=table.clock("bed"),
            wake=table.clock("wake"),
            people=None if people is None else round(people),
            gets_up=table.flag("gets_up"),
        )
    )
    table.done()
    return comfort


def _alarms(table: Table) -> Alarms:
    alarms = Alarms(smoke_expires=table.day("smoke_expires"), co_expires=table.day("co_expires"))
    table.done()
    return alarms


def _units(table: Table) -> OwnUnits:
    units = OwnUnits(
        **_given(temperature=table.word("temperature", ("C", "F")), mass=table.word("mass", ("kg", "lb")))
    )
    table.done()
    return units


def _given(**values: object) -> dict[str, Any]:
    """The values the file gives; for the rest the record's own defaults stand."""
    return {name: value for name, value in values.items() if value is not None}


def description_to_toml(description: Description) -> str:
    """A description as TOML that reads back to the same one, what was assumed marked so.

    Layers come with their numbers, so that a later change of the table of materials changes no log.
    """
    lines: list[str] = []
    for section in fields(description):
        part = getattr(description, section.name)
        lines.append(f"[{section.name}]")
        lines += [f"{key} = {_toml(value)}" for key, value in _pairs(part)]
        lines.append("")
        for surface in getattr(part, "surfaces", ()):
            lines.append("[[cabin.surface]]")
            lines += [f"{key} = {_toml(value)}" for key, value in _pairs(surface)]
            lines.append("")
    return "\n".join(lines)


def _pairs(record: object) -> Iterator[tuple[str, object]]:
    """The keys of a record that need writing: not what is missing, not surfaces (tables of their own)."""
    for field in fields(record):  # type: ignore[arg-type]  # always one of the frozen records
        value = getattr(record, field.name)
        if field.name == "pieces_kg":
            value = dict(value)
        if value is None or value == () or field.name == "surfaces":
            continue
        yield field.name, value


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, time):
        return f'"{value.isoformat(timespec="minutes")}"'
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return f'"{value.translate(_ESCAPES)}"'
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_toml(key)} = {_toml(part)}" for key, part in value.items()) + "}"
    if is_dataclass(value):
        return "{" + ", ".join(f"{key} = {_toml(part)}" for key, part in _pairs(value)) + "}"
    if isinstance(value, tuple):
        return "[" + ", ".join(map(_toml, value)) + "]"
    return repr(value)


def describe_changes(old: Description, new: Description) -> tuple[str, ...]:
    """What differs between two versions, one plain line each: "stove: body_kg 135 -> 150"."""
    changes: list[str] = []
    for section in fields(old):
        before, after = getattr(old, section.name), getattr(new, section.name)
        for field in fields(before):
            was, now = getattr(before, field.name), getattr(after, field.name)
            if was == now:
                continue
            if field.name == "surfaces":
                changes += _surface_changes(was, now)
            else:
                changes.append(f"{section.name}: {field.name} {_told(was)} -> {_told(now)}")
    return tuple(changes)


def _surface_changes(was: tuple[Surface, ...], now: tuple[Surface, ...]) -> list[str]:
    gone = [surface for surface in was if surface not in now]
    added = [surface for surface in now if surface not in was]
    return [f"cabin: {word} {_surface_told(surface)}" for word, group in (("without", gone), ("with", added))
            for surface in group]  # fmt: skip


def _surface_told(surface: Surface) -> str:
    if surface.layers:
        how = ", ".join(f"{layer.material or 'layer'} {layer.thickness_mm:g} mm" for layer in surface.layers)
    elif surface.glazing:
        how = f"{surface.glazing} glazing"
    else:
        how = f"U {surface.u_w_per_m2k:g} W/m²K"
    return f"{surface.kind} {surface.area_m2:g} m² ({how})"


def _told(value: object) -> str:
    if value is None or value in ((), ""):
        return "not given"
    if isinstance(value, tuple) and value and isinstance(value[0], tuple):
        return ", ".join(f"{name} {kg:g}" for name, kg in value)
    if isinstance(value, tuple):
        return "-".join(f"{part:g}" for part in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, StrEnum):
        return str(value)
    if isinstance(value, time):
        return value.isoformat(timespec="minutes")
    return str(value)
