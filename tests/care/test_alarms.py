"""Alarms: tested at the door, again when warm; the date printed on them, wherever its owner wrote it."""

from __future__ import annotations

from datetime import date

import pytest
from year_log import at, described, did

from logbook.care.alarms import alarm_dates, alarm_tests
from logbook.matters import Upkeep
from logbook.records import Alarms, Entry
from logbook.results.lists import CO_ALARM_C


def read(clock: str, inside_c: float, *, tested: bool = False, place: str = "") -> Entry:
    return Entry(at=at(f"2026-01-16 {clock}"), indoor_c=inside_c, alarms_tested=tested, place=place)


def pressed(clock: str) -> Entry:
    return Entry(at=at(f"2026-01-16 {clock}"), alarms_tested=True)


# Commonly rated for about 4 to 38 °C (as reported); "warm" at 10 °C is ours, ASSUMED.
SECOND = [  # the stay so far, whether a second test waits, why
    ([], False, "not tested at all: that is another line"),
    ([read("16:00", 3.9, tested=True)], False, "too cold, and still so"),
    ([read("16:00", 3.9, tested=True), read("18:00", 9.9)], False, "not warm enough yet"),
    ([read("16:00", 3.9, tested=True), read("18:00", 10.0)], True, "tested cold, warm now"),
    ([read("12:00", 12.0), read("17:00", 3.0, tested=True)], False, "it was warm before, not since"),
    ([read("16:00", 4.0, tested=True), read("18:00", 18.0)], False, "tested within the rating"),
    ([read("16:00", -6.0), pressed("16:10"), read("18:00", 15.0)], True, "read just before the test"),
    ([pressed("16:00"), read("16:20", -2.0), read("19:00", 15.0)], True, "read just after it"),
    ([pressed("16:00"), read("19:00", 15.0)], False, "not known how cold it was: not claimed"),
    ([read("16:00", 3.0, tested=True), read("18:00", 12.0, place="loft")], False, "another thermometer"),
    ([read("16:00", 3.0, tested=True), read("18:00", 12.0), pressed("18:05")], False, "done"),
]


@pytest.mark.parametrize(("here", "again", "why"), SECOND)
def test_alarms_tested_in_the_cold_are_tested_again_when_warm(here, again, why):
    assert alarm_tests(here, rated_from_c=CO_ALARM_C[0]).again is again, why


def test_the_rating_is_the_one_reported():
    assert CO_ALARM_C == (4.0, 38.0)


DATES = [  # described, written since, as of, what counts, why
    (None, None, "2026-06-01", None, "nobody knows"),
    (date(2026, 5, 1), None, "2026-06-01", date(2026, 5, 1), "the description's"),
    (None, date(2033, 5, 1), "2026-06-01", date(2033, 5, 1), "written since"),
    (date(2026, 5, 1), date(2033, 5, 1), "2026-06-01", date(2033, 5, 1), "replaced: the newer alarm's"),
    (date(2036, 5, 1), date(2033, 5, 1), "2026-06-01", date(2036, 5, 1), "described anew since"),
    (date(2026, 5, 1), date(2033, 5, 1), "2026-01-01", date(2026, 5, 1), "not replaced yet by then"),
]


@pytest.mark.parametrize(("printed", "until", "as_of", "counts", "why"), DATES)
def test_the_later_of_two_printed_dates_counts(printed, until, as_of, counts, why):
    matters = [did("2026-03-01 12:00", Upkeep(task="carbon monoxide alarm", until=until))]
    dates = alarm_dates(described(Alarms(co_expires=printed)), matters, as_of=at(as_of))
    assert dates.co == counts, why
    assert dates.smoke is None


def test_a_date_written_again_takes_the_place_of_the_one_before():
    """A slip (2063 for 2036) is mended by writing it again."""
    matters = [
        did("2026-03-01 12:00", Upkeep(task="smoke alarm", until=date(2063, 3, 1))),
        did("2026-03-01 12:05", Upkeep(task="smoke detector", until=date(2036, 3, 1))),
    ]
    assert alarm_dates(None, matters, as_of=at("2026-06-01")).smoke == date(2036, 3, 1)
