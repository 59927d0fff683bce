"""Damp in sentences: the room's air, surfaces, what was seen, the stay's water, airing before it cools."""

from __future__ import annotations

from datetime import timedelta

from logbook.matters import Sight
from logbook.records import OwnUnits
from logbook.results.damp import (
    Airing,
    DampAnswer,
    HumidityRow,
    OutdoorFrom,
    SeenRow,
    SurfaceRow,
    SurfaceState,
)
from logbook.setting import Setting
from logbook.units import lb_from_kg
from logbook.wording.amounts import day_text, number_text, temperature_text, time_text

MOULD_FROM_RH_PCT = 60.0
"""Humidity above which mould is to be expected in time, %. Source: EPA, as reported: below 60, ideally 30 to
50."""

STATE_WORDS = {
    SurfaceState.DRY: "dry",
    SurfaceState.NEAR: "near wet",
    SurfaceState.WET: "wet now",
    SurfaceState.FROST: "frost now",
}

SIGHT_WORDS = {
    Sight.SWEATING: "sweating",
    Sight.FROST: "frost",
    Sight.MOULD: "mould",
    Sight.LEAK: "leak",
}

FROM_WORDS = {OutdoorFrom.READ: "as read", OutdoorFrom.TYPED: "as typed", OutdoorFrom.ASKED: "as given"}

PLACE_WORDS = frozenset(
    {"above", "at", "behind", "below", "beside", "by", "in", "near", "on", "over", "under"}
)
"""A place that begins with one of these says itself how it lies."""

READ_IT = "Read a hygrometer and type  in 18 rh 55  or give --rh."

JUST_READ = timedelta(minutes=30)
"""A humidity read so long ago needs no hour. ASSUMED: a room changes little in it."""

TELLING_PERSON_DAYS = 0.25
"""Less than this is not told: somebody looked in."""


def damp_text(answer: DampAnswer, *, setting: Setting) -> tuple[str, ...]:
    """Everything about damp, advice last."""
    units = setting.units
    rows = [_air(answer, setting=setting)]
    others = [row for row in answer.readings if row.place]
    rows += [f"  {_reading(row, setting=setting)}" for row in others]
    if answer.surfaces:
        rows.append("Likely on the inner face, the coldest first")
        rows += [f"  {_surface(row, units=units)}" for row in answer.surfaces]
    elif answer.described:
        missing = "inside and outside" if answer.inside_c is None else "outside"
        rows.append(f"The surfaces need a temperature {missing}: type  -8/18  or give --inside, --outdoor.")
    else:
        rows.append("The surfaces need a description of the cabin:  nightload setup --example")
    if answer.seen:
        rows.append("Seen, and not said to be gone")
        rows += [f"  {_seen(row, setting=setting)}" for row in answer.seen]
    if answer.water is not None and answer.water.person_days >= TELLING_PERSON_DAYS:
        rows.append(_water(answer, units=units))
    rows += advice_text(answer, setting=setting)
    return tuple(rows)


def advice_text(answer: DampAnswer, *, setting: Setting) -> tuple[str, ...]:
    """What to do, a sentence each."""
    rows = []
    if answer.airing is not None and answer.airing.air_changes > 0.0:
        rows += airing_text(answer.airing, units=setting.units)
    elif answer.airing is not None:
        rows.append(_unaired(answer, answer.airing))
    else:
        rows.append("Air before it cools: what the stay gave off condenses when the room gets cold.")
    if any(row.sight in (Sight.MOULD, Sight.LEAK) for row in answer.seen):
        rows.append("What got wet wants to be dry within 24 to 48 h (EPA); a leak first, or it comes back.")
    return tuple(rows)


def is_dry_enough(answer: DampAnswer) -> bool:
    """Whether nothing is left to air and nothing else speaks against leaving the room so."""
    found = answer.airing
    aired = found is not None and found.air_changes <= 0.0 and found.reachable
    return aired and (answer.rh_pct is None or answer.rh_pct <= MOULD_FROM_RH_PCT)


def _unaired(answer: DampAnswer, found: Airing) -> str:
    """What is said where airing is no use now: a dry room, or no drier air outside."""
    if is_dry_enough(answer):
        return "The room is dry enough to be left as it is."
    if found.reachable:
        return "It can be left without airing now, but not for good: air it when it is drier outside."
    return "Airing now would make it no drier: the air outside holds about as much water."


def _air(answer: DampAnswer, *, setting: Setting) -> str:
    units = setting.units
    if answer.inside_c is None:
        return f"No temperature inside in the last 12 h. {READ_IT}"
    inside = temperature_text(answer.inside_c, units=units)
    if answer.rh_pct is None or answer.dew_point_c is None:
        return f"Inside {inside}; no humidity in the last 12 h. {READ_IT}"
    point = "frost point" if answer.dew_point_c < 0.0 else "dew point"
    said = (
        f"Inside {inside} at {number_text(answer.rh_pct)} %{_read_when(answer, setting=setting)}: {point} "
        f"{temperature_text(answer.dew_point_c, units=units)}."
    )
    if answer.rh_pct > MOULD_FROM_RH_PCT:
        said += " Above 60 %: mould in time (EPA)."
    if answer.outdoor_c is not None and answer.outdoor_from is not None:
        outside = temperature_text(answer.outdoor_c, units=units, decimals=0)
        said += f" Outside {outside} ({FROM_WORDS[answer.outdoor_from]})."
    return said


