"""Going: how long the room keeps above freezing with no more wood, what to heed, what to do."""

from __future__ import annotations

from logbook.actions import coming_going
from logbook.actions.lists import Lists
from logbook.actions.reckoning import Cache, Known
from logbook.records import Entry
from logbook.results.app import Going
from logbook.results.journeys import LeaveAnswer
from logbook.setting import Setting
from logbook.wording import air_text, day_text, temperature_text, time_text
from logbook.wording.amounts import bundle_text
from logbook.wording.coming_going import line_text

STILL_THERE = {"out": "", "coals": "; coals may glow still", "wood": "; wood likely burns still"}
"""Of a stove reckoned cold nothing is said: nobody should rely on it."""


def going(told: Known, *, lists: Lists, cache: Cache | None) -> Going:
    """What to know before going, from the log as of now; slow.

    Args:
        told: The log as of a time.
        lists: The owner's lists.
        cache: Where what was learned is kept.
    """
    got = coming_going.leave(told, coming_going.Door(), lists=lists, cache=cache)
    setting = told.setting
    return Going(
        as_of=told.as_of,
        known=(
            ("falls", falls_text(got, setting=setting)),
            *(("", line_text(line, at=got.as_of, setting=setting)) for line in got.lines),
            ("wood", last_wood_text(told, fire=got.fire, setting=setting)),
        ),
        cautions=got.cautions,
        checklist=got.checklist,
        assumed=got.assumed,
    )


def falls_text(got: LeaveAnswer, *, setting: Setting) -> str:
    """From what the room falls: "No more wood, 21 °C inside, down to −9 °C outside: the room falls to"."""
    inside, outside = (
        temperature_text(c, units=setting.units, decimals=0) for c in (got.inside_c, got.outdoor_low_c)
    )
    return f"No more wood, {inside} inside, down to {outside} outside: the room falls to"


def last_wood_text(told: Known, *, fire: str, setting: Setting) -> str:
    """When wood last went in, what, and the air since; what of it is likely still there."""
    loads = sorted((e for e in told.recent if e.load_kg), key=lambda e: e.at)
    if not loads:
        return "None written down this stay."
    last = loads[-1]
    wood = bundle_text(last.pieces or "", last.load_kg or 0.0, units=setting.units)
    air = _air_since(told, last)
    left = STILL_THERE[fire]
    day = day_text(last.at, zone=setting.zone)
    today = day_text(told.as_of, zone=setting.zone)
    when = f"{'' if day == today else f'{day} '}{time_text(last.at, zone=setting.zone)}"
    return f"Last in: {wood} at {when}{air}{left}."


def _air_since(told: Known, load: Entry) -> str:
    said = [e for e in told.recent if e.air_open_pct is not None and e.at >= load.at]
    return f", air {air_text(max(said, key=lambda e: e.at).air_open_pct or 0.0)}" if said else ""
