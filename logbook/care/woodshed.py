"""The wood shed: every stack as of a time, how long the wood lasts, and what it cost.

What the heat model and the table of species know comes in as plain numbers: kinds of wood, the air's settled
moisture, the wood of a weekend by the heat loss.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime

from logbook.care.drying import SETTLES_SD, ready
from logbook.care.next_winter_wood import cost, next_winter
from logbook.care.stack_moisture import Dampness, Facts, dampness, metered, moisture_for_mass
from logbook.care.wood_account import Account, keys_of, kind_text, resolved, shed_of
from logbook.care.wood_amounts import (
    Z_90,
    Kind,
    exactly,
    net_heat_mj,
    over,
    plainly,
    times,
    weighed_kg,
)
from logbook.care.wood_use import (
    ENOUGH_STAYS,
    nights_to_come,
    own_use,
    season_from,
    use_by_heat_loss,
    usual_nights,
    weeks_ahead_c,
)
from logbook.house import House
from logbook.matters import Stack, StackCount, StackMoisture, folded
from logbook.records import WoodPile
from logbook.results.night import Range
from logbook.results.woodshed import (
    ShedAir,
    StackLeft,
    ThisWinter,
    Unit,
    Use,
    WoodAnswer,
)
from logbook.setting import local_time

_AMOUNT = re.compile(
    r"\s*(?:(?P<whole>\d+(?:[.,]\d+)?)|(?:(?P<and>\d+)\s+)?(?P<part>\d+)/(?P<of>[1-9]\d*))"
    r"\s*(?P<word>[^\W\d_](?:(?! x ).)*?)\s*"
)
"""An amount as written: "0.9 stere", "1 1/2 cord", "2 boxes"; "2 m x 1.2 m x 40 cm" has no unit."""

_THOUSANDS = re.compile(r"\d+,\d{3}\s*[^\W\d_]+", re.ASCII)
"""A number that may be a thousand or a fraction: its owner was asked, the words don't tell the answer."""


def texts_of(house: House) -> frozenset[str]:
    """Every text that names a kind of wood in the log: what ``kinds`` must hold."""
    stacks = {kind_text(stack) for _, stack in house.of(Stack)}
    counted = {count.name for _, count in house.of(StackCount)}
    return frozenset(stacks | counted | {b.species for b in house.burned})


def wood_shed(
    house: House, *, kinds: Mapping[str, Kind], air: ShedAir, weekend_by_heat_loss_kg: Range | None = None
) -> WoodAnswer:
    """The wood shed as of the house's time.

    Args:
        house: The log as of a time.
        kinds: What is known of each kind of wood, by every text in ``texts_of``.
        air: The air the stacks stand in.
        weekend_by_heat_loss_kg: Wood of 48 warm hours at ``outdoor_ahead_c``, kg as weighed, by the fit.
    """
    today = local_time(house.as_of, house.setting.zone).date()
    facts = _facts(house)
    kind_of = _kinds_by_key(house, kinds)
    pile = house.description.wood if house.description else WoodPile()

    def wet_at(key: str, at: datetime) -> Range:
        return moisture_for_mass(facts[key], at=at, kind=kind_of[key], air=air, pile=pile)

    shed = shed_of(house, kinds=kinds, wet_at=wet_at)
    stacks = tuple(
        _stack(a, facts[a.key], house=house, air=air, wet=wet_at(a.key, house.as_of), today=today)
        for a in shed.accounts
    )
    use = likely_use(house, air=air, weekend_by_heat_loss_kg=weekend_by_heat_loss_kg)
    left = _sum(stacks)
    burnable = _sum(tuple(s for s in stacks if s.dry_enough is not False))
    winter = _this_winter(house, today=today, air=air, use=use)
    nights_left = over(burnable, use.night_kg) if use and burnable else None
    settles = air.settles_at_dry_pct[today.month - 1]
    return WoodAnswer(
        as_of=house.as_of,
        stacks=stacks,
        left_kg=left,
        dry_enough_kg=_sum(tuple(s for s in stacks if s.dry_enough)),
        untold_kg=_sum(tuple(s for s in stacks if s.dry_enough is None)),
        wet_kg=_sum(tuple(s for s in stacks if s.dry_enough is False)),
        burnable_kg=burnable,
        use=use,
        nights_left=nights_left,
        weekends_left=_through(nights_left, use.nights_per_weekend) if use and nights_left else None,
        this_winter=winter,
        next_winter=next_winter(
            house, shed, today=today, air=air, left=left, winter=winter, pile=pile, unit_of=unit_of
        ),
        cost=cost(
            house,
            kinds=kinds,
            weighed=lambda key, dry_kg: dry_kg * (1.0 + wet_at(key, house.as_of).p50 / 100.0),
        ),
        unplaced=shed.unplaced,
        settles_now_dry_pct=Range(settles - Z_90 * SETTLES_SD, settles, settles + Z_90 * SETTLES_SD),
        air=air,
    )


def outdoor_ahead_c(house: House, *, air: ShedAir) -> float:
    """Mean outdoor temperature of the nights the wood is for, °C."""
    today = local_time(house.as_of, house.setting.zone).date()
    return weeks_ahead_c(today, season=season_from(today, air=air), air=air)


