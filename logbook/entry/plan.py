"""Plans for the night ahead, in the words of the entry line: "load 4kg air 50%; 02:30 load 2kg; no fire"."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

from logbook.entry.asking import Asker
from logbook.entry.clock import moment_ahead, said
from logbook.entry.limits import refused
from logbook.entry.parts import Parts, parts_of
from logbook.entry.reading import read_facts
from logbook.entry.settle import settle
from logbook.entry.tokens import plain
from logbook.entry.understood import RefusedError
from logbook.errors import EntryError
from logbook.records import Entry, Flag
from logbook.setting import Setting

LONGEST_PLAN = timedelta(hours=18)
"""How far ahead a step may lie. ASSUMED: a plan is for one night; a time just past would land a day late."""

_PLANNED = (
    "load_kg pieces species moisture_pct moisture_basis kindling air_open_pct flue_damper_open_pct window "
    "other_heat_w fire_out"
)
PLANNED = frozenset(_PLANNED.split())
"""Fields a plan may set: what someone does, not what is read off."""

_NO_FIRE = re.compile(r"\b(?:no (?:more )?(?:fire|wood|load)|nothing(?: more)?|let it burn)\b")
_NOW = re.compile(r"\bnow\b")


def read_plan(text: str, *, start: datetime, setting: Setting) -> tuple[Entry, ...]:
    """The steps of a plan in order of time.

    Air is always per cent open, masses are as weighed. A step without a time, or now, happens at the start;
    a clock time is the first at or after it; "+2h" counts from it. "no fire" means no more wood: a step that
    sets nothing but the air it names. What is unlikely is not asked: a plan is what someone would do.

    Args:
        text: Steps parted by semicolons.
        start: When the plan starts (bed, or as of); aware.
        setting: Pieces, units, zone.

    Raises:
        EntryError: with the number of the step, what is wrong with it, and what to type instead.
    """
    steps = [step for step in text.split(";") if step.strip()]
    if not steps:
        raise EntryError('The plan is empty.\nType for example "load 3.4kg air 60%", or "no fire".')
    entries: list[Entry] = []
    idle = False
    for number, step in enumerate(steps, start=1):
        try:
            entry, no_fire = _step(step, start=start, setting=setting)
        except RefusedError as stop:
            raise EntryError(f"Step {number} of the plan: {stop.problem.message}") from None
        if (no_fire and any(had.load_kg for had in entries)) or (idle and entry.load_kg):
            raise EntryError(
                f"Step {number} of the plan: no fire and a load go against each other.\n"
                "Leave one of them out."
            )
        idle = idle or no_fire
        entries.append(entry)
    return tuple(sorted(entries, key=lambda entry: entry.at))


def _step(text: str, *, start: datetime, setting: Setting) -> tuple[Entry, bool]:
    match = _NO_FIRE.search(plain(text))
    no_fire = match is not None
    if match is not None:
        text = f"{text[: match.start()]} {text[match.end() :]}"
    if (now := _NOW.search(plain(text))) is not None:
        text = f"{text[: now.start()]} {text[now.end() :]}"
    read = read_facts(text, setting=setting)
    parts = parts_of(read, setting=setting)
    unread = sorted(parts.unread)
    if unread or parts.note_from is not None:
        first = unread[0] if unread else (parts.note_from or 0, len(text))
        raise refused(
            f'"{text[first[0] : first[1]]}" is nothing a plan can do.',
            "Type wood, air, damper, window or heater, for example 02:30 load 2kg air 40%.",
            first,
        )
    done = settle(parts, Asker({}), setting=_calm(setting), now=start, always_open=True)
    odd = sorted(set(done.values) - PLANNED) + [place for place, _ in done.places]
    if odd:
        raise refused(
            f"A plan is what you would do, not what is read off: {text.strip()}.",
            "Type wood, air, damper, window or heater, for example load 4kg air 50%.",
            (0, len(text)),
        )
    if parts.phrase is not None and now is not None:
        raise refused(f"Now and {parts.phrase_text} are two times.", "Leave one of them out.", (0, len(text)))
    at = _at(parts, start=start, setting=setting)
    if not done.values and not no_fire:
        raise refused("That step does nothing.", "Type for example load 2kg air 40%.", (0, len(text)))
    if no_fire and "load_kg" in done.values:
        raise refused("No fire and a load go against each other.", "Leave one of them out.", (0, len(text)))
    values: dict[str, Any] = dict(done.values)
    entry = Entry(at=at, **values)
    limit = setting.max_load_kg
    over = limit is not None and entry.load_kg is not None and entry.load_kg > limit
    return (replace(entry, flags=frozenset({Flag.OVER_LIMIT})) if over else entry), no_fire


def _at(parts: Parts, *, start: datetime, setting: Setting) -> datetime:
    if parts.phrase is None:
        return start.astimezone(UTC)
    at = moment_ahead(parts.phrase, start=start, zone=setting.zone)
    if at > start + LONGEST_PLAN or at < start:
        raise refused(
            f"{parts.phrase_text} is {said(at, setting.zone)}, not within "
            f"{LONGEST_PLAN.total_seconds() / 3600:.0f} h of the start {said(start, setting.zone)}.",
            "Give a time after the start, or +30min.",
            (parts.phrase.start, parts.phrase.end),
        )
    return at


def _calm(setting: Setting) -> Setting:
    """The setting without history and limits: nothing is asked about a plan, so nothing may be assumed."""
    return replace(setting, last_indoor_c=None, last_outdoor_c=None, largest_load_kg=None, max_load_kg=None)
