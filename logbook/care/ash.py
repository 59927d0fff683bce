"""The ash in its bucket, across stays: filled when, not tipped before when, where it stands.

Nothing here ever says that ash is cold. A wait that is over is a wait that is over: embers have lived longer.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime, timedelta

from logbook.clock_doubt import WRITTEN
from logbook.matters import Ash, AshAct
from logbook.records import Coals, Entry, Flag
from logbook.results.ash import ASH_WAITS, AshClock, AshState

COLD_STOVE_AFTER = timedelta(hours=24)
"""Ash stays in the stove this long after the last fire before it is taken out. Source: a fire safety handout
(as reported; page not kept)."""

_OUT = re.compile(r"\bash(es)?\s+(taken\s+)?out\b", re.IGNORECASE)
_TIPPED = re.compile(r"\bash(es)?\s+(tipped|dumped|emptied)\b", re.IGNORECASE)


def ash_clock(entries: Iterable[Entry], *, as_of: datetime, doubted: bool = False) -> AshClock | None:
    """The ash in the bucket, or ash tipped too early; None when none is on record that matters.

    Ash put in on top starts the wait anew. Ash tipped before its wait was over stays on the list until then:
    it lies somewhere, and may be live.

    Args:
        entries: The log's, any order; a note that says "ash out" counts too, until its wait is over.
        as_of: Later entries don't exist.
        doubted: The clock can't be right, or the ash was written down by one that couldn't: no wait is over,
            the whole of it lies ahead.
    """
    known = [e for e in entries if e.at <= as_of]
    acts = sorted(
        (e for e in known if isinstance(e.matter, Ash) or (e.note and "ash" in e.note.casefold())), key=_when
    )
    filled: datetime | None = None
    tipped: datetime | None = None
    noted = False
    where, by_doubtful = "", False
    for entry in acts:
        act, place = _act(entry)
        if act is AshAct.TAKEN_OUT:
            where = place or (where if filled is not None and tipped is None else "")
            filled, tipped, noted = entry.at, None, entry.matter is None
            by_doubtful = Flag.ODD_VALUE in entry.flags
        elif act is AshAct.TIPPED and filled is not None:
            tipped, where = entry.at, place
    if filled is None:
        return None
    not_before = ash_waits_until(filled)
    doubted = doubted or by_doubtful
    if tipped is not None and (tipped >= not_before or (as_of >= not_before and not doubted)):
        return None
    if doubted:
        not_before = max(not_before, ash_waits_until(as_of))
    if noted and as_of >= not_before:
        return None  # a note of years ago: whoever wrote it had no word for tipping it since
    state = AshState.WAITING if as_of < not_before else AshState.WAIT_OVER
    return AshClock(
        state=AshState.TIPPED_EARLY if tipped is not None else state,
        filled=filled,
        not_before=not_before,
        where=where,
        fire_at=_fire_near(sorted(known, key=_when), filled),
        tipped=tipped,
    )


def ash_not_before(entries: Iterable[Entry], *, as_of: datetime) -> datetime:
    """When the ash may be tipped at the earliest: what stands in the bucket, else what is taken out now.

    Ash taken out now, with or without a fire on record, waits from now: coals of today's fire lie in it.
    """
    clock = ash_clock(entries, as_of=as_of)
    if clock is None or clock.state is AshState.WAIT_OVER:
        return ash_waits_until(as_of)
    return clock.not_before


def ash_waits_until(taken_out: datetime) -> datetime:
    """When ash taken out at a time may be tipped at the earliest; elapsed hours, whatever the clock does."""
    return taken_out + ASH_WAITS


def _when(entry: Entry) -> tuple[bool, datetime]:
    """By time; what was written down by a clock of before this program comes last, as if it were now."""
    return Flag.ODD_VALUE in entry.flags and entry.at < WRITTEN, entry.at


def _act(entry: Entry) -> tuple[AshAct | None, str]:
    if isinstance(entry.matter, Ash):
        return entry.matter.act, entry.matter.where
    note = entry.note or ""
    if _OUT.search(note):
        return AshAct.TAKEN_OUT, ""
    return (AshAct.TIPPED if _TIPPED.search(note) else None), ""


def _fire_near(ordered: Iterable[Entry], filled: datetime) -> datetime | None:
    """The last sign of fire before the ash was taken out, if it is less than a day back; coals noted after
    it with no wood laid in between are of the same fire."""
    found = None
    for entry in ordered:
        glows = entry.coals is not None and entry.coals is not Coals.NONE
        if entry.at <= filled:
            burned = bool(entry.load_kg) or entry.kindling or entry.fire_out or glows
            if burned and filled - entry.at < COLD_STOVE_AFTER:
                found = entry.at
        elif entry.load_kg or entry.kindling:
            break
        elif glows and entry.at - filled < COLD_STOVE_AFTER:
            found = entry.at
    return found
