"""Each event's digest: the same wherever the event goes, another one for anything else it could say."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from log_lines import START, said

from logbook.matters import Ash, AshAct
from logbook.records import Cabin, Description, Flag, Stove, Typed
from logbook.store.merging import merge
from logbook.store.digest import digest_of, entry_columns, held_events
from logbook.store.log import Log

CABIN = Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0))

EVENT = ("an-event", "a-device", 7, "a-batch", "record", None, None, None,
         "23:10", "UTC", "2026-01-16T22:10:00.000000Z", "typed", "-11/18 4M")  # fmt: skip


def digests(log: Log) -> dict[str, bytes]:
    return dict(log.connection.execute("SELECT uuid, digest FROM event"))


def of_every_kind(log: Log) -> None:
    log.add_description(CABIN, source="# ours\n")
    log.add_description(replace(CABIN, cabin=Cabin(floor_m2=22.0, volume_m3=55.0)), START)
    typed = (Typed("indoor_c", "61", "°F"), Typed("load_kg", "3", "M"))
    first, second = log.add(
        [replace(said(0, indoor_c=16.1, load_kg=0.1 + 0.2), typed=typed), said(1, indoor_c=-0.0, note="")],
        learned=[("air_lever_reads", "closed")],
    )
    log.add([said(2, place="loft", indoor_c=15, reset_at=START - timedelta(days=1), kindling=True)])
    log.add([said(3, note="Ofenrohr heiß 🔥", flags=frozenset({Flag.ODD_VALUE}))])
    log.add([said(4, matter=Ash(act=AshAct.TAKEN_OUT, where="by the shed"))])
    log.edit(first.uuid, said(0, indoor_c=17.0))
    log.remove(second.uuid)
    log.undo()
    log.redo()


def test_what_is_written_has_the_digest_of_what_is_read_back(log: Log) -> None:
    # An integer in a column of reals, minus zero, truth values: SQLite gives others back than it was given.
    of_every_kind(log)
    names = tuple("entry." + name for name in entry_columns(log.connection))
    held = list(held_events(log.connection))
    assert {event.event[4] for event in held} == {
        *("record", "edit", "remove", "undo", "redo", "describe", "setting")
    }
    assert [event.digest for event in held] == [event.computed(names) for event in held]


def test_it_can_be_worked_out_by_anyone() -> None:
    # As the module says, by other means: a file that only we could check would not be the owner's.
    plain = {
        "uuid": "an-event", "device": "a-device", "counter": 7, "batch": "a-batch", "act": "record",
        "at_typed": "23:10", "zone": "UTC", "written_at": "2026-01-16T22:10:00.000000Z", "how": "typed",
        "line": "-11/18 4M", "entry.at": "2026-01-16T22:10:00.000000Z", "entry.indoor_c": 18.0,
        "entry.kindling": 0.0, "typed": [[0, "indoor_c", "18", "°C"]],
    }  # fmt: skip
    text = json.dumps(plain, sort_keys=True, separators=(",", ":"))
    assert digest_of(
        EVENT,
        entry=("2026-01-16T22:10:00.000000Z", 18, None, 0),
        entry_names=("entry.at", "entry.indoor_c", "entry.note", "entry.kindling"),
        typed=[(0, "indoor_c", "18", "°C")],
    ) == hashlib.blake2b(text.encode(), digest_size=16).digest()  # fmt: skip


def test_a_column_of_a_later_format_changes_no_digest() -> None:
    names = ("entry.at", "entry.note")
    assert digest_of(EVENT, entry=("t", None), entry_names=names) == digest_of(
        EVENT, entry=(None, "t", None), entry_names=("entry.humidex", "entry.at", "entry.note")
    )


@pytest.mark.parametrize("at", range(len(EVENT)))
def test_nothing_and_no_text_are_told_apart_in_each_column(at: int) -> None:
    nothing, empty = ((*EVENT[:at], value, *EVENT[at + 1 :]) for value in (None, ""))
    assert len({digest_of(EVENT), digest_of(nothing), digest_of(empty)}) == 3


def test_what_stands_in_another_place_is_another_event() -> None:
    # "a" in one column and "b" in the next must not be taken for "ab" in one.
    kinds = [
        {"description": (None, "x")},
        {"setting": ("x", "")},
        {"setting": ("", "x")},
        {"typed": [(0, "x", "", "")]},
        {"typed": [(1, "x", "", "")]},
        {"typed": [(0, "", "x", "")]},
        {"entry": ("x", None), "entry_names": ("entry.note", "entry.change")},
        {"entry": (None, "x"), "entry_names": ("entry.note", "entry.change")},
    ]
    assert len({digest_of(EVENT, **kind) for kind in kinds} | {digest_of(EVENT)}) == len(kinds) + 1  # type: ignore[arg-type]


def test_an_event_keeps_its_digest_in_the_log_it_is_merged_into(opened: Callable[..., Log]) -> None:
    one, other = opened("one.db", device="one"), opened("other.db", device="other")
    one.add([said(0, indoor_c=1.0)])
    of_every_kind(other)
    merge(one, other.path)
    kept = digests(one)
    assert len(kept) == len(digests(other)) + 1
    assert digests(other).items() <= kept.items()


def test_what_an_older_window_wrote_since_gets_its_digest_at_opening(opened: Callable[..., Log]) -> None:
    log = opened()
    of_every_kind(log)
    before = digests(log)
    log.connection.execute("UPDATE event SET digest = NULL WHERE act <> 'record'")
    with opened() as again:
        assert digests(again) == before
