"""How the Nights page is looked at: which nights are shown, which is marked, which are open. Pure."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, tzinfo
from statistics import median
from typing import TYPE_CHECKING

from logbook.records import OwnUnits
from logbook.ui.phrases import temperature
from logbook.units import c_from_f
from logbook.wording.amounts import mass_text

if TYPE_CHECKING:
    from logbook.results.app import NightLived, NightRow, Track

WOODS = ("", "none", "small", "big")
"""Steps of the wood filter; small and big are told apart by the owner's own middle load."""

COLDER_C = (None, 0.0, -5.0, -10.0, -15.0)
"""Steps of the outdoor filter, °C: the night's low was colder. Steps no night reached are passed over."""

NIGHT_TURNS_H = 12
"""In bed after midnight is still the evening before's night."""

_COLDER = re.compile(r"colder(?:\s+than)?\s+([-−+]?\d+(?:[.,]\d+)?)\s*°?\s*([cf]?)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Opened:
    """One night laid open: what was said of it and what the log has of it."""

    row: NightRow
    lived: NightLived


@dataclass(frozen=True, slots=True, kw_only=True)
class Looking:
    """Filters (empty or None: every night), the marked night by its bed, the open ones, how far scrolled."""

    wood: str = ""
    colder_c: float | None = None
    year: int | None = None
    marked: datetime | None = None
    opened: tuple[Opened, ...] = ()
    scroll: int = 0

    @property
    def filtered(self) -> bool:
        """Whether some nights may be hidden."""
        return bool(self.wood) or self.colder_c is not None or self.year is not None

    def every(self) -> Looking:
        """Every night again."""
        return replace(self, wood="", colder_c=None, year=None)


def evening_year(row: NightRow, *, zone: tzinfo) -> int:
    """The year of the evening that names the night."""
    return (row.score.bed.astimezone(zone) - timedelta(hours=NIGHT_TURNS_H)).year


def middle_load_kg(track: Track) -> float:
    """The owner's middle load of the nights with a fire, kg; 0 without one."""
    loads = [row.score.wood_kg for row in track.rows if row.score.wood_kg]
    return median(loads) if loads else 0.0


def shown(track: Track, looking: Looking, *, zone: tzinfo) -> tuple[NightRow, ...]:
    """The nights that pass the filters, newest first; one of unknown outdoor low passes no outdoor one."""
    if not looking.filtered:
        return track.rows
    middle = middle_load_kg(track)
    return tuple(row for row in track.rows if _passes(row, looking, middle_kg=middle, zone=zone))


def _passes(row: NightRow, looking: Looking, *, middle_kg: float, zone: tzinfo) -> bool:
    kg = row.score.wood_kg
    wood = {"none": not kg, "small": 0 < kg <= middle_kg, "big": kg > middle_kg}.get(looking.wood, True)
    low = row.outdoor_low_c
    cold = looking.colder_c is None or (low is not None and low < looking.colder_c)
    return wood and cold and looking.year in (None, evening_year(row, zone=zone))


def stepped(looking: Looking, which: str, track: Track, *, zone: tzinfo) -> Looking:
    """The next step of one filter: "wood", "cold" or "year"."""
    if which == "wood":
        return replace(looking, wood=WOODS[(WOODS.index(looking.wood) + 1) % len(WOODS)])
    if which == "cold":
        lows = [row.outdoor_low_c for row in track.rows if row.outdoor_low_c is not None]
        coldest = min(lows, default=99.0)
        steps = [step for step in COLDER_C if step is None or step > coldest]
        place = steps.index(looking.colder_c) if looking.colder_c in steps else -1
        return replace(looking, colder_c=steps[(place + 1) % len(steps)])
    years = [None, *sorted({evening_year(row, zone=zone) for row in track.rows}, reverse=True)]
    place = years.index(looking.year) if looking.year in years else -1
    return replace(looking, year=years[(place + 1) % len(years)])


def by_words(looking: Looking, text: str, *, units: OwnUnits) -> Looking | None:
    """The filter a typed line asks for on this page ("big", "colder -5", "2025", "all"), or None."""
    word = " ".join(text.lower().split())
    if word in ("all", "every", "every night"):
        return looking.every()
    if word in ("none", "no fire", "small", "big"):
        return replace(looking, wood="none" if word == "no fire" else word)
    if re.fullmatch(r"(19|20)\d\d", word):
        return replace(looking, year=int(word))
    if match := _COLDER.fullmatch(word):
        value = float(match.group(1).replace("−", "-").replace(",", "."))
        unit = match.group(2).upper() or units.temperature
        return replace(looking, colder_c=c_from_f(value) if unit == "F" else value)
    return None


def filter_said(looking: Looking, track: Track, *, units: OwnUnits) -> str:
    """The filters in words: "big loads (over 4.2 kg), colder than −5 °C, 2026"; empty for every night."""
    middle = mass_text(middle_load_kg(track), units=units)
    woods = {"none": "no fire", "small": f"loads up to {middle}", "big": f"loads over {middle}"}
    said = [woods[looking.wood]] if looking.wood else []
    if looking.colder_c is not None:
        said.append(f"colder than {temperature(looking.colder_c, units=units)} out")
    if looking.year is not None:
        said.append(str(looking.year))
    return ", ".join(said)
