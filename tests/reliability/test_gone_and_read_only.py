"""A log that can't be written is read, one taken away is noticed, a refused beginning leaves nothing."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from broken_worlds import deeds, forked

from logbook.cli import main
from logbook.errors import LogFileError
from logbook.records import Entry, NewEvent
from logbook.store.connection import copied, transaction
from logbook.store.copies import back_up, check, restore
from logbook.store.log import Log, open_log
from logbook.store.reading import ReadOnlyWarning
from logbook.store.whole import write_whole

AT = datetime(2026, 1, 16, 20, tzinfo=UTC)


def note(words: str) -> NewEvent:
    return NewEvent(entry=Entry(at=AT, note=words), zone="UTC")


def notes(path: Path) -> list[str | None]:
    with open_log(path, create=False) as log:
        return [entry.note for entry in log.entries()]


@pytest.fixture
def log(tmp_path: Path) -> Log:
    opened = open_log(tmp_path / "cabin.db")
    opened.add([note("first")])
    return opened


# Taken away while it is open


def test_a_deleted_log_takes_no_more_lines_and_what_was_in_it_is_kept(log: Log, tmp_path: Path) -> None:
    log.path.unlink()
    with pytest.raises(LogFileError, match="deleted or moved away") as refused:
        log.add([note("second")])
    kept = tmp_path / "cabin as it was.db"
    assert f'nightload restore "{kept}"' in str(refused.value)
    assert notes(kept) == ["first"]
    log.close()
    assert [p.name for p in tmp_path.glob("*.db")] == [kept.name], "one copy, and no log begun anew"


def test_a_replaced_log_takes_no_more_lines_and_the_new_one_is_not_harmed(log: Log, tmp_path: Path) -> None:
    """Nor by closing the old one: what SQLite keeps beside the new one holds its last lines."""
    with open_log(tmp_path / "other.db") as other:
        other.add([note("other")])
    (tmp_path / "other.db").replace(log.path)
    with pytest.raises(LogFileError, match="replaced by another"):
        log.add([note("second")])
    with closing(open_log(log.path)) as there:
        there.add([note("newer")])
        log.close()
        assert log.path.with_name("cabin.db-wal").exists(), "in use: only its own program may take it away"
        there.add([note("newest")])
    assert notes(log.path) == ["other", "newer", "newest"]
    assert notes(tmp_path / "cabin as it was.db") == ["first"]


def test_a_log_moved_while_open_is_whole_in_its_new_place(log: Log, tmp_path: Path) -> None:
    log.add([note("still beside the file")])
    log.path.rename(tmp_path / "moved.db")
    with pytest.raises(LogFileError, match="moved away"):
        log.add([note("never")])
    assert notes(tmp_path / "moved.db") == ["first", "still beside the file"]


def test_what_was_saved_before_is_kept_even_if_nothing_is_written_after(log: Log, tmp_path: Path) -> None:
    log.path.unlink()
    log.close()
    assert notes(tmp_path / "cabin as it was.db") == ["first"]


def test_a_log_taken_away_in_the_middle_of_a_line(log: Log, tmp_path: Path) -> None:
    with pytest.raises(LogFileError, match="deleted"), transaction(log.connection, log.path) as db:
        db.execute("INSERT INTO batch (uuid) VALUES ('half')")
        log.path.unlink()
    assert notes(tmp_path / "cabin as it was.db") == ["first"]


# Nothing is left of a beginning that was refused


@pytest.mark.parametrize("words", [("note", ""), ("import", "{}/none.csv"), ("merge", "{}/none.db")])
def test_a_refused_first_command_leaves_no_log(tmp_path: Path, words: tuple[str, ...], capsys) -> None:
    path = tmp_path / "cabin.db"
    assert main(["--log", str(path), *(word.replace("{}", str(tmp_path)) for word in words)]) != 0
    assert list(tmp_path.iterdir()) == []


def test_a_preview_leaves_no_log(tmp_path: Path, capsys) -> None:
    table = tmp_path / "rows.csv"
    table.write_text("at,indoor_c\n2026-01-16T20:00,15\n", encoding="utf-8")
    assert main(["--log", str(tmp_path / "cabin.db"), "import", str(table), "--preview"]) == 0
    assert list(tmp_path.iterdir()) == [table]


def test_a_half_typed_line_is_reason_enough_for_a_log(tmp_path: Path) -> None:
    with open_log(tmp_path / "cabin.db") as log:
        log.keep_here("draft", "-11/1")
    with open_log(tmp_path / "cabin.db") as log:
        assert log.kept_here("draft") == "-11/1"


def test_a_log_cut_off_in_its_first_moment_is_called_empty_and_can_be_begun(tmp_path: Path) -> None:
    path = tmp_path / "cabin.db"
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA journal_mode = WAL")
    assert path.stat().st_size > 0
    with pytest.raises(LogFileError, match="is empty: nothing was ever written"):
        open_log(path, create=False)
    with open_log(path) as log:
        log.add([note("first")])
    assert notes(path) == ["first"]


# Read-only


def answered(place: Path, *words: str) -> forked.Done:
    """A command by somebody who may read the folder and not write there."""
    place.chmod(0o555)
    for path in place.iterdir():
        path.chmod(0o555 if path.is_dir() else 0o444)

    def work() -> int:
        if os.geteuid() == 0:
            os.seteuid(65534)  # root may write anywhere
        return main(["--log", str(place / "cabin.db"), *words])

    home = Path(os.environ.get("TMPDIR", "/tmp"))
    try:
        return forked.Child(work, env={**deeds.home(home / "nobody's"), "TMPDIR": "/tmp"}).end()
    finally:
        place.chmod(0o755)
        for path in place.iterdir():
            path.chmod(0o755 if path.is_dir() else 0o644)


CAN_T = "can't be written: it is read as it stands"


@pytest.fixture
def still(world, broken_place: Path) -> Path:
    """A log in a folder of its own, left open by a killed program: its last lines are in the "-wal" only."""
    broken_place.chmod(0o755)
    broken_place.parent.chmod(0o755)
    place = broken_place / "still"
    place.mkdir()
    for name in ("cabin.db", "cabin.db-wal"):
        shutil.copy(world.folder / name, place / name)
    return place


@pytest.mark.parametrize("words", [("events",), ("check",), ("list", "leaving"), ("stays",), ("due",)])
def test_what_only_answers_answers_from_a_log_that_cant_be_written(still: Path, words) -> None:
    """It was refused before: even to read, SQLite writes beside a log."""
    before = {path.name: path.read_bytes() for path in still.iterdir()}
    done = answered(still, *words)
    assert done.code == 0, done.complaint
    if words == ("events",):
        assert "note in the wal" in done.said
    assert done.complaint.count(CAN_T) == (0 if words == ("check",) else 1), "once"
    assert {path.name: path.read_bytes() for path in still.iterdir()} == before


def test_one_of_an_older_format_too(world, still: Path) -> None:
    for path in still.iterdir():
        path.unlink()
    shutil.copy(world.folder / "old.db", still / "cabin.db")
    done = answered(still, "events")
    assert done.code == 0, done.complaint
    assert done.said.count("\n") == 66
    assert [path.name for path in still.iterdir()] == ["cabin.db"]


def test_what_leaves_it_goes_elsewhere_and_what_would_change_it_is_refused(still: Path, tmp_path) -> None:
    elsewhere = still.parent / "elsewhere"
    elsewhere.mkdir()
    elsewhere.chmod(0o777)
    for words in (("export", str(elsewhere / "out")), ("backup", str(elsewhere / "copies"))):
        done = answered(still, *words)
        assert done.code == 0, done.complaint
    (copy,) = (elsewhere / "copies").glob("*.db")
    assert "in the wal" in notes(copy)
    for words in (("note", "-11/18"), ("undo",), ("restore", str(copy)), ("merge", str(copy))):
        done = answered(still, *words)
        assert done.code == 3, (words, done.said, done.complaint)
        assert "Traceback" not in done.complaint
        assert len(done.complaint.strip().splitlines()) >= 2, "with what to do"


def test_a_restore_onto_what_cant_be_written_is_not_claimed(log: Log, tmp_path: Path, monkeypatch) -> None:
    """A log that is read from memory must never be what a copy is put into."""
    log.close()
    copy = shutil.copy(log.path, tmp_path / "copy.db")
    refuse = sqlite3.OperationalError("attempt to write a readonly database")
    refuse.sqlite_errorname = "SQLITE_READONLY"

    def connect(path: Path, **_: object) -> None:
        raise LogFileError("It could not be opened for writing.\nCheck.") from refuse

    monkeypatch.setattr("logbook.store.copies.connect", connect)
    with pytest.raises(LogFileError, match="could not be opened"):
        restore(log.path, Path(copy), now=AT)


def test_a_log_in_use_is_not_swapped_by_restore(log: Log, tmp_path: Path, monkeypatch) -> None:
    """Once, after waiting for its turn in vain, restore put the copy in the place of a log that was open: its
    window went on writing into the file moved away."""
    copy = tmp_path / "copy.db"
    copied(log.connection, copy)
    log.add([note("second")])
    monkeypatch.setattr("logbook.store.copies.connect", lambda path, **_: busy(path))
    inode = log.path.stat().st_ino
    with pytest.raises(LogFileError, match="another window"):
        restore(log.path, copy, now=AT)
    assert log.path.stat().st_ino == inode
    log.add([note("third")])
    assert notes(log.path) == ["first", "second", "third"]


def busy(path: Path) -> None:
    cause = sqlite3.OperationalError("database is locked")
    cause.sqlite_errorname = "SQLITE_BUSY"
    raise LogFileError(f"The log {path} is being written in another window.\nTry again.") from cause


def test_reading_says_so_by_a_warning_and_writing_is_refused(still: Path, monkeypatch) -> None:
    def refused(path: Path, **_: object) -> sqlite3.Connection:
        if path == still / "cabin.db":
            cause = sqlite3.OperationalError("unable to open database file")
            cause.sqlite_errorname = "SQLITE_CANTOPEN"
            raise LogFileError("It could not be opened for writing.\nCheck.") from cause
        return real(path, create=False)

    from logbook.store import connection  # noqa: PLC0415

    real = connection.connect
    monkeypatch.setattr(connection, "connect", refused)
    with pytest.warns(ReadOnlyWarning, match=CAN_T):
        log = open_log(still / "cabin.db")
    with log:
        assert "in the wal" in {entry.note for entry in log.entries()}
        with pytest.raises(LogFileError, match="could not be opened for writing"):
            log.add([note("never")])


# Whole or not at all


def test_a_page_that_can_t_be_written_leaves_the_old_one(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "sheet.html"
    write_whole(path, "old")
    monkeypatch.setattr(os, "fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    with pytest.raises(OSError, match="No space"):
        write_whole(path, "new")
    assert [p.name for p in tmp_path.iterdir()] == ["sheet.html"]
    assert path.read_text(encoding="utf-8") == "old"


def test_a_copy_has_no_name_before_it_is_whole(log: Log, tmp_path: Path) -> None:
    """Half a backup once had the name of a whole one."""

    class Failing:
        def backup(self, target: sqlite3.Connection) -> None:
            target.execute("CREATE TABLE half (id)")
            assert not (tmp_path / "copy.db").exists()
            raise sqlite3.OperationalError("disk I/O error")

    with pytest.raises(sqlite3.OperationalError):
        copied(Failing(), tmp_path / "copy.db")  # type: ignore[arg-type]
    assert [p.name for p in tmp_path.iterdir() if "copy" in p.name] == []
    copied(log.connection, tmp_path / "copy.db")
    assert check(tmp_path / "copy.db").sound


def test_copies_cut_short_are_taken_away_a_day_later(log: Log, tmp_path: Path) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    today, older = folder / "cabin 2026-01-16 1900.db.17.part", folder / "cabin 2026-01-14 1900.db.4.part"
    others = folder / "holiday.part"
    for path, age in ((today, timedelta(hours=1)), (older, timedelta(days=2)), (others, timedelta(days=9))):
        path.write_bytes(b"half")
        os.utime(path, times=((AT - age).timestamp(),) * 2)
    made = back_up(log, folder, now=AT)
    assert sorted(folder.iterdir()) == sorted([today, others, made])
