"""What ``leave`` takes for granted of a stay: asked after "left" it is still the leaving, and a stove found
out long after its last wood is out."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from logbook.actions.reckoning import Known
from logbook.care.list_conditions import MAY_STILL_GLOW
from logbook.heat.outcome import said_out
from logbook.records import Entry, Mark
from logbook.store.loggers import BY_LOGGER

LEFT_LATELY = timedelta(hours=24)
"""So long after leaving it is asked about that leaving; as the leaving list's round."""


def as_if_there(told: Known) -> Known:
    """The log without its last word "left", for a day after it while nobody came again.

    With it nobody is there any more: the room read in that very line, and the fire in the stove, would be
    those of an empty house nobody looked at.
    """
    lefts: list[Entry] = []
    for e in sorted(told.entries, key=lambda e: e.at, reverse=True):
        if e.mark is Mark.LEFT and told.as_of - e.at <= LEFT_LATELY:
            lefts.append(e)  # two computers, or one twice, may have written it
        elif not _is_of_nobody(e):
            break
    if not lefts:
        return told
    kept = [_unmarked(e) if e in lefts else e for e in told.entries]
    return replace(told, entries=tuple(e for e in kept if e is not None))


def _unmarked(left: Entry) -> Entry | None:
    """What was written beside the word; None where it stood alone."""
    without = replace(left, mark=None)
    return None if without == Entry(at=left.at, flags=left.flags) else without


def _is_of_nobody(e: Entry) -> bool:
    """Whether it may come after a leaving with nobody there: a logging thermometer's, a note, a change."""
    return e.flags in BY_LOGGER or e == Entry(
        at=e.at, note=e.note, matter=e.matter, change=e.change, flags=e.flags
    )


def found_out_for_a_day(told: Known) -> bool:
    """Whether the stove was found out and its last wood is a day back: draws with wood left unburnt in them
    would call that fire for days."""
    ordered = sorted(told.entries, key=lambda e: e.at)
    lit = [e.at for e in ordered if e.load_kg or e.kindling]
    return said_out(ordered) and (not lit or told.as_of - lit[-1] > MAY_STILL_GLOW)
