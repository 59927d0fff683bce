"""Phrases of time as owners write them: "last night 11pm", "fri 7:30pm", "-2h", "16 jan 22:30".

This module only recognises; ``clock.py`` decides which moment is meant.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

from logbook.entry.tokens import Token, word_at
from logbook.entry.understood import Problem, RefusedError
from logbook.setting import YEARS

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DAYS_BACK = {"today": 0, "yesterday": 1, "tomorrow": -1}
PARTS = ("morning", "afternoon", "evening", "night")

_WEEKDAY = re.compile(
    r"(mon|tue|wed|thu|fri|sat|sun)"
    r"(?:(?<=mon)day|(?<=tue)s(?:day)?|(?<=wed)nesday|(?<=thu)(?:rs?|rsday)|(?<=fri)day|(?<=sat)urday|(?<=sun)day)?"
)
_MONTH = re.compile(
    r"(jan)(?:uary)?|(feb)(?:ruary)?|(mar)(?:ch)?|(apr)(?:il)?|(may)|(june?)|(july?)|(aug)(?:ust)?"
    r"|(sept?)(?:ember)?|(oct)(?:ober)?|(nov)(?:ember)?|(dec)(?:ember)?"
)
_DAY_OF_MONTH = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?", re.ASCII)
_CLOCK = re.compile(r"(\d{1,2}(?=:)|\d{2}(?=h))[:h](\d{2})(?::\d{2})?(am|pm)?", re.ASCII)
_HALF_DAY = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?(am|pm)", re.ASCII)
_AGO = re.compile(
    r"(\d{1,4}(?:\.\d{1,3})?)(?:h|hr|hrs|hour|hours)(?:(\d{1,2})(?:m|min|mins)?)?|(\d{1,5})(?:m|min|mins|minutes)",
    re.ASCII,
)
_AGO_UNITS = {"h": 60, "hr": 60, "hrs": 60, "hour": 60, "hours": 60, "min": 1, "mins": 1, "minutes": 1}
_DATE = re.compile(r"(\d{4})-(\d{2})-(\d{2})", re.ASCII)
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}t\d{2}:\d{2}(?::\d{2})?(?:z|[+-]\d{2}:?\d{2})?", re.ASCII)
_PAPER = re.compile(r"([01]\d|2[0-3])([0-5]\d)", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """A clock time; ``exact`` when written so that morning and evening can't be confused."""

    hour: int
    minute: int = 0
    exact: bool = True

    @property
    def time(self) -> time:
        """As a time of day."""
        return time(self.hour, self.minute)


@dataclass(frozen=True, slots=True, kw_only=True)
class TimePhrase:
    """What was said of the time; every part may be missing.

    ``days_back`` counts evenings before today (0 today, 1 yesterday or last night, −1 tomorrow).
    ``shift`` is measured from now, below zero for the past. ``iso`` may lack its offset.
    """

    days_back: int | None = None
    weekday: int | None = None
    day: int | None = None
    month: int | None = None
    year: int | None = None
    part: str | None = None
    clock: Clock | None = None
    shift: timedelta | None = None
    iso: datetime | None = None
    start: int = 0
    end: int = 0

    @property
    def names_day(self) -> bool:
        """Whether a day was named."""
        return self.days_back is not None or self.weekday is not None or self.day is not None

    @property
    def is_complete(self) -> bool:
        """Whether a moment can be told from it."""
        return self.clock is not None or self.shift is not None or self.iso is not None


Found = tuple[TimePhrase, int]
"""A phrase and how many tokens it took."""


def time_phrase(tokens: tuple[Token, ...], start: int, *, not_units: frozenset[str]) -> Found | None:
    """The longest phrase of time that begins at a token, or None.

    Args:
        tokens: The line.
        start: Where to look.
        not_units: Words that make a number before them a measure, not an hour ("4 m" after "last night").

    Raises:
        RefusedError: for something that is plainly meant as a time and cannot be one ("25:10").
    """
    after_at = start + 1 if word_at(tokens, start) in {"at", "@"} else start
    for whole in (_iso, _ago):
        found = whole(tokens, after_at)
        if found is not None:
            return _spanned(found[0], tokens, start, after_at + found[1])
    phrase, at = TimePhrase(), start
    while at < len(tokens):
        step = _day(tokens, at, phrase) or _clock(tokens, at, phrase, not_units)
        if step is None:
            break
        phrase, taken = step
        at += taken
    if phrase == TimePhrase():
        return None
    at = _after_night_of(tokens, at)
    return _spanned(phrase, tokens, start, at)


def _spanned(phrase: TimePhrase, tokens: tuple[Token, ...], start: int, end: int) -> Found:
    return replace(phrase, start=tokens[start].start, end=tokens[end - 1].end), end - start


