"""What was done, seen and ruled about upkeep, read out of the log by task."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from logbook.care.sights import standing
from logbook.care.upkeep_tasks import Task
from logbook.house import House
from logbook.matters import Sight, Upkeep, UpkeepRule
from logbook.records import Entry
from logbook.results.upkeep import Call, CallKind, Interval, LastDone
from logbook.results.upkeep_words import task_named
from logbook.setting import local_time

ALARM_TESTS = ("smoke alarm test", "co alarm test")

_CHIMNEY_FIRE = re.compile(r"\b(?:chimney|flue)[ -]fire\b(?!\s+(?:extinguisher|blanket))", re.IGNORECASE)
_NONE_BEFORE = re.compile(r"\b(?:no|not a|never a)\s+$", re.IGNORECASE)
_ROPE_CHANGED = re.compile(r"\b(?:gasket|door rope|rope seal)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """One act of upkeep under its task's name."""

    at: datetime
    task: str
    upkeep: Upkeep


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruled:
    """The owner's newest word on a task: their interval, or None for "not asked for any more"."""

    on: date
    interval: Interval | None


def done_of(house: House) -> tuple[Done, ...]:
    """All acts of upkeep, oldest first: as written, alarms tested, and a new door rope told as a change.

    A new extinguisher, told by its printed date, has had everything done to it that is done to one.
    """
    found = [Done(at=at, task=task_named(did.task), upkeep=did) for at, did in house.of(Upkeep)]
    found += [
        Done(at=done.at, task="extinguisher pressure test", upkeep=done.upkeep)
        for done in found
        if done.task == "extinguisher" and done.upkeep.until is not None
    ]
    for entry in house.entries:
        if entry.alarms_tested:
            found += [Done(at=entry.at, task=name, upkeep=Upkeep(task=name)) for name in ALARM_TESTS]
        if entry.change and _ROPE_CHANGED.search(entry.change):
            rope = Upkeep(task="door rope", finding=entry.change)
            found.append(Done(at=entry.at, task="door rope", upkeep=rope))
    return tuple(sorted(found, key=lambda done: done.at))


def counting(done: Iterable[Done], task: Task) -> tuple[Done, ...]:
    """The acts that count for a task: its own, those of tasks that include it, a look where one is enough."""
    names = (task.name, *task.also)
    return tuple(d for d in done if d.task in names and (task.look_counts or not d.upkeep.only_looked))


def last_of(done: Iterable[Done], *, zone: str) -> LastDone | None:
    """The newest of some acts."""
    newest = max(done, key=lambda d: d.at, default=None)
    if newest is None:
        return None
    did = newest.upkeep
    return LastDone(
        on=local_time(newest.at, zone).date(),
        at=newest.at,
        only_looked=did.only_looked,
        finding=did.finding,
        deposit_mm=did.deposit_mm,
        by=did.by,
        photos=did.photos,
        until=did.until,
    )


def rules_of(house: House) -> dict[str, Ruled]:
    """The owner's newest rule for each task it names."""
    found = {}
    for at, rule in house.of(UpkeepRule):
        interval = Interval(
            days=rule.every_days, kg=rule.every_kg, burn_days=rule.every_burn_days, source=rule.source
        )
        on = local_time(at, house.setting.zone).date()
        found[task_named(rule.task)] = Ruled(on=on, interval=None if interval.is_none else interval)
    return found


def calls_seen(house: House, sights: Iterable[Sight]) -> tuple[Call, ...]:
    """What was seen of some kinds and stands, oldest first."""
    zone, wanted = house.setting.zone, tuple(sights)
    return tuple(
        Call(kind=CallKind.SEEN, on=local_time(at, zone).date(), what=str(seen.sight), where=seen.place)
        for at, seen in (standing(house, wanted) if wanted else ())
    )


def mended_at(done: Iterable[Done], task: Task) -> datetime | None:
    """When the task, or one that clears what calls for it, was last done by more than a look."""
    names = (task.name, *task.also, *task.cleared_by)
    return max((d.at for d in done if d.task in names and not d.upkeep.only_looked), default=None)


def chimney_fires(entries: Iterable[Entry]) -> Iterator[datetime]:
    """When a note, or a finding, tells of a chimney fire; "no chimney fire" and extinguishers don't."""
    for entry in entries:
        matter = entry.matter
        if entry.note is None and not isinstance(matter, Upkeep):
            continue  # most of a long log's entries have no words
        words = f"{entry.note or ''} {matter.finding if isinstance(matter, Upkeep) else ''}"
        for found in _CHIMNEY_FIRE.finditer(words):
            if not _NONE_BEFORE.search(words[: found.start()]):
                yield entry.at
                break
