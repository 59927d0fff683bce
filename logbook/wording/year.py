"""The Year page in words: each thing in one row; the command of the same name has it whole."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from logbook.records import OwnUnits
from logbook.results.damp import DampAnswer, SeenRow
from logbook.results.stays import ThisWeekendAnswer, YearPage
from logbook.results.supplies import BringAnswer, BringFrom, BringItem
from logbook.results.weather import DayRow, WeatherAnswer
from logbook.results.woodshed import WoodAnswer
from logbook.setting import Setting, local_time
from logbook.units import lb_from_kg
from logbook.wording.amounts import (
    MONTHS,
    WEEKDAYS,
    day_text,
    mass_text,
    number_text,
    temperature_text,
)
from logbook.wording.bulk import bulk_range_text, count_range_text
from logbook.wording.damp import SIGHT_WORDS, is_dry_enough, place_text
from logbook.wording.stays import NONE_YET, when_text
from logbook.wording.supplies import amount_text, from_text
from logbook.wording.weather import FROM_WORDS
from logbook.wording.woodshed import lasting_text

BY_WEEKDAY_DAYS = 6
"""A day this far ahead or less is told by its weekday alone."""

TOLD_IN_ONE = ("Dry enough to burn", "It lasts", "A night takes", "Kept warm")
"""Beginnings of the shed's sentences that one row stands for; the part laid open has them whole."""


def wood_short(answer: WoodAnswer, *, setting: Setting) -> tuple[str, ...]:
    """Dry wood and how long it lasts in one sentence, then whether it is enough, then what to split."""
    dry, nights = answer.dry_enough_kg, answer.nights_left
    said = lasting_text(answer, setting=setting)
    if dry is None or dry.p95 <= 0.0 or nights is None or nights.p95 <= 0.0:
        return said
    much, long = bulk_range_text(dry, units=setting.units), count_range_text(nights, "night")
    rest = (one for one in said if not one.startswith(TOLD_IN_ONE))
    return (f"Dry enough to burn: {much}, for {long}.", *rest)


def bring_short(answer: BringAnswer, *, setting: Setting) -> tuple[tuple[BringItem, str, str], ...]:
    """Each thing to bring: what and how much, and in a few words where it is from."""
    return tuple((item, _what(item), _why(item, answer, setting=setting)) for item in answer.items)


def _what(item: BringItem) -> str:
    amount = "" if item.amount is None else f" {amount_text(item.amount, item, up=True)}"
    return f"{item.item}{amount}"


def _why(item: BringItem, answer: BringAnswer, *, setting: Setting) -> str:
    if item.source in (BringFrom.OWN_USE, BringFrom.PLANNING):
        people = f"{number_text(answer.people)} {'person' if answer.people == 1 else 'people'}"
        nights = f"{answer.nights} {'night' if answer.nights == 1 else 'nights'}"
        return f"{people}, {nights}, {from_text(item, setting=setting)}"
    if item.source is BringFrom.UPKEEP:
        return "upkeep asks for it"
    if item.source is BringFrom.LIST and item.noted_at is not None:
        return f"your note of {day_text(item.noted_at, zone=setting.zone).split(' ', 1)[1]}"
    return from_text(item, setting=setting)


def wood_to_bring(answer: BringAnswer, *, units: OwnUnits) -> str:
    """Wood to carry in, or that there is enough; "" where how much is there is not written."""
    item = answer.wood
    if item is None or item.there is None:
        return ""
    return f"{mass_text(item.amount, units=units)} to be safe" if item.amount else "enough is there, dry"


def damp_short(answer: DampAnswer, *, setting: Setting) -> str:
    """The newest sight of damp, the dew point against the coldest face, whether to air; "; " between.

    Nobody read the room: nobody is there to air it, and the row says nothing of it; the command does.
    """
    said = [_sight(answer.seen, answer, setting=setting)] if answer.seen else []
    said.append(_dew(answer, units=setting.units))
    if answer.inside_c is None:
        return "; ".join(said)
    if is_dry_enough(answer):
        said.append("dry enough to be left as it is")
    elif answer.airing is not None and answer.airing.air_changes <= 0.0:
        said.append("airing now makes it no drier")
    else:
        said.append("air before it cools")
    return "; ".join(said)


