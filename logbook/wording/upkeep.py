"""Upkeep that is due and the upkeep record in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from logbook.records import OwnUnits
from logbook.results.upkeep import (
    Ahead,
    Call,
    CallKind,
    Decides,
    DueAnswer,
    DueItem,
    DueState,
    Interval,
    LastDone,
    RecordAnswer,
    RecordRow,
)
from logbook.setting import Setting
from logbook.units import lb_from_kg
from logbook.wording.amounts import date_text, day_text, days_said, millimetres_text, number_text
from logbook.wording.ash import ash_text
from logbook.wording.stays import count_text

EXAMPLE_KG = 500.0
"""How much wood the hint's rule names, kg; in pounds to the nearest hundred."""

_DECIDED = {
    Decides.DATE: "by date",
    Decides.MASS: "by wood burned",
    Decides.BURN_DAYS: "by days with a fire",
    Decides.PRINTED: "by the date printed on it",
    Decides.STAY: "",
    Decides.SEEN: "",
    Decides.DEPOSIT: "",
}

AT_SIGHT = {
    "nest": ". No fire while it is in there (common practice, no source)",
    "droppings": ". Before cleaning open up and stay out 30 minutes, then wet them, never sweep dry (public "
    "health advice, as reported)",
}
"""What is said with a sight, besides that it was seen."""

LATER_LEVEL_MM = 3.0
"""The later of the two levels of deposit, mm: 1/8 in, as reported; ``care`` has it with its source."""

_MONTHLY = {1: "every month", 12: "every year"}


def due_text(answer: DueAnswer, *, setting: Setting, everything: bool = False) -> tuple[str, ...]:
    """The page: ash, what is due, what comes by the next stay, what nobody wrote down, what is silenced."""
    rows = [f"! {ash_text(answer.ash, setting=setting)}"] if answer.ash else []

    def block(head: str, *states: DueState) -> None:
        rows.extend(_block(head, [i for i in answer.items if i.state in states], setting, how=everything))

    block("Due, safety first:", DueState.NOW, DueState.DUE)
    if not any(i.state in (DueState.NOW, DueState.DUE) for i in answer.items):
        rows += ["", "Nothing on record is due."]
    block(f"{_by_when(answer)}:", DueState.NEXT_STAY)
    if everything:
        block("Not recorded yet:", DueState.NOT_RECORDED)
        block("Later:", DueState.LATER)
        block("Without an interval:", DueState.NO_INTERVAL)
    else:
        rows += _unknown([i for i in answer.items if i.state is DueState.NOT_RECORDED], setting)
    rows += _silenced(answer.items)
    rows += ["", *(ahead_text(one, setting=setting) for one in answer.ahead)] if answer.ahead else []
    first = first_text(units=setting.units)
    rows += ["", first] if everything else ["", first, "Every task, how and says who: nightload due --all"]
    return tuple(rows if rows[0] else rows[1:])


def due_sentence(item: DueItem, *, setting: Setting) -> str:
    """One task in a sentence or two: how it stands, which rule decides, when it was last done."""
    said = f"{item.title[:1].upper()}{item.title[1:]}: {_standing(item, setting.units)}."
    last = "" if item.last is None else f" Last: {last_text(item.last)}."
    if item.silenced_on is not None and item.state is not DueState.SILENCED:
        last += f" You silenced this on {date_text(item.silenced_on)}; it is told all the same."
    return said + last


def item_text(item: DueItem, *, setting: Setting) -> tuple[str, ...]:
    """One task whole: how it stands, the interval and who says so, what to look for and how to write it."""
    return tuple(row.strip() for row in _item_rows(item, setting, how=True))


def interval_text(interval: Interval, *, units: OwnUnits) -> str:
    """How often: "every year or 1000 kg of wood burned, whichever comes first"."""
    parts = []
    if interval.months is not None:
        years = interval.months // 12
        plain = f"every {years} years" if interval.months % 12 == 0 else f"every {interval.months} months"
        parts.append(_MONTHLY.get(interval.months, plain))
    if interval.days is not None:
        parts.append(f"every {days_said(interval.days)}")
    if interval.kg is not None:
        parts.append(f"every {_whole_mass(interval.kg, units)} of wood burned, as weighed")
    if interval.burn_days is not None:
        parts.append(f"every {number_text(interval.burn_days)} days with a fire")
    first = ", whichever comes first" if len(parts) > 1 else ""
    return " or ".join([parts[0], *(p.removeprefix("every ") for p in parts[1:])]) + first if parts else ""


def last_text(last: LastDone) -> str:
    """When and how it was last done: "1 Mar 2025, 2 mm, "dry soot", by J"."""
    parts = [date_text(last.on)]
    parts += ["looked at"] if last.only_looked else []
    parts += [millimetres_text(last.deposit_mm)] if last.deposit_mm is not None else []
    parts += [f'"{last.finding}"'] if last.finding else []
    parts += [f"by {last.by}"] if last.by else []
    return ", ".join(parts)


