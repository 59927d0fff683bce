"""Dates printed on things or remembered by the month: "may 2033", "2033-05", "05/2033", "3 may 2033"."""

from __future__ import annotations

import re
from datetime import date

from logbook.entry.limits import refused
from logbook.entry.matters.line import MatterLine
from logbook.entry.phrases import month_of
from logbook.setting import YEARS, local_time

_YEAR = re.compile(r"(?:19|20|21)\d\d", re.ASCII)
_DAY = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?\.?", re.ASCII)
_ISO = re.compile(r"(\d{4})-(\d{1,2})(?:-(\d{1,2}))?", re.ASCII)
_MONTH_YEAR = re.compile(r"(\d{1,2})[/.](\d{4})", re.ASCII)
_DOTTED = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})", re.ASCII)
_STROKES = re.compile(r"\d{1,2}/\d{1,2}/(?:\d{4}|\d\d)", re.ASCII)


def date_at(line: MatterLine, at: int, *, needs_year: bool) -> tuple[date, int] | None:
    """A date and the words it takes; a month or year alone is its first day.

    Without a year, where one isn't needed, it is the last such day before the line's own.

    Raises:
        RefusedError: for a date there is not, or one that means another day on the other side of the sea.
    """
    word = line.word(at)
    if _STROKES.fullmatch(word):
        raise refused(
            f"{word} is read one way here and another there.",
            "Type it like 3 may 2033.",
            line.span(at, at + 1),
        )
    if match := _ISO.fullmatch(word):
        return _made(line, at, 1, (match.group(1), match.group(2), match.group(3) or "1"))
    if match := _DOTTED.fullmatch(word):
        return _made(line, at, 1, (match.group(3), match.group(2), match.group(1)))
    if match := _MONTH_YEAR.fullmatch(word):
        return _made(line, at, 1, (match.group(2), match.group(1), "1"))
    if _YEAR.fullmatch(word):
        return _made(line, at, 1, (word, "1", "1"))
    return _by_name(line, at, needs_year=needs_year)


def _by_name(line: MatterLine, at: int, *, needs_year: bool) -> tuple[date, int] | None:
    """Reads "may 2033", "3 may 2033", "may 3 2033", "may", "last may"."""
    skip = 1 if line.word(at) in {"last", "the"} else 0
    first, second = line.word(at + skip), line.word(at + skip + 1)
    day, month, taken = "1", month_of(first), 1
    number = second if month else first
    month = month or (month_of(second) if _DAY.fullmatch(first) else None)
    if match := _DAY.fullmatch(number):
        day, taken = match.group(1), 2
    if month is None:
        return None
    after = at + skip + taken
    if _YEAR.fullmatch(line.word(after)):
        return _made(line, at, skip + taken + 1, (line.word(after), str(month), day))
    if needs_year:
        return None
    here = local_time(line.at, line.setting.zone).date()
    found = _made(line, at, skip + taken, (str(here.year), str(month), day))
    return found if found[0] <= here else _made(line, at, skip + taken, (str(here.year - 1), str(month), day))


def _made(line: MatterLine, at: int, taken: int, parts: tuple[str, str, str]) -> tuple[date, int]:
    """The date of a year, month and day, in figures."""
    try:
        found = date(*(int(part) for part in parts))
    except ValueError:
        found = None
    if found is None or not YEARS[0] <= found.year <= YEARS[1]:
        raise refused(
            f"{line.said(at, at + taken)} is no date.", "Type it like may 2033.", line.span(at, at + taken)
        )
    return found, taken
