"""Two weekends lived by typed lines alone, then asked about: stays, bring, weather, damp; counted by hand.

Nothing is built in code here: every fact goes in the way an owner types it, in a zone that changes its
clocks, into a log whose description stands in pounds and Fahrenheit.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_cabin import learn_quickly

from logbook.cli import main
from logbook.units import kg_from_lb

DESCRIPTION = """
[site]
latitude_deg = 45.0
longitude_deg = -72.0
timezone = "America/Toronto"
[cabin]
floor_m2 = 24
volume_m3 = 60
[[cabin.surface]]
kind = "window"
area_m2 = 2
glazing = "double"
[stove]
max_load_kg = 8
air_lever_reads = "open"
[wood]
moisture_pct = 20
moisture_basis = "wet"
[units]
temperature = "F"
mass = "lb"
"""

FIRST = (
    "2026-03-06 18:00 arrived in 28F out 20F",
    "2026-03-06 18:05 people 3",
    "2026-03-06 18:10 level water 12 gal",
    "2026-03-06 18:15 load 9 lb",
    "2026-03-06 22:30 bed in 66F",
    "2026-03-07 07:00 woke in 48F out 9F",
    "2026-03-07 09:00 load 11 lb",
    "2026-03-07 21:00 in 67F rh 58 out 14F",
    "2026-03-08 07:30 in 51F out 12F",
    "2026-03-08 12:00 guest book: The clocks went forward and nobody minded.",
    "2026-03-08 12:30 level water 3 gal",
    "2026-03-08 12:40 bring mouse traps 2",
    "2026-03-08 12:45 note low on matches, coffee",
    "2026-03-08 12:50 skip leaving: roof vent",
    "2026-03-08 13:00 left in 60F",
)
"""A weekend over the night in which Toronto's clocks go forward (8 March 2026, 2:00 to 3:00)."""

BETWEEN = (
    "2026-03-19 20:00 weather fri 14 30 snow",
    "2026-03-19 20:01 weather sat 5 23 strong clear",
    "2026-03-19 20:02 weather was 8 mar 12 34",
    "2026-03-18 20:00 got mouse traps",
)
"""Typed at home on a Thursday."""

THURSDAY = "2026-03-19T21:00"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory):
    """The log after both, shared: these tests only ask."""
    place = tmp_path_factory.mktemp("lines")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(place / "data"))
        patch.setenv("XDG_CACHE_HOME", str(place / "cache"))
        patch.setenv("COLUMNS", "80")
        learn_quickly(patch)
        (place / "cabin.toml").write_text(DESCRIPTION, encoding="utf-8")
        assert (
            main(["--log", str(place / "log.db"), "setup", str(place / "cabin.toml"), "--from", "2026-01-01"])
            == 0
        )
        for line in (*FIRST, *BETWEEN):
            assert main(["--log", str(place / "log.db"), "note", "--yes", line]) == 0, line
        yield place


