"""A logger's table of years: it goes in as one act, whatever its length, and is never held whole."""

from __future__ import annotations

import tracemalloc
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta

import pytest

from logbook.errors import LogFileError
from logbook.records import Flag
from logbook.setting import Setting
from logbook.store import importing
from logbook.store.importing import ImportReport, import_table
from logbook.store.log import Log

BEGIN = datetime(2020, 1, 1, tzinfo=UTC)
NOW = datetime(2026, 1, 1, tzinfo=UTC)
UTC_SETTING = Setting(zone="UTC", max_load_kg=9.0)
SOME = 2 * importing.AT_ONCE + 7
"""More than two bites of the table."""


def lines(count: int, *, first: int = 0) -> list[str]:
    return [
        f"{BEGIN + n * timedelta(minutes=10):%Y-%m-%dT%H:%M},{4 + n % 60 / 10:.1f}\n"
        for n in range(first, first + count)
    ]


def bring(log: Log, rows: list[str], *, preview: bool = False) -> ImportReport:
    text = "".join(["at,indoor_c\n", *rows])
    return import_table(log, text.encode(), setting=UTC_SETTING, now=NOW, preview=preview)


@pytest.mark.parametrize("preview", [True, False])
def test_a_row_that_comes_again_far_down_goes_in_once(log: Log, preview: bool) -> None:
    rows = lines(SOME)
    report = bring(log, [*rows, rows[0], *rows[3:5]], preview=preview)
    assert (report.read, report.added, report.duplicates) == (SOME + 3, SOME, 3)
    assert len(log.entries()) == (0 if preview else SOME)


def test_rows_of_one_time_and_other_values_all_go_in(log: Log) -> None:
    rows = lines(SOME)
    other = rows[0].replace(",4.0", ",4.5")
    assert bring(log, [*rows, other]).added == SOME + 1
    assert bring(log, [*rows, other]).added == 0


def test_a_table_in_no_order_that_grew_adds_its_new_rows_only(log: Log) -> None:
    rows = lines(SOME)
    bring(log, rows[::-1])
    report = bring(log, rows[::2] + lines(5, first=SOME) + rows[1::2])
    assert (report.added, report.duplicates) == (5, SOME)
    assert (report.first_at, report.last_at) == (BEGIN, BEGIN + (SOME + 4) * timedelta(minutes=10))


def test_it_is_one_act_marked_by_the_pace_of_all_of_it(log: Log) -> None:
    report = bring(log, lines(SOME))
    assert report.by_logger == SOME
    assert all(entry.flags == {Flag.LOGGER} for entry in log.entries())
    log.undo()
    assert log.entries() == ()
    assert bring(log, lines(SOME)).added == SOME, "what was taken back is no duplicate"


def test_what_is_odd_about_a_row_is_said_if_it_is_new(log: Log) -> None:
    rows = [line.replace("\n", ",\n") for line in lines(SOME)]
    odd = [row.replace(",\n", ",12\n") for row in (rows[3], rows[-2])]
    text = "at,indoor_c,load_kg\n"
    import_table(log, (text + odd[0]).encode(), setting=UTC_SETTING, now=NOW)
    table = "".join([text, odd[0], *rows[4:-2], odd[1]])
    report = import_table(log, table.encode(), setting=UTC_SETTING, now=NOW)
    assert [remark.line for remark in report.flagged] == [len(rows) - 3]


def test_nothing_stays_of_a_table_that_fails_in_its_middle(log: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second bite can't be looked up: the first one, written already, is taken back."""
    looked_up = importing._Seen.fresh
    bites: list[int] = []

    def failing(self: importing._Seen, some: list[object]) -> object:
        bites.append(len(some))
        if len(bites) == 2:
            raise LogFileError("The disk is gone.")
        return looked_up(self, some)  # type: ignore[arg-type]

    monkeypatch.setattr(importing._Seen, "fresh", failing)
    with pytest.raises(LogFileError):
        bring(log, lines(SOME))
    assert log.events() == ()
    assert bites == [importing.AT_ONCE, importing.AT_ONCE]


def test_it_tells_how_far_it_is_in_both_rounds(log: Log) -> None:
    told: list[tuple[int, int]] = []
    text = "".join(["at,indoor_c\n", *lines(SOME)])
    import_table(
        log, text.encode(), setting=UTC_SETTING, now=NOW, told=lambda done, of: told.append((done, of))
    )
    bite = importing.AT_ONCE
    assert told == [(bite, 0), (2 * bite, 0), (bite, SOME), (2 * bite, SOME), (SOME, SOME)]


MOST_BYTES_A_ROW = 300
"""Of memory for each further row: its text twice, and a few numbers. Held whole a row took 2,500."""


def test_a_longer_table_takes_little_more_memory(log: Log) -> None:
    def peak(rows: int) -> int:
        table = lines(rows)
        tracemalloc.reset_peak()
        before, _ = tracemalloc.get_traced_memory()
        bring(log, table, preview=True)
        return tracemalloc.get_traced_memory()[1] - before

    tracemalloc.start()
    try:
        short, long = peak(1_000), peak(4_000)
    finally:
        tracemalloc.stop()
    assert (long - short) / 3_000 < MOST_BYTES_A_ROW


@pytest.fixture
def steps(log: Log) -> Iterator[Callable[[], int]]:
    """Counts what SQLite does, in thousands of its steps."""
    done = [0]

    def step() -> int:
        done[0] += 1
        return 0

    log.connection.set_progress_handler(step, 1_000)
    yield lambda: done[0]
    log.connection.set_progress_handler(None, 0)


def test_looking_for_duplicates_does_not_grow_with_the_log(log: Log, steps: Callable[[], int]) -> None:
    """By the index on times: the log is not read through for each bite."""
    bring(log, lines(3_000))
    before = steps()
    bring(log, lines(1_000, first=3_000), preview=True)
    assert steps() - before < 50
