"""What a stay usually takes, and when the next one may be expected."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from itertools import pairwise
from statistics import median

from logbook.house import Burned, House, StayLived
from logbook.results.upkeep import UsualStay
from logbook.setting import local_time

LAST_STAYS = 8
"""How many stays back "usual" reaches. ASSUMED: about a season of every other weekend."""


def usual_stay(house: House) -> UsualStay | None:
    """The middle of the last stays that are over; None with fewer than two, which say nothing of a rhythm."""
    over = [stay for stay in house.stays if not stay.going_on][-LAST_STAYS:]
    if len(over) < 2:
        return None
    zone = house.setting.zone
    gap = max(median((b.start - a.start) / timedelta(days=1) for a, b in pairwise(over)), 1.0)
    length = median(stay.days for stay in over)
    today = local_time(house.as_of, zone).date()
    latest = house.stays[-1]
    next_on = local_time(latest.start, zone).date() + timedelta(days=round(gap))
    next_on = max(next_on, today if not latest.going_on else today + timedelta(days=1))
    return UsualStay(
        stays=len(over),
        kg=median(stay.wood_kg for stay in over),
        burn_days=median(_fire_days(stay, zone) for stay in over),
        gap_days=gap,
        next_on=next_on,
        next_ends=next_on + timedelta(days=round(length)),
    )


def burn_days(burned: Iterable[Burned], *, zone: str, after: datetime | None = None) -> int:
    """Days of the site's calendar on which wood was laid in, after a time or ever."""
    return len(set(days_of((load for load in burned if after is None or load.at > after), zone=zone)))


def days_of(burned: Iterable[Burned], *, zone: str) -> tuple[date, ...]:
    """The day of the site's calendar of each load."""
    return tuple(local_time(load.at, zone).date() for load in burned)


def burned_kg(
    burned: Iterable[Burned], *, after: datetime | None = None, until: datetime | None = None
) -> float:
    """Wood laid in after a time and up to another, kg as weighed."""
    return sum(
        load.kg
        for load in burned
        if (after is None or load.at > after) and (until is None or load.at <= until)
    )


def day_reached(left: float, *, per_stay: float, usual: UsualStay) -> date | None:
    """The day by which so much more (kg or days with a fire, above 0) is usually used up; None: never."""
    if per_stay <= 0.0:
        return None
    more = -(-left // per_stay) - 1
    return usual.next_ends + timedelta(days=round(min(more * usual.gap_days, 36_500.0)))


def _fire_days(stay: StayLived, zone: str) -> int:
    return burn_days(stay.burned, zone=zone)