def _iso(tokens: tuple[Token, ...], at: int) -> Found | None:
    token = word_at(tokens, at)
    if (_ISO.fullmatch(token) or _DATE.fullmatch(token)) and not YEARS[0] <= int(token[:4]) <= YEARS[1]:
        raise _no_such(
            tokens[at], f"{token} is not in the years {YEARS[0]} to {YEARS[1]}.", "2026-01-16T22:30"
        )
    if _ISO.fullmatch(token):
        try:
            return TimePhrase(iso=datetime.fromisoformat(token.upper())), 1
        except ValueError:
            raise _no_such(tokens[at], f"{token} is no date and time.", "2026-01-16T22:30") from None
    if (match := _DATE.fullmatch(token)) is None:
        return None
    clock = _clock_of(tokens, at + 1)
    year, month, day = (int(part) for part in match.groups())
    phrase = TimePhrase(year=year, month=month, day=day)
    if clock is None:
        return phrase, 1
    return replace(phrase, clock=clock[0]), 1 + clock[1]


def _no_such(token: Token, wrong: str, example: str) -> RefusedError:
    return RefusedError(
        Problem(wrong=wrong, instead=f"Type it like {example}.", start=token.start, end=token.end)
    )


def _ago(tokens: tuple[Token, ...], at: int) -> Found | None:
    word, after = word_at(tokens, at), word_at(tokens, at + 1)
    sign = word[:1]
    if sign in {"-", "+"} and (minutes := _minutes(word[1:])) is not None:
        taken = 2 if after == "ago" else 1
        return TimePhrase(shift=timedelta(minutes=minutes if sign == "+" else -minutes)), taken
    if sign in {"-", "+"} and after in _AGO_UNITS and (minutes := _minutes(word[1:] + after)) is not None:
        taken = 3 if word_at(tokens, at + 2) == "ago" else 2
        return TimePhrase(shift=timedelta(minutes=minutes if sign == "+" else -minutes)), taken
    if after == "ago" and (minutes := _minutes(word)) is not None:
        return TimePhrase(shift=timedelta(minutes=-minutes)), 2
    if after in _AGO_UNITS and word_at(tokens, at + 2) == "ago":
        spoken = {"a": "1", "an": "1", "one": "1", "two": "2", "three": "3"}.get(word, word)
        if (minutes := _minutes(spoken + after)) is not None:
            return TimePhrase(shift=timedelta(minutes=-minutes)), 3
    if [word_at(tokens, at + i) for i in range(4)] == ["half", "an", "hour", "ago"]:
        return TimePhrase(shift=timedelta(minutes=-30)), 4
    return None


def _minutes(word: str) -> float | None:
    """Minutes said by "2h", "1h30", "30min"; None for anything else."""
    match = _AGO.fullmatch(word)
    if match is None:
        return None
    hours, extra, minutes = match.groups()
    if minutes is not None:
        return float(minutes)
    return float(hours) * 60.0 + float(extra or 0)


def month_of(word: str) -> int | None:
    """The month a word names, 1 to 12, or None."""
    match = _MONTH.fullmatch(word)
    return match.lastindex if match else None


def _day(tokens: tuple[Token, ...], at: int, so_far: TimePhrase) -> Found | None:
    word, after = word_at(tokens, at), word_at(tokens, at + 1)
    if so_far.part is None and so_far.names_day and word in PARTS and after != "of":
        return replace(so_far, part=word), 1
    if so_far.day is None and so_far.weekday is not None and (date := _date(tokens, at)):
        return _with_date(so_far, date)
    if so_far.names_day:
        return None
    if (word, after) == ("last", "night"):
        return replace(so_far, days_back=1, part="night"), 2
    if word == "this" and after in PARTS:
        return replace(so_far, days_back=0, part=after), 2
    if word in _DAYS_BACK:
        return replace(so_far, days_back=_DAYS_BACK[word]), 1
    if match := _WEEKDAY.fullmatch(word):
        return replace(so_far, weekday=WEEKDAYS.index(match.group(1))), 1
    if date := _date(tokens, at):
        return _with_date(so_far, date)
    return None


Date = tuple[int, int, int | None, int]
"""Day, month, year if given, and how many tokens it took."""


def _with_date(so_far: TimePhrase, date: Date) -> Found:
    day, month, year, taken = date
    return replace(so_far, day=day, month=month, year=year), taken


def _date(tokens: tuple[Token, ...], at: int) -> Date | None:
    """Reads "16 jan", "16th jan 2026", "jan 16"."""
    first, second = word_at(tokens, at), word_at(tokens, at + 1)
    for number, name in ((first, second), (second, first)):
        day, month = _DAY_OF_MONTH.fullmatch(number), _MONTH.fullmatch(name)
        if day and month and month.lastindex:
            third = word_at(tokens, at + 2)
            year = int(third) if re.fullmatch(r"(19|20)\d\d", third, re.ASCII) else None
            return int(day.group(1)), month.lastindex, year, 2 if year is None else 3
    return None


_OCLOCK = frozenset({"o'clock", "o’clock", "oclock"})


