"""A log of thirty years, invented: the weeks of one cabin (``weeks``), what a household writes besides.

Everything goes in through the log's own writing calls, in big acts, with seeded dice: the same seed gives the
same log to the last identifier.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import islice
from pathlib import Path
from uuid import UUID

from benching.weeks import STEP, Week, lived_weeks
from logbook.demo import demo_description, demo_description_text
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
from logbook.records import Basis, Entry, How, NewEvent, Typed
from logbook.store.log import Log, open_log

LAST_DAY = datetime(2026, 2, 27, 12, tzinfo=UTC)
"""A Friday: the last weekend's. Weekends are laid backwards from here."""

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
        laid = weeks_of(size, dice, seed=seed)
        scales = random.Random(f"scales {seed}")
        weekends = [[weighed(replace(e, at=e.at + moved), scales) for e in week.rows] for week, moved in laid]
        logger = logger_rows(laid, size.logger_rows)
        beside = max(0, size.events - 1 - sum(map(len, weekends))) / max(1, len(weekends))
        for n, rows in enumerate(weekends):
            clock[0] = rows[-1].at
            log.add([line_of(entry) for entry in rows])
            _write_beside(log, rows, round((n + 1) * beside) - round(n * beside), dice)
        while act := list(islice(logger, ACT)):
            log.add(act)
    return max(entry.at for entry in weekends[-1])


def weighed(entry: Entry, dice: random.Random) -> Entry:
    """An entry with its load a little other: copies would not be learned from (``typed_twice``)."""
    if not entry.load_kg:
        return entry
    return replace(entry, load_kg=round(entry.load_kg + dice.uniform(-0.15, 0.15), 2))


def weeks_of(size: Size, dice: random.Random, *, seed: int) -> list[tuple[Week, timedelta]]:
    """A week of the demo's cabin for each weekend, oldest first, of about that season, and how far each is
    moved: whole weeks."""
    lived = lived_weeks(seed=seed)
    laid = []
    for n in range(size.years * size.weekends - 1, -1, -1):
        weeks_back = n // size.weekends * 52 + n % size.weekends
        friday = LAST_DAY - timedelta(weeks=weeks_back)
        nearest = sorted(lived, key=lambda week: _season_apart(week.rows[0].at, friday))[:6]
        chosen = dice.choice(nearest) if n else lived[-1]
        moved = timedelta(weeks=round((friday - chosen.rows[0].at) / timedelta(weeks=1)))
        laid.append((chosen, moved))
    return laid


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


def logger_rows(laid: Sequence[tuple[Week, timedelta]], count: int) -> Iterator[NewEvent]:
    """The last so many steps of ten minutes, up to the last row written by hand."""
    starts = [week.logger[0].at + moved for week, moved in laid]
    week, moved = laid[-1]
    end = max(entry.at for entry in week.rows) + moved
    since = end - count * STEP
    for (week, moved), until in zip(laid, [*starts[1:], end], strict=True):
        if until >= since:
            rows = (entry for entry in week.logged(moved, until) if entry.at >= since)
            yield from (NewEvent(entry=entry, zone=ZONE, how=How.LOGGER) for entry in rows)
