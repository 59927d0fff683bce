"""Values seldom true: asked about with their number, kept on a yes, not learned from; on every way in."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from small_cabin import DESCRIPTION, ROWS

from logbook.actions import files, lines, reckoning
from logbook.actions.left_out import believed_tonight, learned_from
from logbook.actions.paper_copy import read_sheet
from logbook.actions.reckoning import known
from logbook.actions.setting_now import RECENT_LINES
from logbook.cli import main
from logbook.description import parse_description
from logbook.entry import answered, read_line
from logbook.errors import EntryError
from logbook.heat.fit import learn
from logbook.records import Entry, Flag, NewEvent
from logbook.results.copying import Sheet
from logbook.store.log import open_log

NOW = datetime(2026, 1, 16, 20, 40, tzinfo=UTC)

VALUES = [  # line, answer, column and cell, the number asked about
    ("in 45c", "enter", "indoor_c", "45", "45 °C"),
    ("65", "c", "indoor_c", "65", "65 °C"),
    ("85c", "enter", "indoor_c", "85.0", "85 °C"),
    ("in 113F", "enter", "indoor_f", "113", "°C"),
    ("low 50", "enter", "low_c", "50", "50 °C"),
    ("high 85", "enter", "high_c", "85", "85 °C"),
    ("out 50", "enter", "outdoor_c", "50", "50 °C"),
    ("out -55", "enter", "outdoor_c", "-55", "55 °C"),
    ("22/-11", "k", "outdoor_c,indoor_c", "22,-11", "−11 °C"),
    ("40 kg", "k", "load_kg", "40", "40 kg"),
    ("30M", "enter", "load_kg", "48", "48"),
    ("2 kg moisture 2%", "enter", "load_kg,moisture_pct", "2,2", "2 %"),
]
table = pytest.mark.parametrize("row", VALUES, ids=lambda row: row[0])


@pytest.fixture
def log(tmp_path: Path):
    with open_log(tmp_path / "log.db", create=True, now=lambda: NOW) as opened:
        opened.add_description(parse_description(DESCRIPTION, machine_zone="UTC"))
        opened.set_setting("air_lever_reads", "open")
        rows = tmp_path / "rows.csv"
        rows.write_text(ROWS, encoding="utf-8")
        files.bring_in(opened, rows, now=NOW)
        yield opened


def newest(log) -> Entry:
    return log.current_entries()[-1].entry


@table
def test_on_the_line_it_is_asked_with_its_number_and_kept_on_a_yes(log, row):
    line, key, _, _, number = row
    read = read_line(line, now=NOW, setting=lines.setting_now(log))
    assert number in read.questions[0].text, read.questions
    for _ in range(4):
        read = answered(read, key if read.questions and key in _keys(read) else "enter")
    assert read.questions == ()
    assert Flag.ODD_VALUE in read.entry.flags


def _keys(read) -> set[str]:
    return {answer.key for answer in read.questions[0].answers}


@table
def test_the_command_wants_yes(log, row):
    line, _, _, _, number = row
    before = len(log.current_entries())
    with pytest.raises(EntryError) as refused:
        lines.note(log, line, now=NOW)
    assert number in str(refused.value) and "--yes" in str(refused.value)
    assert len(log.current_entries()) == before
    assert lines.note(log, line, now=NOW, yes=True).warnings


@table
def test_so_does_a_change(log, row):
    line = row[0]
    kept = lines.note(log, "20", now=NOW).event_ids[0]
    with pytest.raises(EntryError):
        lines.edit(log, kept, line, now=NOW)
    assert newest(log).indoor_c == 20.0
    assert lines.edit(log, kept, line, now=NOW, yes=True).warnings


@table
def test_a_table_keeps_it_flagged_and_says_which_row(log, tmp_path, row):
    _, _, columns, cells, _ = row
    rows = tmp_path / "odd.csv"
    rows.write_text(f"at,{columns}\n2026-01-16T21:35,{cells}\n", encoding="utf-8")
    report, done = files.bring_in(log, rows, now=NOW)
    assert report.added == 1 and report.flagged
    assert any("line 2" in said for said in done.said)
    assert Flag.ODD_VALUE in newest(log).flags


@pytest.mark.parametrize(
    ("cells", "number"), [(("", "85c", "", "", ""), "85 °C"), (("", "", "40 kg", "", ""), "40 kg")]
)
def test_a_sheet_of_paper_asks_too(log, cells, number):
    sheet = Sheet(date="16 jan", rows=(("2135", *cells),))
    (row,) = read_sheet(sheet, now=NOW, setting=lines.setting_now(log)).rows
    assert row.asked and number in row.sentence, row


def test_a_loggers_fault_values(log, tmp_path):
    """85.0 at power-on is kept and flagged; −127 for no answer can't be, and is refused by its line."""
    start = datetime(2026, 1, 12, tzinfo=UTC)
    values = [8.0 + n / 100.0 for n in range(40)]
    values[10], values[20] = 85.0, -127.0
    rows = [f"{(start + timedelta(minutes=10 * n)).isoformat()},{value}" for n, value in enumerate(values)]
    path = tmp_path / "logger.csv"
    path.write_text("\n".join(["at,indoor_c", *rows]), encoding="utf-8")
    report, _ = files.bring_in(log, path, now=NOW)
    assert (report.added, report.by_logger) == (39, 39)
    assert [(r.line, "-127" in r.text) for r in report.refused] == [(22, True)]
    assert [r.line for r in report.flagged] == [12]
    (odd,) = [e for e in log.entries() if e.indoor_c == 85.0]
    assert odd.flags == {Flag.LOGGER, Flag.ODD_VALUE}
    assert odd not in log.entries(logger=False), "still no person's"


