"""A log of thirty years, invented: weekends like the demo's, what a household writes besides, a logger.

Everything goes in through the log's own writing calls, in big acts, with seeded dice: the same seed gives the
same log to the last identifier.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import islice, pairwise
from pathlib import Path
from uuid import UUID

import numpy as np

from logbook.demo import demo_description, demo_description_text, demo_entries
from logbook.heat.notebook import stays
from logbook.matters import (
    Ash,
    AshAct,
    Bring,
    Brought,
    DayWeather,
    Level,
    Matter,
    Seen,
    Sight,
    Sky,
    Stack,
    StackCount,
    StackMoisture,
    StaySaid,
    Tick,
    Upkeep,
)
from logbook.records import Basis, Entry, Flag, How, NewEvent, Typed
from logbook.store.log import Log, open_log

LAST_DAY = datetime(2026, 2, 27, 12, tzinfo=UTC)
"""A Friday: the last weekend's. Weekends are laid backwards from here."""

STEP = timedelta(minutes=10)
ACT = 20_000
"""Events written as one act where nothing else says how many."""

LIST_LINES = ("water on", "flue looked at", "alarms tested", "mouse traps", "ash bucket out", "beds aired")
ZONE = "Europe/Oslo"


@dataclass(frozen=True)
class Size:
    """How long the log is."""

    years: int = 30
    weekends: int = 45
    events: int = 100_000
    logger_rows: int = 1_000_000


def write_years(path: Path, size: Size, *, seed: int) -> datetime:
    """Write such a log to ``path``; the moment it ends, somebody being there."""
    dice = random.Random(seed)
    clock = [LAST_DAY - timedelta(days=365.25 * size.years)]
    with open_log(
        path,
        now=lambda: clock[0],
        new_uuid=lambda: str(UUID(int=dice.getrandbits(128), version=4)),
        device=str(UUID(int=seed, version=4)),
    ) as log:
        log.add_description(demo_description(), source=demo_description_text())
        weekends = list(weekends_of(size, dice))
        logger = logger_rows(weekends, size.logger_rows, seed=seed)
        beside = max(0, size.events - 1 - sum(map(len, weekends))) / max(1, len(weekends))
        for n, rows in enumerate(weekends):
            clock[0] = rows[-1].at
            log.add([line_of(entry) for entry in rows])
            _write_beside(log, rows, round((n + 1) * beside) - round(n * beside), dice)
        while act := list(islice(logger, ACT)):
            log.add(act)
    return max(entry.at for entry in weekends[-1])


def weekends_of(size: Size, dice: random.Random) -> Iterator[list[Entry]]:
    """The rows of each weekend, oldest first: stays of the demo of that season, moved by whole weeks."""
    rows = [entry for entry in demo_entries() if not entry.is_matter_alone]
    lived = [stay for stay in stays(rows) if stay.occupied and stay.end - stay.start < timedelta(days=4)]
    told = [[e for e in rows if stay.start <= e.at <= stay.end] for stay in lived]
    told = [stay for stay in told if len(stay) >= 8]
    for n in range(size.years * size.weekends - 1, -1, -1):
        weeks_back = n // size.weekends * 52 + n % size.weekends
        friday = LAST_DAY - timedelta(weeks=weeks_back)
        nearest = sorted(told, key=lambda stay: _season_apart(stay[0].at, friday))[:6]
        chosen = dice.choice(nearest) if n else told[-1]
        moved = timedelta(weeks=round((friday - chosen[0].at) / timedelta(weeks=1)))
        yield [replace(e, at=e.at + moved, change=None) for e in chosen]


def _season_apart(one: datetime, other: datetime) -> int:
    days = abs(one.timetuple().tm_yday - other.timetuple().tm_yday)
    return min(days, 365 - days)


def line_of(entry: Entry) -> NewEvent:
    """An entry as if typed, with a line and what was typed of it."""
    typed = tuple(
        Typed(name, f"{value:g}", unit)
        for name, unit in (("indoor_c", "°C"), ("outdoor_c", "°C"), ("load_kg", "kg"))
        if (value := getattr(entry, name)) is not None
    )
    return NewEvent(
        entry=entry,
        at_typed=f"{entry.at:%H:%M}",
        zone=ZONE,
        typed=typed,
        line=" ".join(part.text for part in typed) or (entry.note or "air"),
    )


def _write_beside(log: Log, rows: list[Entry], count: int, dice: random.Random) -> None:
    """So many events besides: matters mostly, now and then an edit, a removal, an undo, a setting."""
    matters = [
        NewEvent(
            entry=Entry(at=rows[n % len(rows)].at, matter=matter(n, rows[0].at, dice)),
            line="beside",
            zone=ZONE,
        )
        for n in range(max(0, count - 4))
    ]
    written = log.add(matters)
    if count >= 4:
        log.set_setting("air lever", dice.choice(("open", "closed")))
        chosen = dice.choice(written or log.latest(1))
        if dice.random() < 0.5:
            log.edit(chosen.uuid, NewEvent(entry=replace(chosen.entry or rows[0], note="mended"), zone=ZONE))
        else:
            log.remove(chosen.uuid)
        log.undo()
        log.redo()


