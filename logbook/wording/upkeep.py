"""Upkeep, the ash in its bucket and the upkeep record in sentences. Nothing here says that ash is cold."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime

from logbook.records import OwnUnits
from logbook.setting import Setting
from logbook.units import lb_from_kg
from logbook.upkeep_answers import (
    Ahead,
    AshClock,
    AshState,
    Decides,
    DueAnswer,
    DueItem,
    DueState,
    Interval,
    LastDone,
    RecordAnswer,
    RecordRow,
)
from logbook.wording.amounts import MONTHS, day_text, number_text, time_text

FIRST = (
    "The stove's manual, local code and a licensed sweep come before every interval here. "
    "Change one: every 500 kg flue says manual p. 14. Not asked for any more: never gutters."
)

SHOWN = (DueState.NOW, DueState.DUE, DueState.NEXT_STAY)

_DECIDED = {
    Decides.DATE: "by date",
    Decides.MASS: "by wood burned",
    Decides.BURN_DAYS: "by days with a fire",
    Decides.PRINTED: "by the date printed on it",
    Decides.STAY: "",
    Decides.SEEN: "",
    Decides.DEPOSIT: "",
}

_MONTHLY = {1: "every month", 12: "every year"}


def date_text(day: date) -> str:
    """A day: "1 Mar 2026"."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def due_text(answer: DueAnswer, *, setting: Setting, everything: bool = False) -> tuple[str, ...]:
    """The page: ash, what is due, what comes by the next stay, what nobody wrote down, what is silenced."""
    rows = [f"! {ash_text(answer.ash, setting=setting)}", ""] if answer.ash else []
    pressing = [i for i in answer.items if i.state in (DueState.NOW, DueState.DUE)]
    rows += _block("Due, safety first:", pressing, setting) if pressing else ["Nothing on record is due."]
    soon = [i for i in answer.items if i.state is DueState.NEXT_STAY]
    rows += _block(f"{_by_when(answer)}:", soon, setting)
    unknown = [i for i in answer.items if i.state is DueState.NOT_RECORDED]
    if everything:
        rows += _block("Not recorded yet:", unknown, setting)
        rows += _block("Later:", [i for i in answer.items if i.state is DueState.LATER], setting)
        rows += _block(
            "Without an interval:", [i for i in answer.items if i.state is DueState.NO_INTERVAL], setting
        )
    else:
        rows += _unknown(unknown)
    rows += _silenced(answer.items)
    rows += [""] if answer.ahead else []
    rows += [ahead_text(one, setting=setting) for one in answer.ahead]
    return (*rows, "", FIRST)


def due_sentence(item: DueItem, *, setting: Setting) -> str:
    """One task in a sentence or two: how it stands, which rule decides, when it was last done."""
    said = f"{item.title[:1].upper()}{item.title[1:]}: {_standing(item, setting.units)}."
    last = "" if item.last is None else f" Last: {last_text(item.last)}."
    if item.silenced_on is not None and item.state is not DueState.SILENCED:
        last += f" You silenced this on {date_text(item.silenced_on)}; it is told all the same."
    return said + last


def interval_text(interval: Interval, *, units: OwnUnits) -> str:
    """How often: "every year or 1000 kg of wood burned, whichever comes first"."""
    parts = []
    if interval.months is not None:
        years = interval.months // 12
        plain = f"every {years} years" if interval.months % 12 == 0 else f"every {interval.months} months"
        parts.append(_MONTHLY.get(interval.months, plain))
    if interval.days is not None:
        parts.append(f"every {number_text(interval.days)} days")
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
    parts += [f"{last.deposit_mm:g} mm"] if last.deposit_mm is not None else []
    parts += [f'"{last.finding}"'] if last.finding else []
    parts += [f"by {last.by}"] if last.by else []
    return ", ".join(parts)


def ash_text(clock: AshClock, *, setting: Setting) -> str:
    """Where the ash is, since when, and not before when; whether it went in hot."""
    filled, until = (_moment(at, setting) for at in (clock.filled, clock.not_before))
    where = f", {clock.where}" if clock.where else ""
    if clock.state is AshState.TIPPED_EARLY and clock.tipped is not None:
        said = (
            f"Ash taken out {filled} was tipped {_moment(clock.tipped, setting)}{where}: its 96 hours run to "
            f"{until}. Take it as live until then, and look at where it lies."
        )
    elif clock.state is AshState.WAIT_OVER:
        said = (
            f"Ash filled {filled}{where}: its 96 hours were over {until}. Embers have lived longer: handle "
            "it as live. When the bucket is emptied: ash tipped"
        )
    else:
        said = (
            f"Ash filled {filled}{where}: not tipped before {until}. Lid on, outdoors, 3 m (10 ft) from "
            "anything that burns: live ash gives off carbon monoxide."
        )
    return said + _went_in_hot(clock, setting)


def ash_short_text(clock: AshClock, *, setting: Setting) -> str:
    """The same for a row: "Ash filled Fri 16 Jan 15:15: not tipped before Tue 20 Jan 15:15."."""
    filled, until = (_moment(at, setting) for at in (clock.filled, clock.not_before))
    if clock.state is AshState.WAIT_OVER:
        return f"Ash since {filled}: 96 h were over {until}. Handle it as live."
    verb = "tipped early" if clock.state is AshState.TIPPED_EARLY else "not tipped"
    until = f"live until {until} at least" if clock.tipped is not None else f"before {until}"
    return f"Ash filled {filled}: {verb} {until}." if clock.tipped is None else f"Ash {verb}: {until}."


