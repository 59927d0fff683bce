"""The night ahead: what every plan must do to the forecast; the conditioning against a Kalman smoother."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np
import pytest
from reference_filter import smoothed
from simulated import HOUR, Lived, _with_plan, live

from logbook.heat.arrays import STEP_H
from logbook.heat.conditioning import condition
from logbook.heat.effects import (
    DISCREPANCY_H,
    DISCREPANCY_SD_K,
    LOAD_SHAPES,
    effects,
    error_variance,
    matern,
    seen,
    wind_blocks,
    wind_effects,
)
from logbook.heat.fit import Posterior, learn
from logbook.heat.mode import whitening
from logbook.heat.model import batch, simulate
from logbook.heat.night import (
    Base,
    Paths,
    _felt_k,
    _mode_night,
    _new_heat_w,
    current_stay,
    fire_now,
    forecast,
    plans_on_grid,
    prepare_night,
)
from logbook.heat.outdoors_ahead import Evening
from logbook.heat.scenario import cut
from logbook.records import DatedDescription, Entry, Mark, Window

DRAWS = 200


@dataclass(frozen=True)
class Evenings:
    """One invented evening, learned from, and a way to ask of it."""

    lived: Lived
    entries: tuple[Entry, ...]
    posterior: Posterior

    def base(self, **changed: object) -> Base:
        return prepare_night(
            posterior=self.posterior,
            descriptions=self.lived.descriptions,
            entries=self.entries,
            evening=replace(self.lived.evening, **changed),  # type: ignore[arg-type]
            rng=np.random.default_rng(9),
        )

    def ask(
        self, *plans: Sequence[Entry], entries: Sequence[Entry] | None = None, **changed: object
    ) -> Paths:
        return forecast(
            posterior=self.posterior,
            descriptions=self.lived.descriptions,
            entries=self.entries if entries is None else entries,
            evening=replace(self.lived.evening, **changed),  # type: ignore[arg-type]
            plans=plans,
            rng=np.random.default_rng(9),
        )

    def step(self, minutes: float = 0.0, **said: object) -> Entry:
        return Entry(at=self.lived.evening.as_of + timedelta(minutes=minutes), **said)  # type: ignore[arg-type]

    def load(self, kg: float, air: float = 40.0) -> tuple[Entry, ...]:
        return (self.step(load_kg=kg, air_open_pct=air),)


@pytest.fixture(scope="module")
def night() -> Evenings:
    """The last row is a reading at bedtime, so that the room now is known."""
    lived = live(8)
    bed = Entry(at=lived.evening.as_of, indoor_c=lived.entries[-1].indoor_c, mark=Mark.BED)
    entries = (*lived.entries, bed)
    posterior = learn(
        descriptions=lived.descriptions,
        entries=entries,
        as_of=lived.evening.as_of,
        rng=np.random.default_rng(1),
        draws=DRAWS,
    )
    return Evenings(lived, entries, posterior)


def wake(paths: Paths, plan: int = 0) -> float:
    return float(np.median(paths.indoor_c[plan, :, -1]))


def width(paths: Paths, plan: int, at: int = -1) -> float:
    low, high = np.percentile(paths.indoor_c[plan, :, at], [5.0, 95.0])
    return float(high - low)


# The shape of the answer


def test_paths_run_from_now_to_waking_every_quarter_of_an_hour(night: Evenings) -> None:
    got = night.ask((), night.load(3.0))
    start, end = night.lived.evening.as_of, night.lived.evening.wake
    assert abs(got.times[0] - start) <= timedelta(minutes=2.5)
    assert abs(got.times[-1] - end) <= timedelta(minutes=5)
    gaps = np.diff([t.timestamp() for t in got.times]) / 60.0
    assert (gaps[:-1] == 15.0).all()
    assert 0.0 < gaps[-1] <= 15.0
    assert got.indoor_c.shape == (2, DRAWS, len(got.times))
    assert got.fire.shape == got.left_kg_dry.shape == (2, len(got.times))
    assert got.outdoor_c.shape == (len(got.times),)
    assert np.isfinite(got.indoor_c).all()
    assert not got.arriving


def test_paths_start_at_the_last_reading(night: Evenings) -> None:
    """Three thermometer errors (0.45 K) of it in the middle, and no draw goes its own way there."""
    got = night.ask(())
    now = got.indoor_c[0, :, 0]
    assert abs(float(np.median(now)) - float(night.entries[-1].indoor_c or 0.0)) < 1.35
    assert float(now.std()) < 1.0


def test_a_reading_pulls_the_whole_night(night: Evenings) -> None:
    """The same evening with two kelvin more on the last rows is warmer now, and still at waking."""
    last = [replace(e, indoor_c=(e.indoor_c or 0.0) + 2.0) for e in night.entries[-2:]]
    before, after = night.ask(()), night.ask((), entries=[*night.entries[:-2], *last])
    assert 0.8 < float(np.median(after.indoor_c[0, :, 0] - before.indoor_c[0, :, 0])) < 2.2
    assert wake(after) > wake(before)


def test_same_dice_same_night(night: Evenings) -> None:
    np.testing.assert_array_equal(night.ask(night.load(3.0)).indoor_c, night.ask(night.load(3.0)).indoor_c)


def test_later_rows_do_not_exist(night: Evenings) -> None:
    later = [night.step(30, indoor_c=35.0, outdoor_c=-30.0, load_kg=6.0, air_open_pct=100.0)]
    np.testing.assert_array_equal(
        night.ask(night.load(3.0)).indoor_c,
        night.ask(night.load(3.0), entries=[*night.entries, *later]).indoor_c,
    )


# What a plan does


def test_no_fire_leaves_the_air_as_it_stands(night: Evenings) -> None:
    stood = next(e.air_open_pct for e in reversed(night.entries) if e.air_open_pct is not None)
    got = night.ask((), (night.step(air_open_pct=stood),), (night.step(air_open_pct=100.0),))
    np.testing.assert_array_equal(got.indoor_c[0], got.indoor_c[1])
    assert not np.array_equal(got.indoor_c[0], got.indoor_c[2])


def test_the_window_is_shut_unless_the_plan_names_it(night: Evenings) -> None:
    """Also when it stood open until now."""
    opened = [*night.entries, night.step(-1, window=Window.OPEN)]
    got = night.ask(
        (), (night.step(window=Window.SHUT),), (night.step(window=Window.CRACKED),), entries=opened
    )
    np.testing.assert_array_equal(got.indoor_c[0], got.indoor_c[1])
    assert wake(got, 2) < wake(got, 0) - 0.3
    wide = night.ask((night.step(window=Window.CRACKED),), (night.step(window=Window.OPEN),))
    assert wake(wide, 1) < wake(wide, 0)


def test_a_window_open_until_now_is_shut_for_the_night_in_the_effects_too(night: Evenings) -> None:
    """What the readings pull on is reckoned with the window as the night has it."""
    opened = replace(night, entries=(*night.entries, night.step(-20, window=Window.OPEN)))
    base = opened.base()
    assert base.scenario.window[base.now - 1] == 2.0
    assert not base.scenario.window[base.now :].any()
    assert not base.mode_sim.window_w_per_k[base.now :].any()
    assert all(last <= base.now for _, last, _ in base.scenario.episodes)


def test_a_load_stands_open_first_unless_the_plan_turns_it_down(night: Evenings) -> None:
    """'load 4kg air 10%' is 'load 4kg air 60%; +10 min air 10%' on the five-minute grid, and not
    'load 4kg air 10%; +5 min air 10%'."""
    said = (night.step(load_kg=4.0, air_open_pct=60.0), night.step(10, air_open_pct=10.0))
    shut = (night.step(load_kg=4.0, air_open_pct=10.0), night.step(5, air_open_pct=10.0))
    got = night.ask(night.load(4.0, 10.0), said, shut)
    np.testing.assert_allclose(got.indoor_c[0], got.indoor_c[1], atol=1e-4)
    assert not np.allclose(got.indoor_c[0], got.indoor_c[2], atol=0.05)


def test_more_wood_is_warmer_and_less_sure(night: Evenings) -> None:
    """At the height of the fire and at waking; the range widens with the load by itself."""
    got = night.ask((), *(night.load(kg) for kg in (1.5, 3.0, 6.0)))
    middles, peaks = ([f(got, p) for p in range(4)] for f in (wake, peak))
    assert middles == sorted(middles)
    assert peaks == sorted(peaks)
    assert peaks[3] > peaks[0] + 1.0
    widths = [width(got, p, len(got.times) // 2) for p in range(4)]
    assert widths[1:] == sorted(widths[1:])  # beside the smallest load, no load knows the coals no better
    assert widths[3] > widths[0] + 0.5


def test_a_load_has_luck_of_its_own(night: Evenings) -> None:
    """Even of a cabin and stove known exactly, a night with a big load is less sure than one without."""
    known = replace(night.posterior, z=np.repeat(night.posterior.mode[None, :], 400, axis=0))
    got = replace(night, posterior=known).ask((), night.load(6.0))
    middle = len(got.times) // 2
    none, big = (float(got.indoor_c[p, :, middle].std()) for p in range(2))
    assert big > none + 0.2
    assert float(np.corrcoef(got.indoor_c[0, :, middle], got.indoor_c[1, :, middle])[0, 1]) < 0.98


def peak(paths: Paths, plan: int) -> float:
    return float(np.median(paths.indoor_c[plan].max(axis=1)))


def test_more_than_the_firebox_takes_is_no_warmer(night: Evenings) -> None:
    limit = night.lived.descriptions[0].description.stove.max_load_kg
    got = night.ask(night.load(limit * 2.0), night.load(limit * 3.0))
    np.testing.assert_allclose(got.indoor_c[0], got.indoor_c[1], atol=1e-4)


def test_what_burns_and_what_is_left(night: Evenings) -> None:
    got = night.ask((), night.load(5.0))
    assert set(np.unique(got.fire)) <= {0, 1, 2}
    assert got.fire[1, 1] == 2
    assert (got.left_kg_dry >= 0.0).all()
    assert got.left_kg_dry[1, 1] > got.left_kg_dry[0, 1] + 2.0
    assert (np.diff(got.left_kg_dry[1, 1:]) <= 1e-9).all()
    assert (np.diff(got.fire[1, 1:]) <= 0).all()


def test_a_stove_counts_as_out_only_where_hardly_a_draw_has_anything_left(
    night: Evenings, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half of the draws burned out says nothing about the coals in the other half."""
    plain = night.ask(night.load(1.0))
    assert not (plain.may_glow < (plain.fire > 0)).any()
    just_over = float(plain.left_kg_dry[0, -1]) + 0.01  # at waking the middle of the draws has less than this
    for place in ("night", "branch"):
        monkeypatch.setattr(f"logbook.heat.{place}.DEAD_STOVE_KG", just_over)
    monkeypatch.setattr("logbook.heat.night.WOOD_LEFT_KG", just_over)
    got = night.ask(night.load(1.0))
    assert (got.fire[0, -1], got.may_glow[0, -1], got.burning[0, -1]) == (0, True, 1)
    assert got.burning[0, 1] == got.fire[0, 1] == 2


