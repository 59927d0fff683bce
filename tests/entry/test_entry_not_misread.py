"""Lines that were once kept as something else than was meant, and rows that guard the mending.

Found by typing what an owner might, not by reading the code. Wrong data is worse than a question.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from logbook.entry import Setting, answered, read_line, read_plan
from logbook.errors import EntryError
from logbook.records import Basis

NOW = datetime(2026, 1, 16, 21, 41, 20, tzinfo=UTC)


def test_a_flue_position_is_the_damper_and_never_the_air(setting: Setting) -> None:
    got = read_line("flue 1/2", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.flue_damper_open_pct, got.air_open_pct, got.note) == (50.0, None, None)


def test_a_position_named_air_wins_over_a_bare_percentage(setting: Setting) -> None:
    """ "birch 20%" is a moisture half said; the lever was set to a quarter."""
    got = read_line("-12/18 4.2kg birch 20% air 1/4", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.air_open_pct, got.load_kg, got.note) == (25.0, 4.2, "20%")


def test_a_bare_percentage_alone_is_still_the_air(setting: Setting) -> None:
    got = read_line("4kg 60%", now=NOW, setting=setting).entry
    assert got is not None
    assert got.air_open_pct == 60.0


@pytest.mark.parametrize(("words", "basis"), [("18% wet", Basis.WET), ("22 % dry basis", Basis.DRY)])
def test_a_percentage_of_wet_or_dry_is_the_woods_moisture(setting: Setting, words: str, basis: Basis) -> None:
    got = read_line(f"3kg birch {words} air 1/2", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.moisture_pct, got.moisture_basis) == (float(words[:2]), basis)
    assert (got.air_open_pct, got.note) == (50.0, None)


@pytest.mark.parametrize("line", ["arrived 3/4", "3/4 arrived", "arrived 0/2"])
def test_at_the_door_a_pair_is_asked_about_and_enter_means_the_two_readings(
    setting: Setting, line: str
) -> None:
    """Nobody has lit the stove yet; kept as the air, the arrival's readings would be lost without a word."""
    out, inside = (float(n) for n in line.removeprefix("arrived ").removesuffix(" arrived").split("/"))
    cold = replace(setting, last_indoor_c=None, last_outdoor_c=None)
    asked = read_line(line, now=NOW, setting=cold)
    assert [q.kind for q in asked.questions] == ["fraction"]
    kept = answered(asked, "").entry
    assert kept is not None and (kept.outdoor_c, kept.indoor_c, kept.air_open_pct) == (out, inside, None)
    other = answered(asked, "a").entry
    assert other is not None and (other.indoor_c, other.air_open_pct) == (None, 100.0 * out / inside)


def test_a_fraction_with_wood_on_arriving_is_still_the_air(setting: Setting) -> None:
    got = read_line("arrived -3/1 3m 1/2", now=NOW, setting=setting)
    assert not got.questions and got.entry is not None and got.entry.air_open_pct == 50.0


def test_a_place_before_in_is_that_places_temperature(setting: Setting) -> None:
    got = read_line("loft in 21", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.place, got.indoor_c, got.note) == ("loft", 21.0, None)


def test_a_weight_not_known_here_is_asked_about(setting: Setting) -> None:
    """Five stone are 32 kg: kept as 5 kg without a word they would spoil every forecast."""
    asked = read_line("load 5 stone", now=NOW, setting=setting)
    assert [q.kind for q in asked.questions] == ["mass_unit"]
    assert '"stone" is no weight known here (kg, lb)' in asked.questions[0].text
    assert asked.questions[0].blocks_scripts
    kept = answered(asked, "").entry
    assert kept is not None
    assert (kept.load_kg, kept.note) == (5.0, "stone")


@pytest.mark.parametrize("line", ["load 4 on coals", "load 4kg stone wall warm", "load 4, st john's day"])
def test_words_after_a_load_are_a_note_and_no_question(setting: Setting, line: str) -> None:
    got = read_line(line, now=NOW, setting=setting)
    assert not got.questions
    assert got.entry is not None
    assert got.entry.load_kg == 4.0


@pytest.mark.parametrize("line", ["tomorrow 10:00 in 5", "in 5 at 10:00 tomorrow"])
def test_tomorrow_is_refused_and_not_kept_as_today(setting: Setting, line: str) -> None:
    got = read_line(line, now=NOW, setting=setting)
    assert got.problem is not None
    assert got.problem.wrong == "Sat 17 Jan 10:00 is still to come: now is Fri 16 Jan 21:41."


def test_tomorrow_without_a_time_stays_a_note(setting: Setting) -> None:
    got = read_line("sweep comes tomorrow", now=NOW, setting=setting).entry
    assert got is not None
    assert got.note == "sweep comes tomorrow"


def test_a_plan_says_that_it_takes_no_day(setting: Setting) -> None:
    with pytest.raises(EntryError, match="takes no day"):
        read_plan("tomorrow 02:00 load 2kg", start=NOW, setting=setting)


def test_a_year_still_to_come_is_said(setting: Setting) -> None:
    got = read_line("2030-01-01T10:00 in 5", now=NOW, setting=setting)
    assert got.problem is not None
    assert got.problem.wrong.startswith("Tue 1 Jan 2030 10:00 is still to come")


@pytest.mark.parametrize(
    ("line", "wrong"),
    [("load -3kg", "A load of −3.0 kg is no load."), ("load 0kg", "A load of 0 kg is no load.")],
)
def test_a_load_below_zero_is_refused_with_its_own_number(setting: Setting, line: str, wrong: str) -> None:
    got = read_line(line, now=NOW, setting=replace(setting, last_indoor_c=18.0))
    assert got.problem is not None
    assert got.problem.wrong == wrong


