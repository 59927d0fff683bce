"""Asked minutes after wood went in: its air stays wide until it burns well, and the night has a fire."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_cabin import cabin

from logbook.cli import main

__all__ = ["cabin"]

WENT_IN = "Wood went in at 22:20: turn its air down only when it burns well, about {} min after that."


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The small cabin, with its night's load laid at twenty past ten."""
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    assert run(cabin, "note", "2026-01-16 22:20 load 2.8kg air 100%") == 0
    capsys.readouterr()
    return cabin


def answered(
    log: Path, at: str, capsys: pytest.CaptureFixture[str], command: str = "tonight"
) -> dict[str, object]:
    assert run(log, *command.split(), "--as-of", f"2026-01-16T{at}", "--json") == 0
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


def said(log: Path, at: str, capsys: pytest.CaptureFixture[str], command: str = "tonight") -> str:
    return str(answered(log, at, capsys, command)["cautions"])


@pytest.mark.parametrize("command", ["tonight", "woke"])
def test_the_air_of_a_fresh_load_is_not_to_be_turned_down_yet(
    log: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The first choice was "No more wood, air 25 % open" in the minute after the load, without a word."""
    assert WENT_IN.format(12) in said(log, "22:25", capsys, command)


def test_it_is_said_for_as_long_as_the_stove_wants_and_no_longer(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert WENT_IN.format(12) in said(log, "22:31", capsys)
    assert "went in" not in said(log, "22:32", capsys)


@pytest.mark.parametrize("line", ["22:27 air 30%", "22:27 fire out"])
def test_it_is_over_once_the_air_was_set_or_the_fire_is_out(
    log: Path, line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(log, "note", f"2026-01-16 {line}") == 0
    capsys.readouterr()
    assert "went in" not in said(log, "22:28", capsys)


def test_one_that_was_lit_takes_longer(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(log, "note", "2026-01-16 22:20 load 1.6kg kindling") == 0
    capsys.readouterr()
    assert WENT_IN.format(22) in said(log, "22:40", capsys)


def test_no_more_wood_is_no_night_without_fire(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With the night's load just in it was told as "a night without fire", and as never tried."""
    choices = answered(log, "22:33", capsys)["choices"]
    assert isinstance(choices, list)
    told = [reason for c in choices if not c["loads"] for reason in c["reasons"]]
    assert told
    assert not [reason for reason in told if "without fire" in reason or "no wood near bed" in reason]


def test_a_fire_of_the_evening_is_no_night_without_fire_either(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With a fire burning an hour and more before bed "no more wood" was told as "a night without fire"."""
    assert run(log, "undo") == 0
    assert run(log, "note", "2026-01-16 21:20 load 2.8kg air 100%") == 0
    capsys.readouterr()
    choices = answered(log, "21:25", capsys)["choices"]
    assert isinstance(choices, list)
    told = " ".join(reason for c in choices if not c["loads"] for reason in c["reasons"])
    assert "a night with no wood near bed" in told
    assert "without fire" not in told


def test_a_later_load_says_that_the_air_stays_wide_until_then(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its words said "air 25 % open" of hours reckoned with the air all open; its peak was of those."""
    said = "Reckoned with the air all open (none closed), as it stands, until "
    assert run(log, "undo") == 0
    assert run(log, "note", "2026-01-16 22:20 load 7kg air 100%", "--yes") == 0
    capsys.readouterr()
    choices = answered(log, "22:25", capsys, "tonight --get-up yes --night-low -25")["choices"]
    assert isinstance(choices, list)
    later = [c for c in choices if c["loads"] and c["loads"][0]["at"][11:16] not in ("22:25", "22:30")]
    assert later
    for choice in choices:
        told = [reason for reason in choice["reasons"] if reason.startswith(said)]
        assert len(told) == (choice in later)
    assert run(log, "note", "2026-01-16 22:34 air 30%") == 0
    capsys.readouterr()
    choices = answered(log, "22:35", capsys)["choices"]
    assert isinstance(choices, list)
    assert not [
        reason for choice in choices for reason in choice["reasons"] if "as it stands, until" in reason
    ]
