"""Arriving cold: the loads that warm the room without roasting it, and when air, things and walls follow.

"Warm" is three events: the air, the things (the bed), and dry (walls above the dew point of the room's air).
The loads are judged as an evening's are: clean air only, loads within the cap and the firebox, fewest
degree-hours outside the band, never a likely 28 °C where a cooler way stands.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from logbook.heat import ranking
from logbook.heat.arrays import FloatArray
from logbook.heat.branch import fewer
from logbook.heat.candidates import Plan, Put, Size, airs, cap_kg, entries_of, sizes
from logbook.heat.cautions import TOO_HOT_C, TOO_HOT_CHANCE
from logbook.heat.crossing import first_hours, reached
from logbook.heat.hours_ahead import Hours, draw_luck, hours_ahead
from logbook.heat.moist_air import saturation_pressure_pa
from logbook.heat.night import Base, what_burns
from logbook.heat.outcome import planned_loads
from logbook.heat.outdoors_ahead import OutdoorAhead
from logbook.heat.summary import range_of
from logbook.heat.weather import STEP
from logbook.heat.wood import pile_dry_share
from logbook.records import Description, Entry, Window
from logbook.results.journeys import NoWood, Reached
from logbook.results.night import PlannedLoad, Range

THINGS_BELOW_BAND_K = 3.0
"""Things are warm when the fabric stands this near below the band's low end, K. ASSUMED: a mattress at 13 °C
takes no warmth from a sleeper that a blanket does not hold."""

OUTDOOR_RH_PCT = (75.0, 95.0)
"""Relative humidity outdoors on a winter night, %, between which draws are spread. ASSUMED; at −5 °C the
difference is 80 Pa."""

MOISTURE_EXCESS_PA = (270.0, 810.0)
"""Vapour pressure inside above outdoors, Pa, between which draws are spread. Source: classes 2 and 3 of
EN ISO 13788 for houses in winter (270–540, 540–810 Pa), from memory."""

GIVEN_OFF_PA = (0.0, 270.0)
"""What people and damp things add to a humidity that was read, Pa. ASSUMED: class 1 of the same."""

HYGROMETER_SD_PCT = 5.0
"""Error of a household hygrometer, % relative humidity. ASSUMED."""

HUMIDITY_READ_WITHIN = timedelta(hours=3)
"""A humidity older than this says nothing of the room now. ASSUMED."""

EVERY_HOURS = (0.75, 1.0, 1.5, 2.0)
"""How often wood is laid in while the room warms, h, that are tried. ASSUMED."""

BRISK_LOADS = (1, 2, 3, 99)
"""After how many loads the pace is halved. ASSUMED; 99: never."""

SIZES = 5
"""Sizes of the loads that are tried."""

BUSY_AT_LEAST = timedelta(hours=4)
"""Who arrives late stays up this long for the fire. ASSUMED."""

LOOK_AT_LEAST = timedelta(hours=14)
"""Stages are looked for this far ahead, or to waking if that is later."""

SOON = timedelta(hours=1)
"""No fire is needed where the room is in its band this soon. ASSUMED."""

NEARLY_K = 0.5
"""A middle course this little below the band's low end keeps it, K. ASSUMED: a thermometer's error."""

FEW_LOADS = (1, 2)
"""A burning stove is tried with no more than so many loads too: the room may lack but little."""

LATER_H = (1.0, 2.0)
"""A stove still burning is tried left alone for so long before its next load, h. ASSUMED."""

ROUGH_EVERY = 8
"""Plans are chosen with every eighth draw, told with all."""


@dataclass(frozen=True, kw_only=True)
class Arrival:
    """What is asked: the stay so far, the weather, and what may be burned."""

    as_of: datetime
    bed: datetime
    wake: datetime
    band_c: tuple[float, float]
    description: Description
    outdoor: OutdoorAhead
    loads_kg: Sequence[float]
    airs_used_pct: Sequence[float]
    """As written, in order of time: the last one stands."""
    rh_pct: float | None = None
    flue_blocked: bool = False
    """A nest is in the cap: nothing is lit."""
    said_out: bool = False
    """The stove was found out, as its owner wrote last."""

    @property
    def busy_until(self) -> datetime:
        """How long somebody tends the fire."""
        return max(self.bed, self.as_of + BUSY_AT_LEAST)

    @property
    def judged_until(self) -> datetime:
        """Up to when plans are judged: an hour on, to see what the last load does."""
        return self.busy_until + timedelta(hours=1)


@dataclass(frozen=True, kw_only=True)
class WarmUp:
    """The plan chosen and what comes of it. ``below_zero`` is the chance that frost forms on the walls."""

    loads: tuple[PlannedLoad, ...]
    stages: tuple[Reached, ...]
    peak_c: Range
    inside_c: float
    dew_point_c: Range
    chance_frost: float
    chance_too_hot: float
    hours: Hours
    no_wood: NoWood | None = None


def steps_to_look(*, as_of: datetime, wake: datetime) -> int:
    """How many steps ahead an arrival is looked at."""
    until = max(wake, as_of + LOOK_AT_LEAST)
    return round((until - as_of) / STEP)


def warm_up(base: Base, asked: Arrival, *, rng: np.random.Generator) -> WarmUp:
    """Choose the loads and tell the stages."""
    seed = int(rng.integers(2**32))
    wood_kg, char_kg = np.median((base.fire.fresh_kg + base.fire.wood_kg, base.fire.char_kg), axis=1)
    dead = asked.said_out or bool(what_burns(wood_kg, char_kg) == 0)
    plans = plans_for(asked, dead=dead)
    tended = round((asked.judged_until - asked.as_of) / STEP)
    looked = _run(fewer(base, ROUGH_EVERY), asked, plans, steps=tended, seed=seed)
    best, why_none = _best(asked, plans, looked)
    hours = _run(base, asked, [best], steps=len(asked.outdoor.course_c), seed=seed)
    told = _told(asked, best, hours, room_dew_point_c(hours, rh_pct=asked.rh_pct, rng=rng))
    if best.loads:
        return told
    if asked.flue_blocked:
        return replace(told, no_wood=NoWood.NEST)
    return replace(told, no_wood=NoWood.NOT_NEEDED if _keeps_the_band(asked, hours) else why_none)


def _keeps_the_band(asked: Arrival, hours: Hours) -> bool:
    """Whether the middle course is in the band soon and keeps it while somebody could still lay wood in."""
    from_h, until_h = (t / timedelta(hours=1) for t in (SOON, asked.busy_until - asked.as_of))
    up = (hours.hours >= from_h) & (hours.hours <= until_h)
    middle = np.median(hours.air_c[0], axis=0)
    return bool((middle[up] >= asked.band_c[0] - NEARLY_K).all())


def plans_for(asked: Arrival, *, dead: bool) -> tuple[Plan, ...]:
    """Rhythms of loads from now until somebody goes to bed; the first plan puts nothing in.

    A dead stove is lit with kindling and never more than half the cap. Loads go in at one pace while the
    room warms, then half as often; a stove that burns may also get one or two loads only, or be left to
    burn down first. Air at the widest clean step: a warming fire is burned bright.
    """
    stove = asked.description.stove
    cap = cap_kg(max_load_kg=stove.max_load_kg, loads_kg=asked.loads_kg)
    offered = sizes(cap_kg=cap, pieces_kg=asked.description.wood.pieces_kg, most=SIZES)
    air = airs(clean_floor_pct=stove.clean_floor_open_pct, used_pct=asked.airs_used_pct)[-1]
    plans = [Plan((), stove.clean_floor_open_pct, Window.SHUT, names_air=True)]
    if asked.flue_blocked:
        return tuple(plans)
    for first in _firsts(offered, cap_kg=cap, dead=dead):
        lit = Put(asked.as_of, first, air, dead)
        for size, every, brisk in itertools.product(offered, EVERY_HOURS, BRISK_LOADS):
            puts = _rhythm(asked, lit, size, every_h=every, brisk=brisk)
            plans.append(Plan(puts, air, Window.SHUT))
            if not dead:
                plans += [Plan(puts[:few], air, Window.SHUT) for few in FEW_LOADS]
    if not dead:
        plans += [Plan(puts, air, Window.SHUT) for puts in _after_a_while(asked, offered, air_open_pct=air)]
    return tuple(dict.fromkeys(plans))


def _firsts(offered: Sequence[Size], *, cap_kg: float, dead: bool) -> list[Size]:
    """What goes in first: on a dead stove the largest up to half the cap, and about half of that."""
    small = [s for s in offered if s.kg <= 0.5 * cap_kg] or list(offered[:1])
    if not small:
        return []
    half = min(small, key=lambda s: abs(s.kg - 0.5 * small[-1].kg))
    return list(dict.fromkeys([half, small[-1]])) if dead else list(dict.fromkeys([small[-1], offered[-1]]))


def _after_a_while(
    asked: Arrival, offered: Sequence[Size], *, air_open_pct: float
) -> Iterator[tuple[Put, ...]]:
    """Left to burn down first: one load later on, or one every two hours from then."""
    for size, hours in itertools.product(offered, LATER_H):
        first = Put(asked.as_of + timedelta(hours=hours), size, air_open_pct)
        yield (first,)
        yield _rhythm(asked, first, size, every_h=2.0, brisk=BRISK_LOADS[-1])


def _rhythm(asked: Arrival, first: Put, size: Size, *, every_h: float, brisk: int) -> tuple[Put, ...]:
    puts = [first]
    while True:
        gap_h = every_h if len(puts) <= brisk else 2.0 * every_h
        at = puts[-1].at + timedelta(hours=gap_h)
        if at > asked.busy_until:
            return tuple(puts)
        puts.append(Put(at, size, first.air_open_pct))


def _run(base: Base, asked: Arrival, plans: Sequence[Plan], *, steps: int, seed: int) -> Hours:
    """Some plans for so many steps, the same luck for all of them."""
    loads = max(len(p.loads) for p in plans)
    return hours_ahead(
        base,
        plans=[plan_entries(p, asked) for p in plans],
        outdoor=asked.outdoor.cut(steps),
        people=float(asked.description.comfort.people),
        luck=draw_luck(len(base.z), steps=steps, loads=loads, rng=np.random.default_rng(seed)),
    )


def plan_entries(plan: Plan, asked: Arrival) -> tuple[Entry, ...]:
    """A plan as entries yet to come."""
    floor = asked.description.stove.clean_floor_open_pct
    low = bool(asked.airs_used_pct) and asked.airs_used_pct[-1] < floor
    return entries_of(plan, as_of=asked.as_of, bed=asked.bed, air_up_pct=floor if low else None)


def _best(asked: Arrival, plans: Sequence[Plan], looked: Hours) -> tuple[Plan, NoWood]:
    """Fewest degree-hours outside the band from now until the fire is left alone for the night.

    Returns:
        The plan, and what speaks against wood should it hold none.
    """
    got = ranking.figures(
        np.asarray(looked.air_c, dtype=np.float64),
        looked.times,
        as_of=asked.as_of,
        bed=asked.as_of - ranking.SETTLED_AFTER_BED,
        wake=asked.judged_until,
        band_c=asked.band_c,
    )
    d = asked.description
    share = pile_dry_share(d.wood)
    left = np.median(looked.wood_kg + looked.char_kg, axis=1) / share
    usable = ranking.fitting(plans, left, looked.times, max_load_kg=d.stove.max_load_kg)
    ordered = ranking.order(
        plans,
        got,
        start=asked.busy_until,
        gets_up=True,
        untried=[False] * len(plans),
        usable=usable,
        high_c=asked.band_c[1],
    )
    others = usable & np.array([bool(p.loads) for p in plans])
    if not others.any():
        return plans[ordered[0]], NoWood.FULL
    hot = bool((got.chance_too_hot[others] >= TOO_HOT_CHANCE).all())
    return plans[ordered[0]], NoWood.TOO_HOT if hot else NoWood.NO_GAIN


def room_dew_point_c(hours: Hours, *, rh_pct: float | None, rng: np.random.Generator) -> FloatArray:
    """Dew point (below 0 °C: frost point) of the room's air, °C; axes (draw,).

    From a humidity that was read now, else from outdoor air at 75–95 % and a usual winter excess of a house
    in use. Cooking, washing and wet clothes can pass it.
    """
    grid = np.arange(-60.0, 60.25, 0.5)
    pressure = np.array([saturation_pressure_pa(temperature_c=float(c)) for c in grid])
    draws = len(hours.outdoor_c)

    def saturated(c: FloatArray) -> FloatArray:
        out: FloatArray = np.exp(np.interp(c, grid, np.log(pressure)))
        return out

    if rh_pct is None:
        outside = saturated(hours.outdoor_c[:, : max(1, hours.outdoor_c.shape[1] // 2)].mean(axis=1))
        vapour = outside * rng.uniform(*OUTDOOR_RH_PCT, size=draws) / 100.0
        vapour = vapour + rng.uniform(*MOISTURE_EXCESS_PA, size=draws)
    else:
        rh = np.clip(rh_pct + HYGROMETER_SD_PCT * rng.standard_normal(draws), 5.0, 100.0)
        vapour = saturated(hours.air_c[0, :, 0]) * rh / 100.0 + rng.uniform(*GIVEN_OFF_PA, size=draws)
    out: FloatArray = np.interp(np.log(vapour), np.log(pressure), grid)
    return out


def _told(asked: Arrival, plan: Plan, hours: Hours, dew_c: FloatArray) -> WarmUp:
    d = asked.description
    low = asked.band_c[0]
    at, horizon = hours.hours, float(hours.hours[-1])
    air, fabric = hours.air_c[0], hours.fabric_c[0]
    stages = (
        reached("air", first_hours(air - low, at), horizon_h=horizon, line_c=low),
        reached(
            "things",
            first_hours(fabric - (low - THINGS_BELOW_BAND_K), at),
            horizon_h=horizon,
            line_c=low - THINGS_BELOW_BAND_K,
        ),
        reached("dry", first_hours(fabric - dew_c[:, None], at), horizon_h=horizon),
    )
    peak = air.max(axis=1)
    return WarmUp(
        loads=planned_loads(plan, d),
        stages=stages,
        peak_c=range_of(peak),
        inside_c=float(np.median(air[:, 0])),
        dew_point_c=range_of(dew_c),
        chance_frost=float(((fabric[:, 0] < dew_c) & (fabric[:, 0] < 0.0)).mean()),
        chance_too_hot=float((peak > TOO_HOT_C).mean()),
        hours=hours,
    )
