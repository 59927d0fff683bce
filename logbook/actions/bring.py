"""What to bring: supplies, the owner's list, upkeep due and wood, for so many people and nights."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from logbook.actions.upkeep import what_is_due
from logbook.actions.woodshed import has_wood, shed_air, wood
from logbook.care.bring import (
    Trip,
    left_undone,
    listed,
    noted_all_the_same,
    supplies_needed,
    together,
    trip_of,
    upkeep_needs,
)
from logbook.care.supplies import Z_90, supplies
from logbook.care.weather_by_hand import days_known, tonights_low_c
from logbook.care.wood_use import ENOUGH_STAYS, WARM_C, own_use
from logbook.heat.daily import climate_guess_c
from logbook.house import House
from logbook.records import Site
from logbook.results.night import Range
from logbook.results.supplies import BringAnswer, BringFrom, BringItem, LowFrom
from logbook.setting import local_time

if TYPE_CHECKING:
    from logbook.actions.reckoning import Cache, Known

MEAN_ABOVE_LOW_K = 3.0
"""From a night's low to the mean of night and day, K. ASSUMED: half a usual day's swing, as in the heat
model's outdoor curve."""

DAYS_AHEAD = 10
"""Typed days further ahead than this are of another stay. ASSUMED: forecasts reach no further."""

SHORTEST_NIGHTS = 0.5
"""Nights a day trip counts for in wood. ASSUMED."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What was asked, beyond the log; None where the log decides. °C."""

    people: float | None = None
    nights: int | None = None
    night_low_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Outdoors:
    low_c: float
    mean_c: float
    source: LowFrom
    sd_k: float = 0.0


