"""The copies of the log in sentences."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from logbook.results.copies import LaidCopy
from logbook.setting import Setting
from logbook.wording.amounts import day_text, how_many, time_text

SHOWN = 10
"""How many earlier copies are named; the rest are counted."""

ELSEWHERE = "One on another disk outlasts this computer: nightload backup FOLDER."


def last_copy_text(at: datetime | None, *, setting: Setting) -> str:
    """When the newest copy beside the log was made, and what no copy beside it can do."""
    if at is None:
        return f"No copy of the log lies beside it yet. {ELSEWHERE}"
    return f"Last copy of the log: {day_text(at, zone=setting.zone, year=True)}, beside it. {ELSEWHERE}"


def earlier_copies_said(names: Sequence[str]) -> list[str]:
    """The copies that lay there before, newest first, one a row; nothing where there are none."""
    if not names:
        return []
    older = len(names) - SHOWN
    rows = [f"  {name}" for name in names[:SHOWN]]
    return ["Earlier copies there, newest first:", *rows, *([f"  and {older} older"] if older > 0 else [])]


def copies_text(log: Path, copies: Sequence[LaidCopy], *, setting: Setting) -> list[str]:
    """The copies beside a log, newest first, with what each holds, and how the newest comes back."""
    rows = [
        f"  {day_text(copy.at, zone=setting.zone, year=True)} {time_text(copy.at, zone=setting.zone)}  "
        f"{'not readable' if copy.events is None else how_many(copy.events, 'event')}  {copy.path}"
        for copy in copies
    ]
    newest = next((copy.path for copy in copies if copy.events is not None), None)
    how = [
        f"To bring one back: nightload restore {shlex.quote(str(newest))}",
        "The log as it is now is kept beside it.",
    ]
    return [f"Copies of {log}, newest first:", *rows, *(how if newest else ())]


def kept_before_text(path: Path) -> str:
    """The copy made before much came in, and how it comes back."""
    return f"As it was before, the log is kept as {path}; nightload restore FILE brings that back."
