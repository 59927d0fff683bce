"""The command stays as it is typed: exit codes, JSON, words; with and without a description."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_cabin import AS_OF, cabin

from logbook.actions.opening import place_of
from logbook.cli import main
from logbook.matters import StaySaid
from logbook.records import Entry, NewEvent

__all__ = ["cabin"]


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


def answered(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


def test_stays_as_json(log, capsys):
    assert run(log, "stays", "--as-of", AS_OF, "--json") == 0
    first, second = answered(capsys)["items"]
    assert first["start"] == "2026-01-09T16:00:00+01:00"
    assert first["end"] == "2026-01-10T12:00:00+01:00"
    assert (first["nights"], first["going_on"], first["head_count"]) == (1, False, 2)
    assert first["wood_kg"] == pytest.approx(1.6 + 3.2 + 1.6 + 2.8 + 2.4)
    assert first["wood_kg_dry"] == pytest.approx(0.82 * 11.6)
    assert first["coldest_dawn_inside"] == {"temperature_c": 12.0, "at": "2026-01-10T07:00:00+01:00"}
    assert first["coldest_dawn_outside"]["temperature_c"] == -7.0
    assert second["going_on"] is True


def test_stays_in_words_fit_80_columns(log, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    for words in (["stays"], ["stays", "--year"], ["stays", "--this-weekend"]):
        assert run(log, *words, "--as-of", AS_OF) == 0
        out = capsys.readouterr().out
        assert out
        assert max(map(len, out.splitlines())) <= 80


def test_a_season_as_json(log, capsys):
    assert run(log, "stays", "--year", "2025", "--as-of", AS_OF, "--json") == 0
    (page,) = answered(capsys)["items"]
    assert (page["season"], page["begins"], page["going_on"]) == ("2025–26", "2025-07-01", True)
    assert page["first_fire"] == "2026-01-09T16:00:00+01:00"
    assert page["last_fire"] == "2026-01-16T21:15:00+01:00"
    assert (page["nights"], page["stays"], page["burn_days"]) == (1, 2, 3)


def test_this_weekend_a_year_later(log, capsys):
    assert run(log, "stays", "--this-weekend", "--as-of", "2027-01-15", "--json") == 0
    found = answered(capsys)
    assert found["saturday"] == "2027-01-16"  # nearest to 16 January 2026, a Friday, is the 17th
    assert [(i["year"], i["weeks_off"]) for i in found["items"]] == [(2026, 0), (2026, -1)]


def test_a_log_without_a_description_is_answered(tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    with place_of(str(tmp_path / "log.db")).open(create=True) as new:
        when = new._now()
        new.add([NewEvent(entry=Entry(at=when, indoor_c=4.0, matter=StaySaid(guest_book="First.")))])
    assert run(tmp_path, "stays", "--json") == 0
    (only,) = answered(capsys)["items"]
    assert only["guest_book"] == ["First."]


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--year", "last"], 2, "--year 2025 is July 2025"),
        (["--year", "2019"], 2, "Seasons on record: 2025–26"),
        (["--year", "--this-weekend"], 2, "Give one of them"),
        (["--as-of", "soon"], 2, "is not a time"),
    ],
)
def test_bad_input_says_what_to_do(log, capsys, words, code, says):
    assert run(log, "stays", *words) == code
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
