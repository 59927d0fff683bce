"""Figures as the pages' columns show them: ``wording``'s own words, only shorter where a column is narrow.

Sentences come from ``wording`` by way of the desk.
"""

from __future__ import annotations

from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from logbook.records import OwnUnits
from logbook.wording.amounts import (
    MONTHS,
    WEEKDAYS,
    air_text,
    number_text,
    range_text,
    temperature_text,
    temperature_value,
)

if TYPE_CHECKING:
    from logbook.results.night import Range


def clock(at: datetime, *, zone: tzinfo) -> str:
    """Local clock time, "21:40"."""
    return f"{at.astimezone(zone):%H:%M}"


def day(at: datetime, *, zone: tzinfo) -> str:
    """Local day, "Fri 16 Jan", in English whatever the machine's locale."""
    local = at.astimezone(zone)
    return f"{WEEKDAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]}"


def whole_degrees(value_c: float, *, units: OwnUnits) -> str:
    """Whole degrees in the owner's unit, without it: "−9"."""
    return number_text(temperature_value(value_c, units=units))


def temperature(value_c: float, *, units: OwnUnits, decimals: int = 0) -> str:
    """A temperature with its unit, "−9 °C"; with decimals for readings."""
    return temperature_text(value_c, units=units, decimals=decimals)


def temperature_range(found: Range, *, units: OwnUnits) -> str:
    """A 90 % range, "13–20 °C"; "−4 to 5 °C" below zero."""
    return range_text(found, units=units, likely=False)


def air(open_pct: float) -> str:
    """The air both ways in at most 22 columns: "1/4 open (3/4 closed)", "60% open (40% closed)"."""
    return air_text(open_pct).replace(" %", "%")


def open_part(open_pct: float) -> str:
    """How much of the air is open, for a lane of the chart: "1/4", "all", "shut", "37%"."""
    return air_text(open_pct, both_ways=False).removesuffix(" open").replace(" %", "%")
