"""The table of the description's blanks: what each holds, what stands around it, and why it is asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from logbook.actions import blank_values as read
from logbook.errors import LogbookError
from logbook.records import Basis, Cabin, Description, OwnUnits, Stove, Surface
from logbook.wording import air_text

METRIC, AMERICAN = "°C, kg, m²", "°F, lb, ft²"
NOT_SAID = "not said"

Put = Callable[[Description, str], Description]
Say = Callable[[Description], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One blank: how it is put into a description, and how it is said from one. Empty text: not given."""

    name: str
    before: str
    why: str
    put: Put
    say: Say
    quantity: str = ""
    after: str = ""
    choices: tuple[str, ...] = ()
    needed: bool = False


def _set(part: str, **values: Any) -> Callable[[Description], Description]:
    return lambda d: replace(d, **{part: replace(getattr(d, part), **values)})


def _number(
    where: str,
    limits: tuple[float, float],
    *,
    name: str,
    before: str,
    why: str,
    quantity: str,
    needed: bool = False,
    after: str = "",
    also: Mapping[str, object] | None = None,
    none: Mapping[str, object] | None = None,
) -> Rule:
    """A blank of one number, ``where`` being "part.field"; ``none`` is set when it is empty."""
    (part, field), (low, high) = where.split("."), limits

    def put(d: Description, text: str) -> Description:
        if not text.strip():
            if needed:
                raise LogbookError(f"{before.strip().capitalize()} is needed.\nType a number.")
            return _set(part, **(none or {field: None}))(d)
        value = read.amount(text, quantity=quantity, units=d.units, low=low, high=high, what="This blank")
        if text.strip() == _told(d, getattr(getattr(d, part), field)):
            return d  # as it was: no digits are lost by showing it
        return _set(part, **{field: value}, **(also or {}))(d)

    def _told(d: Description, value: float | None) -> str:
        return "" if value is None else read.shown(value, quantity=quantity, units=d.units)

    def say(d: Description) -> str:
        assumed = (
            none is not None
            and also is not None
            and any(getattr(getattr(d, part), key) != value for key, value in also.items())
        )
        return "" if assumed else _told(d, getattr(getattr(d, part), field))

    return Rule(
        name=name, before=before, why=why, put=put, say=say, quantity=quantity, after=after, needed=needed
    )


def _choice(where: str, said: Mapping[str, object], *, name: str, before: str, why: str) -> Rule:
    """A blank with a few words to choose from."""
    part, field = where.split(".")

    def put(d: Description, text: str) -> Description:
        if text not in said:
            raise LogbookError(f"'{text}' is none of {', '.join(said)}.\nOne of these, please.")
        return _set(part, **{field: said[text]})(d)

    def say(d: Description) -> str:
        value = getattr(getattr(d, part), field)
        return next((word for word, means in said.items() if means == value), next(iter(said)))

    return Rule(name=name, before=before, why=why, put=put, say=say, choices=tuple(said))


def _put_units(d: Description, text: str) -> Description:
    american = text == AMERICAN
    return replace(d, units=OwnUnits(temperature="F" if american else "C", mass="lb" if american else "kg"))


def _put_floor_air(d: Description, text: str) -> Description:
    if not text.strip():
        return _set("stove", clean_floor_open_pct=Stove(max_load_kg=1).clean_floor_open_pct,
                    clean_floor_assumed=True)(d)  # fmt: skip
    if text.strip() == _say_floor_air(d):
        return d
    value = read.air_open(text, lever="open")
    return _set("stove", clean_floor_open_pct=value, clean_floor_assumed=False)(d)


def _say_floor_air(d: Description) -> str:
    if d.stove.clean_floor_assumed:
        return ""
    return air_text(d.stove.clean_floor_open_pct, both_ways=False).removesuffix(" open")


def _put_pieces(d: Description, text: str) -> Description:
    if text.strip() == _say_pieces(d):
        return d
    return _set("wood", pieces_kg=read.pieces(text, units=d.units))(d)


def _say_pieces(d: Description) -> str:
    return ", ".join(f"{n} {read.shown(kg, quantity='mass', units=d.units)}" for n, kg in d.wood.pieces_kg)


