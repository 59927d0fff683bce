"""The evening's choices: within reach, clean, ranked, few; and what is tried is forecast as it is.

The forecast here is a small one of its own (``fake_night``), so that a failing test means the choosing.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from statistics import NormalDist

import numpy as np
import pytest
from fake_night import Evening, FakeForecast, Paths

from logbook.heat import closer, ranking
from logbook.heat.candidates import Means, Plan, Put, Size, airs, candidates, cap_kg, sizes
from logbook.heat.evening import _usable, advise, try_plan
from logbook.heat.outcome import Question, loads_of_this_stove
from logbook.heat.past_nights import PastNight
from logbook.heat.ranking import PEAK_ERROR_SD_K, Figures, _tie_limit, figures, fitting, worth_cracking
from logbook.records import (
    Cabin,
    Coals,
    Comfort,
    DatedDescription,
    Description,
    Entry,
    Stove,
    Window,
    WoodPile,
)
from logbook.results.night import Untried

BED = datetime(2026, 1, 16, 22, 30, tzinfo=UTC)
WAKE = BED + timedelta(hours=8)
PIECES = (("S", 0.8), ("M", 1.6), ("L", 2.8))
DESCRIBED = Description(
    cabin=Cabin(floor_m2=28, volume_m3=75),
    stove=Stove(max_load_kg=8.0, clean_floor_open_pct=25.0, clean_floor_assumed=False),
    wood=WoodPile(pieces_kg=PIECES),
    comfort=Comfort(),
)


def question(
    *,
    forecast: FakeForecast | None = None,
    as_of: datetime = BED,
    low_c: float | None = -5.0,
    gets_up: bool = False,
    entries: tuple[Entry, ...] = (Entry(at=BED - timedelta(hours=2), air_open_pct=50.0),),
    nights: tuple[PastNight, ...] = (),
    description: Description = DESCRIBED,
) -> Question:
    return Question(
        night=Evening(as_of=as_of, bed=BED, wake=WAKE, night_low_c=low_c),
        band_c=(16.0, 22.0),
        gets_up=gets_up,
        descriptions=[DatedDescription(uuid="d", valid_from=None, description=description)],
        entries=entries,
        nights=nights,
        forecast=forecast or FakeForecast(),
    )


WEATHERS = [  # forecast and low: the cabins and nights every safety rule is held against
    (FakeForecast(), -5.0),
    (FakeForecast(), 12.0),
    (FakeForecast(time_constant_h=4.0, heat_k_per_kg=5.0), -15.0),
    (FakeForecast(heat_k_per_kg=20.0), -5.0),
    (FakeForecast(start_c=29.5), -5.0),
    (FakeForecast(coals_left_kg=0.0, start_c=3.0), -12.0),
    (FakeForecast(coals_left_kg=5.0), -5.0),
    (FakeForecast(spread=0.5), 0.0),
]


def everything(gets_up: bool = False):
    for forecast, low in WEATHERS:
        for early_h in (0.0, 3.0):
            asked = question(
                forecast=forecast, low_c=low, as_of=BED - timedelta(hours=early_h), gets_up=gets_up
            )
            yield asked, advise(asked)


def test_no_fire_is_always_among_four_to_six_choices():
    for _, shown in everything():
        assert 2 <= len(shown) <= 6
        assert any(not o.choice.loads and o.choice.window is Window.SHUT for o in shown)


def test_air_is_never_below_the_clean_floor():
    """Safety: never advise air below the clean floor, even for a moment; "no fire" neither."""
    below = (Entry(at=BED - timedelta(hours=1), air_open_pct=5.0),)
    for asked, _ in everything():
        for o in advise(replace(asked, entries=below)):
            assert o.choice.air_open_pct >= 25.0
            assert all(load.air_open_pct >= 25.0 for load in o.choice.loads)
            assert all(e.air_open_pct is None or e.air_open_pct >= 25.0 for e in o.plan)


def test_loads_keep_to_the_manual_before_five_loads_and_to_what_was_tried_after():
    """Safety: 1.25 times the largest load recorded, the manual's limit before five loads."""
    four = tuple(Entry(at=BED - timedelta(days=i + 1), load_kg=2.0) for i in range(4))
    five = (*four, Entry(at=BED - timedelta(days=9), load_kg=2.4))
    cold = FakeForecast(time_constant_h=4.0, heat_k_per_kg=2.0)
    largest = {
        n: max(load.kg for o in advise(question(forecast=cold, entries=e)) for load in o.choice.loads)
        for n, e in (("four", four), ("five", five))
    }
    assert 4.0 < largest["four"] <= 8.0
    assert largest["five"] <= 1.25 * 2.4


def test_loads_of_an_earlier_stove_do_not_count():
    asked = question(entries=(Entry(at=BED - timedelta(days=30), load_kg=6.0), Entry(at=BED, load_kg=2.0)))
    old = replace(DESCRIBED, stove=replace(DESCRIBED.stove, max_load_kg=12.0))
    versions = [
        DatedDescription(uuid="a", valid_from=None, description=old),
        DatedDescription(uuid="b", valid_from=BED - timedelta(days=10), description=DESCRIBED),
    ]
    assert loads_of_this_stove(replace(asked, descriptions=versions)) == (2.0,)
    assert loads_of_this_stove(asked) == (6.0, 2.0)


def test_a_load_fits_beside_what_is_left():
    """Safety: not more than fits the firebox. 5 kg dry left is 6.1 kg at 18 % wet, so 1.9 kg of 8 is free."""
    full = question(forecast=FakeForecast(coals_left_kg=5.0, heat_k_per_kg=0.3, time_constant_h=3.0))
    at_bed = [load.kg for o in advise(full) for load in o.choice.loads if load.at == BED]
    assert at_bed
    assert max(at_bed) <= 8.0 - 5.0 / 0.82 + 2e-3


