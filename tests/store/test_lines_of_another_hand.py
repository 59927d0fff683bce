"""A file of events another program wrote, or an owner by hand: taken as it is, or refused and told why.

The digests are left out here, as another hand would: so each value is held to what the log itself may hold.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from log_lines import START, said

from logbook.actions.reading_back import read_back
from logbook.errors import LogFileError
from logbook.records import Cabin, Description, NewEvent, Stove, Typed
from logbook.store import events_in, tables_out
from logbook.store.log import Log
from logbook.store.soundness import check
from logbook.store.tables_out import EVENTS_FILE, export_log

DESCRIBED = Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0))


@pytest.fixture
def theirs(opened: Callable[..., Log]) -> Log:
    """A log with one event of each kind."""
    log = opened("theirs.db", device="theirs")
    typed = (Typed("indoor_c", "15", "C"),)
    (first,) = log.add([NewEvent(entry=said(0, indoor_c=15.0).entry, line="15", typed=typed)])
    log.edit(first.uuid, said(0, indoor_c=16.0))
    log.add_description(DESCRIBED, START)
    log.set_setting("air_lever_reads", "open")
    return log


@pytest.fixture
def lines(theirs: Log, tmp_path: Path) -> list[dict[str, Any]]:
    """Its lines, without digests; the first is the head."""
    export_log(theirs, tmp_path / "out", zone="UTC")
    text = (tmp_path / "out" / EVENTS_FILE).read_text(encoding="utf-8")
    found = [json.loads(line) for line in text.splitlines()]
    for line in found:
        line.pop("digest", None)
    return found


def file_of(lines: list[dict[str, Any]], folder: Path) -> Path:
    path = folder / "events.jsonl"
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    return path


def test_lines_without_digests_make_the_same_log(
    theirs: Log, lines: list[dict[str, Any]], opened: Callable[..., Log], tmp_path: Path
) -> None:
    mine = opened("mine.db")
    assert read_back(mine, file_of(lines, tmp_path)).added == 4
    assert mine.events() == theirs.events()
    assert check(mine.path).sound


ODD = [
    ("record", ("counter",), "7", "'counter' is '7'"),
    ("record", ("uuid",), None, "'uuid' is None"),
    ("record", ("entry",), [], r"an entry is \[\]"),
    ("record", ("typed",), {}, r"a list is \{\}"),
    ("record", ("entry", "flags"), "odd", "a list is 'odd'"),
    ("record", ("entry", "kindling"), 1, "'kindling' is 1"),
    ("record", ("entry", "note"), 5, "'note' is 5"),
    ("record", ("entry", "indoor_c"), True, "'indoor_c' is True"),
    ("record", ("entry", "indoor_c"), "15", "'indoor_c' is '15'"),
    ("record", ("entry", "indoor_c"), float("nan"), "not a number to keep"),
    ("record", ("entry", "indoor_c"), 10**400, "not a number to keep"),
    ("record", ("entry", "window"), "ajar", "what can't be read"),
    ("record", ("typed", 0, "unit"), 3, "a value as typed"),
    ("record", ("typed", 0, "position"), "0", "a value as typed"),
    ("describe", ("description", "toml"), 5, "a description is"),
    ("describe", ("description", "toml"), "cabin =", r"line 4: .* setup --example\.\n"),
    ("describe", ("description", "valid_from"), "2026-01-16", "not a time in UTC"),
    ("setting", ("setting", "value"), 3, "a setting is"),
    ("setting", ("setting",), "open", "a setting is 'open'"),
]


@pytest.mark.parametrize("odd", ODD, ids=lambda odd: f"{odd[1][-1]} {str(odd[2])[:9]}")
def test_a_value_no_log_holds_is_named_and_nothing_comes_in(
    odd: tuple[str, tuple[str | int, ...], object, str],
    lines: list[dict[str, Any]],
    log: Log,
    tmp_path: Path,
) -> None:
    act, place, value, why = odd
    inner: Any = next(line for line in lines if line.get("act") == act)
    for name in place[:-1]:
        inner = inner[name]
    inner[place[-1]] = value
    with pytest.raises(LogFileError, match=why) as refused:
        read_back(log, file_of(lines, tmp_path))
    assert "Nothing was brought in" in str(refused.value)
    assert log.events() == ()


def test_an_edit_of_an_event_that_is_not_in_the_file_brings_nothing_in(
    lines: list[dict[str, Any]], log: Log, tmp_path: Path
) -> None:
    head, rest = lines[0], [line for line in lines[1:] if line["act"] != "record"]
    with pytest.raises(LogFileError, match="not in the file"):
        read_back(log, file_of([{**head, "events": len(rest)}, *rest], tmp_path))
    assert log.events() == ()


def test_how_far_it_is_is_told_out_and_in(
    theirs: Log, log: Log, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in (tables_out, events_in):
        monkeypatch.setattr(module, "TOLD_EVERY", 2)
    out: list[tuple[int, int]] = []
    export_log(theirs, tmp_path / "out", zone="UTC", told=lambda done, of: out.append((done, of)))
    back: list[tuple[int, int]] = []
    read_back(log, tmp_path / "out", told=lambda done, of: back.append((done, of)))
    assert out == [(2, 4)]
    assert back == [(2, 4), (4, 4)]


def test_what_an_older_window_wrote_meanwhile_goes_out_without_a_digest(
    theirs: Log, log: Log, tmp_path: Path
) -> None:
    theirs.connection.execute("UPDATE event SET digest = NULL WHERE act = 'record'")
    export_log(theirs, tmp_path / "out", zone="UTC")
    assert read_back(log, tmp_path / "out").added == 4
    assert log.events() == theirs.events()
