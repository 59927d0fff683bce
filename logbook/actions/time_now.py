"""What time it is taken to be: the computer's, unless the log shows that it can't be."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from logbook.clock_doubt import BEHIND, WRITTEN, Doubt, doubt_of, taken_for_now
from logbook.records import Entry, Flag
from logbook.store.log import Log

DATED_AHEAD_AMONG = 60
"""Entries looked at for upkeep dated ahead. ASSUMED: nobody dates more ahead."""

SAME = timedelta(minutes=1)
"""An answer as of a time this near the one it is taken to be is an answer as of now."""


def newest_of(log: Log, entries: Sequence[Entry] | None = None) -> datetime | None:
    """The time of the newest record; upkeep the owner dated ahead all the same makes no clock doubtful.

    Where this device wrote on by an earlier clock since, as its owner said it should, that clock holds: a
    line from a day when it ran ahead is asked about once.

    Args:
        log: The log.
        entries: Its newest entries, where they are at hand.
    """
    newest = log.newest_at()
    latest = log.latest_entries(DATED_AHEAD_AMONG) if entries is None else entries
    ahead = {e.at for e in latest if e.is_matter_alone and Flag.ODD_VALUE in e.flags}
    if newest in ahead:
        newest = max((e.at for e in latest if e.at not in ahead), default=None)
    said = log.said_now_last()
    if newest is not None and said is not None and WRITTEN <= said < newest - BEHIND:
        return said
    return newest


def doubt_now(log: Log) -> Doubt | None:
    """What speaks against the computer's clock, if anything does."""
    return doubt_of(log.clock(), newest_of(log))


def now_of(log: Log) -> datetime:
    """The time it is taken to be: never before the newest record."""
    return taken_for_now(log.clock(), newest_of(log))


def in_force_from(log: Log, now: datetime) -> datetime:
    """From when a new description holds: by a clock in doubt, not before the one it follows."""
    if doubt_now(log) is None:
        return now
    versions = log.descriptions()
    last = versions[-1].valid_from if versions else None
    at = taken_for_now(now, newest_of(log))
    return at if last is None else max(at, last)


def is_doubted(log: Log, as_of: datetime) -> bool:
    """Whether an answer as of a time is one as of now, by a clock in doubt."""
    clock, newest = log.clock(), newest_of(log)
    return doubt_of(clock, newest) is not None and abs(as_of - taken_for_now(clock, newest)) <= SAME
