"""What is loaded when ``nightload`` without words shows its first frame, by the way the command takes."""

from __future__ import annotations

import os
import subprocess
import sys
from ast import literal_eval
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from logbook.actions.desk import desk_for
from logbook.demo import demo_description, demo_entries, demo_now, write_demo
from logbook.matters import Upkeep
from logbook.records import Alarms, Entry, NewEvent
from logbook.store.log import open_log
from logbook.ui.session import Session

LATER = (
    "numpy", "pandas", "scipy", "sqlite_utils", "plotext", "argparse", "msgspec", "zipfile",
    "logbook.heat.fit", "logbook.heat.notebook", "logbook.results.night", "logbook.results.app",
    "logbook.results.ash", "logbook.results.works", "logbook.matters", "logbook.house", "logbook.care.ash",
    "logbook.care.alarms", "logbook.entry", "logbook.actions.lines", "logbook.actions.typed_lines",
    "logbook.actions.own_measures", "logbook.actions.blanks", "logbook.store.pen", "logbook.store.sides",
    "logbook.actions.reckoning", "logbook.actions.tonight", "logbook.actions.first_evening",
    "logbook.ui.pages.tonight", "logbook.ui.pages.nights", "logbook.ui.pages.cabin", "logbook.ui.pages.help",
)  # fmt: skip
"""What was measured to cost 3 to 300 ms and is not needed to show Now and take a line."""

OPEN = """
import asyncio, gc, sys
import logbook.cli as cli
from textual.app import App

async def looked(app):
    async with app.run_test() as pilot:
        while not app._slow._thread:
            await pilot.pause(0.01)

def frame(app):
    begin, seen = app._begin, []
    def first():
        seen.append(([name for name in {later!r} if name in sys.modules], gc.isenabled()))
        begin()
        seen.append((gc.isenabled(), gc.get_freeze_count() > 0, "logbook.entry.line" in sys.modules))
    app._begin = first
    asyncio.run(looked(app))
    print(seen)

App.run = frame
cli._at_a_terminal = lambda: True
sys.exit(cli.main([]))
"""


MATTERS_TOLD = ("msgspec", "logbook.matters", "logbook.results.ash")
"""What a log with matters may load as well: lines that tell one stand on the first page."""


def loaded_early(log: Path, tmp_path: Path) -> list[str]:
    """Which of the late parts are loaded when the first frame stands; collection is off until then, and what
    reads a line is loaded right after, for no key to wait for it."""
    places = {"NIGHTLOAD_LOG": str(log), "XDG_CACHE_HOME": str(tmp_path), "XDG_DATA_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", OPEN.format(later=LATER)],
        capture_output=True, text=True, timeout=60, check=False, env={**os.environ, **places},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    (early, collecting), after = literal_eval(done.stdout.strip())
    assert (collecting, after) == (False, (True, True, True))
    return list(early)


def test_the_command_loads_nothing_heavy_before_its_first_frame(tmp_path: Path) -> None:
    """It once loaded the whole heat model to open the app: 0.2 s, seen by no test of the app alone."""
    path = tmp_path / "nights.db"
    nights = [NewEvent(entry=entry) for entry in demo_entries() if entry.matter is None]
    with open_log(path, now=demo_now) as log:
        log.add_description(demo_description())
        log.add(nights)
    assert loaded_early(path, tmp_path) == []


def test_a_log_with_matters_loads_only_what_they_need(tmp_path: Path) -> None:
    """The demo: lines that tell a matter are listed, and still no model is loaded."""
    path = tmp_path / "demo.db"
    write_demo(path)
    assert set(loaded_early(path, tmp_path)) <= set(MATTERS_TOLD)


def test_what_the_first_frame_goes_without_stands_right_after(tmp_path: Path) -> None:
    """An alarm's date of long ago: all the log's matters are read for it, before anybody could miss it."""
    now = demo_now()
    over = Upkeep(task="co alarm", until=(now - timedelta(days=30)).date())
    path = tmp_path / "old.db"
    with open_log(path, now=demo_now) as log:
        log.add_description(replace(demo_description(), alarms=Alarms()))
        log.add([NewEvent(entry=Entry(at=now - timedelta(days=900), matter=over))])
    with desk_for(str(path), at=now) as desk:
        session = Session(desk)
        assert "CO alarm" not in {one.name for one in session.known.head.pending}
        session.begin()
        assert "CO alarm" in {one.name for one in session.known.head.pending}


def test_the_first_frame_doesnt_call_a_replaced_alarm_old(tmp_path: Path) -> None:
    """The description has the old alarm's date, the log that of the one put up since."""
    now = demo_now()
    described = demo_description()
    described = replace(described, alarms=Alarms(co_expires=(now - timedelta(days=9)).date()))
    path = tmp_path / "old.db"
    with open_log(path, now=demo_now) as log:
        log.add_description(described)
    with desk_for(str(path), at=now) as desk:
        session = Session(desk)
        assert "CO alarm" not in {one.name for one in session.known.head.pending}
        session.begin()
        assert "CO alarm" in {one.name for one in session.known.head.pending}