def first_text(*, units: OwnUnits) -> str:
    """Whose word comes first, and how a rule is changed, in the owner's units."""
    mass = f"{round(lb_from_kg(EXAMPLE_KG), -2):.0f} lb" if units.mass == "lb" else f"{EXAMPLE_KG:.0f} kg"
    return (
        "The stove's manual, local code and a licensed sweep come before every interval here. "
        f"Change one: every {mass} flue says manual p. 14. Not asked for any more: never gutters."
    )


def ahead_text(one: Ahead, *, setting: Setting) -> str:
    """Upkeep written for a time to come: it does not count yet."""
    day = day_text(one.at, zone=setting.zone, year=True)
    return f"Written down for {day}, which is still to come: {one.task}. It counts from then on, not yet."


def record_text(answer: RecordAnswer, *, setting: Setting) -> tuple[str, ...]:
    """The upkeep record to print: who, since when, then every act under its date."""
    units = setting.units
    day = day_text(answer.as_of, zone=setting.zone, year=True)
    place = f": {answer.place}" if answer.place else ""
    rows = [
        f"Upkeep record{place}",
        f"As of {day}, from the owner's log{_since_when(answer)}: {count_text(answer.stays, 'stay')}, "
        f"{_whole_mass(answer.wood_kg, units)} of wood burned, as weighed. Dates and findings are as the "
        "owner wrote them.",
        "",
    ]
    for row in answer.rows:
        rows += _record_rows(row, units) if row.kind != "tested" else ()
    rows += _tests_rows(answer.rows)
    if not answer.rows:
        rows.append("Nothing is recorded yet. Write what you do as you do it: swept flue 2 mm by J")
    rows += [ahead_text(one, setting=setting) for one in answer.ahead]
    return tuple(rows)


def _block(head: str, items: Iterable[DueItem], setting: Setting, *, how: bool = True) -> list[str]:
    rows: list[str] = []
    for item in items:
        rows += _item_rows(item, setting, how=how)
    return ["", head, *rows] if rows else []


def _item_rows(item: DueItem, setting: Setting, *, how: bool) -> Iterator[str]:
    mark = "! " if item.safety and item.state in (DueState.NOW, DueState.DUE) else "  "
    yield f"{mark}{due_sentence(item, setting=setting)}"
    every = interval_text(item.interval, units=setting.units)
    if item.usual is not None:
        says = f" ({item.interval.source})" if item.interval.source else ""
        usual = interval_text(item.usual, units=setting.units)
        yield f"    Your rule{says}: {every}. Usual: {usual + ': ' if usual else ''}{item.usual.source}."
    elif item.interval.source:
        said = f"{every}: {item.interval.source}" if every else item.interval.source
        yield f"    {said[:1].upper()}{said[1:]}."
    if item.gathered_mm is not None:
        yield f"    Last time {millimetres_text(item.gathered_mm)} had gathered: sweep sooner than that time."
    if how and item.how:
        yield f"    {item.how}"


def _standing(item: DueItem, units: OwnUnits) -> str:
    how = _DECIDED[item.decides] if item.decides else ""
    counted = _counted(item, units)
    if item.state is DueState.NOW:
        also = f"; also due {_since(item)}{counted}" if item.also_due else ""
        return f"{'; '.join(map(_call, item.called_for))}{also}{_at_once(item)}"
    if item.state is DueState.NOT_RECORDED:
        longer = ", and the log is longer than the interval" if item.log_longer else ""
        return f"not in the log{longer}{counted}"
    if item.state is DueState.NO_INTERVAL:
        return f"no interval{counted}"
    if item.decides is Decides.PRINTED and item.due_on is not None:
        passed = "past" if item.state is DueState.DUE else "good to"
        return f"{passed} the date printed on it, {date_text(item.due_on)}" + (
            ". Replace it" if item.state is DueState.DUE else ""
        )
    if item.state is DueState.DUE:
        return f"due {_since(item)}{counted}"
    about = "due" if item.decides is Decides.DATE else "due about"
    when = f"{about} {date_text(item.expected_on)} {how}" if item.expected_on else "not due"
    return f"{when}{counted}"


def _since(item: DueItem) -> str:
    """ "since 1 Mar 2026 by date", "by wood burned"."""
    decides = item.also_due or item.decides
    since = f"since {date_text(item.due_on)} " if decides is Decides.DATE and item.due_on else ""
    return f"{since}{_DECIDED[decides]}" if decides else since


def _call(call: Call) -> str:
    if call.kind is CallKind.SEEN:
        where = f" ({call.where})" if call.where else ""
        return f"{call.what} seen{where} {date_text(call.on)}"
    if call.kind is CallKind.CHIMNEY_FIRE:
        return f"chimney fire {date_text(call.on)}"
    if call.kind is CallKind.DEPOSIT and call.deposit_mm is not None:
        return f"{millimetres_text(call.deposit_mm)} of deposit found {date_text(call.on)}, not swept since"
    if call.kind is CallKind.TESTED_COLD:
        return "tested colder than alarms are rated for, and the room is warm now: test again"
    return "not tested in this stay"


