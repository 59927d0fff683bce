"""Supplies: how much is there, and how much a person uses in a day, learned from the owner's own levels.

Between two levels, what was there plus what was brought less what is there now was used, by so many people
over so many days. A published planning figure stands in for a stay until there are own ones.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from logbook.care.supply_units import in_base
from logbook.house import House, StayLived
from logbook.matters import Brought, Level, folded
from logbook.results.night import Range
from logbook.results.supplies import SupplyUse
from logbook.units import L_PER_US_GALLON

WATER_SURVIVAL_L = L_PER_US_GALLON
"""Water to survive on, L per person and day: 1 US gallon for drinking, food and a little washing. Source:
FEMA and Ready.gov, as reported by regional water providers."""

WATER_MOST_L = 15.0
"""Upper end of the basic need with cooking and washing, L per person and day. Source: Sphere Project 2011,
7.5 to 15 in all, as reported."""

WATER_PLANNING = Range(p05=WATER_SURVIVAL_L, p50=math.sqrt(WATER_SURVIVAL_L * WATER_MOST_L), p95=WATER_MOST_L)
"""First guess of the use of water, L per person and day: from the survival figure to the upper end of the
basic need. Its middle, 7.5, is the lower end of the basic need."""

WATER_NAMES = frozenset({"water", "drinking water", "fresh water"})
"""Names of drinking water. Others ("distilled water", "grey water") have no planning figure."""

PLANNING_PERSON_DAYS = 4.0
"""What a planning figure weighs, person-days. ASSUMED: as much as one own weekend of two."""

USE_LOG_SD = 0.4
"""How far one stay's use is from the household's mean, log sd, before it shows. ASSUMED: 90 % of stays within
a factor of two."""

USE_SD_WEIGHS = 3.0
"""What that spread weighs, in stays. ASSUMED."""

LEAST_SHARE = 0.1
"""The least share of the middle a stretch's use counts for in the spread. ASSUMED: less is nothing used."""

LEAST_PERSON_DAYS = 0.25
"""A stretch with fewer person-days says nothing of use: what went was lost. ASSUMED: six hours of one."""

LOST_AFTER = timedelta(hours=24)
"""Only over a longer stretch was something lost; sooner the level was read again. ASSUMED."""

Z_90 = 1.645
"""Standard deviations from the middle to the ends of a 90 % range of the normal distribution."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """What happened to a supply between two levels: used, over so many person-days within so long. Used is
    None when the amounts don't compare."""

    used: float | None
    person_days: float
    unit: str
    lasted: timedelta


def supplies(house: House) -> tuple[SupplyUse, ...]:
    """Every supply that has a level, by name; water always, by its planning figure if by nothing else."""
    levels = _levels(house)
    names = sorted({*levels, "water"})
    return tuple(_use(house, name, levels.get(name, ())) for name in names)


def planning_of(item: str) -> Range | None:
    """The published use per person and day to start from, L; None where there is none."""
    return WATER_PLANNING if key_of(item) in WATER_NAMES else None


def key_of(item: str) -> str:
    """A supply's name, folded, so that "Lamp  oil" and "lamp oil" are one; drinking water is water."""
    name = folded(item)
    return "water" if name in WATER_NAMES else name


def per_person_day(stretches: Sequence[tuple[float, float]], *, planning: Range | None) -> Range | None:
    """Use per person and day in the next stay: its 90 % range and middle; None when nothing tells.

    The middle is all that was used over all person-days, the planning figure counted in with
    `PLANNING_PERSON_DAYS`. The width is that of one stay around the household's mean, learned from the
    stretches' own scatter starting from `USE_LOG_SD`, and that of the mean itself. With no stretch it is the
    published range as it stands: of needs, not a forecast of this household.

    Args:
        stretches: (used, person-days) of each stretch; person-days above 0, used not negative.
        planning: The published figure, if there is one.
    """
    weight = PLANNING_PERSON_DAYS if planning else 0.0
    days = weight + sum(d for _, d in stretches)
    if days <= 0.0:
        return None
    middle = ((planning.p50 if planning else 0.0) * weight + sum(u for u, _ in stretches)) / days
    if middle <= 0.0:
        return None  # nothing used yet says little of the next stay
    if not stretches and planning:
        return planning
    freedom = USE_SD_WEIGHS + max(len(stretches) - (0 if planning else 1), 0)
    off = sum(math.log(max(u / d / middle, LEAST_SHARE)) ** 2 for u, d in stretches)
    sd = math.sqrt((USE_SD_WEIGHS * USE_LOG_SD**2 + off) / freedom)
    width = _z_90(freedom) * sd * math.sqrt(1.0 + 1.0 / (len(stretches) + (1 if planning else 0)))
    return Range(middle * math.exp(-width), middle, middle * math.exp(width))


