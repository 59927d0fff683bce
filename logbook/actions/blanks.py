"""The description as sentences with blanks: each blank read, checked, and put back into a description.

The order, the words around a blank and why it is asked are for whoever shows them (``answers.Blank``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from logbook.actions import blank_values as read
from logbook.actions.blank_rules import METRIC, NOT_SAID, RULES, Rule
from logbook.description import ROOM_HEIGHT_M, description_to_toml, parse_description
from logbook.entry.words import SPECIES
from logbook.errors import DescriptionError, LogbookError
from logbook.materials import MATERIALS
from logbook.records import Cabin, Description, OwnUnits, Site, Stove
from logbook.results.app import Blank

FIRST_RUN = (
    "units", "floor", "volume", "limit", "lever", "least air", "leak", "walls", "pieces", "from", "to",
    "bed", "wake",
)  # fmt: skip
"""The blanks of the first evening."""

ALONE = {
    "volume": "It holds",
    "moisture": "My wood has",
    "from": "At night I want at least",
    "to": "At night I want at most",
    "bed": "Bed is at",
    "wake": "Waking is at",
    "longitude": "Longitude",
    "CO alarm": "Replace by: CO alarm",
}
"""Words before a blank that stands in a row of its own."""

PART, NEW_PART = "part ", "part new"
"""Names of the blanks of the outside's parts: "part 1", and the one that adds one."""


def unit_of(name: str, units: OwnUnits) -> str:
    """The owner's unit of a blank, if it has one."""
    rule = RULES.get(name)
    return read.unit_of(rule.quantity, units) if rule and rule.quantity else ""


def blanks_of(description: Description) -> tuple[Blank, ...]:
    """Every blank of a description with what stands in it, the parts of the outside last."""
    units = description.units
    found = [_alone(rule, description) for rule in RULES.values() if rule.name != "walls"]
    why = "Kind, area, then layers from outside, or single or double, or U. Empty leaves it out."
    for n, part in enumerate(description.cabin.surfaces, start=1):
        text = read.surface_text(part, units=units)
        found.append(Blank(name=f"{PART}{n}", text=text, before="", why=why))
    found.append(Blank(name=NEW_PART, text="", before="one more part:", why=f"{why} {read.SURFACE_HOW}"))
    return tuple(found)


def _alone(rule: Rule, description: Description) -> Blank:
    """A blank with the words around it in a row of its own."""
    after = "" if rule.name == "from" else rule.after
    return Blank(
        name=rule.name,
        text=rule.say(description),
        before=ALONE.get(rule.name, rule.before),
        why=rule.why,
        after=" ".join(word for word in (unit_of(rule.name, description.units), after) if word),
        choices=rule.choices,
        needed=rule.needed,
    )


def with_blank(description: Description, name: str, text: str) -> Description:
    """The description with one blank changed.

    Raises:
        LogbookError: The text can't be that; with the numbers.
    """
    if name.startswith(PART):
        return checked(_with_part(description, name, text))
    return checked(RULES[name].put(description, text.strip()))


def _with_part(description: Description, name: str, text: str) -> Description:
    parts = list(description.cabin.surfaces)
    at = len(parts) if name == NEW_PART else int(name.removeprefix(PART)) - 1
    if not text.strip():
        del parts[at : at + 1]
    else:
        before = parts[at] if at < len(parts) else None
        parts[at : at + 1] = [read.surface(text, units=description.units, before=before)]
    return replace(description, cabin=replace(description.cabin, surfaces=tuple(parts)))


