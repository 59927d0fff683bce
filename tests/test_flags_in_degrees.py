"""Temperatures of flags for a household that counts in °F: the unit may stand with them, a bare one is told.

Conversions by arithmetic: 25 °F is −3.9 °C, 40 °C is 104 °F.
"""

from __future__ import annotations

import json
from argparse import ArgumentTypeError
from pathlib import Path

import pytest
from small_cabin import DESCRIPTION

from logbook.cli import main
from logbook.cli.flag_values import celsius

COMMANDS = (
    ("list", "leaving", "--night-low"),
    ("damp", "--outdoor"),
    ("bring", "--night-low"),
    ("leave", "--line"),
    ("weather", "--base"),
    ("whatif", "load limit 5kg", "--year", "-6 -5 -1 4 9 14 16 15 10 5 0 -4", "--outside"),
)
"""Each road a temperature takes into a command."""


def log_in(folder: Path, unit: str, capsys: pytest.CaptureFixture[str]) -> Path:
    (folder / "cabin.toml").write_text(f'{DESCRIPTION}[units]\ntemperature = "{unit}"\n', encoding="utf-8")
    assert main(["--log", str(folder / "log.db"), "setup", str(folder / "cabin.toml")]) == 0
    capsys.readouterr()
    return folder / "log.db"


@pytest.mark.parametrize(
    ("text", "degrees_c", "bare"),
    [
        ("25F", -3.889, False),
        ("-4 °F", -20.0, False),
        ("−4f", -20.0, False),
        ("-9,5C", -9.5, False),
        ("-9,5", -9.5, True),
        ("25", 25.0, True),
    ],
)
def test_the_unit_may_stand_with_the_number(text, degrees_c, bare):
    found = celsius(text)
    assert found == pytest.approx(degrees_c, abs=1e-3)
    assert found.bare is bare


@pytest.mark.parametrize("text", ["F", "warm", "25K", "", "2 5F"])
def test_anything_else_is_no_temperature(text):
    with pytest.raises(ArgumentTypeError, match="is not a number"):
        celsius(text)


@pytest.mark.parametrize("words", COMMANDS, ids=lambda words: words[0])
def test_a_bare_temperature_is_told_to_who_counts_in_fahrenheit(words, tmp_path, capsys):
    """leave --night-low 25 answered of 77 °F outside and left out the lines against frost, without a word."""
    log = log_in(tmp_path, "F", capsys)
    assert main(["--log", str(log), *words, "25", "--json"]) == 0
    kept = capsys.readouterr()
    json.loads(kept.out)
    assert kept.err == (
        f"{words[-1]} 25 is taken as 25 °C, that is 77 °F. If you mean °F: {words[-1]} 25F\n"
    ), "beside the answer, once"
    assert main(["--log", str(log), *words, "25F"]) == 0
    assert capsys.readouterr().err == ""


def test_with_the_unit_it_is_that_frost(tmp_path, capsys):
    log = log_in(tmp_path, "F", capsys)
    assert main(["--log", str(log), "list", "leaving", "--night-low", "-4F", "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert got["outdoor_low_c"] == pytest.approx(-20.0)
    assert "frost" in got["conditions"]


def test_a_room_of_70_degrees_is_told_how_to_say_fahrenheit(tmp_path, capsys):
    log = log_in(tmp_path, "F", capsys)
    assert main(["--log", str(log), "arrive", "--inside", "70"]) == 2
    assert capsys.readouterr().err.endswith("give it in °C or °F, as 70F.\n")


def test_who_counts_in_celsius_is_told_nothing(tmp_path, capsys):
    log = log_in(tmp_path, "C", capsys)
    assert main(["--log", str(log), "list", "leaving", "--night-low", "-4"]) == 0
    assert capsys.readouterr().err == ""
