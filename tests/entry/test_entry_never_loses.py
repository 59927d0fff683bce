"""Whatever is typed: nothing raises, nothing is lost, and what the app says can be typed again."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from logbook.entry import Setting, answered, complete, read_line, read_plan
from logbook.entry.matters.heads import FIRST_WORDS
from logbook.errors import EntryError
from logbook.records import Coals, Entry, Mark, OwnUnits, Wind, Window
from logbook.results.upkeep_words import TASK_WORDS
from logbook.wording import said, sentence

NOW = datetime(2026, 1, 16, 21, 41, 20, tzinfo=UTC)
HERE = Setting(
    zone="Europe/London",
    pieces_kg=(("S", 0.8), ("M", 1.6), ("L", 2.8)),
    own_words=(("box", 19.0),),
    places=("loft",),
    max_load_kg=8.0,
    largest_load_kg=5.5,
    air_lever_reads="closed",
    last_indoor_c=17.0,
    last_outdoor_c=-9.0,
    last_reading_at=NOW - timedelta(hours=1),
    newest_at=NOW - timedelta(hours=1),
    last_load=Entry(at=NOW, load_kg=6.4, pieces="4 M", air_open_pct=25.0),
    stacks=("birch", "birch north wall"),
    supplies=("water",),
    to_bring=("mouse traps",),
    tasks=TASK_WORDS,
)

LINES_OF_GRAMMAR = """
-12/18 18 -11 65F 18,5 −9 4.2kg 9lb 4m 2s 3M1L box half a quarter 1/4 5/4 3/14 60% full open closed shut all
air damper window cracked coals few good none fire out heater 1500 W off bed woke arrived left note kindling
same j in inside loft low 9 high 24 rh 55% wind strong forecast tonight moisture wet dry birch ash of 23:10
25:10 7am 11 last night fri yesterday today at @ -2h -30m 16 jan 2026-01-16T22:30 noon alarms ok lever
rescaled since change band = , ; ( ) . mouse behind the stove 4x 65k 99 -99 1e9 ¼ (3/4 closed)
"""
LINES_OF_MATTERS = """
ash out tipped swept flue 2 mm by J photo a.jpg looked at door rope did gutters replaced co alarm until may
2033 3 battery smoke every 365 days or 500 kg 40 burn never says stack birch 0.9 stere split 2025 north wall
cost 80 h 2 boxes loose cord rack 40 cm 1/2 x m count gone meter 17 21% dry fresh 250 level water 14 L 1,200
brought bring got mouse traps done skip leaving: people K J 0 purpose roof work guest book: Snow. cost
skirting on floor -3 droppings sweating frost mould leak nest in cap weather was sat -8 -2/-8 strong clear
tomorrow dec note , ;
"""
GRAMMAR = LINES_OF_GRAMMAR.split()
MATTERS = LINES_OF_MATTERS.split()
HEADS = sorted(FIRST_WORDS)

anything = st.one_of(
    st.text(max_size=60),
    st.lists(st.sampled_from(GRAMMAR), max_size=9).map(" ".join),
    st.lists(st.one_of(st.sampled_from(GRAMMAR), st.text(max_size=6)), max_size=7).map(" ".join),
    st.builds(
        lambda when, head, rest: " ".join([when, head, *rest]).strip(),
        st.sampled_from(["", "", "last night 11", "on 3 dec", "sat"]),
        st.sampled_from(HEADS),
        st.lists(
            st.one_of(st.sampled_from(MATTERS), st.sampled_from(MATTERS), st.text(max_size=6)), max_size=9
        ),
    ),
)


def words_of(text: str) -> set[str]:
    """The parts of a text that carry meaning, numbers and words apart: ``0²`` may be kept as 0 and ²."""
    return set(re.findall(r"\d+|[^\W\d]+", text))


@given(anything)
@example("note")
@example("-" * 50)
@example("9" * 400)
@example("1/0 4m 0/0")
@example("½ box")
@example("0000-00-00 10:00")
@example("-9999h 18")
@example("İ 4m 18")
@example("0/0²")
@settings(max_examples=600, deadline=None)
def test_no_line_raises_and_no_word_is_lost(text):
    """Every word typed is in a value's own text, in the time's, in the note, or the line is refused whole."""
    got = read_line(text, now=NOW, setting=HERE)
    if got.problem is not None:
        assert 0 <= got.problem.start <= got.problem.end <= len(text)
        assert got.problem.wrong and got.problem.instead
        return
    if got.act is not None or got.is_empty:
        return
    kept = " ".join([typed.text for typed in got.typed] + [got.at_typed])
    kept += " " + " ".join(entry.note or "" for entry in got.entries)
    lost = words_of(text) - words_of(kept) - {"note"}
    assert not lost, (lost, kept)


STRANGE = ("zebra", "Quux", "wobbly", "Xylo", "1234567")
"""Words and a number no matter has a place of its own for."""


@given(
    st.sampled_from(HEADS),
    st.lists(st.sampled_from([*MATTERS, *STRANGE]), min_size=1, max_size=8),
)
@settings(max_examples=600, deadline=None)
def test_words_a_matter_has_no_place_for_stand_in_it_or_in_the_note(head, rest):
    """Stronger than the words as typed: what is kept in the record itself has them."""
    got = read_line(" ".join([head, *rest]), now=NOW, setting=HERE)
    while got.problem is None and got.questions:
        got = answered(got, got.questions[0].default or got.questions[0].answers[-1].key)
    if got.entry is None or got.entry.matter is None:
        return
    kept = f"{got.entry.matter} {got.entry.note}".lower()
    lost = [word for word in rest if word in STRANGE and word.lower() not in kept]
    assert not lost, (got.text, got.entry)


@given(anything)
@settings(max_examples=300, deadline=None)
def test_every_question_can_be_answered_until_none_is_left(text):
    got = read_line(text, now=NOW, setting=replace(HERE, air_lever_reads=None))
    for _ in range(12):
        if not got.questions:
            break
        first = got.questions[0]
        assert first.assumed in {answer.key for answer in first.answers}
        assert first.default is None or first.default in {answer.key for answer in first.answers}
        got = answered(got, first.default or first.answers[-1].key)
    assert got.questions == ()


@given(anything)
@settings(max_examples=300, deadline=None)
def test_no_plan_raises_but_an_entry_error(text):
    try:
        steps = read_plan(text, start=NOW, setting=HERE)
    except EntryError as stop:
        assert "\n" in str(stop), "what is wrong, then what to do"
    else:
        assert steps and all(step.at >= NOW for step in steps)


@given(anything, st.integers(0, 60))
@settings(max_examples=200, deadline=None)
def test_completion_never_raises_and_continues_what_is_typed(text, cursor):
    for word in complete(text, cursor, HERE):
        begun = re.search(r"[^\W\d_]+$", text[:cursor]).group().lower()
        assert word.lower().startswith(begun) and len(word) > len(begun)


# What the app says can be typed again. Values lie on the grid a sentence shows.


def tenths(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(low * 10, high * 10).map(lambda n: n / 10.0)


def maybe(values: st.SearchStrategy[object]) -> st.SearchStrategy[object]:
    return st.one_of(st.none(), values)


entries = st.builds(
    Entry,
    at=st.integers(0, 100 * 24 * 60).map(lambda m: NOW.replace(second=0) - timedelta(minutes=m)),
    outdoor_c=maybe(tenths(-50, 30)),  # below it is asked about
    indoor_c=maybe(tenths(-35, 39)),
    low_c=maybe(tenths(-30, 10)),
    high_c=maybe(tenths(10, 40)),
    forecast_low_c=maybe(tenths(-40, 10)),
    load_kg=maybe(tenths(1, 7)),
    air_open_pct=maybe(st.sampled_from([0.0, 25.0, 50.0, 75.0, 100.0, 60.0, 13.0])),
    flue_damper_open_pct=maybe(st.sampled_from([0.0, 50.0, 100.0, 40.0])),
    window=maybe(st.sampled_from(Window)),
    coals=maybe(st.sampled_from(Coals)),
    wind=maybe(st.sampled_from(Wind)),
    rh_pct=maybe(st.integers(0, 100).map(float)),
    other_heat_w=maybe(st.sampled_from([0.0, 750.0, 1500.0])),
    mark=maybe(st.sampled_from(Mark)),
    kindling=st.booleans(),
    fire_out=st.booleans(),
)


@given(entries, st.sampled_from(["open", "closed"]))
@settings(max_examples=400, deadline=None)
def test_what_is_said_can_be_typed_again(entry, lever):
    here = replace(HERE, air_lever_reads=lever, last_indoor_c=None, last_outdoor_c=None)
    if not said(entry, here):
        return
    if entry.low_c is not None:
        entry = replace(entry, reset_at=entry.at - timedelta(hours=9))
    if entry.indoor_c is not None and entry.outdoor_c is not None and entry.outdoor_c > entry.indoor_c:
        entry = replace(entry, outdoor_c=None)
    text = sentence(entry, here, now=NOW)
    again = read_line(text, now=NOW, setting=here)
    assert again.problem is None and again.questions == (), (text, again)
    for name in (one.name for one in fields(Entry)):
        want, got = getattr(entry, name), getattr(again.entry, name)
        if isinstance(want, float):
            assert got == pytest.approx(want, abs=1e-6), (text, name)
        else:
            assert got == want, (text, name)


@given(tenths(-55, 30), tenths(40, 90), tenths(1, 12))
@settings(deadline=None)
def test_what_is_said_in_fahrenheit_and_pounds_can_be_typed_again(outdoor_f, indoor_f, load_lb):
    """To a tenth of the owner's unit, which is as fine as the sentence shows."""
    here = replace(HERE, units=OwnUnits(temperature="F", mass="lb"), last_indoor_c=None)
    entry = Entry(
        at=NOW.replace(second=0),
        outdoor_c=(outdoor_f - 32) / 1.8,
        indoor_c=(indoor_f - 32) / 1.8,
        load_kg=load_lb * 0.45359237,
    )
    again = read_line(sentence(entry, here, now=NOW), now=NOW, setting=here).entry
    assert again.outdoor_c == pytest.approx(entry.outdoor_c, abs=0.003)
    assert again.indoor_c == pytest.approx(entry.indoor_c, abs=0.003)
    assert again.load_kg == pytest.approx(entry.load_kg, abs=0.0001)