@pytest.mark.parametrize(
    ("wood", "char", "fire"),
    [
        ([1.0] * 60 + [0.0] * 40, [0.2] * 100, 2),
        ([0.0] * 94 + [0.4] * 6, [0.0] * 100, 1),  # a dead fire in 94 of 100 may glow
        ([0.0] * 100, [0.06] * 6 + [0.0] * 94, 1),
        ([0.0] * 100, [0.06] * 5 + [0.0] * 95, 0),
        ([0.03] * 100, [0.03] * 100, 1),
        ([0.0] * 100, [0.04] * 100, 0),
        ([0.24] * 100, [0.002] * 100, 1),  # cold wood left unburnt: warned of, but no fire that burns
    ],
)
def test_how_a_stove_stands_by_its_draws(wood: list[float], char: list[float], fire: int) -> None:
    assert fire_now(np.array(wood), np.array(char)) == fire


def test_identical_plans_share_their_luck(night: Evenings) -> None:
    """Also across the blocks in which plans are run, so that plans differ by what they do alone."""
    got = night.ask(*([night.load(3.0)] * 20))
    for plan in range(1, 20):
        np.testing.assert_allclose(got.indoor_c[plan], got.indoor_c[0], atol=1e-4)


def test_two_plans_differ_less_than_two_nights(night: Evenings) -> None:
    """Draw by draw: the luck of outdoors, wind and room is common to all plans."""
    got = night.ask(night.load(3.0), night.load(3.5))
    between = got.indoor_c[1, :, -1] - got.indoor_c[0, :, -1]
    assert float(between.std()) < 0.35 * float(got.indoor_c[0, :, -1].std())


