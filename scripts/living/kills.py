"""Power cuts: the app killed in the middle of typing and just after Enter, then opened again."""

from __future__ import annotations

import os
import signal
import sqlite3
import time
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

from living.terminal import NotSeen, Terminal, nightload
from logbook.demo import write_demo
from logbook.store.log import open_log

BY_HAND = 5
"""How often each cut is made."""


def killed_after_enter(folder: Path, env: Mapping[str, str]) -> str:
    """Every line acknowledged on the screen is in the log after kill -9."""
    log = folder / "cut.db"
    write_demo(log)
    told = 0
    for round_ in range(BY_HAND):
        with Terminal(nightload("--log", str(log)), env=env, name=f"cut{round_}") as terminal:
            terminal.wait_for("Numbers write|write ")
            terminal.press("Space")
            terminal.write(f"note cut number {round_}")
            terminal.press("Enter")
            terminal.wait_for(f"saved .*cut number {round_}")
            os.kill(terminal.pid(), signal.SIGKILL)
            told += 1
            time.sleep(0.1)
    with open_log(log, create=False) as kept:
        notes = [e.note for e in kept.entries() if e.note and e.note.startswith("cut number")]
    with closing(sqlite3.connect(log)) as whole:
        sound = whole.execute("PRAGMA integrity_check").fetchone()[0]
    if len(notes) != told or sound != "ok":
        raise NotSeen(f"{told} lines acknowledged, {len(notes)} in the log, file {sound}")
    return f"{told} of {told} acknowledged lines kept, file sound"


def killed_while_typing(folder: Path, env: Mapping[str, str]) -> str:
    """A line half typed at kill -9: nothing of it is an entry; says whether it is offered again."""
    log = folder / "half.db"
    write_demo(log)
    with open_log(log, create=False) as kept:
        before = len(kept.entries())
    with Terminal(nightload("--log", str(log)), env=env, name="half") as terminal:
        terminal.wait_for("Numbers write|write ")
        terminal.write("-11/18 4m")
        terminal.wait_for("write -11/18 4m")
        time.sleep(1.5)
        os.kill(terminal.pid(), signal.SIGKILL)
    with open_log(log, create=False) as kept:
        same_count = len(kept.entries()) == before
    if not same_count:
        raise NotSeen("a half-typed line became an entry")
    with Terminal(nightload("--log", str(log)), env=env, name="again") as terminal:
        shown = terminal.wait_for("write ")
        again = "-11/18 4m" in shown
        return f"no entry of it; the half-typed line is {'offered again' if again else 'gone'}"


def left_while_typing(folder: Path, env: Mapping[str, str]) -> str:
    """A line half typed when the app is closed is offered again."""
    log = folder / "left.db"
    write_demo(log)
    with Terminal(nightload("--log", str(log)), env=env, name="left") as terminal:
        terminal.wait_for("Numbers write|write ")
        terminal.write("-11/18 4m")
        terminal.wait_for("write -11/18 4m")
        terminal.press("C-c")
        time.sleep(1.5)
    with Terminal(nightload("--log", str(log)), env=env, name="back") as terminal:
        terminal.wait_for("write -11/18 4m")
    return "the half-typed line is offered again"