def bring(house: House, asked: Asked, *, told: Known | None, cache: Cache | None = None) -> BringAnswer:
    """What to bring; a log without a description or without any level is answered too.

    Args:
        house: The log as the whole year sees it.
        asked: People, nights and the low of the nights.
        told: The same log for the heat loss; None without a description.
        cache: Where what was learned is kept.
    """
    trip = trip_of(house, people=asked.people, nights=asked.nights)
    outdoors = _outdoors(house, asked)
    uses = supplies(house)
    carry, there = supplies_needed(uses, trip)
    noted, enough = noted_all_the_same(listed(house), there)
    by_loss = None
    own = _own_wood(house, trip, outdoors)
    if told is not None and (own is None or own.stays < ENOUGH_STAYS):
        by_loss = _by_heat_loss(told, trip, outdoors, cache=cache)
    need = own if by_loss is None else _Wood(kg=by_loss, source=BringFrom.HEAT_LOSS)
    wood_item = None if need is None else _wood_item(house, need, outdoors)
    return BringAnswer(
        as_of=house.as_of,
        people=trip.people,
        people_assumed=trip.people_assumed,
        nights=trip.nights,
        nights_assumed=trip.nights_assumed,
        night_low_c=outdoors.low_c,
        low_from=outdoors.source,
        items=together(carry, upkeep_needs(what_is_due(house).items), noted),
        enough=enough,
        wood=wood_item,
        wood_by_heat_loss=by_loss,
        uses=uses,
        left_undone=left_undone(house),
        wood_pieces=_pieces(house, wood_item),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wood:
    kg: Range
    source: BringFrom
    stays: int = 0


def _outdoors(house: House, asked: Asked) -> _Outdoors:
    if asked.night_low_c is not None:
        low = asked.night_low_c
        return _Outdoors(low_c=low, mean_c=low + MEAN_ABOVE_LOW_K, source=LowFrom.ASKED)
    today = local_time(house.as_of, house.setting.zone).date()
    typed = [day for day in days_known(house) if 0 <= (day.day - today).days <= DAYS_AHEAD]
    found = {day.day: (day.low_c, (day.low_c + day.high_c) / 2.0) for day in typed}
    tonight_c = tonights_low_c(house)
    if tonight_c is not None:  # the newest word on tonight, whatever was typed for the day before
        low, mean = found.get(today, (tonight_c, tonight_c + MEAN_ABOVE_LOW_K))
        found[today] = tonight_c, mean + (tonight_c - low) / 2.0
    if found:
        mean = sum(mean for _, mean in found.values()) / len(found)
        return _Outdoors(low_c=min(low for low, _ in found.values()), mean_c=mean, source=LowFrom.TYPED)
    site = house.description.site if house.description else Site()
    low, sd = climate_guess_c(
        day_of_year=today.timetuple().tm_yday, latitude_deg=site.latitude_deg, elevation_m=site.elevation_m
    )
    return _Outdoors(low_c=low, mean_c=low + MEAN_ABOVE_LOW_K, source=LowFrom.CALENDAR, sd_k=sd)


def _own_wood(house: House, trip: Trip, outdoors: _Outdoors) -> _Wood | None:
    """By the owner's own stays, for so many nights at this temperature outside."""
    use = own_use(house, outdoor_c=outdoors.mean_c, air=shed_air(house))
    if use is None:
        return None
    share = max(trip.nights, SHORTEST_NIGHTS) / use.nights_per_weekend
    return _Wood(kg=_times(use.weekend_kg, share), source=BringFrom.OWN_USE, stays=use.stays)


def _by_heat_loss(told: Known, trip: Trip, outdoors: _Outdoors, *, cache: Cache | None) -> Range:
    """By what the cabin loses, two nights being 48 h kept warm and one warming up."""
    import numpy as np  # noqa: PLC0415 - loaded when it is needed

    from logbook.actions.reckoning import fingerprint, posterior_of, seed_of  # noqa: PLC0415 - the same
    from logbook.heat.whatif import Weather, what_if  # noqa: PLC0415 - the same

    found = what_if(
        posterior_of(told, cache=cache),
        description=told.description,
        steps=(),
        told=(),
        weather=Weather(weekend_c=outdoors.mean_c, source=str(outdoors.source)),
        outdoor_c=outdoors.low_c,
        rng=np.random.default_rng(seed_of(fingerprint(told))),
    )
    return _times(found.wood_now_kg, max(trip.nights, SHORTEST_NIGHTS) / 2.0)


def _wood_item(house: House, need: _Wood, outdoors: _Outdoors) -> BringItem:
    kg = _wider(need.kg, sd=outdoors.sd_k / max(WARM_C - outdoors.mean_c, 1.0))
    there = _dry_enough(house) if has_wood(house) else None
    return BringItem(
        item="wood",
        amount=max(kg.p95 - (there.p05 if there else 0.0), 0.0),
        unit="kg",
        shown_unit=house.setting.units.mass,
        source=need.source,
        need=kg,
        there=there.p50 if there else None,
        stays=need.stays,
    )


def _dry_enough(house: House) -> Range | None:
    """Wood up there that may be burned now, kg; all of it where the shed can't tell dry from wet."""
    shed = wood(house)
    return shed.dry_enough_kg or (shed.left_kg if shed.wet_kg is None else None)


def _pieces(house: House, item: BringItem | None) -> tuple[str, float, float] | None:
    """The expected wood in pieces of the middle size the owner counts in."""
    sizes = sorted(house.description.wood.pieces_kg, key=lambda piece: piece[1]) if house.description else []
    if item is None or item.need is None or not sizes:
        return None
    name, kg = sizes[len(sizes) // 2]
    return name, item.need.p50 / kg, item.need.p95 / kg


def _times(found: Range, share: float) -> Range:
    return Range(found.p05 * share, found.p50 * share, found.p95 * share)


def _wider(found: Range, *, sd: float) -> Range:
    """The range with one more cause of spread, a log sd, laid on."""
    if found.p50 <= 0.0 or sd <= 0.0:
        return found
    low, high = (abs(math.log(max(end, 1e-9) / found.p50)) for end in (found.p05, found.p95))
    more = Z_90 * sd
    return Range(
        found.p50 * math.exp(-math.hypot(low, more)), found.p50, found.p50 * math.exp(math.hypot(high, more))
    )
