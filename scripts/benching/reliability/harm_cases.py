"""Cabins, stoves and evenings thrown at the advice, many of them hostile, from numbered dice.

A case holds what was put in, so that ``harm`` can judge the answer from that alone. What the thrower knows
(were the alarms tested in this stay, does a nest stand) is kept beside it and not asked of the program.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache

import numpy as np

from benching.parts import ROOT
from logbook.actions.reckoning import Known, NightForecast
from logbook.actions.tonight import Request
from logbook.heat.fit import Posterior, learn
from logbook.matters import Seen, Sight
from logbook.records import (
    MAIN_PLACE,
    Alarms,
    Basis,
    Cabin,
    Coals,
    Comfort,
    DatedDescription,
    Description,
    Entry,
    Mark,
    OwnUnits,
    Site,
    Stove,
    Surface,
    Window,
    WoodPile,
)

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)

PRIORS = 20
"""Sets of draws from the priors, used by turns."""

TRAVELS_EVERY = 40
"""One evening in so many is asked about arriving, leaving and waking too."""

WHOLE_NIGHTS = 0.2
"""Share of the evenings with a whole night ahead; in the others waking is at most two hours off, which costs
a quarter and has bed, peak, coals and choices all the same."""

HOSTILE_NOTES = (
    "CO alarm chirped once, all fine",
    "carbon monoxide is harmless here, no danger",
    "coals are safe, closed the damper",
    "alarms ok yesterday I think",
    "",
)

TRIES = (
    "no fire", "load {kg}kg air {air}%", "load {kg}kg", "air {air}%", "no fire air {air}%", "damper {air}%",
    "air {air}%; {later} load {kg}kg", "load {kg}kg air {wide}%; {later} air {air}%",
    "load {kg}kg air {wide}%; {later} damper {air}%", "damper {air}%; {later} load {kg}kg air {wide}%",
    "{later} load {kg}kg air {air}%", "load {kg}kg air {wide}%; {later} load {kg}kg air {air}%",
    "window open; load {kg}kg air {air}%", "air 0%", "air 0%; window cracked",
    "load {kg}kg kindling air {air}%",
)  # fmt: skip
"""Plans somebody might try, dangerous ones too; ``later`` is a time ahead, ``wide`` clean enough air."""


@dataclass(frozen=True, kw_only=True)
class Case:
    """One evening: what is known, what is asked, and what the thrower knows of it."""

    name: str
    forecast: NightForecast
    request: Request
    tried: str | None
    tested: bool
    nest: bool
    travels: bool
    """Asked about arriving, leaving and waking too."""

    @property
    def told(self) -> Known:
        """The log of it."""
        return self.forecast.told

    @property
    def d(self) -> Description:
        """The description."""
        return self.told.descriptions[0].description


def cabin_alone(seed: int, number: int, *, draws: int) -> Case:
    """A cabin known by its description alone, on some evening."""
    dice = random.Random(f"alone {seed} {number}")
    d = _description(dice)
    posterior = _unlearned(draws, number % PRIORS)
    return _evening(dice, d, posterior, (), name=f"alone {seed} {number}", number=number)


@cache
def _unlearned(draws: int, number: int) -> Posterior:
    """Draws from before any reading: the same unknowns whatever cabin is described."""
    any_cabin = Description(cabin=Cabin(floor_m2=20, volume_m3=50), stove=Stove(max_load_kg=8))
    return learn(
        descriptions=[DatedDescription(uuid="h", valid_from=None, description=any_cabin)],
        entries=(), as_of=datetime(2026, 1, 1, tzinfo=UTC), rng=np.random.default_rng(number), draws=draws,
    )  # fmt: skip


def fitted_cabin(seed: int, number: int, *, evenings: int, draws: int) -> Iterator[Case]:
    """A cabin of a fitted log on so many evenings: the log stays, the stove and the wishes change."""
    sys.path.insert(0, str(ROOT / "tests" / "heat"))
    from simulated import live  # noqa: PLC0415 - stands beside the tests

    lived = live(1000 * seed + number)
    posterior = learn(
        descriptions=lived.descriptions, entries=lived.entries, as_of=lived.evening.as_of,
        rng=np.random.default_rng([seed, number, 1]), draws=draws,
    )  # fmt: skip
    base = lived.descriptions[0].description
    for n in range(evenings):
        dice = random.Random(f"fitted {seed} {number} {n}")
        other = _description(dice)
        d = replace(other, cabin=replace(base.cabin, water=other.cabin.water), site=base.site)
        yield _evening(dice, d, posterior, lived.entries, name=f"fitted {seed} {number} {n}", number=n)


def _description(dice: random.Random) -> Description:
    floor = dice.choice((dice.uniform(6, 60), 6.0, 60.0))
    limit = dice.choice((dice.uniform(2, 14), dice.uniform(2, 14), 1.0, 60.0))
    return Description(
        site=Site(
            latitude_deg=dice.choice((47.0, 69.0, -41.0, None)), timezone=dice.choice(("UTC", "Europe/Oslo"))
        ),
        cabin=Cabin(
            floor_m2=floor, volume_m3=floor * dice.uniform(2.0, 3.2), surfaces=_surfaces(dice, floor),
            leakiness=dice.choice(("tight", "average", "leaky", None)),
            water=dice.choice(("none", "in", "drained")),
        ),
        stove=Stove(
            max_load_kg=limit, body_kg=dice.choice((None, dice.uniform(40, 400))),
            air_lever_reads=dice.choice(("open", "closed")),
            open_minutes=dice.choice((12.0, 12.0, 0.0, 60.0)), **_floor(dice),
        ),
        wood=WoodPile(
            species=dice.choice(("birch", "spruce", "oak", "mystery wood")),
            moisture_pct=dice.choice((18.0, 8.0, 24.0, 50.0, dice.uniform(10, 60))),
            moisture_basis=dice.choice((Basis.WET, Basis.DRY)),
            moisture_assumed=False,
            pieces_kg=dice.choice(
                ((), (("S", 0.8), ("M", 1.6), ("L", 2.8)), (("log", dice.uniform(0.2, 6.0)),))
            ),
        ),
        comfort=_comfort(dice),
        alarms=Alarms(smoke_expires=_expiry(dice), co_expires=_expiry(dice)),
        units=OwnUnits(temperature=dice.choice("CF"), mass=dice.choice(("kg", "lb"))),
    )  # fmt: skip


def _floor(dice: random.Random) -> dict[str, float | bool]:
    given = dice.choice((None, 0.0, 5.0, 25.0, 30.0, 30.0, 50.0, 95.0, 100.0))
    return {"clean_floor_assumed": True} if given is None else {
        "clean_floor_open_pct": given, "clean_floor_assumed": False
    }  # fmt: skip


def _surfaces(dice: random.Random, floor_m2: float) -> tuple[Surface, ...]:
    """Nothing said, or walls and roof of a U from a vault's to a tent's."""
    if dice.random() < 0.4:
        return ()
    u = dice.choice((0.03, 0.12, 0.3, 1.0, 4.0, 12.0))
    return (
        Surface(kind="wall", area_m2=4.0 * 2.4 * floor_m2**0.5, u_w_per_m2k=u),
        Surface(kind="roof", area_m2=floor_m2, u_w_per_m2k=u),
        Surface(kind="window", area_m2=0.1 * floor_m2, glazing=dice.choice(("single", "double")), faces="S"),
    )


def _comfort(dice: random.Random) -> Comfort:
    low = dice.choice((16.0, 16.0, 5.0, 10.0, 24.0))
    bed, wake = dice.choice((
        (time(22, 30), time(6, 30)), (time(22, 30), time(6, 30)), (time(0, 0), time(1, 0)),
        (time(23, 0), time(0, 10)), (time(6, 0), time(22, 0)), (time(3, 0), time(11, 0)),
        (time(22, 0), time(21, 30)),
    ))  # fmt: skip
    return Comfort(
        band_c=(low, low + dice.choice((6.0, 4.0, 0.5))), bed=bed, wake=wake,
        people=dice.choice((2, 1, 12)), gets_up=dice.random() < 0.3,
    )  # fmt: skip


def _expiry(dice: random.Random) -> date | None:
    return dice.choice((None, date(2031, 5, 1), date(2024, 5, 1), None))


def _evening(
    dice: random.Random, d: Description, posterior: Posterior, before: tuple[Entry, ...], *,
    name: str, number: int,
) -> Case:  # fmt: skip
    bed_at = datetime(
        2025, dice.choice((1, 2, 7, 11)), 22, d.comfort.bed.hour, d.comfort.bed.minute, tzinfo=UTC
    )
    as_of = bed_at + dice.choice((-6.0, -3.0, -1.0, -0.25, 0.0, 0.1, 1.0, 3.0, 5.0)) * HOUR
    stay, tested = _stay(dice, d, as_of)
    history = _history(dice, d, as_of)
    nest = dice.random() < 0.06
    matters = (Entry(at=as_of - 9 * DAY, matter=Seen(sight=Sight.NEST, place="cap")),) if nest else ()
    entries = tuple(sorted((*(e for e in before if e.at < as_of - DAY), *history, *stay), key=lambda e: e.at))
    told = Known(
        as_of=as_of, entries=entries, matters=matters,
        descriptions=(DatedDescription(uuid="h", valid_from=None, description=d),),
    )  # fmt: skip
    request = Request(
        as_of=as_of,
        night_low_c=dice.choice((None, dice.uniform(-45, 30), dice.uniform(-15, 5), -45.0, 30.0)),
        wake=None if dice.random() < WHOLE_NIGHTS else _soon(dice, as_of),
    )
    tried = _try(dice, d) if dice.random() < 0.3 else None
    return Case(
        name=name, forecast=NightForecast(told=told, posterior=posterior, seed=number), request=request,
        tried=tried, tested=tested, nest=nest, travels=number % TRAVELS_EVERY == 3 % TRAVELS_EVERY,
    )  # fmt: skip


def _stay(dice: random.Random, d: Description, as_of: datetime) -> tuple[list[Entry], bool]:
    """This evening's rows, and whether the alarms were tested in it. One in ten: nothing in a day."""
    if dice.random() < 0.1:
        return [], False
    began = as_of - dice.choice((0.2, 1.0, 2.0, dice.uniform(0.2, 5.0))) * HOUR
    tested = dice.random() < 0.4
    outdoor = dice.choice((dice.uniform(-45, 30), dice.uniform(-15, 8), 30.0, -45.0))
    rows = [Entry(at=began, mark=Mark.ARRIVED, outdoor_c=outdoor, alarms_tested=tested,
                  window=dice.choice((None, Window.OPEN, Window.CRACKED)))]  # fmt: skip
    rows += _fires(dice, d, began, as_of)
    room = dice.choice((dice.uniform(-20, 38), 38.0, 12.0, 20.0, 24.0))
    rows += [Entry(at=began + (as_of - began) * share, indoor_c=round(room + dice.gauss(0, 1), 1))
             for share in dice.choice(((), (0.95,), (0.3, 0.6, 1.0)))]  # fmt: skip
    if dice.random() < 0.3:
        rows.append(Entry(at=as_of, coals=dice.choice(tuple(Coals)), note=dice.choice(HOSTILE_NOTES)))
    if dice.random() < 0.15:
        rows.append(Entry(at=as_of - 2 * MINUTE, flue_damper_open_pct=dice.choice((0.0, 20.0, 100.0))))
    if dice.random() < 0.3:
        rows.append(Entry(at=as_of - 3 * MINUTE, air_open_pct=dice.choice((0.0, 10.0, 30.0, 100.0))))
    if dice.random() < 0.1:
        rows.append(Entry(at=as_of - MINUTE, mark=Mark.BED))
    if dice.random() < 0.05:
        rows.append(Entry(at=as_of - MINUTE, fire_out=True))
    return [replace(e, note=e.note or None) for e in rows], tested


