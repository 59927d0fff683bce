"""When a line happened: now, or the past moment meant; asked where the clock leaves doubt."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import chain

from logbook.clock_doubt import BEHIND, WRITTEN, doubt_of, doubt_text
from logbook.entry.asking import Asker, enter_or
from logbook.entry.clock import Moment, by_part, moment_of, night_day, said
from logbook.entry.parts import Parts
from logbook.entry.phrases import TimePhrase, time_phrase
from logbook.entry.tokens import tokens_of
from logbook.entry.understood import ENTER, Answer, RefusedError, Understood
from logbook.records import Mark
from logbook.setting import YEARS, Setting, local_instants, local_time

CLOCK = "clock"
"""The question whether the computer's clock is right."""

LAST_TIME = datetime(YEARS[1], 12, 31, tzinfo=UTC)
"""Where no clock says what is still to come."""

SOON = timedelta(minutes=10)
"""A clock time this close ahead may be a wall clock that runs fast. ASSUMED."""


JUST_BEFORE = timedelta(hours=12)
"""How long before a stay a line is taken to belong to it. ASSUMED: earlier ones are of another stay."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """When a line happened (UTC), and the words that said so ("" for now)."""

    at: datetime
    typed: str


def clock_now(now: datetime, asker: Asker, *, setting: Setting) -> datetime:
    """The time it is: the clock's, unless it can't be right and the owner says better."""
    doubt = None if setting.as_of_then else doubt_of(now, setting.newest_at)
    if doubt is None:
        return now
    typed = asker.typed(CLOCK)
    if typed is not None and typed != ENTER:
        told = time_told(typed, now=now, setting=setting)
        if told is not None:
            return told
    asker.ask(
        CLOCK,
        f"{doubt_text(doubt, zone=setting.zone)} Type the time it is, as 16 jan 2026 22:30, or put it before "
        "the line; Enter keeps the computer's time.",
        (Answer(key=ENTER, means="the computer's time"),),
        default=None,
        free_text=True,
        blocks_scripts=doubt.is_grave,
    )
    return now


def kept_by_doubtful_clock(now: datetime, asker: Asker, *, setting: Setting) -> bool:
    """Whether the line is kept at the computer's time though that can't be right: its owner's word."""
    doubt = doubt_of(now, setting.newest_at)
    kept = asker.has_asked(CLOCK) and asker.typed(CLOCK) == ENTER
    return kept and doubt is not None and doubt.is_grave


def clock_set_by(heard: Understood) -> timedelta:
    """How far the time that a line's owner said it is lies ahead of the clock; nothing said, nothing."""
    typed = dict(heard.answered).get(CLOCK, ENTER)
    told = None if typed == ENTER else time_told(typed, now=heard.now, setting=heard.setting)
    return timedelta(0) if told is None else told - heard.now


def time_told(typed: str, *, now: datetime, setting: Setting) -> datetime | None:
    """The time an owner says it is: without its year, or its date, the first from the newest record on.

    None for what is no such time. In an empty log nothing but a whole date will do.
    """
    tokens = tokens_of(typed)
    try:
        found = time_phrase(tokens, 0, not_units=frozenset()) if tokens else None
        if found is None or found[1] != len(tokens) or not found[0].is_complete:
            return None
        phrase, newest = found[0], setting.newest_at
        if names_year(phrase):
            return _ever(phrase, setting.zone)
        if newest is None or phrase.clock is None or phrase.days_back is not None:
            return None
        if phrase.day is not None:
            return _first_dated(phrase, newest, setting.zone)
    except RefusedError:
        return None
    first = local_time(newest, setting.zone).date()
    days = [first + timedelta(days=ahead) for ahead in range(-1, 9)]
    clock = by_part(phrase.clock, phrase.part)
    meant = [night_day(day, clock, phrase.part) for day in days if phrase.weekday in {None, day.weekday()}]
    moments = chain.from_iterable(local_instants(day, clock, setting.zone) for day in meant)
    return next((moment for moment in moments if moment >= newest - BEHIND), None)


def _first_dated(phrase: TimePhrase, newest: datetime, zone: str) -> datetime | None:
    """A day without its year, the first from the newest record on: the clock that would tell it is wrong.

    Raises:
        RefusedError: when the weekday said with it is another in that year.
    """
    this = local_time(newest, zone).year
    for year in range(this - 1, this + 9):  # a 29 February may be eight years off
        try:
            at = _ever(replace(phrase, year=year, weekday=None), zone)
        except RefusedError:
            continue
        if at >= newest - BEHIND:
            return _ever(replace(phrase, year=year), zone)
    return None


def _ever(phrase: TimePhrase, zone: str) -> datetime:
    return moment_of(phrase, now=LAST_TIME, not_after=LAST_TIME, zone=zone).at


def names_year(phrase: TimePhrase) -> bool:
    """Whether a phrase says all of its date, so that no clock is needed to tell it."""
    return phrase.iso is not None or (phrase.year is not None and phrase.clock is not None)


def when(parts: Parts, asker: Asker, *, now: datetime, setting: Setting, is_change: bool) -> Timing:
    """The moment of the line.

    Raises:
        RefusedError: for a named day and time that is still to come.
    """
    whole = now.astimezone(UTC).replace(microsecond=0)
    limit = whole if setting.newest_at is None else max(whole, setting.newest_at)
    phrase, typed = parts.phrase, parts.phrase_text
    if phrase is None and is_change:
        phrase, typed = _from_when(asker)
    if phrase is None:
        return Timing(at=whole, typed="")
    if names_year(phrase) and asker.withdraw(CLOCK) and whole < max(limit, WRITTEN):
        limit = LAST_TIME  # the whole date is said: no clock need be right, and none tells what is to come
    moment = moment_of(phrase, now=whole, not_after=limit, zone=setting.zone)
    if _may_be_either_half(phrase, typed, parts):
        moment = _half(phrase, moment, asker, typed=typed, now=whole, not_after=limit, setting=setting)
    at = _twice(moment, asker, setting=setting)
    at = _skipped(moment, at, asker, setting=setting)
    at = _soon(phrase, moment, at, asker, now=whole, setting=setting)
    if not is_change:  # one made before the stay is no arrival
        _before_stay(at, typed, asker, setting=setting)
    return Timing(at=at, typed=typed)


