"""Upkeep that is due: by date, by wood burned, by days with a fire, whichever comes first.

Dates are days of the site's calendar, so a clock put forward or back moves nothing. Wood is counted as
weighed, in kg, from the last time a task was done; a day with a fire is one on which wood was laid in.
"""

from __future__ import annotations

from bisect import bisect_right
from calendar import monthrange
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from logbook.care.alarms import alarm_dates
from logbook.care.ash import ash_clock
from logbook.care.upkeep_done import (
    ALARM_TESTS,
    Done,
    Ruled,
    calls_seen,
    chimney_fires,
    counting,
    done_of,
    last_of,
    mended_at,
    rules_of,
)
from logbook.care.upkeep_tasks import ALARM_LIVES_MONTHS, MEASURABLE_MM, SWEEP_AT_MM, TASK_OF, TASKS, Task
from logbook.care.usual_stay import burned_kg, day_reached, days_of, usual_stay
from logbook.house import House
from logbook.results.ash import AlarmTests
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
    UsualStay,
)
from logbook.results.upkeep_words import TASK_WORDS, task_named
from logbook.setting import local_time

__all__ = ["SOON", "TASK_WORDS", "due", "months_later", "task_named"]

SOON = timedelta(days=30)
"""How near a date must be to be told beforehand where no rhythm of stays is known yet. ASSUMED."""

_URGENT = (DueState.NOW, DueState.DUE)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seat:
    """Everything a task is judged by."""

    house: House
    done: tuple[Done, ...]
    rules: dict[str, Ruled]
    usual: UsualStay | None
    tests: AlarmTests
    today: date
    began: datetime | None
    burned_on: tuple[date, ...]
    """The day of each load: every task counts some of them."""

    def burn_days(self, after: datetime | None) -> int:
        """Days with a load in them, after a time or ever."""
        first = 0 if after is None else bisect_right(self.house.burned, after, key=lambda load: load.at)
        return len(set(self.burned_on[first:]))

    @property
    def zone(self) -> str:
        return self.house.setting.zone

    @property
    def soon(self) -> date:
        """Up to when something falls due that is told beforehand."""
        return max(self.usual.next_ends, self.tomorrow) if self.usual else self.today + SOON

    @property
    def tomorrow(self) -> date:
        """The first day something that is not used up yet may be expected to be."""
        return self.today + timedelta(days=1)


def due(house: House, *, tests: AlarmTests, ahead: Iterable[Ahead] = ()) -> DueAnswer:
    """Every task and how it stands, the most urgent first and safety before comfort.

    Args:
        house: The log as of a time.
        tests: The alarms' tests of the stay going on (``care.alarms.alarm_tests``); looked at only in one.
        ahead: Upkeep written down for a later time; it is handed back, and counts for nothing.
    """
    began = min((e.at for e in house.entries), default=None)
    seat = _Seat(
        house=house,
        done=done_of(house),
        rules=rules_of(house),
        usual=usual_stay(house),
        tests=tests,
        today=local_time(house.as_of, house.setting.zone).date(),
        began=began,
        burned_on=days_of(house.burned, zone=house.setting.zone),
    )
    own = {d.task for d in seat.done} | set(seat.rules)
    tasks = [*TASKS, *(_own_task(name) for name in sorted(own - set(TASK_OF)))]
    items = [_item(task, seat) for task in tasks]
    return DueAnswer(
        as_of=house.as_of,
        items=tuple(item for _, item in sorted(enumerate(items), key=lambda pair: _urgency(*pair))),
        ash=ash_clock(house.entries, as_of=house.as_of, doubted=house.clock_doubted),
        usual=seat.usual,
        ahead=tuple(ahead),
        log_began=local_time(began, seat.zone).date() if began else None,
    )


