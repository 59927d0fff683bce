"""What owners scribble, and what it means: each row is a way of writing someone will use.

The forms are the design's own examples and the habits listed in the notes on owners' words; the rest are
spelling variants of them. Said back for Friday 16 January 2026, 21:41, in London.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from logbook.entry import PAGES, WORDS, LineActKind, answered, complete, read_line
from logbook.records import Basis, Flag, OwnUnits, Window
from logbook.wording import sentence_of

NOW = datetime(2026, 1, 16, 21, 41, 20, tzinfo=UTC)

MEANS = [
    # The design's own lines
    ("-12/18 4.2kg birch air 1/4", "out −12 °C, in 18.0 °C, 4.2 kg birch, air 1/4 open (3/4 closed)"),
    ("load 3M 1L air 1/3", "3 M 1 L 7.6 kg, air 1/3 open (2/3 closed)"),
    ("low 9 coals few", "low 9 °C, coals few"),
    ("window cracked", "window cracked"),
    ("fire out", "fire out"),
    ("heater 1500 W", "heater 1500 W"),
    ("heater off", "heater off"),
    ("bed", "bed"),
    ("woke", "woke"),
    ("note mouse behind the wood box", "note mouse behind the wood box"),
    # Temperatures
    ("-12/18 loft 21", "out −12 °C, in 18.0 °C, in loft 21.0 °C"),
    ("15.5 in loft", "in loft 15.5 °C"),
    ("in the loft 19, in 17", "in 17.0 °C, in loft 19.0 °C"),
    ("-0.5/14.5", "out −0.5 °C, in 14.5 °C"),
    ("0/15", "out 0 °C, in 15.0 °C"),
    ("3/16", "out 3 °C, in 16.0 °C"),
    ("-5,12", "out −5 °C, in 12.0 °C"),
    ("18,5", "in 18.5 °C"),
    ("-9", "out −9 °C"),
    ("in -2", "in −2.0 °C"),
    ("18.5°C inside -4°C outside", "out −4 °C, in 18.5 °C"),
    ("18 in -9 out", "out −9 °C, in 18.0 °C"),
    ("in 64f out 10f", "out −12.2 °C, in 17.8 °C"),
    ("-9F/65 °F", "out −22.8 °C, in 18.3 °C"),
    ("temp 18", "in 18.0 °C"),
    ("tonight -13", "forecast low −13 °C"),
    ("-13 tonight", "forecast low −13 °C"),
    ("forecast low -13C", "forecast low −13 °C"),
    ("min 2 max 24", "low 2 °C, high 24 °C"),
    # Wood
    ("3 medium", "3 M 4.8 kg"),
    ("added 3 medium splits", "3 M 4.8 kg"),
    ("3m1l", "3 M 1 L 7.6 kg"),
    ("2m 1m", "3 M 4.8 kg"),
    ("12 lbs oak", "5.4 kg oak"),
    ("4 m 6.2kg", "4 M 6.2 kg"),
    ("put in 2 M, air down to half", "2 M 3.2 kg, air 1/2 open (1/2 closed)"),
    ("2s kindling", "2 S 1.6 kg, kindling"),
    ("3kg moisture 18% dry", "3.0 kg, moisture 18 % dry"),
    ("3kg 22% moisture", "3.0 kg, moisture 22 %"),
    # Air, damper
    ("3/4 closed", "air 1/4 open (3/4 closed)"),
    ("air all open", "air all open (none closed)"),
    ("air shut", "air shut (all closed)"),
    ("air three quarters", "air 3/4 open (1/4 closed)"),
    ("air .25", "air 1/4 open (3/4 closed)"),
    ("air1/4", "air 1/4 open (3/4 closed)"),
    ("air = 1/4", "air 1/4 open (3/4 closed)"),
    ("1/4 air", "air 1/4 open (3/4 closed)"),
    ("turned down to 1/4", "air 1/4 open (3/4 closed)"),
    ("3 M at 60%", "3 M 4.8 kg, air 60 % open (40 % closed)"),
    ("damper half", "damper 1/2 open (1/2 closed)"),
    ("flue damper 30% closed", "damper 70 % open (30 % closed)"),
    # The rest
    ("closed the window", "window shut"),
    ("no coals", "coals none"),
    ("strong wind", "wind strong"),
    ("60% rh", "humidity 60 %"),
    ("fire is out", "fire out"),
    ("heater 1.5kw", "heater 1500 W"),
    # Prose stays prose
    ("shed half full", "note shed half full"),
    ("ash out of control", "note ash out of control"),
    ("snow 20 cm", "note snow 20 cm"),
    ("left window cracked", "window cracked, note left"),
    ("fire going well", "note fire going well"),
    ("kids went to bed", "note kids went to bed"),
    ("2 logs fell off the stack", "note 2 logs fell off the stack"),
    ("put in 2 more logs", "note put in 2 more logs"),
    ("window cracked to 15:35", "window cracked, note to 15:35"),
    ("woke to smoke smell", "woke, note to smoke smell"),
    ("arrived, K and J", "arrived, note K and J"),
]


@pytest.mark.parametrize(("line", "means"), MEANS)
def test_what_a_line_means(line, means, setting):
    got = read_line(line, now=NOW, setting=setting)
    assert got.problem is None and got.questions == (), got
    assert sentence_of(got.entries, setting, now=NOW) == f"21:41 {means}"


@pytest.mark.parametrize(
    "line",
    ["smoke alarm tested", "alarm tested", "alarm ok", "alarms tested, CO dead", "alarms failed", "alarm"],
)
def test_only_a_whole_alarm_test_counts(line, setting):
    got = read_line(line, now=NOW, setting=setting)
    assert not got.entry.alarms_tested and got.entry.note == line


def test_a_line_of_several_thermometers_gives_several_records(setting):
    got = read_line("-12/18 loft 21 4m", now=NOW, setting=setting)
    assert [(entry.place, entry.indoor_c) for entry in got.entries] == [("", 18.0), ("loft", 21.0)]
    assert {entry.at for entry in got.entries} == {NOW}
    assert got.entries[1].load_kg is None, "wood goes in once"


def test_what_was_typed_is_kept_beside_the_value(setting):
    got = read_line("23:10 65F 9 lb 1/4", now=NOW, setting=setting)
    assert {(typed.name, typed.text, typed.unit) for typed in got.typed} == {
        ("indoor_c", "65F", "F"),
        ("load_kg", "9 lb", "lb"),
        ("air_open_pct", "1/4", "open"),
    }
    assert (got.at_typed, got.zone) == ("23:10", "Europe/London")
    # NIST SP 811: 9 lb x 0.45359237 = 4.08233133 kg; (65 - 32)/1.8 = 18.3333 °C
    assert (got.entry.load_kg, got.entry.indoor_c) == pytest.approx((4.08233133, 18.33333), abs=1e-5)


def test_the_owners_units_hold_for_bare_numbers(setting):
    american = replace(setting, units=OwnUnits(temperature="F", mass="lb"))
    got = read_line("10/65 load 9", now=NOW, setting=american)
    assert sentence_of(got.entries, american, now=NOW) == "21:41 out 10 °F, in 65 °F, 9.0 lb"
    assert got.entry.outdoor_c == pytest.approx(-12.222, abs=0.001)


def test_celsius_typed_by_a_fahrenheit_owner_is_asked_about_when_the_room_says_so(setting):
    american = replace(setting, units=OwnUnits(temperature="F"), last_indoor_c=19.0)
    got = read_line("18", now=NOW, setting=american)
    assert [q.text for q in got.questions] == [
        "18 inside is 18 °F. Enter means 18 °C (64.4 °F), f keeps 18 °F."
    ]
    assert answered(got, "enter").entry.indoor_c == 18.0
    assert answered(got, "f").entry.indoor_c == pytest.approx(-7.78, abs=0.01)


def test_a_pair_against_the_last_readings_is_taken_for_swapped(setting):
    recent = replace(setting, last_indoor_c=17.0, last_outdoor_c=3.0, last_reading_at=NOW)
    assert [q.kind for q in read_line("16/2", now=NOW, setting=recent).questions] == ["swapped"]
    # A mild noon after a frosty night: the unheated room near 2 °C at 16 outside is no slip.
    assert read_line("16/2", now=NOW, setting=setting).questions == ()


def test_a_fraction_alone_is_the_air_unless_the_room_is_that_cold(setting):
    assert read_line("1/4", now=NOW, setting=setting).entry.air_open_pct == 25.0
    cold = replace(setting, last_indoor_c=3.0)
    got = read_line("1/4", now=NOW, setting=cold)
    assert [q.text for q in got.questions] == ["1/4: Enter means air 1/4, t means out 1 °C, in 4 °C."]
    assert (answered(got, "t").entry.outdoor_c, answered(got, "t").entry.indoor_c) == (1.0, 4.0)
    assert answered(got, "enter").entry.air_open_pct == 25.0


@pytest.mark.parametrize(
    ("line", "means"),
    [
        ("12/8 4m", "out 12 °C, in 8.0 °C, 4 M 6.4 kg"),
        ("4m 3/8", "4 M 6.4 kg, air 38 % open (62 % closed)"),
        ("1/4 4m", "4 M 6.4 kg, air 1/4 open (3/4 closed)"),
        ("5/8", "out 5 °C, in 8.0 °C"),
        ("3/8 1/4", "out 3 °C, in 8.0 °C, air 1/4 open (3/4 closed)"),
        ("-2/8 2/8", "out −2 °C, in 8.0 °C, air 1/4 open (3/4 closed)"),
        ("18 1/4", "in 18.0 °C, air 1/4 open (3/4 closed)"),
    ],
)
def test_a_stroke_is_told_by_its_place_in_the_line(line, means, setting):
    got = read_line(line, now=NOW, setting=setting)
    assert got.questions == () and sentence_of(got.entries, setting, now=NOW) == f"21:41 {means}"


def test_a_leading_stroke_before_wood_that_may_be_either_is_asked(setting):
    got = read_line("4/10 4m", now=NOW, setting=setting)
    assert [q.text for q in got.questions] == ["4/10: Enter means out 4 °C, in 10 °C, a means air 4/10."]
    assert answered(got, "enter").entry.indoor_c == 10.0
    assert answered(got, "a").entry.air_open_pct == 40.0


def test_a_number_before_prose_is_asked_about(setting):
    got = read_line("3 mice", now=NOW, setting=setting)
    assert got.questions[0].text == '"3 mice": Enter keeps it all as a note, i means in 3.'
    assert answered(got, "enter").entry.note == "3 mice"
    assert answered(got, "i").entry.indoor_c == 3.0


@pytest.mark.parametrize(("line", "mark"), [("bed is damp", "bed"), ("left the bucket outside", "left")])
def test_a_mark_that_may_be_prose_is_asked_about(line, mark, setting):
    got = read_line(line, now=NOW, setting=setting)
    assert [q.kind for q in got.questions] == ["mark"]
    assert answered(got, "enter").entry.mark == mark
    assert (answered(got, "k").entry.mark, answered(got, "k").entry.note) == (None, line)
    assert read_line(f"{mark}, tired", now=NOW, setting=setting).questions == ()


def test_two_times_in_one_line_are_refused(setting):
    got = read_line("20:00 4m 21:00 2m", now=NOW, setting=setting)
    assert got.problem.text == "Two times in one line: 20:00 and 21:00. Type a line for each."


def test_same_again_over_the_limit_keeps_the_flag(setting):
    last = read_line("8.4kg", now=NOW, setting=setting).entry
    assert read_line("same", now=NOW, setting=replace(setting, last_load=last)).entry.flags == {
        Flag.OVER_LIMIT
    }


def test_several_questions_are_asked_one_after_the_other(setting):
    unknown = replace(setting, air_lever_reads=None)
    got = read_line("18/-11 22 kg 1/4", now=NOW, setting=unknown)
    kinds = []
    while got.questions:
        kinds.append(got.questions[0].kind)
        got = answered(got, got.questions[0].default or "c")
    assert kinds == ["swapped", "many_times", "lever"]
    assert (got.entry.indoor_c, got.entry.load_kg, got.entry.air_open_pct) == (18.0, 2.2, 75.0)


def test_a_kept_odd_value_carries_its_flag(setting):
    got = answered(read_line("22 kg", now=NOW, setting=setting), "k")
    assert got.entry.flags == {Flag.ODD_VALUE, Flag.OVER_LIMIT}


def test_moisture_keeps_its_basis(setting):
    got = read_line("4kg moisture 25% dry", now=NOW, setting=setting).entry
    assert (got.moisture_pct, got.moisture_basis) == (25.0, Basis.DRY)


@pytest.mark.parametrize(
    ("line", "low_c", "high_c"),
    [
        ("band 15-21", 15.0, 21.0),
        ("band 15–21 °C", 15.0, 21.0),
        ("band 59-70F", 15.0, 21.111),
        ("band 15 to 21", 15, 21),
    ],
)
def test_a_band_is_an_act(line, low_c, high_c, setting):
    act = read_line(line, now=NOW, setting=setting).act
    assert act.kind is LineActKind.BAND
    assert (act.low_c, act.high_c) == pytest.approx((low_c, high_c), abs=0.001)


@pytest.mark.parametrize(
    ("line", "kg"),
    [("box = 19 kg", 19.0), ("1 box = 19kg", 19.0), ("armful = 3M 1S", 5.6), ("a crate = 42 lb", 19.0508795)],
)
def test_an_own_measure_gets_its_weight(line, kg, setting):
    act = read_line(line, now=NOW, setting=setting).act
    assert (act.kind, act.kg) == (LineActKind.OWN_WORD, pytest.approx(kg))


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("lever rescaled", "lever rescaled"),
        ("thermometer moved", "thermometer moved"),
        ("gasket changed", "new gasket"),
        ("work Skirting done", "Skirting"),
        ("change Storm panes", "Storm panes"),
    ],
)
def test_a_dated_change(line, name, setting):
    got = read_line(f"20:00 {line}", now=NOW, setting=setting)
    assert (got.entry.change, got.entry.note, got.questions) == (name, None, ())
    assert got.entry.at.hour == 20


def test_a_size_without_a_weight_says_how_to_give_it_one_and_that_works(setting):
    bare = replace(setting, pieces_kg=())
    stop = read_line("4m", now=NOW, setting=bare).problem
    assert stop.text == '"M" has no weight yet. Type: 1 M = 1.6 kg'
    act = read_line("1 M = 1.6 kg", now=NOW, setting=bare).act
    known = replace(bare, own_words=((act.name, act.kg),))
    got = read_line("4m", now=NOW, setting=known).entry
    assert (got.pieces, got.load_kg) == ("4 M", 6.4)


def test_the_lines_in_the_word_table_are_lines(setting):
    """Help may only promise what can be typed."""
    known = replace(
        setting, own_words=(("box", 7.0),), last_load=read_line("4m 1/4", now=NOW, setting=setting).entry
    )
    for row in WORDS:
        for line in [row.word] if "," not in row.word or "out" in row.word else row.word.split(", "):
            text = line.replace("note ...", "note x").replace("splits", "M")
            if row.meaning in {"time", "day and time"}:
                text += " 18"
            got = read_line(text, now=NOW, setting=known)
            assert got.problem is None, (row, got.problem)
            assert not got.left_over, (row, got.left_over)


def test_completion_offers_the_owners_words_first(setting):
    own = replace(setting, places=("birdroom",), own_words=(("basket", 12.0),), species="birch")
    assert complete("4m bir", 6, own)[:2] == ["birch", "birdroom"]
    assert complete("half a bas", 10, own) == ["basket"]
    assert complete("win", 3, setting)[0] == "wind"
    assert complete("note bir", 8, own) == [], "prose is left alone"
    assert complete("4m ", 3, own) == [] and complete("", 0, own) == []
    assert complete("bir 4m", 3, own)[0] == "birch", "the word at the caret, not the last one"
    for whole in ("4m", "4 M", "2m 1l", "heater 1500 W", "in 65 f"):
        assert complete(whole, len(whole), own) == [], "a size or unit after its number is no word begun"
    assert complete("4m m", 4, own)[0] == "moisture" and complete("2 ba", 4, own)[0] == "basket"


def test_page_words_are_words_of_their_own(setting):
    for page in PAGES:
        assert read_line(page, now=NOW, setting=setting).act.name == page
    assert read_line("tonight -7", now=NOW, setting=setting).act is None
    assert read_line("weather sat -8 -2", now=NOW, setting=setting).act is None
    assert read_line("damp corner behind the bunk", now=NOW, setting=setting).act is None


def test_the_same_window_word_in_any_case(setting):
    assert read_line("WINDOW CRACKED", now=NOW, setting=setting).entry.window is Window.CRACKED
