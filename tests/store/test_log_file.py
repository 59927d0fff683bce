"""The file itself: what it is made of, what is refused unharmed, what survives."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from log_lines import rooms, said

from logbook.errors import LogFileError
from logbook.store import additions, conflicts, connection, long_matters, queries, schema
from logbook.store.connection import copied
from logbook.store.copies import check
from logbook.store.log import Log, open_log
from logbook.store.merging import merge


def pragma(log: Log, name: str) -> object:
    return log.connection.execute(f"PRAGMA {name}").fetchone()[0]


def test_every_table_is_strict(log: Log) -> None:
    tables = log.connection.execute(
        "SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND type = 'table'"
        " AND name NOT LIKE 'sqlite_%'"
    ).fetchall()
    assert {"event", "entry", "typed", "description", "setting"} <= {name for name, _ in tables}
    assert [name for name, strict in tables if not strict] == []


def test_a_strict_table_refuses_text_for_a_number(log: Log) -> None:
    log.add([said(0, indoor_c=15.0)])
    with pytest.raises(sqlite3.IntegrityError, match="REAL"):
        log.connection.execute("UPDATE entry SET indoor_c = 'warm'")


def test_each_line_is_on_the_disk_when_it_returns(log: Log) -> None:
    # sqlite.org, "PRAGMA synchronous" (from memory): FULL in WAL mode syncs after each transaction.
    assert pragma(log, "journal_mode") == "wal"
    assert pragma(log, "synchronous") == 2
    assert pragma(log, "foreign_keys") == 1


def test_a_line_is_one_transaction(log: Log) -> None:
    # One fsync per Enter, also when the line holds several entries and teaches a setting.
    statements: list[str] = []
    log.connection.set_trace_callback(statements.append)
    log.add([said(0, indoor_c=15.0), said(0, indoor_c=3.0, place="loft")], learned=[("a", "b")])
    log.connection.set_trace_callback(None)
    assert [text for text in statements if text.startswith(("BEGIN", "COMMIT"))] == [
        "BEGIN IMMEDIATE",
        "COMMIT",
    ]


def test_foreign_keys_hold(log: Log) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        log.connection.execute("INSERT INTO typed VALUES (99, 0, 'a', 'b', 'c')")


def test_the_file_says_what_it_is_and_what_was_done_to_it(log: Log) -> None:
    assert pragma(log, "application_id") == schema.APPLICATION_ID
    assert pragma(log, "user_version") == schema.SCHEMA_VERSION
    done = log.connection.execute("SELECT name FROM _sqlite_migrations ORDER BY id").fetchall()
    assert [name for (name,) in done] == [name for name, _ in schema.MIGRATIONS]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"at,indoor_c\n2026-01-16T20:00,15\n", "not one of this program's logs"),
        (b"\x00" * 4096, "not one of this program's logs"),
        (b"SQLite format 3\x00" + b"\x07" * 5000, "damaged"),
    ],
    ids=["a table", "zeros", "only the head of a database"],
)
def test_a_file_that_is_no_log_is_refused_unchanged(tmp_path: Path, content: bytes, says: str) -> None:
    path = tmp_path / "other.db"
    path.write_bytes(content)
    with pytest.raises(LogFileError, match=says) as refused:
        open_log(path)
    assert path.read_bytes() == content
    assert refused.value.exit_code == 3
    assert "\n" in str(refused.value), "the second line says what to do"


def test_another_programs_database_is_refused_unchanged(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE songs (name TEXT)")
    before = path.read_bytes()
    with pytest.raises(LogFileError, match="not one of this program's logs"):
        open_log(path)
    assert path.read_bytes() == before


def test_a_log_from_a_newer_version_is_refused_unchanged(opened: Callable[..., Log]) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    log.connection.execute(f"PRAGMA user_version = {schema.SCHEMA_VERSION + 1}")
    log.close()
    before = log.path.read_bytes()
    with pytest.raises(LogFileError, match="newer version"):
        open_log(log.path)
    assert log.path.read_bytes() == before


def test_a_folder_and_a_missing_file_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(LogFileError, match="is a folder"):
        open_log(tmp_path)
    with pytest.raises(LogFileError, match="no log at"):
        open_log(tmp_path / "none.db", create=False)
    assert not (tmp_path / "none.db").exists()


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(LogFileError, match="could not be opened"):
        open_log(tmp_path / "file" / "cabin.db")


def test_an_empty_file_becomes_a_log(tmp_path: Path) -> None:
    # A power cut right after the file was made leaves this; so does a name taken beforehand.
    (tmp_path / "cabin.db").touch()
    with open_log(tmp_path / "cabin.db") as log:
        log.add([said(0, indoor_c=15.0)])
        assert rooms(log) == [15.0]


def test_an_old_sqlite_is_refused_with_its_version() -> None:
    # Strict tables came with SQLite 3.37 (design).
    with pytest.raises(LogFileError, match=r"3\.36\.0.*3\.37"):
        schema.check_sqlite((3, 36, 0))
    schema.check_sqlite((3, 37, 0))


NEXT = ("stove_pipe", ("CREATE TABLE pipe (id INTEGER PRIMARY KEY) STRICT",))
BROKEN = ("broken", ("CREATE TABLE half (id INTEGER PRIMARY KEY) STRICT", "CREATE TABLE event (id)"))


def test_migrations_run_in_order_once_and_are_recorded(log: Log) -> None:
    log.add([said(0, indoor_c=15.0)])
    for _ in range(2):
        schema.migrate(log.connection, migrations=(*schema.MIGRATIONS, NEXT))
    done = log.connection.execute("SELECT name FROM _sqlite_migrations ORDER BY id").fetchall()
    assert [name for (name,) in done] == [*(name for name, _ in schema.MIGRATIONS), "stove_pipe"]
    assert pragma(log, "user_version") == schema.SCHEMA_VERSION + 1
    assert rooms(log) == [15.0]


def test_a_migration_that_fails_leaves_the_log_as_it_was(log: Log) -> None:
    # All pending ones are one transaction: the good one before the broken one goes back too.
    log.add([said(0, indoor_c=15.0)])
    before = log.connection.execute("SELECT name FROM sqlite_schema ORDER BY name").fetchall()
    with pytest.raises(sqlite3.OperationalError):
        schema.migrate(log.connection, migrations=(*schema.MIGRATIONS, NEXT, BROKEN))
    assert log.connection.execute("SELECT name FROM sqlite_schema ORDER BY name").fetchall() == before
    assert pragma(log, "user_version") == schema.SCHEMA_VERSION
    assert rooms(log) == [15.0]


def older(path: Path, version: int) -> Path:
    """A log of a past format, with an entry in it, as that version of the program left it."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = WAL")
        schema.migrate(db, migrations=schema.MIGRATIONS[:version])
        db.executescript(
            "INSERT INTO device VALUES (1, 'a-device'); INSERT INTO batch VALUES (1, 'a-batch');"
            "INSERT INTO event (id, uuid, device, counter, batch, act, at_typed, zone, written_at, how, line)"
            " VALUES (1, 'an-event', 1, 1, 1, 'record', '', 'UTC',"
            " '2026-01-16T18:00:00.000000Z', 'typed', '15');"
            "INSERT INTO entry (event, at, place, indoor_c, kindling, fire_out, alarms_tested, flags)"
            " VALUES (1, '2026-01-16T18:00:00.000000Z', '', 15.0, 0, 0, 0, '');"
        )
    return path


