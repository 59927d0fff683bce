"""Each event's digest: the same wherever the event goes, another one for anything else it could say."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from log_lines import START, said

from logbook.matters import Ash, AshAct
from logbook.records import Cabin, Description, Entry, Flag, Stove, Typed
from logbook.store.digest import ENTRY_NAMES, EntryShape, digest_of, entry_shape, held_events
from logbook.store.log import Log
from logbook.store.merging import merge
from logbook.store.rows import ENTRY_COLUMNS, entry_values

CABIN = Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0))

EVENT = ("an-event", "a-device", 7, "a-batch", "record", "r", "s", "t",
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
    held = list(held_events(log.connection))
    assert {event.event[4] for event in held} == {
        *("record", "edit", "remove", "undo", "redo", "describe", "setting")
    }
    shape = entry_shape(log.connection)
    assert [event.digest for event in held] == [event.computed(shape) for event in held]


def test_it_can_be_worked_out_by_anyone() -> None:
    # Written out by hand as the module says: a file that only we could check would not be the owner's.
    text = (
        '[["an-event","a-device",7,"a-batch","record","r","s","t","23:10","UTC",'
        '"2026-01-16T22:10:00.000000Z","typed","-11/18 4M"],'
        '["2026-01-16T22:10:00.000000Z",18.0,"",-0.5,' + "null," * 8 + "0," + "null," * 9 + "0,0,null,"
        '"hei\\u00df",null,""],[[0,"indoor_c","18","\\u00b0C"]],null,null]'
    )
    entry = Entry(at=START + timedelta(hours=2, minutes=10), indoor_c=18, outdoor_c=-0.5, note="heiß")
    typed = [(0, "indoor_c", "18", "°C")]
    assert (
        digest_of(EVENT, entry=entry_values(entry), typed=typed)
        == hashlib.blake2b(text.encode(), digest_size=16).digest()
    )


def test_digested_are_all_columns_an_entry_has() -> None:
    # ENTRY_NAMES is of format 3 and never changes; a new field goes into the sixth part by itself.
    assert set(ENTRY_NAMES) <= set(ENTRY_COLUMNS)


def test_a_column_of_a_later_format_counts_only_where_it_says_something() -> None:
    entry = entry_values(Entry(at=START, note="x"))
    later = EntryShape(("humidex", *ENTRY_COLUMNS))
    assert digest_of(EVENT, entry=(None, *entry), shape=later) == digest_of(EVENT, entry=entry)
    assert digest_of(EVENT, entry=(31.0, *entry), shape=later) != digest_of(EVENT, entry=entry)


def test_the_order_of_the_columns_in_a_file_makes_no_difference() -> None:
    # A log migrated from format 1 has the column of matters last, a later one may have it elsewhere.
    entry = entry_values(Entry(at=START, note="x", indoor_c=1.0))
    turned = EntryShape(ENTRY_COLUMNS[::-1])
    assert digest_of(EVENT, entry=entry[::-1], shape=turned) == digest_of(EVENT, entry=entry)


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
        {"entry": entry_values(Entry(at=START, note="x"))},
        {"entry": entry_values(Entry(at=START, change="x"))},
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