def described(texts: Mapping[str, str], *, zone: str) -> tuple[Description | None, dict[str, str]]:
    """A first description from the blanks as filled in so far, and what is wrong, by blank.

    None while a needed one is missing or wrong; the others then count as not given.
    """
    wrong: dict[str, str] = {}
    got = _start(zone)
    missing = False
    for name in FIRST_RUN:
        rule, text = RULES[name], texts.get(name, "").strip()
        if not text:
            missing = missing or rule.needed
            continue
        try:
            got = rule.put(got, text)
        except LogbookError as error:
            wrong[name] = " ".join(str(error).split())
            missing = missing or rule.needed
    if not missing:
        try:
            got = checked(got)
        except LogbookError as error:
            wrong["volume" if "high" in str(error) else "to"] = " ".join(str(error).split())
            missing = True
    return (None if missing else got), wrong


def _start(zone: str) -> Description:
    """What stands before anything was said; floor, air and load are always filled in."""
    return Description(
        cabin=Cabin(floor_m2=20.0, volume_m3=45.0),
        stove=Stove(max_load_kg=5.0),
        site=Site(timezone=zone, timezone_assumed=True),
    )


def checked(description: Description) -> Description:
    """The description as a file would give it back.

    Raises:
        LogbookError: Values that do not go together: the room's height, the band's order.
    """
    cabin, (low, high) = description.cabin, description.comfort.band_c
    height = cabin.volume_m3 / cabin.floor_m2
    if not ROOM_HEIGHT_M[0] <= height <= ROOM_HEIGHT_M[1]:
        units = description.units
        air, floor = (
            f"{read.shown(v, quantity=q, units=units)} {read.unit_of(q, units)}"
            for v, q in ((cabin.volume_m3, "volume"), (cabin.floor_m2, "area"))
        )
        raise LogbookError(
            f"{air} of air over {floor} of floor is a room {height:.1f} m high, not "
            f"{ROOM_HEIGHT_M[0]:g} to {ROOM_HEIGHT_M[1]:g}.\nThe air inside is floor times mean height."
        )
    if low >= high:
        shown = [read.shown(c, quantity="temperature", units=description.units) for c in (low, high)]
        raise LogbookError(f"From {shown[0]} to {shown[1]} is no band.\nThe lower temperature comes first.")
    try:
        return parse_description(description_to_toml(description), machine_zone="UTC")
    except DescriptionError as error:
        raise LogbookError(str(error).replace("Mend it in the file and run setup again; ", "")) from error


def first_blanks(texts: Mapping[str, str], *, zone: str) -> tuple[Blank, ...]:
    """The first evening's blanks in the units chosen; those that have a usual value begin with it."""
    start = RULES["units"].put(_start(zone), texts.get("units") or METRIC)
    begun = {"from", "to", "bed", "wake"}
    return tuple(
        Blank(
            name=rule.name,
            text=rule.say(start) if rule.name in begun | {"units"} else "",
            before=rule.before,
            why=rule.why,
            after=" ".join(w for w in (unit_of(rule.name, start.units), rule.after) if w),
            choices=tuple(c for c in rule.choices if c != NOT_SAID),
            needed=rule.needed,
        )
        for rule in (RULES[name] for name in FIRST_RUN)
    )


def walls_said(description: Description | None) -> str:
    """What area the walls are taken to have, when it was guessed from the floor."""
    walls = [s for s in description.cabin.surfaces if s.kind == "wall"] if description else []
    if description is None or not walls:
        return ""
    area = read.shown(walls[0].area_m2, quantity="area", units=description.units)
    return f"Their area is taken as {area} {read.unit_of('area', description.units)} (assumed)."


def rest_of_word(name: str, text: str) -> str:
    """What Tab adds to a blank of materials or of species: the end of the word begun."""
    if name not in ("walls", "species") and not name.startswith(PART):
        return ""
    begun = re.search(r"[^\W\d_][^\W\d_ ]*(?: [^\W\d_]+)*$", text)
    if begun is None:
        return ""
    word = begun.group().casefold()
    known = sorted(SPECIES) if name == "species" else [m.name for m in MATERIALS]
    known += [] if name == "species" else [*read.KINDS, "double", "single"]
    found = next((k for k in known if k.startswith(word) and k != word), "")
    return found[len(word) :]
