"""A note of an alarm, of smoke or of feeling ill is kept, and what to do stands after it; nothing did."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from logbook.actions.lines import said_back
from logbook.cautions import DANGER_TYPED
from logbook.entry import Setting, read_line

NOW = datetime(2026, 1, 17, 21, 41, tzinfo=UTC)


def said(line: str, setting: Setting) -> str:
    heard = read_line(line, now=NOW, setting=setting)
    assert heard.problem is None
    assert heard.entry is not None
    assert heard.entry.note, "kept whatever it tells"
    return said_back(heard)


@pytest.mark.parametrize(
    "line",
    [
        "co alarm went off",
        "alarm going off at 2am",
        "Smoke alarm BEEPING",
        "smoke in the room",
        "woke to smoke smell",
        "room full of smoke",
        "it smells of smoke, window open",
        "chimney fire",
        "roaring in the flue",
        "pipe glowing red",
        "headache, 21 inside",
        "K is dizzy",
    ],
)
def test_out_first_is_said(line: str, setting: Setting) -> None:
    assert DANGER_TYPED.sentence in said(line, setting)


@pytest.mark.parametrize(
    "line",
    ["co alarm chirping", "tested smoke alarm", "smoked fish for dinner", "smoke rises nicely", "good fire"],
)
def test_what_tells_of_none_has_no_such_word(line: str, setting: Setting) -> None:
    assert "everybody out" not in said(line, setting)
