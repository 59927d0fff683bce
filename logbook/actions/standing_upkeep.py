"""A safety task that is overdue, for the head rows: by what was written of upkeep alone. Quick, no model.

Wood burned is not counted here, as that takes the whole log: the Year page counts it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from logbook.answers import Pending
from logbook.records import Entry
from logbook.setting import Setting

TOLD_ELSEWHERE = frozenset({"smoke alarm", "co alarm", "smoke alarm test", "co alarm test"})
"""Alarms have head rows of their own."""


def upkeep_pending(matters: Sequence[Entry], *, setting: Setting, now: datetime) -> tuple[Pending, ...]:
    """The most pressing overdue safety task that was once written down; none for a log without any.

    What was never written down presses nobody: nobody knows when it was done.
    """
    if not matters:
        return ()
    from logbook.matters import Seen, Upkeep, UpkeepRule  # noqa: PLC0415 - only a log with matters pays for it

    of_upkeep = [e for e in matters if isinstance(e.matter, Upkeep | UpkeepRule | Seen) and e.at <= now]
    if not of_upkeep:
        return ()
    from logbook.ash_answers import AlarmTests  # noqa: PLC0415 - as above
    from logbook.care.upkeep import due  # noqa: PLC0415 - as above
    from logbook.house import House, Told  # noqa: PLC0415 - as above
    from logbook.upkeep_answers import DueState  # noqa: PLC0415 - as above
    from logbook.wording.due_rows import due_short  # noqa: PLC0415 - as above

    told = tuple(Told(at=e.at, matter=e.matter, note=e.note or "") for e in of_upkeep if e.matter)
    house = House(as_of=now, setting=setting, description=None, entries=tuple(of_upkeep), told=told)
    for item in due(house, tests=AlarmTests()).items:
        urgent = item.state in (DueState.NOW, DueState.DUE)
        if item.safety and urgent and item.task not in TOLD_ELSEWHERE:
            said = due_short(item, units=setting.units)
            said = f"{item.task[:1].upper()}{item.task[1:]}: {said}. Page Year: y"
            return (Pending(name=f"upkeep {item.task}", short=said, long=said),)
    return ()
