"""Matters in words: what a line said besides the night, in the words of the writing line, to be typed again.

Amounts stand as they were written where the record has that, else in the owner's units.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from logbook.setting import local_time
from logbook.units import lb_from_kg
from logbook.wording.amounts import (
    WEEKDAYS,
    date_text,
    day_text,
    days_said,
    millimetres_text,
    number_text,
    reading_text,
    time_text,
)

if TYPE_CHECKING:
    from logbook.matters import (
        Ash,
        Bring,
        Brought,
        DayWeather,
        Improvement,
        Level,
        Matter,
        Seen,
        Stack,
        StackCount,
        StackMoisture,
        StaySaid,
        Tick,
        Upkeep,
        UpkeepRule,
    )
    from logbook.setting import Setting

ASH_CAUTION = "96 h, common practice as fire districts say"


def matter_text(matter: Matter, setting: Setting, *, at: datetime) -> str:
    """What a matter says in one phrase, in the words of the writing line.

    Args:
        matter: The matter.
        setting: The owner's units and zone.
        at: Its moment; ash waits from then on.
    """
    return _WORDS[type(matter).__name__](matter, setting, at)


def _ash(matter: Ash, setting: Setting, at: datetime) -> str:
    where = f", {matter.where}" if matter.where else ""
    if matter.act == "tipped":
        return f"ash tipped{where}"
    from logbook.results.ash import ASH_WAITS  # noqa: PLC0415 - the first frame waits for what lines need

    until, zone = at + ASH_WAITS, setting.zone
    other_year = local_time(until, zone).year != local_time(at, zone).year
    ready = f"{day_text(until, zone=zone, year=other_year)} {time_text(until, zone=zone)}"
    return f"ash out{where}: not before {ready} at the earliest ({ASH_CAUTION})"


def _upkeep(matter: Upkeep, setting: Setting, at: datetime) -> str:
    parts = [f"{_verb(matter)} {matter.task}"]
    if matter.deposit_mm is not None:
        parts.append(millimetres_text(matter.deposit_mm))
    if matter.by:
        parts.append(f"by {matter.by}")
    if matter.until is not None:
        parts.append(f"until {date_text(matter.until)}")
    if matter.finding:
        parts.append(matter.finding)
    if matter.photos:
        parts.append("photo " + " ".join(matter.photos))
    return ", ".join(parts)


def _verb(matter: Upkeep) -> str:
    if matter.only_looked:
        return "looked at"
    if matter.until is not None:
        return "replaced"
    return "swept" if matter.task == "flue" else "did"


def _rule(matter: UpkeepRule, setting: Setting, at: datetime) -> str:
    every = []
    if matter.every_days is not None:
        every.append(days_said(matter.every_days))
    if matter.every_kg is not None:
        every.append(_mass(matter.every_kg, setting))
    if matter.every_burn_days is not None:
        every.append(f"{plain_number(matter.every_burn_days)} burn {_many('day', matter.every_burn_days)}")
    if not every:
        return f"never {matter.task}"
    source = f", says {matter.source}" if matter.source else ""
    return f"every {' or '.join(every)} {matter.task}{source}"


def _stack(matter: Stack, setting: Setting, at: datetime) -> str:
    amount = wood_said(matter.volume_m3, matter.mass_kg, matter.as_said, setting)
    parts = [f"stack {matter.name} {amount}".rstrip() + (" loose" if matter.loose else "")]
    if matter.split_on is not None:
        parts.append(f"split {date_text(matter.split_on)}")
    if matter.where:
        leads = matter.where.split()[0].lower() in {"by", "under", "behind", "beside", "against"}
        parts.append(matter.where if leads else f"at {matter.where}")
    parts += _money_and_hours(matter.money, matter.hours)
    return ", ".join(parts)


def _count(matter: StackCount, setting: Setting, at: datetime) -> str:
    amount = wood_said(matter.volume_m3, matter.mass_kg, matter.as_said, setting)
    return f"count {matter.name} {amount}".rstrip()


def _moisture(matter: StackMoisture, setting: Setting, at: datetime) -> str:
    readings = " ".join(plain_number(value) for value in matter.readings_pct)
    face = {True: " fresh", False: " outside", None: ""}[matter.fresh_face]
    return f"meter {matter.name} {readings} % {matter.basis}{face}"


def _level(matter: Level, setting: Setting, at: datetime) -> str:
    return f"level {matter.item} {_amount(matter.amount, matter.unit)}"


def _brought(matter: Brought, setting: Setting, at: datetime) -> str:
    return f"brought {matter.item} {_amount(matter.amount, matter.unit)}"


def _bring(matter: Bring, setting: Setting, at: datetime) -> str:
    amount = "" if matter.amount is None else f" {_amount(matter.amount, matter.unit)}"
    return f"{'got' if matter.got else 'bring'} {matter.item}{amount}"


def _tick(matter: Tick, setting: Setting, at: datetime) -> str:
    return f"{'done' if matter.done else 'skip'} {matter.list_name}: {matter.line}"


def _stay(matter: StaySaid, setting: Setting, at: datetime) -> str:
    parts = []
    if matter.people:
        parts.append(f"people: {', '.join(matter.people)}")
    elif matter.count is not None:
        parts.append(f"people {matter.count}")
    if matter.purpose:
        parts.append(f"purpose {matter.purpose}")
    if matter.guest_book:
        parts.append(f"guest book: {matter.guest_book}")
    return "; ".join(parts)


def _improvement(matter: Improvement, setting: Setting, at: datetime) -> str:
    cost = [] if matter.money is None else [plain_number(matter.money)]
    cost += [] if matter.hours is None else [f"{plain_number(matter.hours)} h"]
    on = f" on {matter.surface}" if matter.surface else ""
    what = f", {matter.what}" if matter.what else ""
    return f"cost {matter.name} {', '.join(cost)}".rstrip() + on + what


def _seen(matter: Seen, setting: Setting, at: datetime) -> str:
    if matter.sight == "gone":
        return f"{matter.place} gone"
    return f"{matter.sight}, {matter.place}" if matter.place else f"{matter.sight}"


def _weather(matter: DayWeather, setting: Setting, at: datetime) -> str:
    day = f"{WEEKDAYS[matter.day.weekday()]} {date_text(matter.day)}"
    low, high = (reading_text(t, units=setting.units, decimals=0) for t in (matter.low_c, matter.high_c))
    wind = f", wind {matter.wind}" if matter.wind else ""
    sky = f", {matter.sky}" if matter.sky else ""
    return f"weather{' was' if matter.seen else ''} {day} low {low}, high {high}{wind}{sky}"


_WORDS: dict[str, Callable[[Any, Setting, datetime], str]] = {
    "Ash": _ash,
    "Upkeep": _upkeep,
    "UpkeepRule": _rule,
    "Stack": _stack,
    "StackCount": _count,
    "StackMoisture": _moisture,
    "Level": _level,
    "Brought": _brought,
    "Bring": _bring,
    "Tick": _tick,
    "StaySaid": _stay,
    "Improvement": _improvement,
    "Seen": _seen,
    "DayWeather": _weather,
}
"""By the name of the kind, so that the records need not be loaded for a log without any."""


def wood_said(volume_m3: float | None, mass_kg: float | None, as_said: str, setting: Setting) -> str:
    """An amount of wood as it was written, else in steres or the owner's unit of mass; empty if unknown."""
    if as_said:
        return as_said
    if volume_m3 is not None:
        return f"{plain_number(volume_m3)} stere"
    return "" if mass_kg is None else _mass(mass_kg, setting)


def _mass(kg: float, setting: Setting) -> str:
    """To be typed again as it was: no thousands, no decimals it hasn't got."""
    own = lb_from_kg(kg) if setting.units.mass == "lb" else kg
    return f"{plain_number(round(own, 1))} {setting.units.mass}"


def plain_number(value: float) -> str:
    """A number with as many decimals as it needs, three at most."""
    return number_text(value, 3).rstrip("0").rstrip(".")


def _amount(amount: float, unit: str) -> str:
    return f"{plain_number(amount)} {unit}".rstrip()


def _money_and_hours(money: float | None, hours: float | None) -> list[str]:
    said = [] if money is None else [f"cost {plain_number(money)}"]
    return said + ([] if hours is None else [f"{plain_number(hours)} h"])


def _many(word: str, number: float) -> str:
    return word if number == 1.0 else f"{word}s"
