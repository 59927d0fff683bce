"""What to bring and what is used, in sentences; amounts in the unit the owner writes."""

from __future__ import annotations

import math

from logbook.results.night import Range
from logbook.results.supplies import BringAnswer, BringFrom, BringItem, LowFrom, SupplyUse
from logbook.setting import Setting
from logbook.units import KG_PER_UNIT, L_PER_UNIT, lb_from_kg
from logbook.wording.amounts import day_text, number_text, temperature_text
from logbook.wording.bulk import bulk_text

LEARN_IT = "Write  level water 14 L  on arriving and on leaving, and your own use takes its place."

PLANNING = (
    "First guess by public planning figures: 3.8 L each a day to survive on (US, 1 gallon), 7.5 to 15 L with "
    "cooking and washing (Sphere)."
)

PLENTY_KG = 200.0
"""From here on a stack is told no finer than it is known. ASSUMED: a stay's need is still told apart."""

PROPANE_KWH_PER_KG = 13.9
"""Heat of propane, kWh/kg: 21,548 Btu/lb, as reported."""

LOW_WORDS = {
    LowFrom.ASKED: "as you gave it",
    LowFrom.TYPED: "as typed",
    LowFrom.CALENDAR: "a wide guess by the calendar",
}


def bring_text(answer: BringAnswer, *, setting: Setting) -> tuple[str, ...]:
    """For whom and how long, what to carry and why, what is there, wood, what was left undone."""
    rows = [_head(answer, setting=setting)]
    if answer.items:
        own = any(item.source is BringFrom.OWN_USE for item in answer.items)
        rows.append("Bring (enough for four stays in five)" if own else "Bring")
        rows += [f"  {item_text(item, setting=setting)}" for item in answer.items]
    else:
        rows.append("Nothing on the list, and no level asks for more.")
    if answer.wood is not None:
        rows.append(f"Wood: {wood_text(answer, setting=setting)}")
    else:
        rows.append("Wood: no stay with a fire and no description of the cabin to reckon it from.")
    if answer.enough:
        rows.append("Enough there")
        rows += [f"  {_enough(item, setting=setting)}" for item in answer.enough]
    unknown = [use for use in answer.uses if use.per_person_day is None and use.last is not None]
    if unknown:
        rows.append("Use not known yet (two levels with a stay between them tell it)")
        rows += [f"  {_last(use, setting=setting)}" for use in unknown]
    rows += [text for use in answer.uses for text in _doubts(use)]
    if answer.left_undone:
        rows.append("Left undone last time")
        rows += [f"  {line} ({day_text(at, zone=setting.zone)})" for at, line in answer.left_undone]
    if answer.night_low_c < 0.0 and any(use.item == "water" and use.there for use in answer.uses):
        rows.append("Water that stands there may be frozen when you come.")
    return tuple(rows)


def items_told(answer: BringAnswer, *, setting: Setting) -> list[tuple[BringItem, str, str]]:
    """Everything to bring, wood last, each with where it is from and why."""
    told = [
        (item, from_text(item, setting=setting), why_text(item, setting=setting)) for item in answer.items
    ]
    if answer.wood is not None:
        told.append(
            (answer.wood, from_text(answer.wood, setting=setting), wood_text(answer, setting=setting))
        )
    return told


def from_text(item: BringItem, *, setting: Setting) -> str:
    """Where an item is from: "your own use", "left note of 10 Jan"."""
    if item.source is BringFrom.LEFT_NOTE and item.noted_at is not None:
        return f"left note of {day_text(item.noted_at, zone=setting.zone).split(' ', 1)[1]}"
    return str(item.source)


def item_text(item: BringItem, *, setting: Setting) -> str:
    """One thing with how much and why: "water 31 L. Your own use: …"."""
    amount = "" if item.amount is None else f" {amount_text(item.amount, item, up=True)}"
    return f"{item.item}{amount}. {why_text(item, setting=setting)}"


def why_text(item: BringItem, *, setting: Setting) -> str:
    """Why it is on the list, with its range."""
    if item.source in (BringFrom.LEFT_NOTE, BringFrom.LIST):
        day = day_text(item.noted_at, zone=setting.zone) if item.noted_at else ""
        where = "Left note of" if item.source is BringFrom.LEFT_NOTE else "On your list since"
        return f"{where} {day}.{_level_all_the_same(item)}"
    if item.source is BringFrom.UPKEEP:
        return "Due by the end of this stay, or never written down; see  due ." + _also(item, setting=setting)
    said = []
    if item.source is BringFrom.OWN_USE and item.own_use is not None:
        use = item.own_use
        days = number_text(use.person_days, 1 if use.person_days < 10.0 else 0)
        said.append(f"{_each(use, item)}, over {days} person-days of yours.")
    else:
        said.append(PLANNING)
    if item.need is not None:
        said.append(f"This stay: {_span(item.need, item)}, likely {amount_text(item.need.p50, item)}.")
    if item.amount is None and item.unit == "%":
        said.append("Have it filled, or carry a full one.")
    if item.survival_l is not None:
        said.append(_survival(item))
    said.append(_there(item))
    return " ".join(text for text in said if text) + _also(item, setting=setting)


