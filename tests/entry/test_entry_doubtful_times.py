"""Times that may be something else: 19.30 may be degrees, 9 the evening or the morning. It is asked."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from logbook.entry import Setting, answered, read_line
from logbook.entry.understood import ENTER

NOW = datetime(2026, 1, 17, 21, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    "line",
    [
        "19.30 in 18",  # 19.3 °C outside, now
        "19.30 -4/18",  # now, with "19.30" as a note
        "19.30 4M",
        "in 18 19.30",
        "at 7.05 in 18",
        "air 60 at 9.15",
        "19,30 in 18",
        "19.30 bed",
        "-9 17.50",
    ],
)
def test_it_is_asked_about_before_anything_is_kept(line: str, setting: Setting) -> None:
    heard = read_line(line, now=NOW, setting=setting)
    (question,) = heard.questions
    assert question.kind == "day"
    assert question.blocks_scripts
    assert "may be a time" in question.text
    assert answered(heard, ENTER).questions == ()


@pytest.mark.parametrize(
    "line",
    [
        "19.30",  # a time alone would say nothing
        "out 19.30 4M",
        "in 19.30",
        "19.30 in 4M",
        "19.30C 4M",
        "21.44/18.20",
        "4M 2.50 kg",
        "load 2.40 kg air 1/4",
        "19.75 4M",  # no minute
        "24.30 4M",  # no hour
        "19.3 in 18",
        "we paid 12.50 4M",
        "4M note J came at 19.30",
        "fri 22:30 19.30 in",
        "22:30 19.30 4M",  # it has a time
    ],
)
def test_what_cannot_be_a_time_is_not(line: str, setting: Setting) -> None:
    assert not [q for q in read_line(line, now=NOW, setting=setting).questions if "may be a time" in q.text]


def test_the_words_to_type_are_read_as_that_time(setting: Setting) -> None:
    (question,) = read_line("7.05 in 18", now=NOW, setting=setting).questions
    instead = question.text.rsplit(" ", 1)[1].rstrip(".")
    assert instead == "7:05"
    entry = read_line(f"{instead} in 18", now=NOW, setting=setting).entry
    assert entry is not None
    assert (entry.indoor_c, entry.outdoor_c) == (18.0, None)
    assert entry.at.astimezone(ZoneInfo(setting.zone)).strftime("%H:%M") == "07:05"


# An hour alone, which may be of the morning or the evening


EVENING = datetime(2026, 1, 17, 21, 41, tzinfo=UTC)


def clock_of(line: str, setting: Setting, *, now: datetime = EVENING, key: str = ENTER) -> tuple[str, int]:
    heard = read_line(line, now=now, setting=setting)
    asked = [q for q in heard.questions if q.kind == "half"]
    entry = answered(heard, key).entry if asked else heard.entry
    assert entry is not None
    return entry.at.astimezone(ZoneInfo(setting.zone)).strftime("%d %H:%M"), len(asked)


@pytest.mark.parametrize(
    ("line", "by_enter", "by_b"),
    [
        ("4M at 9", "17 21:00", "17 09:00"),  # once 09:00 without a word
        ("at 8 -4/18", "17 20:00", "17 08:00"),
        ("arrived at 6", "17 18:00", "17 06:00"),
        ("4M at 7 o'clock", "17 19:00", "17 07:00"),
        ("bed 9:15", "17 21:15", "17 09:15"),  # to bed in the morning?
    ],
)
def test_the_nearer_half_is_taken_and_asked_about(
    line: str, by_enter: str, by_b: str, setting: Setting
) -> None:
    assert clock_of(line, setting) == (by_enter, 1)
    assert clock_of(line, setting, key="b") == (by_b, 1)
    (question,) = read_line(line, now=EVENING, setting=setting).questions
    assert question.blocks_scripts, "a script says which it means"


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("4M at 10", "17 10:00"),  # 22:00 is to come, and yesterday's is further back
        ("6:45 in 14", "17 06:45"),  # minutes: written as on a clock of 24 hours
        ("4M at 09", "17 09:00"),
        ("4M at 9am", "17 09:00"),
        ("4M at 21", "17 21:00"),
        ("woke at 2", "17 02:00"),
        ("low 9 at 7", "17 07:00"),
        ("fri 7 4M", "16 07:00"),
        ("4M at 9 in the morning", "17 09:00"),
    ],
)
def test_where_something_tells_the_half_it_is_not_asked(line: str, meant: str, setting: Setting) -> None:
    assert clock_of(line, setting) == (meant, 0)


def test_just_after_midnight_eleven_is_of_the_evening(setting: Setting) -> None:
    late = datetime(2026, 1, 18, 0, 20, tzinfo=UTC)
    assert clock_of("4M at 11", setting, now=late) == ("17 23:00", 1)
    assert clock_of("4M at 12", setting, now=late) == ("18 00:00", 1)
    assert clock_of("4M at 8", setting, now=datetime(2026, 1, 18, 9, 0, tzinfo=UTC)) == ("18 08:00", 0)