@pytest.mark.parametrize("version", range(1, schema.SCHEMA_VERSION + 1))
def test_a_log_of_every_past_format_opens_with_what_it_held(tmp_path: Path, version: int) -> None:
    with open_log(older(tmp_path / "cabin.db", version)) as log:
        assert rooms(log) == [15.0]
        assert pragma(log, "user_version") == schema.SCHEMA_VERSION
        log.add([said(1, indoor_c=16.0)])
        assert rooms(log) == [15.0, 16.0]


def test_before_its_format_changes_the_log_is_kept_beside_as_it_was(tmp_path: Path) -> None:
    path = older(tmp_path / "cabin.db", 1)
    with open_log(path):
        pass
    kept = tmp_path / "cabin format 1.db"
    with closing(sqlite3.connect(kept)) as db:
        assert db.execute("PRAGMA user_version").fetchone() == (1,)
        assert db.execute("SELECT indoor_c FROM entry").fetchall() == [(15.0,)]
    with open_log(path) as log:  # a current log is not copied again
        log.add([said(1, indoor_c=16.0)])
    assert sorted(p.name for p in tmp_path.glob("*.db*")) == ["cabin format 1.db", "cabin.db"]


def test_a_new_log_has_nothing_to_be_kept(tmp_path: Path) -> None:
    with open_log(tmp_path / "new.db"):
        pass
    assert [p.name for p in tmp_path.glob("*format*")] == []


