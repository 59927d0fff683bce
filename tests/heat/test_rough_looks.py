"""Which plans of the rough looks get all draws, and what is told of a tried plan: found by changing the code.

The figures are given, so that only the picking is tested: plans of one kind, cheapest first.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from fake_night import FakeForecast
from test_evening import BED, question

from logbook.heat import closer
from logbook.heat.candidates import Plan, Put, Size
from logbook.heat.evening import Looked, _best_of_each_kind, _worth_all_draws, advise, try_plan
from logbook.heat.outcome import Beside
from logbook.heat.ranking import Figures
from logbook.records import Entry, Window

NO_FIRE = Plan((), 25.0, Window.SHUT)


def load(kg: float, *, hours: float = 0.0) -> Plan:
    return Plan((Put(BED + timedelta(hours=hours), Size(kg, ""), 25.0),), 25.0, Window.SHUT)


def looked(plans: list[Plan], *, too_hot: list[float]) -> Looked:
    """The plans with the chance of too hot a room of each; the cost rises from one to the next."""
    n = len(plans)
    nought, ranges = np.zeros(n), np.zeros((n, 3))
    figures = Figures(
        low=ranges,
        high=ranges,
        wake=ranges,
        chance_in_band=nought,
        degree_hours=np.arange(n, dtype=float),
        chance_too_hot=np.array(too_hot),
        asleep_too_hot=nought,
    )
    return Looked(Beside(tuple(plans), figures), np.ones(n, dtype=bool))


FIVE = [load(kg) for kg in (3.0, 3.1, 3.2, 5.0, 6.5)]
"""Three alike, and two that an owner would call different."""


def test_of_one_kind_the_best_two_and_one_that_differs_get_all_draws():
    kept = _worth_all_draws(question(), looked([NO_FIRE, *FIVE], too_hot=[0.0] * 6))
    assert [plan.wood_kg for plan in kept] == [0.0, 3.0, 3.1, 5.0]


def test_of_plans_too_hot_the_least_hot_and_one_that_differs_get_all_draws():
    kept = _worth_all_draws(question(), looked([NO_FIRE, *FIVE], too_hot=[0.5, 0.2, 0.3, 0.4, 0.5, 0.6]))
    assert [plan.wood_kg for plan in kept] == [0.0, 3.0, 5.0]


def test_doubtful_plans_do_not_take_the_places_of_cool_ones():
    """Three draws in a hundred or more are doubtful, ten or more too hot: each kind has its own places."""
    kept = _worth_all_draws(question(), looked([NO_FIRE, *FIVE], too_hot=[0.0, 0.0, 0.0, 0.03, 0.09, 0.1]))
    assert [plan.wood_kg for plan in kept] == [0.0, 3.0, 3.1, 3.2, 5.0, 6.5]


def test_a_window_cracked_without_a_fire_gets_all_draws_though_it_looks_dearer():
    """What there is left to do in a room that is warm without one; of loads, only where it pays."""
    cracked, dear = replace(NO_FIRE, window=Window.CRACKED), replace(FIVE[0], window=Window.CRACKED)
    kept = _worth_all_draws(question(), looked([NO_FIRE, FIVE[0], cracked, dear], too_hot=[0.0] * 4))
    assert kept == [NO_FIRE, FIVE[0], cracked]


def test_the_best_two_of_a_kind_are_looked_around():
    asked = question()
    assert _best_of_each_kind(asked, looked([NO_FIRE, *FIVE], too_hot=[0.0] * 6), 2) == FIVE[:2]
    assert _best_of_each_kind(asked, looked([NO_FIRE], too_hot=[0.0]), 2) == []


def test_of_loads_in_the_night_nobody_will_get_up_for_only_one_is_looked_around():
    night = [load(3.0, hours=3.0), load(4.0, hours=3.0)]
    both = looked([NO_FIRE, *night], too_hot=[0.0] * 3)
    assert _best_of_each_kind(question(gets_up=False), both, 2) == night[:1]
    assert _best_of_each_kind(question(gets_up=True), both, 2) == night


@pytest.mark.parametrize(
    ("too_hot", "best"), [([0.0, 0.5, 0.0, 0.5, 0.5], [3.0, 3.2]), ([0.2, 0.3, 0.4, 0.5, 0.6], [3.0, 3.1])]
)
def test_hot_plans_are_looked_around_only_where_all_are(too_hot, best):
    got = _best_of_each_kind(question(), looked([NO_FIRE, *FIVE], too_hot=[0.0, *too_hot]), 3)
    assert [plan.wood_kg for plan in got][:2] == best
    assert len(got) == (2 if 0.0 in too_hot else 3)


def test_all_draws_are_asked_for_once():
    """The looks before are rough: a hundred plans with all draws would take minutes."""
    full = []

    class Watched(FakeForecast):
        def __call__(self, plans, night, *, rough=False):
            full.extend([] if rough else [len(plans)])
            return super().__call__(plans, night, rough=rough)

    advise(question(forecast=Watched()))
    assert len(full) == 1


def test_every_look_begins_with_no_fire_which_tells_what_is_left_in_the_stove():
    first = []

    class Watched(FakeForecast):
        def __call__(self, plans, night, *, rough=False):
            first.append(plans[0])
            return super().__call__(plans, night, rough=rough)

    advise(question(forecast=Watched()))
    assert len(first) >= 4  # as it stands, far apart, closer, with all draws
    assert not any(entry.load_kg for plan in first[:-1] for entry in plan)
    assert first[1] == first[2] == first[3], "with all as it stands"


@pytest.mark.parametrize("gets_up", [False, True])
def test_a_closer_look_takes_no_plan_seen_before(gets_up):
    """Twice in the list it would take another's place among the best."""
    looks = []

    class Watched(FakeForecast):
        def __call__(self, plans, night, *, rough=False):
            looks.append(list(plans))
            return super().__call__(plans, night, rough=rough)

    advise(question(forecast=Watched(time_constant_h=4.0), low_c=-15.0, gets_up=gets_up))
    idle, far, *closer_looks, full, colder = looks
    del idle, full, colder
    assert len(closer_looks) == (2 if gets_up else 1)
    seen = [*far, *(plan for look in closer_looks for plan in look[1:])]
    assert len(seen) == len(set(seen))