def asked(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> dict:
    capsys.readouterr()
    assert main(["--log", str(folder / "log.db"), *words, "--as-of", THURSDAY, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def page(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    capsys.readouterr()
    assert main(["--log", str(folder / "log.db"), *words, "--as-of", THURSDAY]) == 0
    return capsys.readouterr().out


def test_the_stay_as_it_was_lived(folder, capsys):
    (stay,) = asked(folder, capsys, "stays")["items"]
    assert stay["start"] == "2026-03-06T18:00:00-05:00"
    assert stay["end"] == "2026-03-08T13:00:00-04:00"  # after the change
    assert (stay["nights"], stay["head_count"], stay["head_count_said"]) == (2, 3, True)
    assert stay["wood_kg"] == pytest.approx(kg_from_lb(20.0), abs=0.01)
    assert stay["wood_kg_dry"] == pytest.approx(0.8 * kg_from_lb(20.0), abs=0.01)
    assert stay["coldest_dawn_inside"]["temperature_c"] == pytest.approx((48 - 32) / 1.8, abs=0.01)
    assert stay["coldest_dawn_outside"]["temperature_c"] == pytest.approx((9 - 32) / 1.8, abs=0.01)
    assert stay["guest_book"] == ["The clocks went forward and nobody minded."]


def test_water_used_over_the_hours_there_were(folder, capsys):
    """9 US gallons by 3 people over 41.3 h: the night was an hour short."""
    (water,) = [use for use in asked(folder, capsys, "bring")["supplies"] if use["item"] == "water"]
    person_days = 3 * (41 + 20 / 60) / 24
    assert water["person_days"] == pytest.approx(person_days, abs=0.01)
    used_l = 9 * 3.785411784
    planning = (3.785411784 * 15.0) ** 0.5
    assert water["per_person_day"]["p50"] == pytest.approx(
        (used_l + 4 * planning) / (person_days + 4), rel=1e-3
    )
    # Nobody has been there since: what was left is expected there, less the last half hour's use.
    half_an_hour = 3 * 0.5 / 24 * water["per_person_day"]["p50"]
    assert water["there"] == pytest.approx(3 * 3.785411784 - half_an_hour, abs=0.01)


def test_what_to_bring_for_the_weekend_ahead(folder, capsys):
    found = asked(folder, capsys, "bring")
    assert (found["people"], found["nights"], found["night_low_from"]) == (3, 2, "typed")
    assert found["night_low_c"] == pytest.approx((5 - 32) / 1.8, abs=0.01)
    told = {item["item"]: item["from"] for item in found["items"]}
    assert told["water"] == "your own use"
    assert told["matches"] == told["coffee"] == "left note of 8 Mar"
    assert "mouse traps" not in told  # got
    assert told["wood"] == "heat loss"  # one own stay is too few
    assert [left["line"] for left in found["left_undone"]] == ["roof vent"]


def test_the_page_to_pack_by_is_in_the_owners_units(folder, capsys):
    said = page(folder, capsys, "bring", "--people", "2")
    assert "low 5 °F (as typed)" in said
    assert " gal each a day" in " ".join(said.split())
    assert " lb for this stay" in " ".join(said.split())
    assert "°C" not in said
    assert max(map(len, said.splitlines())) <= 80


def test_degree_days_of_the_days_typed(folder, capsys):
    """65 less the mean of 14 and 30, of 5 and 23, of 12 and 34 °F: 43, 51 and 42."""
    days = {item["day"]: item for item in asked(folder, capsys, "weather")["items"]}
    fahrenheit = {day: round(item["degree_days_65f_k"] * 1.8) for day, item in days.items()}
    assert fahrenheit == {"2026-03-20": 43, "2026-03-21": 51, "2026-03-08": 42}
    assert days["2026-03-20"]["sky"] == "snow"
    assert days["2026-03-21"]["wind"] == "strong"
    said = page(folder, capsys, "weather")
    assert "51 degree-days  strong, clear, forecast" in said
    assert "Your own record outside: coldest 9 °F" in said


def test_the_typed_low_is_the_nights(folder, capsys):
    capsys.readouterr()
    words = ["tonight", "--as-of", "2026-03-20T17:00", "--try", "no fire", "--json"]
    assert main(["--log", str(folder / "log.db"), *words]) == 0
    found = json.loads(capsys.readouterr().out)
    assert not any("guessed" in said for said in found["assumed"])


def test_damp_on_the_saturday_evening(folder, capsys):
    """67 °F at 58 %: dew point 11 °C; double glass is 2.8 x 0.13 of the drop to 14 °F colder, 8.7 °C: wet."""
    capsys.readouterr()
    words = ["damp", "--as-of", "2026-03-07T21:05", "--json"]
    assert main(["--log", str(folder / "log.db"), *words]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["rh_pct"] == 58.0
    assert found["dew_point_c"] == pytest.approx(11.0, abs=0.2)
    window = next(row for row in found["surfaces"] if row["kind"] == "window")
    inside, outside = (67 - 32) / 1.8, (14 - 32) / 1.8
    assert window["inside_c"] == pytest.approx(inside - 2.8 * 0.13 * (inside - outside), abs=0.01)
    assert window["state"] == "wet"
    assert found["person_days"] == pytest.approx(3 * 27.08 / 24, abs=0.02)


def test_a_year_on_it_is_this_weekend(folder, capsys):
    capsys.readouterr()
    words = ["stays", "--this-weekend", "--as-of", "2027-03-05", "--json"]
    assert main(["--log", str(folder / "log.db"), *words]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [(item["year"], item["weeks_off"]) for item in found["items"]] == [
        (2026, 0)
    ]  # nearest to 6 March 2026, a Friday: the 7th
