"""The owner's own intervals of upkeep: "every 365 days flue or 500 kg says manual", "never gutters"."""

from __future__ import annotations

from dataclasses import replace

from logbook.entry.facts import MASS_UNITS
from logbook.entry.limits import refused
from logbook.entry.matters.line import MatterLine, MatterSaid, number_and_unit
from logbook.entry.matters.tasks import new_task, task_at
from logbook.entry.tokens import number_text
from logbook.matters import UpkeepRule
from logbook.units import DAYS_PER_MONTH, DAYS_PER_YEAR, kg_from_lb

_DAYS = {"day": 1.0, "week": 7.0, "fortnight": 14.0, "month": DAYS_PER_MONTH, "year": DAYS_PER_YEAR}

Interval = tuple[str, float]
"""The rule's field and its value."""


def read_rule(line: MatterLine) -> MatterSaid | None:
    """Reads "every N days|weeks|months|years|kg|burn days TASK [or N kg] [says SOURCE]"."""
    found = _interval(line, 1, bare=True)
    if found is None:
        return None
    intervals, at = [found[0]], 1 + found[1]
    while line.word(at) == "or" and (more := _interval(line, at + 1, bare=False)):
        intervals.append(more[0])
        at += 1 + more[1]
    at += line.word(at) == "for"
    task = task_at(line, at)
    if task is None:
        end = at
        while (
            end < line.count and line.word(end) not in {"or", "says"} and not (end > at and line.parted(end))
        ):
            end += 1
        if line.word(1)[:1].isalpha():
            return None  # "every year the snow slides": only a known task goes without a number
        name = new_task(line, at, end)
        if name is None:
            return None
        task = name, end - at
    at += task[1]
    while line.word(at) == "or" and (more := _interval(line, at + 1, bare=False)):
        intervals.append(more[0])
        at += 1 + more[1]
    rule = replace(UpkeepRule(task=task[0]), **dict(intervals))  # type: ignore[arg-type]  # fields are floats
    if line.word(at) == "says" and at + 1 < line.count:
        return MatterSaid(matter=replace(rule, source=line.said(at + 1)))
    return MatterSaid(matter=rule, note=line.said(at))


def read_never(line: MatterLine) -> MatterSaid | None:
    """Reads "never gutters": a known task that isn't asked for any more."""
    task = task_at(line, 1)
    if task is None:
        return None
    end = 1 + task[1]
    if not line.parted(end):
        return None
    return MatterSaid(matter=UpkeepRule(task=task[0]), note=line.said(end))


def _interval(line: MatterLine, at: int, *, bare: bool) -> tuple[Interval, int] | None:
    """An interval and the words it takes; ``bare`` allows "every year"."""
    found = number_and_unit(line, at)
    if found is None:
        days = _DAYS.get(line.word(at))
        usable = bare and days is not None and days > 1.0
        return (("every_days", days), 1) if usable and days is not None else None
    number, unit, taken = found
    after = line.word(at + taken)
    name, value = "every_days", 0.0
    if unit in {"burn", "fire"} and after in {"day", "days"}:
        name, value, taken = "every_burn_days", number, taken + 1
    elif unit in {"burn-days", "burn-day", "burndays"}:
        name, value = "every_burn_days", number
    elif unit in MASS_UNITS:
        name, value = "every_kg", kg_from_lb(number) if MASS_UNITS[unit] == "lb" else number
    elif (days := _DAYS.get(unit.removesuffix("s"))) is not None:
        value = number * days
    else:
        return None
    if value <= 0.0:
        raise refused(
            f"Every {number_text(number)} {unit} can't be.",
            "Type it like every 365 days flue; never flue stops asking.",
            line.span(at, at + taken),
        )
    return (name, value), taken
