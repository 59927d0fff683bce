"""Files named on the command line that are none: pipes, devices, blank names, other files in the way."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest
from small_cabin import ROWS, cabin

from logbook.actions import files
from logbook.cli import main
from logbook.errors import BadInputError

__all__ = ["cabin"]


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A log with its description and two stays."""
    path = cabin / "log.db"
    assert main(["--log", str(path), "setup", str(cabin / "cabin.toml")]) == 0
    assert main(["--log", str(path), "import", str(cabin / "rows.csv")]) == 0
    capsys.readouterr()
    return path


@pytest.mark.parametrize("command", [["report"], ["sheet", "guest"]])
def test_a_page_is_never_written_over_something_else(log, capsys, command):
    """``report --html log.db`` once replaced a family's log by a page."""
    before = log.read_bytes()
    assert main(["--log", str(log), *command, "--html", str(log)]) == 3
    assert "is no page to print: it is left as it is" in capsys.readouterr().err
    assert log.read_bytes() == before
    assert main(["--log", str(log), "check"]) == 0


def test_a_page_is_written_over_an_older_one_and_into_an_empty_file(log, tmp_path):
    page = tmp_path / "guest.html"
    page.touch()
    for _ in range(2):
        assert main(["--log", str(log), "sheet", "guest", "--html", str(page)]) == 0
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.parametrize(
    "words",
    [["export", ""], ["backup", ""], ["import", ""], ["demo", "--write", ""], ["report", "--html", ""],
     ["tonight", "--outdoor", ""], ["--log", "", "note", "in 5"], ["setup", ""]],
)  # fmt: skip
def test_a_blank_name_is_no_name(log, tmp_path, monkeypatch, capsys, words):
    """A script whose variable is empty once exported into the folder it stood in, or wrote to another log."""
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.rglob("*"))
    named = words if "--log" in words else ["--log", str(log), *words]
    assert main(named) == 2
    assert "is blank" in capsys.readouterr().err
    assert sorted(tmp_path.rglob("*")) == before


def test_a_pipe_with_a_writer_is_read_to_its_end(log, capsys):
    """As a shell makes it: ``nightload import <(zcat rows.csv.gz)``; the rows may come late."""
    reader, writer = os.pipe()

    def write() -> None:
        with os.fdopen(writer, "w") as end:
            end.write(ROWS)

    late = threading.Thread(target=write)
    late.start()
    try:
        assert main(["--log", str(log), "import", f"/dev/fd/{reader}"]) == 0
    finally:
        late.join()
        os.close(reader)
    assert "Nothing new" in capsys.readouterr().out


def test_a_pipe_without_a_writer_and_a_device_are_refused_at_once(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(BadInputError, match="Nobody writes into the pipe"):
        files.read_bytes(pipe)
    for device in ("/dev/zero", "/dev/null"):
        with pytest.raises(BadInputError, match="no file that can be read to its end"):
            files.read_bytes(Path(device))


def test_a_file_larger_than_can_be_read_in_one_go_is_not_read(tmp_path, monkeypatch):
    monkeypatch.setattr(files, "MOST_BYTES", 10)
    named = tmp_path / "t.csv"
    named.write_bytes(b"0123456789")
    assert files.read_bytes(named) == b"0123456789"
    named.write_bytes(b"0123456789a")
    with pytest.raises(BadInputError, match="more than can be read in one go"):
        files.read_bytes(named)


def test_a_table_keeps_its_rows_where_one_counts_pieces_without_end(log, tmp_path, capsys):
    """ "999…M" once weighed without end, which spoilt the whole table as it was written."""
    table = tmp_path / "t.csv"
    table.write_text(
        "at,pieces,indoor_c\n2026-01-16T21:35,"
        + "9" * 190
        + "M,\n2026-01-16T21:36,1e9M,\n2026-01-16T21:37,,20\n"
    )
    assert main(["--log", str(log), "import", str(table)]) == 0
    got = capsys.readouterr()
    assert "Brought in 2 of 3 rows" in got.out, got
    assert "line 2: pieces" in got.err
    assert "a load is taken up to 100 kg" in got.err
