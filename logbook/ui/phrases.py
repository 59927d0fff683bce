"""Numbers as the pages' columns show them: short, with their unit, air always both ways where it fits.

Sentences come from ``wording`` by way of the desk; this is only the figures in columns and on the chart.
"""

from __future__ import annotations

from datetime import datetime, tzinfo
from fractions import Fraction

from logbook.results import Range
from logbook.units import f_from_c, lb_from_kg

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

FRACTIONS = tuple(sorted({Fraction(n, d) for d in (2, 3, 4, 5, 8, 10) for n in range(1, d)}))
"""Fractions of a lever's way that owners say."""
FRACTION_NEAR_PCT = 0.6
"""How near a percentage must be to be said as a fraction: 33 % is 1/3."""


def clock(at: datetime, *, zone: tzinfo) -> str:
    """Local clock time, "21:40"."""
    return f"{at.astimezone(zone):%H:%M}"


def day(at: datetime, *, zone: tzinfo) -> str:
    """Local day, "Fri 16 Jan", in English whatever the machine's locale."""
    local = at.astimezone(zone)
    return f"{WEEKDAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]}"


def degrees(value_c: float, *, unit: str) -> int:
    """Whole degrees in the owner's unit ("C" or "F")."""
    return round(f_from_c(value_c) if unit == "F" else value_c)


def number(value: int) -> str:
    """A whole number with a true minus sign."""
    return f"−{-value}" if value < 0 else str(value)


def temperature(value_c: float, *, unit: str, decimals: int = 0) -> str:
    """A temperature with its unit, "−9 °C"; with decimals for readings."""
    if not decimals:
        return f"{number(degrees(value_c, unit=unit))} °{unit}"
    value = f_from_c(value_c) if unit == "F" else value_c
    return f"{value:.{decimals}f} °{unit}".replace("-", "−")


def temperature_range(found: Range, *, unit: str) -> str:
    """A 90 % range, "13–20 °C"; "−4 to 5 °C" below zero; one number when both ends round to it."""
    low, high = degrees(found.p05, unit=unit), degrees(found.p95, unit=unit)
    if low == high:
        return f"{number(low)} °{unit}"
    joint = " to " if low < 0 else "–"
    return f"{number(low)}{joint}{number(high)} °{unit}"


def open_part(open_pct: float) -> str:
    """How much of the air is open, short: "1/4", "all", "none", "37%"."""
    if open_pct >= 100 - FRACTION_NEAR_PCT:
        return "all"
    if open_pct <= FRACTION_NEAR_PCT:
        return "none"
    near = min(FRACTIONS, key=lambda f: abs(float(f) * 100 - open_pct))
    if abs(float(near) * 100 - open_pct) <= FRACTION_NEAR_PCT:
        return f"{near.numerator}/{near.denominator}"
    return f"{open_pct:.0f}%"


def air(open_pct: float) -> str:
    """The air both ways: "1/4 open (3/4 closed)"."""
    return f"{open_part(open_pct)} open ({open_part(100 - open_pct)} closed)"


def chance(share: float) -> str:
    """A chance no finer than one in ten: "3 in 10", "under 1 in 10", "under 1 in 100"."""
    if share < 0.01:
        return "under 1 in 100"
    if share < 0.1:
        return "under 1 in 10"
    if share > 0.99:
        return "over 99 in 100"
    return "over 9 in 10" if share > 0.9 else f"{round(share * 10)} in 10"


def mass(kg: float, *, unit: str) -> str:
    """Wood in the owner's unit, "4.8 kg"."""
    if kg == 0:
        return f"0 {unit}"
    return f"{lb_from_kg(kg) if unit == 'lb' else kg:.1f} {unit}"
