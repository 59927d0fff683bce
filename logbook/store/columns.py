"""The columns of our tables: names, units, what is possible in them. One list for the way in and the way out.

The limits refuse only what cannot be: a slipped decimal point, a broken sensor, Fahrenheit under Celsius.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum

from logbook.records import MOST_MOISTURE_PCT, Basis, Coals, Mark, Wind, Window
from logbook.units import c_from_f, kg_from_lb


class CellError(Exception):
    """Why a cell cannot be used; becomes the reason its row is refused. Never leaves this package."""


def _as_is(value: float) -> float:
    return value


def _open_from_closed(closed_pct: float) -> float:
    return 100.0 - closed_pct


@dataclass(frozen=True, slots=True)
class Quantity:
    """A column of numbers: the field it fills, the limits in that field's own unit, both included.

    ``what`` says in words what is limited; ``units`` are the spellings a cell may carry after its number.
    """

    column: str
    field: str
    unit: str
    low: float
    high: float
    what: str
    units: tuple[str, ...] = ()
    to_si: Callable[[float], float] = _as_is


INDOOR_C = (-40.0, 100.0)
"""Indoor readings accepted, °C; unlikely ones are flagged. ASSUMED, as where a line is read."""
OUTDOOR_C = (-60.0, 60.0)
"""Outdoor readings and forecasts accepted, °C. ASSUMED: beyond any weather a cabin is visited in."""
MOST_LOAD_KG = 100.0
"""The heaviest load accepted, kg. ASSUMED: no stove of a small cabin takes it; grams or pounds were meant."""
MOST_OTHER_HEAT_W = 30_000.0
"""The most heat from anything but the stove accepted, W. ASSUMED: a large house's boiler."""

_C = ("c", "°c", "degc")
_F = ("f", "°f", "degf")
_PCT = ("%", "pct")

QUANTITIES: tuple[Quantity, ...] = (
    Quantity("indoor_c", "indoor_c", "°C", *INDOOR_C, "a room", _C),
    Quantity("indoor_f", "indoor_c", "°F", *INDOOR_C, "a room", _F, c_from_f),
    Quantity("outdoor_c", "outdoor_c", "°C", *OUTDOOR_C, "the air outside", _C),
    Quantity("outdoor_f", "outdoor_c", "°F", *OUTDOOR_C, "the air outside", _F, c_from_f),
    Quantity("low_c", "low_c", "°C", *INDOOR_C, "a room", _C),
    Quantity("low_f", "low_c", "°F", *INDOOR_C, "a room", _F, c_from_f),
    Quantity("high_c", "high_c", "°C", *INDOOR_C, "a room", _C),
    Quantity("high_f", "high_c", "°F", *INDOOR_C, "a room", _F, c_from_f),
    Quantity("forecast_low_c", "forecast_low_c", "°C", *OUTDOOR_C, "the air outside", _C),
    Quantity("forecast_low_f", "forecast_low_c", "°F", *OUTDOOR_C, "the air outside", _F, c_from_f),
    Quantity("load_kg", "load_kg", "kg", 0.0, MOST_LOAD_KG, "a load", ("kg",)),
    Quantity("load_lb", "load_kg", "lb", 0.0, MOST_LOAD_KG, "a load", ("lb", "lbs"), kg_from_lb),
    Quantity("moisture_pct", "moisture_pct", "%", 0.0, MOST_MOISTURE_PCT[Basis.DRY], "wood moisture", _PCT),
    Quantity("air_open_pct", "air_open_pct", "%", 0.0, 100.0, "an opening", _PCT),
    Quantity("air_closed_pct", "air_open_pct", "% closed", 0.0, 100.0, "an opening", _PCT, _open_from_closed),
    Quantity("flue_damper_open_pct", "flue_damper_open_pct", "%", 0.0, 100.0, "an opening", _PCT),
    Quantity("other_heat_w", "other_heat_w", "W", 0.0, MOST_OTHER_HEAT_W, "other heat", ("w",)),
    Quantity("rh_pct", "rh_pct", "%", 0.0, 100.0, "relative humidity", _PCT),
)