@pytest.mark.parametrize(("gets_up", "looks"), [(False, 4), (True, 5)])
def test_a_third_look_is_only_for_those_who_get_up(gets_up, looks):
    """Looks: as it stands, far apart, closer, (closer still,) and the shown ones on a colder night."""
    asked = []

    class Watched(FakeForecast):
        def __call__(self, plans, night, *, rough=False):
            asked.append(rough)
            return super().__call__(plans, night, rough=rough)

    advise(question(forecast=Watched(time_constant_h=4.0), low_c=-15.0, gets_up=gets_up))
    assert sum(asked) == looks


@pytest.mark.parametrize("gets_up", [False, True])
def test_the_closest_look_is_around_the_best_plan_alone(gets_up, monkeypatch):
    """Around all of them it took three times as long and found nothing; for those who sleep there is none."""
    looks, really = [], closer.around

    def watched(best, *given, reach, **more):
        looks.append((reach, len(best)))
        return really(best, *given, reach=reach, **more)

    monkeypatch.setattr(closer, "around", watched)
    advise(question(forecast=FakeForecast(time_constant_h=4.0), low_c=-15.0, gets_up=gets_up))
    (first, around), (second, closest) = looks
    assert (first, second) == (closer.SECOND_LOOK, closer.THIRD_LOOK)
    assert around > 1
    assert closest == (1 if gets_up else 0)


@pytest.mark.parametrize("hours", [0.0, 2.0])
def test_coals_that_glow_now_need_no_kindling_now_though_they_will_be_out_in_minutes(hours):
    """0.07 kg are 0.04 kg a quarter of an hour later, which is out (``FakeForecast``)."""
    early = BED - timedelta(hours=hours)
    shown = advise(question(forecast=FakeForecast(coals_left_kg=0.07, start_c=14.0), as_of=early))
    puts = [put for o in shown for put in o.choice.loads]
    assert {put.kindling for put in puts if put.at == early} == {False}
    begun = {o.choice.loads[0].kindling for o in shown if o.choice.loads and o.choice.loads[0].at == BED}
    assert begun == {hours > 0.0}, "by bed it is out"


def test_nothing_goes_in_a_stove_whose_flue_is_blocked():
    """Safety: a nest in the cap. Not even a small piece."""
    shown = advise(replace(question(low_c=-15.0, gets_up=True), flue_blocked=True))
    assert not [put for o in shown for put in o.choice.loads]


def test_a_tried_load_is_lit_with_kindling_only_where_the_stove_is_dead():
    loads = [Entry(at=BED + timedelta(hours=h), load_kg=3.0, air_open_pct=60.0) for h in (0.0, 2.0)]
    dead, glowing = (try_plan(question(forecast=FakeForecast(coals_left_kg=kg)), loads) for kg in (0.0, 0.3))
    assert [put.kindling for put in dead.choice.loads] == [True, False]
    assert [put.kindling for put in glowing.choice.loads] == [False, False]


def test_a_plan_that_turns_the_air_down_itself_needs_no_timer():
    one_load = Entry(at=BED, load_kg=3.0, air_open_pct=60.0)
    down = Entry(at=BED + timedelta(minutes=20), air_open_pct=30.0)
    assert try_plan(question(), [one_load, down]).facts.own_turn_down
    assert not try_plan(question(), [one_load]).facts.own_turn_down
    assert not try_plan(question(), []).facts.own_turn_down


def test_a_tried_load_keeps_the_pieces_it_was_said_in():
    bare, said = (Entry(at=BED, load_kg=3.0, pieces=pieces) for pieces in (None, "2M"))
    assert [try_plan(question(), [e]).choice.loads[0].pieces for e in (bare, said)] == ["", "2M"]
