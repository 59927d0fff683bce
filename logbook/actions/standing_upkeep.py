"""A safety task that is overdue, for the head rows: by what was written of upkeep alone. Quick, no model.

Wood burned is not counted here, as that takes the whole log: the Year page counts it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from logbook.records import Entry
from logbook.results.app import Pending
from logbook.setting import Setting

TOLD_ELSEWHERE = frozenset({"smoke alarm", "co alarm", "smoke alarm test", "co alarm test"})
"""Alarms have head rows of their own."""


Told = tuple[tuple[datetime, object], ...]
"""Matters of upkeep with their times, oldest first."""


def of_upkeep(matters: Sequence[Entry], *, now: datetime) -> Told:
    """What was written of upkeep by now: done, ruled, seen."""
    if not matters:
        return ()
    from logbook.matters import Seen, Upkeep, UpkeepRule  # noqa: PLC0415 - only a log with matters pays for it

    return tuple(
        (e.at, e.matter) for e in matters if isinstance(e.matter, Upkeep | UpkeepRule | Seen) and e.at <= now
    )


def overdue(told: Told, *, setting: Setting, now: datetime) -> tuple[Pending, ...]:
    """The most pressing overdue safety task that was once written down; none for a log without any.

    What was never written down presses nobody: nobody knows when it was done. 10 to 20 ms for ten years.
    """
    if not told:
        return ()
    from logbook.care.upkeep import due  # noqa: PLC0415 - as above
    from logbook.house import House  # noqa: PLC0415 - as above
    from logbook.house import Told as ToldThen  # noqa: PLC0415 - as above
    from logbook.results.ash import AlarmTests  # noqa: PLC0415 - only a log with upkeep pays for it
    from logbook.results.upkeep import DueState  # noqa: PLC0415 - as above
    from logbook.wording.due_rows import due_short  # noqa: PLC0415 - as above

    house = House(
        as_of=now,
        setting=setting,
        description=None,
        entries=tuple(Entry(at=at) for at, _ in told),
        told=tuple(ToldThen(at=at, matter=matter) for at, matter in told),
    )
    for item in due(house, tests=AlarmTests()).items:
        urgent = item.state in (DueState.NOW, DueState.DUE)
        if item.safety and urgent and item.task not in TOLD_ELSEWHERE:
            said = due_short(item, units=setting.units)
            said = f"{item.task[:1].upper()}{item.task[1:]}: {said}. Page Year: y"
            return (Pending(name=f"upkeep {item.task}", short=said, long=said),)
    return ()
