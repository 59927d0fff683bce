"""Money and hours of a work on the cabin: "cost skirting 240 31 h on floor"."""

from __future__ import annotations

from logbook.entry.matters.line import NOT_NAMES, MatterLine, MatterSaid, number_and_unit
from logbook.entry.matters.money import HOUR_WORDS, money_at
from logbook.matters import Improvement

LONGEST_WORK = 5
"""Words the name of a work may have. ASSUMED: more is prose."""


def read_cost(line: MatterLine) -> MatterSaid | None:
    """Reads "cost NAME MONEY [N h] [on SURFACE] [, what]"; the sum may come before the name."""
    first = next((i for i in range(1, line.count) if _is_sum(line, i)), None)
    if first is None:
        return None
    money, hours, at = _money_and_hours(line, first)
    if first == 1:
        start = at + (line.word(at) in {"for", "of"})
        end = start
        while end < line.count and line.word(end) != "on" and not (end > start and line.parted(end)):
            end += 1
        at, name = end, (start, end)
    else:
        name = (1, first)
    words = line.words(*name)
    if not 0 < len(words) <= LONGEST_WORK or words[0] in NOT_NAMES or (money is None and hours is None):
        return None
    surface = ""
    if line.word(at) == "on" and at + 1 < line.count:
        end = next((i for i in range(at + 2, line.count) if line.parted(i)), line.count)
        surface, at = line.said(at + 1, end), end
    elif not line.parted(at):
        return None  # "cost us 3 nights of sleep"
    work = Improvement(
        name=line.said(*name).strip(" ."), money=money, hours=hours, surface=surface, what=line.said(at)
    )
    return MatterSaid(matter=work)


def _is_sum(line: MatterLine, at: int) -> bool:
    found = number_and_unit(line, at)
    return money_at(line, at) is not None or (found is not None and found[1] in HOUR_WORDS)


def _money_and_hours(line: MatterLine, at: int) -> tuple[float | None, float | None, int]:
    """A sum, hours, or both in either order, and where they end."""
    money, hours = None, None
    while at < line.count:
        found = number_and_unit(line, at)
        if hours is None and found is not None and found[1] in HOUR_WORDS:
            hours, at = found[0], at + found[2]
        elif money is None and (sum_ := money_at(line, at)):
            money, at = sum_[0], at + sum_[1]
        elif line.word(at) == "and" and _is_sum(line, at + 1):
            at += 1
        else:
            break
    return money, hours, at
