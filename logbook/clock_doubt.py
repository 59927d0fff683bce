"""Whether a computer's clock can be right, and what time it is taken to be when it can't.

A laptop whose clock battery is dead wakes in 1980; one that was set wrong runs a day ahead. Nothing recorded
may vanish for it: what is later than the clock says is still in the log.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum

from logbook.setting import local_time

BEHIND = timedelta(minutes=3)
"""How far the clock may stand behind the newest record undoubted. ASSUMED: bed rows come minutes early."""

FAR_BEHIND = timedelta(hours=12)
"""From so far behind on nothing is kept as "now" unasked. ASSUMED: no slip of two laptops' clocks."""

FAR_AHEAD = timedelta(days=5 * 365)
"""A clock this far after the newest record is asked about. ASSUMED: few cabins stand empty for five years."""

WRITTEN = datetime(2026, 1, 1, tzinfo=UTC)
"""No clock that tells an earlier time is right: this program was written in 2026."""


class Why(StrEnum):
    """What speaks against a clock."""

    BEHIND = "behind"
    """The newest record is later."""
    BEFORE = "before"
    """There was no such program yet."""
    AHEAD = "ahead"
    """The newest record is years back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A clock in doubt: what it says and the newest record, if there is one."""

    why: Why
    clock: datetime
    newest: datetime | None

    @property
    def is_grave(self) -> bool:
        """Whether nothing may be kept by it unasked."""
        far = self.newest is not None and self.clock + FAR_BEHIND < self.newest
        return self.why is Why.BEFORE or (self.why is Why.BEHIND and far)


def doubt_of(clock: datetime, newest: datetime | None) -> Doubt | None:
    """What speaks against a clock, if anything does.

    Args:
        clock: What the computer says; aware.
        newest: The time of the newest record; None in an empty log.
    """
    why = None
    if newest is not None and clock + BEHIND < newest:
        why = Why.BEHIND
    elif clock < WRITTEN:
        why = Why.BEFORE
    elif newest is not None and clock - FAR_AHEAD > newest:
        why = Why.AHEAD
    return None if why is None else Doubt(why=why, clock=clock, newest=newest)


def taken_for_now(clock: datetime, newest: datetime | None) -> datetime:
    """The time it is taken to be: never before the newest record, which would hide it.

    A clock that is years ahead is taken at its word: nothing says how far.
    """
    return clock if newest is None else max(clock, newest)


def doubt_text(doubt: Doubt, *, zone: str) -> str:
    """Both times in one sentence, shown in full where the day differs; it fits a head row of 80 columns."""
    if doubt.newest is None:
        return f"Computer says {_day(doubt.clock, zone)}; this program was written in {WRITTEN:%Y}."
    here, there = local_time(doubt.clock, zone), local_time(doubt.newest, zone)
    if here.date() == there.date():
        return f"Computer says {here:%H:%M}; the last line is from {there:%H:%M}."
    return f"Computer says {_day(doubt.clock, zone)}; last line: {_day(doubt.newest, zone)}."


def _day(at: datetime, zone: str) -> str:
    local = local_time(at, zone)
    return f"{local:%a} {local.day} {local:%b} {local.year} {local:%H:%M}"
