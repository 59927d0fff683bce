"""Upkeep due: intervals against their named sources, whichever comes first, the owner's rule, the unknown.

Standing of the sources as in the table: "as reported" is a secondary page quoting the named body.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from year_log import ZONE, at, did, house_from, weekend, wood

from logbook.care.alarms import alarm_tests
from logbook.care.upkeep import due, months_later
from logbook.care.upkeep_done import chimney_fires
from logbook.care.upkeep_tasks import CORD_OF_LIGHT_WOOD_KG, MEASURABLE_MM, SWEEP_AT_MM, TASK_OF, TASKS
from logbook.care.usual_stay import day_reached
from logbook.matters import Seen, Sight, Upkeep, UpkeepRule
from logbook.records import Alarms, Entry, Mark
from logbook.results.ash import AlarmTests
from logbook.results.lists import CO_ALARM_C
from logbook.results.upkeep import CallKind, Decides, DueState, UsualStay
from logbook.results.upkeep_words import TASK_WORDS, task_named
from logbook.units import kg_from_lb

SWEPT = Upkeep(task="flue", deposit_mm=1.0)


def due_of(entries, *, as_of: str, alarms: Alarms | None = None):
    house = house_from(entries, as_of=as_of, alarms=alarms)
    start = house.stay.start if house.stay else house.as_of
    here = [e for e in house.entries if e.at >= start]
    return due(house, tests=alarm_tests(here, rated_from_c=CO_ALARM_C[0]))


def item(entries, task: str, *, as_of: str, alarms: Alarms | None = None):
    (found,) = [i for i in due_of(entries, as_of=as_of, alarms=alarms).items if i.task == task]
    return found


# Intervals against their sources

SOURCED = [  # task, months, kg, days with a fire, source and its standing
    ("flue", 12, 1000.0, None, "at least once a year: NFPA 211 quoted by a fire department (as reported)"),
    ("flue look", None, None, 15, "twice a month in season: a town's fire prevention page (as reported)"),
    ("door rope", 12, None, 60, "paper test yearly and every 2nd month of use: wood-heat text (as reported)"),
    ("baffle", 12, None, None, "firebrick, baffle, tubes yearly: shop note (as reported)"),
    ("extinguisher", 1, None, None, "NFPA 10: check monthly (as reported)"),
    ("extinguisher service", 12, None, None, "NFPA 10: maintenance yearly (as reported)"),
    ("extinguisher inside", 72, None, None, "NFPA 10: stored-pressure dry chemical, 6 years (as reported)"),
    ("extinguisher pressure test", 144, None, None, "NFPA 10: hydrotest 12 years (as reported)"),
    ("smoke alarm test", 1, None, None, "monthly: fire department quoting NFPA (as reported)"),
    ("smoke alarm battery", 12, None, None, "yearly unless sealed 10-year: same (as reported)"),
    ("co alarm battery", 12, None, None, "same (as reported)"),
    ("roof", 3, None, None, "each season: checklist (as reported)"),
    ("gutters", 6, None, None, "once a year, twice with trees: inspectors (as reported)"),
    ("posts", 12, None, None, "probe yearly with an awl: forest products laboratory (from memory)"),
]


@pytest.mark.parametrize(("task", "months", "kg", "burn", "source"), SOURCED)
def test_intervals_are_those_of_their_sources(task, months, kg, burn, source):
    interval = TASK_OF[task].interval
    assert (interval.months, interval.kg, interval.burn_days) == (months, kg, burn), source
    assert interval.source, "nobody is asked for anything without a word on who says so"


def test_a_cord_of_light_wood_against_a_published_table():
    """Utah State University Extension, Table 1 (read in the primary): cottonwood 2,272 lb, basswood 1,984 lb
    dry a cord; the mass after which a flue is swept lies between the two."""
    assert kg_from_lb(1984.0) < CORD_OF_LIGHT_WOOD_KG < kg_from_lb(2272.0)


def test_the_two_levels_of_deposit():
    """NFPA 211's wording: any measurable; a body of sweeps: 1/8 in (both as reported)."""
    assert MEASURABLE_MM == 0.0
    assert pytest.approx(25.4 / 8, abs=0.2) == SWEEP_AT_MM, "3 mm as rounded there"