def _band(which: int) -> tuple[Put, Say]:
    def put(d: Description, text: str) -> Description:
        if text.strip() == say(d):
            return d
        band = list(d.comfort.band_c)
        band[which] = read.amount(text, quantity="temperature", units=d.units, low=0.0, high=40.0,
                                  what="The wanted temperature")  # fmt: skip
        return replace(d, comfort=replace(d.comfort, band_c=(band[0], band[1])))

    def say(d: Description) -> str:
        shown = read.shown(d.comfort.band_c[which], quantity="temperature", units=d.units)
        return f"{float(shown):.0f}" if d.units.temperature == "F" else shown

    return put, say


def _clock(field: str) -> tuple[Put, Say]:
    def put(d: Description, text: str) -> Description:
        return _set("comfort", **{field: read.clock(text)})(d)

    return put, lambda d: str(getattr(d.comfort, field).isoformat(timespec="minutes"))


def _day(field: str) -> tuple[Put, Say]:
    def put(d: Description, text: str) -> Description:
        return replace(d, alarms=replace(d.alarms, **{field: read.day(text) if text.strip() else None}))

    def say(d: Description) -> str:
        value = getattr(d.alarms, field)
        return value.isoformat() if value else ""

    return put, say


def _text(part: str, field: str, empty: object) -> tuple[Put, Say]:
    def put(d: Description, text: str) -> Description:
        return _set(part, **{field: " ".join(text.split()) or empty})(d)

    return put, lambda d: str(getattr(getattr(d, part), field) or "")


def _put_zone(d: Description, text: str) -> Description:
    if text.strip() == d.site.timezone:
        return d
    return _set("site", timezone=text.strip(), timezone_assumed=False)(d)


def _put_walls(d: Description, text: str) -> Description:
    """Layers of all walls; their area, when nobody gave one, from floor and height."""
    if text.strip() == _say_walls(d):
        return d
    others = tuple(s for s in d.cabin.surfaces if s.kind != "wall")
    if not text.strip():
        return _set("cabin", surfaces=others)(d)
    found = read.layers(text)
    old = [s for s in d.cabin.surfaces if s.kind == "wall"]
    area = sum(s.area_m2 for s in old) or wall_area_m2(d.cabin)
    return _set("cabin", surfaces=(Surface(kind="wall", area_m2=area, layers=found), *others))(d)


def _say_walls(d: Description) -> str:
    return next((read.layers_text(s.layers) for s in d.cabin.surfaces if s.kind == "wall" and s.layers), "")


def wall_area_m2(cabin: Cabin) -> float:
    """Area of all walls of a compact floor at the mean height, m². ASSUMED where nobody measured."""
    from logbook.heat.envelope import compact_perimeter_m  # noqa: PLC0415 - the first frame goes without

    height = cabin.volume_m3 / cabin.floor_m2
    return round(compact_perimeter_m(area_m2=cabin.floor_m2) * height, 1)


