"""Two programs on one log: the app open all evening, a line from the shell beside it. Nothing may be lost."""

from __future__ import annotations

import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from logbook.records import Entry, NewEvent
from logbook.store.connection import connect_for_looking
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