def test_a_load_in_the_night_is_first_only_for_those_who_get_up():
    leaky = FakeForecast(time_constant_h=4.0, heat_k_per_kg=5.0)
    sleeps = advise(question(forecast=leaky))
    rises = advise(question(forecast=leaky, gets_up=True))
    in_the_night = [any(p.at > BED + timedelta(hours=1) for p in o.choice.loads) for o in sleeps]
    assert not in_the_night[0]
    assert any(in_the_night), "it is shown all the same, with what it would bring"
    assert any(p.at > BED + timedelta(hours=1) for p in rises[0].choice.loads)
    assert rises[0].choice.degree_hours_outside < sleeps[0].choice.degree_hours_outside
    assert all(o.facts.load_in_the_night == n for o, n in zip(sleeps, in_the_night, strict=True))


def test_awake_in_the_night_a_load_now_may_come_first():
    awake = question(as_of=BED + timedelta(hours=3), forecast=FakeForecast(start_c=14.0))
    first = advise(awake)[0]
    assert [p.at for p in first.choice.loads] == [BED + timedelta(hours=3)]
    assert not first.facts.load_in_the_night


def test_the_first_choice_does_not_pass_28_while_another_stands():
    """Safety: a peak with a 5 % chance above 28 °C is not first if any other stands."""
    for _, shown in everything():
        if shown[0].choice.indoor_max_c.p95 > 28.0:
            assert all(o.choice.indoor_max_c.p95 > 28.0 for o in shown)


def test_choices_are_ranked_by_degree_hours_after_the_first():
    for _, shown in everything(gets_up=True):
        costs = [round(o.choice.degree_hours_outside, 2) for o in shown[1:]]
        assert costs == sorted(costs)


def test_the_first_choice_is_nearly_the_cheapest_allowed():
    """Near ties go to less wood, but never more than half a degree-hour or 4 % is given away for it."""
    for _, shown in everything(gets_up=True):
        cool = [o.choice.degree_hours_outside for o in shown if o.choice.indoor_max_c.p95 <= 28.0]
        if cool and shown[0].choice.indoor_max_c.p95 <= 28.0:
            assert shown[0].choice.degree_hours_outside <= max(min(cool) + 0.5, 1.04 * min(cool)) + 1e-9


def test_a_mild_night_asks_for_no_fire():
    """14.5 K above outdoors falls by exp(−8/40): 22 → 19.4 °C; a fire would only spend wood."""
    mild = question(forecast=FakeForecast(start_c=21.0, time_constant_h=40.0), low_c=9.0)
    assert advise(mild)[0].choice.loads == ()


def test_near_ties_take_less_wood():
    flat = FakeForecast(start_c=19.0, time_constant_h=200.0, heat_k_per_kg=0.05)
    assert advise(question(forecast=flat, low_c=15.0))[0].choice.wood_kg == 0.0


def test_near_ties_take_what_was_done_here_before():
    """Where a fire was lit every night, none at all is the thing nobody knows the end of."""
    flat = FakeForecast(start_c=19.0, time_constant_h=200.0, heat_k_per_kg=0.05)
    lived = tuple(night(i, kg=3.2, air=25.0) for i in range(1, 4))
    first = advise(question(forecast=flat, low_c=15.0, nights=lived))[0]
    assert first.choice.loads
    assert not first.choice.untried


def test_a_dead_stove_gets_kindling_and_its_time():
    dead = advise(question(forecast=FakeForecast(coals_left_kg=0.0)))
    loads = [load for o in dead for load in o.choice.loads if load.at == BED]
    assert loads
    assert all(load.kindling and load.open_minutes == 22.0 for load in loads)
    live = advise(question(forecast=FakeForecast(coals_left_kg=0.5)))
    assert not any(load.kindling for o in live for load in o.choice.loads)


def test_no_window_is_cracked_for_nothing():
    """In a cold room a cracked window only costs; in one that gets too hot it is the answer."""
    cold = advise(question(forecast=FakeForecast(time_constant_h=4.0, heat_k_per_kg=3.0), low_c=-15.0))
    hot = advise(question(forecast=FakeForecast(start_c=26.0, time_constant_h=60.0), low_c=5.0))
    assert all(o.choice.window is Window.SHUT for o in cold)
    assert hot[0].choice.window is Window.CRACKED


CRACKING = [  # degree-hours shut and cracked, chance too hot shut and cracked, worth it
    (10.0, 9.0, 0.0, 0.0, True, "it costs less"),
    (10.0, 11.0, 0.0, 0.0, False, "it only costs"),
    (10.0, 11.0, 0.2, 0.01, True, "it keeps the room under 28 °C"),
    (10.0, 11.0, 0.2, 0.1, False, "it is too hot either way"),
]


@pytest.mark.parametrize("case", CRACKING, ids=lambda c: c[-1])
def test_a_cracked_window_must_earn_its_place(case):
    shut_cost, cracked_cost, shut_hot, cracked_hot, worth, _ = case
    load = Put(BED, Size(2.4, "1S 1M"), 25.0)
    plans = [Plan((load,), 25.0, Window.SHUT), Plan((load,), 25.0, Window.CRACKED)]
    three = np.zeros((2, 3))
    got = Figures(
        low=three,
        high=three,
        wake=three,
        chance_in_band=np.zeros(2),
        degree_hours=np.array([shut_cost, cracked_cost]),
        chance_too_hot=np.array([shut_hot, cracked_hot]),
        asleep_too_hot=np.zeros(2),
    )
    assert worth_cracking(plans, got).tolist() == [True, worth]


