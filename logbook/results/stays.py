"""Frozen answers about stays lived: one by one, a season on a page, this weekend in other years; in SI."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class Extreme:
    """A temperature, °C, and when it was read."""

    temperature_c: float
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class StayRow:
    """One stay in figures. Dawns are the readings made from three to ten in the morning after a night there.

    Wood in kg as weighed and in kg of dry wood. A coldest dawn is None when nobody read it.
    """

    start: datetime
    end: datetime
    going_on: bool
    people: tuple[str, ...]
    head_count: float
    head_count_said: bool
    nights: int
    wood_kg: float
    wood_kg_dry: float
    coldest_inside: Extreme | None
    coldest_outside: Extreme | None
    purpose: str
    guest_book: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StaysAnswer:
    """Every stay, oldest first."""

    as_of: datetime
    stays: tuple[StayRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YearPage:
    """A season on a page, from ``begins`` to the day before ``ends``.

    ``burn_days`` are local days with at least one load. ``going_on`` while the season is not over.
    """

    name: str
    begins: date
    ends: date
    going_on: bool
    first_fire: datetime | None
    last_fire: datetime | None
    coldest_inside: Extreme | None
    coldest_outside: Extreme | None
    wood_kg: float
    wood_kg_dry: float
    burn_days: int
    nights: int
    stays: int
    person_nights: float
    guest_book: tuple[tuple[datetime, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YearsAnswer:
    """Seasons, oldest first."""

    as_of: datetime
    seasons: tuple[YearPage, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherYear:
    """A stay near this weekend in another year: that of the Saturday nearest to this date in ``year``."""

    year: int
    weeks_off: int
    stay: StayRow


@dataclass(frozen=True, slots=True, kw_only=True)
class ThisWeekendAnswer:
    """Stays around this weekend's date in other years, the newest first. ``saturday`` is this weekend's."""

    as_of: datetime
    saturday: date
    stays: tuple[OtherYear, ...]