def test_a_second_window_waits_then_says_so(
    opened: Callable[..., Log], monkeypatch: pytest.MonkeyPatch
) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    with closing(connection.connect(log.path, create=False, wait_s=0.05)) as other:
        log.connection.execute("BEGIN IMMEDIATE")
        with (
            pytest.raises(LogFileError, match="another window") as refused,
            connection.transaction(other, log.path),
        ):
            pass
        log.connection.execute("ROLLBACK")
        with connection.transaction(other, log.path):
            pass  # free again
    assert "Nothing was saved" in str(refused.value)


def test_two_windows_see_each_others_lines_at_once(opened: Callable[..., Log]) -> None:
    one, two = opened(), opened()
    one.add([said(0, indoor_c=15.0)])
    two.add([said(1, indoor_c=16.0)])
    assert rooms(one) == rooms(two) == [15.0, 16.0]
    assert [event.counter for event in one.events()] == [1, 2]


def test_a_full_disk_is_said_and_loses_nothing(log: Log) -> None:
    log.add([said(0, indoor_c=15.0)])
    pages = pragma(log, "page_count")
    log.connection.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(LogFileError, match="disk is full"):
        log.add([said(1, note="x" * 50_000)])
    assert rooms(log) == [15.0]


def test_a_damaged_page_is_said(opened: Callable[..., Log]) -> None:
    log = opened()
    log.add([said(hour, indoor_c=15.0, note="y" * 200) for hour in range(200)])
    log.close()
    content = bytearray(log.path.read_bytes())
    for page in range(8, len(content) // 4096):
        content[page * 4096 : page * 4096 + 200] = b"\xff" * 200
    log.path.write_bytes(content)
    with pytest.raises(LogFileError, match="damaged"), open_log(log.path) as again:
        again.entries()


WRITER = """
import sys
from datetime import UTC, datetime, timedelta
from logbook.records import Entry, NewEvent
from logbook.store.log import open_log
log = open_log(sys.argv[1])
start = datetime(2026, 1, 16, 20, 0, tzinfo=UTC)
for number in range(100_000):
    log.add([NewEvent(entry=Entry(at=start + timedelta(minutes=number), indoor_c=float(number)), line="in")])
    print(number, flush=True)
"""


@pytest.mark.parametrize("lines", [1, 40])
def test_a_killed_program_loses_no_acknowledged_line(tmp_path: Path, lines: int) -> None:
    # SIGKILL in the middle of writing: what was said to be saved is there, whole, and nothing is torn.
    path = tmp_path / "cabin.db"
    open_log(path).close()
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True
    ) as writer:
        assert writer.stdout is not None
        for _ in range(lines):
            writer.stdout.readline()
        time.sleep(0.01)  # not at a tidy moment
        os.kill(writer.pid, signal.SIGKILL)
        said_saved = lines + len(writer.stdout.read().splitlines())
    assert check(path).sound
    with open_log(path) as log:
        kept = rooms(log)
        assert kept[:said_saved] == [float(number) for number in range(said_saved)]
        assert len(kept) <= said_saved + 1, "at most the one that was being written when it was killed"
        log.add([said(0, indoor_c=1.0)])


HOT_PATH = """
import sys
from datetime import UTC, datetime
from logbook.records import Entry, NewEvent
from logbook.store.log import open_log
with open_log(sys.argv[1]) as log:
    log.add([NewEvent(entry=Entry(at=datetime(2026, 1, 16, tzinfo=UTC), indoor_c=1.0), line="in 1")])
    log.latest(20), log.entries(), log.descriptions(), log.undo()
print(*[name for name in ("pandas", "numpy", "sqlite_utils", "textual", "plotext") if name in sys.modules])
"""