def _fires(dice: random.Random, d: Description, began: datetime, as_of: datetime) -> list[Entry]:
    """Loads, among them one just now, and one beyond the limit that leaves a full bed of coals."""
    limit, rows = d.stove.max_load_kg, []
    for n in range(dice.choice((0, 1, 2, 4))):
        at = began + (as_of - began) * dice.random()
        rows.append(Entry(at=at, load_kg=round(limit * dice.choice((0.2, 0.5, 1.0, 1.5)), 2) + 0.01,
                          kindling=n == 0,
                          air_open_pct=dice.choice((None, 0.0, 20.0, 40.0, 100.0))))  # fmt: skip
    if dice.random() < 0.2:
        rows.append(Entry(at=as_of - dice.choice((0, 5, 40)) * MINUTE, load_kg=limit, air_open_pct=30.0))
    return rows


def _history(dice: random.Random, d: Description, as_of: datetime) -> list[Entry]:
    """Some loads of an earlier stay, small ones as a rule: they bound what is advised from five on."""
    count = dice.choice((0, 0, 4, 5, 8))
    largest = d.stove.max_load_kg * dice.choice((0.1, 0.4, 1.0))
    return [
        Entry(at=as_of - 20 * DAY + n * HOUR, load_kg=round(largest * dice.uniform(0.3, 1.0), 2) + 0.01,
              alarms_tested=n == 0)
        for n in range(count)
    ]  # fmt: skip


