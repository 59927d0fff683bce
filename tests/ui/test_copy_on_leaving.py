"""Leaving by the app: the worker makes a copy; who closes it before that gets one then."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.store.copies import restore
from logbook.store.log import open_log
from logbook.ui.keeping import COPY
from logbook.ui.session import Session


class Sitting:
    """The app's session on a real log and clock; slow jobs are run when asked for."""

    def __init__(self, desk: AppDesk) -> None:
        self.desk, self.session, self.at = desk, Session(desk), 0.0
        if self.session.page == "first":
            self.session.press("escape", None, 0.0)

    def line(self, text: str) -> None:
        for sign in f" {text}\r":
            self.at += 0.2
            named = {"\r": "enter", " ": "space"}.get(sign, sign)
            self.session.press(named, None if sign == "\r" else sign, self.at)
        self.at += 2.0

    def work(self) -> None:
        for name, job in self.session.take_jobs():
            if name == COPY:
                self.session.arrived(name, job(lambda _: None))


@pytest.fixture
def sitting(tmp_path: Path) -> Iterator[Sitting]:
    desk = AppDesk(Place(tmp_path / "cabin.db"))
    yield Sitting(desk)
    desk.close()


def copies(sitting: Sitting) -> list[Path]:
    folder = sitting.desk.place.copies
    return sorted(folder.iterdir()) if folder.exists() else []


def test_left_is_copied_by_the_worker_and_said(sitting: Sitting) -> None:
    sitting.line("note mouse")
    sitting.work()
    assert copies(sitting) == []
    sitting.line("left")
    assert copies(sitting) == [], "no key waits for it"
    sitting.work()
    (copy,) = copies(sitting)
    assert sitting.session.answer is not None
    assert str(copy) in sitting.session.answer.sentence
    assert sitting.desk.copy_still_wanted() == ""
    assert copies(sitting) == [copy]


def test_closed_before_the_worker_came_to_it_it_is_copied_then(sitting: Sitting) -> None:
    sitting.line("left")
    assert "A copy of the log is kept" in sitting.desk.copy_still_wanted()
    assert len(copies(sitting)) == 1
    assert sitting.desk.copy_still_wanted() == ""


def test_nobody_left_nothing_is_copied(sitting: Sitting) -> None:
    sitting.line("bed")
    assert sitting.desk.copy_still_wanted() == ""
    assert copies(sitting) == []


def test_why_there_is_no_copy_is_said_and_the_line_is_kept(sitting: Sitting) -> None:
    sitting.desk.place.copies.write_text("a file where the folder should be")
    sitting.line("left")
    sitting.work()
    assert sitting.session.answer is not None
    assert sitting.session.answer.sentence.startswith("No copy of the log could be made by itself")
    assert len(sitting.desk.latest(5)) == 1


def test_the_copy_put_back_is_what_the_open_app_shows_next(sitting: Sitting) -> None:
    sitting.line("left")
    sitting.work()
    (copy,) = copies(sitting)
    sitting.line("note written after")
    assert "written after" in sitting.desk.latest(5)[0].sentence
    restore(sitting.desk.place.path, copy, now=sitting.desk.now())
    with open_log(copy, create=False) as kept:
        assert [line.event_id for line in sitting.desk.latest(5)] == [e.uuid for e in kept.latest(5)]