def _clock(tokens: tuple[Token, ...], at: int, so_far: TimePhrase, not_units: frozenset[str]) -> Found | None:
    if so_far.clock is not None:
        return None
    at_word = word_at(tokens, at) in {"at", "@"}
    skip = 1 if at_word or word_at(tokens, at) in {"about", "around"} else 0
    found = _clock_of(tokens, at + skip)
    said = word_at(tokens, at + 1) in _OCLOCK  # "7 o'clock in 12" was 7 °C outside
    if found is None and (so_far.names_day or at_word or said):
        found = _bare_hour(tokens, at + skip, not_units)
    if found is None and _late(_part_after(tokens, at + 1)):
        bare = _bare_hour(tokens, at, not_units)  # "8 in the evening"; in the morning it may be 8 °C inside
        found = bare if bare is not None and not bare[0].exact else None
    if found is None and at == 0 and (paper := _PAPER.fullmatch(word_at(tokens, 0))):
        found = Clock(hour=int(paper.group(1)), minute=int(paper.group(2))), 1
    if found is None:
        return None
    end = at + found[1] + skip
    if part := _part_after(tokens, end):
        so_far, end = replace(so_far, part=so_far.part or part[0]), end + part[1]
    return replace(so_far, clock=found[0]), end - at


def _part_after(tokens: tuple[Token, ...], at: int) -> tuple[str, int] | None:
    """Which half of the day a clock time is of, and the words it takes: "in the evening", "at night"."""
    first, second, third = (word_at(tokens, at + i) for i in range(3))
    if (first, second) == ("in", "the") and third in PARTS:
        return third, 3
    return ("night", 2) if (first, second) == ("at", "night") else None


def _late(part: tuple[str, int] | None) -> bool:
    return part is not None and part[0] != "morning"


def _clock_of(tokens: tuple[Token, ...], at: int) -> tuple[Clock, int] | None:
    """A clock time that can be nothing else: "23:10", "7am", "7:30 pm", "noon"."""
    word, after = word_at(tokens, at), word_at(tokens, at + 1)
    if word in {"noon", "midday", "midnight"}:
        return Clock(hour=0 if word == "midnight" else 12), 1
    taken = 1
    if re.fullmatch(r"\d{1,2}(?:[:.]\d{2})?", word, re.ASCII) and after in {"am", "pm"}:
        word, taken = word + after, 2
    match = _HALF_DAY.fullmatch(word) or _CLOCK.fullmatch(word)
    if match is None:
        return None
    hour, minute, half = int(match.group(1)), int(match.group(2) or 0), match.group(3)
    said = tokens[at].text if taken == 1 else f"{tokens[at].text} {tokens[at + 1].text}"
    if half and not 1 <= hour <= 12 and not (half == "pm" and 12 < hour < 24):
        raise _no_such(tokens[at], f"{said} is no clock time.", "7:30pm or 19:30")
    if minute > 59 or hour > 24 or (hour == 24 and minute):
        raise _no_such(tokens[at], f"{said} is no clock time.", "23:10 or 7:30pm")
    if half and hour <= 12:
        hour = hour % 12 + (12 if half == "pm" else 0)
    exact = bool(half) or hour > 12 or word.startswith("0")
    return Clock(hour=hour % 24, minute=minute, exact=exact), taken


def _bare_hour(tokens: tuple[Token, ...], at: int, not_units: frozenset[str]) -> tuple[Clock, int] | None:
    """The 11 of "last night 11", "11 o'clock": only after a day, "at" or so, and not before a unit."""
    word = word_at(tokens, at)
    if not re.fullmatch(r"\d{1,2}", word, re.ASCII) or int(word) > 24:
        return None
    if word_at(tokens, at + 1) in not_units and _part_after(tokens, at + 1) is None:
        return None
    taken = 2 if word_at(tokens, at + 1) in _OCLOCK else 1
    return Clock(hour=int(word) % 24, exact=int(word) > 12 or word.startswith("0")), taken


def _after_night_of(tokens: tuple[Token, ...], at: int) -> int:
    """Skips "night of Fri 16" or "night of Fri 16 Jan", which our own sentences carry."""
    if (word_at(tokens, at), word_at(tokens, at + 1)) != ("night", "of"):
        return at
    if not _WEEKDAY.fullmatch(word_at(tokens, at + 2)) or not word_at(tokens, at + 3).isdigit():
        return at
    return at + 5 if _MONTH.fullmatch(word_at(tokens, at + 4)) else at + 4


_HOURS = "one two three four five six seven eight nine ten eleven twelve"
_SPOKEN_HOURS = frozenset([*_HOURS.split(), *map(str, range(1, 13))])


def is_spoken_clock(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether "half past nine" or "quarter to 10" stands here: of which half of the day it doesn't say."""
    part, to, hour = (word_at(tokens, at + i) for i in range(3))
    return part in {"half", "quarter"} and to in {"past", "to"} and hour.rstrip(".!") in _SPOKEN_HOURS