def test_nobody_lights_a_dead_stove_in_the_night():
    for _, shown in everything():
        for o in shown:
            assert not any(p.kindling and p.at > BED + timedelta(hours=1) for p in o.choice.loads)


@pytest.mark.parametrize(("out_from", "usable"), [(3, False), (4, True), (9, True)])
def test_wood_goes_on_coals_only_while_they_glow_just_before(out_from, usable):
    """In steps of 15 minutes; the load at the fourth looks at the third, and counts as burning itself."""
    asked = question()
    times = tuple(BED + timedelta(minutes=15 * i) for i in range(10))
    fire = np.array([[1 if i < out_from else 0 for i in range(10)]])
    paths = Paths(times, np.empty((1, 1, 10)), fire, np.zeros((1, 10)), np.zeros(10), False, fire > 0)
    plan = Plan((Put(times[4], Size(2.0, ""), 30.0, False),), 30.0, Window.SHUT)
    assert _usable(asked, [plan], paths).tolist() == [usable]
    lit = Plan((Put(times[4], Size(2.0, ""), 30.0, True),), 30.0, Window.SHUT)
    assert _usable(asked, [lit], paths).tolist() == [True]


def test_no_plan_is_reckoned_twice_with_all_draws():
    asked_for = []

    class Watched(FakeForecast):
        def __call__(self, plans, night, *, rough=False):
            if not rough:
                asked_for.extend(plans)
            return super().__call__(plans, night, rough=rough)

    advise(question(forecast=Watched()))
    assert asked_for
    assert len(asked_for) == len(set(asked_for))


def test_choices_differ_as_an_owner_would_see_it():
    for _, shown in everything():
        seen = {
            (tuple((p.at, round(p.kg, 1), round(p.air_open_pct)) for p in o.choice.loads), o.choice.window)
            for o in shown
        }
        assert len(seen) == len(shown)


def test_plans_are_run_together_look_by_look():
    forecast = FakeForecast()
    advise(question(forecast=forecast, gets_up=True, as_of=BED - timedelta(hours=3)))
    assert forecast.calls <= 6, (
        "the stove as it stands, three rough looks, the promising ones, a colder night"
    )
    assert 60 <= forecast.plans_seen <= 150


def test_a_colder_night_is_told_in_kelvin():
    """In the fake room a night colder by 3 K lowers waking by 3·(1 − (1 − 0.25/9)^32)."""
    out = advise(question())[0]
    assert out.why.colder_outside_k == pytest.approx(-3.0 * (1 - (1 - 0.25 / 9) ** 32), abs=0.01)
    assert advise(question(low_c=None))[0].why.colder_outside_k is None


def test_a_colder_night_is_colder_in_the_outdoor_readings_too():
    """Without a forecast they are all that says how cold it is."""
    asked = []

    class Watched(FakeForecast):
        def __call__(self, plans, night, *, rough=False):
            asked.append((night.night_low_c, night.outdoor))
            return super().__call__(plans, night, rough=rough)

    read = question(forecast=Watched(), low_c=None)
    read = replace(read, night=replace(read.night, outdoor=((BED, -4.0), (BED + timedelta(hours=1), -5.0))))
    assert advise(read)[0].why.colder_outside_k is not None
    assert asked[-1] == (None, ((BED, -7.0), (BED + timedelta(hours=1), -8.0)))


def test_figures_are_those_of_the_contract():
    """Two draws by hand: 15 and 23 °C flat against 16–22: one degree outside for seven hours each."""
    times = tuple(BED + timedelta(minutes=15 * i) for i in range(33))
    paths = np.stack([np.full(33, 15.0), np.full(33, 23.0)])[None]
    paths[0, 0, 1] = 40.0  # 15 min after bed: before the span
    got = figures(paths, times, as_of=BED, bed=BED, wake=WAKE, band_c=(16.0, 22.0))
    assert got.degree_hours[0] == pytest.approx(7.0)
    assert got.chance_in_band[0] == 0.0
    assert 22.5 < got.high[0, 2] < 23.0 + 2.0 * PEAK_ERROR_SD_K, "the 40 °C before the span don't count"
    assert got.chance_too_hot[0] == 0.0
    assert got.asleep_too_hot[0] == 0.5


@pytest.mark.parametrize(("room_c", "too_hot"), [(27.9, 0.0), (28.1, 1.0)])
def test_a_sleeping_room_is_too_hot_from_28_on(room_c, too_hot):
    """The ceiling of a bedroom, 28 °C (a review, as reported), not one that happens to be in the code."""
    times = tuple(BED + timedelta(minutes=15 * i) for i in range(33))
    got = figures(np.full((1, 4, 33), room_c), times, as_of=BED, bed=BED, wake=WAKE, band_c=(16.0, 22.0))
    assert got.asleep_too_hot[0] == too_hot


@pytest.mark.parametrize("draws", [60, 100, 400])
def test_the_luck_of_a_peak_is_spread_evenly_over_the_draws(draws):
    """Else the chance of too hot a room hangs on which draws got the high peaks, or on how many there are."""
    at = np.array([NormalDist().cdf(x) for x in ranking._even_luck(draws)])
    assert np.abs(np.sort(at) - (np.arange(draws) + 0.5) / draws).max() < 2.0 / draws
    apart = np.abs(np.diff(at))
    assert np.minimum(apart, 1.0 - apart).min() > 1.0 / 3.0, "draws that lie side by side are alike"


def test_chance_in_band_needs_the_whole_span_inside():
    times = tuple(BED + timedelta(minutes=15 * i) for i in range(33))
    paths = np.full((1, 4, 33), 18.0)
    paths[0, 0, 20] = 15.9
    got = figures(paths, times, as_of=BED, bed=BED, wake=WAKE, band_c=(16.0, 22.0))
    assert got.chance_in_band[0] == 0.75