def test_writing_a_line_loads_nothing_heavy(tmp_path: Path) -> None:
    # pandas and sqlite_utils take 200 ms each: not between an owner's key and the disk.
    path = tmp_path / "cabin.db"
    open_log(path).close()
    run = subprocess.run(
        [sys.executable, "-c", HOT_PATH, str(path)], capture_output=True, text=True, check=True
    )
    assert run.stdout.split() == []


@pytest.mark.parametrize(
    ("question", "index"),
    [
        (queries.EVENTS_HOLDING + queries.NEWEST_FIRST, "entry_at"),
        (queries.EVENTS_HOLDING + queries.BY_PEOPLE + queries.NEWEST_FIRST, "entry_at_by_people"),
        (queries.FEW_EVENTS_HOLDING + queries.BY_PEOPLE + queries.NEWEST_FIRST, "entry_at_by_people"),
        (queries.FEW_TIMES_HOLDING + queries.NEWEST_FIRST, "entry_at"),
        (queries.ENTRIES_HOLDING + " AND n.at >= ?" + queries.IN_WRITTEN_ORDER, "entry_at"),
        (queries.EVER_SAID.replace("AND ?", "AND '9'"), "entry_at"),
        (queries.LAST_STANDING, "event_counter"),
        (queries.LAST_TAKEN_BACK, "event_target"),
        ("SELECT batch FROM undone WHERE '' <> ?", "event_target"),
    ],
    ids=["newest", "newest by people", "few", "newest time", "since", "ever said", "undo", "redo", "gone"],
)
def test_a_long_log_is_never_read_whole_for_a_short_answer(log: Log, question: str, index: str) -> None:
    # With 320,000 entries the newest 20 took 1.1 s when SQLite began at the wrong table, 1 ms so.
    # Only looking things up by an index keeps that; timing it would depend on the machine.
    log.add([said(hour, indoor_c=15.0) for hour in range(50)])
    plan = [row[3] for row in log.connection.execute("EXPLAIN QUERY PLAN " + question, ["1"])]
    steps = [step for step in plan if step.startswith(("SCAN", "SEARCH"))]
    assert index in steps[0], plan
    assert not any(
        step.startswith(("SCAN e", "SCAN r", "SCAN later")) and "INDEX" not in step for step in steps
    ), plan


@pytest.mark.parametrize(
    "question",
    [
        conflicts._TAKEN_BACK_NEAR,
        conflicts._CHANGED_OF,
        conflicts._VERSIONS,
        additions._ADDED,
        long_matters._ADDED,
    ],
    ids=["other undos", "changed", "versions", "added", "matters added"],
)
def test_what_an_act_asks_of_the_log_reads_no_table_whole(log: Log, question: str) -> None:
    """An undo on thirty years of log took 2.7 s: SQLite went through every event to have them in order."""
    log.add([said(hour, indoor_c=15.0) for hour in range(50)])
    values = ['["1"]'] * question.count("?")
    plan = [row[3] for row in log.connection.execute("EXPLAIN QUERY PLAN " + question, values)]
    whole = [
        step for step in plan if step.startswith("SCAN") and step.split()[1] in ("e", "u", "n", "c", "r")
    ]
    assert not whole, plan


@pytest.mark.skipif(sys.platform == "win32", reason="no file there may have a colon in its name")
@pytest.mark.parametrize("name", ["file:cabin?mode=memory", "file:cabin.db", ":memory:", "file::memory:"])
def test_a_name_that_reads_like_an_address_is_a_file_like_any_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """SQLite took such a name for a log in memory: what was acknowledged was gone; found by the fuzz."""
    monkeypatch.chdir(tmp_path)
    with open_log(name) as log:
        log.add([said(0, indoor_c=15.0)])
        copied(log.connection, Path(f"{name} copy"))
    assert (tmp_path / name).stat().st_size > 0
    for kept in (name, f"{name} copy"):
        assert check(Path(kept)).sound
        with open_log(kept, create=False) as again:
            assert [e.entry.indoor_c for e in again.events() if e.entry] == [15.0]
    with open_log("other.db") as other:
        assert merge(other, Path(name)) == 1
