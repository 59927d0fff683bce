"""The slow calls of one moment read the whole log once: on a long one each reading takes a second."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from logbook.actions import desk as desks
from logbook.actions import reckoning
from logbook.actions.desk import AppDesk, desk_for
from logbook.demo import write_demo
from logbook.records import Entry, NewEvent
from logbook.store.log import open_log


def kept_silent(_: str) -> None:
    """Progress nobody looks at."""


@pytest.fixture
def demo(tmp_path: Path) -> tuple[Path, datetime]:
    path = tmp_path / "demo.db"
    return path, write_demo(path)


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[datetime]:
    """When the whole log was read."""
    times: list[datetime] = []
    whole: Callable[..., reckoning.Known] = reckoning.known

    def counted(log: object, *, as_of: datetime) -> reckoning.Known:
        times.append(as_of)
        return whole(log, as_of=as_of)

    monkeypatch.setattr(reckoning, "known", counted)
    return times


def told(desk: AppDesk) -> reckoning.Known:
    desk.last_night()
    return desk._known()


def test_once_for_all_that_is_asked_in_one_minute(demo: tuple[Path, datetime], read: list[datetime]) -> None:
    path, at = demo
    with desk_for(str(path), at=at) as desk:
        assert told(desk) is told(desk)
        assert len(read) == 1


def test_again_after_a_line_of_this_window(demo: tuple[Path, datetime], read: list[datetime]) -> None:
    path, at = demo
    with desk_for(str(path), at=at) as desk:
        before = told(desk)
        desk.keep(desk.read("note the kettle sings"))
        after = told(desk)
        assert len(read) == 2
        assert after.entries != before.entries


def test_again_after_a_line_of_another_window(demo: tuple[Path, datetime], read: list[datetime]) -> None:
    path, at = demo
    with desk_for(str(path), at=at) as desk:
        before = told(desk)
        with open_log(path) as other:
            other.add([NewEvent(entry=Entry(at=at, indoor_c=18.0))])
        assert told(desk).entries != before.entries
        with open_log(path) as other:
            other.undo()
        assert told(desk).entries == before.entries
        assert len(read) == 3


def test_again_in_the_next_minute(
    demo: tuple[Path, datetime], read: list[datetime], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, at = demo
    clock = [at.replace(second=5)]
    monkeypatch.setattr(desks, "clock", lambda: clock[0])
    with desk_for(str(path)) as desk:
        told(desk)
        clock[0] += timedelta(seconds=50)
        told(desk)
        assert len(read) == 1
        clock[0] += timedelta(seconds=10)
        told(desk)
        assert read == [at.replace(second=5), at.replace(second=5) + timedelta(minutes=1)]
