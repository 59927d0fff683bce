"""The bench's monkey and terminal, held against small programs whose ends are known."""

from __future__ import annotations

import importlib
import os
import sys
from pathlib import Path

import pytest

SCRIPTS = Path(__file__).resolve().parent.parent / "scripts"

pytestmark = pytest.mark.skipif(os.name == "nt", reason="needs a POSIX terminal")

SHELL_LIKE = r"""
import os, sys, termios, tty
tty.setraw(0, termios.TCSANOW)
os.write(1, b"\x1b[?1049h" + b"x" * 200)
seen = 0
while True:
    got = os.read(0, 100)
    seen += len(got)
    os.write(1, b"got " + got)
    if seen > {after}:
        {end}
    if b"\r" in got:
        os.write(1, b"saved")
"""


@pytest.fixture(scope="module")
def bench():
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module
    finally:
        sys.path.remove(str(SCRIPTS))


def run(bench, end: str, *, after: int, keys: int):
    program = ("-c", SHELL_LIKE.format(after=after, end=end))
    return bench("benching.monkey").Monkey(dict(os.environ), program).run(keys)


def test_a_crash_is_counted_and_what_follows_is_still_tried(bench):
    done = run(bench, "sys.exit(3)", after=100, keys=300)
    assert done.crashes >= 1
    assert done.quits == 0
    assert done.keys >= 300


def test_a_program_killed_by_a_signal_is_a_crash(bench):
    assert run(bench, "os.kill(os.getpid(), 11)", after=100, keys=200).crashes >= 1


def test_closing_by_itself_is_no_crash(bench):
    done = run(bench, "sys.exit(0)", after=100, keys=300)
    assert (done.crashes, done.quits >= 1) == (0, True)


def test_one_that_goes_on_takes_the_line(bench):
    done = run(bench, "pass", after=10_000, keys=100)
    assert (done.crashes, done.quits, done.takes_a_line) == (0, 0, True)


def test_a_first_frame_and_what_was_typed_ahead_are_seen(bench):
    terminal = bench("benching.terminal").started(
        ("-c", SHELL_LIKE.format(after=10_000, end="pass")), dict(os.environ)
    )
    try:
        os.write(terminal.screen, b"-11/18")
        assert 0.0 < terminal.until_s("got -11/18", after_screen=True) < 20.0
        assert terminal.memory_mb("VmHWM") >= terminal.memory_mb() > 1.0
        assert terminal.exit_code() is None
    finally:
        terminal.end()