def test_asked_minutes_before_waking_it_still_answers():
    shown = advise(question(as_of=WAKE - timedelta(minutes=20)))
    assert any(not o.choice.loads for o in shown)


SIZES = [  # cap, pieces, why
    (8.0, PIECES, "three sizes"),
    (2.0, PIECES, "a small cap"),
    (12.0, (("log", 2.5),), "one size"),
    (5.0, (), "weighed"),
    (0.9, (), "a tiny stove, weighed"),
]


@pytest.mark.parametrize(("cap", "pieces", "why"), SIZES)
def test_sizes_stay_under_the_cap_and_weigh_what_they_say(cap, pieces, why):
    got = sizes(cap_kg=cap, pieces_kg=pieces)
    assert got, why
    assert all(0 < s.kg <= cap + 1e-9 for s in got), why
    weights = dict(pieces)
    for s in got:
        if pieces:
            total = sum(
                int(w[: -len(n)]) * weights[n] for w in s.pieces.split() for n in weights if w.endswith(n)
            )
            assert total == pytest.approx(s.kg), why
        else:
            assert s.pieces == ""
    assert len(got) <= 11


def test_a_piece_heavier_than_the_cap_leaves_no_size():
    assert sizes(cap_kg=1.0, pieces_kg=(("L", 2.8),)) == ()
    shown = advise(question(description=replace(DESCRIBED, wood=WoodPile(pieces_kg=(("X", 9.0),)))))
    assert [o.choice.loads for o in shown] == [()]


CAPS = [  # limit, loads, cap
    (8.0, [], 8.0),
    (8.0, [2.0] * 4, 8.0),
    (8.0, [2.0] * 5, 2.5),
    (8.0, [7.0] * 5, 8.0),
]


@pytest.mark.parametrize(("limit", "loads", "cap"), CAPS)
def test_cap(limit, loads, cap):
    assert cap_kg(max_load_kg=limit, loads_kg=loads) == pytest.approx(cap)


def test_air_steps_start_at_the_floor_and_take_the_owners_own():
    assert airs(clean_floor_pct=25.0, used_pct=[]) == (25.0, pytest.approx(100 / 3), 50.0)
    assert airs(clean_floor_pct=20.0, used_pct=[35.0, 60.0])[1] == 35.0
    assert min(airs(clean_floor_pct=40.0, used_pct=[5.0, 10.0])) == 40.0


def test_a_load_now_goes_on_what_is_left_now_before_any_plan():
    """What the plans' own loads make of the firebox at the first moment is not what they find there."""
    plans = [
        Plan((), 30.0, Window.SHUT),
        *(Plan((Put(BED, Size(5.0, ""), 30.0, False),), 30.0, Window.SHUT),) * 2,
    ]
    left = np.array([[1.0, 9.0], [6.0, 5.0], [6.0, 5.0]])  # the rows of the plans: after they put it in
    got = fitting(plans, left, (BED, BED + timedelta(minutes=15)), max_load_kg=8.0)
    assert got.tolist() == [True, True, True]


def test_a_second_load_minutes_later_goes_on_the_first():
    """Not on what lay there before the plan: 5 and 4 kg in ten minutes are 9 in a firebox of 8."""
    puts = tuple(
        Put(BED + timedelta(minutes=m), Size(kg, ""), 30.0, False) for m, kg in ((0, 5.0), (10, 4.0))
    )
    plans = [Plan((), 30.0, Window.SHUT), Plan(puts, 30.0, Window.SHUT)]
    left = np.array([[0.0, 0.0], [5.0, 4.5]])
    assert fitting(plans, left, (BED, BED + timedelta(minutes=15)), max_load_kg=8.0).tolist() == [True, False]


def test_fitting_looks_just_before_the_load():
    times = tuple(BED + timedelta(minutes=15 * i) for i in range(33))
    means = Means(
        as_of=BED,
        bed=BED,
        wake=WAKE,
        cap_kg=8.0,
        pieces_kg=PIECES,
        clean_floor_pct=25.0,
        standing_air_pct=25.0,
    )
    plans = candidates(means, airs_pct=(25.0,), gets_up=True)
    left = np.zeros((len(plans), 33))
    left[0, 0] = 7.1  # only 0.9 kg are free at bed
    fits = fitting(plans, left, times, max_load_kg=8.0)
    small = [
        p.loads[0].size.kg
        for p, ok in zip(plans, fits, strict=True)
        if ok and p.loads and p.loads[0].at == BED
    ]
    assert small
    assert max(small) == pytest.approx(0.8)


def night(days: int, *, kg: float, air: float, woke: float | None = 14.0, after: int = 0) -> PastNight:
    bed = BED - timedelta(days=days)
    return PastNight(
        bed=bed, wake=bed + timedelta(hours=8), inferred=False, plan=(), load_kg=kg, pieces="2M",
        air_open_pct=air, window=Window.SHUT, loads_after=after,
        load_after_kg=1.6 * after, start_c=20.0, outdoor_low_c=-5.0,
        woke_c=woke,
    )  # fmt: skip


def test_reasons_are_the_nights_most_alike():
    lived = (night(3, kg=3.2, air=30.0), night(4, kg=7.0, air=30.0), night(5, kg=3.0, air=80.0))
    out = try_plan(question(nights=lived), [Entry(at=BED, load_kg=3.3, air_open_pct=30.0)])
    assert [n.bed for n in out.why.like] == [BED - timedelta(days=3)]
    assert out.why.nights == 3
    assert out.why.untried == ()


