"""One entry that can't be read stops what reads it: it is named, and can be left out and brought back."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from log_lines import START, rooms, said

from logbook import matters as m
from logbook.actions import lines
from logbook.errors import LogFileError
from logbook.store.bounded import entries_bounded
from logbook.store.log import Log
from logbook.store.long_matters import lasting_matters

LATER = START + timedelta(days=1)

SPOILT = [
    """matter = '{"kind": "ash", "act": "eaten"}'""",
    """matter = '{"kind": "of next year"}'""",
    "flags = 'odd'",
    "at = '0001-01-01T00:00:00.000000Z'",
    "reset_at = '9999-12-31T23:59:59.999999Z'",
    "indoor_c = 1e999",
    "outdoor_c = -1e999",  # ended ``bring`` in an error; found by the fuzz
]

READERS: dict[str, Callable[[Log], object]] = {
    "entries": lambda log: log.entries(),
    "events": lambda log: log.current_entries(),
    "matters": lambda log: log.matters(),
    "the newest matters": lambda log: log.matters(newest=3),
    "the newest": lambda log: log.latest(5),
    "for a line": lambda log: log.latest_entries(5),
    "upkeep": lambda log: log.upkeep_written(LATER),
    "lasting": lasting_matters,
    "bounded": lambda log: entries_bounded(log, LATER),
    "edit": lambda log: log.edit(log.connection.execute(OF_IT).fetchone()[0], said(1, indoor_c=1.0)),
}
"""Whatever reads the entries of a log."""

OF_IT = "SELECT uuid FROM event WHERE id = 2"


@pytest.fixture(params=SPOILT)
def spoilt(log: Log, request: pytest.FixtureRequest) -> Log:
    """Three entries, the second spoilt by hand."""
    log.add([said(0, indoor_c=15.0)])
    log.add([said(1, matter=m.Ash(act=m.AshAct.TIPPED))])
    log.add([said(2, indoor_c=17.0)])
    log.connection.execute(f"UPDATE entry SET {request.param} WHERE event = 2")
    return log


@pytest.mark.parametrize("reader", READERS)
def test_whatever_reads_it_names_it_and_the_way_out(spoilt: Log, reader: str) -> None:
    ident = spoilt.connection.execute(OF_IT).fetchone()[0][:8]
    with pytest.raises(LogFileError, match=f"entry {ident}") as refused:
        READERS[reader](spoilt)
    what, todo = str(refused.value).split("\n")
    assert what.endswith(f"(entry {ident}).")
    (told,) = re.findall(r"nightload remove (\w+)\.", todo)
    gone = lines.remove(spoilt, told, now=LATER)
    assert gone.sentence == f"Left out: entry {ident}, which can't be read; the line as typed was: as typed"
    assert rooms(spoilt) == [15.0, 17.0]
    if reader != "edit":
        READERS[reader](spoilt)


def test_undo_brings_it_back_as_it_was(spoilt: Log) -> None:
    lines.remove(spoilt, spoilt.connection.execute(OF_IT).fetchone()[0], now=LATER)
    lines.undo(spoilt, now=LATER)
    with pytest.raises(LogFileError, match="nightload remove"):
        spoilt.entries()


def test_one_of_two_can_be_left_out_and_the_other_is_named_next(spoilt: Log) -> None:
    spoilt.connection.execute("UPDATE entry SET flags = 'odd' WHERE event = 3")
    for left in (1, 0):
        with pytest.raises(LogFileError) as refused:
            spoilt.entries()
        lines.remove(spoilt, re.findall(r"remove (\w+)", str(refused.value))[0], now=LATER)
        left_out = spoilt.connection.execute("SELECT count(*) FROM event WHERE act = 'remove'").fetchone()
        assert left_out == (2 - left,)
    assert rooms(spoilt) == [15.0]


def test_where_more_is_wrong_the_entry_is_told_without_its_name(log: Log) -> None:
    """Looking for the name reads what the question did not: a word that is no text was SQLite's error."""
    log.add([said(0, indoor_c=15.0), said(1, indoor_c=16.0)])
    log.connection.execute("UPDATE event SET line = CAST(x'ff' AS TEXT) WHERE id = 1")
    log.connection.execute("UPDATE entry SET flags = 'odd' WHERE event = 2")
    with pytest.raises(LogFileError) as refused:
        log.entries()
    assert "\n" in str(refused.value) and "nightload remove" not in str(refused.value)
