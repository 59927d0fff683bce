"""One row of a paper sheet: cells put together into the line its owner would have typed, and read as one.

``entry.read_line`` reads it; nothing of temperatures, wood or air is read here. What is added is the sheet's
own: a time without a colon, and days that follow from times that run back.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from logbook.entry import Understood, read_line
from logbook.records import Entry
from logbook.setting import Setting, local_time
from logbook.wording import day_text

WEEK, LONGEST_SHEET = timedelta(days=6), timedelta(days=30)
"""A weekday named in a row is looked for within the first, a date within the second. ASSUMED: a holiday."""

Heard = tuple[str, datetime, Setting, tuple[tuple[str, str], ...]]
"""What a line was read against: the same again gives the same."""

_BARE_CLOCK = re.compile(r"(.*?\b)(\d{1,2})(\d\d)", re.ASCII)
_BARE_HOUR = re.compile(r"\d{1,2}", re.ASCII)
_HALF_DAY = re.compile(r"[ap]m", re.IGNORECASE)
_BARE_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_NUMBERS = ("indoor_c", "outdoor_c", "load_kg", "pieces", "air_open_pct", "at")
"""What a note may not change: its words are read for coals, marks and windows, never for figures."""


@dataclass(frozen=True, slots=True)
class ReadRow:
    """What one row was understood as, or why it was not."""

    line: str
    heard: Understood | None = None
    wrong: str = ""

    @property
    def at(self) -> datetime | None:
        """Its time, if it was understood."""
        return self.heard.entry.at if self.heard is not None and self.heard.entry is not None else None


@dataclass(kw_only=True)
class RowReader:
    """Reads the rows of one sheet, in order.

    ``known`` are lines read for the sheet before this key; ``heard`` are those of this one: all but the row
    being written are the same again, and need not be read anew.
    """

    first: date
    now: datetime
    answers: Mapping[tuple[str, str], str]
    known: Mapping[Heard, Understood] = field(default_factory=dict)
    heard: dict[Heard, Understood] = field(default_factory=dict)

    def read(
        self, cells: Sequence[str], *, day: date, newest: datetime | None, setting: Setting
    ) -> tuple[ReadRow, date]:
        """One row on its day, and the day it turned out to be: a time that runs back begins the next one.

        Args:
            cells: As typed.
            day: The day of the row before.
            newest: The time of the row before, None for the first.
            setting: What it is read against.
        """
        clock = _clock(cells[0])
        if not clock:
            return ReadRow("", wrong="A row needs its time. Type it in the first cell, such as 1740."), day
        if any(sign.isalpha() for sign in _HALF_DAY.sub("", clock)):
            return self._on_named_day(cells, clock, day=day, setting=setting)
        got, found = self._on(cells, clock, day, setting), day
        if got.at is not None and newest is not None and got.at < newest:
            found = day + timedelta(days=1)
            got = self._on(cells, clock, found, setting)
        if got.at is not None and local_time(got.at, setting.zone).date() != found:
            said = f"{clock} on {day_said(found)} is still to come."
            return ReadRow(got.line, wrong=f"{said} Look at the date on top, or at the time."), day
        return got, found

    def _on_named_day(
        self, cells: Sequence[str], clock: str, *, day: date, setting: Setting
    ) -> tuple[ReadRow, date]:
        """A row that names its day itself ("sat 0710"), as one does that was passed over at first."""
        for reach in (WEEK, LONGEST_SHEET):
            got = self._on(cells, clock, self.first + reach, setting)
            if got.at is None:
                return got, day
            found = local_time(got.at, setting.zone).date()
            if found >= self.first:
                return got, found
        return ReadRow(
            got.line, wrong=f"{clock} is before the sheet's first day, {day_said(self.first)}."
        ), day

    def _on(self, cells: Sequence[str], clock: str, day: date, setting: Setting) -> ReadRow:
        """A row's line read as of the end of a day (or of now, if that is earlier)."""
        end = datetime.combine(day, time(23, 59, 59), tzinfo=ZoneInfo(setting.zone)).astimezone(UTC)
        until = min(end, self.now)
        _, outside, inside, wood, air, note = (cell.strip() for cell in cells)
        parts = [f"out {outside}"] * bool(outside) + [f"in {inside}"] * bool(inside)
        parts += [f"load {wood}" if _BARE_NUMBER.fullmatch(wood) else wood] * bool(wood)
        parts += [f"air {air}"] * bool(air)
        bare = " ".join([clock, *parts])
        without = self._hear(bare, until, setting) if parts else None
        if without is not None:
            wrong = without.problem.text if without.problem else ""
            if not wrong and without.left_over:
                wrong = f'"{without.left_over}" can\'t be read here. In the note cell it is kept as words.'
            if wrong or not note:
                return ReadRow(bare, None if wrong else without, wrong)
        if not note:
            return ReadRow(
                bare, wrong=f"{clock} and nothing else. Type what happened then, or empty the row."
            )
        got = self._hear(f"{bare} {note}", until, setting)
        if not _means_the_same(got, without):
            got = self._hear(f"{bare} note {note}", until, setting)
        return ReadRow(got.text, None if got.problem else got, got.problem.text if got.problem else "")

    def _hear(self, line: str, until: datetime, setting: Setting) -> Understood:
        said = tuple(sorted((kind, key) for (of, kind), key in self.answers.items() if of == line))
        key = (line, until, setting, said)
        if key not in self.heard:
            old = self.known.get(key)
            self.heard[key] = old or read_line(line, now=until, setting=setting, answers=dict(said))
        return self.heard[key]


def _means_the_same(got: Understood, without: Understood | None) -> bool:
    """Whether a note's words, read as the line's own (coals few, bed), change no figure and ask nothing."""
    asked = len(without.questions) if without is not None else 0
    if got.entry is None or len(got.questions) > asked:
        return False
    wanted = (without.entry if without is not None else None) or Entry(at=got.entry.at)
    return all(getattr(got.entry, name) == getattr(wanted, name) for name in _NUMBERS)


def _clock(text: str) -> str:
    """The time cell as the writing line takes it: 1740 is 17:40, 7 is 7:00; anything else as typed."""
    text = text.strip()
    if _BARE_HOUR.fullmatch(text):
        return f"{text}:00"
    found = _BARE_CLOCK.fullmatch(text)
    return f"{found.group(1)}{found.group(2)}:{found.group(3)}" if found else text


def day_said(day: date, *, year: bool = False) -> str:
    """A day in words, "Fri 5 Dec"."""
    return day_text(datetime.combine(day, time(12), tzinfo=UTC), zone="UTC", year=year)
