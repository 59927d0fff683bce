"""A nest seen in the cap is said wherever a fire is advised: once only the lists knew of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_cabin import AS_OF, cabin

from logbook.cli import main

__all__ = ["cabin"]


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The small cabin, with a nest seen a week before its evening."""
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    assert run(cabin, "note", "2026-01-09 12:00 nest in cap") == 0
    capsys.readouterr()
    return cabin


def cautions(log: Path, command: str, capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert run(log, command, "--as-of", AS_OF, "--json") == 0
    found: list[str] = json.loads(capsys.readouterr().out)["cautions"]
    return found


@pytest.mark.parametrize("command", ["tonight", "woke", "arrive", "leave"])
def test_no_fire_is_said_and_why(log: Path, command: str, capsys: pytest.CaptureFixture[str]) -> None:
    (said,) = [text for text in cautions(log, command, capsys) if "nest" in text]
    assert "no fire" in said
    assert "carbon monoxide" in said
    assert "Fri 9 Jan" in said


@pytest.mark.parametrize("command", ["tonight", "woke"])
def test_no_choice_has_wood_in_it(log: Path, command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A caution above a load is not enough: the load is not offered."""
    assert run(log, command, "--as-of", AS_OF, "--json") == 0
    choices = json.loads(capsys.readouterr().out)["choices"]
    assert choices
    assert not [choice for choice in choices if choice["loads"]]
    assert run(log, "note", "2026-01-10 09:00 nest gone") == 0
    capsys.readouterr()
    assert run(log, command, "--as-of", AS_OF, "--json") == 0
    assert [choice for choice in json.loads(capsys.readouterr().out)["choices"] if choice["loads"]]


def test_arriving_to_a_nest_lights_nothing_and_says_why(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(log, "arrive", "--as-of", AS_OF, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert found["no_wood"] == "nest"
    assert found["loads"] == []
    assert run(log, "arrive", "--as-of", AS_OF) == 0
    assert "No fire while it is in there" in " ".join(capsys.readouterr().out.split())


def test_an_alarm_not_tested_stays_the_first_line(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The contract: an untested or expired alarm is the first line on advice, JSON too."""
    first, second, *_ = cautions(log, "tonight", capsys)
    assert first.startswith("Alarms not tested")
    assert "nest" in second


@pytest.mark.parametrize("line", ["2026-01-10 09:00 nest gone", "2026-01-10 09:00 swept flue 1 mm"])
def test_it_ends_with_what_clears_it(log: Path, line: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(log, "note", line) == 0
    capsys.readouterr()
    assert not [text for text in cautions(log, "tonight", capsys) if "nest" in text]


def test_a_nest_seen_later_does_not_exist_yet(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(log, "tonight", "--as-of", "2026-01-09T11:00", "--json") == 0
    assert "nest" not in capsys.readouterr().out
