"""Matters through the log: kept, said back, changed, taken back, with the names the log already knows."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from logbook.actions import lines
from logbook.as_json import entry_json
from logbook.errors import EntryError
from logbook.matters import (
    KINDS,
    NAME_OF,
    Ash,
    AshAct,
    Bring,
    Brought,
    DayWeather,
    Improvement,
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
    UpkeepRule,
)
from logbook.records import Basis, Entry, Flag, NewEvent
from logbook.store.log import Log, open_log

NOW = datetime(2026, 1, 16, 21, 41, tzinfo=UTC)


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    with open_log(tmp_path / "log.db") as opened:
        yield opened


def told(log: Log) -> list[object]:
    """The matters kept, oldest first."""
    return [entry.matter for entry in log.matters()]


def test_a_line_is_kept_and_said_back_with_its_caution(log: Log) -> None:
    noted = lines.note(log, "ash out, bucket by the shed", now=NOW)
    assert noted.sentence == (
        "21:41 ash out, bucket by the shed: not before Tue 20 Jan 21:41 at the earliest "
        "(96 h, common practice as fire districts say). Lid on, outdoors, 3 m (10 ft) from anything "
        "that burns: live ash gives off carbon monoxide."
    )
    [event] = log.current_entries()
    assert event.line == "ash out, bucket by the shed"
    assert [typed.name for typed in event.typed] == ["matter"]


def test_swept_chimney_finds_the_flue(log: Log) -> None:
    lines.note(log, "swept chimney 2 mm", now=NOW)
    assert told(log) == [Upkeep(task="flue", deposit_mm=2.0)]


def test_a_new_task_is_said_to_be_new_once_and_known_from_then_on(log: Log) -> None:
    first = lines.note(log, "did gate hinges", now=NOW)
    assert "new task" in first.warnings[0] and first.event_ids
    later = lines.note(log, "did gate hinges, oiled", now=NOW + timedelta(days=1))
    assert later.warnings == ()
    assert told(log)[1] == Upkeep(task="gate hinges", finding="oiled")


def test_names_come_from_the_log_and_go_with_it(log: Log) -> None:
    lines.note(log, "stack pile two birch 1 cord", now=NOW)
    lines.note(log, "bring mouse traps 2", now=NOW)
    lines.note(log, "brought lamp oil 1 L", now=NOW)
    here = lines.with_names(log, lines.setting_now(log), "count pile two birch 1 stere")
    assert (here.stacks, here.supplies, here.to_bring) == (
        ("pile two birch",),
        ("lamp oil",),
        ("mouse traps",),
    )
    lines.note(log, "got mouse traps", now=NOW + timedelta(hours=1))
    assert told(log)[-1] == Bring(item="mouse traps", got=True)
    assert lines.with_names(log, lines.setting_now(log), "got").to_bring == (), "off the list"
    lines.undo(log, now=NOW)
    assert lines.with_names(log, lines.setting_now(log), "got").to_bring == ("mouse traps",), "back on it"


def test_a_line_of_the_night_does_not_look_at_the_matters(log: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    def looked(*_: object, **__: object) -> None:
        raise AssertionError("the matters were read for a line that needs none")

    monkeypatch.setattr(Log, "matters", looked)
    here = lines.setting_now(log)
    assert lines.with_names(log, here, "-12/18 4.2kg birch air 1/4") is here


@pytest.mark.parametrize(
    ("line", "asks"),
    [
        ("swept flue on 3 feb 2026", "still to come"),
        ("meter birch 250 %", "can't be wood"),
        ("stack birch", "How much birch?"),
        ("people 0", "0 people?"),
        ("replaced co alarm until may 2013", "past already"),
    ],
)
def test_what_is_asked_stops_a_script_unless_its_owner_insists(log: Log, line: str, asks: str) -> None:
    with pytest.raises(EntryError, match="--yes") as stop:
        lines.note(log, line, now=NOW)
    assert asks in str(stop.value) and log.entries() == ()
    noted = lines.note(log, line, now=NOW, yes=True)
    assert asks in noted.warnings[0] and len(log.entries()) == 1


def test_a_sweep_kept_ahead_makes_no_clock_doubtful(log: Log) -> None:
    """The future date is kept; the next line is neither asked about nor moved."""
    lines.note(log, "18 in", now=NOW - timedelta(hours=1))
    lines.note(log, "swept flue on 3 feb 2026", now=NOW, yes=True)
    [kept] = log.matters()
    assert (kept.at.date(), kept.flags) == (date(2026, 2, 3), {Flag.ODD_VALUE})
    noted = lines.note(log, "17 in", now=NOW + timedelta(minutes=5))
    assert noted.warnings == () and noted.sentence == "21:46 in 17.0 °C"
    assert lines.setting_now(log).newest_at == NOW + timedelta(minutes=5)
    assert log.matters(as_of=NOW + timedelta(days=1)) == ()


def test_an_impossible_moisture_is_in_the_note_when_insisted_on(log: Log) -> None:
    lines.note(log, "meter birch 250 %", now=NOW, yes=True)
    [kept] = log.entries()
    assert (kept.matter, kept.note, kept.flags) == (None, "meter birch 250 %", {Flag.ODD_VALUE})


def test_a_matter_is_changed_and_keeps_its_time(log: Log) -> None:
    noted = lines.note(log, "yesterday 18:00 level water 14 L", now=NOW)
    lines.edit(log, noted.event_ids[0], "level water 16 L", now=NOW + timedelta(hours=2))
    [kept] = log.matters()
    assert kept.matter == Level(item="water", amount=16.0, unit="L")
    assert kept.at == datetime(2026, 1, 15, 18, 0, tzinfo=UTC)
    lines.edit(log, noted.event_ids[0], "14 jan 17:00 level water 16 L", now=NOW + timedelta(hours=3))
    assert log.matters()[0].at == datetime(2026, 1, 14, 17, 0, tzinfo=UTC)


def test_a_count_after_a_stack_is_read_by_the_stacks_name(log: Log) -> None:
    lines.note(log, "stack Red Alder 2 m x 1.2 m x 40 cm", now=NOW)
    lines.note(log, "count red alder 0.4 stere", now=NOW)
    stack, count = told(log)
    assert isinstance(stack, Stack) and isinstance(count, StackCount)
    assert stack.name == count.name == "red alder"


def test_undo_and_redo_say_the_matter(log: Log) -> None:
    lines.note(log, "skip leaving: roof vent", now=NOW)
    assert lines.undo(log, now=NOW).sentence == "Taken back: 21:41 skip leaving: roof vent"
    assert told(log) == []
    assert lines.redo(log, now=NOW).sentence == "Brought back: 21:41 skip leaving: roof vent"
    assert told(log) == [Tick(list_name="leaving", line="roof vent", done=False)]


def test_the_newest_matters_come_first_and_no_more_than_wanted(log: Log) -> None:
    log.add(
        [
            NewEvent(entry=Entry(at=NOW + timedelta(hours=n), matter=Level(item="water", amount=float(n))))
            for n in range(5)
        ]
    )
    assert [entry.matter.amount for entry in log.matters(newest=2)] == [4.0, 3.0]
    assert [entry.matter.amount for entry in log.matters()] == [0.0, 1.0, 2.0, 3.0, 4.0]


def test_every_matter_can_be_listed_as_json() -> None:
    """Built, not typed: whatever a log holds, ``events --json`` lists it."""
    for kind in KINDS.values():
        made = one_of(kind)
        row = entry_json(Entry(at=NOW, matter=made), zone=UTC)
        again = json.loads(json.dumps(row, allow_nan=False))["matter"]
        assert again["kind"] == NAME_OF[kind]
        assert set(again) == {"kind", *kind.__dataclass_fields__}
    row = entry_json(
        Entry(at=NOW, matter=Upkeep(task="flue", until=date(2033, 5, 1), photos=("a.jpg",))), zone=UTC
    )
    assert (row["matter"]["until"], row["matter"]["photos"]) == ("2033-05-01", ["a.jpg"])


def one_of(kind: type[Matter]) -> Matter:
    """A matter of a kind with every field it must have."""
    needed = {
        Ash: {"act": AshAct.TIPPED},
        Upkeep: {"task": "flue"},
        UpkeepRule: {"task": "flue"},
        Stack: {"name": "birch", "split_on": date(2025, 5, 1)},
        StackCount: {"name": "birch"},
        StackMoisture: {"name": "birch", "readings_pct": (17.0,), "basis": Basis.DRY},
        Level: {"item": "water", "amount": 1.0},
        Brought: {"item": "water", "amount": 1.0},
        Bring: {"item": "water"},
        Tick: {"list_name": "leaving", "line": "roof vent"},
        StaySaid: {"people": ("K",)},
        Improvement: {"name": "skirting"},
        Seen: {"sight": Sight.FROST},
        DayWeather: {"day": date(2026, 1, 17), "low_c": -8.0, "high_c": -2.0, "sky": Sky.SNOW},
    }
    return kind(**needed[kind])
