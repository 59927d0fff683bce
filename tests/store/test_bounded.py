"""A logger's years make no answer slower: its newest months are read, and all by people."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from log_lines import START

from logbook.actions.house import house_of
from logbook.actions.reckoning import fingerprint, known
from logbook.heat.fit import useful_stays
from logbook.heat.notebook import Stay, stays
from logbook.records import Cabin, Description, Entry, Flag, How, Mark, NewEvent, Stove
from logbook.store import bounded
from logbook.store.bounded import entries_bounded, loggers_since
from logbook.store.log import Log
from logbook.store.loggers import thinned

DESCRIBED = Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0))
DAYS = 400


def logged(n: int, *, step: timedelta = timedelta(hours=3), odd: bool = False) -> NewEvent:
    flags = frozenset({Flag.LOGGER, *({Flag.ODD_VALUE} if odd else ())})
    return NewEvent(entry=Entry(at=START - n * step, indoor_c=4.0, flags=flags), how=How.LOGGER)


def spoken(days: float) -> NewEvent:
    return NewEvent(entry=Entry(at=START - timedelta(days=days), indoor_c=16.0, note="read"))


@pytest.fixture
def long(opened: Callable[..., Log]) -> Log:
    """Four hundred days of a logger, and a line by a person every ten days."""
    log = opened()
    log.add_description(DESCRIBED)
    log.add([logged(n, odd=n % 50 == 0) for n in range(DAYS * 8)])
    log.add([spoken(days) for days in range(0, DAYS, 10)])
    return log


def by_logger(entries: tuple[Entry, ...]) -> list[datetime]:
    return sorted(entry.at for entry in entries if Flag.LOGGER in entry.flags)


def test_a_short_log_is_read_whole(long: Log) -> None:
    assert loggers_since(long, START, logger_rows=DAYS * 8) is None
    assert entries_bounded(long, START) == long.entries(START)


def test_of_a_long_one_all_by_people_and_the_loggers_newest_whole_months(long: Log) -> None:
    rows = 1000
    read = entries_bounded(long, START, logger_rows=rows)
    whole = long.entries(START)
    assert [e for e in read if Flag.LOGGER not in e.flags] == [e for e in whole if Flag.LOGGER not in e.flags]
    times = by_logger(read)
    assert rows < len(times) < rows + 31 * 8 + 1
    since = datetime.fromisoformat(loggers_since(long, START, logger_rows=rows) or "")
    assert (since.day, since.hour) == (1, 0)
    assert times == [at for at in by_logger(whole) if at >= since], "none of those months is left out"
    assert list(read) == [e for e in whole if Flag.LOGGER not in e.flags or e.at >= since], (
        "in the same order"
    )


def test_never_fewer_days_than_five_stretches_of_a_logger_alone(long: Log) -> None:
    read = by_logger(entries_bounded(long, START, logger_rows=10))
    assert START - read[0] >= timedelta(days=bounded.LOGGED_DAYS - 1)
    assert START - read[0] <= timedelta(days=bounded.LOGGED_DAYS + 31)


def test_what_was_logged_long_ago_and_never_since_is_still_read(opened: Callable[..., Log]) -> None:
    """Days a logger wrote on are counted, not days gone by."""
    log = opened()
    log.add([logged(n + 24 * 5_000, step=timedelta(hours=1)) for n in range(100)])
    log.add([spoken(days) for days in range(5)])
    assert len(by_logger(entries_bounded(log, START, logger_rows=10))) == 100


def test_nothing_later_than_the_time_asked_for(long: Log) -> None:
    as_of = START - timedelta(days=100)
    read = entries_bounded(long, as_of, logger_rows=500)
    assert max(entry.at for entry in read) <= as_of
    assert len(by_logger(read)) >= 500


def test_what_was_removed_or_taken_back_is_not_read(long: Log) -> None:
    newest = long.latest(1, logger=True)[0]
    long.remove(newest.uuid)
    assert entries_bounded(long, START, logger_rows=100) == tuple(
        e for e in entries_bounded(long, START, logger_rows=100) if e != newest.entry
    )
    long.undo()
    assert newest.entry in entries_bounded(long, START, logger_rows=100)


def test_the_key_of_what_is_learned_stays_from_day_to_day(long: Log) -> None:
    """What is read begins on the first of a month: an hour later nothing has to be learned anew."""
    later = START + timedelta(hours=1)
    one, other = (known(long, as_of=at, logger_rows=1000) for at in (START, later))
    assert fingerprint(one) == fingerprint(other)


def steps(log: Log, ask: Callable[[], object]) -> int:
    """How many thousands of SQLite's steps a question takes: counted, not timed."""
    count = 0

    def one_more() -> int:
        nonlocal count
        count += 1
        return 0

    log.connection.set_progress_handler(one_more, 100)
    ask()
    log.connection.set_progress_handler(None, 0)
    return count


@pytest.mark.parametrize("name", ["house", "entry field", "matters", "upkeep", "newest"])
def test_a_loggers_years_cost_these_questions_nothing(opened: Callable[..., Log], name: str) -> None:
    log = opened()
    log.add_description(DESCRIBED)
    log.add([spoken(days) for days in range(0, 200, 2)])
    asked: dict[str, Callable[[], object]] = {
        "house": lambda: house_of(log, as_of=START),
        "entry field": lambda: (log.latest(20), log.latest_entries(20), log.acts_written()),
        "matters": lambda: log.matters(START),
        "upkeep": lambda: log.upkeep_written(START),
        "newest": log.newest_at,
    }
    before = steps(log, asked[name])
    log.add([logged(n) for n in range(3000)])
    assert steps(log, asked[name]) <= 1.5 * before + 20


def test_what_is_known_costs_no_more_than_the_rows_it_reads(opened: Callable[..., Log]) -> None:
    log = opened()
    log.add_description(DESCRIBED)
    log.add([logged(n) for n in range(1000)])
    few = steps(log, lambda: entries_bounded(log, START, logger_rows=700))
    log.add([logged(n) for n in range(1000, 6000)])
    many = steps(log, lambda: entries_bounded(log, START, logger_rows=700))
    assert many <= 2 * few


def test_the_last_stays_are_the_same_as_of_the_whole_log(long: Log) -> None:
    """So is what is learned, but for the luck of the draws. Where nobody ever arrives, a logger's endless
    stretch is cut every 14 days from where it is read from: other pieces of the same readings."""
    days = [timedelta(days=n, hours=1) for n in range(0, 90, 9)]
    arrived = [NewEvent(entry=Entry(at=START - ago, mark=Mark.ARRIVED)) for ago in days]
    long.add(arrived)

    def last(entries: tuple[Entry, ...]) -> list[Stay]:
        lived = useful_stays(stays(thinned(entries), until=START), 5)
        return [replace(stay, pulled_back=0) for stay in lived]

    assert last(entries_bounded(long, START, logger_rows=10)) == last(long.entries(START))