UNTRIED = [  # steps, what is untried
    ([Entry(at=BED, load_kg=6.0, air_open_pct=30.0)], {Untried.BIGGER_LOAD}),
    ([Entry(at=BED, load_kg=3.0, air_open_pct=60.0)], {Untried.MORE_AIR}),
    ([Entry(at=BED, load_kg=3.0, air_open_pct=25.0)], {Untried.LESS_AIR}),
    ([Entry(at=BED + timedelta(hours=3), load_kg=3.0, air_open_pct=30.0)], {Untried.LOAD_IN_THE_NIGHT}),
    ([Entry(at=BED, window=Window.CRACKED)], {Untried.WINDOW_CRACKED, Untried.NO_FIRE}),
    ([Entry(at=BED, load_kg=3.0, air_open_pct=32.0)], set()),
]


@pytest.mark.parametrize(("steps", "parts"), UNTRIED)
def test_what_was_never_done_here_is_marked(steps, parts):
    lived = tuple(night(i, kg=4.0, air=30.0 + i) for i in range(1, 4))
    out = try_plan(question(nights=lived), steps)
    assert set(out.why.untried) == parts
    assert out.choice.untried == bool(parts)


def test_wood_that_went_in_shortly_before_bed_is_of_the_night():
    """No more wood after it is no night without fire, and is like the nights with such a load."""
    lived = (night(3, kg=3.2, air=30.0),)
    laid = Entry(at=BED - timedelta(minutes=20), load_kg=3.2, air_open_pct=30.0)
    out = try_plan(question(nights=lived, entries=(laid,)), [])
    assert out.why.untried == ()
    assert [n.bed for n in out.why.like] == [BED - timedelta(days=3)]
    earlier = replace(laid, at=BED - timedelta(minutes=61))  # told as the evening's, not the night's
    out = try_plan(question(nights=lived, entries=(earlier,)), [])
    assert out.why.untried == (Untried.NO_FIRE,)


def test_with_what_went_in_before_a_load_more_is_counted_whole():
    lived = (night(3, kg=4.0, air=30.0),)
    laid = Entry(at=BED - timedelta(minutes=20), load_kg=2.0, air_open_pct=30.0)
    out = try_plan(question(nights=lived, entries=(laid,)), [Entry(at=BED, load_kg=2.0, air_open_pct=30.0)])
    assert [n.bed for n in out.why.like] == [BED - timedelta(days=3)]


def test_after_nights_without_fire_any_load_is_new():
    out = try_plan(question(nights=(night(1, kg=0.0, air=30.0),)), [Entry(at=BED, load_kg=3.0)])
    assert out.why.untried == (Untried.FIRST_LOAD,)


def test_without_a_night_everything_is_untried():
    assert all(o.why.untried == (Untried.NO_NIGHTS,) for o in advise(question()))


def test_a_tried_plan_is_forecast_as_given_with_its_caution_facts():
    """``load 8kg air 60%; 22:40 air 10%``: the owner's own plan, below the floor ten minutes later."""
    steps = [
        Entry(at=BED, load_kg=8.4, air_open_pct=60.0),
        Entry(at=BED + timedelta(minutes=10), air_open_pct=10.0),
    ]
    out = try_plan(question(), steps)
    assert out.choice.wood_kg == 8.4
    assert out.choice.air_open_pct == 10.0
    assert (out.facts.least_air_pct, out.facts.biggest_load_kg, out.facts.max_load_kg) == (10.0, 8.4, 8.0)
    assert [(e.load_kg, e.air_open_pct) for e in out.plan if e.load_kg or e.air_open_pct] == [
        (8.4, 60.0),
        (None, 10.0),
    ]


def test_a_tried_load_that_does_not_fit_is_told_with_how_much():
    """5 kg dry left is 6.1 kg as weighed at 18 % wet; 3 kg on top is 1.1 kg over the 8 kg of the firebox."""
    full = try_plan(question(forecast=FakeForecast(coals_left_kg=5.0)), [Entry(at=BED, load_kg=3.0)])
    assert full.facts.overfilled_kg == pytest.approx(5.0 / 0.82 + 3.0 - 8.0, abs=0.01)
    free = try_plan(question(forecast=FakeForecast(coals_left_kg=0.5)), [Entry(at=BED, load_kg=3.0)])
    assert free.facts.overfilled_kg == 0.0


def test_a_tried_load_in_an_hour_goes_on_what_is_left_by_then():
    """5 kg dry at bed are 5 e^-1.5 kg three quarters of an hour later (``FakeForecast``), just before it."""
    late = Entry(at=BED + timedelta(hours=1), load_kg=7.5)
    tried = try_plan(question(forecast=FakeForecast(coals_left_kg=5.0)), [late])
    assert tried.facts.overfilled_kg == pytest.approx(5.0 * math.exp(-1.5) / 0.82 + 7.5 - 8.0, abs=0.01)


def test_a_tried_load_on_a_dead_stove_is_a_cold_start():
    dead = question(forecast=FakeForecast(coals_left_kg=0.0))
    out = try_plan(dead, [Entry(at=BED, load_kg=3.0, air_open_pct=30.0)])
    assert out.facts.cold_start
    assert out.choice.loads[0].open_minutes == 22.0


