"""A time with a point between hour and minute, as much of Europe writes, is asked about, not read as °C."""

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