@pytest.mark.parametrize(
    "line", ["-11/18", "–11/18,5", "−11/18.5", "5 kg", "12 kg", "moisture 18%", "out 44"]
)
def test_what_happens_is_not_called_unlikely(log, line):
    read = read_line(line, now=NOW, setting=lines.setting_now(log))
    assert read.problem is None and Flag.ODD_VALUE not in read.entry.flags


def test_a_description_with_wood_too_dry_says_so(tmp_path):
    text = DESCRIPTION.replace("moisture_pct = 18", "moisture_pct = 2")
    with open_log(tmp_path / "dry.db", create=True, now=lambda: NOW) as log:
        done = files.setup(log, parse_description(text, machine_zone="UTC"), text, since=None, now=NOW)
    assert any("moisture_pct is 2 %" in said for said in done.said)


# Weighed down

ODD = [
    Entry(at=NOW, indoor_c=45.0, flags=frozenset({Flag.ODD_VALUE})),
    Entry(at=NOW, indoor_c=85.0, flags=frozenset({Flag.ODD_VALUE})),
    Entry(at=NOW, indoor_c=-11.0, outdoor_c=22.0, flags=frozenset({Flag.ODD_VALUE})),
    Entry(at=NOW, outdoor_c=50.0, flags=frozenset({Flag.ODD_VALUE})),
    Entry(at=NOW, low_c=50.0, flags=frozenset({Flag.ODD_VALUE})),
]


def heat_loss(log, *more: Entry) -> float:
    told = known(log, as_of=NOW)
    entries = learned_from((*told.entries, *more), ())
    found = learn(
        descriptions=told.descriptions, entries=entries, as_of=NOW, rng=np.random.default_rng(8), draws=200
    )
    return float(np.median(found.derived.heat_loss_w_per_k))


@pytest.mark.parametrize("odd", ODD, ids=lambda e: f"in {e.indoor_c} out {e.outdoor_c} low {e.low_c}")
def test_one_such_value_moves_the_heat_loss_by_less_than_five_in_a_hundred(log, odd):
    plain = heat_loss(log)
    at = datetime(2026, 1, 16, 18, 45, tzinfo=UTC)
    moved = heat_loss(log, Entry(**{**_fields(odd), "at": at}))
    assert moved == pytest.approx(plain, rel=0.05)