def test_a_second_load_in_the_night_comes_when_it_comes(night: Evenings) -> None:
    first = night.load(3.0)
    got = night.ask(first, (*first, night.step(240, load_kg=3.0, air_open_pct=40.0)))
    before = [i for i, t in enumerate(got.times) if t <= night.lived.evening.as_of + timedelta(minutes=235)]
    one, two = (np.median(got.indoor_c[p][:, before], axis=0) for p in range(2))
    # Not to the last digit: a load's luck with its timing counts its heat up to the next load.
    np.testing.assert_allclose(two, one, atol=0.15)
    assert wake(got, 1) > wake(got, 0) + 0.5


# What is known of the night


def test_a_colder_night_is_colder(night: Evenings) -> None:
    low = night.lived.evening.night_low_c or 0.0
    mild, cold = night.ask((), night_low_c=low), night.ask((), night_low_c=low - 6.0)
    assert cold.outdoor_c[-1] == pytest.approx(mild.outdoor_c[-1] - 6.0, abs=0.3)
    assert 0.5 < wake(mild) - wake(cold) < 6.0


def test_without_a_forecast_low_the_range_is_wider_and_it_says_so(night: Evenings) -> None:
    known, guessed = night.ask(()), night.ask((), night_low_c=None)
    assert (known.outdoor_guessed, guessed.outdoor_guessed) == (False, True)
    assert width(guessed, 0) > width(known, 0) + 0.3


