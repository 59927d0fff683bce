"""The dated record of upkeep, oldest first: what an insurer or a buyer asks for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from logbook.care.sights import is_gone
from logbook.care.upkeep_done import ALARM_TESTS, done_of
from logbook.care.upkeep_tasks import TASKS
from logbook.care.usual_stay import burned_kg
from logbook.house import House
from logbook.matters import Seen, Sight
from logbook.records import Entry
from logbook.results.upkeep import Ahead, RecordAnswer, RecordRow
from logbook.setting import local_time

ALARMS = "alarms"
"""The task's name in the record where both alarms' buttons were pressed at once."""

_BY_MASS = frozenset(task.name for task in TASKS if task.interval.kg is not None)
_CALLING = frozenset(sight for task in TASKS for sight in task.called_by)


WRITTEN_LATE = timedelta(days=3)
"""What is written this long after the time it is about is told as late. ASSUMED: on getting home is not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """When the log was written: its ``first`` entry, and what may tell upkeep as (written, entry)."""

    first: datetime | None = None
    entries: tuple[tuple[datetime, Entry], ...] = ()


def upkeep_record(
    house: House, *, ahead: Iterable[Ahead] = (), written: Written | None = None
) -> RecordAnswer:
    """Everything done, looked at, tested and seen, with what was found, by whom and which photos.

    With ``written`` each row that was written late says when, and the record since when the log is kept.
    """
    written = written or Written()
    rows = sorted([*_done_rows(house), *_seen_rows(house)], key=lambda row: row.at)
    oldest = min((e.at for e in house.entries), default=None)
    zone = house.setting.zone
    return RecordAnswer(
        as_of=house.as_of,
        place=house.description.site.name if house.description else "",
        rows=_with_written(rows, written, zone=zone),
        log_began=local_time(written.first, zone).date() if written.first else None,
        oldest_entry=local_time(oldest, zone).date() if oldest else None,
        stays=len(house.stays),
        wood_kg=burned_kg(house.burned),
        ahead=tuple(ahead),
    )


def _with_written(rows: Iterable[RecordRow], written: Written, *, zone: str) -> tuple[RecordRow, ...]:
    """The rows, those written late with the day; of several entries at one time the last written counts."""
    late: dict[datetime, datetime] = {}
    for when, entry in written.entries:
        if when - entry.at > WRITTEN_LATE:
            late[entry.at] = max(when, late.get(entry.at, when))
    return tuple(
        replace(row, written_on=local_time(late[row.at], zone).date()) if row.at in late else row
        for row in rows
    )


def _done_rows(house: House) -> Iterable[RecordRow]:
    before: dict[str, datetime] = {}
    for done in done_of(house):
        did = done.upkeep
        if done.task == ALARM_TESTS[1] or (done.task == "extinguisher pressure test" and did.until):
            continue  # told by its twin: one button for both alarms, one new extinguisher
        tested = done.task == ALARM_TESTS[0]
        kg = None
        if done.task in _BY_MASS and not did.only_looked:
            if done.task in before:
                kg = burned_kg(house.burned, after=before[done.task], until=done.at)
            before[done.task] = done.at
        yield RecordRow(
            at=done.at,
            on=local_time(done.at, house.setting.zone).date(),
            kind="tested" if tested else ("looked" if did.only_looked else "done"),
            task=ALARMS if tested else done.task,
            what="smoke and CO alarm tested" if tested else _title(done.task),
            finding=did.finding,
            deposit_mm=did.deposit_mm,
            by=did.by,
            photos=did.photos,
            until=did.until,
            kg_before=kg,
        )


def _seen_rows(house: House) -> Iterable[RecordRow]:
    """What was seen that calls for upkeep, and when it was said to be gone: else it reads as if it stood."""
    stands: list[Seen] = []
    for at, seen in house.of(Seen):
        if seen.sight is Sight.GONE:
            over = [one for one in stands if is_gone(one, seen.place)]
            told = [("gone", one) for one in dict.fromkeys(over)]
            stands = [one for one in stands if one not in over]
        elif seen.sight in _CALLING:
            stands.append(seen)
            told = [("seen", seen)]
        else:
            continue
        on = local_time(at, house.setting.zone).date()
        for kind, one in told:
            yield RecordRow(at=at, on=on, kind=kind, task="", what=str(one.sight), finding=one.place)


def _title(name: str) -> str:
    """The task's own short name: its title tells what should be done, not what was."""
    return f"CO{name[2:]}" if name.startswith("co alarm") else name
