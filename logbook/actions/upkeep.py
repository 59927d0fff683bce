"""What is due, and the upkeep record: from the log to an answer, with its sentences."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from logbook.actions.house import house_of
from logbook.care.alarms import alarm_tests
from logbook.care.upkeep import due, task_named
from logbook.care.upkeep_record import Written, upkeep_record
from logbook.house import House
from logbook.matters import Upkeep
from logbook.results.ash import AlarmTests
from logbook.results.lists import CO_ALARM_C
from logbook.results.upkeep import Ahead, DueAnswer, RecordAnswer
from logbook.store.log import Log
from logbook.wording.ash import ash_text
from logbook.wording.upkeep import due_sentence


def house_and_ahead(log: Log, *, as_of: datetime) -> tuple[House, tuple[Ahead, ...]]:
    """The log as the whole year sees it, and upkeep written down for a time still to come."""
    return house_of(log, as_of=as_of), written_ahead(log, as_of=as_of)


def what_is_due(house: House, *, ahead: tuple[Ahead, ...] = ()) -> DueAnswer:
    """Every task and how it stands, the most urgent first, and the ash; each with its sentence."""
    return _worded(due(house, tests=_tests(house), ahead=ahead), house)


def the_record(
    house: House, *, ahead: tuple[Ahead, ...] = (), written: Written | None = None
) -> RecordAnswer:
    """The dated record of upkeep, oldest first; with ``written`` it says what was written late."""
    return upkeep_record(house, ahead=ahead, written=written)


def when_written(log: Log, *, as_of: datetime) -> Written:
    """Since when the log is written, and when each entry was that may tell upkeep."""
    return Written(first=log.first_written(), entries=log.upkeep_written(as_of))


def _tests(house: House) -> AlarmTests:
    start = house.stay.start if house.stay else house.as_of
    here = [e for e in house.entries if e.at >= start]
    return alarm_tests(here, rated_from_c=CO_ALARM_C[0])


def written_ahead(log: Log, *, as_of: datetime) -> tuple[Ahead, ...]:
    """Upkeep meant for later than now but written by now: later records don't exist, plans do."""
    found = [
        Ahead(task=task_named(event.entry.matter.task), at=event.entry.at)
        for event in log.current_entries(since=as_of, logger=False)
        if event.entry is not None
        and isinstance(event.entry.matter, Upkeep)
        and event.entry.at > as_of >= event.written_at
    ]
    return tuple(sorted(found, key=lambda one: one.at))


def _worded(got: DueAnswer, house: House) -> DueAnswer:
    setting = house.setting
    return replace(
        got,
        items=tuple(replace(item, sentence=due_sentence(item, setting=setting)) for item in got.items),
        ash_sentence=ash_text(got.ash, setting=setting) if got.ash else "",
    )
