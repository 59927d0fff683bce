"""What goes out as open files is everything, and comes in again as it was."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from io import StringIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from log_lines import START, said

from logbook.description import parse_description
from logbook.errors import LogFileError
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
    Stove,
    Typed,
    Wind,
    Window,
)
from logbook.setting import Setting
from logbook.store.columns import KNOWN
from logbook.store.importing import import_table
from logbook.store.log import Log
from logbook.store.tables_in import read_table
from logbook.store.tables_out import OUT_COLUMNS, export_log, table_of

NOW = datetime(2030, 1, 1, tzinfo=UTC)
SPRING = datetime(2026, 10, 24, 22, 0, tzinfo=UTC)


def number(low: float, high: float) -> st.SearchStrategy[float | None]:
    return st.none() | st.floats(low, high)


TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n\t"), max_size=20).map(
    str.strip
)
WORDS = (
    st.none()
    | TEXT.filter(bool)
    | st.sampled_from(["-", "?", "kindling", "no kindling left", '"', "a,b;c", "#1", "=1+1", "'=1", "''-a"])
)


@st.composite
def possible_entries(draw: st.DrawFn) -> Entry:
    """An entry that an import could have made: within limits, the moisture with its basis."""
    at = START + timedelta(microseconds=draw(st.integers(0, 3 * 365 * 86400 * 10**6)))
    low, high = sorted((draw(st.floats(-40, 60)), draw(st.floats(-40, 60))))
    moisture = draw(number(0, 67))
    return Entry(
        at=at,
        indoor_c=draw(number(-40, 60)),
        place=draw(TEXT),
        outdoor_c=draw(number(-60, 60)),
        low_c=draw(st.sampled_from([None, low])),
        high_c=draw(st.sampled_from([None, high])),
        reset_at=draw(st.sampled_from([None, at - timedelta(hours=8)])),
        load_kg=draw(number(0.01, 100)),
        pieces=draw(WORDS),
        species=draw(WORDS),
        moisture_pct=moisture,
        moisture_basis=None if moisture is None else draw(st.sampled_from(Basis)),
        kindling=draw(st.booleans()),
        air_open_pct=draw(number(0, 100)),
        flue_damper_open_pct=draw(number(0, 100)),
        window=draw(st.none() | st.sampled_from(Window)),
        coals=draw(st.none() | st.sampled_from(Coals)),
        other_heat_w=draw(number(0, 5000)),
        rh_pct=draw(number(0, 100)),
        wind=draw(st.none() | st.sampled_from(Wind)),
        forecast_low_c=draw(number(-60, 60)),
        mark=draw(st.sampled_from(Mark)),  # so that a row never holds a time alone
        fire_out=draw(st.booleans()),
        alarms_tested=draw(st.booleans()),
        change=draw(WORDS),
        note=draw(WORDS),
        flags=draw(st.frozensets(st.sampled_from(Flag))),
    )


@settings(max_examples=60, deadline=None)
@given(
    entries=st.lists(possible_entries(), min_size=1, max_size=4),
    zone=st.sampled_from(["Europe/Oslo", "Etc/GMT+8"]),
)
def test_a_table_reads_back_to_the_same_entries(entries: list[Entry], zone: str) -> None:
    # The open format loses nothing: an owner can leave with everything, and come back.
    table = read_table(table_of(entries, zone=zone).encode(), setting=Setting(zone="Asia/Tokyo"), now=NOW)
    assert table.refused == ()
    assert [new.entry for _, new in table.new] == entries


def test_both_hours_of_the_night_clocks_go_back_stay_apart() -> None:
    entries = [Entry(at=SPRING + timedelta(hours=hour), indoor_c=17.0) for hour in range(5)]
    text = table_of(entries, zone="Europe/Oslo")
    assert "2026-10-25T02:00+02:00" in text
    assert "2026-10-25T02:00+01:00" in text
    table = read_table(text.encode(), setting=Setting(zone="Europe/Oslo"), now=NOW)
    assert [new.entry for _, new in table.new] == entries


def test_the_air_is_written_both_ways() -> None:
    ((_, row),) = enumerate(
        csv.DictReader(StringIO(table_of([Entry(at=START, air_open_pct=25.0)], zone="UTC")))
    )
    assert (row["air_open_pct"], row["air_closed_pct"]) == ("25", "75")


def test_every_column_out_is_a_column_in() -> None:
    assert set(OUT_COLUMNS) <= set(KNOWN)


def test_an_exported_log_makes_the_same_log_again(opened: Callable[..., Log], tmp_path: Path) -> None:
    log, other = opened("one.db"), opened("other.db")
    described = Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0))
    log.add_description(described)
    logger = Entry(at=START + timedelta(hours=1), indoor_c=12.0, flags=frozenset({Flag.LOGGER}))
    log.add([said(2, load_kg=4.0), said(1, air_open_pct=25.0)])
    log.add([NewEvent(entry=logger, how=How.LOGGER)])
    files = {path.name: path for path in export_log(log, tmp_path / "out", zone="Europe/Oslo")}
    about = {"events.jsonl", "DICTIONARY.md", "dictionary.csv", "events.schema.json"}
    assert set(files) == {"notebook.csv", "logger.csv", "history.csv", "description.toml", *about}
    for name in ("notebook.csv", "logger.csv"):
        import_table(other, files[name].read_bytes(), setting=Setting(zone="Europe/Oslo"), now=NOW)
    assert other.entries() == log.entries()
    assert other.current_entries()[-1].how is How.LOGGER
    assert parse_description(files["description.toml"].read_text(), machine_zone="UTC") == described


def test_the_history_holds_every_event_with_what_it_replaced(log: Log, tmp_path: Path) -> None:
    first, *_ = log.add(
        [NewEvent(entry=Entry(at=START, indoor_c=16.1), typed=(Typed("indoor_c", "61", "°F"),))]
    )
    log.edit(first.uuid, said(0, indoor_c=17.0))
    log.undo()
    export_log(log, tmp_path, zone="UTC")
    with (tmp_path / "history.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["act"] for row in rows] == ["record", "edit", "undo"]
    assert rows[1]["supersedes"] == first.uuid
    assert rows[0]["typed"] == "indoor_c=61 °F"
    assert [row["indoor_c"] for row in rows] == ["16.1", "17", ""]


def test_a_folder_that_cannot_be_written_is_said(log: Log, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(LogFileError, match="could not be written"):
        export_log(log, tmp_path / "file" / "out", zone="UTC")
