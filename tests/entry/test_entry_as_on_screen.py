"""The tasks an owner lives through, typed and answered word for word, with the keys they cost."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from logbook.entry import LineActKind, Setting, Understood, answered, read_line
from logbook.records import Entry, Flag
from logbook.wording import sentence_of

ZONE = "Europe/London"


def local(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(ZONE))


EVENING = local("2026-01-16T21:41:20")
MORNING = local("2026-01-17T09:00:00")


def says(understood: Understood) -> str:
    assert understood.problem is None, understood.problem
    return sentence_of(understood.entries, understood.setting, now=understood.now)


def test_task_1_quick_entry_costs_fourteen_keys_and_says_one_sentence(setting):
    line = "-11/18 4m 1/4"
    assert len(line) + 1 == 14  # with Enter; the budget of users.md
    got = read_line(line, now=EVENING, setting=setting)
    assert says(got) == "21:41 out −11 °C, in 18.0 °C, 4 M 6.4 kg, air 1/4 open (3/4 closed)"
    assert got.questions == ()


@pytest.mark.parametrize(
    "line",
    [
        "1/4 4m -11/18",
        "4M -11 / 18 air 1/4",
        "air 25% 4 m out -11 in 18",
        "−11/18 4M quarter",
        "-11 18 4m quarter",
        "in 18 out –11, load 4M, air 1/4 open",
        "-11 °C/18 °C 2m 2m ¼",
        "4m 3/4 closed -11/18",
        "@21:41 -11/18 4m 1/4",
    ],
)
def test_any_order_and_spelling_means_the_same(line, setting):
    got = read_line(line, now=EVENING, setting=setting)
    assert says(got) == "21:41 out −11 °C, in 18.0 °C, 4 M 6.4 kg, air 1/4 open (3/4 closed)"


def test_the_first_bare_fraction_asks_which_way_the_lever_reads_and_keeps_the_answer(setting):
    unknown = replace(setting, air_lever_reads=None)
    got = read_line("-11/18 4m 1/4", now=EVENING, setting=unknown)
    (question,) = got.questions
    assert question.text == "1/4 on your lever: o open, c closed? Kept from now on."
    assert question.default is None, "Enter must not guess: the digits are the same, the meaning opposite"
    closed = answered(got, "c")
    assert closed.questions == ()
    assert closed.learned == (("air_lever_reads", "closed"),)
    assert says(closed).endswith("air 3/4 open (1/4 closed)")
    assert says(answered(got, "o")).endswith("air 1/4 open (3/4 closed)")


def test_a_lever_that_reads_closed_turns_bare_numbers_round_but_not_said_ones(setting):
    closed = replace(setting, air_lever_reads="closed")
    for line, open_pct in (("air 1/4", 75.0), ("air 1/4 open", 25.0), ("air 70%", 30.0), ("full", 100.0)):
        assert read_line(line, now=EVENING, setting=closed).entry.air_open_pct == pytest.approx(open_pct), (
            line
        )


def test_half_is_half_either_way_and_asks_nothing(setting):
    unknown = replace(setting, air_lever_reads=None)
    got = read_line("air half", now=EVENING, setting=unknown)
    assert (got.questions, got.entry.air_open_pct) == ((), 50.0)


def test_same_repeats_load_and_air_within_nine_keys(setting):
    last = Entry(at=EVENING, load_kg=6.4, pieces="4 M", air_open_pct=25.0, species="birch", indoor_c=3.0)
    known = replace(setting, last_load=last)
    assert len("-11/18 j") + 1 == 9
    got = read_line("-11/18 j", now=EVENING, setting=known)
    assert says(got) == "21:41 out −11 °C, in 18.0 °C, 4 M 6.4 kg birch, air 1/4 open (3/4 closed)"
    assert read_line("same", now=EVENING, setting=setting).problem.wrong == "There is no load yet to repeat."


BACKDATED = [
    ("last night 11 out -9", "Fri 16 Jan 23:00, night of Fri 16: out −9 °C"),
    ("1:30 2s", "Sat 01:30, night of Fri 16: 2 S 1.6 kg"),
    ("-2h 2m", "07:00 2 M 3.2 kg"),
    ("fri 7:30pm 19", "Fri 16 Jan 19:30, night of Fri 16: in 19.0 °C"),
    ("23:10 in 17.5 out -9", "Fri 16 Jan 23:10, night of Fri 16: out −9 °C, in 17.5 °C"),
    ("7am low 9 coals few", "07:00 low 9 °C, coals few"),
]


@pytest.mark.parametrize(("line", "sentence"), BACKDATED)
def test_task_2_backdating_said_word_for_word(line, sentence, setting):
    assert says(read_line(line, now=MORNING, setting=setting)) == sentence


def test_last_night_means_the_same_evening_at_two_in_the_night_and_at_nine(setting):
    want = local("2026-01-16T23:00")
    for now in (local("2026-01-17T02:00"), MORNING, local("2026-01-17T21:00"), local("2026-01-17T23:30")):
        assert read_line("last night 11 out -9", now=now, setting=setting).entry.at == want, now


def test_task_6_lever_rescaled_asks_from_when_in_seventeen_keys(setting):
    assert len(" lever rescaled") + 2 == 17  # Space, the words, Enter, Enter
    got = read_line("lever rescaled", now=EVENING, setting=setting)
    assert [q.text for q in got.questions] == ["From now? Enter, or a time."]
    assert (got.entry.change, got.entry.at) == ("lever rescaled", EVENING.replace(microsecond=0))
    then = answered(got, "yesterday 18:00")
    assert (then.questions, then.entry.at) == ((), local("2026-01-15T18:00"))
    assert read_line("18:00 lever rescaled", now=EVENING, setting=setting).questions == ()


def test_task_7_an_own_measure_in_eighteen_keys(setting):
    assert len(" box = 22 splits") + 2 == 18
    splits = replace(setting, pieces_kg=(("split", 0.9),))
    act = read_line("box = 22 splits", now=EVENING, setting=splits).act
    assert (act.kind, act.name, act.pieces) == (LineActKind.OWN_WORD, "box", "22 splits")
    assert act.kg == pytest.approx(19.8)  # 22 x 0.9 kg, the sum screens.md shows
    later = replace(splits, own_words=(("box", 19.8),))
    assert read_line("half a box", now=EVENING, setting=later).entry.load_kg == pytest.approx(9.9)
    assert read_line("2 boxes", now=EVENING, setting=replace(later, max_load_kg=None)).entry.pieces == "2 box"


def test_the_alarm_test_is_said_as_the_screen_says_it(setting):
    assert says(read_line("alarms ok", now=EVENING, setting=setting)) == (
        "Alarms tested 21:41, smoke and CO both sounded"
    )


ASKED = [  # line, question, Enter's reading, the other key, its reading
    (
        "18/-11",
        "18/-11: out 18 °C, in −11 °C? Enter swaps them, k keeps.",
        "out −11 °C, in 18.0 °C",
        "k",
        "out 18 °C, in −11.0 °C",
    ),
    (
        "22 kg",
        "22 kg is 4 times your largest of late. Enter 2.2 kg, k keeps 22 kg.",
        "2.2 kg",
        "k",
        "22.0 kg",
    ),
    (
        "in 45",
        "45 inside is 45 °C. Enter means 45 °F (7.2 °C), c keeps 45 °C.",
        "in 7.2 °C",
        "c",
        "in 45.0 °C",
    ),
]


@pytest.mark.parametrize("row", ASKED)
def test_an_unlikely_value_is_asked_once_with_both_readings(row, setting):
    line, text, enter, key, other = row
    got = read_line(line, now=EVENING, setting=setting)
    assert [q.text for q in got.questions] == [text]
    assert says(answered(got, "enter")) == f"21:41 {enter}"
    kept = answered(got, key)
    assert says(kept) == f"21:41 {other}"
    assert kept.questions == (), "asked once"


def test_sixty_five_inside_is_fahrenheit_unless_its_owner_says_celsius(setting):
    got = read_line("65", now=EVENING, setting=setting)
    assert got.questions[0].text.startswith("65 inside is 65 °C. Enter means 65 °F (18.3 °C)")
    assert says(answered(got, "enter")) == "21:41 in 18.3 °C"
    kept = answered(got, "c")
    assert (kept.questions, kept.entry.indoor_c, kept.entry.flags) == ((), 65.0, {Flag.ODD_VALUE})


def test_both_of_a_bare_pair_change_unit_together(setting):
    got = answered(read_line("-9/65", now=EVENING, setting=setting), "enter")
    # -9 °F = -22.8 °C, 65 °F = 18.3 °C: NIST SP 811 B.9, t/°C = (t/°F - 32)/1.8
    assert (got.entry.outdoor_c, got.entry.indoor_c) == pytest.approx((-22.778, 18.333), abs=0.001)


def test_a_load_over_the_manual_is_kept_as_what_happened(setting):
    got = read_line("8.4 kg", now=EVENING, setting=setting)
    assert [q.text for q in got.questions] == [
        "8.4 kg is over your manual's 8.0 kg. Enter keeps it as what happened."
    ]
    kept = answered(got, "enter")
    assert (kept.entry.load_kg, kept.entry.flags, kept.questions) == (8.4, {Flag.OVER_LIMIT}, ())


STOPPED = [
    ("4m 5/4", "5/4 is more than open. Air goes from 0 to 1/1.", "5/4"),
    ("25:10 in 18", "25:10 is no clock time.", "25:10"),
    ("-60 in", "−60 °C is outside what is kept (−40 to 100 °C inside).", "-60 in"),
    ("2 box", '"box" has no weight yet. Type: 1 box = 19 kg', "2 box"),
    ("out -70", "−70 °C is outside what is kept (−60 to 60 °C outside).", "out -70"),
    ("air 120%", "air 120% is more than open. Air goes from 0 to 100 %.", "air 120%"),
    ("rh 140%", "Humidity of 140 % can't be.", "rh 140%"),
    ("load", "How much wood went in?", "load"),
    ("low 12 high 9", "A low of 12 °C above a high of 9 °C can't be.", "low 12"),
    ("band 22-16", "A band from 22 to 16 °C can't be.", "band 22-16"),
    ("sat 17 jan 2026 22:00 18", "Sat 17 Jan 22:00 is still to come: now is Fri 16 Jan 21:41.", "sat 17"),
]


@pytest.mark.parametrize(("line", "start", "at"), STOPPED)
def test_a_refusal_says_what_to_type_and_puts_the_caret_there(line, start, at, setting):
    got = read_line(line, now=EVENING, setting=setting)
    assert got.problem is not None and got.problem.text.startswith(start), got
    assert line[got.problem.start :].startswith(at)
    assert got.problem.instead, "every refusal says what to do"
    assert got.entry is None


def test_a_piece_size_nobody_has_is_offered_as_a_note(setting):
    got = read_line("-11/18 4x", now=EVENING, setting=setting)
    assert [q.text for q in got.questions] == [
        '"4x" is not a piece size. Yours are S, M, L. As a note? Enter.'
    ]
    assert answered(got, "enter").entry.note == "4x"


def test_an_empty_line_is_nothing(setting):
    assert read_line("  ", now=EVENING, setting=setting).is_empty


def test_what_cant_be_read_is_kept_as_a_note(setting):
    got = read_line("-12/18 mouse behind the wood box, 2s", now=EVENING, setting=setting)
    assert got.left_over == got.entry.note == "mouse behind the wood box"
    assert (got.entry.outdoor_c, got.entry.pieces) == (-12.0, "2 S")
    note = read_line("note mouse behind the wood box, 3 of them", now=EVENING, setting=setting)
    assert note.entry.note == "mouse behind the wood box, 3 of them"
    assert note.entry.indoor_c is None


@pytest.mark.parametrize("word", ["tonight", "undo", "redo", "nights", "help", "emergency"])
def test_a_word_alone_is_an_act(word, setting: Setting):
    assert read_line(word, now=EVENING, setting=setting).act is not None
