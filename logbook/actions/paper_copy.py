"""Copying a paper weekend into the log: the sheet read row by row, and kept as one act."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from logbook.actions import lines
from logbook.actions.paper_rows import Heard, ReadRow, RowReader, day_said
from logbook.actions.setting_now import LEVER, setting_now
from logbook.entry import Understood, read_line
from logbook.errors import EntryError
from logbook.records import Entry, How, NewEvent
from logbook.results.app import Kept, Standing
from logbook.results.copying import Sheet, SheetRead, SheetRow
from logbook.setting import Setting, local_time
from logbook.store.rows import entry_values
from logbook.wording import air_text, day_text, temperature_text, time_text

if TYPE_CHECKING:
    from logbook.store.log import Log

FRIDAY = 4


@dataclass
class SheetReader:
    """Reads a sheet after every key; remembers the lines it read last time, so that only one is new."""

    _known: Mapping[Heard, Understood] = field(default_factory=dict)

    def read(self, sheet: Sheet, *, now: datetime, setting: Setting) -> SheetRead:
        """What a sheet says, row by row; never raises for what is typed.

        Args:
            sheet: As typed.
            now: The clock, to the minute: nothing on paper is later.
            setting: What the rows are read against; the last load and readings come from the sheet itself.
        """
        now = now.replace(second=0, microsecond=0)
        first, trouble = _first_day(sheet.date, now=now, setting=setting)
        usual = _last_friday(now, setting)
        if first is None:
            if not sheet.date.strip():
                trouble = f"{trouble} Enter alone: {day_said(usual)}."
            rows = tuple(SheetRow(cells=row) for row in sheet.rows)
            return SheetRead(day="", usual=usual.isoformat(), trouble=trouble, rows=rows)
        answers = {(line, kind): key for line, kind, key in sheet.answers}
        reader = RowReader(first=first, now=now, answers=answers, known=self._known)
        rows, heard = _rows_of(sheet, reader, setting=_alone(setting))
        self._known = reader.heard
        said = day_said(first, year=True)
        return SheetRead(day=said, usual=usual.isoformat(), rows=rows, token=heard)


def read_sheet(sheet: Sheet, *, now: datetime, setting: Setting) -> SheetRead:
    """What a sheet says, read once."""
    return SheetReader().read(sheet, now=now, setting=setting)


def _rows_of(
    sheet: Sheet, reader: RowReader, *, setting: Setting
) -> tuple[tuple[SheetRow, ...], tuple[Understood, ...]]:
    """Every row as shown, and those that were understood."""
    day, newest, shown_day = reader.first, None, None
    rows: list[SheetRow] = []
    heard: list[Understood] = []
    for cells in sheet.rows:
        if not any(cell.strip() for cell in cells):
            rows.append(SheetRow(cells=cells))
            continue
        got, day = reader.read(cells, day=day, newest=newest, setting=setting)
        said_day = "" if day == shown_day else day_said(day)
        shown_day = day
        rows.append(_shown(cells, got, day=said_day, setting=setting))
        if got.heard is not None and got.heard.entry is not None:
            newest = got.heard.entry.at
            heard.append(got.heard)
            setting = _after(setting, got.heard)
    return tuple(rows), tuple(heard)


def keep_sheet(log: Log, read: SheetRead, *, now: datetime) -> Kept:
    """Keep all rows as one act; those the log has already stay out.

    Raises:
        EntryError: The date is missing, a row can't be read or asks something, or all are in the log.
    """
    heard = whole(read)
    setting = setting_now(log)
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
        f"{text} 00:00 note x",
        now=now,
        setting=replace(setting, newest_at=None, as_of_then=True, stay_began=None),
    )
    if heard.entry is None or heard.left_over or heard.entry.note != "x" or _figures(heard.entry):
        return None, f'"{text.strip()}" is no day known here. Type 5 dec, fri, or 2025-12-05.'
    return local_time(heard.entry.at, setting.zone).date(), ""


def _last_friday(now: datetime, setting: Setting) -> date:
    """The day most weekends begin, today or before. ASSUMED: a weekend cabin."""
    today = local_time(now, setting.zone).date()
    return today - timedelta(days=(today.weekday() - FRIDAY) % 7)


FIGURES = ("indoor_c", "outdoor_c", "load_kg", "air_open_pct")


def _figures(entry: Entry) -> bool:
    return any(getattr(entry, name) is not None for name in FIGURES)


def _alone(setting: Setting) -> Setting:
    """The owner's units and words without what the log last said: the sheet is older, or newer, than that."""
    return replace(
        setting, newest_at=None, as_of_then=True, stay_began=None,
        last_load=None, last_indoor_c=None, last_outdoor_c=None,
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
        air_lever_reads=learned.get(LEVER, setting.air_lever_reads),
        last_load=entry if entry.load_kg else setting.last_load,
        last_indoor_c=setting.last_indoor_c if entry.indoor_c is None else entry.indoor_c,
        last_outdoor_c=setting.last_outdoor_c if entry.outdoor_c is None else entry.outdoor_c,
        last_reading_at=entry.at if read else setting.last_reading_at,
    )


def _shown(cells: Sequence[str], row: ReadRow, *, day: str, setting: Setting) -> SheetRow:
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