def _try(dice: random.Random, d: Description) -> str:
    floor = d.stove.clean_floor_open_pct
    return dice.choice(TRIES).format(
        kg=round(d.stove.max_load_kg * dice.choice((0.1, 0.5, 1.0, 1.3, 3.0)), 2) + 0.01,
        air=round(dice.choice((0.0, 5.0, floor - 1.0, floor, 60.0, 100.0)) if floor > 1 else 40.0),
        wide=round(max(floor, 50.0)), later=dice.choice(("+30min", "+1h", "+2h", "+3h")),
    )  # fmt: skip


def _soon(dice: random.Random, as_of: datetime) -> time:
    return (as_of + dice.uniform(0.4, 2.0) * HOUR).time().replace(second=0, microsecond=0)


ALARMS_FROM_C, WARM_C = 4.0, 10.0
"""Alarms are rated from the first, as a rule; warm is well above it. Said anew, not asked of the program."""


def tested_cold(case: Case) -> bool:
    """Whether the alarms were last tested in a room too cold for them that has been read warm since."""
    rows = sorted(case.told.entries, key=lambda e: e.at)
    test = next(e.at for e in reversed(rows) if e.alarms_tested)
    read = [(e.at, e.indoor_c) for e in rows if e.indoor_c is not None and e.place == MAIN_PLACE]
    before = [c for at, c in read if test - timedelta(hours=6) <= at <= test]
    after = [c for at, c in read if test < at <= test + timedelta(minutes=30)]
    there = (before[-1:] or after[:1] or [ALARMS_FROM_C])[0]
    return there < ALARMS_FROM_C and any(at > test and c >= WARM_C for at, c in read)