def likely_use(house: House, *, air: ShedAir, weekend_by_heat_loss_kg: Range | None = None) -> Use | None:
    """Wood of a night ahead: by own stays where there are three or more, else by the heat loss, else by
    what few stays there are; None without any of it."""
    ahead_c = outdoor_ahead_c(house, air=air)
    own = own_use(house, outdoor_c=ahead_c, air=air)
    by_loss = weekend_by_heat_loss_kg
    if own is not None and (own.stays >= ENOUGH_STAYS or by_loss is None):
        return replace(own, by_heat_loss_kg=by_loss)
    if by_loss is None:
        return None
    use = use_by_heat_loss(by_loss, outdoor_c=ahead_c, nights=usual_nights(house))
    return replace(use, by_heat_loss_kg=by_loss)


def unit_of(stack: Stack) -> Unit | None:
    """The unit a stack was written in; None where its amount was not written as number and word."""
    match = None if _THOUSANDS.fullmatch(stack.as_said.strip()) else _AMOUNT.fullmatch(stack.as_said)
    if match is None:
        return None
    if match["whole"]:
        number = float(match["whole"].replace(",", "."))
    else:
        number = int(match["and"] or 0) + int(match["part"]) / int(match["of"])
    if number <= 0.0:
        return None
    return Unit(
        word=match["word"].removesuffix(" loose"),
        m3=stack.volume_m3 / number if stack.volume_m3 else None,
        kg=stack.mass_kg / number if stack.mass_kg else None,
    )


def _facts(house: House) -> dict[str, Facts]:
    """What was written of each stack's moisture, by its key."""
    keys = keys_of(house)
    counts = {count.name for _, count in house.of(StackCount)}
    named = keys | {resolved(name, keys) for name in counts}
    read: dict[str, list[tuple[datetime, StackMoisture]]] = {key: [] for key in named}
    for at, meter in house.of(StackMoisture):
        key = resolved(meter.name, named)
        if key in read:
            read[key].append((at, meter))
    split: dict[str, list[tuple[datetime, date]]] = {}
    for at, stack in house.of(Stack):
        if stack.split_on:
            split.setdefault(folded(stack.name), []).append((at, stack.split_on))
    return {
        key: Facts(
            readings=tuple(read[key]),
            split=tuple(split.get(key, ())),
            zone=house.setting.zone,
        )
        for key in named
    }


def _kinds_by_key(house: House, kinds: Mapping[str, Kind]) -> dict[str, Kind]:
    """The kind of each stack, by what was put up last under its name, else by the name of its counts."""
    counted: dict[str, tuple[datetime, str]] = {}
    for at, count in house.of(StackCount):
        key = folded(count.name)
        counted[key] = max(counted.get(key, (at, count.name)), (at, count.name))
    put_up: dict[str, tuple[datetime, str]] = {}
    for at, stack in house.of(Stack):
        key, text = folded(stack.name), kind_text(stack)
        put_up[key] = max(put_up.get(key, (at, text)), (at, text))
    return {key: kinds[text] for key, (_, text) in (counted | put_up).items()}


def _stack(
    account: Account, facts: Facts, *, house: House, air: ShedAir, wet: Range, today: date
) -> StackLeft:
    stack = account.newest
    damp: Dampness = dampness(facts, at=house.as_of, kind=account.kind)
    moisture = damp.on(today, kind=account.kind, air=air)
    left = account.left if account.known else None
    return StackLeft(
        name=stack.name,
        species=stack.species or (account.kind.name if account.kind.known else ""),
        species_known=account.kind.known,
        where=stack.where,
        put_up=account.put_up,
        split_on=stack.split_on,
        unit=unit_of(stack),
        left_kg=None if left is None else weighed_kg(dry_kg=left, moisture_dry_pct=wet),
        left_kg_dry=left,
        left_m3=account.left_m3,
        burned_kg=account.burned_weighed_in_all,
        moisture_dry_pct=moisture,
        moisture_from=damp.rests_on,
        metered=metered(facts),
        ready=None
        if damp.start is None
        else ready(now=today, start=damp.start, kind=account.kind, air=air, bounds=damp.bounds),
        heat_mj=None if left is None else net_heat_mj(dry_kg=left, moisture_dry_pct=wet, kind=account.kind),
        counted=account.counted,
        overdrawn=account.overdrawn,
        added=account.added,
    )


def _sum(stacks: tuple[StackLeft, ...]) -> Range | None:
    """Wood left in all, ends added to ends: who stacks tightly stacks all of it tightly."""
    known = [s.left_kg for s in stacks if s.left_kg is not None]
    return plainly(known) if known else None


def _this_winter(house: House, *, today: date, air: ShedAir, use: Use | None) -> ThisWinter | None:
    season = season_from(today, air=air)
    found = None if season is None else nights_to_come(house, today=today, season=season, air=air)
    if season is None or found is None:
        return None
    nights, former = found
    return ThisWinter(
        until=season.ends,
        nights=nights,
        weekends=_through(nights, use.nights_per_weekend if use else usual_nights(house)),
        wood_kg=times(nights, use.night_kg) if use else None,
        by_former_winters=former,
    )


def _through(nights: Range, per_weekend: float) -> Range:
    return over(nights, exactly(max(1.0, per_weekend)))
