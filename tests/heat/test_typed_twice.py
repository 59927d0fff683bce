"""A stay that stands in the log twice is found by its loads and readings, however far off the copy is."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from simulated import FRIDAY, HOUR, live

from logbook.heat.fit import learn, written_once
from logbook.heat.notebook import stays
from logbook.heat.typed_twice import typed_twice
from logbook.records import Entry, Flag, Mark

MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)


def weekend() -> list[Entry]:
    """The whole stay of an invented cabin."""
    rows = list(live(3).entries)
    (end,) = [i for i, e in enumerate(rows) if e.mark is Mark.LEFT]
    return rows[: end + 1]


def moved(rows: list[Entry], by: timedelta) -> list[Entry]:
    return [replace(e, at=e.at + by) for e in rows]


@pytest.mark.parametrize("off_h", [-5.0, -1.0, 0.75, 2.5, 6.0])
def test_copies_that_overlap_are_both_out(off_h):
    told = stays([*weekend(), *moved(weekend(), off_h * HOUR)])
    assert typed_twice(told) == frozenset(range(len(told)))


@pytest.mark.parametrize("off", [7 * DAY, 7 * DAY + 3 * HOUR])
def test_of_two_apart_the_first_stays(off):
    told = stays([*weekend(), *moved(weekend(), off)])
    assert typed_twice(told) == {1}


def test_of_three_in_a_row_the_first_stays():
    """The second is copy and copied at once; the first is not thrown away with it."""
    told = stays([*weekend(), *moved(weekend(), 7 * DAY), *moved(weekend(), 14 * DAY)])
    assert typed_twice(told) == {1, 2}


def test_a_minute_more_or_less_and_a_row_left_out_are_a_copy_too():
    again = [replace(e, at=e.at + (i % 2) * MINUTE) for i, e in enumerate(moved(weekend(), 7 * DAY))]
    assert typed_twice(stays([*weekend(), *again[:6], *again[7:]])) == {1}


def test_what_only_looks_alike_is_left_alone():
    one = weekend()
    warmer = [e if e.indoor_c is None else replace(e, indoor_c=e.indoor_c + 0.1) for e in one]
    assert not typed_twice(stays([*one, *moved(warmer, 7 * DAY)])), "the same loads, other readings"
    usual = [replace(e, load_kg=2.0) if e.load_kg else e for e in one]
    assert not typed_twice(stays(usual)), "the same load every time"
    steady = [
        e for n in range(40) for e in (Entry(at=one[0].at + n * HOUR, indoor_c=18.0, load_kg=1.0),)
    ]  # fmt: skip
    assert not typed_twice(stays(steady)), "hour by hour the same: it may well be so"
    halves = [
        replace(e, at=e.at + n * MINUTE, load_kg=e.load_kg / 2.0, indoor_c=None if n else e.indoor_c)
        if e.load_kg
        else e
        for e in one
        for n in range(2 if e.load_kg else 1)
    ]
    assert not typed_twice(stays([*halves, *moved(warmer, 7 * DAY)])), "a load in two rows, a minute apart"


@pytest.mark.parametrize("step_k", [0.1, 0.5, 1.0])
@pytest.mark.parametrize("apart_min", [5, 10, 20, 30])
def test_a_slow_room_under_a_logging_thermometer_is_no_copy(step_k, apart_min):
    """Every ten minutes, to half a kelvin, most readings come again ten minutes later; with two loads of one
    mass as far apart on two evenings no stay was learned from."""
    rows = []
    for week, warmer_k in enumerate((0.0, 1.7)):
        begin = FRIDAY + week * 7 * DAY
        for n in range(100):
            course_c = 5.0 + warmer_k + 15.0 * (1.0 - math.exp(-n / 20.0)) * math.exp(-max(n - 48, 0) / 90.0)
            reading_c = round(course_c / step_k) * step_k
            rows.append(Entry(at=begin + 10 * n * MINUTE, indoor_c=reading_c, flags=frozenset({Flag.LOGGER})))
        for hour, kg in ((0.5, 1.5 + week), (3.0, 2.2 + week)):
            rows += [Entry(at=begin + hour * HOUR + n * MINUTE, load_kg=kg) for n in (0, apart_min)]
    told = stays(sorted(rows, key=lambda e: e.at))
    assert len(told) == 2
    assert not typed_twice(told)


def test_sound_logs_have_none():
    for seed in range(12):
        assert not typed_twice(stays(live(seed).entries))


def test_learned_from_once_and_kept_with_the_fit():
    """Overlapping copies: twice the wood on the fire. Only the evening is left; once all was believed."""
    lived = live(3)
    twice = [*lived.entries, *moved(weekend(), 2 * HOUR)]
    found = learn(
        descriptions=lived.descriptions, entries=twice, as_of=lived.evening.as_of,
        rng=np.random.default_rng(1), draws=40,
    )  # fmt: skip
    assert found.stays == 1
    assert len(found.twice) == found.set_aside == 2, "and a piece with one reading, never learned from"
    assert type(found).from_arrays(found.to_arrays()).twice == found.twice


def test_sound_stays_from_before_take_the_place_of_the_copies():
    """Of the last three, two are one another's copy: the one before them is learned from too."""
    stay = weekend()
    older = [
        moved([replace(e, indoor_c=e.indoor_c and e.indoor_c + n) for e in stay], n * 7 * DAY)
        for n in range(3)
    ]
    rows = [e for part in older for e in part] + moved(older[2], 7 * DAY)
    kept, twice = written_once(stays(rows), 3)
    assert [s.start for s in kept] == [part[0].at for part in older]
    assert twice == (older[2][0].at + 7 * DAY,)