def _at_once(item: DueItem) -> str:
    """What the sources ask for after a chimney fire, and at which deposit; both levels are said."""
    said = "".join(AT_SIGHT.get(what, "") for what in {call.what: None for call in item.called_for})
    if item.task == "flue" and any(call.kind is CallKind.CHIMNEY_FIRE for call in item.called_for):
        said += (
            ". No fire before it has been inspected: after a chimney fire a level 2 or 3 inspection is asked "
            "for (NFPA 211, as reported)"
        )
    found = [call.deposit_mm for call in item.called_for if call.deposit_mm is not None]
    if found:
        level = "above both levels" if found[-1] >= LATER_LEVEL_MM else "above the first of two levels"
        said += (
            f". {millimetres_text(found[-1])} is {level}: any measurable deposit is cleaned away (NFPA 211's "
            "wording, as reported); from 3 mm (1/8 in) swept before the next fire (a body of sweeps, as "
            "reported)"
        )
    return said


def _counted(item: DueItem, units: OwnUnits) -> str:
    """How far the counted rules have come: "; 312 of 1000 kg burned since"."""
    since = "since" if item.last is not None else "since the log began"
    said = []
    if item.interval.kg is not None:
        said.append(f"{_whole_mass(item.kg_since, units)} of {_whole_mass(item.interval.kg, units)} burned")
    if item.interval.burn_days is not None:
        said.append(f"{item.burn_days_since} of {number_text(item.interval.burn_days)} days with a fire")
    return f"; {' and '.join(said)} {since}" if said else ""


def _by_when(answer: DueAnswer) -> str:
    if answer.usual is None:
        return "Within 30 days (no rhythm of stays is known yet)"
    return f"By the end of the next stay, usually about {date_text(answer.usual.next_ends)}"


def _unknown(items: Iterable[DueItem], setting: Setting) -> list[str]:
    """What was never written down; it is not called overdue, for nobody knows. The stove's own have a row."""
    items = list(items)
    burned = [i for i in items if i.log_longer and i.safety and (i.interval.kg or i.interval.burn_days)]
    rows = [f"! {due_sentence(i, setting=setting)}" for i in burned]
    others = [i for i in items if i not in burned]
    for label, safety in (("safety", True), ("the rest", False)):
        names = [i.task for i in others if i.safety is safety]
        rows += [f"Never written down, {label}: {', '.join(names)}."] if names else []
    if rows:
        rows.append("Look when each was last done and write it with its date: 3 oct did gutters")
    return ["", *rows] if rows else []


def _silenced(items: Iterable[DueItem]) -> list[str]:
    said = [
        f"{i.task} ({date_text(i.silenced_on)})"
        for i in items
        if i.state is DueState.SILENCED and i.silenced_on
    ]
    return ["", f"Silenced by you: {', '.join(said)}."] if said else []


def _since_when(answer: RecordAnswer) -> str:
    """Since when the log is written, and that days before were written down afterwards, if any were."""
    if answer.log_began is None:
        return ""
    since = f" written since {date_text(answer.log_began)}"
    if answer.oldest_entry is None or answer.oldest_entry >= answer.log_began:
        return since
    return f"{since} (days before, back to {date_text(answer.oldest_entry)}, were written down afterwards)"


def _record_rows(row: RecordRow, units: OwnUnits) -> Iterator[str]:
    kind = {"looked": "looked at", "gone": "said to be gone"}.get(row.kind, row.kind)
    yield f"{row.on:%Y-%m-%d}  {row.what}: {kind}"
    told = {
        "deposit found": "" if row.deposit_mm is None else millimetres_text(row.deposit_mm),
        "wood burned since the time before": ""
        if row.kg_before is None
        else _whole_mass(row.kg_before, units),
        "printed on it: good to": "" if row.until is None else f"{row.until:%Y-%m-%d}",
        "place" if row.kind in ("seen", "gone") else "found:": row.finding,
        "by": row.by,
        "written down later, on": "" if row.written_on is None else f"{row.written_on:%Y-%m-%d}",
    }
    yield from (f"            {label} {text}" for label, text in told.items() if text)
    yield from (f"            photo {photo}" for photo in row.photos)


def _tests_rows(rows: Sequence[RecordRow]) -> list[str]:
    """The days on which the alarms were tested, a row for each year: many, and all alike."""
    years: dict[int, list[str]] = {}
    for row in rows:
        if row.kind == "tested":
            days = years.setdefault(row.on.year, [])
            day = date_text(row.on, year=False)
            days += [day] if day not in days else []
    said = [f"  {year}: {', '.join(days)}" for year, days in years.items()]
    late = {date_text(row.on) for row in rows if row.kind == "tested" and row.written_on}
    said += [f"  {len(late)} of these days written down days later."] if late else []
    return ["", "Smoke and CO alarm tested by their buttons:", *said] if said else []


def _whole_mass(kg: float, units: OwnUnits) -> str:
    value = lb_from_kg(kg) if units.mass == "lb" else kg
    return f"{number_text(value)} {units.mass}"
