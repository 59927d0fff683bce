"""When a matter was: as of any line, but a day alone will do, and a day still to come is asked about."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta

from logbook.entry.asking import Asker, enter_or
from logbook.entry.clock import moment_of, said
from logbook.entry.facts import MASS_UNITS, MEASURES
from logbook.entry.parts import Parts
from logbook.entry.phrases import Clock, TimePhrase, time_phrase
from logbook.entry.tokens import Token, word_at
from logbook.entry.understood import ENTER, Answer
from logbook.entry.when import CLOCK, Timing, names_year, when
from logbook.setting import Setting, local_instants, local_time

SOON_DAYS = 60
"""A date without a year this near ahead may be meant for this year. ASSUMED: sooner than ten months back."""

NOON, END_OF_DAY = Clock(hour=12), Clock(hour=23, minute=59)
"""What a day without a time stands for; its end where a clock for cooling ash starts."""

_OF_PART = {"morning": 8, "afternoon": 15, "evening": 20, "night": 23}
"""Local hours that stand for a part of a day. ASSUMED."""

_NOT_BEFORE = frozenset(
    ["until", "till", "by", "before", "for", "split", "the", "in", "full", "from", "since", "every", "was"]
)
"""Words after which a day or clock time belongs to them and not to the line."""


_MEASURED = "mm cm m in % h l litre litres gal stere steres rm ster srm m3 m³ cord cords rack racks people"
_UNITS = frozenset(_MEASURED.split()) | frozenset(MASS_UNITS) | MEASURES
"""Words that make a number after a day an amount: "on 3 dec 2 mm"."""

_CLOCK_SIGN = re.compile(r"\d:\d|\d(?:am|pm)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedWords:
    """A line parted into its time and the rest of its words."""

    tokens: tuple[Token, ...]
    phrase: TimePhrase | None = None
    typed: str = ""


def leading_time(tokens: tuple[Token, ...], text: str) -> TimedWords:
    """The words with the time in front of them taken off."""
    skip = 1 if word_at(tokens, 0) == "on" else 0
    found = time_phrase(tokens, skip, not_units=frozenset()) if tokens else None
    if found is None:
        return TimedWords(tokens=tokens)
    end = skip + found[1]
    typed = text[tokens[0].start : tokens[end - 1].end].strip(" ,;:")
    return TimedWords(tokens=tokens[end:], phrase=found[0], typed=typed)


def time_after(tokens: tuple[Token, ...], text: str) -> TimedWords:
    """The words with the time at their end, or unmistakably amid them, taken off."""
    end = 1
    for start in range(1, len(tokens)):
        found = time_phrase(tokens, start, not_units=_UNITS) if start >= end else None
        if found is None:
            continue
        before, end = tokens[start - 1].word, start + found[1]
        if before in _NOT_BEFORE and not tokens[start].parted:
            continue  # and none begins within it: "not before Mon 19 Jan"
        if end != len(tokens) and not _unmistakable(found[0], tokens[start:end]):
            continue
        first = start - 1 if before == "on" and start > 1 else start
        typed = text[tokens[first].start : tokens[end - 1].end].strip(" ,;:")
        return TimedWords(tokens=tokens[:first] + tokens[end:], phrase=found[0], typed=typed)
    return TimedWords(tokens=tokens)


def _unmistakable(phrase: TimePhrase, words: tuple[Token, ...]) -> bool:
    """Whether words amid others are a time: a date, or a clock time written as one."""
    if phrase.day is not None or phrase.iso is not None or phrase.shift is not None:
        return True
    return any(_CLOCK_SIGN.search(token.word) for token in words)


def matter_time(
    timed: TimedWords, asker: Asker, *, now: datetime, setting: Setting, day_ends: bool
) -> tuple[Timing, bool]:
    """The moment of a matter, and whether it lies ahead and was kept so.

    Args:
        timed: The line's time.
        asker: Answers had, and questions found.
        now: The clock.
        setting: The site's zone and the newest record.
        day_ends: A day alone stands for its end, not its noon.

    Raises:
        RefusedError: for a time there is not.
    """
    here = now.astimezone(UTC).replace(microsecond=0)
    phrase = timed.phrase
    if phrase is None:
        return Timing(at=here, typed=""), False
    whole = _with_clock(phrase, day_ends=day_ends)
    ahead = _ahead(whole, now=here, zone=setting.zone)
    if ahead is not None and ahead > here:
        today = local_time(ahead, setting.zone).date() == local_time(here, setting.zone).date()
        if today and not phrase.is_complete:
            return Timing(at=here, typed=timed.typed), False
        if names_year(whole) and asker.withdraw(CLOCK):
            return Timing(at=ahead, typed=timed.typed), False  # no clock tells what is still to come
        if _kept_ahead(ahead, whole, asker, now=here, setting=setting):
            return Timing(at=ahead, typed=timed.typed), True
    parts = Parts(phrase=whole, phrase_text=timed.typed)
    apart = replace(setting, stay_began=None)  # a matter may well be from before the stay
    return when(parts, asker, now=now, setting=apart, is_change=False), False


def _with_clock(phrase: TimePhrase, *, day_ends: bool) -> TimePhrase:
    if phrase.is_complete:
        return phrase
    hour = _OF_PART.get(phrase.part or "")
    if hour is not None and not day_ends:
        return replace(phrase, clock=Clock(hour=hour))
    return replace(phrase, clock=END_OF_DAY if day_ends else NOON)


def _ahead(phrase: TimePhrase, *, now: datetime, zone: str) -> datetime | None:
    """The moment a phrase means if it may mean one to come; None where it only looks back."""
    today = local_time(now, zone).date()
    if phrase.shift is not None:
        return now + phrase.shift
    if phrase.iso is not None:
        iso = phrase.iso
        return iso.astimezone(UTC) if iso.tzinfo else _at(iso.date(), iso.time(), zone)
    assert phrase.clock is not None, "made complete before"
    if phrase.days_back is not None and phrase.days_back <= 0:
        return _at(today - timedelta(days=phrase.days_back), phrase.clock.time, zone)
    if phrase.day is None or phrase.month is None:
        return None
    for year in (phrase.year,) if phrase.year is not None else (today.year, today.year + 1):
        try:
            day = date(year, phrase.month, phrase.day)
        except ValueError:
            continue
        found = _at(day, phrase.clock.time, zone)
        near = phrase.year is not None or (day - today).days <= SOON_DAYS
        if found > now:
            return found if near else None
    return None


def _at(day: date, clock: time, zone: str) -> datetime:
    found = local_instants(day, clock, zone)
    return found[0] if found else datetime.combine(day, clock, tzinfo=UTC)


def _kept_ahead(
    ahead: datetime, phrase: TimePhrase, asker: Asker, *, now: datetime, setting: Setting
) -> bool:
    """Asks about a time still to come: kept as said, or a year back where no year was given."""
    zone = setting.zone
    wrong = f"{said(ahead, zone, year=True)} is still to come: now is {said(now, zone, year=True)}."
    answers: tuple[Answer, ...] = (Answer(key=ENTER, means="kept with that date"),)
    text = f"{wrong} Enter keeps it with that date."
    if phrase.day is not None and phrase.year is None:
        last = moment_of(phrase, now=now, not_after=now, zone=zone).at
        meant = " ".join(said(last, zone, year=True).split()[:4])
        answers = enter_or("l", enter="kept with that date", other=meant)
        text = f"{wrong} Enter keeps it with that date, l takes {meant}."
    return asker.ask("future", text, answers) == ENTER
