"""A log that can't be written, opened in the app: it says so first, and shows what is there."""

from __future__ import annotations

import sqlite3
import warnings
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

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
    assert keys.row(3).startswith("   stop The log")
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


DAMAGES = {"overwritten": b"garbage" * 600, "zeroed": bytes(8192), "cut": b""}


@pytest.mark.parametrize("how", DAMAGES)
def test_a_file_damaged_while_the_app_is_open_is_told_and_nothing_else_stops(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    """The question whether another window wrote ended the app, with a half-typed line and the way to help."""
    path = tmp_path / "log.db"
    with Place(path).open(create=True, now=lambda: FRIDAY) as log:
        log.add_description(parse_description(DESCRIPTION, machine_zone="UTC"))
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: FRIDAY)
    desk = AppDesk(Place(path))
    keys = Keys(desk)  # type: ignore[arg-type] - the real one
    keys.write(" in 15").press("enter")
    with path.open("r+b") as file:
        file.write(DAMAGES[how])
        file.truncate(4096 if how == "cut" else path.stat().st_size)
    desk._log().connection.execute("PRAGMA shrink_memory")  # else it goes by what it has read before
    keys.session.tick()
    keys.press("n", "escape", "t", "escape", "down", "u").write(" in 16").press("enter")
    assert keys.row(2) == "  write in 16"
    assert keys.row(3).startswith("   stop The ")
    keys.press("f1")
    assert "EMERGENCY" in keys.row(0)
    keys.session.close()
    desk.close()


@pytest.fixture
def short() -> Iterator[Path]:
    """A folder whose name is no longer than a person's."""
    with TemporaryDirectory(prefix="nightload-") as folder:
        yield Path(folder)


def test_a_log_replaced_by_what_is_none_is_told_and_nothing_else_stops(
    short: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether another window writes was asked of a file that can't be opened, and the app ended."""
    path = short / "log.db"
    with Place(path).open(create=True, now=lambda: FRIDAY) as log:
        log.add_description(parse_description(DESCRIPTION, machine_zone="UTC"))
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: FRIDAY)
    desk = AppDesk(Place(path))
    keys = Keys(desk)  # type: ignore[arg-type] - the real one
    for file in path.parent.glob("log.db*"):
        file.unlink()
    keys.write(" in 15").press("enter")
    said = " ".join(keys.row(n)[8:] for n in (3, 4, 5))
    assert f'nightload restore "{path.with_name("log as it was.db")}", then enter it again.' in said, "whole"
    path.write_bytes(b"no log at all" * 400)
    for key in ("escape", "n", "u", "9", "enter"):
        keys.at += 1.0
        keys.session.turns.press(key, key if len(key) == 1 else None, keys.at)
    keys.session.keep_draft()
    assert keys.row(2) == "  write 9"
    assert keys.row(3).startswith("   stop ")
    keys.session.close()
    desk.close()
