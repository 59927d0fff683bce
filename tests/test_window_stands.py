"""A window that stands open by the log: what goes on keeps it so, what is to be done takes it as shut."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import pytest
from small_cabin import AS_OF, cabin

from logbook.actions.desk import desk_for
from logbook.cli import main

__all__ = ["cabin"]

TAKEN = "The window is cracked by the log: where nothing is said of it, it is taken as shut from now on."


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The small cabin on its second evening, its window cracked a minute ago."""
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    assert run(cabin, "note", "2026-01-16 21:39 window cracked") == 0
    capsys.readouterr()
    return cabin


def assumed(log: Path, capsys: pytest.CaptureFixture[str], *words: str) -> list[str]:
    assert run(log, *words, "--as-of", AS_OF, "--json") == 0
    found: list[str] = json.loads(capsys.readouterr().out)["assumed"]
    return found


@pytest.mark.parametrize(
    "words", [("tonight",), ("woke",), ("arrive",), ("leave",), ("tonight", "--try", "load 2kg air 40%")]
)
def test_that_it_is_taken_as_shut_is_said(
    log: Path, words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    """Cracked all night it is some 5 °C colder at waking than what was promised for "no more wood"."""
    assert TAKEN in assumed(log, capsys, *words)
    assert run(log, *words, "--as-of", AS_OF) == 0
    assert TAKEN in " ".join(capsys.readouterr().out.split())


def test_it_is_not_said_of_a_plan_that_names_it_nor_once_it_is_shut(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert TAKEN not in assumed(log, capsys, "tonight", "--try", "no fire; window cracked")
    assert run(log, "note", "2026-01-16 21:40 window shut") == 0
    capsys.readouterr()
    assert TAKEN not in assumed(log, capsys, "tonight")


def test_if_nothing_more_is_done_it_stays_as_it_stands(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The app promised the night of a shut window under a head row that said "window cracked"."""
    with desk_for(str(log / "log.db"), at=datetime.fromisoformat(f"{AS_OF}+01:00")) as desk:
        cracked = desk.expect(lambda _: None)
        assert cracked.choice.window == "cracked"
        assert "window cracked" in cracked.short.casefold()
        assert "window cracked" in cracked.long
        assert run(log, "note", "2026-01-16 21:40 window shut") == 0
        shut = desk.expect(lambda _: None)
    assert "window" not in shut.short
    assert cracked.choice.indoor_at_wake_c.p50 < shut.choice.indoor_at_wake_c.p50 - 1.0
