"""Rare cases of the log file that no other test met: each is something a disk, a copy or a clock can do."""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from log_lines import START, rooms, said
from test_past_formats import built

from logbook.errors import LogFileError, TableError
from logbook.records import Cabin, Description, Stove
from logbook.setting import setting_of
from logbook.store import copies, reading
from logbook.store import salvage as salvaging
from logbook.store.connection import connect_for_looking, explained, keep_as_it_was
from logbook.store.copies import restore
from logbook.store.dated_copies import copy_by_itself
from logbook.store.digest import fill
from logbook.store.gone import kept_beside
from logbook.store.importing import import_table
from logbook.store.log import Log, open_log
from logbook.store.reading import TRIES, in_memory
from logbook.store.salvage import salvage
from logbook.store.settling import unsettled_in
from logbook.store.soundness import Soundness, check

SETTING = setting_of(Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0)))


# What SQLite says, in an owner's words


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("SQLITE_BUSY_SNAPSHOT", "another window"),
        ("SQLITE_CORRUPT_VTAB", "damaged"),
        ("SQLITE_FULL", "disk is full"),
        ("SQLITE_READONLY_DBMOVED", "for writing"),
        ("SQLITE_IOERR_WRITE", "disk failed"),
    ],
)
def test_each_trouble_with_the_file_says_what_to_do(code: str, says: str, tmp_path: Path) -> None:
    trouble = sqlite3.OperationalError("in SQLite's words")
    trouble.sqlite_errorname = code
    with pytest.raises(LogFileError, match=says) as told, explained(tmp_path / "cabin.db"):
        raise trouble
    first, *rest = str(told.value).splitlines()
    assert "cabin.db" in first
    assert rest[0].startswith(("Try", "Copy", "Free", "Check", "Look")), "the second line is what to do"
    assert "in SQLite's words" in rest[-1]


def test_a_bug_is_not_taken_for_trouble_with_the_file(tmp_path: Path) -> None:
    with (
        closing(sqlite3.connect(":memory:")) as db,
        pytest.raises(sqlite3.OperationalError),
        explained(tmp_path / "cabin.db"),
    ):
        db.execute("SELEC 1")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_no_log(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "cabin.db")
    with pytest.raises(LogFileError, match="a device or a pipe"):
        open_log(tmp_path / "cabin.db")


# A log of an older format


def test_the_copy_of_an_older_format_is_made_once(tmp_path: Path) -> None:
    path = built(tmp_path / "cabin.db", 1)
    with closing(sqlite3.connect(path)) as db:
        kept = keep_as_it_was(db, path, version=1)
        content = kept.read_bytes()
        db.execute("PRAGMA user_version = 2")
        assert keep_as_it_was(db, path, version=1) == kept
    assert kept.read_bytes() == content, "not written over by what came after"


def test_an_older_format_has_nothing_unsettled_to_tell(tmp_path: Path) -> None:
    path = built(tmp_path / "cabin.db", 1)
    before = path.read_bytes()
    assert unsettled_in(path) == 0
    assert path.read_bytes() == before


# Read while another program writes