def ahead_text(one: Ahead, *, setting: Setting) -> str:
    """Upkeep written for a time to come: it does not count yet."""
    day = day_text(one.at, zone=setting.zone, year=True)
    return f"Written down for {day}, which is still to come: {one.task}. It counts from then on, not yet."


def record_text(answer: RecordAnswer, *, setting: Setting) -> tuple[str, ...]:
    """The upkeep record to print: who, since when, then every act under its date."""
    units = setting.units
    day = day_text(answer.as_of, zone=setting.zone, year=True)
    place = f": {answer.place}" if answer.place else ""
    since = f" kept since {date_text(answer.log_began)}" if answer.log_began else ""
    rows = [
        f"Upkeep record{place}",
        f"As of {day}, from the owner's log{since}: {answer.stays} stays, "
        f"{_whole_mass(answer.wood_kg, units)} of wood burned, as weighed. Dates and findings are as the "
        "owner wrote them.",
        "",
    ]
    for row in answer.rows:
        rows += _record_rows(row, units)
    if not answer.rows:
        rows.append("Nothing is recorded yet. Write what you do as you do it: swept flue 2 mm by J")
    rows += [ahead_text(one, setting=setting) for one in answer.ahead]
    return tuple(rows)


def _block(head: str, items: Iterable[DueItem], setting: Setting) -> list[str]:
    rows: list[str] = []
    for item in items:
        rows += _item_rows(item, setting)
    return ["", head, *rows] if rows else []


def _item_rows(item: DueItem, setting: Setting) -> Iterator[str]:
    mark = "! " if item.safety and item.state in (DueState.NOW, DueState.DUE) else "  "
    yield f"{mark}{due_sentence(item, setting=setting)}"
    every = interval_text(item.interval, units=setting.units)
    if item.usual is not None:
        said = f" ({item.interval.source})" if item.interval.source else ""
        usual = interval_text(item.usual, units=setting.units)
        yield f"    Your rule{said}: {every}. Usual: {usual + '; ' if usual else ''}{item.usual.source}."
    elif item.interval.source:
        said = f"{every}; " if every else ""
        yield f"    {said[:1].upper()}{said[1:]}{item.interval.source}."
    for remark in item.remarks:
        yield f"    {remark}"


def _standing(item: DueItem, units: OwnUnits) -> str:
    how = _DECIDED[item.decides] if item.decides else ""
    counted = _counted(item, units)
    if item.state is DueState.NOW:
        return f"{'; '.join(item.called_for)}{_at_once(item)}"
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
    if item.state is DueState.DUE and item.decides is Decides.DATE and item.due_on is not None:
        return f"due since {date_text(item.due_on)} {how}{counted}"
    if item.state is DueState.DUE:
        return f"due {how}{counted}"
    about = "due" if item.decides is Decides.DATE else "due about"
    when = f"{about} {date_text(item.expected_on)} {how}" if item.expected_on else "not due"
    return f"{when}{counted}"


def _at_once(item: DueItem) -> str:
    if any("chimney fire" in call for call in item.called_for) and item.task == "flue":
        return (
            ". No fire before it has been inspected: after a chimney fire a level 2 or 3 inspection is asked "
            "for (NFPA 211, as reported)"
        )
    if item.decides is Decides.DEPOSIT:
        return (
            ". Any measurable deposit calls for cleaning (NFPA 211's wording, as reported); at 3 mm (1/8 in) "
            "stop and have it swept (a body of sweeps, as reported)"
        )
    return ""


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


def _unknown(items: Iterable[DueItem]) -> list[str]:
    """What was never written down, in two rows; it is not called overdue, for nobody knows."""
    names = {True: [i.task for i in items if i.safety], False: [i.task for i in items if not i.safety]}
    rows = []
    if names[True]:
        rows.append(f"Never written down, safety: {', '.join(names[True])}.")
    if names[False]:
        rows.append(f"Never written down, the rest: {', '.join(names[False])}.")
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


def _record_rows(row: RecordRow, units: OwnUnits) -> Iterator[str]:
    kind = {"done": "done", "looked": "looked at", "tested": "", "seen": "seen"}[row.kind]
    yield f"{row.on:%Y-%m-%d}  {row.what}{f': {kind}' if kind else ''}"
    if row.deposit_mm is not None:
        yield f"            deposit found {row.deposit_mm:g} mm"
    if row.kg_before is not None:
        yield f"            wood burned since the time before {_whole_mass(row.kg_before, units)}"
    if row.until is not None:
        yield f"            printed on it: good to {row.until:%Y-%m-%d}"
    label = "place" if row.kind == "seen" else "found"
    yield from (f"            {label} {row.finding}" for _ in range(bool(row.finding)))
    yield from (f"            by {row.by}" for _ in range(bool(row.by)))
    yield from (f"            photo {photo}" for photo in row.photos)


def _went_in_hot(clock: AshClock, setting: Setting) -> str:
    if clock.fire_at is None:
        return ""
    if clock.fire_at > clock.filled:
        return f" Coals were noted {_moment(clock.fire_at, setting)}: that is fire, and this ash is of it."
    return (
        f" There was fire on record {_moment(clock.fire_at, setting)}, less than 24 h before: it went in "
        "hot. Advice is to wait 24 h after the last fire (as reported)."
    )


def _moment(at: datetime, setting: Setting) -> str:
    return f"{day_text(at, zone=setting.zone)} {time_text(at, zone=setting.zone)}"


def _whole_mass(kg: float, units: OwnUnits) -> str:
    value = lb_from_kg(kg) if units.mass == "lb" else kg
    return f"{number_text(value)} {units.mass}"
