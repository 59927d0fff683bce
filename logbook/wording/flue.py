"""What stands in the flue's way, in one sentence for every answer that speaks of a fire."""

from __future__ import annotations

from datetime import datetime

from logbook.setting import Setting
from logbook.wording.amounts import day_text


def nest_text(seen: datetime, *, setting: Setting) -> str:
    """A nest that stands: no fire, why, and what ends it."""
    return (
        f"A nest was seen in the flue cap {day_text(seen, zone=setting.zone)} and is not said to be gone: no "
        "fire. A blocked flue sends carbon monoxide into the room. Have it cleared, and the flue looked "
        "through, by somebody equipped for the roof, then write: nest gone"
    )
