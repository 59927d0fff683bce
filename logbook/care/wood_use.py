"""How much wood a night takes, how many nights are still to come, and what a season takes.

Taken from the owner's own stays: kg over nights and kelvins between inside and outside. The heat loss learned
from the nights gives the same from the other side; it comes in as a number.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from statistics import fmean, stdev

from logbook.care.wood_amounts import Z_90, around
from logbook.house import House, StayLived
from logbook.results.night import Range
from logbook.results.woodshed import ShedAir, Use, UseFrom
from logbook.setting import local_time

NEEDS_FIRE_BELOW_C = 12.0
"""Months with a mean below this need a fire, °C. ASSUMED: sun and people carry a small cabin above it."""

WARM_C = 18.0
"""Inside temperature the kelvins are counted from, °C. ASSUMED: half-way between day and night."""

LEAST_K = 4.0
"""Fewest kelvins a stay counts: a fire is lit for comfort even when it is mild, °C. ASSUMED."""

ENOUGH_STAYS = 3
"""Own stays with nights from which on they are believed before the heat loss. ASSUMED."""

USED_YEARS = 3
"""How many years back own stays count. ASSUMED: habits and the cabin change."""

STAY_LOG_SD = 0.35
"""Log sd of a stay's use per kelvin where there are too few to tell. ASSUMED."""

LEAST_LOG_SD = 0.12
"""The least it is taken for, however alike three stays were. ASSUMED."""

WEATHER_K = 2.0
"""Sd of the mean outdoor temperature of weeks ahead, K. ASSUMED: monthly means vary by 1.5 to 3 K."""

USUAL_NIGHTS = 2.0
"""Nights of a weekend where no stay is on record. ASSUMED: Friday to Sunday."""

LATE_BEGIN = timedelta(days=60)
"""A season counts as whole when the log began no later than this into it. ASSUMED."""

SEASON_LOG_SD = 0.25
"""Log sd from one season's wood to another's where one alone is on record. ASSUMED."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """The cold months around a day or the next ones: first day and the day after the last."""

    starts: date
    ends: date

    def holds(self, day: date) -> bool:
        """Whether the day lies in it."""
        return self.starts <= day < self.ends


def season_from(day: date, *, air: ShedAir) -> Season | None:
    """The season a day lies in, else the next one; None where no month needs a fire or every one does."""
    cold = [c < NEEDS_FIRE_BELOW_C for c in air.temperature_c]
    if all(cold) or not any(cold):
        return None
    month = day.replace(day=1)
    if cold[month.month - 1]:
        while cold[_before(month).month - 1]:
            month = _before(month)
    else:
        while not cold[month.month - 1]:
            month = _after(month)
    starts = month
    while cold[month.month - 1]:
        month = _after(month)
    return Season(starts=starts, ends=month)


def season_after(season: Season, *, air: ShedAir) -> Season:
    """The next one."""
    later = season_from(season.ends, air=air)
    assert later is not None  # there was one before
    return later


def weeks_ahead_c(day: date, *, season: Season | None, air: ShedAir) -> float:
    """Mean outdoor temperature of the nights the wood is for, °C: what is left of the season."""
    if season is None:
        return fmean(air.temperature_c)
    begin = max(day, season.starts)
    days = [begin + timedelta(days=n) for n in range(max(1, (season.ends - begin).days))]
    return fmean(air.temperature_c[d.month - 1] for d in days)


def own_use(house: House, *, outdoor_c: float, air: ShedAir) -> Use | None:
    """Use of a night and a weekend ahead by the owner's own stays; None where no night is on record."""
    told = [_told(stay, house, air=air) for stay in _recent(house)]
    if not told:
        return None
    rate = sum(kg for kg, _, _ in told) / sum(nights * k for _, nights, k in told)
    each = [math.log(kg / (nights * k)) for kg, nights, k in told]
    spread = max(LEAST_LOG_SD, stdev(each)) if len(each) >= ENOUGH_STAYS else STAY_LOG_SD
    ahead_k = max(LEAST_K, WARM_C - outdoor_c)
    nights = usual_nights(house)
    weather = WEATHER_K / ahead_k
    night = around(rate * ahead_k, log_sd=math.hypot(spread / math.sqrt(len(each)), weather))
    weekend = around(
        rate * ahead_k * nights, log_sd=math.hypot(spread * math.sqrt(1 + 1 / len(each)), weather)
    )
    return Use(
        rests_on=UseFrom.OWN_STAYS,
        stays=len(each),
        outdoor_c=outdoor_c,
        night_kg=night,
        weekend_kg=weekend,
        nights_per_weekend=nights,
    )