def _may_be_either_half(phrase: TimePhrase, typed: str, parts: Parts) -> bool:
    """Whether "at 9" may be of the morning or the evening: an hour alone, where nothing else tells."""
    if phrase.clock is None or phrase.clock.exact or phrase.names_day or phrase.part is not None:
        return False
    mark = parts.simple["mark"][0] if "mark" in parts.simple else None
    of_the_morning = mark is Mark.WOKE or any(name == "low_c" for name, _ in parts.temperatures)
    return not of_the_morning and (mark is Mark.BED or not set(typed) & set(":."))


def _half(
    phrase: TimePhrase,
    moment: Moment,
    asker: Asker,
    *,
    typed: str,
    now: datetime,
    not_after: datetime,
    setting: Setting,
) -> Moment:
    """An hour twelve hours later, where that is past too and so the nearer one: "4M at 9" laid at half past
    nine in the evening stood at 09:00."""
    assert phrase.clock is not None
    clock = replace(phrase.clock, hour=(phrase.clock.hour + 12) % 24, exact=True)
    other = moment_of(replace(phrase, clock=clock), now=now, not_after=not_after, zone=setting.zone)
    if other.at <= moment.at:
        return moment
    at, before = (said(one.at, setting.zone) for one in (other, moment))
    key = asker.ask(
        "half", f'"{typed}": Enter takes {at}, b takes {before}.', enter_or("b", enter=at, other=before)
    )
    return moment if key == "b" else other


def _from_when(asker: Asker) -> tuple[TimePhrase | None, str]:
    """A change holds from now or from a time; asked when the line gave none."""
    typed = asker.typed("from")
    if typed is not None and typed != ENTER:
        tokens = tokens_of(typed)
        found = time_phrase(tokens, 0, not_units=frozenset()) if tokens else None
        if found is not None and found[1] == len(tokens) and found[0].is_complete:
            return found[0], typed
    asker.ask(
        "from",
        "From now? Enter, or a time.",
        (Answer(key=ENTER, means="from now"),),
        free_text=True,
        blocks_scripts=False,
    )
    return None, ""


def _twice(moment: Moment, asker: Asker, *, setting: Setting) -> datetime:
    if not moment.twice:
        return moment.at
    first, second = moment.twice
    assumed = "1" if moment.day_named else "2"
    key = asker.ask(
        "twice",
        f"{said(first, setting.zone)} came twice: 1 first, 2 second?",
        (Answer(key="1", means="first"), Answer(key="2", means="second")),
        assumed=assumed,
        default=None,
    )
    return first if key == "1" else second


def _skipped(moment: Moment, at: datetime, asker: Asker, *, setting: Setting) -> datetime:
    if moment.skipped is None:
        return at
    clock = f"{local_time(at, setting.zone):%H:%M}"
    if local_time(at, setting.zone).date() != moment.skipped.date():
        clock = said(at, setting.zone)  # a whole day was left out
    day = " ".join(said(moment.skipped.replace(tzinfo=UTC), "UTC").split()[:3])
    asker.ask(
        "skipped",
        f"{day} {moment.skipped:%H:%M} never came: the clock went forward over it. Enter takes {clock}.",
        (Answer(key=ENTER, means=clock),),
    )
    return at


def _before_stay(at: datetime, typed: str, asker: Asker, *, setting: Setting) -> None:
    """A line from shortly before the stay began: was the arrival earlier? ``learned`` carries the answer."""
    began = setting.stay_began
    if began is None or not began - JUST_BEFORE < at < began:
        return
    day, clock = said(at, setting.zone).split()[0], f"{local_time(at, setting.zone):%H:%M}"
    stay = f"{said(began, setting.zone).split()[0]} {local_time(began, setting.zone):%H:%M}"
    key = asker.ask(
        "before_stay",
        f"{day} {clock} is before the stay began ({stay}). Enter moves the arrival, Esc changes it.",
        (Answer(key=ENTER, means="the stay began then"),),
        blocks_scripts=False,
    )
    if key == ENTER and asker.typed("before_stay") == ENTER:
        asker.learned.append(("stay_began", at.isoformat()))


def _soon(
    phrase: TimePhrase, moment: Moment, at: datetime, asker: Asker, *, now: datetime, setting: Setting
) -> datetime:
    """A clock time a few minutes ahead: yesterday's by the rule, but the owner may mean now."""
    if phrase.clock is None or moment.day_named or at > now - timedelta(hours=20):
        return at
    ahead = [
        instant
        for day in (0, 1)
        for instant in local_instants(
            local_time(now, setting.zone).date() + timedelta(days=day), phrase.clock.time, setting.zone
        )
        if now < instant <= now + SOON
    ]
    if not ahead:
        return at
    key = asker.ask(
        "soon",
        f"{phrase.clock.time:%H:%M} is still to come (now {local_time(now, setting.zone):%H:%M}). "
        f"Enter takes {said(at, setting.zone)}, n takes now.",
        enter_or("n", enter="yesterday's", other="now"),
        blocks_scripts=False,
    )
    return now if key == "n" else at
