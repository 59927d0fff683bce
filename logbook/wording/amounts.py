"""Amounts in words: the owner's units, a proper minus, air both ways, ranges and chances."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from fractions import Fraction
from typing import TYPE_CHECKING

from logbook.records import OwnUnits
from logbook.setting import local_time
from logbook.units import DAYS_PER_MONTH, f_from_c, lb_from_kg

if TYPE_CHECKING:
    from logbook.results.night import Range

MINUS = "−"
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

SIMPLE_FRACTIONS = (Fraction(1, 4), Fraction(1, 3), Fraction(1, 2), Fraction(2, 3), Fraction(3, 4))
"""Lever positions people name; anything else is said in per cent."""

NEAR_FRACTION_PCT = 1.0
"""How near to a simple fraction still counts as one, percentage points. A lever isn't read finer."""


def number_text(value: float, decimals: int = 0) -> str:
    """A number with a proper minus sign, and none before a zero."""
    text = f"{value:.{decimals}f}"
    return f"{0.0:.{decimals}f}" if float(text) == 0.0 else text.replace("-", MINUS)


def how_many(count: int, one: str, many: str = "") -> str:
    """So many of a thing: "1 event", "2 events", or with its own plural "2 entries"."""
    return f"{count} {one if count == 1 else many or f'{one}s'}"


def date_text(day: date, *, year: bool = True) -> str:
    """A day as it is typed and printed: "3 May 2033", "3 May"."""
    return f"{day.day} {MONTHS[day.month - 1]}" + (f" {day.year}" if year else "")


def days_said(days: float) -> str:
    """An interval of days as it is typed: "365 days", "1 day"; whole months where the days are not whole."""
    months = days / DAYS_PER_MONTH
    if abs(days - round(days)) > 1e-6 and abs(months - round(months)) < 1e-6:
        return f"{round(months)} {'month' if round(months) == 1 else 'months'}"
    number = number_text(days, 3).rstrip("0").rstrip(".")
    return f"{number} {'day' if number == '1' else 'days'}"


def millimetres_text(mm: float) -> str:
    """A thickness: "2 mm", "3.2 mm"; an eighth of an inch is no finer than that."""
    return f"{number_text(mm, 1).removesuffix('.0')} mm"


def temperature_value(temperature_c: float, *, units: OwnUnits) -> float:
    """The temperature in the owner's unit, °C or °F."""
    return f_from_c(temperature_c) if units.temperature == "F" else temperature_c


def temperature_text(temperature_c: float, *, units: OwnUnits, decimals: int = 1) -> str:
    """A temperature with its unit: "18.0 °C", "−9 °C".

    ``decimals`` is 1 for readings inside, 0 for outside and for what is expected.
    """
    return f"{number_text(temperature_value(temperature_c, units=units), decimals)} °{units.temperature}"


def reading_text(temperature_c: float, *, units: OwnUnits, decimals: int) -> str:
    """A temperature as it was read: more decimals than asked for only if it has them."""
    value = temperature_value(temperature_c, units=units)
    needed = decimals if abs(value - round(value, decimals)) < 0.005 else 1
    return f"{number_text(value, needed)} °{units.temperature}"


def difference_text(difference_k: float, *, units: OwnUnits, decimals: int = 1) -> str:
    """A temperature difference: "1.4 °C", or in °F without the 32."""
    value = difference_k * 1.8 if units.temperature == "F" else difference_k
    return f"{number_text(value, decimals)} °{units.temperature}"


def mass_text(kg: float, *, units: OwnUnits) -> str:
    """A mass as weighed: "6.4 kg", "14.1 lb"; grams when there is less than 100 g."""
    value = lb_from_kg(kg) if units.mass == "lb" else kg
    decimals = 1 if abs(value) >= 0.1 or value == 0.0 else 2
    return f"{number_text(value, decimals)} {units.mass}"


def pieces_text(pieces: str) -> str:
    """Counted pieces with a space between number and size: "3M 1L" becomes "3 M 1 L"."""
    made = ""
    for index, sign in enumerate(pieces):
        joined = index > 0 and sign.isalpha() and pieces[index - 1].isdigit()
        made += f" {sign}" if joined else sign
    return " ".join(made.split())