def matter(n: int, at: datetime, dice: random.Random) -> Matter:
    """What a household writes besides the night; by turns, the commonest most often."""
    day = at.date()
    usual: tuple[Matter, ...] = (
        Ash(act=AshAct.TAKEN_OUT, where="shed"),
        Level(item="water", amount=float(dice.randrange(5, 60)), unit="L"),
        StaySaid(people=("AB", "CD")[: dice.randrange(1, 3)], purpose="weekend", guest_book=f"Snow, {n}."),
        DayWeather(day=day, low_c=-8.0, high_c=float(dice.randrange(-6, 6)), sky=Sky.CLEAR),
        Bring(item=dice.choice(("matches", "salt", "candles"))),
        Brought(item="water", amount=20.0, unit="L"),
        Upkeep(task=dice.choice(("flue", "door rope", "co alarm")), finding="fine", deposit_mm=2.0),
        Seen(sight=dice.choice((Sight.DROPPINGS, Sight.FROST, Sight.GONE)), place="pantry"),
        *_stacks(day, dice),
    )
    if n < len(usual):
        return usual[n]
    return Tick(
        list_name=("arriving", "leaving")[n % 2], line=dice.choice(LIST_LINES), done=dice.random() < 0.9
    )


def _stacks(day: date, dice: random.Random) -> tuple[Matter, ...]:
    """Once a year in May a stack is put up, and the one of two years before is gone; counted now and then."""
    name = f"birch {day.year}"
    if day.month == 5 and day.day <= 7:
        gone = StackCount(name=f"birch {day.year - 2}", volume_m3=0.0)
        return Stack(name=name, species="birch", volume_m3=6.0, split_on=date(day.year, 5, 1)), gone
    if day.month == 10 and day.day <= 7:
        moisture = StackMoisture(name=name, readings_pct=(18.0, 19.5), basis=Basis.DRY)
        return StackCount(name=name, volume_m3=4.0 + dice.random()), moisture
    return ()


def logger_rows(weekends: list[list[Entry]], count: int, *, seed: int) -> Iterator[NewEvent]:
    """The last so many steps of ten minutes: between the notebook's readings, and falling towards the air
    outside when nobody is there."""
    if not count:
        return
    noise = np.random.default_rng(seed)
    end = max(e.at for e in weekends[-1])
    hours = np.arange(-count + 1, 1) * (STEP / timedelta(hours=1))
    outdoor = (
        4.0 - 10.0 * np.cos((hours / 24 / 365.25 + 0.13) * 2 * np.pi) - 3.0 * np.cos(hours / 24 * 2 * np.pi)
    )
    outdoor += noise.normal(0.0, 0.2, count)
    read = [e for w in weekends for e in w if e.outdoor_c is not None]
    at = np.array([(e.at - end) / timedelta(hours=1) for e in read])
    for w in weekends:  # the notebook's own readings, where there are any
        said = [e for e in w if e.outdoor_c is not None]
        if said and (said[-1].at - end) / timedelta(hours=1) > hours[0]:
            here = slice(
                *np.searchsorted(hours, [(e.at - end) / timedelta(hours=1) for e in (said[0], said[-1])])
            )
            outdoor[here] = np.interp(hours[here], at, [e.outdoor_c for e in read])
    indoor = outdoor + 2.0
    rows = [[e for e in w if e.indoor_c is not None and not e.place] for w in weekends]
    rows = [w for w in rows if w and (w[-1].at - end) / timedelta(hours=1) > hours[0]]
    for here, following in pairwise([*rows, []]):
        at = np.array([(e.at - end) / timedelta(hours=1) for e in here])
        inside = slice(*np.searchsorted(hours, (at[0], at[-1])))
        indoor[inside] = np.interp(hours[inside], at, [e.indoor_c for e in here])
        until = (following[0].at - end) / timedelta(hours=1) if following else 0.0
        empty = slice(inside.stop, int(np.searchsorted(hours, until)))
        above = (here[-1].indoor_c or 0.0) - indoor[empty]
        indoor[empty] += above * np.exp(-(hours[empty] - at[-1]) / 25.0)
    indoor, outdoor = np.round(indoor, 2), np.round(outdoor, 2)
    for n in range(count):
        entry = Entry(
            at=end - (count - 1 - n) * STEP,
            indoor_c=float(indoor[n]),
            outdoor_c=float(outdoor[n]) if n % 6 == 0 else None,
            flags=frozenset({Flag.LOGGER}),
        )
        yield NewEvent(entry=entry, zone=ZONE, how=How.LOGGER)
