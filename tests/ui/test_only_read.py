"""A log that can't be written, opened in the app: it says so first, and shows what is there."""

from __future__ import annotations

import sqlite3
import warnings
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from test_session import Keys

from logbook.actions import lines
from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.description import parse_description
from logbook.errors import LogFileError
from logbook.store import connection
from logbook.ui.plain_talk import PlainTalk

DESCRIPTION = (
    "site.timezone = 'Europe/Oslo'\ncabin.floor_m2 = 21\ncabin.volume_m3 = 55\nstove.max_load_kg = 9"
)
FRIDAY = datetime(2026, 1, 16, 12, 0, tzinfo=UTC)


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[AppDesk]:
    """A desk on a log with a reading and a half-typed line, on a medium that has become read-only."""
    path = tmp_path / "log.db"
    with Place(path).open(create=True, now=lambda: FRIDAY) as log:
        log.add_description(parse_description(DESCRIPTION, machine_zone="UTC"))
        lines.note(log, "in 15", now=FRIDAY)
        log.keep_here("draft", "in 16")
    refuse = sqlite3.OperationalError("attempt to write a readonly database")
    refuse.sqlite_errorname = "SQLITE_READONLY"
    real = connection.connect

    def connect(name: Path, **how: object) -> sqlite3.Connection:
        if name == path:
            raise LogFileError("It could not be opened for writing.\nCheck.") from refuse
        return real(name, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(connection, "connect", connect)
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: FRIDAY)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = AppDesk(Place(path))
        found.description()
    yield found
    found.close()


@pytest.mark.filterwarnings("ignore:The log")
def test_the_app_says_at_its_start_that_nothing_can_be_saved(desk: AppDesk) -> None:
    keys = Keys(desk, width=200)  # type: ignore[arg-type] - the real one
    assert keys.row(3).startswith("   stop The log ")
    assert "can't be written: it is read as it stands, and nothing can be saved." in " ".join(keys.screen())
    assert "15.0" in " ".join(keys.screen())
    keys.session.begin()
    assert "nothing can be saved" in " ".join(keys.screen()), "still there once all is loaded"


@pytest.mark.filterwarnings("ignore:The log")
def test_a_line_typed_all_the_same_is_refused_and_stays(desk: AppDesk) -> None:
    keys = Keys(desk, width=200)  # type: ignore[arg-type] - the real one
    keys.press("escape").write("17").press("enter")
    assert keys.row(3).startswith("   stop ")
    assert keys.row(2) == "  write 17"
    keys.session.close()


def test_line_by_line_the_half_typed_line_is_offered_and_nothing_breaks(desk: AppDesk) -> None:
    said: list[str] = []
    talk = PlainTalk(desk, say=said.append)
    talk.begin()
    assert any('Kept half typed from last time: "in 16"' in row for row in said)


def test_a_log_that_can_be_written_says_nothing(tmp_path: Path) -> None:
    with Place(tmp_path / "log.db").open(create=True, now=lambda: FRIDAY) as log:
        lines.note(log, "in 15", now=FRIDAY)
    desk = AppDesk(Place(tmp_path / "log.db"))
    assert desk.only_read() == ""
    desk.close()
