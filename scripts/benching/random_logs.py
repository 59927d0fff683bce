"""Logs nobody would write: every kind of event, the worst texts, floats to the last bit, clocks put back."""

from __future__ import annotations

import random
import sqlite3
import struct
from collections.abc import Iterator
from contextlib import ExitStack, closing, suppress
from dataclasses import fields
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from math import isfinite
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints
from uuid import UUID

from logbook.errors import LogbookError
from logbook.matters import KINDS, Matter
from logbook.records import (
    Basis,
    Cabin,
    Coals,
    Description,
    Entry,
    Flag,
    How,
    Mark,
    NewEvent,
    Site,
    Stove,
    Typed,
    Wind,
    Window,
)
from logbook.store.log import Log, open_log

HOSTILE = (
    *("", " ", "plain words", "bjørk og gran", "日本語", "e\u0301 \u00e9", "🔥👩\u200d🚒"),
    *("\x00", "a\x00b", "\x1b[2J\x1b]0;title\x07", "\x9b31m", "\x7f\x85\u2028\u2029", "line\nline\r\nline\r"),
    *("\u202etxet\u202c", "\u2066\u2069\u200f\u061c", "\ufeff", "\u00ad\u200b"),
    *("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "'=1", "''-1", "'", "=cmd|' /C calc'!A0"),
    *('"', '""', ",;\t", '","', "[red]x[/]", "{0} %s %n", "\\", "\\u0000", "\\", "null", "NaN", "é\\u202e"),
    *("'; DROP TABLE event; --", "x" * 5_000, "\U0010ffff\ufffe", "kindling", "no kindling left"),
)
"""Texts that steer a screen, part lines, run as formulas, end strings or look like something else."""

MOMENTS = (
    datetime(2026, 3, 29, 0, 59, 59, 999_999, tzinfo=UTC),
    datetime(2026, 3, 29, 1, 0, tzinfo=UTC),
    datetime(2025, 10, 26, 0, 30, tzinfo=UTC),
    datetime(2025, 10, 26, 1, 30, 0, 1, tzinfo=UTC),
    datetime(2024, 2, 29, 23, 59, 59, 123_456, tzinfo=UTC),
    datetime(1980, 1, 1, tzinfo=UTC),
    datetime(1970, 1, 1, tzinfo=UTC),
    datetime(2199, 12, 31, 23, 59, 59, 999_999, tzinfo=UTC),
)
"""Both changes of the clock, a leap day, a dead clock battery, the ends of the calendar."""

ZONES = ("Europe/Oslo", "UTC", "Asia/Kolkata", "Pacific/Chatham", "nowhere", "")


class Dice:
    """Random values of every kind a log holds."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def text(self) -> str:
        """A text, seldom a kind one."""
        some = self.random.choice(HOSTILE)
        return some + self.random.choice(HOSTILE) if self.random.random() < 0.2 else some

    def number(self) -> float:
        """Any finite float: small ones, whole ones, and any pattern of 64 bits."""
        kind = self.random.randrange(4)
        if kind == 0:
            return float(self.random.randrange(-40, 60))
        if kind == 1:
            return self.random.uniform(-40.0, 60.0)
        if kind == 2:
            return self.random.choice(
                (0.1 + 0.2, 5e-324, 1.7976931348623157e308, -0.0, 1e16, 1e22, 2**53 + 1.0)
            )
        (value,) = struct.unpack("<d", self.random.randbytes(8))
        return value if isfinite(value) else 1.0 / 3.0

    def moment(self) -> datetime:
        """A time to the microsecond, often one near which clocks go wrong."""
        if self.random.random() < 0.3:
            return self.random.choice(MOMENTS)
        since = datetime(2020, 1, 1, tzinfo=UTC)
        return since + timedelta(microseconds=self.random.randrange(10 * 366 * 86_400 * 10**6))

    def of(self, kind: Any) -> Any:
        """A value of a type a matter's field may have."""
        if get_origin(kind) is UnionType:
            return self.of(self.random.choice(get_args(kind)))
        if get_origin(kind) is tuple:
            return tuple(self.of(get_args(kind)[0]) for _ in range(self.random.randrange(3)))
        if isinstance(kind, type) and issubclass(kind, StrEnum):
            return self.random.choice(list(kind))
        made = {
            NoneType: lambda: None,
            str: self.text,
            float: self.number,
            bool: lambda: self.random.random() < 0.5,
            int: lambda: self.random.randrange(10),
            date: lambda: self.moment().date(),
        }
        return made[kind]()

    def matter(self) -> Matter:
        """A matter of any kind."""
        kind = self.random.choice(list(KINDS.values()))
        hints = get_type_hints(kind)
        return kind(**{field.name: self.of(hints[field.name]) for field in fields(kind)})

    def entry(self) -> Entry:
        """An entry of which anything may be said."""

        def maybe(value: Any) -> Any:
            return value if self.random.random() < 0.4 else None

        numbers = ("indoor_c", "outdoor_c", "low_c", "high_c", "load_kg", "moisture_pct", "air_open_pct",
                   "flue_damper_open_pct", "other_heat_w", "rh_pct", "forecast_low_c")  # fmt: skip
        words = {"moisture_basis": Basis, "window": Window, "coals": Coals, "wind": Wind, "mark": Mark}
        return Entry(
            at=self.moment(),
            reset_at=maybe(self.moment()),
            place=maybe(self.text()) or "",
            kindling=self.random.random() < 0.3,
            fire_out=self.random.random() < 0.3,
            alarms_tested=self.random.random() < 0.3,
            matter=maybe(self.matter()),
            flags=frozenset(self.random.sample(list(Flag), self.random.randrange(4))),
            **{name: maybe(self.number()) for name in numbers},
            **{name: maybe(self.random.choice(list(kind))) for name, kind in words.items()},
            **{name: maybe(self.text()) for name in ("pieces", "species", "change", "note")},
        )

    def new(self) -> NewEvent:
        """An entry about to be written, with anything as typed."""
        return NewEvent(
            entry=self.entry(),
            at_typed=self.text(),
            zone=self.random.choice(ZONES),
            how=self.random.choice(list(How)),
            typed=tuple(Typed(*(self.text() for _ in range(3))) for _ in range(self.random.randrange(3))),
            line=self.text(),
        )

    def description(self) -> Description:
        """A description; some of its texts are odd."""
        return Description(
            site=Site(
                name=self.random.choice(("", "Hytta", 'a "b"\\', "=1+1", "x\ty")), timezone="Europe/Oslo"
            ),
            cabin=Cabin(floor_m2=self.random.uniform(8.0, 80.0), volume_m3=self.random.uniform(20.0, 200.0)),
            stove=Stove(max_load_kg=self.random.uniform(2.0, 20.0)),
        )


def write_random(path: Path, *, seed: int, acts: int, devices: int = 2) -> int:
    """Write a log of so many random acts by several devices in turn; how many events it holds."""
    dice = Dice(seed)
    number = dice.random
    with ExitStack() as opened:
        logs = [
            opened.enter_context(
                open_log(
                    path,
                    now=dice.moment,
                    new_uuid=lambda: str(UUID(int=number.getrandbits(128), version=4)),
                    device=f"{n}-device",
                )
            )
            for n in range(devices)
        ]
        for turn in range(acts):
            _act(number.choice(logs), dice, turn)
        return len(logs[0].events())


def _act(log: Log, dice: Dice, turn: int) -> None:
    """One act: mostly entries, now and then anything else a log can be told."""
    choice = dice.random.randrange(9)
    held = log.current_entries() if choice in (4, 5) else ()
    with suppress(LogbookError):  # nothing to take back, or refused with a reason: an act like any other
        if choice == 3:
            since = dice.moment() if turn else None
            log.add_description(dice.description(), since, source=dice.text())
        elif choice == 4 and held:
            log.edit(dice.random.choice(held).uuid, dice.new(), more=[dice.new()])
        elif choice == 5 and held:
            log.remove(dice.random.choice(held).uuid)
        elif choice == 6:
            log.undo()
        elif choice == 7:
            log.redo()
        elif choice == 8:
            log.set_setting(dice.text() or "name", dice.text())
        else:
            log.add([dice.new() for _ in range(dice.random.randrange(1, 4))])


EVERYTHING = {
    "event": (
        "SELECT e.uuid, d.uuid, e.counter, b.uuid, e.act, e.root, e.supersedes, e.target, e.at_typed, e.zone,"
        " e.written_at, e.how, e.line, e.digest FROM event AS e JOIN device AS d ON d.id = e.device"
        " JOIN batch AS b ON b.id = e.batch"
    ),
    "entry": "SELECT e.uuid, n.* FROM entry AS n JOIN event AS e ON e.id = n.event",
    "typed": "SELECT e.uuid, n.* FROM typed AS n JOIN event AS e ON e.id = n.event",
    "description": "SELECT e.uuid, n.* FROM description AS n JOIN event AS e ON e.id = n.event",
    "setting": "SELECT e.uuid, n.* FROM setting AS n JOIN event AS e ON e.id = n.event",
    "device": "SELECT uuid FROM device",
    "batch": "SELECT uuid FROM batch",
}
"""Every table's rows, to be told apart by uuid and not by a file's own keys."""


def dump(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """All a log holds but the keys of its file, sorted: two equal logs give the same."""
    return {name: sorted(_rows(path, name), key=repr) for name in EVERYTHING}


def _rows(path: Path, name: str) -> Iterator[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as db:
        found = db.execute(EVERYTHING[name])
        names = [column[0] for column in found.description]
        for row in found:
            # Floats bit by bit: 0.1 + 0.2 is not 0.3 here.
            yield tuple(
                value.hex() if isinstance(value, float) else value
                for column, value in zip(names, row, strict=True)
                if column != "event"
            )