def test_an_hourly_forecast_goes_before_the_low(night: Evenings) -> None:
    start = night.lived.evening.as_of
    hours = tuple((start + i * HOUR, -15.0) for i in range(10))
    got, other = (night.ask((), outdoor=hours, night_low_c=low) for low in (5.0, None))
    np.testing.assert_array_equal(got.indoor_c, other.indoor_c)
    assert not got.outdoor_guessed
    offset = float(np.ptp(got.outdoor_c))
    assert offset == pytest.approx(0.0, abs=1e-9)
    assert wake(got) < wake(night.ask((), night_low_c=5.0))


def test_arriving_in_a_cold_cabin_is_answered(night: Evenings) -> None:
    """No line of this stay yet: the room is guessed from outdoors, widely, and the answer knows it."""
    later = night.lived.evening.as_of + timedelta(days=6)
    changed = {"as_of": later, "bed": later, "wake": later + 8 * HOUR}
    plan = (Entry(at=later, load_kg=5.0, air_open_pct=60.0, kindling=True),)
    got = night.ask((), plan, **changed)
    assert got.arriving
    assert np.isfinite(got.indoor_c).all()
    assert width(got, 0, 0) > 3.0
    assert peak(got, 1) > peak(got, 0) + 3.0


def test_who_has_left_is_not_there_any_more(night: Evenings) -> None:
    gone = [*night.entries, night.step(mark=Mark.LEFT)]
    assert night.ask((), entries=gone).arriving
    assert not night.ask(()).arriving


def test_a_description_and_nothing_else_is_answered(scant: list[DatedDescription], night: Evenings) -> None:
    now = night.lived.evening.as_of
    posterior = learn(descriptions=scant, entries=(), as_of=now, rng=np.random.default_rng(0), draws=100)
    got = forecast(
        posterior=posterior,
        descriptions=scant,
        entries=(),
        evening=Evening(as_of=now, bed=now, wake=now + 8 * HOUR),
        plans=[(), (Entry(at=now, load_kg=4.0, air_open_pct=50.0),)],
        rng=np.random.default_rng(0),
    )
    assert np.isfinite(got.indoor_c).all()
    assert got.outdoor_guessed
    assert got.arriving
    assert width(got, 1) > 5.0


# The conditioning


class Unit:
    """Dice that show each direction once: what is drawn is then the factor of the covariance itself."""

    def __init__(self, rows: np.ndarray) -> None:
        self.rows = rows

    def standard_normal(self, shape: tuple[int, int]) -> np.ndarray:
        assert shape == self.rows.shape
        return self.rows


