"""Wood in bulk in words: masses, volumes in household units, heat, days, each with its range."""

from __future__ import annotations

import math
from datetime import date

from logbook.errors import beyond_measure
from logbook.records import Basis, OwnUnits
from logbook.results.night import Range
from logbook.results.woodshed import Unit
from logbook.units import KJ_PER_BTU, lb_from_kg
from logbook.wording.amounts import MONTHS, number_text

MWH_PER_MJ = 1.0 / 3600.0
"""Definition of the watt-hour."""


def bulk_text(kg: float, *, units: OwnUnits) -> str:
    """A mass of a stack: "8 kg", "195 kg", "1,240 kg"; no finer than it can be known."""
    return f"{_bulk(kg, units)} {units.mass}"


def bulk_range_text(found: Range, *, units: OwnUnits) -> str:
    """A mass with its range: "195 kg (165 to 235)"."""
    low, mid, high = (_bulk(kg, units) for kg in ends(found))
    return f"{mid} {units.mass}" if low == high else f"{mid} {units.mass} ({low} to {high})"


def bulk_span_text(found: Range, *, units: OwnUnits) -> str:
    """Just the ends: "165 to 235 kg"."""
    low, high = _bulk(found.p05, units), _bulk(found.p95, units)
    return f"{low} {units.mass}" if low == high else f"{low} to {high} {units.mass}"


def heat_text(found: Range, *, units: OwnUnits) -> str:
    """Net heat in MWh, or in million Btu where the mass is in pounds."""
    per, unit = (1.0 / (1000.0 * KJ_PER_BTU), "million Btu") if units.mass == "lb" else (MWH_PER_MJ, "MWh")
    low, mid, high = (small_text(mj * per) for mj in ends(found))
    return f"{mid} {unit} ({low} to {high})"


def count_range_text(found: Range, what: str) -> str:
    """How many, with its range: "9 nights (7 to 12)"."""
    low, mid, high = (round(n) for n in ends(found))
    word = what if mid == 1 else f"{what}s"
    return f"{mid} {word}" if low == high else f"{mid} {word} ({low} to {high})"


def month_text(day: date | None) -> str:
    """A month: "Oct 2026"; nothing where there is none."""
    return f"{MONTHS[day.month - 1]} {day.year}" if day else ""


def _bulk(kg: float, units: OwnUnits) -> str:
    if not math.isfinite(kg):
        raise beyond_measure()
    value = lb_from_kg(kg) if units.mass == "lb" else kg
    step = 1 if value < 50.0 else 5 if value < 1000.0 else 10
    if 0.0 < value < 0.5:
        return "0.5"
    return f"{round(value / step) * step:,}"


def small_text(value: float) -> str:
    """A number with two to three digits: "0.43", "4.2", "31"."""
    return number_text(value, 0 if value >= 20.0 else 1 if value >= 2.0 else 2)


def in_unit_text(m3: Range, unit: Unit) -> str:
    """A volume in the owner's household unit, with its range: "0.43 stere (0.36 to 0.49)"."""
    low, mid, high = (small_text(x / (unit.m3 or 1.0)) for x in ends(m3))
    return f"{mid} {unit.word}" if low == high else f"{mid} {unit.word} ({low} to {high})"


def span_in_unit_text(m3: Range, unit: Unit) -> str:
    """Just the ends: "0.36 to 0.49 stere"."""
    low, high = (small_text(x / (unit.m3 or 1.0)) for x in (m3.p05, m3.p95))
    return f"{low} {unit.word}" if low == high else f"{low} to {high} {unit.word}"


def scaled(found: Range, factor: float) -> Range:
    """A range times a number above 0."""
    return Range(*(x * factor for x in ends(found)))


def moisture_on(dry_pct: float, basis: Basis) -> float:
    """Moisture from the dry basis to the one asked for, %."""
    return dry_pct if basis is Basis.DRY else 100.0 * dry_pct / (100.0 + dry_pct)


def ends(found: Range) -> tuple[float, float, float]:
    """Low end, middle, high end."""
    return found.p05, found.p50, found.p95