def _sight(seen: Sequence[SeenRow], answer: DampAnswer, *, setting: Setting) -> str:
    newest = seen[0]
    year = local_time(newest.last, setting.zone).year != local_time(answer.as_of, setting.zone).year
    where = place_text(newest.place)
    more = f" and {len(seen) - 1} more" if len(seen) > 1 else ""
    return f"{SIGHT_WORDS[newest.sight]}{where} ({day_text(newest.last, zone=setting.zone, year=year)}){more}"


def _dew(answer: DampAnswer, *, units: OwnUnits) -> str:
    if answer.inside_c is None:
        return "no temperature in the last 12 h"
    if answer.dew_point_c is None:
        return "no humidity in the last 12 h"
    point = "frost point" if answer.dew_point_c < 0.0 else "dew point"
    said = f"{point} {temperature_text(answer.dew_point_c, units=units, decimals=0)}"
    if not answer.surfaces:
        return said
    coldest = min(answer.surfaces, key=lambda row: row.inside_c)
    assumed = " (assumed)" if coldest.assumed else ""
    face = temperature_text(coldest.inside_c, units=units, decimals=0)
    return f"{said} against the {coldest.kind}'s {face}{assumed}"


def weather_short(answer: WeatherAnswer, *, setting: Setting) -> str:
    """The nearest day ahead, else the last one known, and the coldest on record."""
    units = setting.units
    if answer.ahead:
        said = _weather_of(answer.ahead[0], answer, units=units)
    elif answer.behind:
        said = f"no day ahead is known; {_weather_of(answer.behind[-1], answer, units=units)}"
    else:
        said = "no day ahead is known; type weather sat -8 -2"
    if answer.coldest is None:
        return said
    coldest = temperature_text(answer.coldest.temperature_c, units=units, decimals=0)
    return f"{said}; coldest on record {coldest}"


def _weather_of(row: DayRow, answer: WeatherAnswer, *, units: OwnUnits) -> str:
    low, high = (temperature_text(c, units=units, decimals=0) for c in (row.low_c, row.high_c))
    words = ", ".join(word for word in (row.wind, str(row.sky or "")) if word)
    span = f"{low.split(' ')[0]} to {high}{f' {words}' if words else ''}"
    return f"{_weather_day(row, answer)} {span} ({FROM_WORDS[row.source]})"


def _weather_day(row: DayRow, answer: WeatherAnswer) -> str:
    """ "today", "Sat" when it is near, else "Sat 17 Jan"."""
    days = (row.day - answer.today).days
    if days == 0:
        return "today"
    weekday = WEEKDAYS[row.day.weekday()]
    near = 0 < days <= BY_WEEKDAY_DAYS
    return weekday if near else f"{weekday} {row.day.day} {MONTHS[row.day.month - 1]}"


def season_short(pages: Sequence[YearPage], *, setting: Setting) -> str:
    """The season going on, or the last one: first fire, stays, nights, wood, the coldest dawn."""
    if not pages:
        return NONE_YET
    page = pages[-1]
    said = f"{page.name}: "
    said += (
        f"first fire {day_text(page.first_fire, zone=setting.zone)}. " if page.first_fire else "no fire yet. "
    )
    stays = f"{page.stays} {'stay' if page.stays == 1 else 'stays'}"
    nights = f"{page.nights} {'night' if page.nights == 1 else 'nights'}"
    kg = page.wood_kg
    value = lb_from_kg(kg) if setting.units.mass == "lb" else kg
    said += f"{stays}, {nights}, {number_text(value)} {setting.units.mass} of wood."
    cold = page.coldest_inside
    if cold is not None:
        said += f" Coldest dawn {temperature_text(cold.temperature_c, units=setting.units, decimals=1)}."
    return said


def weekend_short(answer: ThisWeekendAnswer, *, setting: Setting) -> str:
    """This weekend in the last other year that has one, or "" where none has."""
    if not answer.stays:
        return ""
    other = answer.stays[0]
    nights = f"{other.stay.nights} {'night' if other.stay.nights == 1 else 'nights'}"
    off = {0: "this weekend", -1: "the weekend before this", 1: "the weekend after this"}
    when = off.get(other.weeks_off, "about now")
    book = f" “{other.stay.guest_book[0]}”" if other.stay.guest_book else ""
    return f"{when}: {when_text(other.stay, setting=setting)}, {nights}.{book}"


def guest_short(pages: Iterable[YearPage], *, setting: Setting) -> str:
    """The newest line of the guest book with its day, or ""."""
    lines = [line for page in pages for line in page.guest_book]
    if not lines:
        return ""
    at, said = max(lines)
    return f"“{said}” {day_text(at, zone=setting.zone, year=True)}"
