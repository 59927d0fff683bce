"""Signs that steer a terminal, typed into a log, come out as text: no note hides or rewrites a caution."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from logbook.cli import main
from logbook.cli.flag_values import readable
from logbook.demo import write_demo
from logbook.shown import CONTROLS, TURNING, shown, shown_json

UP_AND_ERASE = "\x1b[1A\x1b[2K"
"""ECMA-48: cursor up one row, erase that row."""

HOSTILE = [
    UP_AND_ERASE,
    "\x1b]0;title\x07",
    "a\x00b",
    "\x9b2J",
    "over\rwrite",
    "\u202edlo\u202c",
    "\u2066in\u2069",
]

LINES = [
    "note {}",
    "ash tipped {}",
    "swept flue 2 mm by {}",
    "stack birch 1 stere at {}",
    "bring {}",
    "done leaving: {}",
    "guest book: {}",
    "mould {}",
]

ANSWERS = [
    "events",
    "due --record",
    "due --all",
    "wood --quick",
    "bring",
    "stays",
    "damp",
    "list packing",
    "list leaving",
    "sheet upkeep",
]


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("hostile") / "log.db"
    write_demo(path)
    for text in HOSTILE:
        for line in LINES:
            main(["--log", str(path), "note", "--yes", line.format(text)])
    return str(path)


@pytest.mark.parametrize("words", ANSWERS)
def test_no_answer_sends_what_steers_a_terminal(
    log: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--log", log, *words.split()]) == 0
    told = capsys.readouterr()
    assert not (CONTROLS | TURNING) & set(told.out + told.err)


def test_neither_does_the_sentence_that_says_a_line_back(
    log: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--log", log, "note", f"note mouse {UP_AND_ERASE}"]) == 0
    told = capsys.readouterr().out
    assert "mouse" in told
    assert "\x1b" not in told


def test_nor_does_a_refusal(log: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--log", log, "stays", "--as-of", UP_AND_ERASE]) == 2
    assert "\x1b" not in capsys.readouterr().err


def test_a_page_for_the_browser_holds_none_either(log: str, tmp_path: Path) -> None:
    page = tmp_path / "sheet.html"
    assert main(["--log", log, "sheet", "upkeep", "--html", str(page)]) == 0
    assert not (CONTROLS | TURNING) & set(page.read_text(encoding="utf-8"))


@pytest.mark.parametrize("text", HOSTILE)
def test_in_json_the_value_stays_as_typed(text: str) -> None:
    """Escaped by RFC 8259, section 7 (from memory): any program reads back what was typed."""
    raw = shown_json(json.dumps({"note": text}, ensure_ascii=False))
    assert not (CONTROLS | TURNING) & set(raw)
    assert json.loads(raw) == {"note": text}


def test_letters_of_every_script_stay() -> None:
    kept = "−12 °C Hütte хижина 小屋 מקלט 👩\u200d👧 e\u0301\n"
    assert shown(kept) == kept


@pytest.mark.parametrize("half", ["\ud800", "\udfff", "a\udd00b\udce9"])
def test_half_a_sign_is_no_reason_to_fall_over(half: str) -> None:
    """Windows hands over lone surrogates that stand for no byte; Python's own escapes are U+DC80–U+DCFF."""
    readable(half).encode("utf-8")