@pytest.mark.parametrize("line", ["3M 0L", "3m0l", "0L 3M", "3M 0/4 L"])
def test_none_of_a_size_is_no_part_of_a_load(setting: Setting, line: str) -> None:
    """It was kept as "3 M 0 L", said back so, and that was read again as a temperature; found by the fuzz."""
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None
    alone = read_line("3M", now=NOW, setting=setting).entry
    assert alone is not None
    assert (got.pieces, got.load_kg) == (alone.pieces, alone.load_kg) == ("3 M", 4.8)


def test_a_load_of_noughts_is_refused(setting: Setting) -> None:
    got = read_line("0M 0L", now=NOW, setting=setting)
    assert got.problem is not None
    assert got.problem.wrong == "A load of 0 kg is no load."


@pytest.mark.parametrize(
    "line",
    [
        "droppings 3 in drawer",
        "mouse droppings 3 in the drawer",
        "mice 2 out back",
        "found 3 inside box",
        "sweating loft 9",
        "read 1/2 of a book",
    ],
)
def test_a_count_amid_words_is_no_temperature(setting: Setting, line: str) -> None:
    """ "droppings 3 in drawer" was 3 °C inside."""
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None
    assert (got.note, got.indoor_c, got.outdoor_c) == (line, None, None)


@pytest.mark.parametrize("line", ["lever 1/3 now", "shut it to 1/3 now", "3M 1/3 then bed"])
def test_a_fraction_of_the_lever_amid_words_is_the_air(setting: Setting, line: str) -> None:
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None and got.air_open_pct == pytest.approx(100 / 3)


@pytest.mark.parametrize("line", ["level 2/3 of the tank", "level 2/3 petrol", "level half petrol"])
def test_how_much_there_is_of_something_sets_no_air(setting: Setting, line: str) -> None:
    """Petrol was never named before: "level 2/3 petrol" set the air to 2/3."""
    heard = read_line(line, now=NOW, setting=setting)
    assert heard.entry is not None and not heard.questions
    assert (heard.entry.air_open_pct, heard.entry.note) == (None, line)


@pytest.mark.parametrize(
    ("line", "inside", "outside", "note"),
    [
        ("in 14 out 0", 14.0, 0.0, None),
        ("18 in -9 out", 18.0, -9.0, None),
        ("cold morning 18 in -9 out", 18.0, -9.0, "cold morning"),
        ("18 in, papers in drawer", 18.0, None, "papers in drawer"),
        ("droppings 3 in drawer, 18 in", 18.0, None, "droppings 3 in drawer"),
        ("colder 17.5 C in drawer", 17.5, None, "colder; drawer"),
    ],
)
def test_a_reading_beside_words_stays_one(
    setting: Setting, line: str, inside: float, outside: float | None, note: str | None
) -> None:
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None
    assert (got.indoor_c, got.outdoor_c, got.note) == (inside, outside, note)


@pytest.mark.parametrize(
    ("line", "note"),
    [
        ("window cracked 30 minutes", "30 minutes"),  # was 30 °C inside
        ("woke 3 times", "3 times"),
        ("window open 10 min", "10 min"),
        ("4kg 2 hours", "2 hours"),
        ("window shut in 2 h", "in 2 h"),
        ("window open 2 days", "2 days"),
    ],
)
def test_how_long_something_lasts_is_no_temperature(setting: Setting, line: str, note: str) -> None:
    got = read_line(line, now=NOW, setting=setting)
    assert got.questions == () and got.entry is not None
    assert (got.entry.indoor_c, got.entry.outdoor_c, got.entry.note) == (None, None, note)


def test_a_lowest_temperature_after_a_bare_one_is_still_that(setting: Setting) -> None:
    got = read_line("18 min 9", now=NOW, setting=setting).entry
    assert got is not None
    assert (got.indoor_c, got.low_c) == (18.0, 9.0)


@pytest.mark.parametrize("line", ["18 in the evening", "in 8 in the evening", "8 in the morning"])
def test_what_may_be_a_temperature_before_a_part_of_the_day_stays_one(setting: Setting, line: str) -> None:
    """Nobody writes 18 o'clock so; of 8 in the morning it can't be told."""
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None
    assert (got.at, got.indoor_c) == (NOW, 18.0 if "18" in line else 8.0)


@pytest.mark.parametrize("part", ["morning", "evening", "afternoon", "night"])
def test_a_part_of_the_day_is_no_room(setting: Setting, part: str) -> None:
    got = read_line(f"in the {part} 18", now=NOW, setting=setting).entry
    assert got is not None
    assert got.place == ""


@pytest.mark.parametrize(
    "line",
    ["put in 3", "put in 2 1/4", "threw in 4", "put 3 in", "threw another 4 in", "laid 2 in", "took 1 out"],
)
def test_pieces_put_in_are_no_temperature(setting: Setting, line: str) -> None:
    """Of no size, so they are words; "put in 3" was 3 °C inside."""
    got = read_line(line, now=NOW, setting=setting).entry
    assert got is not None and got.note is not None
    assert (got.indoor_c, got.outdoor_c, got.load_kg) == (None, None, None)


def test_a_mass_put_in_is_the_load(setting: Setting) -> None:
    got = read_line("put in 3 kg", now=NOW, setting=setting).entry
    assert got is not None and got.load_kg == 3.0
