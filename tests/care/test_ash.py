"""The ash clock across stays: never sooner than fire districts say, and never a word that it is cold."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from year_log import ZONE, at, did, wood

from logbook.care.ash import ash_clock, ash_not_before
from logbook.matters import Ash, AshAct
from logbook.records import Coals, Entry
from logbook.results.ash import AshState
from logbook.setting import Setting
from logbook.wording.ash import ash_row_text, ash_short_text, ash_text

SETTING = Setting(zone=ZONE)
OUT = Ash(act=AshAct.TAKEN_OUT, where="porch")
MORE = Ash(act=AshAct.TAKEN_OUT)
TIPPED = Ash(act=AshAct.TIPPED, where="behind the shed")

FRIDAY = did("2026-01-16 15:15", OUT)

# Embers live up to 4 days: fire districts, as reported; page not kept.
WAITS = [  # what the log has, as of, state, not before
    ([FRIDAY], "2026-01-16 16:00", AshState.WAITING, "2026-01-20 15:15"),
    ([FRIDAY], "2026-01-20 15:14", AshState.WAITING, "2026-01-20 15:15"),
    ([FRIDAY], "2026-01-20 15:15", AshState.WAIT_OVER, "2026-01-20 15:15"),
    ([FRIDAY], "2026-03-01 12:00", AshState.WAIT_OVER, "2026-01-20 15:15"),
    ([FRIDAY, did("2026-01-18 09:00", MORE)], "2026-01-18 10:00", AshState.WAITING, "2026-01-22 09:00"),
    ([FRIDAY, did("2026-01-18 09:00", TIPPED)], "2026-01-18 10:00", AshState.TIPPED_EARLY,
     "2026-01-20 15:15"),
]  # fmt: skip


@pytest.mark.parametrize(("entries", "as_of", "state", "until"), WAITS)
def test_ash_waits_four_days_after_the_last_that_went_in(entries, as_of, state, until):
    clock = ash_clock(entries, as_of=at(as_of))
    assert (clock.state, clock.not_before) == (state, at(until))


def test_ash_tipped_after_its_wait_is_off_the_list_and_a_new_bucket_on_it():
    entries = [FRIDAY, did("2026-01-30 16:00", TIPPED)]
    assert ash_clock(entries, as_of=at("2026-01-30 17:00")) is None
    entries.append(did("2026-02-01 10:00", MORE))
    clock = ash_clock(entries, as_of=at("2026-02-01 11:00"))
    assert clock.not_before == at("2026-02-05 10:00")
    assert clock.where == "", "the old place was that of the ash tipped since"


def test_ash_tipped_too_early_is_told_until_its_time_and_not_for_ever():
    entries = [FRIDAY, did("2026-01-18 09:00", TIPPED)]
    assert ash_clock(entries, as_of=at("2026-01-20 15:00")).where == "behind the shed"
    assert ash_clock(entries, as_of=at("2026-01-20 15:15")) is None


def test_the_wait_is_in_hours_that_pass_whatever_the_clock_shows():
    """Clocks in Norway went forward on 29 March 2026: 96 hours later it is an hour later by the clock."""
    clock = ash_clock([did("2026-03-27 15:15", OUT)], as_of=at("2026-03-28 12:00"))
    assert clock.not_before == at("2026-03-31 16:15")
    assert clock.not_before - clock.filled == timedelta(hours=96)


def test_more_on_top_keeps_the_place_that_was_said():
    clock = ash_clock([FRIDAY, did("2026-01-18 09:00", MORE)], as_of=at("2026-01-18 10:00"))
    assert clock.where == "porch"


def test_later_lines_do_not_exist_and_order_is_no_matter():
    entries = [did("2026-01-18 09:00", TIPPED), FRIDAY]
    assert ash_clock(entries, as_of=at("2026-01-17 09:00")).tipped is None
    assert ash_clock(entries, as_of=at("2026-01-16 15:00")) is None
    assert ash_clock([did("2026-01-16 12:00", TIPPED)], as_of=at("2026-01-17 09:00")) is None


NOTES = [("ash out", True), ("Ashes taken out, bucket full", True), ("mountain ash outside the door", False),
         ("cash out", False), ("rash outburst", False)]  # fmt: skip


@pytest.mark.parametrize(("note", "counts"), NOTES)
def test_notes_from_before_there_was_a_word_for_it_count(note, counts):
    clock = ash_clock([Entry(at=at("2026-01-16 15:15"), note=note)], as_of=at("2026-01-17 09:00"))
    assert (clock is not None) == counts


def test_a_note_alone_stands_no_longer_than_its_wait():
    """Old logs say "ash out" in notes and never that it was tipped: no bucket of years ago stands today."""
    note = Entry(at=at("2026-01-16 15:15"), note="ash out")
    assert ash_clock([note], as_of=at("2026-01-20 15:14")).state is AshState.WAITING
    assert ash_clock([note], as_of=at("2026-01-20 15:15")) is None


# A fire within the last day: a handout says to wait 24 h after the last fire (as reported; page not kept).
HOT = [  # what was before or after, the fire told
    ([wood("2026-01-16 09:00")], "2026-01-16 09:00"),
    ([wood("2026-01-15 15:16")], "2026-01-15 15:16"),
    ([wood("2026-01-15 15:15")], None),
    ([Entry(at=at("2026-01-16 08:00"), coals=Coals.FEW)], "2026-01-16 08:00"),
    ([Entry(at=at("2026-01-16 08:00"), coals=Coals.NONE)], None),
    ([Entry(at=at("2026-01-16 08:00"), fire_out=True)], "2026-01-16 08:00"),
    ([Entry(at=at("2026-01-16 17:00"), coals=Coals.GOOD)], "2026-01-16 17:00"),
    ([wood("2026-01-16 18:00"), Entry(at=at("2026-01-16 21:00"), coals=Coals.GOOD)], None),
]


@pytest.mark.parametrize(("others", "fire"), HOT)
def test_ash_of_a_fire_within_the_day_says_so(others, fire):
    clock = ash_clock([FRIDAY, *others], as_of=at("2026-01-17 12:00"))
    assert clock.fire_at == (None if fire is None else at(fire))
    said = ash_text(clock, setting=SETTING)
    assert ("went in hot" in said or "that is fire" in said) == (fire is not None)


def test_leaving_and_the_bucket_tell_one_date():
    now = at("2026-01-18 14:00")
    assert ash_not_before([wood("2026-01-18 11:00")], as_of=now) == at("2026-01-22 14:00"), "taken out now"
    assert ash_not_before([wood("2026-01-01 11:00")], as_of=now) == at("2026-01-22 14:00"), "from now even so"
    assert ash_not_before([FRIDAY], as_of=now) == at("2026-01-20 15:15"), "the bucket's own"
    later = at("2026-01-30 14:00")
    assert ash_not_before([FRIDAY], as_of=later) == at("2026-02-03 14:00"), "its wait is over: what is added"


MOMENTS = st.integers(0, 400).map(lambda h: at("2026-01-01 00:00") + timedelta(hours=h))
ACTS = st.builds(
    lambda moment, matter: Entry(at=moment, matter=matter), MOMENTS, st.sampled_from([OUT, MORE, TIPPED])
)


@settings(deadline=None)
@given(st.lists(ACTS, max_size=8), MOMENTS)
def test_no_ash_taken_out_is_ever_free_before_four_days(entries, as_of):
    clock = ash_clock(entries, as_of=as_of)
    out = [e.at for e in entries if e.matter.act is AshAct.TAKEN_OUT and e.at <= as_of]
    young = [moment for moment in out if as_of - moment < timedelta(hours=96)]
    if young:
        assert clock is not None
        assert clock.not_before >= max(young) + timedelta(hours=96)


COLD = re.compile(r"\b(cold|safe|cool|harmless|dead|out by now)\b", re.IGNORECASE)


@settings(deadline=None)
@given(st.lists(ACTS, min_size=1, max_size=8), MOMENTS)
def test_it_is_never_said_that_ash_is_cold(entries, as_of):
    clock = ash_clock(entries, as_of=as_of)
    if clock is not None:
        for said in (ash_text, ash_short_text, ash_row_text):
            assert not COLD.search(said(clock, setting=SETTING))
        assert len(ash_short_text(clock, setting=SETTING)) <= 71, "the head row's room at 80 columns"
        assert len(ash_row_text(clock, setting=SETTING)) <= 111, "the head row's room at 120 columns"


def test_the_words_of_a_waiting_bucket():
    said = ash_text(ash_clock([FRIDAY], as_of=at("2026-01-16 16:00")), setting=SETTING)
    assert said.startswith("Ash filled Fri 16 Jan 15:15 (porch): not tipped before Tue 20 Jan 15:15.")
    assert "3 m (10 ft)" in said, "a county fire department: 10 ft from buildings, as reported"
    assert "carbon monoxide" in said, "a fire district on ash cans, as reported"


def test_on_a_wide_row_what_to_type_stands_last():
    """Once: "then: ash tipped It went in hot.", which is no line to type."""
    hot = [FRIDAY, wood("2026-01-16 09:00")]
    said = ash_row_text(ash_clock(hot, as_of=at("2026-01-30 16:00")), setting=SETTING)
    assert said == (
        "Ash stands since Fri 16 Jan 15:15 (porch). It went in hot. Tip it as if live, then type: ash tipped"
    )
    said = ash_row_text(ash_clock([FRIDAY], as_of=at("2026-01-30 16:00")), setting=SETTING)
    assert said == "Ash stands since Fri 16 Jan 15:15 (porch). Tip it as if live, then type: ash tipped"
    said = ash_row_text(ash_clock(hot, as_of=at("2026-01-16 16:00")), setting=SETTING)
    assert said == (
        "Ash filled Fri 16 Jan 15:15: not tipped before Tue 20 Jan 15:15. It stands: porch. It went in hot."
    )


def test_of_a_wide_row_the_heat_is_the_last_to_be_left_out():
    far = did(
        "2026-01-16 15:15", Ash(act=AshAct.TAKEN_OUT, where="the flat stone between the shed and the spruce")
    )
    for as_of in ("2026-01-16 16:00", "2026-01-30 16:00"):
        said = ash_row_text(ash_clock([far, wood("2026-01-16 09:00")], as_of=at(as_of)), setting=SETTING)
        assert "It went in hot." in said and "spruce" not in said
