"""Which moment a phrase of time means: never the future, the right evening, right when clocks change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from logbook.entry.phrases import MONTHS, WEEKDAYS, Clock, TimePhrase
from logbook.entry.understood import Problem, RefusedError
from logbook.setting import local_instants, local_time

YEARS_SEARCHED = 8
"""How far back a date without a year is looked for; 29 February comes within 8 years (1896-1904 apart)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A moment told from a phrase.

    ``twice`` are both moments where the clock showed this time twice. ``skipped`` is the local time that
    never happened, when ``at`` had to be moved past the gap. ``day_named`` tells whether a day was given.
    """

    at: datetime
    twice: tuple[datetime, ...] = ()
    skipped: datetime | None = None
    day_named: bool = False


def moment_of(phrase: TimePhrase, *, now: datetime, not_after: datetime, zone: str) -> Moment:
    """The past moment a phrase means.

    Args:
        phrase: A complete phrase of time.
        now: The clock; shifts such as -2h count from it, in real hours.
        not_after: The later of the clock and the newest record; nothing lands after it.
        zone: IANA zone of the site.

    Raises:
        RefusedError: when a named day makes the moment one that is still to come, or names no day.
    """
    if phrase.shift is not None:
        return Moment(at=_kept_past(now.astimezone(UTC) + phrase.shift, phrase, not_after, zone))
    if phrase.iso is not None and phrase.iso.tzinfo is not None:
        return Moment(at=_kept_past(phrase.iso.astimezone(UTC), phrase, not_after, zone), day_named=True)
    today = local_time(not_after, zone).date()
    if phrase.iso is not None:
        naive = phrase.iso
        return _fixed(naive.date(), naive.time(), phrase, not_after, zone)
    assert phrase.clock is not None, "callers pass complete phrases"
    clock = by_part(phrase.clock, phrase.part)
    if phrase.day is not None:
        return _dated(phrase, clock, not_after, zone)
    if phrase.weekday is not None:
        back = (today.weekday() - phrase.weekday) % 7
        days = [today - timedelta(days=back + 7 * week) for week in range(3)]
        return _latest(
            [night_day(day, clock, phrase.part) for day in days], clock, not_after, zone, named=True
        )
    if phrase.days_back is None:
        days = [today - timedelta(days=back) for back in range(4)]
        return _latest(days, clock, not_after, zone, named=False)
    day = night_day(_days_before(today, phrase.days_back, zone), clock, phrase.part)
    if phrase.part == "night" and phrase.days_back == 1:
        return _latest([day - timedelta(days=back) for back in range(3)], clock, not_after, zone, named=True)
    return _fixed(day, clock, phrase, not_after, zone)


def moment_ahead(phrase: TimePhrase, *, start: datetime, zone: str) -> datetime:
    """The first moment at or after a start that a phrase means: steps of a plan look ahead.

    Raises:
        RefusedError: when the phrase names a day, which a plan for one night doesn't need.
    """
    if phrase.shift is not None:
        if phrase.shift < timedelta(0):
            raise _refused(phrase, "A plan looks ahead.", "Type +30min, or a clock time such as 02:30.")
        return start.astimezone(UTC) + phrase.shift
    if phrase.iso is not None:
        if phrase.iso.tzinfo is not None:
            return phrase.iso.astimezone(UTC)
        return _first_at(phrase.iso.date(), phrase.iso.time(), zone)
    if phrase.names_day or phrase.clock is None:
        raise _refused(
            phrase, "A plan is for the night ahead and takes no day.", "Type the clock time: 02:30."
        )
    first = local_time(start, zone).date()
    for ahead in range(4):
        day, clock = first + timedelta(days=ahead), by_part(phrase.clock, phrase.part)
        # Where the clock is put forward over a step, it is taken when it would have come.
        for moment in local_instants(day, clock, zone) or (_past_gap(day, clock, zone),):
            # A start of 22:30:20 and a step at 22:30 mean the same minute.
            if moment >= start.replace(second=0, microsecond=0):
                return max(moment, start.astimezone(UTC))
    raise AssertionError("every clock time comes within four days")


def _first_at(day: date, clock: time, zone: str) -> datetime:
    found = local_instants(day, clock, zone)
    return found[0] if found else _past_gap(day, clock, zone)


def by_part(clock: Clock, part: str | None) -> time:
    """The 11 of "last night 11" is 23:00, the 3 is 03:00, 12 midnight; what was written exactly stays."""
    if clock.exact or part in {None, "morning"}:
        return clock.time
    hour = clock.hour
    if hour == 12:
        hour = 12 if part == "afternoon" else 0
    elif part != "night" or hour >= 5:
        hour += 12
    return time(hour, clock.minute)


def night_day(evening: date, clock: time, part: str | None) -> date:
    """The calendar day of a clock time within the night named by its evening."""
    after_midnight = clock.hour < {"night": 12, "evening": 1}.get(part or "", 0)
    return evening + timedelta(days=1) if after_midnight else evening


def _latest(days: list[date], clock: time, not_after: datetime, zone: str, *, named: bool) -> Moment:
    for day in days:
        found = tuple(m for m in local_instants(day, clock, zone) if m <= not_after)
        if found:
            return Moment(at=found[-1], twice=found if len(found) > 1 else (), day_named=named)
        moved = _past_gap(day, clock, zone)
        if not local_instants(day, clock, zone) and moved <= not_after:
            return Moment(at=moved, skipped=datetime.combine(day, clock), day_named=named)
    raise AssertionError("one of several days in the past always fits")


def _days_before(today: date, back: int, zone: str) -> date:
    """So many days before today; a day that a zone left out (Samoa, 30 December 2011) is none."""
    day = today
    for _ in range(back):
        day -= timedelta(days=1)
        if not local_instants(day, time(12), zone):
            day -= timedelta(days=1)
    return day if back >= 0 else today - timedelta(days=back)


def _past_gap(day: date, clock: time, zone: str) -> datetime:
    """The moment a skipped clock time would have been, had the clock not been put forward."""
    return datetime.combine(day, clock, tzinfo=ZoneInfo(zone)).astimezone(UTC)


def _dated(phrase: TimePhrase, clock: time, not_after: datetime, zone: str) -> Moment:
    assert phrase.day is not None and phrase.month is not None
    this_year = local_time(not_after, zone).year
    years = [phrase.year] if phrase.year is not None else [this_year - back for back in range(YEARS_SEARCHED)]
    for year in years:
        try:
            day = date(year, phrase.month, phrase.day)
        except ValueError:
            continue
        if phrase.year is None and _first_at(day, clock, zone) > not_after:
            continue
        if phrase.weekday is not None and day.weekday() != phrase.weekday:
            said, true = WEEKDAYS[phrase.weekday].capitalize(), WEEKDAYS[day.weekday()].capitalize()
            raise _refused(
                phrase,
                f"{phrase.day} {MONTHS[phrase.month - 1].capitalize()} {year} is a {true}, not a {said}.",
                "Type the one you mean without the other.",
            )
        return _fixed(night_day(day, clock, phrase.part), clock, phrase, not_after, zone)
    month = MONTHS[phrase.month - 1].capitalize()
    raise _refused(phrase, f"{month} has no day {phrase.day}.", "Type it like 16 jan 22:30.")


def _fixed(day: date, clock: time, phrase: TimePhrase, not_after: datetime, zone: str) -> Moment:
    found = local_instants(day, clock, zone)
    past = tuple(m for m in found if m <= not_after)
    if past:
        return Moment(at=past[0], twice=past if len(past) > 1 else (), day_named=True)
    moved = found[0] if found else _past_gap(day, clock, zone)
    if not found and moved > not_after:
        never = said(datetime.combine(day, clock, tzinfo=UTC), "UTC")
        wrong = f"{never} never came: the clock went forward over it."
        raise _refused(phrase, wrong, "Type the time as the clock showed it.")
    _kept_past(moved, phrase, not_after, zone)
    return Moment(at=moved, skipped=datetime.combine(day, clock), day_named=True)


def _kept_past(at: datetime, phrase: TimePhrase, not_after: datetime, zone: str) -> datetime:
    if at <= not_after:
        return at
    other_year = local_time(at, zone).year != local_time(not_after, zone).year
    raise _refused(
        phrase,
        f"{said(at, zone, year=other_year)} is still to come: now is {said(not_after, zone)}.",
        "Type a time that has passed, for example 20:55 or -2h.",
    )


def said(at: datetime, zone: str, *, year: bool = False) -> str:
    """A moment in words for a question or refusal: "Fri 16 Jan 22:30"."""
    local = local_time(at, zone)
    return (
        f"{WEEKDAYS[local.weekday()].capitalize()} {local.day} {MONTHS[local.month - 1].capitalize()} "
        f"{f'{local.year} ' if year else ''}{local:%H:%M}"
    )


def _refused(phrase: TimePhrase, wrong: str, instead: str) -> RefusedError:
    return RefusedError(Problem(wrong=wrong, instead=instead, start=phrase.start, end=phrase.end))
