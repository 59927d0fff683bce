"""Upkeep done or looked at, and what was found: "swept flue 2 mm by J", "replaced alarm until may 2033"."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

from logbook.entry.limits import checked_within, refused
from logbook.entry.matters.dates import date_at
from logbook.entry.matters.line import MatterLine, MatterSaid, number_and_unit
from logbook.entry.matters.tasks import new_task, task_at
from logbook.entry.tokens import number_text
from logbook.entry.understood import ENTER, Answer
from logbook.matters import Upkeep
from logbook.setting import local_time
from logbook.units import M_PER_IN

LOOKED = frozenset({"looked", "checked", "inspected"})
DONE = frozenset({"swept", "did", "cleaned", "replaced", "changed"})

DEPOSIT_MM = (0.0, 100.0)
"""Soot found in a flue, mm. ASSUMED: more would have closed it."""

_MM = {"mm": 1.0, "cm": 10.0, "in": 1000.0 * M_PER_IN, "inch": 1000.0 * M_PER_IN, "inches": 1000.0 * M_PER_IN}
_FILE = re.compile(r".+[.][A-Za-z0-9]{2,5}|.*[/\\].+")
_BY_TRADE = "sweep dealer maker installer fitter inspector roofer plumber electrician neighbour neighbor"
_TRADES = frozenset(_BY_TRADE.split())
"""Who does upkeep and is named by what they are, after "by the"."""

_NOT_PEOPLE = frozenset({"hand", "the", "then", "now", "noon", "a", "an"})
_DETAILS = frozenset({"by", "until", "till", "photo", "photos"})


def read_upkeep(line: MatterLine) -> MatterSaid | None:
    """Reads a line that begins with swept, did, cleaned, replaced, looked at, checked or inspected."""
    verb = line.word(0)
    at = 2 if verb == "looked" and line.word(1) == "at" else 1
    if verb == "looked" and at == 1:
        return None  # "looked after the dog"
    if verb in {"replaced", "changed"} and (found := _battery_in(line, 1)):
        return _with_findings(line, found[0], found[1])
    task = task_at(line, at)
    if task is None and verb == "swept" and (at >= line.count or _is_detail(line, at)):
        task = "flue", 0
    if task is None and verb == "changed":
        return None  # of the cabin or of anything: only what is known is upkeep
    if task is None:
        end = _end_of_name(line, at)
        name = new_task(line, at, end)
        if name is None:
            return None
        task = name, end - at
    return _with_findings(line, Upkeep(task=task[0], only_looked=verb in LOOKED), at + task[1])


def read_battery(line: MatterLine) -> MatterSaid | None:
    """Reads "battery smoke alarm", "batteries in co alarm"."""
    found = _battery_in(line, 0)
    return _with_findings(line, found[0], found[1]) if found else None


def _battery_in(line: MatterLine, at: int) -> tuple[Upkeep, int] | None:
    """ "battery smoke alarm" as the task "smoke alarm battery", and where its words end."""
    if line.word(at) not in {"battery", "batteries"}:
        return None
    if at == 0 and (known := task_at(line, 0)):
        return Upkeep(task=known[0]), known[1]
    first = at + 1 + (line.word(at + 1) in {"in", "of", "for"})
    first += line.word(first) == "the"
    whose = task_at(line, first)
    if whose is None:
        end = next((i + 1 for i in range(first, line.count) if line.word(i) in {"alarm", "alarms"}), None)
        if end is None or end - first > 2:
            return None
        whose = line.name(first, end).lower().removesuffix("s"), end - first
    name = whose[0] if whose[0].endswith("battery") else f"{whose[0]} battery"
    return Upkeep(task=name), first + whose[1]


def _end_of_name(line: MatterLine, at: int) -> int:
    """Where a name not known ends: at a separator, a number, or a word that begins a detail."""
    end = at
    while end < line.count and not (end > at and line.parted(end)) and not _is_detail(line, end):
        end += 1
    return end


def _is_detail(line: MatterLine, at: int) -> bool:
    return line.word(at) in _DETAILS or any(c.isdigit() for c in line.word(at))


def _with_findings(line: MatterLine, upkeep: Upkeep, at: int) -> MatterSaid:
    """The upkeep with deposit, who did it, the printed date and photos; other words are the finding."""
    found: list[str] = []
    while at < line.count:
        word = line.word(at)
        if upkeep.deposit_mm is None and (deposit := _deposit(line, at)):
            upkeep, at = replace(upkeep, deposit_mm=deposit[0]), at + deposit[1]
        elif word == "by" and not upkeep.by and (person := _person(line, at + 1)):
            upkeep, at = replace(upkeep, by=person[0]), at + 1 + person[1]
        elif word in {"until", "till"} and (dated := date_at(line, at + 1, needs_year=True)):
            _not_past(line, at, dated[1], dated[0])
            upkeep, at = replace(upkeep, until=dated[0]), at + 1 + dated[1]
        elif word in {"until", "till"} and _no_date(line, at + 1):
            _unread_date(line, at)
            found.append(line.said(at, at + 2))
            at += 2
        elif word in {"photo", "photos"} and (photos := _photos(line, at + 1)):
            upkeep, at = replace(upkeep, photos=upkeep.photos + photos), at + 1 + len(photos)
        else:
            end = at + 1
            while not line.parted(end) and not _begins_detail(line, end, upkeep):
                end += 1
            found.append(line.said(at, end))
            at = end
    return MatterSaid(matter=replace(upkeep, finding="; ".join(found)))


def _begins_detail(line: MatterLine, at: int, upkeep: Upkeep) -> bool:
    word = line.word(at)
    if word in {"photo", "photos", "until", "till"}:
        return True
    if word == "by":
        return not upkeep.by and _person(line, at + 1) is not None
    return upkeep.deposit_mm is None and _deposit(line, at) is not None


def _deposit(line: MatterLine, at: int) -> tuple[float, int] | None:
    found = number_and_unit(line, at)
    if found is None or found[1].rstrip(".") not in _MM:
        return None
    value = found[0] * _MM[found[1].rstrip(".")]
    if value < 0.0:
        raise refused(
            f"{number_text(found[0])} {found[1]} of soot can't be.",
            "Type what was there, 0 for none.",
            line.span(at),
        )
    return checked_within("A deposit", value, DEPOSIT_MM, "mm", line.span(at, at + found[2])), found[2]


def _person(line: MatterLine, at: int) -> tuple[str, int] | None:
    """Who did it: a name or initial with a capital letter, or "the sweep", "the dealer"."""
    skip = 1 if line.word(at) == "the" and line.word(at + 1) in _TRADES else 0
    if at + skip >= line.count or line.word(at + skip) in _NOT_PEOPLE:
        return None
    said = line.said(at + skip, at + skip + 1).strip(".")
    if not (said[:1].isupper() or skip or said in {"sweep", "me"}):
        return None
    end = at + skip + 1
    while not line.parted(end) and line.said(end, end + 1)[:1].isupper():
        end += 1
    return line.said(at + skip, end).rstrip("."), end - at


def _photos(line: MatterLine, at: int) -> tuple[str, ...]:
    found: list[str] = []
    while at < line.count and _FILE.fullmatch(line.said(at, at + 1)):
        found.append(line.said(at, at + 1).rstrip("."))
        at += 1
    return tuple(found)


def _no_date(line: MatterLine, at: int) -> bool:
    """Whether a word looks like a date and could not be read as one: "until 9999", not "until dark"."""
    return at < line.count and any(c.isdigit() for c in line.word(at))


def _unread_date(line: MatterLine, at: int) -> None:
    """Asks about a printed date that is none: kept as words, the alarm would never be called past it."""
    line.asker.ask(
        "until",
        f"{line.said(at, at + 2)} is read as no date: type it like until may 2033. Enter keeps it as words.",
        (Answer(key=ENTER, means="kept as words"),),
    )


def _not_past(line: MatterLine, at: int, taken: int, day: date) -> None:
    """Asks about a printed date that is over already.

    The date stays what was typed: the alarm may well be that old.
    """
    today = local_time(line.at, line.setting.zone).date()
    if day <= today:
        line.asker.ask(
            "until",
            f"{line.said(at, at + 1 + taken)} is past already: today is {today}. Enter keeps it so.",
            (Answer(key=ENTER, means="kept as typed"),),
        )
