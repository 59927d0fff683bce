"""The demo: the app on a fresh copy of an invented log, or that copy, or its answer for its last evening."""

from __future__ import annotations

import sys
from argparse import Namespace
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.actions.files import remember_lever
from logbook.actions.reckoning import known
from logbook.actions.tonight import Request
from logbook.actions.tonight import tonight as answer_for
from logbook.as_json import tonight_json
from logbook.cli.evening_page import evening_rows
from logbook.cli.output import answer, json_text
from logbook.demo import demo_description_text, write_demo
from logbook.store.log import open_log
from logbook.wording import day_text, time_text


def demo(asked: Namespace) -> int:
    """The app on a fresh copy of the demo log, or that copy, or its answer for its last evening."""
    if asked.write:
        at = _written(Path(asked.write))
        return answer(asked, {"written": asked.write, "as_of": at.isoformat()}, [f"Written: {asked.write}"])
    with TemporaryDirectory(prefix="nightload-demo-") as folder:
        path = Path(folder) / "demo.db"
        at = _written(path)
        if asked.plain_demo or asked.plain:
            from logbook.cli.plain import talk  # noqa: PLC0415 - the screen goes without it

            return talk(str(path), at=at)
        if asked.tonight or asked.json or not (sys.stdin.isatty() and sys.stdout.isatty()):
            return _answered(asked, path, at)
        from logbook.cli.app import open_app  # noqa: PLC0415 - only where there is a screen

        open_app(str(path), at=at)
    return 0


def _written(path: Path) -> datetime:
    """A fresh copy of the demo log; the moment it answers for."""
    at = write_demo(path)
    with open_log(path, create=False, now=lambda: at) as log:
        remember_lever(log, demo_description_text())
    return at


def _answered(asked: Namespace, path: Path, at: datetime) -> int:
    with open_log(path, create=False) as log:
        told = known(log, as_of=at)
    got = answer_for(told, Request(as_of=at))
    if asked.json:
        found = tonight_json(got.answer, zone=told.zone, from_description_only=got.from_description_only)
        print(json_text(found))
        return 0
    zone = told.setting.zone
    when = f"{day_text(at, zone=zone, year=True)} {time_text(at, zone=zone)}"
    print(f"The demo, an invented cabin: tonight is its own last evening, {when}.\n")
    for row in evening_rows(got, told, columns=80):
        print(row)
    return 0
