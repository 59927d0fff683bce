"""The ways to spoil a log do what their names say, and no more."""

from __future__ import annotations

import importlib
import random
import sys
from datetime import timedelta
from pathlib import Path

import pytest
from simulated import HOUR, live

from logbook.records import Entry, Mark

SCRIPTS = Path(__file__).resolve().parents[2] / "scripts"


@pytest.fixture(scope="module")
def spoils():
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module("benching.reliability.spoils").SPOILS
    finally:
        sys.path.remove(str(SCRIPTS))


@pytest.fixture(scope="module")
def rows() -> list[Entry]:
    """A whole stay."""
    lived = list(live(3).entries)
    return lived[: [e.mark for e in lived].index(Mark.LEFT) + 1]


def read(rows: list[Entry]) -> list[tuple[object, float]]:
    return [(e.at, e.indoor_c) for e in rows if e.indoor_c is not None]


def test_the_shelf_is_warm_after_a_load_and_cold_by_morning(spoils, rows):
    out = spoils["a thermometer on the stove shelf"](rows, random.Random(1))
    over = [b[1] - a[1] for a, b in zip(read(rows), read(out), strict=True)]
    assert over[0] == 0.0, "nothing laid in yet"
    assert 2.0 < max(over) <= 12.0
    assert 0.0 <= over[-3] < 0.3, "eight hours after the last load"


@pytest.mark.parametrize(("name", "off_h"), [("a logger an hour off", 1), ("a logger twelve hours off", 12)])
def test_only_the_temperatures_of_the_room_are_off(spoils, rows, name, off_h):
    out = spoils[name](rows, random.Random(2))
    (off,) = {b[0] - a[0] for a, b in zip(read(rows), read(out), strict=True)}
    assert abs(off) == off_h * HOUR
    assert [(e.at, e.load_kg, e.mark) for e in out[: len(rows)]] == [(e.at, e.load_kg, e.mark) for e in rows]


def test_a_stay_comes_twice_some_hours_off(spoils, rows):
    out = spoils["a stay typed twice at other hours"](rows, random.Random(3))
    assert out[: len(rows)] == rows
    (off,) = {b.at - a.at for a, b in zip(rows, out[len(rows) :], strict=True)}
    assert timedelta(minutes=30) <= abs(off) <= 6 * HOUR
    assert spoils["a stay typed twice at the same hours"](rows, random.Random(3)) == [*rows, *rows]


def test_some_loads_are_pounds_under_the_name_of_kilograms(spoils, rows):
    out = spoils["half the loads in pounds"](rows, random.Random(6))
    times = [b.load_kg / a.load_kg for a, b in zip(rows, out, strict=True) if a.load_kg]
    assert {round(x, 1) for x in times} == {1.0, 2.2}
