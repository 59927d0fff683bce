"""Smoke and CO alarms: tested in this stay, tested again when warm, past the date printed on them.

Nothing here is reassuring about carbon monoxide: a silent alarm says only that its button was pressed.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from logbook.matters import Upkeep
from logbook.records import MAIN_PLACE, Description, Entry
from logbook.results.ash import AlarmDates, AlarmTests
from logbook.results.upkeep_words import task_named

WARM_ENOUGH_C = 10.0
"""Room at which alarms tested cold are tested again, °C. ASSUMED: well inside the common rating, so that the
alarm itself, which hangs in a corner and lags behind, is inside it too."""

READ_BEFORE, READ_AFTER = timedelta(hours=6), timedelta(minutes=30)
"""A reading this long before a test, or this long after, tells the room at the test. ASSUMED: at the door
both are one line, or two within minutes; a cold cabin left to itself changes slowly."""


def alarm_tests(here: Iterable[Entry], *, rated_from_c: float) -> AlarmTests:
    """The tests of the stay going on.

    Args:
        here: The entries of this stay, any order.
        rated_from_c: Room temperature from which the alarms are rated, °C.
    """
    ordered = sorted(here, key=lambda e: e.at)
    tested = next((e for e in reversed(ordered) if e.alarms_tested), None)
    if tested is None:
        return AlarmTests()
    read = [(e.at, e.indoor_c) for e in ordered if e.indoor_c is not None and e.place == MAIN_PLACE]
    inside_c = _at_the_test(read, tested.at)
    too_cold = inside_c is not None and inside_c < rated_from_c
    warm = any(at > tested.at and c >= WARM_ENOUGH_C for at, c in read)
    return AlarmTests(tested_at=tested.at, inside_c=inside_c, too_cold=too_cold, again=too_cold and warm)


def alarm_dates(description: Description | None, matters: Iterable[Entry], *, as_of: datetime) -> AlarmDates:
    """The replace-by dates: the later of the description's and the one last written in the log.

    The later, since an alarm replaced brings a later date, whichever of the two its owner wrote it in.
    """
    told = description.alarms if description else None
    last: dict[str, date] = {}
    for entry in sorted((e for e in matters if e.at <= as_of), key=lambda e: e.at):
        if isinstance(entry.matter, Upkeep) and entry.matter.until is not None:
            last[task_named(entry.matter.task)] = entry.matter.until
    return AlarmDates(
        smoke=_later(told.smoke_expires if told else None, last.get("smoke alarm")),
        co=_later(told.co_expires if told else None, last.get("co alarm")),
    )


def _at_the_test(read: list[tuple[datetime, float]], tested: datetime) -> float | None:
    near = [(at, c) for at, c in read if tested - READ_BEFORE <= at <= tested + READ_AFTER]
    before = [c for at, c in near if at <= tested]
    if before:
        return before[-1]
    return near[0][1] if near else None


def _later(one: date | None, other: date | None) -> date | None:
    known = [day for day in (one, other) if day is not None]
    return max(known, default=None)