def bundle_text(pieces: str, kg: float, *, units: OwnUnits) -> str:
    """A load short, for a column: "1 M 1 L", or its mass when there are no pieces."""
    return pieces_text(pieces) if pieces else mass_text(kg, units=units)


def air_text(open_pct: float, *, both_ways: bool = True) -> str:
    """A lever position both ways: "1/4 open (3/4 closed)", "60 % open (40 % closed)".

    Within 1 % of a simple fraction it is said as that; the ends are "all open (none closed)" and "shut
    (all closed)". ``both_ways=False`` leaves the brackets to another row, for narrow screens.
    """
    if open_pct >= 100.0 - NEAR_FRACTION_PCT:
        return "all open (none closed)" if both_ways else "all open"
    if open_pct <= NEAR_FRACTION_PCT:
        return "shut (all closed)" if both_ways else "shut"
    for part in SIMPLE_FRACTIONS:
        if abs(open_pct - 100.0 * float(part)) <= NEAR_FRACTION_PCT:
            opened, closed = f"{part}", f"{1 - part}"
            return f"{opened} open ({closed} closed)" if both_ways else f"{opened} open"
    whole = round(open_pct)
    return f"{whole} % open ({100 - whole} % closed)" if both_ways else f"{whole} % open"


def span_text(low_c: float, high_c: float, *, units: OwnUnits) -> str:
    """Two temperatures as one range: "13–20 °C"; with "to" when one is below zero."""
    low = number_text(temperature_value(low_c, units=units))
    high = number_text(temperature_value(high_c, units=units))
    unit = f"°{units.temperature}"
    if low == high:
        return f"{low} {unit}"
    return f"{low} to {high} {unit}" if MINUS in low + high else f"{low}–{high} {unit}"


def range_text(expected: Range, *, units: OwnUnits, likely: bool = True) -> str:
    """A 90 % range and its middle: "13–20 °C, likely 17 °C"."""
    span = span_text(expected.p05, expected.p95, units=units)
    if not likely:
        return span
    return f"{span}, likely {temperature_text(expected.p50, units=units, decimals=0)}"


def chance_text(chance: float, *, nights: bool = True) -> str:
    """A chance no finer than one in ten, but at the ends: "3 nights in 10", "under 1 in 100"."""
    if chance < 0.01:
        return "under 1 in 100"
    if chance < 0.095:
        return "under 1 in 10"
    if chance > 0.99:
        return "over 99 in 100"
    if chance > 0.95:
        return "over 9 in 10"
    tenths = max(1, min(9, round(chance * 10.0)))
    if not nights:
        return f"{tenths} in 10"
    return f"{tenths} {'night' if tenths == 1 else 'nights'} in 10"


def time_text(at: datetime, *, zone: str) -> str:
    """The site's clock: "21:41"."""
    return f"{local_time(at, zone):%H:%M}"


def day_text(at: datetime, *, zone: str, year: bool = False) -> str:
    """The site's date: "Fri 16 Jan", with the year when it matters."""
    local = local_time(at, zone)
    text = f"{WEEKDAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]}"
    return f"{text} {local.year}" if year else text


MOST_DAYS = 3
"""So many days are named where there are more, the newest."""


def days_text(times: Sequence[datetime], *, zone: str) -> str:
    """The days of these, the newest by name: "Fri 16 Jan, Sat 17 Jan", "... and earlier ones"."""
    days = list(dict.fromkeys(day_text(at, zone=zone) for at in sorted(times)))
    return ", ".join(days[-MOST_DAYS:]) + (" and earlier ones" if len(days) > MOST_DAYS else "")


def hours_text(hours: float) -> str:
    """A duration: "45 min", "2.6 h", "14 h"."""
    if hours < 1.0:
        return f"{round(hours * 60.0)} min"
    return f"{number_text(hours, 1 if hours < 10.0 else 0)} h"