def _read_when(answer: DampAnswer, *, setting: Setting) -> str:
    """When the humidity was read, where that is a while ago: the room may be another by now."""
    told = (answer.inside_c, answer.rh_pct)
    row = next((r for r in answer.readings if not r.place and (r.temperature_c, r.rh_pct) == told), None)
    if row is None or answer.as_of - row.at <= JUST_READ:
        return ""
    return f" (read {day_text(row.at, zone=setting.zone)} {time_text(row.at, zone=setting.zone)})"


def _reading(row: HumidityRow, *, setting: Setting) -> str:
    units = setting.units
    return (
        f"{row.place}: {temperature_text(row.temperature_c, units=units)} at {number_text(row.rh_pct)} %, "
        f"dew point {temperature_text(row.dew_point_c, units=units)} "
        f"({day_text(row.at, zone=setting.zone)} {time_text(row.at, zone=setting.zone)})"
    )


def _surface(row: SurfaceRow, *, units: OwnUnits) -> str:
    name = f"{row.kind} {row.faces}".strip() + (" (assumed)" if row.assumed else "")
    face = temperature_text(row.inside_c, units=units, decimals=0)
    if row.wet_from_rh_pct >= 99.5:
        wet = "never wet so"
    else:
        verb = "frosts" if row.inside_c < 0.0 else "wets"
        wet = f"{verb} from {number_text(row.wet_from_rh_pct)} %"
    state = f"{STATE_WORDS[row.state]}; " if row.state else ""
    behind = ""
    if row.behind_c is not None:
        behind = f"; behind furniture {temperature_text(row.behind_c, units=units, decimals=0)}"
    return f"{name:<16} {face:>7}  {state}{wet}{behind}"


def place_text(place: str) -> str:
    """Where something was seen, after a space: " at north wall", " behind the wardrobe"; "" where unsaid."""
    first = place.split(" ", 1)[0].casefold()
    at = "" if first in PLACE_WORDS else "at "
    return f" {at}{place}" if place else ""


def _seen(row: SeenRow, *, setting: Setting) -> str:
    where = place_text(row.place)
    since = day_text(row.since, zone=setting.zone, year=True)
    if row.times == 1:
        return f"{SIGHT_WORDS[row.sight]}{where}, {since}"
    last = day_text(row.last, zone=setting.zone, year=True)
    return f"{SIGHT_WORDS[row.sight]}{where}, {row.times} times from {since} to {last}"


def _water(answer: DampAnswer, *, units: OwnUnits) -> str:
    assert answer.water is not None
    low, high = (_mass(kg, units=units) for kg in (answer.water.kg.p05, answer.water.kg.p95))
    which = "this stay" if answer.water.going_on else "the last stay"
    days = number_text(answer.water.person_days, 1)
    said = (
        f"Breath, cooking and dishes of {which} gave the cabin about {low.split(' ')[0]} to {high} of "
        f"water ({days} person-days)."
    )
    if answer.airing is not None:
        grams = 1000.0 * answer.airing.in_air_kg
        held = (
            f"{number_text(grams, 0)} g"
            if units.mass == "kg"
            else f"{number_text(lb_from_kg(grams / 1000), 1)} lb"
        )
        said += f" The room's air holds {held} now; most of the rest is in bedding, wood and walls."
    return said


def airing_text(airing: Airing, *, units: OwnUnits) -> list[str]:
    """How much air to change before the room cools, how long that takes, and that once is not enough."""
    cooled = temperature_text(airing.cooled_c, units=units, decimals=0)
    if airing.reachable:
        goal = f"so that little condenses when all is down to {cooled}"
    else:
        goal = f"until it is about as dry as outside; some will still condense at {cooled}"
    ways = "; ".join(f"{how} {_minutes(least, most)}" for how, least, most in airing.minutes)
    return [
        f"Air before it cools, {goal}: {number_text(airing.air_changes, 1)} changes of air.",
        f"  {ways} (assumed pace; wind and cold quicken it).",
        "  Then once more half an hour later: bedding and walls give water back while they are warm.",
    ]


def _minutes(least: float, most: float) -> str:
    low, high = (max(1, round(minutes)) for minutes in (least, most))
    if low == high:
        return f"{low} min"
    if high < 120:
        return f"{low}–{high} min"
    return f"{number_text(low / 60.0, 1)} to {number_text(high / 60.0, 1)} h"


def _mass(kg: float, *, units: OwnUnits) -> str:
    value = lb_from_kg(kg) if units.mass == "lb" else kg
    return f"{number_text(value, 0 if value >= 10.0 else 1)} {units.mass}"
