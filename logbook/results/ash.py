"""Frozen answers about the ash in its bucket and the alarms; small, since the first screen asks for them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

ASH_WAITS = timedelta(hours=96)
"""Embers in ash stay alive up to this long. Source: fire districts, up to 4 days, "days or even weeks"
elsewhere (as reported; page not kept)."""


class AshState(StrEnum):
    """How the ash stands. None of them says that it is cold."""

    WAITING = "waiting"
    WAIT_OVER = "wait over"
    TIPPED_EARLY = "tipped early"


@dataclass(frozen=True, slots=True, kw_only=True)
class AshClock:
    """Ash in a bucket, or tipped before its time.

    ``filled`` is the last time any was put in, ``not_before`` 96 h later. ``fire_at`` is the last fire on
    record when that was within a day before it was taken out, or coals noted after: it went in hot.
    """

    state: AshState
    filled: datetime
    not_before: datetime
    where: str = ""
    fire_at: datetime | None = None
    tipped: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmTests:
    """The alarms' tests of one stay. ``inside_c`` is the room at the last test, where it was read.

    ``again`` means: tested too cold, and the room is warm now.
    """

    tested_at: datetime | None = None
    inside_c: float | None = None
    too_cold: bool = False
    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmDates:
    """Replace-by dates as printed, from the description or as written since."""

    smoke: date | None = None
    co: date | None = None
