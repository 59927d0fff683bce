"""Drying of split, stacked, covered firewood toward what the local air lets it settle at.

First order: each day the wood loses a share of what it holds above the moisture it settles at. The share
goes with the air's temperature and with the kind of wood. What is published scatters widely: split birch
and spruce dry within 6 weeks to 3 months of an inland subarctic summer (a housing research centre's report
of 2011, read on its page), hardwood in 9 to 12 months (a wood scientist's column, read), softwood in 6 and
hardwood in 12 months or more (common advice of a national agency, from memory). The pace below takes in both
ends; so the ranges are wide, and a meter on a fresh face beats them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from logbook.care.wood_amounts import Z_90, Kind
from logbook.results.night import Range
from logbook.results.woodshed import Ready, ShedAir

HARDWOOD_DAYS, SOFTWOOD_DAYS, UNKNOWN_DAYS = 105.0, 52.0, 80.0
"""Days in air of 10 °C in which the moisture above what it settles at falls to 1/e. ASSUMED: so that the
published spans above lie within the range (tests hold it to that); weighing one's own splits would tell."""

DAYS_LOG_SD = 0.42
"""Log sd of those days: size of splits, wind, sun, cover. ASSUMED from the published spans' ratio of four."""

UNKNOWN_LOG_SD = 0.55
"""The same where the kind is unknown or mixed. ASSUMED."""

HARDWOOD_DENSITY, SOFTWOOD_DENSITY = 550.0, 380.0
"""Basic density the days above are for, kg/m³; denser wood dries slower in proportion. ASSUMED: oak and
hickory are known to take longer (extension texts)."""

GREEN_DRY_PCT = {False: 80.0, True: 120.0, None: 95.0}
"""Moisture of hardwood, softwood, unknown wood when split, % dry basis. Source: felled beech 87, oak 84,
maple 74, spruce 138 (a Danish drying trial, 466, 457, 425, 581 g/kg wet; read in an excerpt); birch 57 in
spring, 80 in fall (Fairbanks, as reported); maples 57-71 (US forest inventory)."""

GREEN_LOG_SD = 0.28
"""Log sd of it: kind, season, and how long it had lain before it was split. ASSUMED."""

SETTLES_SD = 1.5
"""Sd of what wood settles at, points: the air of a shed is not known, formula and table differ by up to 0.9,
and the publisher's review (FPL-GTR-229, 2014) calls the measurements unfit for science. ASSUMED."""

READY_DRY_PCT = 25.0
"""Dry enough to burn, % dry basis: 20 % of the wet wood, the wet end of the test fuel of EPA Method 28
(19-25 % dry) and of CSA B415.1 (16-20 % wet), as reported."""

LOOKED_AHEAD_DAYS = 3 * 365
"""How far ahead it is followed, days."""

SLOWEST, FASTEST = 0.05, 3.0
"""Limits on how the air's temperature changes the pace. ASSUMED: far past any month's mean."""

LEAST_DRY_PCT, MOST_DRY_PCT = 3.0, 200.0
"""Ends of what is told, % dry basis."""


@dataclass(frozen=True, slots=True)
class Start:
    """A moisture known or taken at a day, % dry basis: from here it dries."""

    day: date
    dry_pct: Range


@dataclass(frozen=True, slots=True)
class Bound:
    """A reading of an outside face: the whole holds at least that much on that day."""

    day: date
    dry_pct: float


def pace(temperature_c: float) -> float:
    """How fast wood dries against air of 10 °C, by the pressure of saturated vapour.

    That doubles in about 10 K, and so does the movement of bound water in wood (from memory).

    Source: Magnus form of WMO-No. 8, over water (from memory).
    """

    def magnus(c: float) -> float:
        return math.exp(17.62 * c / (243.12 + c))

    return min(FASTEST, max(SLOWEST, magnus(temperature_c) / magnus(10.0)))


def days_to_dry(kind: Kind) -> tuple[float, float]:
    """Days in which the moisture above the settled falls to 1/e in air of 10 °C, and their log sd."""
    if kind.softwood is None:
        return UNKNOWN_DAYS, UNKNOWN_LOG_SD
    days, density = (SOFTWOOD_DAYS, SOFTWOOD_DENSITY) if kind.softwood else (HARDWOOD_DAYS, HARDWOOD_DENSITY)
    return days * kind.basic_density_kg_per_m3 / density, DAYS_LOG_SD


def green(kind: Kind) -> Range:
    """Moisture of wood when it is split, % dry basis."""
    middle, factor = GREEN_DRY_PCT[kind.softwood], math.exp(Z_90 * GREEN_LOG_SD)
    return Range(middle / factor, middle, middle * factor)