@pytest.mark.parametrize(
    ("rows", "cold"),
    [
        ((Entry(at=BED, coals=Coals.NONE),), True),
        ((Entry(at=BED, fire_out=True), Entry(at=BED, indoor_c=12.0)), True),
        ((Entry(at=BED, coals=Coals.NONE), Entry(at=BED, load_kg=1.0)), False),
        ((Entry(at=BED, coals=Coals.NONE, load_kg=1.0, kindling=True),), False),  # found out, and lit anew
        ((Entry(at=BED, fire_out=True), Entry(at=BED, kindling=True)), False),
        ((Entry(at=BED, coals=Coals.NONE), Entry(at=BED, coals=Coals.FEW)), False),
    ],
)
def test_a_tried_load_on_a_stove_found_out_is_a_cold_start(rows, cold):
    """Whatever is reckoned to be left: who looked is believed, until something is laid in or seen anew."""
    asked = question(forecast=FakeForecast(coals_left_kg=2.0))
    asked = replace(asked, entries=(*asked.entries, *rows))
    out = try_plan(asked, [Entry(at=BED, load_kg=3.0, air_open_pct=30.0)])
    assert out.facts.cold_start is cold


def test_a_tried_plan_starts_with_the_window_shut_unless_it_names_one():
    shut = try_plan(question(), [])
    named = try_plan(question(), [Entry(at=BED, window=Window.CRACKED)])
    assert [e.window for e in shut.plan] == [Window.SHUT]
    assert [e.window for e in named.plan] == [Window.CRACKED]
    assert named.choice.indoor_at_wake_c.p50 < shut.choice.indoor_at_wake_c.p50


def test_no_fire_with_the_air_as_it_stands_below_the_floor_is_told():
    low = (Entry(at=BED - timedelta(hours=1), air_open_pct=10.0),)
    burning = try_plan(question(entries=low), [])
    cold = try_plan(question(entries=low, forecast=FakeForecast(coals_left_kg=0.0)), [])
    assert burning.facts.least_air_pct == 10.0
    assert cold.facts.least_air_pct is None


def test_a_damper_closed_on_coals_is_told_and_an_open_one_is_not():
    closing = try_plan(question(), [Entry(at=BED, flue_damper_open_pct=30.0)])
    opened = try_plan(question(), [Entry(at=BED, flue_damper_open_pct=100.0)])
    assert (closing.facts.least_damper_pct, opened.facts.least_damper_pct) == (30.0, None)


def test_freezing_is_told_where_water_is_in_the_pipes():
    wet = replace(DESCRIBED, cabin=replace(DESCRIBED.cabin, water="in"))
    cold = FakeForecast(time_constant_h=5.0)
    out = try_plan(question(forecast=cold, low_c=-20.0, description=wet), [])
    assert out.facts.water_in
    assert out.facts.chance_freezing == 1.0


def test_a_damper_that_stands_closed_counts_until_the_plan_opens_it():
    """The log's 20 % stands for the hour before the step; never written, a damper stands open."""
    stood = Entry(at=BED - timedelta(hours=1), flue_damper_open_pct=20.0)
    in_an_hour = [Entry(at=BED + timedelta(hours=1), flue_damper_open_pct=100.0)]
    coals = FakeForecast(coals_left_kg=3.0)
    closed, never = (question(forecast=coals, entries=written) for written in ((stood,), ()))
    assert try_plan(closed, in_an_hour).facts.least_damper_pct == 20.0
    assert try_plan(never, in_an_hour).facts.least_damper_pct is None
    assert try_plan(closed, []).facts.least_damper_pct is None, "the answer's own caution tells that"


def test_steps_of_a_tried_plan_count_by_their_time_not_by_the_order_they_were_typed():
    steps = [
        Entry(at=BED + timedelta(minutes=30), air_open_pct=30.0),
        Entry(at=BED, load_kg=3.0, air_open_pct=10.0),
    ]
    typed, by_time = (try_plan(question(), order) for order in (steps, steps[::-1]))
    assert typed.facts.least_air_pct == 10.0
    assert (typed.plan, typed.facts) == (by_time.plan, by_time.facts)
    assert typed.choice == by_time.choice
    ajar = Entry(at=BED, window=Window.CRACKED), Entry(at=BED + timedelta(hours=1), window=Window.SHUT)
    for order in (ajar, ajar[::-1]):
        assert try_plan(question(), order).choice.window is Window.SHUT, "as it stands in the end"


def test_the_least_air_is_told_of_minutes_between_the_forecasts_steps_too():
    """Ten minutes at 10 % on a new load: the forecast looks every quarter of an hour."""
    minutes = ((0, 60.0), (2, 10.0), (12, 40.0))
    steps = [Entry(at=BED + timedelta(minutes=m), air_open_pct=air) for m, air in minutes]
    steps[0] = replace(steps[0], load_kg=3.0)
    assert try_plan(question(), steps).facts.least_air_pct == 10.0


@pytest.mark.parametrize(("coldest_c", "chance"), [(2.9, 1.0), (3.1, 0.0)])
def test_a_room_within_three_kelvin_of_frost_counts_as_freezing(coldest_c, chance):
    """Pipes lie colder than the thermometer: 3 K of margin (assumed), not more and not less."""
    flat = FakeForecast(start_c=coldest_c, time_constant_h=1e6, coals_left_kg=0.0, spread=0.0)
    assert try_plan(question(forecast=flat, low_c=coldest_c), []).facts.chance_freezing == chance


def test_the_same_question_gives_the_same_answer():
    assert advise(question()) == advise(question())


def test_the_fake_room_cools_as_newton_says():
    """So that the numbers above can be trusted: explicit steps of 15 min, 20 °C in −5 °C, 9 h."""
    got: Paths = FakeForecast(coals_left_kg=0.0)(
        [()], Evening(as_of=BED, bed=BED, wake=WAKE, night_low_c=-5.0)
    )
    assert got.indoor_c[0, 0, -1] == pytest.approx(-5 + 25 * (1 - 0.25 / 9) ** 32)


def test_a_tie_is_never_wider_than_one_degree_hour() -> None:
    """In a freezing cabin 4 % of 205 K·h is 8 K·h: no tie, however much wood it would save."""
    assert _tie_limit(5.0) == pytest.approx(5.5)
    assert _tie_limit(20.0) == pytest.approx(20.8)
    assert _tie_limit(205.0) == pytest.approx(206.0)