def months_later(day: date, months: int) -> date:
    """The same day of a later month, or its last: a year after 29 February is 28 February."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _own_task(name: str) -> Task:
    return Task(name=name, title=name, interval=Interval())


def _item(task: Task, seat: _Seat) -> DueItem:
    """One task: its interval, how far each of its rules has come, what was seen, what the owner ruled."""
    acts = counting(seat.done, task)
    last = last_of(acts, zone=seat.zone)
    ruled = seat.rules.get(task.name)
    owner = ruled.interval if ruled else None
    after = last.at if last else None
    item = DueItem(
        task=task.name,
        title=task.title,
        safety=task.safety,
        state=DueState.LATER,
        interval=owner or task.interval,
        usual=task.interval if owner and task.interval.source else None,
        last=last,
        kg_since=burned_kg(seat.house.burned, after=after),
        burn_days_since=seat.burn_days(after),
        silenced_on=ruled.on if ruled and owner is None else None,
        how=task.how,
        gathered_mm=_gathered_mm(task, last),
    )
    item = _by_printed_date(item, task, seat) if task.until_decides else _by_interval(item, seat)
    item = _called_for(item, task, seat)
    silent = item.silenced_on is not None and not _speaks_all_the_same(item)
    return replace(item, state=DueState.SILENCED) if silent else item


def _speaks_all_the_same(item: DueItem) -> bool:
    """An alarm past its date, a chimney fire, a nest, soot in the flue: told though silenced, as such."""
    pressing = item.decides in (Decides.PRINTED, Decides.SEEN, Decides.DEPOSIT)
    return item.safety and pressing and item.state in _URGENT


def _by_interval(item: DueItem, seat: _Seat) -> DueItem:
    """Whichever of its parts comes first; what was never done has no date to count from."""
    every = item.interval
    printed = item.last.until if item.last else None
    if every.is_none and printed is None:
        return replace(item, state=DueState.NO_INTERVAL)
    item = replace(
        item,
        kg_left=None if every.kg is None else every.kg - item.kg_since,
        burn_days_left=None if every.burn_days is None else every.burn_days - item.burn_days_since,
    )
    if item.last is None:
        return replace(item, state=DueState.NOT_RECORDED, log_longer=_log_is_longer(item, seat))
    due_on = _date_due(every, item.last.on)
    found: list[tuple[date, Decides]] = [(due_on, Decides.DATE)] if due_on else []
    found += [(printed, Decides.PRINTED)] if printed else []
    for left, per_stay, decides in _counted(item, seat.usual):
        if left <= 0.0:
            found.append((seat.today, decides))
        elif seat.usual is not None:
            reached = day_reached(left, per_stay=per_stay, usual=seat.usual)
            found += [(max(reached, seat.tomorrow), decides)] if reached else []
    if not found:
        return replace(item, due_on=due_on)
    expected, decides = min(found, key=lambda pair: pair[0])
    on = expected if decides is Decides.PRINTED else due_on
    return replace(item, state=_state(expected, seat), decides=decides, due_on=on, expected_on=expected)


def _counted(item: DueItem, usual: UsualStay | None) -> Iterable[tuple[float, float, Decides]]:
    if item.kg_left is not None:
        yield item.kg_left, usual.kg if usual else 0.0, Decides.MASS
    if item.burn_days_left is not None:
        yield item.burn_days_left, usual.burn_days if usual else 0.0, Decides.BURN_DAYS


def _state(expected: date, seat: _Seat) -> DueState:
    if expected > seat.soon:
        return DueState.LATER
    return DueState.DUE if expected <= seat.today else DueState.NEXT_STAY


def _date_due(every: Interval, last: date) -> date | None:
    days = [months_later(last, every.months)] if every.months is not None else []
    if every.days is not None:
        days.append(last + timedelta(days=min(int(every.days), 36_500)))
    return min(days, default=None)


def _log_is_longer(item: DueItem, seat: _Seat) -> bool:
    """Whether the log alone spans more than the interval: somebody who kept it would have written it."""
    if seat.began is None:
        return False
    due_on = _date_due(item.interval, local_time(seat.began, seat.zone).date())
    over = [due_on is not None and due_on <= seat.today]
    over += [left <= 0.0 for left, _, _ in _counted(item, None)]
    return any(over)


def _by_printed_date(item: DueItem, task: Task, seat: _Seat) -> DueItem:
    """An alarm: the date printed on it decides; an interval of the owner's can only bring that forward."""
    matters = [e for e in seat.house.entries if e.matter is not None]
    dates = alarm_dates(seat.house.description, matters, as_of=seat.house.as_of)
    printed = dates.smoke if task.name == "smoke alarm" else dates.co
    ruled = _by_interval(item, seat) if item.usual is not None and item.last is not None else item
    if printed is None:
        unknown = replace(item, state=DueState.NOT_RECORDED, log_longer=_outlived(task, seat))
        return unknown if ruled is item else ruled
    if ruled.expected_on is not None and ruled.expected_on < printed:
        return ruled
    decides = Decides.PRINTED
    return replace(
        item, state=_state(printed, seat), decides=decides, due_on=printed, expected_on=printed, how=""
    )


