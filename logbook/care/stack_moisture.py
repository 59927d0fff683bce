"""How wet a stack is: from meter readings and the day it was split, carried on by drying.

The newest reading of a face split just then begins the reckoning anew. An outside face, or a face nobody told
of, says only that the wood holds at least that much: outside 19 %, fresh split 38 % has been seen (as
reported by an owner). The day the wood was split serves where no fresh face was read since.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from statistics import fmean, stdev

from logbook.care.drying import Bound, Start, green, moisture_on
from logbook.care.wood_amounts import Z_90, Kind, dry_basis_pct
from logbook.matters import StackMoisture
from logbook.records import WoodPile
from logbook.results.night import Range
from logbook.results.woodshed import Metered, MoistureFrom, ShedAir
from logbook.setting import local_time

METER_SD, FACE_SD = 2.0, 4.0
"""Sd of a meter as such, and from face to face and piece to piece, points. ASSUMED: a resistance meter is
good to about 2 points between 7 and 30 % dry (from memory), and single readings of a pile differ by 4."""

WET_DRY_PCT, WET_SHARE = 30.0, 0.3
"""Above this a meter reads too unsurely, by this share of the excess. From memory: pins measure the water
bound in the cell walls, which are full at about 30 %."""

INSIDE_OVER_OUTSIDE = (1.0, 1.35, 2.0)
"""Moisture of the whole over that of an outside face: least, middle, most. ASSUMED by the pair above."""

UNTOLD = (0.75, 1.0, 1.6)
"""Moisture over that of the description where nothing is known of a stack. ASSUMED: more likely wetter."""


@dataclass(frozen=True, slots=True)
class Dampness:
    """What is known of a stack's moisture at a time: where it dries from, if anywhere."""

    start: Start | None
    bounds: tuple[Bound, ...]
    rests_on: MoistureFrom

    def on(self, day: date, *, kind: Kind, air: ShedAir) -> Range | None:
        """Moisture on a day, % dry basis; None where nothing is known."""
        if self.start is None:
            return None
        return moisture_on(day, start=self.start, kind=kind, air=air, bounds=self.bounds)


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What was written of a stack's moisture: readings with their times, and days of splitting with the time
    each was written."""

    readings: tuple[tuple[datetime, StackMoisture], ...]
    split: tuple[tuple[datetime, date], ...]
    zone: str


def dampness(facts: Facts, *, at: datetime, kind: Kind) -> Dampness:
    """What is known of a stack's moisture at a time from what was written by then."""
    starts: list[tuple[date, int, Range]] = []
    for written, day in facts.split:
        if written <= at:
            starts.append((min(day, _day(at, facts)), 0, green(kind)))
    bounds, outside = [], []
    for read_at, meter in facts.readings:
        pct = usable_dry_pct(meter)
        if read_at > at or not pct:
            continue
        day = _day(read_at, facts)
        if meter.fresh_face:
            starts.append((day, 1, of_fresh_faces(pct)))
        else:
            bounds.append(Bound(day, fmean(pct)))
            outside.append((day, fmean(pct)))
    if starts:
        day, by_meter, moisture = max(starts, key=lambda s: (s[0], s[1], s[2].p50))
        later = tuple(sorted((b for b in bounds if b.day > day), key=lambda b: (b.day, b.dry_pct)))
        rests_on = MoistureFrom.FRESH_FACE if by_meter else MoistureFrom.SPLIT_DATE
        return Dampness(Start(day, moisture), later, rests_on)
    if outside:
        day, pct_outside = max(outside)
        least, middle, most = (pct_outside * factor for factor in INSIDE_OVER_OUTSIDE)
        return Dampness(Start(day, Range(least, middle, most)), (), MoistureFrom.OUTSIDE_FACE)
    return Dampness(None, (), MoistureFrom.NOTHING)


def moisture_for_mass(facts: Facts, *, at: datetime, kind: Kind, air: ShedAir, pile: WoodPile) -> Range:
    """Moisture to turn dry wood into wood as weighed with, % dry basis; always something.

    Where nothing was known by then, the first reading afterwards serves, else the description's figure.
    """
    known = dampness(facts, at=at, kind=kind).on(_day(at, facts), kind=kind, air=air)
    if known is not None:
        return known
    later = sorted(read_at for read_at, meter in facts.readings if usable_dry_pct(meter))
    if later:
        first = dampness(facts, at=later[0], kind=kind)
        if first.start is not None:
            return first.start.dry_pct
    usual = dry_basis_pct(pile.moisture_pct, pile.moisture_basis) or 0.0
    return Range(*(usual * factor for factor in UNTOLD))


def usable_dry_pct(meter: StackMoisture) -> tuple[float, ...]:
    """Readings that wood can have, on the dry basis, %."""
    turned = (dry_basis_pct(pct, meter.basis) for pct in meter.readings_pct)
    return tuple(pct for pct in turned if pct is not None)


def of_fresh_faces(dry_pct: Sequence[float]) -> Range:
    """Moisture of the stack by readings of fresh faces, % dry basis: their mean, the wider the fewer."""
    mean = fmean(dry_pct)
    spread = max(FACE_SD, stdev(dry_pct)) if len(dry_pct) > 1 else FACE_SD
    sd = math.hypot(METER_SD, spread / math.sqrt(len(dry_pct)), WET_SHARE * max(0.0, mean - WET_DRY_PCT))
    return Range(max(0.5 * mean, mean - Z_90 * sd), mean, mean + Z_90 * sd)


def metered(facts: Facts) -> Metered | None:
    """The newest readings, as written."""
    if not facts.readings:
        return None
    at, meter = max(facts.readings, key=lambda r: (r[0], r[1].readings_pct))
    return Metered(
        at=at,
        readings_pct=meter.readings_pct,
        basis=meter.basis.value,
        fresh_face=meter.fresh_face,
        left_out=len(meter.readings_pct) - len(usable_dry_pct(meter)),
    )


def _day(at: datetime, facts: Facts) -> date:
    return local_time(at, facts.zone).date()