def test_every_task_says_who_and_has_words():
    assert {task.name for task in TASKS} == {name for name, _ in TASK_WORDS}
    for task in TASKS:
        words = ("reported", "practice", "memory", "decides")
        assert any(word in task.interval.source for word in words), task.name


# Words


NAMES = [("Chimney", "flue"), ("the sweep", "flue"), ("Gasket", "door rope"), ("fire-brick", "baffle"),
         ("battery CO alarm", "co alarm battery"), ("posts & piers", "posts"),
         ("North  Steps", "north steps"),
         ("carbon monoxide detector", "co alarm"), ("greywater", "grey water")]  # fmt: skip


@pytest.mark.parametrize(("words", "task"), NAMES)
def test_owners_words_name_the_task(words, task):
    assert task_named(words) == task


def test_no_word_names_two_tasks():
    said = [word for name, words in TASK_WORDS for word in (name, *words)]
    assert len(said) == len(set(said))
    for name, words in TASK_WORDS:
        for word in (name, *words):
            assert task_named(word) == name, "every word comes back to its task, folded as it is read"


# By date


DATES = [  # last done, as of, state, due on
    ("2025-03-01", "2026-02-28", DueState.NEXT_STAY, date(2026, 3, 1)),
    ("2025-03-01", "2026-03-01", DueState.DUE, date(2026, 3, 1)),
    ("2025-03-01", "2025-06-01", DueState.LATER, date(2026, 3, 1)),
    ("2024-02-29", "2025-02-27", DueState.NEXT_STAY, date(2025, 2, 28)),
    ("2024-02-29", "2025-02-28", DueState.DUE, date(2025, 2, 28)),
    ("2023-02-28", "2024-02-28", DueState.DUE, date(2024, 2, 28)),
]


@pytest.mark.parametrize(("done", "as_of", "state", "on"), DATES)
def test_the_yearly_inspection_by_date(done, as_of, state, on):
    """At least once a year: NFPA 211 as quoted by a fire department (as reported). Leap days by hand."""
    got = item([did(f"{done} 12:00", SWEPT)], "flue", as_of=f"{as_of} 12:00")
    assert (got.state, got.due_on) == (state, on)


def test_a_day_begins_and_ends_by_the_sites_clock_through_both_changes():
    """Swept at 00:30 on the day after clocks went forward (29 March 2026): in UTC it is still the 29th."""
    got = item([did("2026-03-30 00:30", SWEPT)], "flue", as_of="2026-06-01 12:00")
    assert got.last.on == date(2026, 3, 30)
    assert got.due_on == date(2027, 3, 30)
    assert item([did("2026-03-30 00:30", SWEPT)], "flue", as_of="2027-03-29 23:59").state != DueState.DUE
    assert item([did("2026-03-30 00:30", SWEPT)], "flue", as_of="2027-03-30 00:01").state == DueState.DUE


