"""Commands that write into the log or list it: note, events, edit, remove, undo, redo, change."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import replace
from zoneinfo import ZoneInfo

from logbook.actions import lines
from logbook.actions.opening import clock, place_of
from logbook.actions.setting_now import setting_now
from logbook.actions.time_now import now_of
from logbook.as_json import events_json
from logbook.cli.copied import copied_on_leaving, copied_said, with_copy
from logbook.cli.flag_values import readable
from logbook.cli.output import answer, optional_moment, time_now, warn
from logbook.results.copies import MadeCopy
from logbook.store.log import Log
from logbook.store.settling import conflicts

COST = "cost "
"""How every line said back begins to tell what a work cost."""


def note(asked: Namespace) -> int:
    """Record one line."""
    place = place_of(asked.log)
    with place.open(create=True) as log:
        noted = _dated(log, lines.note(log, _line(asked.line), now=clock(), yes=asked.yes))
        copied = copied_on_leaving(log, place, noted.event_ids)
    return _noted(asked, noted, copied)


def edit(asked: Namespace) -> int:
    """Put another line in the place of an entry."""
    event_id, *words = asked.line
    with place_of(asked.log).open() as log:
        kept = lines.edit(log, event_id, _line(words), now=clock(), yes=asked.yes)
        return _noted(asked, _dated(log, kept))


def remove(asked: Namespace) -> int:
    """Leave an entry out."""
    with place_of(asked.log).open() as log:
        return _noted(asked, lines.remove(log, asked.id, now=clock()))


def undo(asked: Namespace) -> int:
    """Take back the last act."""
    with place_of(asked.log).open() as log:
        return _noted(asked, lines.undo(log, now=clock()))


def redo(asked: Namespace) -> int:
    """Bring back what was taken back last."""
    with place_of(asked.log).open() as log:
        return _noted(asked, lines.redo(log, now=clock()))


def change(asked: Namespace) -> int:
    """Record a dated change to cabin or stove."""
    with place_of(asked.log).open() as log:
        since = optional_moment(asked.since, zone=ZoneInfo(setting_now(log).zone))
        return _noted(asked, lines.record_change(log, readable(asked.name), since=since, now=time_now(log)))


def events(asked: Namespace) -> int:
    """List what was recorded, oldest first."""
    with place_of(asked.log).open() as log:
        setting = setting_now(log)
        zone, now = ZoneInfo(setting.zone), now_of(log)
        found = log.current_entries(since=optional_moment(asked.since, zone=zone))
        differ = {claim.key for conflict in conflicts(log) for claim in conflict.claims}
    said = [lines.event_text(event, setting, now=now) for event in found]
    marks = ["  (nightload conflicts)" if event.uuid in differ else "" for event in found]
    rows = [f"{e.uuid[:8]}  {text}{mark}" for e, text, mark in zip(found, said, marks, strict=True)]
    told = events_json(found, said, zone=zone, differ=differ)
    return answer(asked, told, rows or ["Nothing is recorded yet."])


def _line(words: Sequence[str]) -> str:
    return " ".join(readable(word) for word in words)


def _dated(log: Log, noted: lines.Noted) -> lines.Noted:
    """With a word where a cost was kept for a work whose date is not on record."""
    if COST not in noted.sentence:
        return noted
    from logbook.actions.improvements import undated_said  # noqa: PLC0415 - no other line pays for it

    return replace(noted, warnings=(*noted.warnings, *undated_said(log, noted.event_ids)))


def _noted(asked: Namespace, noted: lines.Noted, copied: MadeCopy | None = None) -> int:
    warn(noted.warnings)
    kept = {"sentence": noted.sentence, "ids": list(noted.event_ids), "warnings": list(noted.warnings)}
    return answer(asked, kept | with_copy(copied), [noted.sentence, *copied_said(copied)])