def _outlived(task: Task, seat: _Seat) -> bool:
    """Whether the log is longer than such an alarm lasts, with no new one on record."""
    if seat.began is None:
        return False
    began = local_time(seat.began, seat.zone).date()
    return months_later(began, ALARM_LIVES_MONTHS[task.name]) <= seat.today


def _called_for(item: DueItem, task: Task, seat: _Seat) -> DueItem:
    """What makes it due at once: a sight, deposit left in the flue, a chimney fire, alarms not tested yet."""
    after = mended_at(seat.done, task)
    calls = [*_fires(task, seat, after), *calls_seen(seat.house, task.called_by)]
    calls += _deposit_left(task, seat, after) + _untested(task, seat)
    if not calls:
        return item
    return replace(
        item,
        state=DueState.NOW,
        decides=_BY_CALL[calls[0].kind],
        called_for=tuple(calls),
        also_due=item.decides if item.state is DueState.DUE else None,
        expected_on=seat.today,
    )


_BY_CALL = {
    CallKind.SEEN: Decides.SEEN,
    CallKind.CHIMNEY_FIRE: Decides.SEEN,
    CallKind.DEPOSIT: Decides.DEPOSIT,
    CallKind.UNTESTED: Decides.STAY,
    CallKind.TESTED_COLD: Decides.STAY,
}


def _fires(task: Task, seat: _Seat, after: datetime | None) -> list[Call]:
    if not task.after_chimney_fire:
        return []
    return [
        Call(kind=CallKind.CHIMNEY_FIRE, on=local_time(at, seat.zone).date())
        for at in chimney_fires(seat.house.entries)
        if after is None or at > after
    ]


def _untested(task: Task, seat: _Seat) -> list[Call]:
    if task.name not in ALARM_TESTS or seat.house.stay is None:
        return []
    if seat.tests.tested_at is None:
        return [Call(kind=CallKind.UNTESTED, on=seat.today)]
    on = local_time(seat.tests.tested_at, seat.zone).date()
    return [Call(kind=CallKind.TESTED_COLD, on=on)] if seat.tests.again else []


def _deposit_left(task: Task, seat: _Seat, swept: datetime | None) -> list[Call]:
    """The deposit found by looking last, where it was not swept since."""
    if task.name != "flue":
        return []
    looks = [
        (d.at, d.upkeep.deposit_mm)
        for d in seat.done
        if d.task in ("flue", "flue look")
        and d.upkeep.deposit_mm is not None
        and (swept is None or d.at > swept)
    ]
    if not looks or looks[-1][1] <= MEASURABLE_MM:
        return []
    at, deposit_mm = looks[-1]
    return [Call(kind=CallKind.DEPOSIT, on=local_time(at, seat.zone).date(), deposit_mm=deposit_mm)]


def _gathered_mm(task: Task, last: LastDone | None) -> float | None:
    """The deposit of the last sweep, where it was at the level at which a sweep is asked for."""
    if task.name != "flue" or last is None or last.deposit_mm is None or last.deposit_mm < SWEEP_AT_MM:
        return None
    return last.deposit_mm


def _urgency(index: int, item: DueItem) -> tuple[int, int, date, int]:
    """Safety that is due, safety nobody knows of though the log is long, the rest that is due, what comes."""
    order = {
        DueState.NEXT_STAY: 4,
        DueState.NOT_RECORDED: 8,
        DueState.LATER: 7,
        DueState.NO_INTERVAL: 9,
        DueState.SILENCED: 10,
    }
    if item.state in _URGENT:
        rank = 0 if item.safety else 2
    elif item.state is DueState.NOT_RECORDED and item.safety:
        rank = 1 if item.log_longer else 6
    else:
        rank = order[item.state] - (item.state is DueState.NEXT_STAY and item.safety)
    first = 0 if item.decides in (Decides.PRINTED, Decides.SEEN, Decides.DEPOSIT) else 1
    return rank, first, item.expected_on or date.max, index
