"""The demo's notebook: the committed file is what the generator gives, and reads like a real cabin's."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from logbook.description import parse_description

ROOT = Path(__file__).resolve().parent.parent
SEEDS = ROOT / "seeds"
DEMO = ROOT / "logbook" / "demo_data"


@pytest.fixture(scope="module")
def rows():
    with (DEMO / "demo.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def indoor(row):
    """The reading in a row, °C, whichever unit it was written in; None without one or from another place."""
    if row["place"] or not (row["indoor_c"] or row["indoor_f"]):
        return None
    return float(row["indoor_c"]) if row["indoor_c"] else (float(row["indoor_f"]) - 32) / 1.8


def test_the_generator_gives_the_committed_file(tmp_path):
    subprocess.run(
        [sys.executable, str(SEEDS / "generate.py"), str(tmp_path)], check=True, capture_output=True
    )
    assert (tmp_path / "demo.csv").read_bytes() == (DEMO / "demo.csv").read_bytes()


def test_the_generator_shares_nothing_with_the_program():
    """A demo made by the program's own equations would flatter them."""
    for module in SEEDS.glob("*.py"):
        text = module.read_text(encoding="utf-8")
        assert "import logbook" not in text, module.name
        assert "from logbook" not in text, module.name


def test_fifteen_stays_over_two_winters(rows):
    arrived = [datetime.fromisoformat(row["at"]) for row in rows if row["mark"] == "arrived"]
    assert len(arrived) == 15
    assert {(when.year if when.month > 7 else when.year - 1) for when in arrived} == {2024, 2025}


def test_the_nights_are_those_of_a_stove_too_big(rows):
    """Evenings warm, mornings cool, nights hot after a full load; nothing a person would not believe."""
    woke = [indoor(row) for row in rows if row["mark"] == "woke" and indoor(row) is not None]
    assert len(woke) >= 30
    assert 3 <= min(woke) < 8
    assert 18 < max(woke) <= 24
    outside = [float(row["outdoor_c"]) for row in rows if row["outdoor_c"]]
    assert -18 <= min(outside) < -8
    assert max(outside) < 16
    highest = [float(row["high_c"]) for row in rows if row["high_c"]]
    assert 28 < max(highest) < 34


@pytest.mark.parametrize(
    ("what", "is_there"),
    [
        ("°F", lambda row: row["indoor_f"]),
        ("lb", lambda row: row["load_lb"]),
        ("a load above the limit", lambda row: float(row["load_kg"] or 0) > 8),
        ("counted pieces, not weighed", lambda row: row["pieces"] and not (row["load_kg"] or row["load_lb"])),
        ("the loft", lambda row: row["place"] == "loft"),
        ("low and high with their reset", lambda row: row["low_c"] and row["high_c"] and row["reset_at"]),
        ("a window cracked", lambda row: row["window"] == "cracked"),
        ("coals in words", lambda row: row["coals"] == "few"),
        ("an alarm test", lambda row: row["alarms_tested"] == "yes"),
        ("the skirting", lambda row: row["change"] == "skirting"),
        ("a forgotten lever", lambda row: "lever" in row["note"]),
        ("a fire that died", lambda row: row["fire_out"] == "yes" and "died" in row["note"]),
        (
            "air below the clean floor",
            lambda row: row["mark"] == "" and 0 < float(row["air_open_pct"] or 0) < 25,
        ),
        ("a forecast", lambda row: row["forecast_low_c"]),
        ("wind as felt", lambda row: row["wind"] == "strong"),
        ("humidity", lambda row: row["rh_pct"]),
        ("measured moisture", lambda row: row["moisture_pct"] and row["moisture_basis"] == "wet"),
    ],
)
def test_the_notebook_is_as_messy_as_promised(rows, what, is_there):
    assert any(is_there(row) for row in rows), what


def test_some_rows_stand_out_of_order(rows):
    """Times written wrong: a notebook sorted by time would hide it."""
    times = [datetime.fromisoformat(row["at"]) for row in rows]
    backwards = sum(after < before for before, after in pairwise(times))
    assert 5 <= backwards <= len(rows) / 20


def test_the_year_stands_apart_from_the_nights(rows):
    """A matter has a row of its own: the nights read the same without it, and none was physics' business."""
    nights = {"indoor_c", "indoor_f", "outdoor_c", "load_kg", "load_lb", "pieces", "air_open_pct", "mark"}
    told = [row for row in rows if row["matter"]]
    assert len(told) > 100
    for row in told:
        assert not any(row[column] for column in nights), row


def test_ash_is_taken_out_of_a_cold_stove_and_waits(rows):
    """At least 24 h after the last load, and 96 h in its bucket: what the program tells others to do."""
    ash = [(row["at"], json.loads(row["matter"])) for row in rows if '"kind": "ash"' in row["matter"]]
    loads = [row["at"] for row in rows if row["load_kg"] or row["load_lb"] or row["pieces"]]
    filled = None
    for at, said in ash:
        when = datetime.fromisoformat(at)
        if said["act"] == "taken out":
            before = max((load for load in loads if load < at), default=None)
            assert before is None or when - datetime.fromisoformat(before) >= timedelta(hours=24)
            filled = when
        elif filled is not None:
            assert when - filled >= timedelta(hours=96)
    assert [said["act"] for _, said in ash].count("tipped") >= 3
    assert ash[-1][1]["act"] == "taken out", "a bucket stands on the demo's last evening"
    assert all(said["where"] for _, said in ash)


def test_the_last_evening_waits_for_its_answer(rows):
    """It ends before bed, in a warm room with coals and a forecast: there is something to advise on."""
    last = rows[-1]
    assert datetime.fromisoformat(last["at"]).hour in (20, 21)
    assert rows[-1]["coals"] in ("few", "good")
    assert 17 <= indoor(last) <= 23
    assert float(last["forecast_low_c"]) <= float(last["outdoor_c"])
    marks = [row["mark"] for row in rows if row["mark"]]
    assert marks[-2:] == ["arrived", "bed"] or marks[-1] == "woke"  # not left, not in bed


def test_the_description_is_one_the_program_reads():
    described = parse_description((DEMO / "demo.toml").read_text(encoding="utf-8"), machine_zone="UTC")
    assert 26 <= described.cabin.floor_m2 <= 30
    assert described.stove.max_load_kg == 8
    assert described.stove.clean_floor_open_pct == 25
    assert described.comfort.band_c == (16, 22)
    assert not described.site.timezone_assumed


def test_the_readme_says_how_it_differs():
    told = (SEEDS / "README.md").read_text(encoding="utf-8")
    assert "invented" in told
    for module in SEEDS.glob("*.py"):
        assert f"`{module.name}`" in told, module.name
