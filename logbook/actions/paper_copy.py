"""Copying a paper weekend into the log: rows of cells, each read by the grammar of the writing line.

A row is put together into the line its owner would have typed, and ``entry.read_line`` reads it; nothing of
temperatures, wood or air is read here. What is added is the sheet's own: a time without a colon, and days
that follow from times that run back.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from logbook.actions import lines
from logbook.answers import Kept, Standing
from logbook.copying_answers import Sheet, SheetRead, SheetRow
from logbook.entry import Understood, read_line
from logbook.errors import EntryError
from logbook.records import Entry, How, NewEvent
from logbook.setting import Setting, local_time
from logbook.store.rows import entry_values
from logbook.wording import air_text, day_text, temperature_text, time_text

if TYPE_CHECKING:
    from logbook.store.log import Log

WEEK, LONGEST_SHEET = timedelta(days=6), timedelta(days=30)
"""A weekday named in a row is looked for within the first, a date within the second. ASSUMED: a holiday."""

FRIDAY = 4

_BARE_CLOCK = re.compile(r"(.*?\b)(\d{1,2})(\d\d)", re.ASCII)
_BARE_HOUR = re.compile(r"\d{1,2}", re.ASCII)
_HALF_DAY = re.compile(r"[ap]m", re.IGNORECASE)
_BARE_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_NUMBERS = ("indoor_c", "outdoor_c", "load_kg", "pieces", "air_open_pct", "at")
"""What a note may not change: its words are read for coals, marks and windows, never for figures."""


@dataclass(frozen=True, slots=True)
class _Row:
    """What one row was understood as, or why it was not."""

    line: str
    heard: Understood | None = None
    wrong: str = ""


def read_sheet(sheet: Sheet, *, now: datetime, setting: Setting) -> SheetRead:
    """What a sheet says, row by row; never raises for what is typed.

    Args:
        sheet: As typed.
        now: The clock: nothing on paper is later.
        setting: What the rows are read against; the last load and readings come from the sheet itself.
    """
    first, trouble = _first_day(sheet.date, now=now, setting=setting)
    usual = _last_friday(now, setting)
    if first is None:
        if not sheet.date.strip():
            trouble = f"{trouble} Enter alone: {_day_said(usual)}."
        return SheetRead(
            day="",
            usual=usual.isoformat(),
            trouble=trouble,
            rows=tuple(SheetRow(cells=row) for row in sheet.rows),
        )
    answers = {(line, kind): key for line, kind, key in sheet.answers}
    setting = _alone(setting)
    day, newest, shown_day = first, None, None
    rows, heard_rows = [], []
    for cells in sheet.rows:
        if not any(cell.strip() for cell in cells):
            rows.append(SheetRow(cells=cells))
            continue
        got, day = _read_row(
            cells, day=day, first=first, newest=newest, now=now, setting=setting, answers=answers
        )
        heard = got.heard
        said_day = "" if day == shown_day else _day_said(day)
        shown_day = day
        rows.append(_shown(cells, got, day=said_day, setting=setting))
        if heard is not None and heard.entry is not None:
            newest = heard.entry.at
            heard_rows.append(heard)
            setting = _after(setting, heard)
    said = day_text(_noon(first), zone="UTC", year=True)
    return SheetRead(day=said, usual=usual.isoformat(), rows=tuple(rows), token=tuple(heard_rows))


def keep_sheet(log: Log, read: SheetRead, *, now: datetime) -> Kept:
    """Keep all rows as one act; those the log has already stay out.

    Raises:
        EntryError: The date is missing, a row can't be read or asks something, or all are in the log.
    """
    heard = whole(read)
    setting = lines.setting_now(log)
    entries = [entry for one in heard for entry in one.entries]
    first, last = min(e.at for e in entries), max(e.at for e in entries)
    there = {_likeness(row) for row in log.ever_said(first, last)}
    new = [one for one in heard if any(_likeness(entry_values(e)) not in there for e in one.entries)]
    if not new:
        since = _known_since(log, entries, first=first, last=last)
        when = (
            f" since {day_text(since, zone=setting.zone)} {time_text(since, zone=setting.zone)}"
            if since
            else ""
        )
        raise EntryError(f"{_all(len(heard))} in the log{when}.\nNothing added.")
    events = [event for one in new for event in _events(one)]
    learned = tuple(dict.fromkeys(pair for one in new for pair in one.learned))
    kept = log.add(events, learned=learned)
    was = len(heard) - len(new)
    beside = f" {was} {'was' if was == 1 else 'were'} in the log already." if was else ""
    said = f"{_rows(len(new))} from paper, {read.day}.{beside} u takes all back."
    return Kept(sentence=said, event_ids=tuple(e.uuid for e in kept))


def _rows(count: int) -> str:
    return f"{count} row{'' if count == 1 else 's'}"


def _all(count: int) -> str:
    return f"All {count} rows are" if count > 1 else "This row is"


def whole(read: SheetRead) -> tuple[Understood, ...]:
    """The rows as understood, once every one of them is.

    Raises:
        EntryError: Something is missing or open; says which row.
    """
    if not read.day:
        raise EntryError(read.trouble or "The weekend has no date yet.\nType it on top, such as 5 dec.")
    for n, row in enumerate(read.rows, start=1):
        if row.standing is Standing.STOP:
            raise EntryError(f"Row {n}: {row.sentence}\nNothing is kept yet; all rows stand as typed.")
        if row.standing is Standing.ASKS:
            raise EntryError(f"Row {n} asks: {row.sentence}\nNothing is kept yet.")
    heard = read.token
    if not isinstance(heard, tuple) or not heard:
        raise EntryError("No row has anything in it yet.\nTab goes to the next cell, ↓ ends a row.")
    return heard


def _first_day(text: str, *, now: datetime, setting: Setting) -> tuple[date | None, str]:
    """The sheet's first day, read by the writing line's own grammar; or what is wrong with it."""
    if not text.strip():
        return None, "Which day does the sheet begin? Type 5 dec, fri, or 2025-12-05."
    heard = read_line(
        f"{text} 00:00 note x", now=now, setting=replace(setting, newest_at=None, stay_began=None)
    )
    if heard.entry is None or heard.left_over or heard.entry.note != "x" or _figures(heard.entry):
        return None, f'"{text.strip()}" is no day known here. Type 5 dec, fri, or 2025-12-05.'
    return local_time(heard.entry.at, setting.zone).date(), ""


def _last_friday(now: datetime, setting: Setting) -> date:
    """The day most weekends begin, today or before. ASSUMED: a weekend cabin."""
    today = local_time(now, setting.zone).date()
    return today - timedelta(days=(today.weekday() - FRIDAY) % 7)


def _figures(entry: Entry) -> bool:
    return any(getattr(entry, name) is not None for name in _NUMBERS if name != "at")


def _alone(setting: Setting) -> Setting:
    """The owner's units and words without what the log last said: the sheet is older, or newer, than that."""
    return replace(
        setting, newest_at=None, stay_began=None, last_load=None, last_indoor_c=None, last_outdoor_c=None,
        last_reading_at=None,
    )  # fmt: skip