def test_a_stove_left_wide_open_is_turned_down_rather_than_left_to_overheat():
    """5 kg left with the air at 95 % burn out in the first hours; at the clean floor they last the night."""
    wide = (Entry(at=BED - timedelta(hours=1), air_open_pct=95.0),)
    full = FakeForecast(coals_left_kg=5.0, coals_air_pct=95.0, heat_k_per_kg=4.0)
    shown = advise(question(entries=wide, forecast=full))
    first = shown[0]
    assert (first.choice.loads, first.choice.air_open_pct) == ((), 25.0)
    assert [e.air_open_pct for e in first.plan if e.air_open_pct is not None] == [25.0]
    left = advise(question(entries=wide, forecast=FakeForecast(coals_left_kg=0.0)))
    assert all(o.choice.loads or o.choice.air_open_pct == 95.0 for o in left), "nothing burns: leave the air"


def test_turning_down_is_tried_only_while_something_burns_and_never_below_the_floor():
    """Safety: every air named without a load is the clean floor or above it, and less than stands."""

    def still(**changed: object) -> set[tuple[float, bool]]:
        means = replace(MEANS, **changed)
        plans = candidates(means, airs_pct=AIRS, gets_up=False)
        return {(p.air_open_pct, p.names_air) for p in plans if not p.loads}

    assert still(standing_air_pct=95.0) == {(95.0, False), (25.0, True), (AIRS[1], True), (50.0, True)}
    assert still(standing_air_pct=95.0, dead_now=True) == {(95.0, False)}
    assert still(standing_air_pct=40.0) == {(40.0, False), (25.0, True)}
    assert still(standing_air_pct=10.0) == {(25.0, True)}
    assert still(standing_air_pct=25.0) == {(25.0, False)}


def two_plans(**columns: list[float]) -> Figures:
    """Figures of two plans, all nought but what is given; the peak is 30 °C at its upper end."""
    plain = {name: np.zeros(2) for name in ("chance_in_band", "degree_hours", "asleep_too_hot")}
    high = np.full((2, 3), 30.0)
    given = {name: np.array(column) for name, column in columns.items()}
    return Figures(low=np.zeros((2, 3)), high=high, wake=np.zeros((2, 3)), **{**plain, **given})


ALL_TOO_HOT = [  # chance too hot of both, degree-hours of both, which comes first
    ((0.16, 0.23), (31.0, 14.0), 1),
    ((0.1, 0.2), (31.0, 14.0), 1),
    ((0.16, 0.29), (31.0, 14.0), 0),
    ((0.45, 0.93), (30.0, 26.0), 0),
]


@pytest.mark.parametrize(("chances", "costs", "first"), ALL_TOO_HOT)
def test_where_every_plan_gets_too_hot_the_cheapest_of_the_least_hot_comes_first(chances, costs, first):
    plans = [Plan((Put(BED, Size(kg, ""), 25.0),), 25.0, Window.SHUT) for kg in (1.0, 2.0)]
    got = two_plans(chance_too_hot=list(chances), degree_hours=list(costs))
    usable = np.ones(2, dtype=bool)
    ordered = ranking.order(
        plans, got, start=BED, gets_up=False, untried=[False, False], usable=usable, high_c=22.0
    )
    assert ordered[0] == first
    assert sorted(ordered) == [0, 1], "each once"


def test_plans_that_all_ask_somebody_up_are_still_told_the_cheapest_first():
    """None may be recommended to those who sleep; none is lost for it."""
    at = BED + timedelta(hours=3)
    plans = [Plan((Put(at, Size(kg, ""), 25.0),), 25.0, Window.SHUT) for kg in (1.0, 2.0)]
    got = two_plans(chance_too_hot=[0.0, 0.0], degree_hours=[9.0, 4.0])
    usable = np.ones(2, dtype=bool)
    more = {"untried": [False, False], "usable": usable, "high_c": 22.0}
    assert ranking.order(plans, got, start=BED, gets_up=False, **more) == (1, 0)


@pytest.mark.parametrize(("chance", "high_c"), [(0.05, 28.1), (0.05, 28.0), (0.04, 28.1)])
def test_one_cool_plan_beats_any_that_may_get_too_hot(chance, high_c):
    """Safety: 5 in 100 above 28 °C is not first while another stands, however cold that one is; either
    way of saying it rules the warm one out."""
    plans = [Plan((), 25.0, Window.CRACKED), Plan((Put(BED, Size(1.0, ""), 25.0),), 25.0, Window.SHUT)]
    got = two_plans(chance_too_hot=[0.02, chance], degree_hours=[60.0, 20.0])
    got = replace(got, high=np.array([[20.0, 22.0, 26.0], [20.0, 23.0, high_c]]))
    more = {"untried": [False] * 2, "usable": np.ones(2, dtype=bool), "high_c": 22.0}
    assert ranking.order(plans, got, start=BED, gets_up=False, **more)[0] == 0


def test_where_all_plans_are_of_a_kind_four_are_shown_and_no_fire_is_the_last_of_them():
    loads = [Plan((Put(BED, Size(kg, ""), 25.0),), 25.0, Window.SHUT) for kg in (6.0, 5.0, 7.6, 4.7, 3.6)]
    plans = [*loads, Plan((), 25.0, Window.SHUT)]
    nought, ranges = np.zeros(6), np.zeros((6, 3))
    costs = np.array([1.0, 1.1, 1.2, 1.3, 1.4, 50.0])
    got = Figures(ranges, ranges, ranges, nought, costs, nought, nought)
    shown = ranking.worth_showing(range(6), plans, got, start=BED)
    assert shown == (0, 2, 4, 5), "the first, one that differs, one of two thirds at most, and no fire"