def written_meanwhile(path: Path, times: int, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Another program writes while the log is copied, so many times; returns the count of copies begun."""
    begun = [0]
    copyfile = reading.shutil.copyfile

    def slow(source: Path, target: Path) -> None:
        copyfile(source, target)
        if Path(source) == path:
            begun[0] += 1
            if begun[0] <= times:
                os.utime(path, ns=(begun[0], begun[0]))

    monkeypatch.setattr(reading.shutil, "copyfile", slow)
    return begun


def read_only(path: Path) -> sqlite3.Connection:
    refused = LogFileError("It can't be written.\nLook at the disk.")
    refused.__cause__ = OSError(errno.EROFS, "Read-only file system")
    return in_memory(path, connect_for_looking, refused=refused)


def test_a_log_on_a_read_only_disk_is_read_as_it_was_at_one_moment(
    opened: Callable[..., Log], monkeypatch: pytest.MonkeyPatch
) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    begun = written_meanwhile(log.path, 1, monkeypatch)
    with closing(read_only(log.path)) as db:
        assert db.execute("SELECT indoor_c FROM entry").fetchall() == [(15.0,)]
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            db.execute("DELETE FROM entry")
    assert begun == [2], "the copy that another's writing fell into was made again"


def test_a_log_that_is_never_still_is_refused_not_read_half(
    opened: Callable[..., Log], monkeypatch: pytest.MonkeyPatch
) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    begun = written_meanwhile(log.path, TRIES, monkeypatch)
    with pytest.raises(LogFileError, match="can't be written"):
        read_only(log.path)
    assert begun == [TRIES]


# Copies


def test_the_copy_just_made_stays_though_its_date_is_the_oldest(log: Log, tmp_path: Path) -> None:
    """A clock that fell back by a month dates the copy among those that go; it is still the newest."""
    for day in range(30):
        log.add([said(day, indoor_c=15.0)])
        copy_by_itself(log, tmp_path / "copies", now=START + timedelta(days=day))
    log.add([said(31, indoor_c=5.0)])
    made = copy_by_itself(log, tmp_path / "copies", now=START + timedelta(days=2, hours=1))
    assert made is not None
    with open_log(made, create=False) as copy:
        assert rooms(copy)[-1] == 5.0


def test_a_disk_that_fails_while_restoring_leaves_the_log_in_its_place(
    opened: Callable[..., Log], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    made = copies.back_up(log, tmp_path / "copies", now=START)
    log.add([said(1, indoor_c=16.0)])

    def no_room(*_: object, **__: object) -> None:
        raise LogFileError("No room.\nMake some.") from OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(copies, "copied", no_room)
    with pytest.raises(LogFileError, match="No room"):
        restore(log.path, made, now=START)
    assert rooms(log) == [15.0, 16.0]
    assert sorted(p.name for p in tmp_path.glob("*.db")) == ["cabin.db"]


def test_a_second_log_that_went_is_kept_beside_the_first(opened: Callable[..., Log], tmp_path: Path) -> None:
    (tmp_path / "cabin as it was.db").write_bytes(b"kept earlier")
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    assert kept_beside(log.connection, log.path) == tmp_path / "cabin as it was (2).db"
    assert (tmp_path / "cabin as it was.db").read_bytes() == b"kept earlier"


def test_a_log_that_went_and_was_only_read_leaves_nothing(opened: Callable[..., Log], tmp_path: Path) -> None:
    opened().close()
    log = opened()
    log.path.unlink(missing_ok=True)
    log.close()
    assert list(tmp_path.glob("*as it was*")) == []


# Soundness


def test_an_event_in_words_this_program_cannot_read_is_told_though_its_digest_fits(log: Log) -> None:
    """Another program may reckon digests too."""
    (event,) = log.add([said(0, indoor_c=15.0)])
    log.connection.execute("PRAGMA ignore_check_constraints = ON")
    log.connection.execute("UPDATE entry SET \"window\" = 'ajar'")
    log.connection.execute("UPDATE event SET digest = NULL")
    fill(log.connection)
    problems = check(log.path).problems
    assert any(event.uuid in problem and "cannot be read" in problem for problem in problems), problems


def test_what_a_log_never_keeps_for_itself_is_told(log: Log) -> None:
    log.connection.execute("INSERT INTO info VALUES ('mood', 'fine')")
    (problem,) = check(log.path).problems
    assert "'mood', which this program never writes" in problem


# Salvage


@pytest.fixture
def changed_twice(opened: Callable[..., Log]) -> Log:
    log = opened()
    (first,) = log.add([said(0, indoor_c=15.0)])
    (second,) = log.edit(first.uuid, said(0, indoor_c=16.0))
    log.edit(second.uuid, said(0, indoor_c=17.0))
    return log


def test_an_edit_whose_predecessor_is_lost_follows_the_first(changed_twice: Log, tmp_path: Path) -> None:
    path = changed_twice.path
    changed_twice.close()
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("DELETE FROM entry WHERE event = 2")
        db.execute("DELETE FROM event WHERE id = 2")
        db.execute("VACUUM")
    told = salvage(path, tmp_path / "new.db")
    assert (told.saved, told.mended, told.gone) == (2, 1, 1)
    with open_log(tmp_path / "new.db", create=False) as new:
        assert rooms(new) == [17.0]


@pytest.mark.parametrize("spoilt", [slice(0, 100), None])
def test_what_still_lies_beside_a_spoilt_log_is_saved_too(
    changed_twice: Log, tmp_path: Path, spoilt: slice | None
) -> None:
    """The file's own head is gone, or what lies beside it has a head that is not as it was written."""
    path, lost = changed_twice.path, tmp_path / "lost.db"
    content, beside = bytearray(path.read_bytes()), bytearray(Path(f"{path}-wal").read_bytes())
    assert len(beside) > 4096
    if spoilt is None:
        beside[24] ^= 1  # its checksum; the file held no event yet, and all was given up for lost
    else:
        content[spoilt] = bytes(100)
    lost.write_bytes(content)
    Path(f"{lost}-wal").write_bytes(beside)
    assert salvage(lost, tmp_path / "new.db").saved == 3
    with open_log(tmp_path / "new.db", create=False) as new:
        assert rooms(new) == [17.0]


def test_a_salvaged_log_that_is_not_sound_is_not_handed_over(
    changed_twice: Log, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    unsound = Soundness(events=0, entries=0, descriptions=0, problems=("a row is odd",))
    monkeypatch.setattr(salvaging, "check", lambda path: unsound)
    with pytest.raises(LogFileError, match="no sound log: a row is odd"):
        salvage(changed_twice.path, tmp_path / "new.db")
    assert list(tmp_path.glob("new*")) == []


# Tables


def test_a_quote_left_open_costs_one_row_not_the_rest_of_the_table(log: Log) -> None:
    prose = "".join(f"and so on {n}\n" for n in range(60))
    text = f'at,indoor_c,note\n2026-01-16 08:00,15,"never closed\n{prose}2026-01-16 09:00,16,\n'
    report = import_table(log, text.encode(), setting=SETTING, now=START)
    assert rooms(log) == [16.0]
    assert report.refused, "the row that could not be read is named"


def test_many_refusals_are_counted_not_listed(log: Log) -> None:
    rows = "".join(f"2026-01-16 08:{n:02d},warm\n" for n in range(40))
    with pytest.raises(TableError, match=r"and \d+ more"):
        import_table(log, f"at,indoor_c\n{rows}".encode(), setting=SETTING, now=START)
    assert log.events() == ()
