"""Hostile text wherever a person can type: shown harmless by every command and page, kept as typed."""

from __future__ import annotations

import contextlib
import csv
import json
import os
import subprocess
import sys
import unicodedata
from datetime import UTC, datetime
from pathlib import Path

import pytest
from rich.cells import cell_len

from logbook.actions import files
from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.cli import main
from logbook.records import Entry, NewEvent
from logbook.shown import BREAKING, CONTROLS, TURNING, shown
from logbook.store.log import open_log
from logbook.ui.cells import Span, fitted, text_of, wrapped
from logbook.ui.looks import LAMPLIGHT
from logbook.ui.paint import strip_of

NOW = datetime(2026, 1, 16, 20, 0, tzinfo=UTC)
STEERING = CONTROLS | TURNING | BREAKING

HOSTILE = {
    "csi": "\x1b[2J\x1b[1A",
    "link": "\x1b]8;;http://x\x1b\\click\x1b]8;;\x1b\\",
    "clipboard": "\x1b]52;c;ZXZpbA==\x07",
    "title": "\x1b]0;owned\x07",
    "c1": "\x9b31m\x9d0;t\x9c",
    "override": "\u202etxt.exe\u202c",
    "isolate": "\u2067abc\u2069",
    "zero": "a\u200bb\ufeffc",
    "heap": "e" + "\u0301" * 400,
    "lines": "one\u2028two\u2029three",
    "nul": "a\x00b",
    "bell": "a\x07\x08\x7fb",
    "return": "fine\rEVIL",
    "rows": "one\ntwo\x0bthree\x0cfour",
    "row": "x\n2026-01-15T20:00,99",
    "row by return": "x\r2026-01-15T20:00,99\ry",
    "quotes": '"a""b","c\n"',
    "formula": '=HYPERLINK("http://x","y")',
    "plus": "+1+cmd|' /C calc'!A0",
    "minus": "-2+3",
    "at": "@SUM(1)",
    "tab": "\t=1",
    "markup": "[red]x[/red][@click=app.quit]q[/] {0} %s",
    "html": "<script>alert(1)</script><img src=x onerror=y>&amp;",
    "markdown": "**b** `c` [l](javascript:x) | a | b |",
    "apostrophe": "'=1",
    "emoji": "\U0001f469\u200d\U0001f467 ﷽",
}

FIELDS = ("note", "place", "species", "pieces", "change")

TOML = """
[site]
name = {name}
timezone = "Etc/GMT-1"
[cabin]
floor_m2 = 24
volume_m3 = 60
[stove]
max_load_kg = 8
air_lever_reads = "open"
clean_floor_open_pct = 25
[wood]
pieces_kg = {{S = 0.8, M = 1.6}}
"""

COMMANDS = [
    "events",
    "events --json",
    "due",
    "due --all --json",
    "due --record",
    "wood --quick",
    "wood --quick --json",
    "bring --json",
    "stays",
    "stays --json",
    "damp",
    "list packing",
    "list leaving --json",
    "list leaving --paper",
    "weather",
    "sheet",
    "sheet guest",
    "report season --text",
    "check",
]

MATTERS = [
    "ash tipped {}",
    "swept flue 2 mm by {}",
    "stack {} 1 stere at {}",
    "bring {}",
    "guest book: {}",
    "mould {}",
    "done leaving: {}",
    "cost {} 20",
]


def entry_of(field: str, text: str) -> Entry:
    return Entry(at=NOW, indoor_c=18.0, **{field: text})


@pytest.fixture(scope="module")
def hostile(tmp_path_factory) -> Path:
    """A log in which every text of every kind stands in every field; the name of the cabin too."""
    folder = tmp_path_factory.mktemp("hostile")
    path = folder / "log.db"
    description = folder / "cabin.toml"
    name = json.dumps("Hut \x1b[31m \u202e <b> [red]")
    description.write_text(TOML.format(name=name.replace("\\u001b", "\\u001B")), encoding="utf-8")
    main(["--log", str(path), "setup", str(description)])
    with open_log(path, now=lambda: NOW) as log:
        for text in HOSTILE.values():
            log.add([NewEvent(entry=entry_of(field, text), line=text) for field in FIELDS])
    for text in HOSTILE.values():
        for line in MATTERS:
            main(["--log", str(path), "note", "--yes", line.replace("{}", text)])
    return path


def harmless(text: str, *, kept: str = "\n") -> None:
    found = STEERING.difference(kept) & set(text)
    assert not found, sorted(map(hex, map(ord, found)))
    run = 0
    for sign in text:
        run = run + 1 if unicodedata.combining(sign) else 0
        assert run <= 8, "a heap of marks"


