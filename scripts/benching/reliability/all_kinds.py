"""A log with events of every kind, by two devices, and all that a log answers: what damage is tried on."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from logbook.demo import demo_description
from logbook.matters import (
    Ash,
    AshAct,
    DayWeather,
    Improvement,
    Level,
    Matter,
    Seen,
    Sight,
    Stack,
    StaySaid,
    Tick,
    Upkeep,
)
from logbook.records import Basis, Coals, Entry, Flag, How, Mark, NewEvent, Typed, Wind, Window
from logbook.store.log import Log, open_log

START = datetime(2024, 11, 1, 17, tzinfo=UTC)
KEPT = ("draft", "look")
SETTINGS = ("air_lever_reads", "emergency", "list leaving")

MATTERS: tuple[Matter, ...] = (
    Ash(act=AshAct.TAKEN_OUT, where="by the shed"),
    Ash(act=AshAct.TIPPED),
    Upkeep(task="sweep"),
    Stack(name="birch", volume_m3=0.9, species="birch", split_on=date(2024, 5, 1), money=80.0),
    Level(item="water", amount=20.0, unit="l"),
    Tick(list_name="leaving", line="water off", done=False),
    StaySaid(people=("Ida", "Ömer"), purpose="quiet", guest_book="Snow to the sill.\nFox at night."),
    Improvement(name="skirting", money=120.5, hours=6.0),
    Seen(sight=Sight.DROPPINGS, place="bunk"),
    DayWeather(day=date(2024, 11, 2), low_c=-7.0, high_c=1.5, wind="breeze"),
)
"""Some kinds of matters; which ones makes no difference to the file, each is a line of JSON."""


def write(path: Path, *, acts: int, seed: int, page_size: int = 4096) -> None:
    """A log of about so many acts, as one file with nothing beside it.

    ``page_size`` smaller than a log's own 4096 bytes packs it denser: fewer bytes that nothing is in.
    """
    dice = random.Random(seed)
    clock = [START]

    def tick() -> datetime:
        clock[0] += timedelta(minutes=dice.randint(1, 400))
        return clock[0]

    names = iter(f"{dice.getrandbits(32):08x}-0000-4000-8000-{number:012d}" for number in range(10**6))
    logs = [
        open_log(path, now=tick, new_uuid=lambda: next(names), device=device)
        for device in ("the-old-laptop", "a-phone")
    ]
    try:
        _fill(logs, dice, acts, clock)
    finally:
        for log in logs:
            log.close()
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = DELETE")
        db.execute(f"PRAGMA page_size = {page_size}")
        db.execute("VACUUM")


def _fill(logs: list[Log], dice: random.Random, acts: int, clock: list[datetime]) -> None:
    logs[0].add_description(demo_description(), source="# ours\n")
    logs[1].add_description(demo_description(), START + timedelta(days=3), source="# again\n")
    for name in KEPT:
        logs[0].keep_here(name, f"in 1{dice.randint(0, 9)}")
    for name in SETTINGS:
        logs[0].set_setting(name, "closed" if name.startswith("air") else "Out of the window.\nRing 112.")
    for number in range(acts):
        log = dice.choice(logs)
        held = log.latest(5)
        act = dice.random()
        if act < 0.1 and held:
            log.edit(dice.choice(held).uuid, _line(dice, clock[0]))
        elif act < 0.15 and held:
            log.remove(dice.choice(held).uuid)
        elif act < 0.2 and number:
            log.undo()
            if dice.random() < 0.5:
                log.redo()
        elif act < 0.4:
            matter = dice.choice(MATTERS)
            log.add([NewEvent(entry=Entry(at=clock[0], matter=matter), line="as typed")])
        elif act < 0.45:
            log.add([_row(dice, clock[0] + timedelta(minutes=5 * row)) for row in range(20)])
        else:
            log.add([_line(dice, clock[0])], learned=[("air_lever_reads", "open")] if act > 0.97 else [])


def _line(dice: random.Random, at: datetime) -> NewEvent:
    indoor_c = round(dice.uniform(2, 25), 1)
    facts = {
        "outdoor_c": round(dice.uniform(-20, 10), 1),
        "load_kg": dice.uniform(0.5, 6.0),
        "pieces": "4 M",
        "species": "beech",
        "moisture_pct": 17.0,
        "moisture_basis": Basis.WET,
        "kindling": True,
        "air_open_pct": 25.0,
        "window": Window.CRACKED,
        "coals": Coals.FEW,
        "wind": Wind.BREEZE,
        "mark": Mark.BED,
        "reset_at": at - timedelta(days=2),
        "alarms_tested": True,
        "change": "new door seal",
        "note": "Ofenrohr heiß, " + "wind in the flue. " * dice.choice((1, 3, 300)),
        "flags": frozenset({Flag.ODD_VALUE}),
        "place": "loft",
        "low_c": -1.25,
    }
    some = {name: facts[name] for name in dice.sample(sorted(facts), dice.randint(0, 6))}
    typed = (Typed("indoor_c", f"{indoor_c:g}", "°C"), Typed("load_kg", "4", "M"))
    entry = Entry(at=at, indoor_c=indoor_c, **some)  # type: ignore[arg-type]
    return NewEvent(entry=entry, at_typed="23:10", zone="Europe/Vienna", typed=typed, line="-11/18 4M 1/4")


def _row(dice: random.Random, at: datetime) -> NewEvent:
    entry = Entry(at=at, indoor_c=dice.uniform(0, 20), flags=frozenset({Flag.LOGGER}))
    return NewEvent(entry=entry, how=How.LOGGER)


def answers(log: Log) -> object:
    """All that a log answers: every event, what holds, descriptions, settings, what it keeps for itself."""
    return (
        log.events(),
        log.current_entries(),
        log.latest(10),
        log.matters(),
        log.descriptions(),
        tuple(log.setting(name) for name in SETTINGS),
        tuple(log.kept_here(name) for name in KEPT),
        log.newest_at(),
        log.first_written(),
    )
