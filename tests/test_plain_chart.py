"""The plain chart: it draws what it is given, and nothing that is given can bring the interpreter down."""

from __future__ import annotations

import builtins
import subprocess
import sys

import pytest

from logbook.plain_chart import BAR, bars, night_chart

HOURS = [0.25 * i for i in range(33)]
FALLING = [20.0 - 0.5 * h for h in HOURS]


def test_it_draws_the_line_where_it_is():
    """20 °C at the left end, 16 at the right: the marks lie high on the left and low on the right."""
    rows = night_chart(HOURS, [("*", FALLING)], size=(60, 14)).splitlines()
    marked = [(row, line.index("*")) for row, line in enumerate(rows) if "*" in line]
    assert marked[0][0] < marked[-1][0]
    assert marked[0][1] < marked[-1][1]
    assert all(len(row) <= 60 for row in rows)
    assert len(rows) == 14


def test_the_band_and_the_times_stand_on_it():
    chart = night_chart(
        HOURS, [("*", FALLING)], rules=[22.0, 16.0], ticks=[(0, "22:30"), (4, "02:30"), (8, "06:30")]
    )
    inner = chart.splitlines()[1:-2]
    assert sum("──────" in row for row in inner) == 2
    assert all(words in chart for words in ("22:30", "02:30", "06:30"))


def test_it_is_plain_text():
    assert "\x1b" not in night_chart(HOURS, [("*", FALLING)])


def test_two_charts_do_not_mix():
    first = night_chart(HOURS, [("*", FALLING)])
    night_chart(HOURS, [(".", [30.0] * 33)], rules=[28.0])
    assert night_chart(HOURS, [("*", FALLING)]) == first


@pytest.mark.parametrize("values", [[], [float("nan")] * 33, [float("inf")] * 33, [1e300] * 33])
def test_nothing_to_draw_is_no_chart(values):
    assert night_chart(HOURS[: len(values)], [("*", values)]) == ""


def test_without_the_library_there_is_no_chart(monkeypatch):
    real = builtins.__import__

    def missing(name, *rest, **kwargs):
        if name == "plotext":
            raise ImportError(name)
        return real(name, *rest, **kwargs)

    monkeypatch.setattr(builtins, "__import__", missing)
    monkeypatch.delitem(sys.modules, "plotext", raising=False)
    assert night_chart(HOURS, [("*", FALLING)]) == ""


def test_points_stand_alone_where_they_are_not_joined():
    """Four points: four marks, and a line through them has many."""
    days, values = [0.0, 10.0, 20.0, 30.0], [10.0, 20.0, 12.0, 18.0]
    alone = night_chart(days, [("o", values)], joined=False, size=(60, 14))
    assert alone.count("o") == 4
    assert night_chart(days, [("o", values)], size=(60, 14)).count("o") > 20


def test_bars_are_as_long_as_their_amounts():
    """40 columns: label 1, words 2, 3 between leave 34 for the longest; a half of it is 17."""
    first, second, third = bars(
        [("a", 4.0, "4k"), ("b", 2.0, "2k"), ("c", 0.0, "0k")], columns=40
    ).splitlines()
    assert [row.count(BAR) for row in (first, second, third)] == [34, 17, 0]
    assert len(first) == 40
    assert third == "c │ 0k"


@pytest.mark.parametrize("odd", [float("nan"), float("inf"), -3.0])
def test_an_odd_amount_has_no_bar_and_spoils_no_other(odd):
    first, second = bars([("a", odd, "?"), ("b", 2.0, "2")], columns=40).splitlines()
    assert BAR not in first
    assert BAR in second


def test_no_bars_at_all():
    assert bars([]) == ""
    assert BAR not in bars([("a", 0.0, "0 kg")])


FUZZ = """
import math, random, sys
from logbook.plain_chart import night_chart
dice = random.Random(int(sys.argv[1]))
odd = [math.nan, math.inf, -math.inf, 0.0, -0.0, 1e308, -1e308, 5e-324, 1e9, 20.0, 20.0, -40.0]
def number():
    return dice.choice(odd) if dice.random() < 0.4 else dice.uniform(-60, 60)
for _ in range(120):
    count = dice.choice([0, 1, 2, 3, 33])
    hours = [number() for _ in range(count)] if dice.random() < 0.5 else [0.25 * i for i in range(count)]
    lengths = [dice.choice([count, count, 5]) for _ in range(3)]
    lines = [(dice.choice("*.+o"), [number() for _ in range(n)]) for n in lengths]
    night_chart(
        hours, lines, rules=[number() for _ in range(2)], ticks=[(number(), "22:30") for _ in range(4)],
        size=(dice.choice([0, 1, 10, 78, 500]), dice.choice([0, 1, 5, 16, 200])),
    )
print("whole")
"""


@pytest.mark.parametrize("seed", ["1", "2"])
def test_no_numbers_bring_it_down(seed):
    """In a process of its own: the library has been seen to abort the interpreter, or to hang."""
    got = subprocess.run(
        [sys.executable, "-c", FUZZ, seed], capture_output=True, text=True, timeout=60, check=False
    )
    assert (got.returncode, got.stdout.strip()) == (0, "whole"), got.stderr[-2000:]
