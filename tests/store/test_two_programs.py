"""Two programs on one log: the app open all evening, a line from the shell beside it. Nothing may be lost."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import pytest

from logbook.records import Entry, NewEvent
from logbook.store.connection import BUSY_WAIT_S, connect_for_looking
from logbook.store.log import open_log

LOOK = """
import sys
from pathlib import Path
from logbook.store.log import open_log
with open_log(Path(sys.argv[1]), create=False) as log:
    print(len(log.entries()))
"""
AT = datetime(2026, 1, 16, 20, tzinfo=UTC)


def note(words: str) -> NewEvent:
    return NewEvent(entry=Entry(at=AT, note=words), zone="UTC")


def another_program(path: Path) -> int:
    done = subprocess.run([sys.executable, "-c", LOOK, str(path)], capture_output=True, text=True, check=True)
    return int(done.stdout)


@pytest.mark.parametrize("beside", ["a worker's connection", "a look"])
def test_what_is_written_after_another_program_closed_the_log_is_there(tmp_path: Path, beside: str) -> None:
    """A connection opened beside the first once gave up its locks: the other program took the write-ahead log
    away, and every later line of the open app was lost when it closed."""
    path = tmp_path / "cabin.db"
    with open_log(path) as log:
        log.add([note("first")])
        if beside == "a look":
            connect_for_looking(path).close()
        else:
            open_log(path, create=False).close()
        assert another_program(path) == 1
        assert path.with_name("cabin.db-wal").exists(), "in use here, so it stays"
        log.add([note("second")])
        with open_log(path, create=False) as again:
            assert len(again.entries()) == 2
        assert another_program(path) == 2
    assert another_program(path) == 2, "and when all have closed it is still there"


IMPORT = """
import sys
from pathlib import Path
from logbook.store.log import open_log
from test_two_programs import note
with open_log(Path(sys.argv[1]), create=False) as log, log.writing() as pen:
    for n in range(200):
        pen.record(note(f"row {n}"))
    print("has the log", flush=True)
    sys.stdin.readline()
"""

WAITED = """
import sys
from pathlib import Path
from logbook.store.log import open_log
from test_two_programs import note
with open_log(Path(sys.argv[1]), create=False) as log:
    print("opened", flush=True)
    log.add([note("waited its turn")])
"""


def test_a_line_waits_for_an_import_and_both_are_kept(tmp_path: Path) -> None:
    """An import of 50,000 rows has the log for longer than the 3 s a line once waited, and was refused."""
    path = tmp_path / "cabin.db"
    open_log(path).close()
    start = partial(
        subprocess.Popen, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(Path(__file__).parent), *sys.path])},
    )  # fmt: skip
    with start([sys.executable, "-c", IMPORT, str(path)]) as importing:
        assert importing.stdout is not None and importing.stdin is not None
        assert importing.stdout.readline() == "has the log\n"
        with start([sys.executable, "-c", WAITED, str(path)]) as writing:
            assert writing.stdout is not None
            assert writing.stdout.readline() == "opened\n", "reading needs no turn"
            assert writing.poll() is None
            importing.stdin.write("\n")
            importing.stdin.flush()
            assert writing.wait(timeout=60) == 0
    assert BUSY_WAIT_S >= 60, "longer than any import on an old laptop takes"
    with open_log(path, create=False) as log:
        notes = [entry.note for entry in log.entries()]
    assert notes == [*(f"row {n}" for n in range(200)), "waited its turn"]
