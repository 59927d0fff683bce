"""The track record shown as it grows: the first run takes a minute, the newest nights are wanted first."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from fake_desk import TRACK, FakeDesk

from logbook.actions import nights as actions
from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.demo import write_demo
from logbook.results.app import Track
from logbook.ui.cells import text_of
from logbook.ui.session import Session

ONE = replace(TRACK, rows=TRACK.rows[:1], score=("2 more nights are still being reckoned.",), missing=2)


def nights_page() -> Session:
    session = Session(FakeDesk())
    session.turn_to("nights")
    return session


def said(session: Session) -> str:
    return " ".join(" ".join(text_of(row) for row in session.rows()).split())


def test_what_is_there_is_shown_and_can_be_opened_before_the_rest_is() -> None:
    session = nights_page()
    assert "Reckoning each night" in said(session)
    session.known.heard("nights", "night 1 of 3")
    assert "Now: night 1 of 3." in said(session)
    session.known.heard("nights", ONE)
    assert "2 more nights are still being reckoned." in said(session)
    assert "14.1 °C" in said(session)
    session.press("down", None, 1.0)
    session.press("enter", None, 2.0)
    assert session.nights.looking.opened
    session.known.arrived("nights", TRACK)
    assert session.known.track is TRACK


def test_a_part_never_takes_the_place_of_a_whole_answer() -> None:
    """Reckoned anew after a line was kept: the old record stays whole until the new one is."""
    session = nights_page()
    session.known.arrived("nights", TRACK)
    session.known.heard("nights", ONE)
    assert session.known.track is TRACK


def test_a_record_broken_off_is_taken_up_when_the_page_is_turned_to_again() -> None:
    session = nights_page()
    session.take_jobs()
    session.known.heard("nights", ONE)
    session.turn_to("now")
    assert "nights" not in dict(session.take_jobs())
    session.turn_to("nights")
    assert "nights" in dict(session.take_jobs())


@pytest.fixture
def desk(tmp_path, monkeypatch):
    """The demo with a forecast that costs nothing: only the order and the cache are asked about."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    reckoned = []

    def quick(then, night, *, low_c):
        reckoned.append(night.bed)
        return {
            "hours": np.array([0.0, 8.0]),
            "inside_c": np.array([[18.0, 19.0, 20.0], [9.0, 12.0, 15.0]]),
            "fire": np.array([2, 0]),
        }

    monkeypatch.setattr(actions, "_forecast", quick)
    at = write_demo(tmp_path / "demo.db")
    made = AppDesk(Place(tmp_path / "demo.db"), at=at)
    yield made, reckoned
    made.close()


def test_newest_first_each_once_and_kept_when_broken_off(desk) -> None:
    app_desk, reckoned = desk

    class Enough(Exception):  # noqa: N818 - a stop, no error
        pass

    parts: list[Track] = []

    def break_off(at: str | Track) -> None:
        if isinstance(at, Track):
            parts.append(at)
        elif len(parts) == 3:
            raise Enough

    with pytest.raises(Enough):
        app_desk.nights(break_off)
    assert reckoned == sorted(reckoned, reverse=True) and len(reckoned) == 3
    assert [len(part.rows) for part in parts] == [1, 2, 3]
    assert [row.score.bed for row in parts[2].rows] == reckoned

    grown: list[Track] = []
    whole = app_desk.nights(lambda at: grown.append(at) if isinstance(at, Track) else None)
    count = len(whole.rows)
    assert count > 20
    assert len(reckoned) == len(set(reckoned)) == count, "the three kept ones are not reckoned again"
    assert [len(part.rows) for part in grown] == list(range(4, count + 1))
    assert grown[0].missing == count - 4 and whole.missing == 0
    assert [row.score.bed for row in whole.rows] == sorted(reckoned, reverse=True)
    assert grown[-1].rows == whole.rows