WORDS: dict[str, type[StrEnum]] = {
    "moisture_basis": Basis,
    "window": Window,
    "coals": Coals,
    "wind": Wind,
    "mark": Mark,
}
"""Columns that hold one of a few words."""

SYNONYMS = {("window", "closed"): "shut"}

TEXTS = ("place", "pieces", "species", "change", "note")
YES_OR_NO = ("kindling", "fire_out", "alarms_tested")
TIMES = ("at", "reset_at")

BY_NAME = {quantity.column: quantity for quantity in QUANTITIES}
KNOWN = (*TIMES, *BY_NAME, *WORDS, *TEXTS, *YES_OR_NO, "matter", "flags")
"""Every column name understood on the way in."""

BLANKS = frozenset({"", "-", "–", "—", "na", "n/a", "nan", "none given", "null", "?"})
"""What people and loggers write for "nothing"; never a word of ours ("none" is a word for coals)."""

_FORMULA = re.compile(r"'*[=+\-@\t\r]")
"""How a cell begins that a spreadsheet runs (OWASP, "CSV Injection", from memory), already guarded or not."""

_NUMBER = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?)\s*(\D*)", re.ASCII | re.IGNORECASE)


def plain_name(header: str) -> str:
    """A header as it is compared: no capitals, spaces as underscores."""
    return "_".join(header.strip().strip("\ufeff").casefold().split())


def guarded(text: str) -> str:
    """A text as a cell no spreadsheet takes for a formula: with an apostrophe before such a beginning."""
    return "'" + text if _FORMULA.match(text) else text


def unguarded(cell: str) -> str:
    """The text of a cell written by ``guarded``."""
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def nearest_column(name: str) -> str | None:
    """The known column spelt most like an unknown one."""
    return next(iter(get_close_matches(name, KNOWN, n=1, cutoff=0.7)), None)


def number_in(quantity: Quantity, text: str) -> float:
    """The value of a cell in the unit of its field.

    Raises:
        CellError: No number, another unit, or impossible.
    """
    found = _NUMBER.fullmatch(text.replace("−", "-"))
    if found is None:
        raise CellError(f"{quantity.column} '{text}' is not a number")
    unit = found.group(2).strip().casefold()
    if unit and unit not in quantity.units:
        raise CellError(
            f"{quantity.column} '{text}' has the unit '{unit}'; this column is in {quantity.unit}"
        )
    given = float(found.group(1).replace(",", "."))
    value = quantity.to_si(given)
    if not quantity.low <= value <= quantity.high:
        raise CellError(
            f"{quantity.column} {given:g} {quantity.unit} cannot be: {quantity.what} is taken from "
            f"{quantity.low:g} to {quantity.high:g} {_si_unit(quantity)}"
        )
    return value


def _si_unit(quantity: Quantity) -> str:
    return {"°F": "°C", "lb": "kg", "% closed": "%"}.get(quantity.unit, quantity.unit)


def word_in(column: str, text: str) -> StrEnum:
    """The word in a cell; capitals do not matter.

    Raises:
        CellError: None of this column's words.
    """
    kind = WORDS[column]
    plain = text.casefold()
    try:
        return kind(SYNONYMS.get((column, plain), plain))
    except ValueError:
        raise CellError(f"{column} '{text}' is none of {', '.join(kind)}") from None


def yes_in(column: str, text: str) -> bool:
    """Whether a cell says yes.

    Raises:
        CellError: Neither yes nor no.
    """
    plain = text.casefold()
    if plain in ("yes", "y", "true", "1", "x"):
        return True
    if plain in ("no", "n", "false", "0"):
        return False
    raise CellError(f"{column} '{text}' is neither yes nor no")