def _after(setting: Setting, heard: Understood) -> Setting:
    """What the next row is read against: this row's load and readings, and what was just answered."""
    entry = heard.entry
    assert entry is not None
    learned = dict(heard.learned)
    read = entry.indoor_c is not None or entry.outdoor_c is not None
    return replace(
        setting,
        air_lever_reads=learned.get(lines.LEVER, setting.air_lever_reads),
        last_load=entry if entry.load_kg else setting.last_load,
        last_indoor_c=setting.last_indoor_c if entry.indoor_c is None else entry.indoor_c,
        last_outdoor_c=setting.last_outdoor_c if entry.outdoor_c is None else entry.outdoor_c,
        last_reading_at=entry.at if read else setting.last_reading_at,
    )


def _read_row(
    cells: Sequence[str],
    *,
    day: date,
    first: date,
    newest: datetime | None,
    now: datetime,
    setting: Setting,
    answers: dict[tuple[str, str], str],
) -> tuple[_Row, date]:
    """One row on its day, and the day it turned out to be: a time that runs back begins the next one."""
    clock = _clock(cells[0])
    if not clock:
        return _Row("", wrong="A row needs its time. Type it in the first cell, such as 1740."), day

    def read_on(until: date) -> _Row:
        return _read_on(cells, clock, until, now=now, setting=setting, answers=answers)

    if any(sign.isalpha() for sign in _HALF_DAY.sub("", clock)):
        return _on_named_day(read_on, clock, day=day, first=first, zone=setting.zone)
    got, found = read_on(day), day
    at = _at(got)
    if at is not None and newest is not None and at < newest:
        found = day + timedelta(days=1)
        got = read_on(found)
        at = _at(got)
    if at is not None and local_time(at, setting.zone).date() != found:
        said = f"{clock} on {_day_said(found)} is still to come."
        return _Row(got.line, wrong=f"{said} Look at the date on top, or at the time."), day
    return got, found


def _on_named_day(
    read_on: Callable[[date], _Row], clock: str, *, day: date, first: date, zone: str
) -> tuple[_Row, date]:
    """A row that names its day itself ("sat 0710"), as one does that was passed over at first."""
    found = day
    for reach in (WEEK, LONGEST_SHEET):
        got = read_on(first + reach)
        at = _at(got)
        if at is None:
            return got, day
        found = local_time(at, zone).date()
        if found >= first:
            return got, found
    return _Row(got.line, wrong=f"{clock} is before the sheet's first day, {_day_said(first)}."), day


def _at(row: _Row) -> datetime | None:
    return row.heard.entry.at if row.heard is not None and row.heard.entry is not None else None


def _clock(text: str) -> str:
    """The time cell as the writing line takes it: 1740 is 17:40, 7 is 7:00; anything else as typed."""
    text = text.strip()
    if _BARE_HOUR.fullmatch(text):
        return f"{text}:00"
    found = _BARE_CLOCK.fullmatch(text)
    return f"{found.group(1)}{found.group(2)}:{found.group(3)}" if found else text


