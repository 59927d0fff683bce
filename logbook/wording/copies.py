"""The copies of the log in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from logbook.setting import Setting
from logbook.wording.amounts import day_text

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


def kept_before_text(path: Path) -> str:
    """The copy made before much came in, and how it comes back."""
    return f"As it was before, the log is kept as {path}; nightload restore FILE brings that back."
