"""Values that may be true and seldom are: asked about with their number, kept on a yes, not learned from.

Reading a line and reading a table ask here, so that no way in is without it. What can't be at all is refused
before (``limits``, ``store.columns``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from logbook.entry.tokens import number_text
from logbook.records import Basis, Entry
from logbook.units import f_from_c

HOT_ROOM_C = 40.0
"""A room hotter than this is asked about, °C. ASSUMED: no one sits in it; a sauna is no room's reading."""

FAULT_C = 85.0
"""What common digital thermometers show when they fail, °C: the value at power-on (the one for no answer,
−127, is refused as no room's). Source: data sheet of a widely used one-wire sensor, from memory."""

HOT_OUTDOORS_C, COLD_OUTDOORS_C = 45.0, -50.0
"""Beyond these the air outside is asked about, °C. ASSUMED: a thermometer in the sun, a slipped sign."""

SWAP_GAP_K = 15.0
"""Outside warmer than inside by more than this is asked about, K. ASSUMED: after a frosty night the
unheated room still stands up to 14 K below a mild noon."""

DRY_WOOD_PCT = {Basis.WET: 5.0, Basis.DRY: 5.3}
"""Wood drier than this is asked about, per cent. ASSUMED: kiln-dried wood holds 6 to 8 %."""

MANY_TIMES = 2.5
"""A load of more than this many times the most so far, or the manual's, is asked about. ASSUMED."""

TEMPERATURES = (("indoor_c", "inside"), ("low_c", "low"), ("high_c", "high"))


@dataclass(frozen=True, slots=True)
class Unlikely:
    """A value to ask about: its field, and the sentence with its number."""

    field: str
    text: str


def unlikely(entry: Entry, *, max_load_kg: float | None, unit: str = "C") -> Iterator[Unlikely]:
    """What in an entry is seldom true.

    Args:
        entry: What was read.
        max_load_kg: The stove's limit, if known.
        unit: "C" or "F", for the sentence.
    """
    for name, side in TEMPERATURES:
        value = getattr(entry, name)
        if value is not None and value > HOT_ROOM_C:
            fault = " Thermometers show that when they fail." if abs(value - FAULT_C) < 0.05 else ""
            yield Unlikely(name, f"{side} {_shown(value, unit)} is hotter than anybody sits in.{fault}")
    outdoor_c, indoor_c = entry.outdoor_c, entry.indoor_c
    if outdoor_c is not None and not COLD_OUTDOORS_C <= outdoor_c <= HOT_OUTDOORS_C:
        yield Unlikely("outdoor_c", f"outside {_shown(outdoor_c, unit)} is hardly ever.")
    elif outdoor_c is not None and indoor_c is not None and outdoor_c - indoor_c > SWAP_GAP_K:
        both = f"outside {_shown(outdoor_c, unit)}, inside {_shown(indoor_c, unit)}"
        yield Unlikely("swapped", f"{both}: are they swapped?")
    moisture, basis = entry.moisture_pct, entry.moisture_basis or Basis.WET
    if moisture is not None and moisture < DRY_WOOD_PCT[basis]:
        yield Unlikely("moisture_pct", f"moisture {number_text(moisture)} % is drier than out of a kiln.")
    if entry.load_kg is not None and max_load_kg is not None and entry.load_kg > MANY_TIMES * max_load_kg:
        times = entry.load_kg / max_load_kg
        load = f"{number_text(round(entry.load_kg, 1))} kg"
        yield Unlikely("load_kg", f"load {load} is {times:.0f} times the stove's limit.")


def _shown(value_c: float, unit: str) -> str:
    value = f_from_c(value_c) if unit == "F" else value_c
    return f"{number_text(round(value, 1))} °{unit}"
