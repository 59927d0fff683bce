"""A supply of the log and how much of it, with no word before it, is asked about; it stood as a note."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from logbook.entry import Setting, answered, may_name_supply, read_line
from logbook.matters import Brought, Level

NOW = datetime(2026, 1, 17, 21, 41, tzinfo=UTC)


@pytest.fixture
def stocked(setting: Setting) -> Setting:
    return replace(setting, supplies=("water", "gas", "lamp oil"))


@pytest.mark.parametrize(
    ("line", "level"),
    [
        ("water 14 L", Level(item="water", amount=14.0, unit="L")),
        ("water 14 L left", Level(item="water", amount=14.0, unit="L")),
        ("gas 40%", Level(item="gas", amount=40.0, unit="%")),
        ("gas half", Level(item="gas", amount=50.0, unit="%")),
        ("lamp oil 2 bottles", Level(item="lamp oil", amount=2.0, unit="bottles")),
    ],
)
def test_enter_is_what_is_there(line: str, level: Level, stocked: Setting) -> None:
    heard = read_line(line, now=NOW, setting=stocked)
    (question,) = heard.questions
    assert not question.blocks_scripts
    assert answered(heard, question.default or "").entry.matter == level
    carried = answered(heard, "b").entry.matter
    assert carried == Brought(item=level.item, amount=level.amount, unit=level.unit)
    noted = answered(heard, "n").entry
    assert (noted.matter, noted.note) == (None, line)


@pytest.mark.parametrize(
    "line", ["water low", "gas 140%", "water pipe froze at -9", "water 14 L, in 18", "oil 2 bottles", "gas"]
)
def test_what_is_not_just_that_is_read_as_ever(line: str, stocked: Setting) -> None:
    heard = read_line(line, now=NOW, setting=stocked)
    assert heard.entry is not None
    assert heard.entry.matter is None
    assert not [q for q in heard.questions if q.kind == "supply"]


def test_names_are_read_for_such_lines_alone() -> None:
    """Asked at every key: a line of the night must not look the log's supplies up."""
    for line in ("water 14 L", "22:10 gas half", "lamp oil 2 bottles"):
        assert may_name_supply(line)
    for line in ("-11/18 4m air 1/4", "air 1/4", "in 18", "load 4M", "water", "bed", "loft 24", "low 9"):
        assert not may_name_supply(line)
