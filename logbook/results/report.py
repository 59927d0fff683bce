"""Frozen answers about a stay and a season to report; in SI, before any wording.

Temperatures °C, masses kg as weighed unless the name says dry, air per cent open, times aware, days local.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from logbook.results.improvements import WorkPaid
from logbook.results.night import Range
from logbook.results.stays import Extreme, StayRow, YearPage
from logbook.results.upkeep import RecordRow


@dataclass(frozen=True, slots=True, kw_only=True)
class NightTold:
    """A night lived, and what was said for its waking at bed.

    ``said_at_wake_c`` is None where the forecast was not reckoned for this report (``reckoned`` false).
    ``woke_c`` is None where nobody read it; ``load_kg`` is what burned for the night, ``loads_after`` how
    many loads went in later in it. ``marks_inferred``: bed or waking was not written down.
    """

    evening: date
    bed: datetime
    wake: datetime
    marks_inferred: bool
    load_kg: float
    loads_after: int
    air_open_pct: float | None
    bed_c: float | None
    woke_c: float | None
    outdoor_low_c: float | None
    outdoor_low_read: bool = True
    """False where nobody read it outside in that night: then it is the low forecast that evening."""
    said_at_wake_c: Range | None = None

    @property
    def reckoned(self) -> bool:
        """Whether what was said for it is known here."""
        return self.said_at_wake_c is not None

    @property
    def held(self) -> bool | None:
        """Whether the waking lay in the 90 % range said at bed; None where either is missing."""
        said, woke = self.said_at_wake_c, self.woke_c
        return None if said is None or woke is None else said.p05 <= woke <= said.p95


@dataclass(frozen=True, slots=True, kw_only=True)
class NightsCount:
    """Nights counted: slept, read at waking, woken in the band, below it, above it; forecasts held.

    ``held`` of ``scored`` forecasts; ``not_reckoned`` nights were read but their forecast is not at hand.
    """

    slept: int
    read: int
    in_band: int
    below: int
    above: int
    held: int
    scored: int
    not_reckoned: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadRow:
    """One load. ``air_open_pct`` as set with it, ``then_open_pct`` the last setting before the next load."""

    at: datetime
    kg: float
    kg_dry: float
    pieces: str
    species: str
    kindling: bool
    air_open_pct: float | None
    then_open_pct: float | None
    then_minutes: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MatterRow:
    """A matter told in the stay: its kind by the log's own name, and its words."""

    at: datetime
    kind: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Extremes:
    """Lowest and highest inside and outside, None where nobody read."""

    inside_lowest: Extreme | None
    inside_highest: Extreme | None
    outside_lowest: Extreme | None
    outside_highest: Extreme | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StayReport:
    """One stay. ``inside`` and ``outside`` are the readings of the main thermometers, oldest first."""

    as_of: datetime
    place: str
    stay: StayRow
    band_c: tuple[float, float]
    band_assumed: bool
    loads: tuple[LoadRow, ...]
    nights: tuple[NightTold, ...]
    counted: NightsCount
    extremes: Extremes
    upkeep: tuple[RecordRow, ...]
    matters: tuple[MatterRow, ...]
    notes: tuple[tuple[datetime, str], ...]
    inside: tuple[Extreme, ...]
    outside: tuple[Extreme, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthRow:
    """A month of the season: stays begun in it, nights, days with a fire, wood, what is known of its cold.

    ``degree_days_k`` and ``degree_days_65f_k`` sum the ``days_known`` days only; None without one.
    """

    year: int
    month: int
    stays: int
    nights: int
    burn_days: int
    wood_kg: float
    wood_kg_dry: float
    coldest_outside_c: float | None
    degree_days_k: float | None
    degree_days_65f_k: float | None
    days_known: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DegreesKnown:
    """Degree-days and degree-hours over the ``days`` known as they came, of ``of_days`` of the season."""

    days: int
    of_days: int
    base_c: float
    inside_c: float
    degree_days_k: float
    degree_days_65f_k: float
    degree_hours_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseholdWood:
    """Wood in the owner's own measure: its word, and how many of it."""

    word: str
    amount: Range


@dataclass(frozen=True, slots=True, kw_only=True)
class Records:
    """The ends of a season: temperatures read during stays, the biggest load, the stay that burned most,
    the longest one by nights. None where there is none."""

    extremes: Extremes
    biggest_load: tuple[datetime, float] | None
    most_wood: StayRow | None
    longest: StayRow | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonReport:
    """One season, July to June north of the equator. ``stays`` are those begun in it, oldest first."""

    as_of: datetime
    place: str
    page: YearPage
    band_c: tuple[float, float]
    band_assumed: bool
    stays: tuple[StayRow, ...]
    household: HouseholdWood | None
    months: tuple[MonthRow, ...]
    nights: tuple[NightTold, ...]
    counted: NightsCount
    degrees: DegreesKnown | None
    records: Records
    upkeep: tuple[RecordRow, ...]
    works: tuple[WorkPaid, ...]
