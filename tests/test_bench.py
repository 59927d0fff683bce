"""The benchmark's own arithmetic, and each part in miniature: that it runs and what it says is whole."""

from __future__ import annotations

import importlib
import os
import re
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

ROOT = Path(__file__).resolve().parent.parent
SCRIPTS = ROOT / "scripts"


@pytest.fixture(scope="module")
def bench():
    """The script's own modules, imported as the script imports them: by standing beside it."""
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module
    finally:
        sys.path.remove(str(SCRIPTS))


@pytest.fixture(scope="module")
def outcome(bench):
    """Makes an outcome of a night: the range forecast, what came, and whatever else differs."""
    cabins = bench("benching.cabins")

    def make(wake, woke_c, **more):
        plain = {
            "cabin": "alder", "notebook": "full", "night": "S01N1", "stay": 1, "plan": "lived",
            "acted": False,
            "load_share": 0.5, "air_pct": 40.0, "first_night": True, "dead": False, "reloaded": False,
            "forgot_before": False, "peak": (20.0, 22.0, 25.0), "peaked_c": 21.0,
        }  # fmt: skip
        return cabins.Outcome(**{**plain, **more}, wake=wake, woke_c=woke_c)

    return make


def miniature(*parts: str) -> str:
    done = subprocess.run(
        [sys.executable, str(SCRIPTS / "bench.py"), *parts, "--quick"],
        capture_output=True, text=True, check=False, timeout=120,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


def rows_of(text: str) -> list[list[str]]:
    return [
        [cell.strip() for cell in row.strip("|").split("|")] for row in text.splitlines() if row[:1] == "|"
    ]


# Arithmetic


def test_score_by_hand(bench, outcome):
    """Two nights worked by hand: middles +1 and -3 K off, the second truth 1 K above its range of 4 K."""
    two = [outcome((10.0, 13.0, 16.0), 12.0), outcome((8.0, 10.0, 12.0), 13.0)]
    got = bench("benching.scores").score(two)
    assert got.count == 2
    assert got.rmse_k == pytest.approx(np.sqrt((1.0 + 9.0) / 2.0))
    assert got.bias_k == pytest.approx((1.0 - 3.0) / 2.0)
    assert got.held == 0.5
    assert got.width_k == pytest.approx((6.0 + 4.0) / 2.0)
    assert got.interval_k == pytest.approx((6.0 + 4.0 + 20.0 * 1.0) / 2.0)  # 2 / 0.1 per K outside


def test_the_peak_is_scored_by_the_peak(bench, outcome):
    one = [outcome((0.0, 1.0, 2.0), 50.0, peak=(20.0, 23.0, 25.0), peaked_c=22.0)]
    assert bench("benching.scores").score(one, peak=True).rmse_k == pytest.approx(1.0)


def test_nights_somebody_acted_in_are_not_lived_as_planned(bench, outcome):
    scores = bench("benching.scores")
    acted, plan = outcome((1, 2, 3), 2, acted=True), outcome((1, 2, 3), 2, plan="fill_and_shut")
    assert not scores.is_lived(acted)
    assert not scores.is_plan(acted)
    assert scores.is_plan(plan)
    assert not scores.is_lived(plan)


def test_kinds_tell_every_night_apart_once(bench, outcome):
    """Within cabin, stay, load, air and night each outcome is of one kind and no more; edges included."""
    kinds = bench("benching.scores").kinds()
    for share in (0.0, 0.1, 0.35, 0.36, 0.7, 0.71, 1.2):
        for air in (0.0, 10.0, 11.0, 30.0, 31.0, 100.0):
            for stay in (1, 2, 5, 6, 40):
                one = outcome((1, 2, 3), 2, load_share=share, air_pct=air, stay=stay)
                for group in ("cabin", "stay", "load", "air", "night"):
                    assert sum(wanted(one) for wanted in kinds[group].values()) == 1, (
                        group,
                        share,
                        air,
                        stay,
                    )


def test_a_kind_held_too_seldom_is_named(bench, outcome):
    """Twenty nights, six of them outside: 70 %. With nineteen nothing is said."""
    inside, outside = outcome((10.0, 12.0, 14.0), 13.0), outcome((10.0, 12.0, 14.0), 15.0)
    found = bench("benching.scores").held_too_seldom([inside] * 14 + [outside] * 6)
    assert any(said == "alder, lived, wake: 70% of 20" for said in found)
    assert bench("benching.scores").held_too_seldom([inside] * 13 + [outside] * 6) == []


@pytest.mark.parametrize(
    ("value", "least", "most", "met"),
    [(1.7, None, 1.7, True), (1.71, None, 1.7, False), (82.9, 83.0, 97.0, False), (97.0, 83.0, 97.0, True),
     (97.1, 83.0, 97.0, False), (99.0, 100.0, None, False), (float("nan"), None, 2.0, False)],
)  # fmt: skip
def test_an_aim_marks_itself(bench, value, least, most, met):
    table = bench("benching.table")
    aim = table.Aim("figure", value, least=least, most=most)
    assert aim.met is met
    assert (aim.row()[-1] == table.NOT_MET) is not met


def test_a_figure_without_aim_is_only_said(bench):
    assert bench("benching.table").Aim("figure", 3.0, " K").row() == ["figure", "3.00 K", "–", ""]


def test_tables_have_the_same_cells_in_every_row(bench):
    lines = list(bench("benching.table").table(("a", "bcd"), [["1", "2"], ["long one", "3"]]))
    assert {line.count("|") for line in lines} == {3}
    assert len({len(line) for line in lines}) == 1


def test_effective_draws_of_known_chains(bench):
    """Independent draws are worth their number, a slow chain (correlation 0.9) 1/19 of it: (1-r)/(1+r)."""
    nuts = bench("benching.nuts")
    rng = np.random.default_rng(2)
    free = rng.standard_normal(20_000)
    assert nuts.effective_draws(free) == pytest.approx(20_000, rel=0.1)
    slow = np.zeros(20_000)
    for i in range(1, len(slow)):
        slow[i] = 0.9 * slow[i - 1] + free[i]
    assert nuts.effective_draws(slow) == pytest.approx(20_000 / 19.0, rel=0.25)


def test_quantile_error_of_a_known_distribution(bench):
    """Spread of sample quantiles over 2,000 samples of 400 normal draws, at 5 and 50 %: within a tenth."""
    samples = np.random.default_rng(3).standard_normal((2000, 400))
    for percent in (5.0, 50.0):
        true = float(np.percentile(samples, percent, axis=1).std())
        said = bench("benching.nuts").quantile_error(samples.ravel(), percent, 400.0)
        assert said == pytest.approx(true, rel=0.1)


def test_notebooks_laid_end_to_end_keep_their_stays_and_seasons(bench):
    told = bench("benching.told")
    one, three = told.notebook(1), told.notebook(3 * told.demo_stays())
    assert len(three) == 3 * len(one)
    apart = one[0].at - three[0].at
    assert apart == 2 * told.APART
    assert apart % timedelta(days=7) == timedelta(0)
    assert one == three[-len(one) :]
    stays = importlib.import_module("logbook.heat.notebook").stays
    assert len(stays(three)) == 3 * len(stays(one))


def test_gradient_of_the_sampler_is_the_density_s_own(bench):
    """J'r by one-sided differences against central differences of the value: the sampler and ours see one
    density."""
    nuts = bench("benching.nuts")
    fit, mode_of = (importlib.import_module(f"logbook.heat.{name}") for name in ("fit", "mode"))
    told = bench("benching.told")
    rows = told.notebook(1)
    stays = importlib.import_module("logbook.heat.notebook").stays(rows)
    b = fit.prepare(fit.useful_stays(stays, 1), descriptions=told.described(), changes=())
    mode = mode_of.find_modes(b, [np.zeros(b.frame.size)], rounds=1)[0]
    value, gradient = nuts.density(b, mode)
    z = mode.z + 0.1
    ahead, at = gradient(z)
    assert at == pytest.approx(value(z), rel=1e-6)
    wide = 0.02
    central = [(value(z + wide * e) - value(z - wide * e)) / (2 * wide) for e in np.eye(len(z))]
    # One-sided differences of residuals are off by half a step times the curvature, about 1 sd here.
    np.testing.assert_allclose(ahead, central, atol=0.05 * float(np.abs(central).max()) + 0.1)


# What a plan that nobody ran would have cost


BED = datetime(2026, 1, 16, 22, 0, tzinfo=UTC)
TIMES = [BED + timedelta(minutes=15 * i) for i in range(33)]


def courses(start_c, warmth, plans=(0.0, 2.0, 4.0, 6.0)):
    """A room that loses 1.5 K/h and gains 1.2 K/h a kilogram for 4 h, each draw with its own warmth; °C, axes
    (plan, draw, time)."""
    hours = np.arange(33) / 4.0
    fire = np.minimum(hours, 4.0)
    return np.array([start_c - 1.5 * hours + 1.2 / 4.0 * kg * np.outer(warmth, fire) for kg in plans])


@pytest.fixture
def night_known(bench):
    """A night of warmth 1.3 beside draws of 0.5 to 1.8: what came of four plans, and of a fifth."""
    hindsight = bench("benching.hindsight")
    span = hindsight.Span.of(TIMES, bed=BED)
    true = courses(20.0, np.array([1.3]), plans=(0.0, 2.0, 4.0, 6.0, 3.0))
    came = tuple(hindsight.Run(float(c[0, -1]), float(span.peak(c)[0]), float(span.cost(c)[0])) for c in true)
    draws = np.random.default_rng(4).uniform(0.5, 1.8, 400)
    drawn = courses(20.0, draws, plans=(0.0, 2.0, 4.0, 6.0, 3.0))
    return hindsight, span, drawn, came


def test_degree_hours_leave_out_the_first_hour(bench):
    """15 °C flat for eight hours: one degree for seven."""
    span = bench("benching.hindsight").Span.of(TIMES, bed=BED)
    flat = np.full((1, 33), 15.0)
    flat[0, :4] = 40.0  # up to 45 min after bed
    assert span.cost(flat)[0] == pytest.approx(7.0)
    assert span.peak(flat)[0] == 15.0


def test_a_plan_nobody_ran_is_estimated_from_those_that_were(night_known):
    """The fifth plan's cost to within a twentieth of what the draws leave open."""
    hindsight, span, drawn, came = night_known
    told = hindsight.Known(drawn[:4], came[:4])
    would = hindsight.estimate(drawn[4], told, span)
    before = span.cost(drawn[4])
    assert abs(before.mean() - came[4].cost) > 1.0, "else the test shows nothing"
    assert abs(would.cost - came[4].cost) < 0.05 * before.std()
    assert would.chance_at_most(came[4].cost + 0.5) > 0.95
    assert would.chance_at_most(came[4].cost - 0.5) < 0.05


def test_weights_favour_the_draws_that_foretold_the_night(night_known):
    hindsight, span, drawn, came = night_known
    weights = hindsight.weights_of(hindsight.Known(drawn[:4], came[:4]), span)
    assert weights.sum() == pytest.approx(1.0)
    assert 1.0 / (weights**2).sum() >= hindsight.LEAST_DRAWS
    warmth = np.random.default_rng(4).uniform(0.5, 1.8, 400)
    assert float(weights @ warmth) == pytest.approx(1.3, abs=0.1)


def test_a_plan_left_out_is_not_known(night_known):
    hindsight, _, drawn, came = night_known
    told = hindsight.Known(drawn[:4], came[:4]).without(1)
    assert told.came == (came[0], came[2], came[3])
    assert told.indoor_c.shape == (3, 400, 33)


def test_best_clean_plans_are_carried_out_as_the_practice_cabins_did(bench):
    """Wide for 12 min, then down; the second load by its minutes after bed; the window from the start."""
    steps = bench("benching.advice").clean_steps(
        {"kg": 2.0, "air_pct": 20, "second_kg": 1.5, "second_minutes_after_bed": 180, "window_cracked": True},
        BED,
    )
    after = [((e.at - BED) / timedelta(minutes=1), e.load_kg, e.air_open_pct) for e in steps]
    assert after == [(0, None, None), (0, 2.0, 60), (12, None, 20), (180, 1.5, 60), (192, None, 20)]
    assert steps[0].window == "cracked"


# Parts in miniature


def test_first_choices_in_miniature():
    """Two nights: every figure with an aim is marked, the estimate's own error stands beside it."""
    said = miniature("advice")
    rows = rows_of(said)
    assert sum(row[-1] in ("met", "**not met**") for row in rows) >= 4
    assert sum("error" in row[0] for row in rows) == 3
    assert "never run" in said
    assert ["alder", "2"] in [row[:2] for row in rows]


def test_practice_in_miniature():
    """Two nights of one cabin: every figure with an aim is there and marked; none is to be quoted."""
    said = miniature("practice")
    assert "MINIATURE" in said
    rows = rows_of(said)
    marked = [row for row in rows if row[-1] in ("met", "**not met**")]
    assert len(marked) >= 6
    count = {row[1]: row[2] for row in rows if row[0] == "all"}
    assert count == {"lived": "1", "plans": "8"}  # one of the two nights somebody acted in
    assert any(row[0] == "somebody acted in the night" for row in rows)
    (known,) = (row for row in rows if row[:3] == ["first stay", "plans", "4"] and len(row) == 9)
    assert 0.0 < float(known[5]) < float(known[4]), "knowing cabin and stove narrows the waking"
    assert 0.0 < float(known[8]) < float(known[7]), "and the peak"


@pytest.mark.parametrize("part", ["coverage", "compare", "next"])
def test_invented_cabins_in_miniature(part):
    assert len(rows_of(miniature(part))) >= 3


def test_measured_house_without_its_data_says_what_to_do():
    assert "--data DIR" in miniature("coheating")


def test_unknown_part_is_refused_with_the_names():
    done = subprocess.run([sys.executable, str(SCRIPTS / "bench.py"), "speeed"],
                          capture_output=True, text=True, check=False)  # fmt: skip
    assert done.returncode == 2
    assert "speeed" in done.stderr
    assert "practice" in done.stderr


def test_help_names_every_part(bench):
    done = subprocess.run([sys.executable, str(SCRIPTS / "bench.py"), "--help"],
                          capture_output=True, text=True, check=False)  # fmt: skip
    assert done.returncode == 0
    for name in bench("benching.parts").PARTS:
        assert re.search(rf"^  {name} ", done.stdout, re.MULTILINE), name