MEANS = Means(
    as_of=BED, bed=BED, wake=WAKE, cap_kg=6.4, pieces_kg=PIECES, clean_floor_pct=25.0, standing_air_pct=25.0
)
AIRS = (25.0, 100 / 3, 50.0)


@pytest.mark.parametrize("reach", [closer.SECOND_LOOK, closer.THIRD_LOOK])
def test_a_closer_look_keeps_to_the_limits_of_the_first(reach):
    """Safety: clean floor, cap, 2 to 5 h after bed and not just before waking; from every plan there is."""
    far = candidates(MEANS, airs_pct=AIRS, gets_up=True)
    near = closer.around(far, MEANS, fine=closer.fine_sizes(MEANS), airs_pct=AIRS, reach=reach)
    assert len(set(near)) == len(near)
    assert len(set(near) - set(far)) > 50
    for plan in near:
        assert plan.loads
        assert plan.air_open_pct in AIRS
        assert all(put.size.kg <= 6.4 and put.air_open_pct == plan.air_open_pct for put in plan.loads)
        for put in plan.loads:
            hours = (put.at - BED) / timedelta(hours=1)
            assert hours == 0.0 or 2.0 <= hours <= 5.0
            assert put.at <= WAKE - timedelta(hours=1.5)


def test_a_closer_look_late_in_the_night_stays_before_waking():
    """Waking five hours after bed: nothing later than 3.5 h after it."""
    short = replace(MEANS, wake=BED + timedelta(hours=5))
    far = candidates(short, airs_pct=AIRS, gets_up=True)
    near = closer.around(far, short, fine=closer.fine_sizes(short), airs_pct=AIRS, reach=closer.SECOND_LOOK)
    assert max(put.at for plan in near for put in plan.loads) == BED + timedelta(hours=3.5)


def test_a_closer_look_without_loads_finds_nothing():
    still = [Plan((), 25.0, Window.SHUT)]
    assert closer.around(still, MEANS, fine=(), airs_pct=AIRS, reach=closer.SECOND_LOOK) == ()


def test_a_weighed_load_is_moved_by_steps_of_the_fine_list():
    """Sizes by hand: in a list of 1, 2, 3, 4 kg the neighbours of 3 kg one step off are 2 and 4 kg."""
    fine = tuple(Size(float(kg), "") for kg in (1, 2, 3, 4))
    one = Plan((Put(BED, fine[2], 25.0),), 25.0, Window.SHUT)
    near = closer.around([one], MEANS, fine=fine, airs_pct=(25.0,), reach=closer.THIRD_LOOK)
    assert sorted({p.wood_kg for p in near if p.window is Window.SHUT}) == [2.0, 3.0, 4.0]


def test_looking_closer_lowers_the_cost_of_the_first_choice(monkeypatch):
    """Against the first look alone, over all weathers, nobody's choice gets worse by more than a tie; for
    those who get up the mean falls."""
    for gets_up in (False, True):
        closely = [shown[0].choice.degree_hours_outside for _, shown in everything(gets_up)]
        with monkeypatch.context() as patched:
            patched.setattr(closer, "around", lambda *_, **__: ())
            once = [shown[0].choice.degree_hours_outside for _, shown in everything(gets_up)]
        assert all(a <= _tie_limit(b) + 0.5 for a, b in zip(closely, once, strict=True))
        if gets_up:
            assert sum(closely) < 0.97 * sum(once)


def test_what_is_left_in_the_stove_bounds_the_closer_looks_too():
    """Safety: a full firebox; every load shown at bed fits beside 5 kg dry, 6.1 kg as weighed at 18 % wet."""
    for gets_up in (False, True):
        full = question(
            forecast=FakeForecast(coals_left_kg=5.0, heat_k_per_kg=0.3, time_constant_h=3.0), gets_up=gets_up
        )
        at_bed = [load.kg for o in advise(full) for load in o.choice.loads if load.at == BED]
        assert max(at_bed) <= 8.0 - 5.0 / 0.82 + 2e-3


def test_coals_in_some_draws_only_are_warned_of_and_shown():
    """The middle has the stove out: a warning is for the draws in which it is not."""

    class Doubtful(FakeForecast):
        def __call__(self, plans, night, *, rough=False):
            got = super().__call__(plans, night, rough=rough)
            return replace(got, fire=np.zeros_like(got.fire), may_glow=np.ones_like(got.fire, dtype=bool))

    nothing_left = {"coals_left_kg": 0.0}
    sure, doubtful = (
        try_plan(question(forecast=make(**nothing_left)), []) for make in (FakeForecast, Doubtful)
    )
    assert not sure.facts.burns and not sure.facts.burns_now and not any(sure.burning)
    assert doubtful.facts.burns and doubtful.facts.burns_now and set(doubtful.burning) == {1}


def test_air_below_the_floor_is_told_of_while_some_draws_still_glow():
    class Doubtful(FakeForecast):
        def __call__(self, plans, night, *, rough=False):
            got = super().__call__(plans, night, rough=rough)
            return replace(got, fire=np.zeros_like(got.fire), may_glow=np.ones_like(got.fire, dtype=bool))

    closed = [Entry(at=BED, air_open_pct=5.0, flue_damper_open_pct=20.0)]
    got = try_plan(question(forecast=Doubtful()), closed).facts
    assert (got.least_air_pct, got.least_damper_pct) == (5.0, 20.0)
    cold = try_plan(question(forecast=FakeForecast(coals_left_kg=0.0)), closed).facts
    assert (cold.least_air_pct, cold.least_damper_pct) == (None, None)
