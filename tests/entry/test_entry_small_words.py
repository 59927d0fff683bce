"""Small words and signs that change what a line says: each was changed in the code, and nothing noticed.

Read on Friday 16 January 2026, 21:41, in London.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from logbook.entry import Setting, complete, read_line
from logbook.entry.understood import LineActKind
from logbook.entry.unlikely import unlikely
from logbook.entry.words import vocabulary
from logbook.matters import (
    Ash,
    AshAct,
    Bring,
    DayWeather,
    Improvement,
    Seen,
    Sight,
    Stack,
    Tick,
    Upkeep,
    UpkeepRule,
)
from logbook.records import Basis, Entry, Mark, Window

NOW = datetime(2026, 1, 16, 21, 41, 20, tzinfo=UTC)


@pytest.mark.parametrize("line", ["fri at 9 17", "fri @ 9 17", "fri at 9am 17", "fri 9am 17"])
def test_at_before_an_hour_says_nothing_of_its_own(line: str, setting: Setting) -> None:
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None
    assert (got.at, got.indoor_c, got.note) == (datetime(2026, 1, 16, 9, tzinfo=UTC), 17.0, None)


def test_hours_ahead_are_refused_and_hours_ago_are_taken(setting: Setting) -> None:
    ahead = read_line("+2 h 19", now=NOW, setting=setting)
    assert ahead.problem is not None
    assert ahead.problem.wrong.startswith("Fri 16 Jan 23:41 is still to come")
    ago = read_line("-2 h 19", now=NOW, setting=setting).entry
    assert ago is not None
    assert ago.at == datetime(2026, 1, 16, 19, 41, 20, tzinfo=UTC)


@pytest.mark.parametrize("line", ["air 1/2 14/18", "1/2 14/18", "14/18 1/2", "air half 14/18"])
def test_a_half_is_the_air_and_the_pair_the_temperatures(line: str, setting: Setting) -> None:
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None
    assert (got.outdoor_c, got.indoor_c, got.air_open_pct) == (14.0, 18.0, 50.0)


def test_a_second_fraction_after_air_and_temperatures_stays_in_the_note(setting: Setting) -> None:
    got = read_line("air 1/2 14/18 3/4", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.outdoor_c, got.indoor_c, got.air_open_pct) == (14.0, 18.0, 50.0)
    assert "3/4" in (got.note or "")


def test_a_day_of_weather_on_another_weekday_is_told_with_its_date(setting: Setting) -> None:
    """10 January 2026 is a Saturday (ISO 8601 week 2, day 6)."""
    got = read_line("weather fri 10 jan 2026 sunny", now=NOW, setting=setting)
    assert got.problem is not None
    assert got.problem.wrong == "10 Jan 2026 is a Sat, not a Fri."


def test_a_size_between_number_and_splits_says_it_all(setting: Setting) -> None:
    plain, times = (
        read_line(line, now=NOW, setting=setting).entry for line in ("3 medium splits", "3 x medium splits")
    )
    assert plain is not None
    assert times is not None
    assert plain.load_kg
    assert (times.load_kg, times.pieces, times.note) == (plain.load_kg, plain.pieces, None)


def test_a_pair_a_little_nearer_swapped_is_not_asked_about(setting: Setting) -> None:
    """Last 3 outside, 17 inside: "12/6" is 20 K away as typed, 8 K swapped: 12 K nearer, not 15."""
    recent = replace(setting, last_indoor_c=17.0, last_outdoor_c=3.0, last_reading_at=NOW)
    assert [q.kind for q in read_line("12/6", now=NOW, setting=recent).questions] == []
    assert [q.kind for q in read_line("15/4", now=NOW, setting=recent).questions] == ["swapped"]


@pytest.mark.parametrize(
    ("line", "open_pct"),
    [
        ("air two thirds", 200 / 3), ("air 1", 100), ("air 0.5", 50), ("air wide open", 100),
        ("air full open", 100), ("air fully open", 100), ("air all closed", 0), ("air all shut", 0),
        ("air fully closed", 0), ("air a third", 100 / 3),
    ],
)  # fmt: skip
def test_a_position_of_the_air_in_words(line: str, open_pct: float, setting: Setting) -> None:
    """By a lever that reads per cent closed too: "open" and "closed" say which, whatever it reads."""
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None
    assert got.air_open_pct == pytest.approx(open_pct)
    if "open" in line or "closed" in line or "shut" in line:
        by_closed = read_line(line, now=NOW, setting=replace(setting, air_lever_reads="closed")).entry
        assert by_closed is not None
        assert by_closed.air_open_pct == got.air_open_pct


def test_a_number_too_many_stays_in_the_note(setting: Setting) -> None:
    got = read_line("in 17 out -3 5", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.indoor_c, got.outdoor_c, got.note) == (17.0, -3.0, "5")


def test_a_day_without_a_time_is_asked_about_beside_a_fraction_alone(setting: Setting) -> None:
    got = read_line("1/4 thursday", now=NOW, setting=setting)
    assert [q.text.split(".")[0] for q in got.questions] == ['"thursday" has no time']


def test_ash_after_the_last_of_several_pieces_is_the_tree(setting: Setting) -> None:
    got = read_line("1L 2M ash", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.pieces, got.species) == ("1 L 2 M", "ash")


def test_what_is_wrong_with_a_day_here_and_a_time_there_is_marked_from_one_to_the_other(
    setting: Setting,
) -> None:
    line = "16 jan 2026 in 17 23:50"
    wrong = read_line(line, now=NOW, setting=setting).problem
    assert wrong is not None
    assert line[wrong.start : wrong.end] == line


@pytest.mark.parametrize("ends", ["to", "until", "till", "by", "before", "for"])
def test_a_time_that_ends_something_is_not_the_lines_own(ends: str, setting: Setting) -> None:
    """Taken for it, what happens now would be dated back by hours."""
    got = read_line(f"window cracked {ends} 15:35", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.at, got.note) == (NOW, f"{ends} 15:35")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("24:00pm 17", "24:00pm is no clock time."),
        ("air 1/0", "Where does the air stand?"),
        ("damper 150%", "damper 150% is more than open. The damper goes from 0 to 100 %."),
        ("damper 5/4", "damper 5/4 is more than open. The damper goes from 0 to 1/1."),
        ("air -5%", "air -5% is less than closed. Air goes from 0 to 100 %."),
        ("out 80", "80 °C is outside what is kept (−60 to 60 °C outside)."),
        ("forecast -80", "−80 °C is outside what is kept (−60 to 60 °C outside)."),
        ("in 130", "130 °C is outside what is kept (−40 to 100 °C inside)."),
    ],
)
def test_what_cannot_be_is_refused_by_what_it_is_about(line: str, said: str, setting: Setting) -> None:
    wrong = read_line(line, now=NOW, setting=setting).problem
    assert wrong is not None
    assert f"{wrong.wrong} {wrong.instead}".startswith(said)


@pytest.mark.parametrize("unit", ["lb", "lbs", "pound", "pounds"])
def test_pounds_by_any_name_are_pounds(unit: str, setting: Setting) -> None:
    """The international pound, 0.45359237 kg."""
    got = read_line(f"load 5 {unit}", now=NOW, setting=setting).entry
    assert got is not None
    assert got.load_kg == pytest.approx(5 * 0.45359237)


@pytest.mark.parametrize(
    ("line", "name", "value"),
    [
        ("damper = 1/2", "flue_damper_open_pct", 50.0),
        ("air = 1/4", "air_open_pct", 25.0),
        ("window = cracked", "window", Window.CRACKED),
        ("heater = 500W", "other_heat_w", 500.0),
        ("rh = 55%", "rh_pct", 55.0),
        ("humidity = 55%", "rh_pct", 55.0),
        ("load = 4kg", "load_kg", 4.0),
        ("bed = 21:30", "mark", Mark.BED),
        ("in = 17", "indoor_c", 17.0),
    ],
)
def test_an_equals_sign_gives_a_weight_to_own_words_only(
    line: str, name: str, value: object, setting: Setting
) -> None:
    got = read_line(line, now=NOW, setting=setting)
    assert got.act is None
    assert got.entry is not None
    assert getattr(got.entry, name) == value


def test_both_of_two_times_are_offered_in_words(setting: Setting) -> None:
    """01:30 came twice in London on 25 October 2026 (Directive 2000/84/EC)."""
    got = read_line("01:30 17", now=datetime(2026, 10, 25, 9, tzinfo=UTC), setting=setting)
    assert [(a.key, a.means) for a in got.questions[0].answers] == [("1", "first"), ("2", "second")]


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("bring la", "lamp oil"), ("brought la", "lamp oil"), ("level la", "lamp oil"),
        ("got la", "lamp oil"),
        ("checked fl", "flue"), ("swept fl", "flue"), ("looked fl", "flue"), ("inspected fl", "flue"),
        ("battery sm", "smoke alarm"), ("every sm", "smoke alarm"), ("never sm", "smoke alarm"),
        ("stack bee", "beech row"), ("count bee", "beech row"), ("meter bee", "beech row"),
        ("done arr", "arriving"), ("skip lea", "leaving"), ("skipped aut", "autumn"), ("done spr", "spring"),
        ("done pac", "packing"),
    ],
)  # fmt: skip
def test_a_first_word_offers_the_names_that_may_follow_it(line: str, offered: str, setting: Setting) -> None:
    known = replace(
        setting,
        stacks=("beech row",),
        supplies=("lamp oil",),
        tasks=(("flue", 1.0), ("smoke alarm", 1.0)),
    )
    assert complete(line, len(line), known)[0] == offered


@pytest.mark.parametrize(("sign", "pct"), [("½", 50), ("¼", 25), ("¾", 75), ("⅓", 100 / 3), ("⅔", 200 / 3)])
def test_a_fraction_as_one_sign_is_read(sign: str, pct: float, setting: Setting) -> None:
    for line in (f"air {sign}", f"air{sign}", f"{sign} air"):
        got = read_line(line, now=NOW, setting=setting).entry
        assert got is not None
        assert got.air_open_pct == pytest.approx(pct)


@pytest.mark.parametrize("word", ["undo", "redo"])
def test_what_was_done_is_taken_back_by_a_word(word: str, setting: Setting) -> None:
    got = read_line(word, now=NOW, setting=setting)
    assert got.act is not None
    assert (got.act.kind, got.entry, got.left_over) == (LineActKind(word), None, "")


def test_a_question_with_two_answers_takes_no_third(setting: Setting) -> None:
    """The lever is asked about again rather than taken for what a slip of the keys would make of it."""
    got = read_line("air 1/4", now=NOW, setting=replace(setting, air_lever_reads=None))
    (question,) = got.questions
    assert not question.free_text


@pytest.mark.parametrize(("pct", "asked"), [(5.2, True), (5.5, False)])
def test_dry_wood_by_its_dry_mass_is_asked_about_below_what_a_kiln_leaves(pct: float, asked: bool) -> None:
    """5.3 % of the dry mass is 5 % of the wet: 0.05 / 0.95."""
    entry = Entry(at=NOW, moisture_pct=pct, moisture_basis=Basis.DRY)
    assert bool(list(unlikely(entry, max_load_kg=None))) is asked


@pytest.mark.parametrize(("room_c", "asked"), [(40.0, False), (40.1, True)])
def test_a_room_is_asked_about_only_above_forty(room_c: float, asked: bool) -> None:
    assert bool(list(unlikely(Entry(at=NOW, indoor_c=room_c), max_load_kg=None))) is asked


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("temp temperature room in inside indoor indoors", "indoor_c"),
        ("out outside outdoor outdoors", "outdoor_c"),
        ("low min", "low_c"),
        ("high max", "high_c"),
        ("forecast tonight", "forecast_low_c"),
    ],
)
def test_every_word_before_a_temperature_names_its_thermometer(
    words: str, name: str, setting: Setting
) -> None:
    for word in words.split():
        got = read_line(f"{word} 12", now=NOW, setting=setting).entry
        assert got is not None, word
        assert (getattr(got, name), got.note) == (12.0, None), word


@pytest.mark.parametrize(("size", "piece"), [("small", "S"), ("medium", "M"), ("large", "L"), ("big", "L")])
def test_a_size_in_full_is_the_owners_piece(size: str, piece: str, setting: Setting) -> None:
    for line in (f"2 {size}", f"2 {size} splits"):
        got = read_line(line, now=NOW, setting=setting).entry
        assert got is not None, line
        assert (got.pieces, got.note) == (f"2 {piece}", None), line


def test_a_place_of_two_letters_is_offered_and_a_piece_of_one_is_not(setting: Setting) -> None:
    own = replace(setting, places=("wc",))
    assert complete("w", 1, own)[0] == "wc"
    assert "M" not in vocabulary(species="birch", places=(), pieces=("M",)), "no key is saved by choosing it"


@pytest.mark.parametrize("said", ["ash out", "ash taken out", "took ash out", "took the ash out",
                                  "took out ash", "took out the ash", "took out the ashes",
                                  "ash in the bucket", "ash bucket filled",
                                  "filled the ash bucket"])  # fmt: skip
def test_every_way_to_say_that_ash_was_taken_out(said: str, setting: Setting) -> None:
    """Its clock starts with each: an ash bucket that nobody heard of is not cautioned about."""
    got = read_line(f"{said} shed", now=NOW, setting=setting).entry
    assert got is not None
    assert got.matter == Ash(act=AshAct.TAKEN_OUT, where="shed")


@pytest.mark.parametrize("place", ["traps", "mouse traps"])
def test_traps_gone_stood_where_it_says(place: str, setting: Setting) -> None:
    got = read_line(f"{place} gone", now=NOW, setting=setting).entry
    assert got is not None
    assert got.matter == Seen(sight=Sight.GONE, place=place)


@pytest.mark.parametrize(("typed", "kept"), [("AA cells", "AA cells"), ("LED lamp", "LED lamp"),
                                             ("LEDS lamp", "leds lamp"), ("ROPE", "rope")])  # fmt: skip
def test_short_words_in_capitals_stay_so(typed: str, kept: str, setting: Setting) -> None:
    got = read_line(f"bring {typed}", now=NOW, setting=setting).entry
    assert got is not None
    assert got.matter == Bring(item=kept)


@pytest.mark.parametrize(("typed", "money"), [("1,250", 1250.0), ("1.250,50", 1250.5), ("1'250", 1250.0)])
def test_money_in_groups_and_with_its_part(typed: str, money: float, setting: Setting) -> None:
    got = read_line(f"cost skirting {typed}", now=NOW, setting=setting).entry
    assert got is not None
    assert isinstance(got.matter, Improvement)
    assert got.matter.money == money


def test_a_rule_of_fortnights_by_time_or_wood_with_its_source(setting: Setting) -> None:
    """Two fortnights are 28 days."""
    got = read_line("every 2 fortnights or 500 kg flue says sheet 4", now=NOW, setting=setting).entry
    assert got is not None
    assert isinstance(got.matter, UpkeepRule)
    assert (got.matter.every_days, got.matter.every_kg, got.matter.source) == (28.0, 500.0, "sheet 4")


def test_the_trade_that_did_it_is_named_without_its_article(setting: Setting) -> None:
    got = read_line("swept flue by the sweep", now=NOW, setting=setting).entry
    assert got is not None
    assert isinstance(got.matter, Upkeep)
    assert got.matter.by == "sweep"


@pytest.mark.parametrize(("day", "year"), [("15 feb", 2026), ("16 feb", 2025)])
def test_a_forecast_reaches_thirty_days_a_day_beyond_is_of_last_year(
    day: str, year: int, setting: Setting
) -> None:
    got = read_line(f"weather {day} -9 -2", now=NOW, setting=setting).entry
    assert got is not None
    assert isinstance(got.matter, DayWeather)
    assert got.matter.day.year == year


@pytest.mark.parametrize("unit", ["m", "metre", "metres", "meter", "meters"])
def test_metres_by_any_name_measure_a_stack(unit: str, setting: Setting) -> None:
    """ "meters" was asked about as if no unit stood there."""
    for line in (f"stack oak 3 x 2 x 1 {unit}", f"stack oak 3 {unit} x 2 {unit} x 1 {unit}",
                 f"stack oak 6 cubic {unit}"):  # fmt: skip
        got = read_line(line, now=NOW, setting=setting).entry
        assert got is not None, line
        assert isinstance(got.matter, Stack)
        assert got.matter.volume_m3 == pytest.approx(6.0)


@pytest.mark.parametrize(
    "line", ["done leaving", "done leaving:", "skip guest room:", "done my own guest room: beds made"]
)
def test_a_list_without_a_line_or_with_a_name_too_long_for_one_is_a_note(line: str, setting: Setting) -> None:
    got = read_line(line, now=NOW, setting=setting)
    assert got.questions == ()
    assert got.entry is not None
    assert (got.entry.matter, got.entry.note) == (None, line)


@pytest.mark.parametrize("name", ["attic", "guest  room", "my guest room"])
def test_a_list_of_up_to_three_words_is_asked_about_by_its_name(name: str, setting: Setting) -> None:
    got = read_line(f"done {name}: all the beds made up", now=NOW, setting=setting)
    plain = " ".join(name.split())
    assert [answer.means for q in got.questions for answer in q.answers] == [f"a line of {plain}", "a note"]
    assert got.entry is not None
    assert got.entry.matter == Tick(list_name=plain, line="all the beds made up", done=True)


@pytest.mark.parametrize(
    ("said", "note"),
    [
        (" porch roof", None),
        (", porch roof", None),
        (" our porch roof, as J said", "as J said"),
        (" my porch roof", None),
    ],
)
def test_a_rule_for_a_task_of_ones_own_ends_where_its_name_does(
    said: str, note: str | None, setting: Setting
) -> None:
    got = read_line(f"every 2 years{said}", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.matter, got.note) == (UpkeepRule(task="porch roof", every_days=730.0), note)
