"""What makes the model quick changes no answer: a start near the mode, stays in groups, plans fused."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from simulated import Lived, live

from logbook.heat import branch, fit, mode, model
from logbook.heat.fit import Posterior, learn, prepare, useful_stays
from logbook.heat.mode import find_modes, mode_near
from logbook.heat.model import Batch, simulate
from logbook.heat.night import plans_on_grid, prepare_night
from logbook.heat.notebook import stays
from logbook.heat.priors import UNKNOWNS
from logbook.heat.rows import stretches
from logbook.records import Entry

DRAWS = 800
ZERO = np.zeros(len(UNKNOWNS))


@pytest.fixture(scope="module")
def lived() -> Lived:
    return live(3)


@pytest.fixture(scope="module")
def told(lived: Lived) -> Batch:
    return prepare(stays(lived.entries), descriptions=lived.descriptions, changes=())


def taught(
    lived: Lived, *, start: Posterior | None = None, entries: tuple[Entry, ...] | None = None, seed: int = 1
) -> Posterior:
    return learn(
        descriptions=lived.descriptions,
        entries=lived.entries if entries is None else entries,
        as_of=lived.evening.as_of,
        rng=np.random.default_rng(seed),
        start=start,
        draws=DRAWS,
    )


@pytest.fixture(scope="module")
def before(lived: Lived) -> Posterior:
    """What was learned an evening earlier."""
    until = lived.entries[-1].at - timedelta(hours=20)
    rows = tuple(e for e in lived.entries if e.at <= until)
    assert len(useful_stays(stays(rows), None)) >= 1
    assert len(rows) < len(lived.entries)
    return taught(lived, entries=rows)


@pytest.fixture(scope="module")
def cold(lived: Lived) -> Posterior:
    return taught(lived)


def apart(a: Posterior, b: Posterior) -> float:
    """How far 5, 50 and 95 % of all unknowns lie apart, rms, in sd."""
    off = np.percentile(a.z, (5, 50, 95), axis=0) - np.percentile(b.z, (5, 50, 95), axis=0)
    return float(np.sqrt(np.mean((off / b.z.std(axis=0)) ** 2)))


def same_within_luck(lived: Lived, got: Posterior, cold: Posterior) -> None:
    """Nearer to the answer from nothing with the same dice than that is to itself with other dice."""
    same_dice = taught(lived, seed=2)
    luck = apart(same_dice, cold)
    assert 0.05 < luck < 0.5
    assert apart(got, same_dice) < 0.7 * luck
    for ours, theirs in (
        (got.derived.heat_loss_w_per_k, same_dice.derived.heat_loss_w_per_k),
        (got.derived.time_constant_h, same_dice.derived.time_constant_h),
    ):
        assert np.median(ours) == pytest.approx(np.median(theirs), rel=0.03)


# From the mode of the evening before


def test_from_the_evening_before_the_same_is_learned(
    lived: Lived, before: Posterior, cold: Posterior, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And without looking for the mode from nothing."""

    def never(*_: object, **__: object) -> list[mode.Mode]:
        raise AssertionError("looked from nothing")

    with monkeypatch.context() as here:
        here.setattr(fit, "find_modes", never)
        warm = taught(lived, start=before, seed=2)
    assert warm.log_evidence == pytest.approx(cold.log_evidence, abs=1.0)
    same_within_luck(lived, warm, cold)


def test_it_takes_less_than_half_the_runs(
    lived: Lived, before: Posterior, monkeypatch: pytest.MonkeyPatch
) -> None:
    lanes: list[int] = []
    run = simulate

    def counted(b: Batch, z: np.ndarray) -> model.Simulated:
        lanes.append(len(z))
        return run(b, z)

    monkeypatch.setattr(mode, "simulate", counted)
    taught(lived)
    from_nothing = sum(lanes)
    lanes.clear()
    taught(lived, start=before)
    assert 0 < sum(lanes) < 0.5 * from_nothing


@pytest.mark.parametrize("spoil", ["nan", "shape", "nothing learned"])
def test_a_start_that_is_none_is_as_no_start(
    lived: Lived, before: Posterior, cold: Posterior, spoil: str
) -> None:
    bad = {
        "nan": replace(before, mode=np.full(len(UNKNOWNS), np.nan)),
        "shape": replace(before, mode=np.zeros(len(UNKNOWNS) + 3)),
        "nothing learned": replace(before, stays=0),
    }[spoil]
    got = taught(lived, start=bad)
    np.testing.assert_array_equal(got.z, cold.z)
    assert got.log_evidence == cold.log_evidence


def test_another_cabins_fit_leads_to_the_same(lived: Lived, cold: Posterior) -> None:
    """Its mode is some other place of the prior; the answer doesn't remember it."""
    other = live(8)
    far = replace(taught(other), mode=np.clip(3.0 * taught(other).mode, -4.0, 4.0))
    assert np.abs(far.mode - cold.mode).max() > 1.5
    same_within_luck(lived, taught(lived, start=far, seed=2), cold)


def test_a_better_place_elsewhere_is_found_out(told: Batch, monkeypatch: pytest.MonkeyPatch) -> None:
    """With climbs that rest where they stand: a far place is refused for the prior's centre, the mode is not;
    and a climb that never comes to rest is refused."""
    (best,) = find_modes(told, [ZERO])
    monkeypatch.setattr(mode, "SMALL_PROMISE", np.inf)
    assert mode_near(told, np.full(len(UNKNOWNS), 2.0), other=ZERO) is None
    near = mode_near(told, best.z, other=ZERO)
    assert near is not None
    np.testing.assert_array_equal(near.z, best.z)
    monkeypatch.setattr(mode, "SMALL_PROMISE", -np.inf)
    monkeypatch.setattr(mode, "SMALL_GAIN", -np.inf)
    assert mode_near(told, best.z, other=ZERO) is None


