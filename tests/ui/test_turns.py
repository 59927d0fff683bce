"""While another window writes: keys that write wait in their order, the rest goes on, nothing is refused."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.store.connection import BUSY_WAIT_S, is_free
from logbook.ui.session import Session


class Sitting:
    def __init__(self, path: Path) -> None:
        self.desk = AppDesk(Place(path))
        self.session, self.at = Session(self.desk), 0.0
        if self.session.page == "first":
            self.session.press("escape", None, 0.0)

    def type(self, text: str) -> None:
        for sign in text:
            self.at += 0.2
            named = {"\r": "enter", " ": "space"}.get(sign, sign)
            self.session.turns.press(named, None if sign == "\r" else sign, self.at)

    def answer(self) -> tuple[str, str]:
        found = self.session.answer
        return (found.word, found.sentence) if found else ("", "")

    def lines(self) -> list[str]:
        return [line.typed for line in reversed(self.desk.latest(50))]


@pytest.fixture
def sitting(tmp_path: Path) -> Iterator[Sitting]:
    one = Sitting(tmp_path / "cabin.db")
    yield one
    one.desk.close()


@contextmanager
def another_writes(sitting: Sitting) -> Iterator[None]:
    """As an import in another program does: it has the log to itself until it is through."""
    other = sqlite3.connect(sitting.desk.place.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    try:
        yield
    finally:
        other.execute("ROLLBACK")
        other.close()


def test_a_line_waits_and_is_kept_when_the_other_is_through(sitting: Sitting) -> None:
    with another_writes(sitting):
        sitting.type(" note mouse\r")
        assert sitting.answer()[0] == "waits"
        assert "Another window is writing" in sitting.answer()[1]
        sitting.session.turns.go_on()
        assert sitting.session.turns.waiting
        assert sitting.session.line.text == "note mouse", "still there to see"
    sitting.session.turns.go_on()
    assert sitting.lines() == ["note mouse"]
    assert sitting.answer()[0] == "saved"
    assert not sitting.session.turns.waiting


def test_what_is_typed_on_meanwhile_stays_in_order(sitting: Sitting) -> None:
    with another_writes(sitting):
        sitting.type(" note one\r note two\r note th")
    sitting.session.turns.go_on()
    assert sitting.lines() == ["note one", "note two"]
    assert sitting.session.line.text == "note th"


def test_typing_does_not_wait(sitting: Sitting) -> None:
    sitting.type(" note")
    with another_writes(sitting):
        sitting.type(" mouse")
        assert sitting.session.line.text == "note mouse"
        assert sitting.answer()[0] == "reads"


@pytest.mark.parametrize("key", ["f5", "exclamation_mark", "e"])
def test_the_emergency_page_never_waits(sitting: Sitting, key: str) -> None:
    with another_writes(sitting):
        sitting.type("k")
        assert sitting.session.turns.waiting
        sitting.session.turns.press(key, "!" if key == "exclamation_mark" else None, sitting.at + 3.0)
        assert sitting.session.page == "emergency"


def test_what_waits_is_not_lost_on_the_emergency_page(sitting: Sitting) -> None:
    """Found by the first draft of this: the keys of "note" that waited opened the page and were swallowed."""
    with another_writes(sitting):
        sitting.type(" note\r note e\r")
        sitting.session.turns.press("f5", None, sitting.at)
        sitting.session.turns.go_on()
    sitting.session.turns.go_on()
    assert sitting.lines() == []
    sitting.session.turns.press("escape", None, sitting.at + 9.0)
    sitting.session.turns.go_on()
    assert sitting.lines() == ["note", "note e"]


def test_looking_around_does_not_wait(sitting: Sitting) -> None:
    with another_writes(sitting):
        sitting.session.turns.press("right", None, 9.0)
        assert sitting.session.page == "tonight"
        assert not sitting.session.turns.waiting


def test_a_draft_is_not_fought_over(sitting: Sitting) -> None:
    sitting.type(" note mo")
    with another_writes(sitting):
        sitting.session.keep_draft()
        assert sitting.answer()[0] == "reads", "no word of trouble"
    sitting.session.keep_draft()
    assert sitting.desk.draft() == "note mo"


def test_asking_whether_it_is_free_changes_nothing(sitting: Sitting) -> None:
    db = sitting.desk._log().connection
    assert is_free(db)
    with another_writes(sitting):
        assert not is_free(db)
        assert db.execute("PRAGMA busy_timeout").fetchone()[0] == BUSY_WAIT_S * 1000
        assert not db.in_transaction
    assert is_free(db)


def test_pasted_text_keeps_its_place_behind_a_key_that_waits(sitting: Sitting) -> None:
    with another_writes(sitting):
        sitting.type(" note one\r ")
        sitting.session.turns.paste("note pasted")
    sitting.session.turns.go_on()
    assert sitting.lines() == ["note one"]
    assert sitting.session.line.text == "note pasted"
