"""What to have split for the next cold months and by when, and what the wood on record cost."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from datetime import date

from logbook.care.drying import split_by
from logbook.care.wood_account import Account, Shed, kind_text
from logbook.care.wood_amounts import (
    NOTHING,
    Z_90,
    Kind,
    around,
    dry_basis_pct,
    dry_kg,
    exactly,
    less,
    over,
    plainly,
    stacked_dry_kg_per_m3,
)
from logbook.care.wood_use import SEASON_LOG_SD, Season, season_after, season_from, season_wood
from logbook.house import House
from logbook.matters import Stack, folded
from logbook.records import WoodPile
from logbook.results.night import Range
from logbook.results.woodshed import Cost, NextWinter, ShedAir, ThisWinter, Unit
from logbook.setting import local_time

FEWEST_STAYS = 3
"""Stays of a season so far from which on it is believed to show what a season takes. ASSUMED."""


def next_winter(
    house: House,
    shed: Shed,
    *,
    today: date,
    air: ShedAir,
    left: Range | None,
    winter: ThisWinter | None,
    pile: WoodPile,
    unit_of: Callable[[Stack], Unit | None],
) -> NextWinter | None:
    """What to split for the cold months after these, or the coming ones; None where no season's use is known.

    Args:
        house: The log as of a time.
        shed: The stacks.
        today: The day asked for.
        air: What new wood dries in.
        left: Wood left now, kg as weighed.
        winter: What this winter still takes.
        pile: The wood usually burned; its moisture turns kg into stacked volume.
        unit_of: The unit a stack was written in.
    """
    season = season_from(today, air=air)
    if season is None:
        return None
    going_on = season.holds(today)
    coming = season_after(season, air=air) if going_on else season
    usual = season_wood(house, before=season, air=air)
    if usual is None and going_on:
        usual = _this_one(house, season=season, winter=winter)
    if usual is None:
        return None
    still = (winter.wood_kg if winter else None) or NOTHING
    left_then = less(left or NOTHING, still if going_on else NOTHING)
    to_cut = less(usual[0], left_then)
    last = _put_up_last(shed)
    before, safely = (None, None)
    if last is not None:
        before, safely = split_by(needed=coming.starts, kind=last.kind, air=air)
    return NextWinter(
        starts=coming.starts,
        usual_kg=usual[0],
        winters=usual[1],
        left_then_kg=left_then,
        to_cut_kg=to_cut,
        to_cut_m3=None if last is None else _stacked(to_cut, last, pile=pile),
        species=last.newest.species or last.newest.name if last else "",
        unit=unit_of(last.newest) if last else None,
        split_before=before,
        split_safely_before=safely,
    )


def _this_one(house: House, *, season: Season, winter: ThisWinter | None) -> tuple[Range, int] | None:
    """A season's wood by this one so far and what it still takes, where the log was kept from its start."""
    zone = house.setting.zone
    kg = sum(b.kg for b in house.burned if season.holds(local_time(b.at, zone).date()))
    stays = [s for s in house.stays if season.holds(local_time(s.start, zone).date())]
    if winter is None or winter.wood_kg is None or len(stays) < FEWEST_STAYS:
        return None
    whole = plainly((exactly(kg), winter.wood_kg))
    unsure = math.log(whole.p95 / whole.p50) / Z_90  # of this winter; one season is no other
    return around(whole.p50, log_sd=math.hypot(math.sqrt(2.0) * SEASON_LOG_SD, unsure)), 0


def _put_up_last(shed: Shed) -> Account | None:
    return max(shed.accounts, key=lambda a: (a.since or a.put_up, a.key), default=None)


def _stacked(kg: Range, account: Account, *, pile: WoodPile) -> Range:
    """Stacked volume of so much wood as weighed at the usual moisture, m³."""
    usual = dry_basis_pct(pile.moisture_pct, pile.moisture_basis) or 0.0
    dry = Range(*(dry_kg(weighed=x, moisture_dry_pct=exactly(usual)).p50 for x in (kg.p05, kg.p50, kg.p95)))
    return over(dry, account.per_m3)


def cost(house: House, *, kinds: Mapping[str, Kind], weighed: Callable[[str, float], float]) -> Cost | None:
    """Money and hours per kg and per stacked m³ over every stack they were written for.

    Args:
        house: The log as of a time.
        kinds: What is known of each kind, by its text.
        weighed: From a stack's key and dry kg to kg as weighed.
    """
    told = [s for _, s in house.of(Stack) if s.money is not None or s.hours is not None]
    if not told:
        return None

    def kg(stack: Stack) -> float | None:
        if stack.mass_kg is not None:
            return stack.mass_kg
        if stack.volume_m3 is None:
            return None
        per_m3 = stacked_dry_kg_per_m3(kinds[kind_text(stack)], as_said=stack.as_said, loose=stack.loose)
        return weighed(folded(stack.name), stack.volume_m3 * per_m3.p50)

    def m3(stack: Stack) -> float | None:
        return stack.volume_m3

    return Cost(
        money_per_kg=_per(told, lambda s: s.money, kg),
        money_per_m3=_per(told, lambda s: s.money, m3),
        hours_per_kg=_per(told, lambda s: s.hours, kg),
        hours_per_m3=_per(told, lambda s: s.hours, m3),
        stacks=len(told),
    )


def _per(
    stacks: list[Stack], top: Callable[[Stack], float | None], bottom: Callable[[Stack], float | None]
) -> float | None:
    """Sum over sum of the stacks that have both; None where nothing is left to share by."""
    pairs = [(t, b) for t, b in ((top(s), bottom(s)) for s in stacks) if t is not None and b]
    return sum(t for t, _ in pairs) / sum(b for _, b in pairs) if pairs else None
