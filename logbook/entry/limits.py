"""What can be kept at all: values outside are refused with their numbers."""

from __future__ import annotations

from logbook.entry.tokens import number_text
from logbook.entry.understood import Problem, RefusedError
from logbook.units import c_from_f, f_from_c

INDOOR_C = (-40.0, 100.0)
"""Inside readings kept, °C; unlikely ones are asked about first. ASSUMED: a thermometer left on the stove's
shelf, or one that failed; revisit if an owner is refused a true one."""

OUTDOOR_C = (-60.0, 60.0)
"""Outside readings kept, °C. ASSUMED: wider than any inhabited place's records on the cold side but a few."""

LOAD_KG = (0.0, 200.0)
"""One load, kg. ASSUMED: no stove of a small cabin holds more; a slip of the keys does."""

HEATER_W = (0.0, 20_000.0)
"""Heat from anything but the stove, W. ASSUMED: the largest portable heaters give about 20 kW."""

SIDES = {
    "indoor_c": ("inside", INDOOR_C),
    "low_c": ("inside", INDOOR_C),
    "high_c": ("inside", INDOOR_C),
    "outdoor_c": ("outside", OUTDOOR_C),
    "forecast_low_c": ("outside", OUTDOOR_C),
}


def celsius(value: float, unit: str) -> float:
    """°C from a value in "C" or "F"."""
    return c_from_f(value) if unit == "F" else value


def checked_c(name: str, value: float, unit: str, span: tuple[int, int]) -> float:
    """A temperature in °C, refused when nothing like it is kept.

    Raises:
        RefusedError: with the value and the limits in the unit it was typed in.
    """
    side, (low, high) = SIDES[name]
    got = celsius(value, unit)
    if low <= got <= high:
        return got
    shown = [f_from_c(limit) if unit == "F" else limit for limit in (low, high)]
    raise refused(
        f"{number_text(value)} °{unit} is outside what is kept "
        f"({number_text(shown[0])} to {number_text(shown[1])} °{unit} {side}).",
        "Check the sign and the unit, for example 18C or 65F.",
        span,
    )


def checked_percent(what: str, value: float, span: tuple[int, int]) -> float:
    """A percentage from 0 to 100.

    Raises:
        RefusedError: outside of that.
    """
    if 0.0 <= value <= 100.0:
        return value
    raise refused(
        f"{what} {number_text(value)} % can't be.", "It goes from 0 to 100 %, for example 55%.", span
    )


def checked_air(name: str, value: float, said: str, span: tuple[int, int]) -> float:
    """A lever position as said, in per cent of the whole way.

    Raises:
        RefusedError: for more than all or less than nothing.
    """
    if 0.0 <= value <= 100.0 + 1e-9:
        return min(value, 100.0)
    what = "Air" if name == "air" else "The damper"
    limit = "0 to 1/1" if "/" in said else "0 to 100 %"
    wrong = f"{said} is more than open." if value > 0 else f"{said} is less than closed."
    raise refused(wrong, f"{what} goes from {limit}.", span)


def checked_within(
    what: str, value: float, limits: tuple[float, float], unit: str, span: tuple[int, int]
) -> float:
    """A quantity within limits.

    Raises:
        RefusedError: outside of them.
    """
    if limits[0] <= value <= limits[1]:
        return value
    raise refused(
        f"{what} of {number_text(value)} {unit} can't be kept: it goes from {number_text(limits[0])} to "
        f"{number_text(limits[1])} {unit}.",
        "Type the number again.",
        span,
    )


def refused(wrong: str, instead: str, span: tuple[int, int]) -> RefusedError:
    """A refusal of a part of the line."""
    return RefusedError(Problem(wrong=wrong, instead=instead, start=span[0], end=span[1]))
