"""Readings that fit nothing: set aside, wide, and said; a sound log is left alone.

The logs are invented cabins' (``simulated``), spoilt by ``benching.reliability.poor``, which has the long
run.
"""

from __future__ import annotations

import importlib
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from simulated import FRIDAY, HOUR, live

from logbook.heat.fit import Posterior, learn, summary
from logbook.heat.notebook import stays
from logbook.heat.strain import stuck
from logbook.records import Entry
from logbook.wording.doubts import doubts_text

SCRIPTS = Path(__file__).resolve().parents[2] / "scripts"


@pytest.fixture(scope="module")
def poor():
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module("benching.reliability.poor")
    finally:
        sys.path.remove(str(SCRIPTS))


@pytest.mark.parametrize(
    "name",
    ["indoor and outdoor swapped", "one temperature for ever", "a year of one value", "units mixed up"],
)
def test_nonsense_is_said_and_never_narrow_and_wrong(poor, name):
    """Once: 1 of 8 nights inside its range with the columns swapped, and a heat loss sure of itself."""
    night = poor.spoilt(name, 1001, draws=60)
    assert night.said
    assert night.held
    assert night.night_held


@pytest.mark.parametrize(
    ("name", "seed"),
    [
        ("units mixed up", 1002),
        ("units mixed up", 1007),
        ("most loads not written", 1000),
        ("a stay typed twice at other hours", 2014),
        ("a logger twelve hours off", 2005),
    ],
)
def test_what_was_once_narrow_and_wrong(poor, name, seed):
    """Before stays were held against one another: a heat loss outside its own range, the last two a night
    2 to 3 K outside."""
    night = poor.spoilt(name, seed, draws=60)
    assert night.said
    assert night.held
    assert night.night_held


def test_a_sound_log_is_left_alone(poor):
    night = poor.spoilt("nothing spoilt", 1001, draws=60)
    assert not night.said
    assert night.night_held
    assert night.wake[1] - night.wake[0] < 8.0, "10 K without any reading"


def learned(lived, entries) -> Posterior:
    return learn(
        descriptions=lived.descriptions, entries=entries, as_of=lived.evening.as_of,
        rng=np.random.default_rng(1), draws=40,
    )  # fmt: skip


def test_one_odd_reading_sets_nothing_aside():
    """Robust errors are for that: a slip of the pen, tonight's too, is no reason to unlearn a cabin."""
    lived = live(3)
    read = [i for i, e in enumerate(lived.entries) if e.indoor_c is not None]
    assert learned(lived, lived.entries).set_aside == 0
    for at in (read[3], read[-2]):
        slip = [replace(e, indoor_c=e.indoor_c + 9.0) if i == at else e for i, e in enumerate(lived.entries)]
        assert learned(lived, slip).set_aside == 0


def test_what_was_set_aside_is_kept_with_the_fit_and_told():
    lived = live(3)
    swapped = [replace(e, indoor_c=e.outdoor_c, outdoor_c=e.indoor_c) for e in lived.entries]
    found = learned(lived, swapped)
    assert found.set_aside > 0
    assert found.stays == 0
    assert Posterior.from_arrays(found.to_arrays()).aside == found.aside
    assert summary(found).aside == found.aside


def hourly(values: list[float], **first: object) -> list[Entry]:
    rows = [Entry(at=FRIDAY + n * HOUR, indoor_c=c) for n, c in enumerate(values)]
    return [replace(rows[0], **first), *rows[1:]]


def test_a_thermometer_that_stands_still_is_known_and_a_thermostat_is_not_one():
    def one(rows: list[Entry]) -> bool:
        (stay,) = stays(rows)
        return stuck(stay)

    assert one(hourly([18.0] * 16))
    assert not one(hourly([18.0] * 15 + [18.5]))
    assert not one(hourly([18.0] * 8)), "a room may well hold for some hours"
    assert not one(hourly([20.0] * 16, other_heat_w=1200.0)), "a heater with a thermostat"


def test_the_words_say_what_to_look_for_and_nothing_of_a_sound_fit():
    def said(**of: Any) -> tuple[str, ...]:
        return doubts_text(
            **{"aside": (), "twice": (), "stays": 4, "widened": False, "doubt": 1.0, "zone": "UTC"} | of
        )

    weeks = tuple(FRIDAY + n * 7 * 24 * HOUR for n in range(5))
    assert said() == ()
    (all_of_it,) = said(aside=weeks[:3], stays=0)
    assert "nothing is learned from them" in all_of_it and "swapped" in all_of_it
    (some,) = said(aside=weeks[:1])
    assert some.startswith("1 stay (Fri 10 Jan) fits neither")
    two = said(aside=weeks[:2])[0]
    assert two.startswith("2 stays (Fri 10 Jan, Fri 17 Jan) fit neither") and "and were not learned" in two
    assert said(aside=weeks)[0].startswith("5 stays (Fri 24 Jan, Fri 31 Jan, Fri 7 Feb and earlier ones) fit")
    assert "widened" in said(widened=True)[0]
    (less,) = said(doubt=1.44)
    assert "20 % less sure" in less and "loads not written" in less
    assert said(doubt=1.005) == (), "less than half a per cent"
    (twice,) = said(twice=weeks[1:3])
    assert "stand in the log twice (Fri 17 Jan, Fri 24 Jan)" in twice and "Remove the copy" in twice
    assert len(said(aside=weeks[:1], twice=weeks[1:3])) == 2
    assert "wide as before any reading" not in twice
    assert "wide as before any reading" in said(twice=weeks[:1], stays=0)[0], "nothing else is left"
    assert len(said(aside=weeks[1:], twice=weeks[:1], stays=0)) == 2
    assert "".join(said(aside=weeks[1:], twice=weeks[:1], stays=0)).count("before any reading") == 1
    _, why = said(aside=weeks[:1], doubt=1.25)
    assert why.startswith("What is learned from the others is taken as 12 % less sure"), (
        "they fit one another"
    )
