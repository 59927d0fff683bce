"""The app in a real terminal (tmux): no colour, the Linux console, 60 columns, resizing, a power cut.

What a pilot can't tell: which bytes reach the terminal, and whether a killed process kept what it said.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from logbook.actions.desk import DRAFT
from logbook.demo import write_demo
from logbook.store.log import open_log

SCRIPTS = Path(__file__).resolve().parents[2] / "scripts"
sys.path.insert(0, str(SCRIPTS))
from living.terminal import Terminal, homes, nightload  # noqa: E402 - the scripts' own module

sys.path.remove(str(SCRIPTS))

# A fresh machine needs Python only; these tests need a terminal program that Python can't bring along.
pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")

COLOUR = re.compile(r"\x1b\[[\d;]*\b(?:3[0-7]|38|4[0-7]|48|9[0-7])\b[\d;]*m")
"""Any escape that sets a colour of text or ground (ECMA-48 SGR 30-49, and 90-97)."""

READY = "Numbers write"


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Callable[..., Terminal]]:
    """Opens the app on a copy of the demo; every terminal is closed in the end."""
    log = tmp_path / "demo.db"
    write_demo(log)
    terminals: list[Terminal] = []

    def open_it(*, size: tuple[int, int] = (80, 24), **env: str) -> Terminal:
        terminal = Terminal(
            nightload("--log", str(log)),
            size=size,
            env={**homes(tmp_path / "home", tmp_path / "cache"), **env},
            name=f"test-{len(terminals)}",
        )
        terminals.append(terminal)
        return terminal

    yield open_it
    for terminal in terminals:
        terminal.__exit__()


def entries(tmp_path: Path) -> list[str]:
    with open_log(tmp_path / "demo.db", create=False) as log:
        return [entry.note or "" for entry in log.entries()]


def wait_for_draft(path: Path, text: str, *, within_s: float = 20.0) -> None:
    """Until the half-typed line is in the file: the app lets the keys rest a second before it writes one."""
    until = time.monotonic() + within_s
    while True:
        with open_log(path, create=False) as log:
            if log.kept_here(DRAFT) == text:
                return
        assert time.monotonic() < until, "the half-typed line was never kept"


def test_no_colour_sends_no_colour_and_still_takes_lines(opened):
    terminal = opened(NO_COLOR="1")
    terminal.wait_for(READY)
    terminal.write("-11/18")
    terminal.wait_for("reads .*−11")
    raw = terminal.screen(colours=True)
    assert not COLOUR.findall(raw)
    assert "\x1b[1m" in raw or "\x1b[2m" in raw or "\x1b[0;1m" in raw, "bold or dim tell what colour would"


def test_the_colour_test_sees_a_colour(opened):
    terminal = opened()
    terminal.wait_for(READY)
    assert COLOUR.findall(terminal.screen(colours=True))


def test_the_linux_console_gets_marks_it_has(opened):
    terminal = opened(TERM="linux")
    shown = terminal.wait_for(READY)
    terminal.letter("t")
    shown += terminal.wait_for("Tonight")
    odd = {c for c in shown if ord(c) > 127} - {"°"}
    assert not odd, f"the console font may lack {odd}"


def test_60_columns_take_a_line(opened, tmp_path):
    terminal = opened(size=(60, 20))
    terminal.wait_for(READY)
    terminal.press("Space")
    terminal.write("note narrow window")
    terminal.press("Enter")
    shown = terminal.wait_for("saved .*narrow window")
    assert max(len(row) for row in shown.splitlines()) <= 60
    assert entries(tmp_path)[-1] == "narrow window"


def test_what_is_typed_before_the_app_has_the_terminal_does_what_it_does_later(opened, tmp_path):
    """Until then the terminal makes Enter a line feed: the line stood there unkept."""
    terminal = opened()
    terminal.press("Space")
    terminal.write("note at once")
    terminal.press("Enter")
    terminal.wait_for("saved .*at once")
    assert entries(tmp_path)[-1] == "at once"


def test_smaller_than_a_page_still_records(opened, tmp_path):
    terminal = opened(size=(40, 10))
    terminal.wait_for("write ")
    terminal.press("Space")
    terminal.write("note tiny")
    terminal.press("Enter")
    terminal.wait_for("saved")
    assert entries(tmp_path)[-1] == "tiny"


def test_resizing_keeps_the_page_and_the_line(opened):
    terminal = opened()
    terminal.wait_for(READY)
    terminal.letter("n")
    terminal.wait_for("← Tonight")
    terminal.write("-11/18 4m")
    terminal.wait_for("write -11/18 4m")
    for columns, rows in ((120, 40), (60, 20), (40, 8), (80, 24)):
        terminal.resize(columns, rows)
        shown = terminal.wait_for("write -11/18 4m")
        assert max(len(row) for row in shown.splitlines()) <= columns
    assert "← Tonight" in terminal.wait_for("← Tonight")


def test_what_was_said_to_be_saved_survives_a_power_cut(opened, tmp_path):
    terminal = opened()
    terminal.wait_for(READY)
    terminal.press("Space")
    terminal.write("note before the cut")
    terminal.press("Enter")
    terminal.wait_for("saved .*before the cut")
    os.kill(terminal.pid(), signal.SIGKILL)
    assert entries(tmp_path)[-1] == "before the cut"
    again = opened()
    assert "before the cut" not in again.wait_for("write .*").splitlines()[2], "it is not offered twice"


def test_a_half_typed_line_survives_a_power_cut_and_is_no_entry(opened, tmp_path):
    terminal = opened()
    terminal.wait_for(READY)
    before = len(entries(tmp_path))
    terminal.write("-11/18 4m")
    terminal.wait_for("write -11/18 4m")
    wait_for_draft(tmp_path / "demo.db", "-11/18 4m")
    os.kill(terminal.pid(), signal.SIGKILL)
    assert len(entries(tmp_path)) == before
    opened().wait_for("write -11/18 4m")