def conditioned(base: Base, outdoor_sd: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of the path at the mode and of the wind's blocks, as the product has them, the
    nugget taken off."""
    size = len(base.grid) + wind_blocks(base.scenario.steps).shape[1]
    course = base.mode_sim.air_c[: base.now + 1, :, 0]

    def with_dice(rows: np.ndarray) -> np.ndarray:
        got = condition(
            base.batch,
            mode=base.mode,
            mode_sim=base.mode_sim,
            course=np.repeat(course, len(rows), axis=1),
            outdoor_sd=outdoor_sd,
            grid=base.grid,
            now=base.now,
            rng=Unit(rows),  # type: ignore[arg-type]
        )
        return np.concatenate([got.course_k, got.wind], axis=1)

    mean = with_dice(np.zeros((1, size)))[0]
    factor = with_dice(np.eye(size)) - mean
    return mean, factor.T @ factor - 1e-6 * np.eye(size)


@pytest.fixture(scope="module")
def parts(night: Evenings) -> dict[str, np.ndarray]:
    """What the reference needs: where readings look, how each effect shows there and on the grid."""
    base = night.base()
    s, b = base.scenario, base.batch
    outdoor_sd = np.linspace(1.0, 2.0, s.steps)
    response = effects(b, base.mode, base.mode_sim, outdoor_sd=[outdoor_sd])[0].response_k
    course = base.mode_sim.air_c[: s.steps + 1, 0, 0]
    look = seen(s, course)
    past = batch(b.frame, [cut(s, base.now)])
    sim = simulate(past, base.mode[None, :])
    known = [outdoor_sd[: base.now]]
    first = whitening(past, base.mode, sim, None, outdoor_sd=known)
    (white,) = whitening(past, base.mode, sim, first, outdoor_sd=known)
    past_course = base.mode_sim.air_c[: base.now + 1, 0, 0]
    mean, covariance = conditioned(base, outdoor_sd)
    return {
        "reading_h": s.reading_at * STEP_H,
        "reading_basis": look.at(response),
        "reading_variance_k2": error_variance(s, course) / white.weights,
        "miss_k": s.reading_c - look.at(np.append(past_course, past_course[-1])),
        "grid_h": base.grid * STEP_H,
        "grid_basis": response[base.grid],
        "wind_basis": np.eye(response.shape[1])[wind_effects(s)],
        "mean": mean,
        "covariance": covariance,
    }


def test_conditioning_is_what_a_kalman_smoother_finds(parts: dict[str, np.ndarray]) -> None:
    """All effects and the Matern-3/2 discrepancy as a state space, smoothed by pykalman: the same mean and
    the same spread at every quarter of an hour of the night, to a millionth of a kelvin."""
    given = {key: value for key, value in parts.items() if key not in ("mean", "covariance", "wind_basis")}
    reference = smoothed(sd_k=DISCREPANCY_SD_K, length_h=DISCREPANCY_H, **given)
    times = len(parts["grid_h"])
    np.testing.assert_allclose(parts["mean"][:times], reference.mean_k, atol=1e-6)
    np.testing.assert_allclose(np.diag(parts["covariance"])[:times], reference.variance_k2, atol=1e-6)


def test_the_smooth_discrepancy_alone_is_what_a_kalman_smoother_finds() -> None:
    """The kernel against the stochastic differential equation it stands for, at uneven times."""
    rng = np.random.default_rng(3)
    at, grid = np.sort(rng.uniform(0.0, 12.0, 15)), np.linspace(0.0, 20.0, 41)
    variance, miss = rng.uniform(0.1, 0.5, 15), rng.normal(0.0, 1.0, 15)
    none = np.zeros((15, 0)), np.zeros((41, 0))
    reference = smoothed(
        reading_h=at,
        reading_basis=none[0],
        reading_variance_k2=variance,
        miss_k=miss,
        grid_h=grid,
        grid_basis=none[1],
        sd_k=DISCREPANCY_SD_K,
        length_h=DISCREPANCY_H,
    )
    gain = np.linalg.solve(matern(at, at) + np.diag(variance), matern(at, grid)).T
    np.testing.assert_allclose(gain @ miss, reference.mean_k, atol=1e-6)
    left = np.diag(matern(grid, grid) - gain @ matern(at, grid))
    np.testing.assert_allclose(left, reference.variance_k2, atol=1e-6)


def test_times_of_the_night_hang_together_as_they_should(parts: dict[str, np.ndarray]) -> None:
    """The whole covariance, from the other form of the same algebra: precisions added, then inverted.
    Unknowns are the effects and the discrepancy at all times; wanted, the path and the wind."""
    rows_h, grid_h = parts["reading_h"], parts["grid_h"]
    basis, grid_basis = parts["reading_basis"], parts["grid_basis"]
    times, effect_count = np.concatenate([rows_h, grid_h]), basis.shape[1]
    smooth = matern(times, times) + 1e-10 * np.eye(len(times))
    prior = np.zeros((effect_count + len(times),) * 2)
    prior[:effect_count, :effect_count] = np.eye(effect_count)
    prior[effect_count:, effect_count:] = np.linalg.inv(smooth)
    see = np.zeros((len(rows_h), effect_count + len(times)))
    see[:, :effect_count] = basis
    see[np.arange(len(rows_h)), effect_count + np.arange(len(rows_h))] = 1.0
    left = np.linalg.inv(prior + see.T @ (see / parts["reading_variance_k2"][:, None]))
    effects_wanted = np.concatenate([grid_basis, parts["wind_basis"]])
    want = np.zeros((len(effects_wanted), effect_count + len(times)))
    want[:, :effect_count] = effects_wanted
    want[np.arange(len(grid_h)), effect_count + len(rows_h) + np.arange(len(grid_h))] = 1.0
    np.testing.assert_allclose(want @ left @ want.T, parts["covariance"], atol=1e-5)


def test_the_wind_is_felt_as_much_as_the_plan_warms_the_room(night: Evenings) -> None:
    """What the plan adds and what stands without it make the response of the whole night run with the plan
    in it. Without the addition a room kept warm through a windy night was as sure as a cold one."""
    base, plan = night.base(), night.load(4.0)
    s = base.scenario
    arrays = plans_on_grid(base, [plan], steps=s.steps - base.now)
    fire, course, window = _mode_night(base, arrays)
    heat = _new_heat_w(base, arrays, fire, 1)
    blocks = wind_blocks(s.steps)[base.now :]
    felt = _felt_k(base, course=course, window=window, heat=heat, blocks=blocks)[0, -blocks.shape[1] :, -1]
    with_plan = _with_plan(
        s,
        current_stay(night.entries, as_of=night.lived.evening.as_of),
        night.lived.evening,
        plan,
        night.lived.descriptions[0].description,
    )
    whole = batch(base.batch.frame, [with_plan])
    one = effects(whole, base.mode, simulate(whole, base.mode[None, :]))[0].response_k
    idle = effects(base.batch, base.mode, base.mode_sim)[0].response_k
    last, wind = base.grid[-1], wind_effects(s)
    added = (one[:, LOAD_SHAPES:] if one.shape[1] > idle.shape[1] else one)[last, wind] - idle[last, wind]
    assert np.abs(idle[last, wind]).max() > 0.2
    assert np.abs(added).max() > 0.1
    # To a tenth: a warmer room leaks faster too, and so forgets the first gusts sooner.
    np.testing.assert_allclose(felt, added, atol=0.02, rtol=0.1)


@pytest.mark.parametrize("minutes_ago", [0.0, 1.0, 4.0])
def test_a_load_noted_just_before_asking_burns(night: Evenings, minutes_ago: float) -> None:
    """A load in the five minutes of the question burns in "no more wood" as the same load of a plan would."""
    noted = (
        *night.entries,
        night.step(-minutes_ago, load_kg=4.0),
        night.step(-minutes_ago, air_open_pct=40.0),
    )
    got = wake(night.ask((), entries=noted))
    planned = wake(night.ask((night.step(load_kg=4.0, air_open_pct=40.0), night.step(12, air_open_pct=40.0))))
    assert got == pytest.approx(planned, abs=0.7)
    assert got > wake(night.ask(())) + 1.0


def test_what_is_left_now_does_not_hold_the_plan_s_load(night: Evenings) -> None:
    """What fits is judged beside what is there before the load; ten minutes on, the load is there."""
    got = night.ask((), night.load(4.0))
    assert got.left_kg_dry[1, 0] == pytest.approx(got.left_kg_dry[0, 0], abs=1e-6)
    assert got.left_kg_dry[1, 1] > got.left_kg_dry[0, 1] + 1.0


def test_a_plan_with_a_heater_is_warmer_and_switching_it_off_colder(night: Evenings) -> None:
    """1500 W in a cabin of this loss is worth kelvins by morning; "heater off" is none at all."""
    got = night.ask((), (night.step(other_heat_w=1500.0),), (night.step(other_heat_w=0.0),))
    assert wake(got, 1) > wake(got, 0) + 3.0
    assert wake(got, 2) == pytest.approx(wake(got, 0), abs=0.05)