def _read_on(
    cells: Sequence[str],
    clock: str,
    day: date,
    *,
    now: datetime,
    setting: Setting,
    answers: dict[tuple[str, str], str],
) -> _Row:
    """A row's line read as of the end of a day (or of now, if that is earlier)."""
    end = datetime.combine(day, time(23, 59, 59), tzinfo=ZoneInfo(setting.zone)).astimezone(UTC)
    until = min(end, now)
    _, outside, inside, wood, air, note = (cell.strip() for cell in cells)
    parts = [f"out {outside}"] * bool(outside) + [f"in {inside}"] * bool(inside)
    parts += [f"load {wood}" if _BARE_NUMBER.fullmatch(wood) else wood] * bool(wood)
    parts += [f"air {air}"] * bool(air)

    def heard(line: str) -> Understood:
        said = {kind: key for (of, kind), key in answers.items() if of == line}
        return read_line(line, now=until, setting=setting, answers=said)

    bare = " ".join([clock, *parts])
    without = heard(bare) if parts else None
    if without is not None:
        wrong = without.problem.text if without.problem else ""
        if not wrong and without.left_over:
            wrong = f'"{without.left_over}" can\'t be read here. In the note cell it is kept as words.'
        if wrong or not note:
            return _Row(bare, None if wrong else without, wrong)
    if not note:
        return _Row(bare, wrong=f"{clock} and nothing else. Type what happened then, or empty the row.")
    return _with_note(heard, bare, without, note)


def _with_note(heard: Callable[[str], Understood], bare: str, without: Understood | None, note: str) -> _Row:
    """Words in the note cell that the line knows (coals few, bed) count; figures in it never do."""
    got, kept = heard(f"{bare} {note}"), f"{bare} note {note}"
    asked = len(without.questions) if without is not None else 0
    if got.entry is None or len(got.questions) > asked:
        return _noted(heard, kept)
    wanted = without.entry if without is not None else None
    bare_entry = wanted or Entry(at=got.entry.at)
    if any(getattr(got.entry, name) != getattr(bare_entry, name) for name in _NUMBERS):
        return _noted(heard, kept)
    return _Row(got.text, got)


def _noted(heard: Callable[[str], Understood], line: str) -> _Row:
    got = heard(line)
    return _Row(line, None, got.problem.text) if got.problem else _Row(line, got)


def _shown(cells: Sequence[str], row: _Row, *, day: str, setting: Setting) -> SheetRow:
    """A row in the owner's words; one that can't be read stays as typed, with why."""
    heard = row.heard
    if heard is None or heard.entry is None:
        return SheetRow(
            cells=tuple(cells), standing=Standing.STOP, sentence=row.wrong, day=day, line=row.line
        )
    shown = _cells(heard.entry, cells, setting=setting)
    open_questions = [q for q in heard.questions if q.blocks_scripts]
    if open_questions:
        asked = open_questions[0]
        return SheetRow(
            cells=shown, standing=Standing.ASKS, sentence=asked.text, day=day, line=row.line,
            asked=asked.kind, answers=tuple(a.key for a in asked.answers),
        )  # fmt: skip
    said = lines.said_back(heard)
    return SheetRow(cells=shown, standing=Standing.READS, sentence=said, day=day, line=row.line)


def _cells(entry: Entry, typed: Sequence[str], *, setting: Setting) -> tuple[str, ...]:
    units = setting.units
    out, inside = (
        "" if value is None else temperature_text(value, units=units, decimals=decimals)
        for value, decimals in ((entry.outdoor_c, 0), (entry.indoor_c, 1))
    )
    wood = entry.pieces or typed[3].strip()
    air = "" if entry.air_open_pct is None else air_text(entry.air_open_pct)
    return (time_text(entry.at, zone=setting.zone), out, inside, wood, air, typed[5].strip())


def _noon(day: date) -> datetime:
    return datetime.combine(day, time(12), tzinfo=UTC)


def _day_said(day: date) -> str:
    return day_text(_noon(day), zone="UTC")


def _events(heard: Understood) -> list[NewEvent]:
    return [
        NewEvent(
            entry=entry,
            at_typed=heard.at_typed,
            zone=heard.zone,
            how=How.PAPER,
            typed=heard.typed if n == 0 else (),
            line=heard.text,
        )
        for n, entry in enumerate(heard.entries)
    ]


def _likeness(row: Sequence[object]) -> tuple[object, ...]:
    """What makes two rows the same: everything but the flags, which stand last."""
    return tuple(row[:-1])


def _known_since(log: Log, entries: Sequence[Entry], *, first: datetime, last: datetime) -> datetime | None:
    """When the newest of these entries was written; None where they were edited since."""
    seen = {_likeness(entry_values(e)) for e in entries}
    written = [
        event.written_at
        for event in log.current_entries(first, last)
        if event.entry is not None and _likeness(entry_values(event.entry)) in seen
    ]
    return max(written, default=None)