def _fields(entry: Entry) -> dict:
    return {name: getattr(entry, name) for name in Entry.__slots__}


def test_a_hot_room_is_believed_tonight_and_a_cold_one_that_was_never_read_is_not():
    """More fire must not go into a room that is hot; a swapped pair must not call for one."""
    hot, cold = ODD[0], ODD[2]
    assert believed_tonight(hot) == hot
    assert believed_tonight(cold).indoor_c is None and believed_tonight(cold).outdoor_c is None


@pytest.mark.parametrize(
    ("hour", "odd"),
    [
        ("2026-01-09T19:30", {"indoor_c": 85.0}),
        ("2026-01-09T19:30", {"indoor_c": -11.0, "outdoor_c": 22.0}),
        ("2026-01-16T18:30", {"indoor_c": -11.0, "outdoor_c": 22.0}),
        ("2026-01-16T18:30", {"outdoor_c": 50.0}),
        ("2026-01-16T18:30", {"indoor_c": 85.0}),
    ],
)
def test_the_waking_forecast_moves_by_less_than_half_a_kelvin(log, capsys, monkeypatch, hour, odd):
    monkeypatch.setenv("XDG_CACHE_HOME", str(log.path.parent / "cache"))
    monkeypatch.setattr(reckoning, "seed_of", lambda _: 8)  # the same dice, or they would be measured
    path = str(log.path)

    def waking() -> float:
        assert main(["--log", path, "tonight", "--as-of", "2026-01-16T21:40", "--json"]) == 0
        choices = json.loads(capsys.readouterr().out)["choices"]
        return float(next(c for c in choices if not c["loads"])["indoor_at_wake_c"]["p50"])

    plain = waking()
    at = datetime.fromisoformat(hour).replace(tzinfo=UTC)
    log.add([NewEvent(entry=Entry(at=at, flags=frozenset({Flag.ODD_VALUE}), **odd))])
    assert waking() == pytest.approx(plain, abs=0.5)


def test_a_load_is_held_against_the_largest_of_late_and_the_words_say_so(log):
    """Only the newest lines are looked at: "largest load" was wrong after an older one of 9.6 kg."""
    log.add([NewEvent(entry=Entry(at=NOW - timedelta(days=400), load_kg=9.6))])
    for n in range(RECENT_LINES):
        log.add([NewEvent(entry=Entry(at=NOW - timedelta(days=3, minutes=n), load_kg=4.0))])
    with pytest.raises(EntryError, match=r"22 kg is 6 times your largest of late\."):
        lines.note(log, "load 22 kg", now=NOW)


def test_yes_keeps_a_load_as_it_was_typed_and_the_refusal_says_so(log):
    """It kept a tenth: 2 kg for "load 20kg" --yes, and said so after."""
    lines.note(log, "load 4kg", now=NOW)
    with pytest.raises(EntryError) as refused:
        lines.note(log, "load 20kg", now=NOW)
    said = str(refused.value)
    assert "20 kg is 5 times your largest of late." in said
    assert said.endswith("add --yes to take it as: 20 kg.")
    kept = lines.note(log, "load 20kg", now=NOW, yes=True)
    assert "20.0 kg" in kept.sentence
    (warning,) = kept.warnings
    assert warning.startswith("20 kg is 5 times") and warning.endswith("Kept: 20 kg.")
    assert newest(log).load_kg == 20.0 and Flag.ODD_VALUE in newest(log).flags
    lines.edit(log, kept.event_ids[0], "load 200kg", now=NOW, yes=True)
    assert newest(log).load_kg == 200.0


def test_yes_to_more_than_can_be_kept_is_refused(log):
    """Nothing was kept, and nothing said; found by the fuzz."""
    lines.note(log, "load 40kg", now=NOW, yes=True)
    before = log.events()
    with pytest.raises(EntryError, match="222 kg can't be kept: it goes from 0 to 200 kg"):
        lines.note(log, "load 222kg", now=NOW, yes=True)
    assert log.events() == before