@pytest.mark.parametrize("words", COMMANDS)
def test_no_command_sends_what_steers_a_terminal(hostile, capsys, words):
    main(["--log", str(hostile), *words.split()])
    told = capsys.readouterr()
    if words.endswith("--json"):
        assert not STEERING & set(told.out.rstrip("\n").replace("\n", ""))
        json.loads(told.out)
    else:
        harmless(told.out)
    harmless(told.err)


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_arguments_that_are_refused_are_harmless_too(hostile, capsys, text):
    for words in (["note", text, "--nonsense" + text], [text], ["stays", "--as-of", text], ["list", text]):
        with contextlib.suppress(SystemExit):
            main(["--log", str(hostile), *words])
        told = capsys.readouterr()
        harmless(told.out + told.err)


def test_events_json_gives_back_what_was_typed(hostile, capsys):
    main(["--log", str(hostile), "events", "--json"])
    told = json.loads(capsys.readouterr().out)
    raw = json.dumps(told, ensure_ascii=False)
    kept = {text for text in HOSTILE.values() if json.dumps(text, ensure_ascii=False)[1:-1] in raw}
    assert kept == set(HOSTILE.values())


@pytest.mark.parametrize("field", FIELDS)
def test_out_and_in_again_every_text_is_the_same(tmp_path, field):
    """Leading blanks and ends of rows at the edge of a cell are a spreadsheet's to lose; the rest is kept."""
    with open_log(tmp_path / "a.db", create=True, now=lambda: NOW) as log:
        for text in HOSTILE.values():
            log.add([NewEvent(entry=entry_of(field, text))])
        files.export(log, tmp_path / "out", now=NOW)
        wanted = sorted(getattr(entry, field).strip() for entry in log.entries())
    cells = list(csv.DictReader((tmp_path / "out" / "notebook.csv").open(encoding="utf-8", newline="")))
    for cell in cells:
        assert not cell[field] or cell[field][0] not in "=+-@\t\r", cell[field]
    with open_log(tmp_path / "b.db", create=True, now=lambda: NOW) as log:
        report, _ = files.bring_in(log, tmp_path / "out" / "notebook.csv", now=NOW)
        got = sorted(getattr(entry, field).strip() for entry in log.entries())
    assert not report.refused, report.refused[:3]
    assert got == wanted


# The app


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_a_row_of_the_app_keeps_its_width_whatever_is_in_it(text):
    for line in wrapped(f"18.0 °C, note {text}", width=40):
        row = fitted((Span(line),), width=40)
        harmless(text_of(row), kept="")
        assert "\n" not in text_of(row)
        assert sum(cell_len(span.text) for span in row) == 40
        harmless("".join(segment.text for segment in strip_of(row, LAMPLIGHT)), kept="")


def test_what_looks_like_markup_stands_as_it_was_typed():
    assert Span("[red]x[/red]").text == "[red]x[/red]"
    assert "".join(s.text for s in strip_of((Span(HOSTILE["markup"]),), LAMPLIGHT)) == HOSTILE["markup"]


def test_the_desk_of_the_app_has_it_as_typed_and_no_row_breaks(hostile):
    desk = AppDesk(Place(hostile), at=NOW)
    try:
        for line in desk.latest(200):
            for row in wrapped(line.sentence, width=70):
                harmless(row, kept="")
        assert "\x1b" not in Span(desk.head().place).text
    finally:
        desk.close()


# Pages for a browser


@pytest.mark.parametrize("words", ["sheet", "sheet upkeep", "report"])
def test_a_page_for_the_browser_escapes_it(hostile, tmp_path, capsys, words):
    page = tmp_path / "page.html"
    assert main(["--log", str(hostile), *words.split(), "--html", str(page)]) == 0
    text = page.read_text(encoding="utf-8")
    harmless(text)
    assert "<script>alert" not in text and "<img src=x" not in text and "<b>" not in text


# The real command: bytes that are no UTF-8, a line of a megabyte


def run(path: Path, *words: bytes) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "logbook", "--log", str(path), *words],
        capture_output=True,
        check=False,
        timeout=60,
        env={**os.environ, "PYTHONUTF8": "1"},
    )


def test_bytes_that_are_no_utf_8_are_kept_readable(tmp_path):
    path = tmp_path / "log.db"
    done = run(path, b"note", b"note caf\xe9 \x9b31m")
    assert done.returncode == 0, done.stderr
    assert b"\x9b" not in done.stdout.replace("\u25db".encode(), b"")
    listed = json.loads(run(path, b"events", b"--json").stdout)
    assert "café" in json.dumps(listed, ensure_ascii=False)


def test_a_line_of_a_megabyte_is_refused_in_a_sentence(hostile, capsys):
    before = len(json.dumps("x"))
    assert main(["--log", str(hostile), "note", "x" * 1_000_000]) == 2
    told = capsys.readouterr().err
    assert before and "1000000" in told.replace(",", "") and len(told) < 400


def test_letters_of_every_script_stay_as_they_are():
    kept = "−12 °C Hütte хижина 小屋 מקלט \U0001f469\u200d\U0001f467 e\u0301 กี่ ตู้"
    assert shown(kept) == kept
    assert Span(kept).text == kept
