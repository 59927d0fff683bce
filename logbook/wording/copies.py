"""The copies of the log in sentences."""

from __future__ import annotations

from datetime import datetime

from logbook.setting import Setting
from logbook.wording.amounts import day_text

ELSEWHERE = "One on another disk outlasts this computer: nightload backup FOLDER."


def last_copy_text(at: datetime | None, *, setting: Setting) -> str:
    """When the newest copy beside the log was made, and what no copy beside it can do."""
    if at is None:
        return f"No copy of the log lies beside it yet. {ELSEWHERE}"
    return f"Last copy of the log: {day_text(at, zone=setting.zone, year=True)}, beside it. {ELSEWHERE}"