def _z_90(freedom: float) -> float:
    """95 % point of Student's t: a spread known from few stays is itself unsure.

    Within 2 % from 3 degrees of freedom on. Source: the first two terms of its expansion around the normal
    distribution (Abramowitz and Stegun 26.7.5, from memory).
    """
    z = Z_90
    return (
        z + (z**3 + z) / (4.0 * freedom) + (5.0 * z**5 + 16.0 * z**3 + 3.0 * z) / (96.0 * freedom**2)
    )  # fmt: skip


def person_days_between(house: House, since: datetime, until: datetime) -> float:
    """People times days spent there between two times; a stay going on lasts until now."""

    def ends(stay: StayLived) -> datetime:
        return house.as_of if stay.going_on else stay.end

    total = 0.0
    first = bisect_left(house.stays, since, key=ends)  # those before and after add nothing
    for stay in house.stays[first : bisect_right(house.stays, until, key=lambda s: s.start)]:
        end = ends(stay)
        overlap = (min(end, until) - max(stay.start, since)) / timedelta(days=1)
        total += max(overlap, 0.0) * stay.head_count
    return total


@dataclass(frozen=True, slots=True, kw_only=True)
class _At:
    at: datetime
    amount: float
    unit: str
    name: str
    as_written: str


def _levels(house: House) -> dict[str, tuple[_At, ...]]:
    found: dict[str, list[_At]] = {}
    for at, level in house.of(Level):
        amount, unit = in_base(level.amount, level.unit)
        one = _At(at=at, amount=amount, unit=unit, name=level.item, as_written=level.unit)
        found.setdefault(key_of(level.item), []).append(one)
    return {key: tuple(levels) for key, levels in found.items()}


def _carried(house: House, key: str) -> list[tuple[datetime, Brought]]:
    """All that was carried in of a supply, oldest first."""
    return [(at, b) for at, b in house.of(Brought) if key_of(b.item) == key]


def _brought(
    carried: Sequence[tuple[datetime, Brought]], since: datetime, until: datetime
) -> list[tuple[float, str]]:
    """What was carried in after one level and up to the next, each with its unit; ``carried`` is by time."""
    first, last = (bisect_right(carried, edge, key=lambda row: row[0]) for edge in (since, until))
    return [in_base(b.amount, b.unit) for _, b in carried[first:last]]


def stretches_of(house: House, key: str, levels: Sequence[_At]) -> Iterator[Stretch]:
    """What was used from each level to the next, over how many person-days."""
    carried = _carried(house, key)
    for first, second in pairwise(levels):
        days, lasted = person_days_between(house, first.at, second.at), second.at - first.at
        brought = _brought(carried, first.at, second.at)
        if second.unit != first.unit or any(unit != first.unit for _, unit in brought):
            yield Stretch(used=None, person_days=days, unit=first.unit, lasted=lasted)
            continue
        used = first.amount + sum(amount for amount, _ in brought) - second.amount
        yield Stretch(used=used, person_days=days, unit=first.unit, lasted=lasted)


def _use(house: House, key: str, levels: Sequence[_At]) -> SupplyUse:
    stretches = list(stretches_of(house, key, levels))
    unit = levels[-1].unit if levels else "L"
    # Only stretches in the unit the owner writes now: others measured something else.
    told = [(s.used, s) for s in stretches if s.used is not None and s.unit == unit]
    lived = [(used, s.person_days) for used, s in told if used >= 0.0 and s.person_days >= LEAST_PERSON_DAYS]
    planning = planning_of(key) if unit == "L" else None
    use = per_person_day(lived, planning=planning)
    return SupplyUse(
        item=levels[-1].name if levels else key,
        unit=unit,
        shown_unit=levels[-1].as_written if levels else "L",
        per_person_day=use,
        intervals=len(lived),
        person_days=sum(days for _, days in lived),
        planning=planning,
        last=levels[-1].amount if levels else None,
        last_at=levels[-1].at if levels else None,
        there=_there(house, key, levels[-1], use) if levels else None,
        # More on arriving than was left is what was carried in: nobody's use is left out for it.
        odd=sum(s.used is None or (s.used < 0.0 and s.person_days >= LEAST_PERSON_DAYS) for s in stretches),
        lost=sum(
            used
            for used, s in told
            if used > 0.0 and s.person_days < LEAST_PERSON_DAYS and s.lasted >= LOST_AFTER
        ),
    )


def _there(house: House, key: str, last: _At, use: Range | None) -> float:
    """What is expected to be there now: the last level, what was brought since, less the usual use since."""
    carried = _brought(_carried(house, key), last.at, house.as_of)
    brought = sum(amount for amount, unit in carried if unit == last.unit)
    used = (use.p50 if use else 0.0) * person_days_between(house, last.at, house.as_of)
    there = max(last.amount + brought - used, 0.0)
    return min(there, 100.0) if last.unit == "%" else there