@given(st.dates(date(1972, 1, 1), date(2180, 1, 1)), st.integers(1, 200))
def test_months_later_is_never_more_than_a_month_off_and_never_too_late(day, months):
    later = months_later(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    assert later.day <= day.day


# By mass and by days with a fire


def test_by_mass_whichever_first():
    """1000 kg as weighed since the sweep, long before the year is over."""
    loads = [wood(f"2026-01-{day:02d} 18:00", 37.0) for day in range(2, 29)]  # 27 x 37 = 999 kg
    swept = did("2026-01-01 12:00", SWEPT)
    before = item([swept, *loads], "flue", as_of="2026-02-10 12:00")
    assert before.kg_since == pytest.approx(999.0)
    assert before.kg_left == pytest.approx(1.0)
    after = item([swept, *loads, wood("2026-01-29 18:00", 1.0)], "flue", as_of="2026-02-10 12:00")
    assert (after.state, after.decides) == (DueState.DUE, Decides.MASS)


def test_wood_laid_in_before_the_sweep_does_not_count():
    loads = [wood(f"2025-12-{day:02d} 18:00", 50.0) for day in range(2, 29)]
    got = item([*loads, did("2026-01-01 12:00", SWEPT), wood("2026-01-02 18:00", 7.0)], "flue",
               as_of="2026-01-03 12:00")  # fmt: skip
    assert got.kg_since == pytest.approx(7.0)


def test_days_with_a_fire_are_days_of_the_sites_calendar():
    """Two loads on one day are one day; 23:30 and 00:30 are two; a load before the look is none."""
    looked = did("2026-01-10 12:00", Upkeep(task="flue look", only_looked=True))
    loads = ["01-08 09:00", "01-10 09:00", "01-10 18:00", "01-10 22:00", "01-16 23:30", "01-17 00:30"]
    got = item([looked, *(wood(f"2026-{text}") for text in loads)], "flue look", as_of="2026-01-18 12:00")
    assert got.burn_days_since == 3
    assert got.burn_days_left == 12.0


def test_fifteen_days_with_a_fire_and_a_look_is_due():
    looked = did("2025-12-31 12:00", Upkeep(task="flue look", only_looked=True))
    loads = [wood(f"2026-01-{day:02d} 18:00", 1.0) for day in range(1, 16)]
    assert item([looked, *loads[:14]], "flue look", as_of="2026-01-20 12:00").state is not DueState.DUE
    got = item([looked, *loads], "flue look", as_of="2026-01-20 12:00")
    assert (got.state, got.decides) == (DueState.DUE, Decides.BURN_DAYS)


def weekends(count: int, *, kg: float = 20.0, first: date = date(2026, 1, 3), every: int = 14) -> list[Entry]:
    """So many stays of two days with a fire and 2 x kg each."""
    rows = []
    for n in range(count):
        day = first + timedelta(days=every * n)
        rows += weekend(str(day), kg, next_day=str(day + timedelta(days=1)))
    return rows


def test_the_next_stay_is_told_by_the_usual_rate():
    """Six stays of 40 kg each after the sweep leave 260 of 500 kg by the owner's rule: seven stays more."""
    rule = did("2025-12-01 12:00", UpkeepRule(task="flue", every_kg=500.0, source="manual p. 14"))
    rows = [rule, did("2026-01-01 12:00", SWEPT), *weekends(6)]
    got = due_of(rows, as_of="2026-03-20 12:00")
    assert got.usual.kg == pytest.approx(40.0)
    assert got.usual.burn_days == pytest.approx(2.0)
    assert got.usual.gap_days == pytest.approx(14.0, abs=0.1)
    assert got.usual.next_on == date(2026, 3, 28)
    flue = next(i for i in got.items if i.task == "flue")
    assert (flue.kg_left, flue.decides) == (pytest.approx(260.0), Decides.MASS)
    assert flue.expected_on == got.usual.next_ends + timedelta(days=6 * 14)
    even = did("2026-01-01 13:00", UpkeepRule(task="flue", every_kg=480.0))
    got = item([*rows, even], "flue", as_of="2026-03-20 12:00")
    assert got.expected_on == date(2026, 3, 29) + timedelta(days=5 * 14), (
        "240 kg: six stays of 40, the next one first"
    )
    near = item([*rows, *weekends(6, first=date(2026, 3, 28))], "flue", as_of="2026-06-12 12:00")
    assert (near.state, near.kg_left) == (DueState.NEXT_STAY, pytest.approx(20.0)), "the next stay takes 40"


def test_one_stay_is_no_rhythm():
    assert due_of(weekends(1), as_of="2026-01-20 12:00").usual is None


@settings(deadline=None, max_examples=40)  # a busy machine is no failure
@given(st.integers(1, 150), st.integers(1, 150), st.integers(1, 40), st.integers(0, 120))
def test_the_first_of_its_rules_decides(days, kg, burn, elapsed):
    """A kilogram a day for so many days: it is due exactly when one of the three is used up."""
    start = at("2026-01-01 12:00")
    rule = did(
        "2025-12-31 12:00", UpkeepRule(task="flue", every_days=days, every_kg=kg, every_burn_days=burn)
    )
    loads = [Entry(at=start + timedelta(days=n, hours=6), load_kg=1.0) for n in range(elapsed)]
    as_of = f"{date(2026, 1, 1) + timedelta(days=elapsed)} 12:00"
    got = item([rule, did("2026-01-01 12:00", Upkeep(task="flue")), *loads], "flue", as_of=as_of)
    assert (got.state is DueState.DUE) == (elapsed >= min(days, kg, burn))


# Never done, ahead of time


def test_what_was_never_done_is_not_recorded_rather_than_overdue():
    got = due_of([wood("2026-01-10 18:00")], as_of="2026-02-01 12:00")
    for each in got.items:
        assert each.state in (DueState.NOT_RECORDED, DueState.NO_INTERVAL), each
        assert each.due_on is None
        assert not each.log_longer


def test_an_empty_log_is_answered():
    got = due_of([], as_of="2026-02-01 12:00")
    assert got.log_began is None
    assert all(i.state is DueState.NOT_RECORDED for i in got.items)


def test_a_log_longer_than_the_interval_says_so():
    rows = [wood("2024-01-10 18:00"), wood("2026-01-10 18:00", 1000.0)]
    got = {i.task: i for i in due_of(rows, as_of="2026-02-01 12:00").items}
    assert got["flue"].state is DueState.NOT_RECORDED
    assert got["flue"].log_longer
    assert not got["extinguisher inside"].log_longer, "6 years against a log of 2"
    by_mass = item([wood("2026-01-10 18:00", 1000.0)], "flue", as_of="2026-01-12 12:00")
    assert by_mass.log_longer, "a cord went through it within the log"


def test_a_sweep_in_the_future_does_not_count():
    rows = [did("2025-01-10 12:00", SWEPT), did("2026-03-07 12:00", SWEPT)]
    got = item(rows, "flue", as_of="2026-02-01 12:00")
    assert got.last.on == date(2025, 1, 10)
    assert got.state is DueState.DUE


# What counts for what


def test_a_look_is_no_inspection_and_a_sweep_is_a_look():
    looked = did("2026-01-10 12:00", Upkeep(task="chimney", only_looked=True, deposit_mm=0.0))
    assert item([looked], "flue", as_of="2026-02-01 12:00").state is DueState.NOT_RECORDED
    assert item([looked], "flue look", as_of="2026-02-01 12:00").last.on == date(2026, 1, 10)
    swept = did("2026-01-12 12:00", SWEPT)
    assert item([looked, swept], "flue look", as_of="2026-02-01 12:00").last.on == date(2026, 1, 12)


def test_a_new_extinguisher_has_had_all_done_to_it():
    new = did("2026-01-10 12:00", Upkeep(task="fire extinguisher", until=date(2038, 1, 1)))
    for task in ("extinguisher", "extinguisher service", "extinguisher inside", "extinguisher pressure test"):
        assert item([new], task, as_of="2026-02-01 12:00").last.on == date(2026, 1, 10)
    looked = did("2026-01-10 12:00", Upkeep(task="extinguisher", only_looked=True))
    assert item([looked], "extinguisher service", as_of="2026-02-01 12:00").last is None


def test_a_date_printed_on_anything_new_counts():
    """Whichever is first, the interval or the date; and a thing of the owner's own needs no rule."""
    rows = [
        did("2026-01-10 12:00", Upkeep(task="fire extinguisher", until=date(2036, 1, 1))),
        did("2026-01-10 12:00", Upkeep(task="water filter", until=date(2026, 7, 1))),
    ]
    bottle = item(rows, "extinguisher pressure test", as_of="2026-02-01 12:00")
    assert (bottle.due_on, bottle.decides) == (date(2036, 1, 1), Decides.PRINTED), "10 years, not 12"
    water = item(rows, "water filter", as_of="2026-07-01 12:00")
    assert (water.state, water.decides) == (DueState.DUE, Decides.PRINTED)


def test_a_new_door_rope_told_as_a_change_counts():
    got = item([Entry(at=at("2026-01-10 12:00"), change="new gasket")], "door rope", as_of="2026-02-01 12:00")
    assert got.last.on == date(2026, 1, 10)


def test_a_task_of_the_owners_own():
    rows = [
        did("2025-01-01 12:00", UpkeepRule(task="Sauna steps", every_days=30.0, source="me")),
        did("2026-01-01 12:00", Upkeep(task="sauna steps")),
        did("2026-01-02 12:00", Upkeep(task="bird box")),
    ]
    steps = item(rows, "sauna steps", as_of="2026-01-31 12:00")
    assert (steps.state, steps.due_on) == (DueState.DUE, date(2026, 1, 31))
    assert item(rows, "bird box", as_of="2026-01-31 12:00").state is DueState.NO_INTERVAL


# The owner's rule


def test_the_owners_rule_takes_the_place_of_the_usual_one_which_stays_in_sight():
    rows = [
        did("2026-01-01 12:00", SWEPT),
        did("2026-01-02 12:00", UpkeepRule(task="sweep", every_days=100.0, source="manual p. 14")),
    ]
    got = item(rows, "flue", as_of="2026-01-10 12:00")
    assert got.due_on == date(2026, 4, 11), "1 January and 100 days, by hand"
    assert (got.interval.kg, got.interval.source) == (None, "manual p. 14")
    assert got.usual.months == 12
    back = item([*rows, did("2026-01-05 12:00", UpkeepRule(task="flue", every_days=200.0))], "flue",
                as_of="2026-01-10 12:00")  # fmt: skip
    assert back.due_on == date(2026, 7, 20), "the newest rule counts: 200 days, by hand"


def test_silenced_and_asked_for_again():
    rows = [
        did("2024-01-01 12:00", Upkeep(task="gutters")),
        did("2025-01-01 12:00", UpkeepRule(task="gutters")),
    ]
    got = item(rows, "gutters", as_of="2026-01-10 12:00")
    assert (got.state, got.silenced_on) == (DueState.SILENCED, date(2025, 1, 1))
    again = did("2025-06-01 12:00", UpkeepRule(task="gutters", every_days=365.0))
    assert item([*rows, again], "gutters", as_of="2026-01-10 12:00").state is DueState.DUE


NEVER = [did("2025-01-01 12:00", UpkeepRule(task=task)) for task in ("co alarm", "flue", "cap")]


def test_an_alarm_past_its_date_speaks_though_silenced_and_says_so():
    alarms = Alarms(co_expires=date(2025, 12, 1))
    got = item(NEVER, "co alarm", as_of="2025-12-01 12:00", alarms=alarms)
    assert (got.state, got.decides, got.silenced_on) == (DueState.DUE, Decides.PRINTED, date(2025, 1, 1))
    assert item(NEVER, "co alarm", as_of="2025-11-30 12:00", alarms=alarms).state is DueState.SILENCED


def test_a_chimney_fire_a_nest_and_soot_speak_though_silenced():
    fire = Entry(at=at("2025-12-05 12:00"), note="chimney fire, put out by itself")
    nest = did("2025-12-05 12:00", Seen(sight=Sight.NEST))
    soot = did("2025-12-05 12:00", Upkeep(task="flue", only_looked=True, deposit_mm=4.0))
    for row, task in ((fire, "flue"), (nest, "cap"), (soot, "flue")):
        got = item([*NEVER, row], task, as_of="2025-12-06 12:00")
        assert (got.state, got.silenced_on) == (DueState.NOW, date(2025, 1, 1))
    assert item(NEVER, "flue", as_of="2025-12-06 12:00").state is DueState.SILENCED


# Printed dates


PRINTED = [  # as of, state
    ("2033-04-30", DueState.NEXT_STAY),
    ("2033-05-01", DueState.DUE),
    ("2030-05-01", DueState.LATER),
]


@pytest.mark.parametrize(("as_of", "state"), PRINTED)
def test_the_date_printed_on_an_alarm_decides(as_of, state):
    new = did("2026-05-01 12:00", Upkeep(task="smoke alarm", until=date(2033, 5, 1)))
    got = item([new], "smoke alarm", as_of=f"{as_of} 12:00", alarms=Alarms(smoke_expires=date(2026, 4, 1)))
    assert (got.state, got.due_on, got.decides) == (state, date(2033, 5, 1), Decides.PRINTED)


def test_an_alarm_without_a_date_is_unknown_however_often_it_was_seen_to():
    rows = [did("2026-01-01 12:00", Upkeep(task="smoke alarm")), wood("2015-01-01 18:00")]
    got = item(rows, "smoke alarm", as_of="2026-02-01 12:00")
    assert got.state is DueState.NOT_RECORDED
    assert got.log_longer, "10 years from manufacture: fire department quoting NFPA (as reported)"


def test_the_owners_interval_brings_an_alarms_date_forward_but_never_puts_it_off():
    alarms = Alarms(co_expires=date(2030, 1, 1))
    rows = [did("2026-01-01 12:00", Upkeep(task="co alarm"))]
    sooner = did("2026-01-02 12:00", UpkeepRule(task="co alarm", every_days=365.0))
    later = did("2026-01-02 12:00", UpkeepRule(task="co alarm", every_days=9999.0))
    got = item([*rows, sooner], "co alarm", as_of="2026-06-01 12:00", alarms=alarms)
    assert got.due_on == date(2027, 1, 1)
    got = item([*rows, later], "co alarm", as_of="2026-06-01 12:00", alarms=alarms)
    assert got.due_on == date(2030, 1, 1)


# Due at once


CALLS = [(Sight.NEST, "cap"), (Sight.DROPPINGS, "rodents"), (Sight.LEAK, "roof"), (Sight.SPLASH, "splash")]


@pytest.mark.parametrize(("sight", "task"), CALLS)
def test_what_was_seen_calls_for_its_task_until_it_is_done(sight, task):
    rows = [
        did("2026-01-09 12:00", Upkeep(task=task)),
        did("2026-01-10 12:00", Seen(sight=sight, place="north")),
    ]
    got = item(rows, task, as_of="2026-01-11 12:00")
    assert (got.state, got.decides) == (DueState.NOW, Decides.SEEN)
    assert [(c.what, c.where, c.on) for c in got.called_for] == [(str(sight), "north", date(2026, 1, 10))]
    done = did("2026-01-11 09:00", Upkeep(task=task))
    assert item([*rows, done], task, as_of="2026-01-11 12:00").state is not DueState.NOW


GONE = [  # what was said to be gone, which leaks are left
    ("leak", []),
    ("leak at flashing", ["ridge"]),
    ("leak ridge", ["flashing"]),
    ("leak at the door", ["flashing", "ridge"]),
    ("nest", ["flashing", "ridge"]),
]


@pytest.mark.parametrize(("place", "left"), GONE)
def test_what_is_gone_calls_no_more_at_its_own_place(place, left):
    rows = [
        did("2026-01-10 12:00", Seen(sight=Sight.LEAK, place="flashing")),
        did("2026-01-10 12:01", Seen(sight=Sight.LEAK, place="ridge")),
        did("2026-01-11 12:00", Seen(sight=Sight.GONE, place=place)),
    ]
    assert [c.where for c in item(rows, "roof", as_of="2026-01-12 12:00").called_for] == left


def test_a_look_does_not_clear_a_nest_but_a_sweep_does():
    nest = did("2026-01-10 12:00", Seen(sight=Sight.NEST))
    looked = did("2026-01-11 12:00", Upkeep(task="cap", only_looked=True))
    assert item([nest, looked], "cap", as_of="2026-01-12 12:00").state is DueState.NOW
    swept = did("2026-01-11 12:00", SWEPT)
    assert item([nest, swept], "cap", as_of="2026-01-12 12:00").state is not DueState.NOW


DEPOSITS = [  # found by looking, mm; whether the flue is due at once
    (0.0, False),
    (0.5, True),  # "any measurable": NFPA 211's wording, as reported
    (3.2, True),  # 1/8 in: a body of sweeps, as reported
]


@pytest.mark.parametrize(("deposit_mm", "at_once"), DEPOSITS)
def test_deposit_left_in_the_flue_makes_it_due(deposit_mm, at_once):
    rows = [
        did("2026-01-01 12:00", SWEPT),
        did("2026-02-01 12:00", Upkeep(task="flue look", only_looked=True, deposit_mm=deposit_mm)),
    ]
    got = item(rows, "flue", as_of="2026-02-02 12:00")
    assert (got.state is DueState.NOW) is at_once
    swept = did("2026-02-02 09:00", Upkeep(task="flue", deposit_mm=deposit_mm))
    after = item([*rows, swept], "flue", as_of="2026-02-02 12:00")
    assert after.state is not DueState.NOW
    assert after.gathered_mm == (deposit_mm if deposit_mm >= 3.0 else None)


def test_due_at_once_keeps_what_is_due_besides():
    rows = [
        did("2024-01-01 12:00", SWEPT),
        did("2026-02-01 12:00", Upkeep(task="flue", only_looked=True, deposit_mm=1.0)),
    ]
    got = item(rows, "flue", as_of="2026-02-02 12:00")
    assert (got.decides, got.also_due, got.due_on) == (Decides.DEPOSIT, Decides.DATE, date(2025, 1, 1))


FIRES = [("Chimney fire at 22:00!", True), ("flue-fire, roaring", True), ("no chimney fire this year", False),
         ("chimney fire extinguisher bought", False), ("fire in the chimney corner", False)]  # fmt: skip


@pytest.mark.parametrize(("note", "fire"), FIRES)
def test_a_chimney_fire_is_read_from_notes(note, fire):
    assert bool(list(chimney_fires([Entry(at=at("2026-01-10 22:00"), note=note)]))) is fire


def test_after_a_chimney_fire_flue_and_cap_are_due_until_seen_to():
    """Level 2 or 3 inspection after a chimney fire: NFPA 211 quoted (as reported)."""
    rows = [did("2026-01-01 12:00", SWEPT), Entry(at=at("2026-01-10 22:00"), note="chimney fire")]
    for task in ("flue", "cap"):
        got = item(rows, task, as_of="2026-01-11 12:00")
        assert got.state is DueState.NOW
        assert [c.kind for c in got.called_for] == [CallKind.CHIMNEY_FIRE]
    swept = did("2026-01-12 12:00", SWEPT)
    assert item([*rows, swept], "flue", as_of="2026-01-13 12:00").state is DueState.LATER
    looked = did("2026-01-12 12:00", Upkeep(task="flue", only_looked=True))
    assert item([*rows, looked], "flue", as_of="2026-01-13 12:00").state is DueState.NOW, (
        "a look is not enough"
    )


STAY = [  # this stay's lines, state of the CO alarm's test
    ([Entry(at=at("2026-01-16 16:00"), mark=Mark.ARRIVED)], DueState.NOW),
    ([Entry(at=at("2026-01-16 16:00"), indoor_c=12.0, alarms_tested=True)], DueState.LATER),
    ([Entry(at=at("2026-01-16 16:00"), indoor_c=1.0, alarms_tested=True),
      Entry(at=at("2026-01-16 19:00"), indoor_c=16.0)], DueState.NOW),
]  # fmt: skip


@pytest.mark.parametrize(("here", "state"), STAY)
def test_alarms_are_tested_each_stay(here, state):
    before = [Entry(at=at("2026-01-02 16:00"), alarms_tested=True)]
    assert item([*before, *here], "co alarm test", as_of="2026-01-16 20:00").state is state


# Order


def test_safety_first_then_by_date():
    rows = [
        did("2024-01-01 12:00", Upkeep(task="gutters")),
        did("2024-06-01 12:00", Upkeep(task="baffle")),
        did("2024-03-01 12:00", SWEPT),
        did("2026-01-10 12:00", Seen(sight=Sight.LEAK)),
        did("2026-01-10 12:00", Seen(sight=Sight.NEST)),
    ]
    alarms = Alarms(smoke_expires=date(2026, 1, 1))
    names = [i.task for i in due_of(rows, as_of="2026-01-11 12:00", alarms=alarms).items]
    pressing = ["smoke alarm", "cap", "flue", "baffle"]
    assert names[:4] == pressing, "an alarm past its date, what was seen, then the longest overdue"
    assert names.index("roof") < names.index("gutters")
    assert max(map(names.index, pressing)) < names.index("roof"), "comfort waits"


def test_what_was_written_ahead_is_handed_back_and_tests_are_not_asked_for_when_nobody_is_there():
    house = house_from([Entry(at=at("2026-01-02 16:00"), alarms_tested=True)], as_of="2026-01-10 12:00")
    got = {i.task: i for i in due(house, tests=AlarmTests()).items}
    assert got["co alarm test"].called_for == ()
    assert house.setting.zone == ZONE


def test_the_next_kilograms_are_burned_stay_by_stay_and_never_where_none_is_usual():
    """25 kg at 10 kg a stay: during the third from now, two gaps of a fortnight after the next one ends."""
    usual = UsualStay(
        stays=5, kg=10.0, burn_days=2, gap_days=14.0, next_on=date(2026, 1, 16), next_ends=date(2026, 1, 18)
    )
    assert day_reached(25.0, per_stay=10.0, usual=usual) == date(2026, 2, 15)
    assert day_reached(10.0, per_stay=10.0, usual=usual) == date(2026, 1, 18)
    assert day_reached(10.0, per_stay=0.0, usual=usual) is None