def moisture_on(
    day: date, *, start: Start, kind: Kind, air: ShedAir, bounds: tuple[Bound, ...] = ()
) -> Range:
    """Moisture on a day, % dry basis; before the start, that of the start.

    Args:
        day: The day asked for.
        start: What it dries from.
        kind: The wood.
        air: What it dries in.
        bounds: Outside faces read since: none may be undercut on its day.
    """
    *_, (_, found) = _followed(start, kind, air, bounds, until=day, daily=False)
    return found


def ready(*, now: date, start: Start, kind: Kind, air: ShedAir, bounds: tuple[Bound, ...] = ()) -> Ready:
    """When it is dry enough: the day the middle gets there, and the two ends of the range.

    A stack that was dry enough and took up moisture of a damp winter again is not kept waiting for spring:
    once ready, it stays ready as long as it is under a roof. An outside face read too wet since begins anew.
    """
    end = max(now, start.day) + timedelta(days=LOOKED_AHEAD_DAYS)
    wet_again = max((b.day for b in bounds if b.dry_pct > READY_DRY_PCT), default=start.day)
    early = about = late = None
    for day, told in _followed(start, kind, air, bounds, until=end, daily=True):
        if day < wet_again:
            continue
        early = early or (day if told.p05 <= READY_DRY_PCT else None)
        about = about or (day if told.p50 <= READY_DRY_PCT else None)
        if told.p95 <= READY_DRY_PCT:
            late = day
            break
    return Ready(already=about is not None and about <= now, early=early, about=about, late=late)


def split_by(*, needed: date, kind: Kind, air: ShedAir) -> tuple[date | None, date | None]:
    """The last first-of-a-month to split green wood that is to be dry enough on a day.

    The first is for the usual pace, the second for the slow end; None: not even three years before.
    """
    usual: date | None = None
    month = needed.replace(day=1)
    for _ in range(36):
        month = (month - timedelta(days=1)).replace(day=1)
        start = Start(month, green(kind))
        end = moisture_on(needed, start=start, kind=kind, air=air)
        if usual is None and end.p50 <= READY_DRY_PCT:
            usual = month
        if end.p95 <= READY_DRY_PCT:
            return usual, month
    return usual, None


@dataclass(slots=True)
class _Way:
    """One way it may go: moisture so far, what is added to the settled moisture, the days of the pace."""

    pct: float
    shift: float
    days: float


def _ways(start: Start, kind: Kind) -> list[_Way]:
    """The middle, then in pairs what may differ: where it begins, what it settles at, the pace."""
    days, log_sd = days_to_dry(kind)
    factor, off, begin = math.exp(Z_90 * log_sd), Z_90 * SETTLES_SD, start.dry_pct
    return [
        _Way(begin.p50, 0.0, days),
        _Way(begin.p05, 0.0, days),
        _Way(begin.p95, 0.0, days),
        _Way(begin.p50, -off, days),
        _Way(begin.p50, off, days),
        _Way(begin.p50, 0.0, days / factor),
        _Way(begin.p50, 0.0, days * factor),
    ]


def _followed(
    start: Start, kind: Kind, air: ShedAir, bounds: tuple[Bound, ...], *, until: date, daily: bool
) -> Iterator[tuple[date, Range]]:
    """Moisture from the start on, each cause of doubt followed by itself: every day, or at ends of months.

    Within a month the air does not change, so that a longer step is as exact as days one by one.
    """
    ways = _ways(start, kind)
    at_least: dict[date, float] = {}
    for bound in bounds:
        at_least[bound.day] = max(bound.dry_pct, at_least.get(bound.day, 0.0))
    day = start.day
    yield day, _range([way.pct for way in ways])
    while day < until:
        month = day.month - 1
        then = day + timedelta(days=1) if daily else _next_stop(day, until, at_least)
        share = pace(air.temperature_c[month]) * (then - day).days
        for way in ways:
            rest = air.settles_at_dry_pct[month] + way.shift
            way.pct = rest + (way.pct - rest) * math.exp(-share / way.days)
            way.pct = max(way.pct, at_least.get(then, 0.0))
        day = then
        yield day, _range([way.pct for way in ways])


def _next_stop(day: date, until: date, bounds: Iterable[date]) -> date:
    """The end of the month, the day asked for, or a day of a reading, whichever comes first."""
    month_end = (day.replace(day=28) + timedelta(days=4)).replace(day=1)
    return min((month_end, until, *(b for b in bounds if b > day)))


def _range(ways: list[float]) -> Range:
    """The middle, and the distances of the others from it in quadrature, each side by itself."""
    middle = ways[0]
    down = up = 0.0
    for n in range(1, len(ways), 2):
        pair = ways[n], ways[n + 1]
        down += max(0.0, middle - min(pair)) ** 2
        up += max(0.0, max(pair) - middle) ** 2
    ends = middle - math.sqrt(down), middle, middle + math.sqrt(up)
    return Range(*(min(MOST_DRY_PCT, max(LEAST_DRY_PCT, pct)) for pct in ends))
