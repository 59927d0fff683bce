"""What is written as it is spoken is read as meant; amid other words it stays the note it is part of."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from logbook.actions.lines import said_back
from logbook.entry import Setting, read_line
from logbook.entry.spoken import _SPOKEN
from logbook.records import Entry

NOW = datetime(2026, 1, 17, 21, 41, tzinfo=UTC)


def entry_of(line: str, setting: Setting) -> Entry:
    heard = read_line(line, now=NOW, setting=setting)
    assert heard.problem is None, (line, heard.problem)
    assert heard.entry is not None
    return heard.entry


@pytest.mark.parametrize(
    ("line", "field", "value"),
    [
        ("fire's out", "fire_out", True),  # each of these was a note, and nothing was learned of it
        ("fire’s out", "fire_out", True),
        ("the fire went out at 3am", "fire_out", True),
        ("fire went out around 3am", "fire_out", True),
        ("stove cold, 9 inside", "fire_out", True),
        ("coals gone", "coals", "none"),
        ("good bed of coals, 4M", "coals", "good"),
        ("a few embers", "coals", "few"),
        ("went to bed", "mark", "bed"),
        ("gone to bed 22:30", "mark", "bed"),
        ("got up 6:30, 11 inside", "mark", "woke"),
        ("woke up 7am in 9", "mark", "woke"),
        ("got here 5pm, 1 inside, -10 out", "mark", "arrived"),
        ("calm -12", "wind", "calm"),  # and the reading was lost in the note with it
        ("windy, -8", "wind", "strong"),
        ("opened the window at 2am", "window", "open"),
        ("closed the air", "air_open_pct", 0.0),
        ("air all the way open", "air_open_pct", 100.0),
        ("shut the damper", "flue_damper_open_pct", 0.0),
        ("closed the flue", "flue_damper_open_pct", 0.0),
        ("lit the stove 17:40", "kindling", True),
        ("relit 7am 2S", "kindling", True),
        ("lit 2S 1M", "kindling", True),
    ],
)
def test_it_is_read(line: str, field: str, value: object, setting: Setting) -> None:
    entry = entry_of(line, setting)
    assert getattr(entry, field) == value
    assert entry.note is None


def test_what_stands_beside_it_is_read_too(setting: Setting) -> None:
    assert entry_of("calm -12", setting).outdoor_c == -12.0
    assert entry_of("stove cold, 9 inside", setting).indoor_c == 9.0
    assert entry_of("lit 2S 1M", setting).pieces == "2 S 1 M"
    assert entry_of("upstairs 24 downstairs 18", setting).place == "upstairs"


@pytest.mark.parametrize(
    "line",
    [
        "kids went to bed",
        "got up twice to feed it",
        "the stove is cold to the touch",
        "closed the damper on the coals",
        "closed the air down a bit",
        "windy night",
        "we were calm",
        "lit a candle",
        "got here late",
    ],
)
def test_amid_other_words_it_stays_a_note(line: str, setting: Setting) -> None:
    assert entry_of(line, setting) == Entry(at=NOW, note=line)


def test_a_damper_or_an_air_shut_in_words_has_its_caution(setting: Setting) -> None:
    """It had none as a note."""
    for line, words in (("shut the damper", "carbon monoxide"), ("closed the air", "least clean air")):
        assert words in said_back(read_line(line, now=NOW, setting=setting)), line


def test_every_phrase_is_read_alone(setting: Setting) -> None:
    """None is hidden behind another reader: all of a phrase becomes its fact."""
    for phrases, _ in _SPOKEN:
        for phrase in phrases.split(";"):
            entry = entry_of(phrase.strip(), setting)
            assert entry.note is None, phrase
            assert entry != Entry(at=entry.at), phrase


@pytest.mark.parametrize(
    ("line", "out_c", "in_c"),
    [
        ("in12 out-4", -4.0, 12.0),  # both were notes
        ("in:12, out:-4.5", -4.5, 12.0),
        ("inside12 outside-4", -4.0, 12.0),
        ("in65F", None, 18.3),
    ],
)
def test_a_label_stuck_to_its_number(line: str, out_c: float | None, in_c: float, setting: Setting) -> None:
    entry = entry_of(line, setting)
    assert entry.outdoor_c == out_c
    assert entry.indoor_c == pytest.approx(in_c, abs=0.05)
    assert entry.note is None


@pytest.mark.parametrize("line", ["out-of-order", "in-law 3", "low-e glass", "in2 weeks", "in12x"])
def test_words_that_only_begin_like_one_stay_whole(line: str, setting: Setting) -> None:
    assert entry_of(line, setting) == Entry(at=NOW, note=line)


def test_wood_in_at_an_hour_is_no_temperature(setting: Setting) -> None:
    entry = entry_of("3M in at 8pm, air open", setting)
    assert (entry.pieces, entry.indoor_c, entry.air_open_pct) == ("3 M", None, 100.0)
    heard = read_line("3M in at 8", now=NOW, setting=setting)  # once 8 °C inside, now
    assert heard.entry is not None
    assert (heard.entry.pieces, heard.entry.indoor_c) == ("3 M", None)
    assert heard.entry.at.hour == 20


def test_more_of_a_size_is_wood(setting: Setting) -> None:
    assert entry_of("one more L", setting).pieces == "1 L"
    assert entry_of("2 more M at 9pm", setting).pieces == "2 M"
    assert entry_of("put in 2 more logs", setting).note == "put in 2 more logs"


@pytest.mark.parametrize("line", ["propane 1/2", "gas bottle 1/4", "petrol 3/4 left"])
def test_a_fraction_of_something_else_is_no_air(line: str, setting: Setting) -> None:
    assert entry_of(line, setting) == Entry(at=NOW, note=line)


@pytest.mark.parametrize(
    "line", ["lever 1/4", "turned 1/4", "down 1/4", "set to 1/4", "4M windy 1/4", "4M 1/4"]
)
def test_a_fraction_of_the_lever_is(line: str, setting: Setting) -> None:
    assert entry_of(line, setting).air_open_pct == 25.0
