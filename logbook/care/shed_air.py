"""The outdoor air a stack dries in, month by month: the owner's own temperatures where there are enough."""

from __future__ import annotations

from collections.abc import Callable
from statistics import fmean

from logbook.house import House
from logbook.results.woodshed import ShedAir
from logbook.setting import local_time

USUAL_C = (-2.0, -1.0, 3.0, 8.0, 13.0, 16.0, 18.0, 17.0, 13.0, 8.0, 3.0, -1.0)
"""Monthly means outdoors, January first, °C. ASSUMED: a cool temperate inland place; the owner's readings
replace them month by month and shift the rest by half."""

USUAL_RH_PCT = (86.0, 83.0, 78.0, 73.0, 73.0, 74.0, 75.0, 77.0, 80.0, 84.0, 87.0, 88.0)
"""Mean relative humidity outdoors, January first, %. ASSUMED, for the same place: wood then settles at 18 to
20 % of its dry mass in winter and 14 to 15 in summer, as shed owners find; a hygrometer in the shed would
tell."""

FEWEST_READINGS = 8
"""Outdoor readings of a calendar month that make a mean of it. ASSUMED: two weekends' worth."""

SHIFT_SHARE = 0.5
"""How much of the months read differ from the usual ones the other months do too. ASSUMED: a place cold in
winter need not be cold in summer."""

SETTLES_BETWEEN_C = (-20.0, 60.0)
"""Temperatures the relation for wood's settled moisture is used at, °C."""

Settles = Callable[[float, float], float]
"""Moisture wood settles at, % dry basis, from temperature, °C, and relative humidity, %."""


def air_of(house: House, *, settles: Settles) -> ShedAir:
    """The air by month.

    Readings are made when somebody is there, evenings and mornings more than noons; so their mean is a little
    low, by less than the months differ from year to year.

    Args:
        house: The log as of a time; its site's latitude says which half of the year is winter.
        settles: The published relation, handed in.
    """
    usual_c, rh_pct = USUAL_C, USUAL_RH_PCT
    site = house.description.site if house.description else None
    if site is not None and (site.latitude_deg or 0.0) < 0.0:
        usual_c, rh_pct = usual_c[6:] + usual_c[:6], rh_pct[6:] + rh_pct[:6]
    own = _own_means(house)
    shift = SHIFT_SHARE * fmean(own[m] - usual_c[m] for m in own) if own else 0.0
    means = tuple(own.get(m, usual_c[m] + shift) for m in range(12))
    low, high = SETTLES_BETWEEN_C
    return ShedAir(
        temperature_c=means,
        settles_at_dry_pct=tuple(
            settles(min(high, max(low, c)), rh) for c, rh in zip(means, rh_pct, strict=True)
        ),
        months_read=len(own),
    )


def _own_means(house: House) -> dict[int, float]:
    """Mean of the months with enough readings, January 0, °C."""
    by_month: dict[int, list[float]] = {}
    for entry in house.entries:
        if entry.outdoor_c is not None:
            month = local_time(entry.at, house.setting.zone).month - 1
            by_month.setdefault(month, []).append(entry.outdoor_c)
    return {m: fmean(read) for m, read in sorted(by_month.items()) if len(read) >= FEWEST_READINGS}