_ASKED: tuple[Rule, ...] = (
    Rule(
        name="units", before="I count in", choices=(METRIC, AMERICAN),
        why="Numbers are shown in these. A line of the log may always say its own unit.",
        put=_put_units, say=lambda d: AMERICAN if d.units.mass == "lb" else METRIC,
    ),
    _number(
        "cabin.floor_m2", (2.0, 500.0), name="floor", quantity="area", before="My cabin has",
        why="Needed. Floor and height give the outside through which heat is lost.",
        needed=True, after="of heated floor",
    ),
    _number(
        "cabin.volume_m3", (4.0, 3000.0), name="volume", quantity="volume", before="and",
        why="Needed. Floor times mean height: the air that cold air coming in replaces.",
        needed=True, after="of air inside (floor times mean height)",
    ),
    _number(
        "stove.max_load_kg", (0.2, 100.0), name="limit", quantity="mass",
        before="My stove's manual allows at most",
        why="Needed. No suggestion ever goes above it. It is in the manual, or on the plate.",
        needed=True, after="of wood at once",
    ),
    _choice(
        "stove.air_lever_reads", {"how far OPEN": "open", "how far CLOSED": "closed"},
        name="lever", before="Its air lever tells",
        why="The same mark means opposite things on two stoves. Asked once, never guessed.",
    ),
    Rule(
        name="least air", before="The manual's least air is", after="open",
        why="Below it wood smoulders: soot and smoke. Left out: 30 %, and every answer says so.",
        put=_put_floor_air, say=_say_floor_air,
    ),
    _choice(
        "cabin.leakiness", {NOT_SAID: None, "tight": "tight", "average": "average", "leaky": "leaky"},
        name="leak", before="On a windy day it is",
        why="Draughts carry heat out. Left out, the first ranges are wider.",
    ),
    Rule(
        name="walls", before="Walls, from outside:",
        why="A material and its mm, such as: 20 mm board, 90 mm batt. It narrows the first range.",
        put=_put_walls, say=_say_walls,
    ),
    Rule(
        name="pieces", before="One piece weighs",
        why="Your own sizes, weighed once: then 2 M is enough to type, and loads come in pieces.",
        put=_put_pieces, say=_say_pieces, quantity="mass",
    ),
    Rule(
        name="species", before="I burn mostly", why="A named kind counts by its own heat, 4 % at most.",
        put=_text("wood", "species", "mixed")[0], say=_text("wood", "species", "mixed")[1],
    ),
    _number(
        "wood.moisture_pct", (0.0, 67.0), name="moisture", quantity="per cent", before="with",
        why="Water in the wood takes heat to boil off. Left out: 18 % of the wet wood is assumed.",
        after="water in it", also={"moisture_assumed": False},
        none={"moisture_pct": 18.0, "moisture_basis": Basis.WET, "moisture_assumed": True},
    ),
    Rule(
        name="from", before="I want", after="to", quantity="temperature",
        why="The band the night should stay in, where you sleep.", put=_band(0)[0], say=_band(0)[1],
    ),
    Rule(
        name="to", before="", quantity="temperature", after="",
        why="Too warm to sleep counts as much as too cold.", put=_band(1)[0], say=_band(1)[1],
    ),
    Rule(
        name="bed", before="from bed", why="The last load goes in about now.",
        put=_clock("bed")[0], say=_clock("bed")[1],
    ),
    Rule(
        name="wake", before="to waking", why="Ranges are told for this time.",
        put=_clock("wake")[0], say=_clock("wake")[1],
    ),
    _choice(
        "comfort.gets_up", {"nobody gets up": False, "somebody gets up anyway": True},
        name="up", before="At night", why="Only then is a load at night suggested.",
    ),
    Rule(
        name="place", before="The place is called", why="It stands in the corner and on paper.",
        put=_text("site", "name", "")[0], say=_text("site", "name", "")[1],
    ),
    _number(
        "stove.body_kg", (5.0, 3000.0), name="body", quantity="mass", before="The stove itself weighs",
        why="A heavy stove gives its heat later. Left out: 140 kg is taken.",
    ),
    _number(
        "stove.open_minutes", (0.0, 120.0), name="open minutes", quantity="minutes",
        before="After a load the air stays wide open for",
        why="Forecasts run the fire so. Left out: 12 minutes.", none={"open_minutes": 12.0},
    ),
    _number(
        "site.latitude_deg", (-90.0, 90.0), name="latitude", quantity="degrees", before="Latitude",
        why="For sunrise and the sun through windows; north is plus.",
    ),
    _number(
        "site.longitude_deg", (-180.0, 180.0), name="longitude", quantity="degrees", before="longitude",
        why="East is plus.",
    ),
    Rule(
        name="zone", before="The clock is that of", why="Region and city, such as Europe/Oslo.",
        put=_put_zone, say=lambda d: d.site.timezone,
    ),
    _choice(
        "cabin.water", {"there is none": "none", "stands in pipes": "in", "is drained": "drained"},
        name="water", before="Water", why="Warnings of frost depend on it.",
    ),
    Rule(
        name="smoke alarm", before="Replace by: smoke alarm", why="The date printed on it.",
        put=_day("smoke_expires")[0], say=_day("smoke_expires")[1],
    ),
    Rule(
        name="CO alarm", before="CO alarm", why="The date printed on it.",
        put=_day("co_expires")[0], say=_day("co_expires")[1],
    ),
)  # fmt: skip

RULES: dict[str, Rule] = {rule.name: rule for rule in _ASKED}
"""Every blank by name, in the order they are asked."""
