"""What lines are read against as the log stands: the description, the newest entries, the owner's measures.

A module of its own: the head rows need it too, and the first frame doesn't wait for what reads lines.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from logbook.actions.machine import setting_here
from logbook.actions.measures_kept import with_measures
from logbook.actions.time_now import newest_of
from logbook.setting import Setting, setting_of

if TYPE_CHECKING:
    from logbook.store.log import Log

LEVER = "air_lever_reads"
"""Setting: which way the owner's lever reads, once it was said."""

RECENT_LINES = 60
"""Entries looked at for the last load and readings; a stay has about 40."""


def setting_now(log: Log) -> Setting:
    """What a line is read against, from the description and the newest entries; a few milliseconds."""
    versions = log.descriptions()
    if not versions:
        latest = log.latest_entries(RECENT_LINES)
        return replace(with_measures(log, setting_here()), newest_at=newest_of(log, latest))
    lever = log.setting(LEVER)
    base = setting_of(versions[-1].description, lever_asked=lever is not None)
    entries = log.latest_entries(RECENT_LINES)
    loads = [e for e in entries if e.load_kg]
    inside = next((e for e in entries if e.indoor_c is not None and not e.place), None)
    outside = next((e for e in entries if e.outdoor_c is not None), None)
    return replace(
        with_measures(log, base),
        air_lever_reads=lever,
        places=tuple(sorted({e.place for e in entries if e.place})),
        largest_load_kg=max((e.load_kg or 0.0 for e in loads), default=None),
        last_load=loads[0] if loads else None,
        newest_at=newest_of(log, entries),
        last_indoor_c=inside.indoor_c if inside else None,
        last_outdoor_c=outside.outdoor_c if outside else None,
        last_reading_at=max((e.at for e in (inside, outside) if e), default=None),
    )
