"""A day written in figures is asked about; numbers said in words have their sign."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from logbook.entry import Setting, answered, read_line

NOW = datetime(2026, 1, 16, 23, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("line", "instead"),
    [
        ("16/1 18:00 in 17", "16 jan"),  # was kept as of today, with "16/1" as a note
        ("18:00 in 17, 16/01/2026", "16 jan"),
        ("12/25 18:00 in 17", "25 dec"),
        ("1/12 18:00 in 17", "1 dec"),
        ("16.1. 18:00 in 17", "16 jan"),  # was 16.1 °C outside
        ("16.01.2026 18:00 in 17", "16 jan"),
        ("2026/01/05 in 17", "5 jan"),
    ],
)
def test_a_day_in_figures_is_asked_about(setting: Setting, line: str, instead: str) -> None:
    heard = read_line(line, now=NOW, setting=setting)
    assert [question.kind for question in heard.questions] == ["day"]
    assert f"or type it like {instead}." in heard.questions[0].text
    assert heard.questions[0].blocks_scripts


@pytest.mark.parametrize(
    "line",
    [
        "5/17 18:00 3M",  # outside and inside
        "-5/17 18:00",
        "in 17.5. 18:00",
        "air 1/3 18:00",
        "16 jan 18:00 in 17, page 3/4",
        "note 16/1 was warmer",
        "3M, page 16/1",
    ],
)
def test_other_figures_are_no_day(setting: Setting, line: str) -> None:
    assert not [q for q in read_line(line, now=NOW, setting=setting).questions if q.kind == "day"]


@pytest.mark.parametrize(
    ("line", "inside", "outside"),
    [
        ("minus 3 out 17 in", 17.0, -3.0),  # was +3 outside
        ("out minus 3, in 17", 17.0, -3.0),
        ("in 17, 3 below zero outside", 17.0, -3.0),
        ("17 inside, 3 below outside", 17.0, None),  # was 3 inside and 17 outside
        ("17 inside, 3 outside", 17.0, 3.0),
        ("17 out: -9", 17.0, -9.0),
        ("18 in 17 out -9", 17.0, -9.0),
    ],
)
def test_a_sign_in_words_counts(
    setting: Setting, line: str, inside: float | None, outside: float | None
) -> None:
    entry = read_line(line, now=NOW, setting=setting).entry
    assert entry is not None
    assert (entry.indoor_c, entry.outdoor_c) == (inside, outside)


@pytest.mark.parametrize(
    ("line", "key", "want"),  # inside, outside, note
    [
        ("4 people, in 18", "enter", (18.0, None, "4 people")),  # was 4 °C outside, unasked
        ("4 people, in 18", "o", (18.0, 4.0, "people")),
        ("bed, 2 dogs", "enter", (None, None, "2 dogs")),  # was 2 °C inside
        ("3M 2 dogs", "i", (2.0, None, "dogs")),
        ("8 in, 3 mice", "enter", (8.0, None, "3 mice")),
    ],
)
def test_a_small_number_before_a_word_is_asked_about(
    setting: Setting, line: str, key: str, want: tuple[object, ...]
) -> None:
    heard = read_line(line, now=NOW, setting=setting)
    assert [question.kind for question in heard.questions] == ["number"]
    got = answered(heard, key).entry
    assert got is not None
    assert (got.indoor_c, got.outdoor_c, got.note) == want


@pytest.mark.parametrize(
    "line", ["bed 20 cosy", "arrived in 3 cold", "in 18, 4 outside, rain", "in 18, 4, rain"]
)
def test_other_numbers_before_words_are_not(setting: Setting, line: str) -> None:
    assert not read_line(line, now=NOW, setting=setting).questions


@pytest.mark.parametrize(
    ("said", "instead"),
    [
        ("yesterday morning", "yesterday morning 7:30."),  # was "yesterday morning 22:30"
        ("fri afternoon", "fri afternoon 15:30."),
        ("fri", "fri 22:30."),
    ],
)
def test_what_to_type_for_a_day_is_of_its_part(setting: Setting, said: str, instead: str) -> None:
    (question,) = read_line(f"{said} in 12", now=NOW, setting=setting).questions
    assert question.text.endswith(f"or type it like {instead}")


def test_a_minus_before_a_minus_is_no_number(setting: Setting) -> None:
    entry = read_line("out minus -3", now=NOW, setting=setting).entry
    assert entry is not None
    assert (entry.outdoor_c, entry.note) == (None, "out minus -3")