# Stays in groups


def test_every_stay_is_in_one_group_and_unlike_ones_are_apart(lived: Lived) -> None:
    short, long = 100, 1000
    (s, *_) = prepare(stays(lived.entries), descriptions=lived.descriptions, changes=()).scenarios
    many = [replace(s, steps=n) for n in (*[short] * 30, *[long] * 30)]
    b = Batch.__new__(Batch)  # the grouping looks at the scenarios alone
    object.__setattr__(b, "scenarios", tuple(many))
    groups = b.alike()
    assert sorted(i for group in groups for i in group) == list(range(60))
    assert max(len(group) for group in groups) <= model.MOST_ALIKE
    mixed = [group for group in groups if len({many[i].steps for i in group}) > 1]
    assert len(mixed) <= 1


def test_a_stay_alone_runs_as_it_does_beside_others(told: Batch) -> None:
    z = np.random.default_rng(4).standard_normal((5, len(UNKNOWNS)))
    whole = simulate(told, z)
    for i, s in enumerate(told.scenarios):
        alone = simulate(told.only([i]), z)
        np.testing.assert_allclose(
            alone.air_c[: s.steps + 1, :, 0], whole.air_c[: s.steps + 1, :, i], atol=1e-9
        )
        np.testing.assert_allclose(
            alone.burn.char_kg[: s.steps, :, 0], whole.burn.char_kg[: s.steps, :, i], atol=1e-12
        )


def test_the_mode_is_the_same_in_groups_of_one(told: Batch, monkeypatch: pytest.MonkeyPatch) -> None:
    (together,) = find_modes(told, [ZERO])
    monkeypatch.setattr(model, "MOST_ALIKE", 1)
    assert len(told.alike()) == len(told.scenarios) > 1
    (apart,) = find_modes(told, [ZERO])
    np.testing.assert_allclose(apart.z, together.z, atol=1e-7)
    assert apart.log_evidence == pytest.approx(together.log_evidence, abs=1e-6)
    assert [len(w.weights) for w in apart.whites] == [len(s.reading_c) for s in told.scenarios]


# Stretches of steps


def test_stretches_cover_every_step_once_and_none_runs_over_a_stop() -> None:
    rng = np.random.default_rng(1)
    for most in (1, 3, 50):
        stops = rng.random(200) < 0.07
        got = list(stretches(stops, most=most))
        assert [i for first, end in got for i in range(first, end)] == list(range(200))
        assert all(0 < end - first <= most and not stops[first + 1 : end].any() for first, end in got)


def test_no_answer_hangs_on_how_many_steps_go_together(told: Batch, monkeypatch: pytest.MonkeyPatch) -> None:
    z = np.random.default_rng(4).standard_normal((3, len(UNKNOWNS)))
    whole = simulate(told, z)
    monkeypatch.setattr("logbook.heat.rows.TOGETHER", 1)
    one_by_one = simulate(told, z)
    np.testing.assert_allclose(one_by_one.air_c, whole.air_c, atol=1e-10)
    np.testing.assert_allclose(one_by_one.course.air_w_per_k, whole.course.air_w_per_k, rtol=1e-10)
    np.testing.assert_allclose(one_by_one.burn.to_room_kw, whole.burn.to_room_kw, atol=1e-12)


def test_courses_alone_are_the_same_courses(told: Batch) -> None:
    z = np.random.default_rng(4).standard_normal((3, len(UNKNOWNS)))
    whole, lean = simulate(told, z), simulate(told, z, courses_only=True)
    np.testing.assert_array_equal(lean.air_c, whole.air_c)
    np.testing.assert_array_equal(lean.burn.char_kg, whole.burn.char_kg)
    assert lean.burn.gross_kw.shape[0] == lean.course.air_w_per_k.shape[0] == 0


# Plans


def test_plans_side_by_side_are_the_plans_run_in_full(lived: Lived, cold: Posterior) -> None:
    """The fused pass in single precision against fire, then room, in double: 0.01 K, a gram."""
    some = replace(cold, z=cold.z[:30])
    evening = lived.evening
    base = prepare_night(
        posterior=some,
        descriptions=lived.descriptions,
        entries=lived.entries,
        evening=evening,
        rng=np.random.default_rng(0),
    )
    bed = evening.bed
    plans = [
        (Entry(at=bed, load_kg=kg, air_open_pct=air), Entry(at=bed + timedelta(hours=3), air_open_pct=30.0))
        for kg, air in ((1.0, 20.0), (4.0, 60.0), (6.0, 90.0))
    ]
    arrays = plans_on_grid(base, plans, steps=base.scenario.steps - base.now)
    got = branch.branch_all(base, arrays)
    fire, course = branch.branch(base, arrays, slice(None))
    at = base.grid - base.now
    assert at[0] == 0
    np.testing.assert_allclose(got.indoor_c[:, :, 1:], course.air_c[at[1:] - 1].transpose(2, 1, 0), atol=0.01)
    np.testing.assert_allclose(got.indoor_c[:, :, 0], np.broadcast_to(base.room.air_c.T, (3, 30)), atol=1e-4)
    for ours, theirs in ((got.wood_kg, fire.wood_kg), (got.char_kg, fire.char_kg)):
        middle = np.sort(theirs, axis=1)[at[1:] - 1, 15].T
        np.testing.assert_allclose(ours[:, 1:], middle, atol=0.001)
    glows = (fire.wood_kg + fire.char_kg)[at[1:] - 1] > branch.DEAD_STOVE_KG
    np.testing.assert_allclose(got.share_glowing[:, 1:], glows.mean(axis=1).T, atol=1 / 30)