def wood_text(answer: BringAnswer, *, setting: Setting) -> str:
    """The wood the stay is expected to burn, in kg and pieces, and whether it is there."""
    item = answer.wood
    if item is None or item.need is None:
        return ""
    span = f"{_mass(item.need.p05, setting).split(' ')[0]} to {_mass(item.need.p95, setting)}"
    said = f"{span} for this stay, likely {_mass(item.need.p50, setting)}"
    if answer.wood_pieces is not None:
        size, likely, most = answer.wood_pieces
        said += f" ({math.ceil(likely)} {size} pieces, {math.ceil(most)} to be safe)"
    if item.source is BringFrom.OWN_USE:
        said += f", by your last {item.stays} stays with a fire." if item.stays > 1 else ", by one stay."
    else:
        said += ", by what the cabin loses."
    if item.there is None:
        much = "0.5 cord" if setting.units.mass == "lb" else "0.9 stere"
        return f"{said} How much is up there is not written:  stack birch {much}  or  count birch {much}"
    plenty = item.there >= PLENTY_KG
    there_text = bulk_text(item.there, units=setting.units) if plenty else _mass(item.there, setting)
    there = f"{said} Dry enough up there: about {there_text}."
    if item.amount:
        return f"{there} Bring {_mass(item.amount, setting)} to be safe."
    return f"{there} That is enough."


def amount_text(amount: float, item: BringItem | SupplyUse, *, up: bool = False) -> str:
    """An amount in the unit the owner writes; ``up`` rounds to the safe side."""
    word = item.shown_unit or item.unit
    folded = word.casefold()
    value = amount / L_PER_UNIT.get(folded, KG_PER_UNIT.get(folded, 1.0))
    whole = value >= 10.0 or item.unit not in ("L", "kg") or folded in ("ml", "g")
    decimals = 0 if whole else 1 if value >= 1.0 else 2
    if up:
        value = math.ceil(round(value * 10**decimals, 6)) / 10**decimals
    text = number_text(value, 0 if value == round(value) else decimals)
    return f"{text} {word}".rstrip()


def _head(answer: BringAnswer, *, setting: Setting) -> str:
    people = "1 person" if answer.people == 1 else f"{number_text(answer.people)} people"
    nights = "1 night" if answer.nights == 1 else f"{answer.nights} nights"
    people += " (as usual)" if answer.people_assumed else ""
    nights += " (as usual)" if answer.nights_assumed else ""
    low = temperature_text(answer.night_low_c, units=setting.units, decimals=0)
    return f"For {people} and {nights}, low {low} ({LOW_WORDS[answer.low_from]})."


def _each(use: SupplyUse, item: BringItem) -> str:
    assert use.per_person_day is not None
    return f"You use {_span(use.per_person_day, item)} each a day"


def _span(found: Range, item: BringItem | SupplyUse) -> str:
    low, high = amount_text(found.p05, item), amount_text(found.p95, item)
    return f"{low.split(' ')[0]} to {high}" if low != high else low


def _survival(item: BringItem) -> str:
    least = f"{number_text(item.survival_l or 0.0)} L"
    if item.raised:
        return f"Your own use is less: raised to {least}, the planning figure for survival."
    if item.unit != "L" or item.need is None:
        return f"Whatever is there, {least} is the planning figure for survival over this stay."
    return ""


def _there(item: BringItem) -> str:
    use = item.own_use
    if item.there is None:
        return f"No level is written. {LEARN_IT}" if item.unit == "L" else "No level is written."
    gas = ""
    if item.unit == "kg" and use is not None and use.item.casefold() in ("gas", "propane"):
        gas = f" ({number_text(item.there * PROPANE_KWH_PER_KG)} kWh as propane)"
    return f"Expected there: {amount_text(item.there, item)}{gas}."


def _also(item: BringItem, *, setting: Setting) -> str:
    return f" On your list too, {day_text(item.also_noted, zone=setting.zone)}." if item.also_noted else ""


def _level_all_the_same(item: BringItem) -> str:
    """What is there of something asked for by the owner, in the unit its level is written in."""
    if item.own_use is None or item.there is None:
        return ""
    need = f" ({_span(item.need, item.own_use)} needed)" if item.need else ""
    return f" Expected there: {amount_text(item.there, item.own_use)}, enough by reckoning{need}."


def _enough(item: BringItem, *, setting: Setting) -> str:
    need = f"{_span(item.need, item)} needed" if item.need else ""
    return f"{item.item}: {amount_text(item.there or 0.0, item)} there, {need}"


def _last(use: SupplyUse, *, setting: Setting) -> str:
    at = day_text(use.last_at, zone=setting.zone, year=True) if use.last_at else ""
    return f"{use.item}: {amount_text(use.last or 0.0, use)} on {at}"


def _doubts(use: SupplyUse) -> list[str]:
    said = []
    if use.odd:
        times = "once" if use.odd == 1 else f"{use.odd} times"
        said.append(
            f"{use.item}: left out {times}, as more was there than can be, or the units don't compare. "
            f"Write what is carried in:  brought {use.item} 5"
            + (f" {use.shown_unit}" if use.shown_unit else "")
        )
    if use.lost > 0.0:
        said.append(
            f"{use.item}: {amount_text(use.lost, use)} went while nobody was there: a leak, or a stay that "
            "was not written?"
        )
    return said


def _mass(kg: float, setting: Setting) -> str:
    """Whole kg or lb: what a stay burns isn't known finer."""
    value = lb_from_kg(kg) if setting.units.mass == "lb" else kg
    return f"{number_text(value)} {setting.units.mass}"
