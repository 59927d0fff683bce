"""The command bring as it is typed: exit codes, JSON, words, with and without a description."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from small_cabin import cabin

from logbook.actions.opening import place_of
from logbook.cli import main
from logbook.matters import Bring, DayWeather, Level, Matter, Stack, StaySaid, Tick
from logbook.records import Entry, NewEvent

__all__ = ["cabin"]

LEFT = datetime(2026, 1, 10, 11, tzinfo=UTC)
ASKED = ["bring", "--as-of", "2026-01-15T18:00"]
"""The Thursday between the two stays."""


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


def keep(folder: Path, *rows: tuple[datetime, Matter]) -> None:
    with place_of(str(folder / "log.db")).open() as log:
        log.add([NewEvent(entry=Entry(at=at, matter=matter)) for at, matter in rows])


def answered(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


def test_on_the_first_day_water_is_the_planning_figure_and_wood_the_heat_loss(log, capsys):
    assert run(log, *ASKED, "--people", "2", "--nights", "2", "--night-low", "-9", "--json") == 0
    found = answered(capsys)
    assert (found["people"], found["nights"], found["night_low_c"]) == (2, 2, -9.0)
    water, wood = found["items"]
    assert (water["item"], water["from"], water["unit"]) == ("water", "planning figure", "L")
    assert water["amount"] == pytest.approx(5 * 7.535, abs=0.1)
    assert water["need"]["p05"] == pytest.approx(5 * 3.7854, abs=0.01)
    assert water["survival_l"] == pytest.approx(18.93, abs=0.01)
    assert (wood["item"], wood["from"], wood["unit"]) == ("wood", "heat loss", "kg")
    need = wood["need"]
    assert 5.0 < need["p05"] < need["p50"] < need["p95"] < 400.0
    assert wood["there"] is None


def test_colder_nights_and_more_of_them_take_more_wood(log, capsys):
    needs = []
    for words in (["--nights", "2", "--night-low", "3"], ["--nights", "2", "--night-low", "-15"],
                  ["--nights", "4", "--night-low", "-15"]):  # fmt: skip
        assert run(log, *ASKED, *words, "--json") == 0
        needs.append(answered(capsys)["items"][-1]["need"]["p50"])
    assert needs[0] < needs[1]
    assert needs[2] == pytest.approx(2.0 * needs[1], rel=0.01)


def test_a_typed_day_is_the_low_of_the_nights(log, capsys):
    keep(log, (LEFT + timedelta(days=4), DayWeather(day=date(2026, 1, 17), low_c=-13.0, high_c=-5.0)))
    assert run(log, *ASKED, "--json") == 0
    found = answered(capsys)
    assert (found["night_low_c"], found["night_low_from"]) == (-13.0, "typed")


def test_levels_lists_and_left_lines_come_together(log, capsys):
    keep(
        log,
        (LEFT - timedelta(hours=20), Level(item="lamp oil", amount=0.9, unit="L")),
        (LEFT, Level(item="lamp oil", amount=0.3, unit="L")),
        (LEFT, StaySaid(people=("K", "J"))),
        (LEFT, Bring(item="mouse traps", amount=2.0)),
        (LEFT, Tick(list_name="leaving", line="roof vent", done=False)),
        (LEFT, Stack(name="birch", species="birch", volume_m3=1.0, as_said="1 stere")),
    )
    assert run(log, *ASKED, "--json") == 0
    found = answered(capsys)
    items = {item["item"]: item for item in found["items"]}
    oil = items["lamp oil"]
    assert oil["from"] == "your own use"
    assert oil["there"] == pytest.approx(0.3)
    need = oil["need"]
    four_in_five = need["p50"] * (need["p95"] / need["p50"]) ** (0.842 / 1.645)
    assert oil["amount"] == pytest.approx(four_in_five - 0.3, abs=1e-3)
    assert (items["mouse traps"]["from"], items["mouse traps"]["amount"]) == ("left note of 10 Jan", 2.0)
    assert items["wood"]["there"] > 100.0
    assert items["wood"]["amount"] == 0.0
    assert [left["line"] for left in found["left_undone"]] == ["roof vent"]


def test_in_words_within_80_columns(log, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    keep(log, (LEFT, Level(item="gas", amount=40, unit="%")))
    assert run(log, *ASKED) == 0
    out = capsys.readouterr().out
    assert "For 2 people (as usual) and 1 night (as usual)" in out
    assert "gas: 40 % on Sat 10 Jan 2026" in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_log_without_a_description_is_answered(tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    with place_of(str(tmp_path / "log.db")).open(create=True) as new:
        new.add([NewEvent(entry=Entry(at=LEFT, matter=Bring(item="salt")))])
    assert run(tmp_path, *ASKED, "--json") == 0
    found = answered(capsys)
    assert [item["item"] for item in found["items"]] == ["water", "salt"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--people", "0"], "--people 0 people can't be (1 to 50 people)"),
        (["--nights", "400"], "--nights 400 nights can't be"),
        (["--night-low", "-90"], "--night-low -90 °C can't be"),
        (["--people", "two"], "invalid int value"),
    ],
)
def test_bad_input_says_what_can_be(log, capsys, words, says):
    assert run(log, *ASKED, *words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err


def test_a_supply_the_log_knows_needs_no_word_before_it(log, capsys):
    """Its name is looked up for such a line; "water 6 L" stood as a note, and the level as it was."""
    assert run(log, "note", "water 6 L") == 0
    assert "note water 6 L" in capsys.readouterr().out, "not known yet"
    assert run(log, "note", "level water 10 L") == 0
    capsys.readouterr()
    assert run(log, "note", "water 6 L") == 0
    said = capsys.readouterr()
    assert "level water 6 L" in said.out
    assert "b as carried in" in said.err
