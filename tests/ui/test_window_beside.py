"""Two windows of the app on one log: the row chosen stays the line it was, and nothing is changed unseen."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.ui.session import Session


class Window:
    def __init__(self, path: Path) -> None:
        self.desk = AppDesk(Place(path))
        self.session, self.at = Session(self.desk), 0.0
        if self.session.page == "first":
            self.session.press("escape", None, 0.0)

    def press(self, *keys: str) -> None:
        for key in keys:
            self.at += 2.0
            self.session.press(key, key if len(key) == 1 else None, self.at)

    def line(self, text: str) -> None:
        for sign in f" {text}\r":
            self.at += 0.2
            named = {"\r": "enter", " ": "space"}.get(sign, sign)
            self.session.press(named, None if sign == "\r" else sign, self.at)
        self.at += 2.0

    def rows(self) -> list[str]:
        return [line.typed for line in self.session.known.latest]

    def said(self) -> str:
        return self.session.answer.sentence if self.session.answer else ""


@pytest.fixture
def two(tmp_path: Path) -> Iterator[tuple[Window, Window]]:
    here = Window(tmp_path / "cabin.db")
    here.line("note one")
    here.line("note two")
    there = Window(tmp_path / "cabin.db")
    yield here, there
    here.desk.close()
    there.desk.close()


def test_the_chosen_row_stays_its_line_when_another_window_adds_one(two: tuple[Window, Window]) -> None:
    """The row number once stayed and the line under it changed: x then left out another line."""
    here, there = two
    here.press("down")
    assert here.rows()[0] == "note two"
    there.line("note three")
    here.session.tick()
    assert here.rows()[0] == "note three"
    here.press("x")
    there.press("left", "right")
    assert there.rows() == ["note three", "note one"]


def test_a_row_left_out_in_another_window_is_no_more_chosen(two: tuple[Window, Window]) -> None:
    here, there = two
    here.press("down")
    there.press("down", "x")
    here.press("x")
    assert here.rows() == ["note one"]
    assert there.desk.latest(9)[0].typed == "note one"


def test_what_another_window_wrote_is_there_at_the_next_key(two: tuple[Window, Window]) -> None:
    here, there = two
    there.line("note three")
    here.press("down")
    assert here.rows()[0] == "note three"


def test_a_line_changed_in_another_window_meanwhile_is_not_overwritten(two: tuple[Window, Window]) -> None:
    here, there = two
    here.press("down", "enter")
    assert here.session.line.text == "note two"
    there.press("down", "enter")
    for sign in " more":
        there.press("space" if sign == " " else sign)
    there.press("enter")
    here.press("x", "enter")
    assert "Another window changed that line" in here.said()
    assert here.session.line.text == "note twox", "what was typed is still there"
    here.press("escape", "left", "right")
    assert here.rows()[0] == there.rows()[0] != "note two"


def test_a_line_left_out_in_another_window_meanwhile_says_so(two: tuple[Window, Window]) -> None:
    here, there = two
    here.press("down", "enter")
    there.press("down", "x")
    here.press("x", "enter")
    assert "taken out of the log" in here.said()
    assert here.session.line.is_open


def test_a_line_being_changed_reads_as_it_will_be_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It read as of now while typed, "21:07 in 18 °C", and was kept at its own time."""
    noon = datetime(2026, 3, 7, 12, 0, tzinfo=UTC)
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: noon)
    here = Window(tmp_path / "log.db")
    here.line("in 17")
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: noon + timedelta(hours=9, minutes=7))
    here.press("down", "enter", "backspace", "8")
    assert here.said() == "12:00 in 18.0 °C"
    here.press("enter")
    assert here.said() == "12:00 in 18.0 °C"
    here.press("enter", *["backspace"] * 5, *"12:30 in 19")
    assert here.said() == "12:30 in 19.0 °C"
    here.desk.close()


def test_a_line_gone_meanwhile_still_reads_and_is_refused_when_kept(two: tuple[Window, Window]) -> None:
    here, there = two
    here.press("down", "enter")
    there.press("down", "x")
    here.press("3")
    assert here.said().endswith("note two3")
    here.press("enter")
    assert "note two3" not in here.rows()
    assert here.session.line.text == "note two3"


def test_what_follows_is_reckoned_anew_when_another_window_wrote_a_line(two: tuple[Window, Window]) -> None:
    """The list had the other window's load, and "nothing more: 3 °C" stood there as if it were of now."""
    here, there = two
    here.press("down")
    here.session.take_jobs()
    there.desk.keep_draft("half a line")
    here.session.tick()
    assert not here.session.take_jobs(), "a line half typed elsewhere says nothing yet"
    there.line("in 18")
    here.session.tick()
    assert {"expect", "tonight"} <= {name for name, _ in here.session.take_jobs()}
    assert {"expect", "tonight"} <= here.session.known.stale
    there.line("in 17")
    here.press("up")
    assert "expect" in {name for name, _ in here.session.take_jobs()}
