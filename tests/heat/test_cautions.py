"""Every safety rule: it stands where it must, and stays away where it has no business."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from logbook.heat.cautions import RULES, Facts, Scope, applying
from logbook.units import c_from_f

EVERYTHING = frozenset(Scope)
QUIET = Facts(clean_floor_pct=25.0, max_load_kg=8.0, no_load=True)
"""Nothing burns, nothing goes in, nothing is wrong."""

BURNING = replace(QUIET, burns=True, no_load=False, biggest_load_kg=3.0, least_air_pct=25.0)


def named(facts: Facts) -> set[str]:
    return {rule.name for rule in applying(facts, scopes=EVERYTHING)}


CASES = [  # rule, facts that call for it, facts just short of it
    ("alarms_untested", replace(QUIET, alarms_tested=False), QUIET),
    ("alarms_tested_cold", replace(QUIET, alarms_tested_cold=True), QUIET),
    (
        "alarms_tested_cold",
        replace(QUIET, alarms_tested_cold=True),
        replace(QUIET, alarms_tested=False, alarms_tested_cold=True),
    ),
    ("smoke_expired", replace(QUIET, smoke_expired=True), QUIET),
    ("co_expired", replace(QUIET, co_expired=True), QUIET),
    ("nest_in_cap", replace(QUIET, nest_seen=datetime(2026, 1, 9, 12, tzinfo=UTC)), BURNING),
    (
        "air_stands_low",
        replace(BURNING, burns_now=True, standing_air_pct=10.0),
        replace(BURNING, burns_now=True, standing_air_pct=None),
    ),
    (
        "air_stands_low",
        replace(BURNING, burns_now=True, standing_air_pct=10.0),
        replace(BURNING, burns_now=False, standing_air_pct=10.0),
    ),
    (  # a hair below the floor is below it; only what rounding leaves is not
        "air_stands_low",
        replace(BURNING, burns_now=True, standing_air_pct=24.0),
        replace(BURNING, burns_now=True, standing_air_pct=24.6),
    ),
    (
        "damper_stands",
        replace(BURNING, standing_damper_pct=20.0),
        replace(BURNING, standing_damper_pct=100.0),
    ),
    ("damper_stands", replace(BURNING, standing_damper_pct=20.0), replace(QUIET, standing_damper_pct=20.0)),
    ("fresh_load", replace(BURNING, fresh_load_at=datetime(2026, 1, 9, 22, tzinfo=UTC)), BURNING),
    ("floor_assumed", replace(QUIET, floor_assumed=True), QUIET),
    ("coals_give_co", BURNING, QUIET),
    ("damp_wood", replace(BURNING, moisture_wet_pct=20.5), replace(BURNING, moisture_wet_pct=20.0)),
    ("over_limit", replace(BURNING, biggest_load_kg=8.2), replace(BURNING, biggest_load_kg=8.0)),
    ("overfilled", replace(BURNING, overfilled_kg=1.0), replace(BURNING, overfilled_kg=0.1)),
    (
        "beyond_tried",
        replace(BURNING, biggest_load_kg=5.1, tried_cap_kg=5.0),
        replace(BURNING, biggest_load_kg=5.0, tried_cap_kg=5.0),
    ),
    ("below_floor", replace(BURNING, least_air_pct=10.0), BURNING),
    ("below_floor", replace(BURNING, least_air_pct=24.0), replace(BURNING, least_air_pct=24.6)),
    ("damper_on_coals", replace(BURNING, least_damper_pct=20.0), BURNING),
    ("too_hot", replace(BURNING, chance_too_hot=0.05), replace(BURNING, chance_too_hot=0.04)),
    ("cold_start", replace(BURNING, cold_start=True), BURNING),
    ("turn_down", BURNING, QUIET),
    ("turn_down", BURNING, replace(BURNING, own_turn_down=True)),
    ("turn_down", BURNING, replace(BURNING, cold_start=True)),  # whose own caution says how long
    ("in_the_night", replace(BURNING, load_in_the_night=True), BURNING),
    (
        "freezing",
        replace(QUIET, water_in=True, chance_freezing=0.05),
        replace(QUIET, water_in=False, chance_freezing=0.9),
    ),
]


@pytest.mark.parametrize(("name", "calls", "short"), CASES)
def test_a_rule_applies_where_it_must_and_only_there(name, calls, short):
    assert name in named(calls)
    assert name not in named(short)


def test_a_load_over_the_limit_says_too_that_it_is_not_reckoned_with_whole():
    """20 kg tried in a stove of 8 kg is forecast as what fits: unsaid, the range would seem to be of 20."""
    assert {"over_limit", "overfilled"} <= named(replace(BURNING, biggest_load_kg=20.0, overfilled_kg=12.0))


def test_every_rule_has_a_case_here_or_always_applies():
    assert {case[0] for case in CASES} | {"manual_first"} == {rule.name for rule in RULES}
    assert "manual_first" in named(QUIET)


def test_a_quiet_evening_is_not_drowned_in_cautions():
    """Said without cause, a caution is soon read past."""
    assert named(QUIET) == {"manual_first"}
    assert named(BURNING) == {"manual_first", "coals_give_co", "turn_down"}


def test_names_are_unique_and_sources_given():
    assert len({rule.name for rule in RULES}) == len(RULES)
    assert all(len(rule.source) > 10 for rule in RULES)


def test_alarms_come_first_of_all():
    """Safety: an untested or expired alarm is the first line on advice."""
    said = applying(replace(BURNING, alarms_tested=False, floor_assumed=True), scopes=EVERYTHING)
    assert said[0].name == "alarms_untested"
    assert [r.scope for r in said[:1]] == [Scope.FIRST]


def test_a_nest_comes_next_after_the_alarms_and_in_any_answer():
    """Leaving says no alarms; a nest it says all the same."""
    facts = replace(
        BURNING, alarms_tested=False, floor_assumed=True, nest_seen=datetime(2026, 1, 9, 12, tzinfo=UTC)
    )
    assert [rule.name for rule in applying(facts, scopes=EVERYTHING)][:2] == [
        "alarms_untested",
        "nest_in_cap",
    ]
    assert applying(facts, scopes=frozenset({Scope.ANSWER}))[0].name == "nest_in_cap"


def test_cold_pipes_count_even_while_the_room_is_warm_enough():
    """Alert at 20 °F outside for uninsulated pipes (Univ. of Illinois, as reported): −6.7 °C."""
    cold = replace(QUIET, water_in=True, outdoor_low_c=-7.0)
    assert "freezing" in named(cold)
    assert "freezing" in named(replace(cold, outdoor_low_c=c_from_f(20.0))), "20 °F itself, as it is typed"
    assert "freezing" not in named(replace(cold, outdoor_low_c=c_from_f(21.0)))
    assert "freezing" not in named(replace(cold, outdoor_low_c=-6.0))
    assert "freezing" not in named(replace(cold, no_load=False))  # a night with a fire goes by the room


REASSURING = ("safe", "no danger", "no risk", "fine", "harmless", "don't worry", "enough air")


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.name)
def test_nothing_reassuring_is_said(rule):
    """Safety: nothing reassuring is ever said about carbon monoxide, nor anything else that can kill."""
    assert not any(word in rule.sentence.lower() for word in REASSURING)


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.name)
def test_no_rule_tells_to_close_anything_on_a_fire(rule):
    """Safety: never less air, never a closing damper, never an emergency trick."""
    text = rule.sentence.lower()
    assert "close the" not in text
    assert "shut the" not in text
    assert "water on" not in text
