"""The unit a stack was written in: half a cord once stood in the list as "0.99 /2 cord"."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from logbook.care.woodshed import unit_of
from logbook.cli import main
from logbook.matters import Stack

CORD_M3 = 3.625  # 128 ft³; NIST Handbook 44, appendix C, from memory

WRITTEN = [  # as said, what it is in m³; the unit's word, m³ in one of it
    ("1/2 cord", CORD_M3 / 2, "cord", CORD_M3),
    ("1 1/2 cords", 1.5 * CORD_M3, "cords", CORD_M3),
    ("0.9 stere", 0.9, "stere", 1.0),
    ("1,5 stère", 1.5, "stère", 1.0),
    ("2 boxes", 0.1, "boxes", 0.05),
]


@pytest.mark.parametrize(("said", "m3", "word", "one_m3"), WRITTEN)
def test_number_and_unit_are_told_apart(said: str, m3: float, word: str, one_m3: float) -> None:
    unit = unit_of(Stack(name="birch", volume_m3=m3, as_said=said))
    assert unit is not None
    assert (unit.word, unit.m3, unit.kg) == (word, pytest.approx(one_m3), None)


NO_UNIT = ["2 m x 1.2 m x 40 cm", "rack 40 cm", "1,200 kg", "0/2 cord", "1/0 cord", "0 stere", "", "a cord"]


@pytest.mark.parametrize("said", NO_UNIT)
def test_where_there_is_none_the_owner_s_usual_one_is_taken(said: str) -> None:
    assert unit_of(Stack(name="birch", volume_m3=1.0, mass_kg=400.0, as_said=said)) is None


def test_half_a_cord_is_told_as_half_a_cord(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = str(tmp_path / "log.db")
    assert main(["--log", log, "note", "stack birch 1/2 cord"]) == 0
    assert main(["--log", log, "wood", "--quick"]) == 0
    assert "Left: 0.50 cord" in capsys.readouterr().out
    assert main(["--log", log, "wood", "--quick", "--json"]) == 0
    (item,) = json.loads(capsys.readouterr().out)["items"]
    assert item["left_m3"]["p50"] == pytest.approx(CORD_M3 / 2, rel=1e-3)