def use_by_heat_loss(weekend_kg: Range, *, outdoor_c: float, nights: float) -> Use:
    """Use by what the cabin loses: a weekend of 48 h, two nights, kept warm throughout."""
    night = Range(*(kg / 2.0 for kg in (weekend_kg.p05, weekend_kg.p50, weekend_kg.p95)))
    return Use(
        rests_on=UseFrom.HEAT_LOSS,
        stays=0,
        outdoor_c=outdoor_c,
        night_kg=night,
        weekend_kg=Range(*(kg * nights for kg in (night.p05, night.p50, night.p95))),
        nights_per_weekend=nights,
    )


def usual_nights(house: House) -> float:
    """Nights a stay usually has: the mean of the recent ones that had any."""
    counts = [len(stay.nights) for stay in _recent(house)]
    return fmean(counts) if counts else USUAL_NIGHTS


def nights_to_come(house: House, *, today: date, season: Season, air: ShedAir) -> tuple[Range, int] | None:
    """Nights between today and the season's end, and from how many former winters; None where unknown.

    Former whole seasons tell how many nights came after this day of theirs; without one, this season's pace
    so far goes on. The range is that of a count: as many more or fewer as chance brings (Poisson).
    """
    if not season.holds(today):
        return None
    nights = sorted({night for stay in house.stays for night in stay.nights})
    behind = today - season.starts
    former = [
        sum(s.starts + behind < night < s.ends for night in nights)
        for s in whole_seasons(house, before=season, air=air)
    ]
    if former:
        return _count(fmean(former), listed=len(former)), len(former)
    so_far = sum(season.holds(night) for night in nights)
    if so_far == 0 or behind.days < 14:
        return None
    return _count(so_far / behind.days * (season.ends - today).days, listed=1), 0


def season_wood(house: House, *, before: Season, air: ShedAir) -> tuple[Range, int] | None:
    """Wood of a usual season by the whole ones on record, kg as weighed, and how many they are."""
    totals = []
    days = [(_local(b.at, house), b.kg) for b in house.burned]
    for season in whole_seasons(house, before=before, air=air):
        kg = sum(kg for day, kg in days if season.holds(day))
        if kg > 0.0:
            totals.append(kg)
    if not totals:
        return None
    spread = stdev(math.log(kg) for kg in totals) if len(totals) > 1 else 0.0
    sd = math.hypot(max(spread, SEASON_LOG_SD), SEASON_LOG_SD / math.sqrt(len(totals)))
    return around(fmean(totals), log_sd=sd), len(totals)


def whole_seasons(house: House, *, before: Season, air: ShedAir) -> tuple[Season, ...]:
    """Seasons before one that the log was kept through from near their beginning."""
    if not house.stays:
        return ()
    first = _local(house.stays[0].start, house)
    found = []
    season = season_from(first, air=air)
    while season is not None and season.starts < before.starts:
        if first - season.starts <= LATE_BEGIN:
            found.append(season)
        season = season_after(season, air=air)
    return tuple(found)


def _recent(house: House) -> list[StayLived]:
    since = house.as_of - timedelta(days=365 * USED_YEARS)
    return [s for s in house.stays if s.nights and s.wood_kg > 0.0 and s.start >= since and not s.going_on]


def _told(stay: StayLived, house: House, *, air: ShedAir) -> tuple[float, int, float]:
    """Kg, nights, and kelvins between inside and outside."""
    read = [e.outdoor_c for e in house.between(stay.start, stay.end) if e.outdoor_c is not None]
    mean = fmean(read) if read else air.temperature_c[_local(stay.start, house).month - 1]
    return stay.wood_kg, len(stay.nights), max(LEAST_K, WARM_C - mean)


def _count(mean: float, *, listed: int) -> Range:
    off = Z_90 * math.sqrt(mean + mean / listed)
    return Range(max(0.0, mean - off), mean, mean + off)


def _local(at: datetime, house: House) -> date:
    return local_time(at, house.setting.zone).date()


def _after(month: date) -> date:
    return (month.replace(day=28) + timedelta(days=4)).replace(day=1)


def _before(month: date) -> date:
    return (month - timedelta(days=1)).replace(day=1)
