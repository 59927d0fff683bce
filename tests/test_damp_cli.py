"""The command damp as it is typed: exit codes, JSON, words, both units, with and without a description."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from small_cabin import AS_OF, DESCRIPTION, cabin

from logbook.actions.opening import place_of
from logbook.cli import main
from logbook.matters import DayWeather, Seen, Sight
from logbook.records import Entry, NewEvent

__all__ = ["cabin"]

NOW = datetime(2026, 1, 16, 20, 40, tzinfo=UTC)
ASKED = ["damp", "--as-of", AS_OF]

SURFACES = """
[[cabin.surface]]
kind = "window"
area_m2 = 1.2
glazing = "single"
faces = "N"
[[cabin.surface]]
kind = "wall"
area_m2 = 30
u_w_per_m2k = 0.8
"""


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    (cabin / "cabin.toml").write_text(DESCRIPTION + SURFACES, encoding="utf-8")
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


def keep(folder: Path, *entries: Entry) -> None:
    with place_of(str(folder / "log.db")).open() as log:
        log.add([NewEvent(entry=entry) for entry in entries])


def answered(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


def test_damp_as_json(log, capsys):
    """20 °C at 60 % has its dew point at 12.0 °C; single glass at -7 outside is at 20 - 5.8 x 0.13 x 27."""
    keep(log, Entry(at=NOW - timedelta(minutes=5), indoor_c=20.0, rh_pct=60.0))
    assert run(log, *ASKED, "--json") == 0
    found = answered(capsys)
    assert (found["indoor_c"], found["outdoor_c"], found["outdoor_from"]) == (20.0, -7.0, "read")
    assert found["dew_point_c"] == pytest.approx(12.0, abs=0.05)
    window = found["surfaces"][0]
    assert (window["kind"], window["faces"], window["state"], window["assumed"]) == (
        "window",
        "N",
        "frost",
        False,
    )
    assert window["inside_c"] == pytest.approx(20.0 - 5.8 * 0.13 * 27.0, abs=0.01)
    wall = next(row for row in found["surfaces"] if row["kind"] == "wall")
    assert wall["behind_furniture_c"] == pytest.approx(20.0 - 0.8 * 0.25 * 27.0, abs=0.01)
    assert next(row for row in found["surfaces"] if row["kind"] == "roof")["assumed"] is True
    assert found["person_days"] == pytest.approx(2 * 5.67 / 24, abs=0.01)
    assert found["airing"]["air_changes"] > 1.0
    assert any("Air before it cools" in line for line in found["advice"])


def test_a_colder_night_typed_is_what_the_room_cools_to(log, capsys):
    keep(
        log,
        Entry(at=NOW - timedelta(minutes=5), indoor_c=20.0, rh_pct=60.0),
        Entry(at=NOW, matter=DayWeather(day=date(2026, 1, 18), low_c=-16.0, high_c=-9.0)),
    )
    assert run(log, *ASKED, "--json") == 0
    assert answered(capsys)["airing"]["cooled_c"] == -16.0


def test_flags_take_the_place_of_readings(log, capsys):
    assert (
        run(log, *ASKED, "--inside", "18", "--rh", "50", "--outdoor", "2", "--night-low", "-3", "--json") == 0
    )
    found = answered(capsys)
    assert (found["indoor_c"], found["rh_pct"], found["outdoor_c"]) == (18.0, 50.0, 2.0)
    assert found["airing"]["cooled_c"] == -3.0


def test_without_humidity_it_says_from_which_on_and_what_to_type(log, capsys):
    assert run(log, *ASKED) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "no humidity in the last 12 h" in out
    assert "in 18 rh 55" in out
    assert "frosts from" in out
    assert "Air before it cools" in out


def test_humidity_read_hours_ago_is_told_with_its_hour(log, capsys):
    """The room is as it was when the humidity was read; the thermometer's newest reading says another."""
    keep(
        log,
        Entry(at=NOW - timedelta(hours=4), indoor_c=20.5, rh_pct=36.0),
        Entry(at=NOW - timedelta(minutes=5), indoor_c=21.5),
    )
    assert run(log, *ASKED) == 0
    out = capsys.readouterr().out
    assert "Inside 20.5 °C at 36 % (read Fri 16 Jan 17:40): dew point" in " ".join(out.split())
    keep(log, Entry(at=NOW - timedelta(minutes=4), indoor_c=21.5, rh_pct=37.0))
    assert run(log, *ASKED) == 0
    assert "Inside 21.5 °C at 37 %: dew point" in " ".join(capsys.readouterr().out.split())


def test_sights_and_80_columns_in_both_units(log, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    keep(
        log,
        Entry(at=NOW - timedelta(minutes=5), indoor_c=20.0, rh_pct=70.0),
        Entry(at=NOW, matter=Seen(sight=Sight.MOULD, place="north corner")),
    )
    assert run(log, *ASKED) == 0
    out = capsys.readouterr().out
    assert "Above 60 %: mould in time (EPA)." in out
    assert "mould at north corner, Fri 16 Jan 2026" in out
    assert "dry within 24 to 48 h" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80
    american = DESCRIPTION + SURFACES + '[units]\ntemperature = "F"\nmass = "lb"\n'
    (log / "cabin.toml").write_text(american, encoding="utf-8")
    assert run(log, "setup", str(log / "cabin.toml"), "--from", "2026-01-01") == 0
    capsys.readouterr()
    assert run(log, *ASKED) == 0
    out = capsys.readouterr().out
    assert "Inside 68.0 °F at 70 %: dew point 57.9 °F." in out
    assert "°C" not in out
    assert " kg" not in out


def test_a_log_without_a_description_gives_the_dew_point(tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    with place_of(str(tmp_path / "log.db")).open(create=True) as new:
        new.add([NewEvent(entry=Entry(at=NOW, indoor_c=25.0, rh_pct=80.0))])
    assert run(tmp_path, "damp", "--as-of", "2026-01-16T21:00", "--json") == 0
    found = answered(capsys)
    assert found["dew_point_c"] == pytest.approx(21.31, abs=0.01)
    assert (found["surfaces"], found["airing"]) == ([], None)
    assert run(tmp_path, "damp", "--as-of", "2026-01-16T21:00") == 0
    assert "nightload setup --example" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--rh", "0"], "--rh 0 % can't be (1 to 100 %)"),
        (["--inside", "100"], "--inside 100 °C can't be"),
        (["--outdoor", "cold"], "is not a number"),
    ],
)
def test_bad_input_says_what_can_be(log, capsys, words, says):
    assert run(log, *ASKED, *words) == 2
    assert says in capsys.readouterr().err
