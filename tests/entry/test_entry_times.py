"""Clock times and days: the right evening, never the future, right hours when clocks change.

When clocks change in 2026, and where it is written: Europe 29 March and 25 October at 01:00 UTC (Directive
2000/84/EC, articles 2 and 3); United States 8 March and 1 November at 02:00 local (Energy Policy Act of 2005,
section 110); New Zealand 5 April at 03:00 and 27 September at 02:00 local (Daylight Time Order 2007); Nepal
keeps +05:45 all year (IANA time zone database). Dates from memory of those texts; the IANA data agree.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.entry import Setting, answered, night_of, read_line
from logbook.entry.clock import moment_of
from logbook.entry.phrases import Clock, TimePhrase
from logbook.setting import local_instants

ZONES = ("Europe/London", "America/New_York", "Pacific/Auckland", "Asia/Kathmandu")


def local(text: str, zone: str, fold: int = 0) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone), fold=fold)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


# Which moment is meant, on an ordinary Saturday

SATURDAY_2 = "2026-01-17T02:00"
SATURDAY_9 = "2026-01-17T09:00"
SATURDAY_21 = "2026-01-17T21:00"

MEANT = [
    (SATURDAY_2, "last night 11pm", "2026-01-16T23:00"),
    (SATURDAY_2, "last night 3am", "2026-01-16T03:00"),
    (SATURDAY_9, "last night 3am", "2026-01-17T03:00"),
    (SATURDAY_9, "last night 3", "2026-01-17T03:00"),
    (SATURDAY_9, "last night 12", "2026-01-17T00:00"),
    (SATURDAY_9, "last night 7:30", "2026-01-16T19:30"),
    (SATURDAY_9, "last night 01:30", "2026-01-17T01:30"),
    (SATURDAY_9, "last night at 23:10", "2026-01-16T23:10"),
    (SATURDAY_9, "11pm last night", "2026-01-16T23:00"),
    (SATURDAY_21, "last night 11", "2026-01-16T23:00"),
    (SATURDAY_9, "fri 7:30pm", "2026-01-16T19:30"),
    (SATURDAY_9, "friday 19:30", "2026-01-16T19:30"),
    (SATURDAY_9, "fri night 1:30", "2026-01-17T01:30"),
    (SATURDAY_9, "fri evening 8", "2026-01-16T20:00"),
    (SATURDAY_9, "sat 7:30pm", "2026-01-10T19:30"),
    (SATURDAY_21, "sat 7:30pm", "2026-01-17T19:30"),
    (SATURDAY_9, "at 8 in the evening", "2026-01-16T20:00"),  # was 08:00, "in the evening" a note
    (SATURDAY_9, "8 in the evening", "2026-01-16T20:00"),  # was 8 °C inside
    (SATURDAY_9, "7 o'clock", "2026-01-17T07:00"),  # was 7 °C outside
    (SATURDAY_9, "at 9 o'clock in the evening", "2026-01-16T21:00"),
    (SATURDAY_9, "yesterday 9 o’clock", "2026-01-16T09:00"),
    (SATURDAY_9, "7:30 in the evening", "2026-01-16T19:30"),
    (SATURDAY_9, "19:30 in the evening", "2026-01-16T19:30"),
    (SATURDAY_9, "at 3 in the afternoon", "2026-01-16T15:00"),
    (SATURDAY_9, "at 8 in the morning", "2026-01-17T08:00"),
    (SATURDAY_9, "at 11 at night", "2026-01-16T23:00"),
    (SATURDAY_9, "at 2 at night", "2026-01-17T02:00"),
    (SATURDAY_9, "last night at 11 at night", "2026-01-16T23:00"),
    (SATURDAY_9, "thu 9 in the evening", "2026-01-15T21:00"),
    (SATURDAY_9, "yesterday at 12 in the evening", "2026-01-17T00:00"),
    (SATURDAY_9, "7am", "2026-01-17T07:00"),
    (SATURDAY_9, "7 am", "2026-01-17T07:00"),
    (SATURDAY_9, "7.30pm", "2026-01-16T19:30"),
    (SATURDAY_9, "12am", "2026-01-17T00:00"),
    (SATURDAY_9, "12:15pm", "2026-01-16T12:15"),
    (SATURDAY_9, "noon", "2026-01-16T12:00"),
    (SATURDAY_9, "midnight", "2026-01-17T00:00"),
    (SATURDAY_9, "01:30", "2026-01-17T01:30"),
    (SATURDAY_9, "23:59", "2026-01-16T23:59"),
    (SATURDAY_9, "09:00", "2026-01-17T09:00"),
    (SATURDAY_9, "24:00", "2026-01-17T00:00"),
    (SATURDAY_9, "yesterday 22:00", "2026-01-16T22:00"),
    (SATURDAY_9, "22:00 yesterday", "2026-01-16T22:00"),
    (SATURDAY_9, "yesterday evening 8", "2026-01-16T20:00"),
    (SATURDAY_9, "today 7:15", "2026-01-17T07:15"),
    (SATURDAY_9, "this morning 7", "2026-01-17T07:00"),
    (SATURDAY_9, "2026-01-16T22:30", "2026-01-16T22:30"),
    (SATURDAY_9, "2026-01-16 22:30", "2026-01-16T22:30"),
    (SATURDAY_9, "2026-01-16T23:30+01:00", "2026-01-16T22:30"),
    (SATURDAY_9, "16 jan 22:30", "2026-01-16T22:30"),
    (SATURDAY_9, "jan 16 10:30pm", "2026-01-16T22:30"),
    (SATURDAY_9, "20 dec 22:30", "2025-12-20T22:30"),
    (SATURDAY_9, "29 feb 2024 22:30", "2024-02-29T22:30"),
    (SATURDAY_9, "29 feb 22:30", "2024-02-29T22:30"),
    (SATURDAY_9, "Fri 16 Jan 23:00", "2026-01-16T23:00"),
    (SATURDAY_9, "-2h", "2026-01-17T07:00"),
    (SATURDAY_9, "-1h30", "2026-01-17T07:30"),
    (SATURDAY_9, "-30m", "2026-01-17T08:30"),
    (SATURDAY_9, "-30min", "2026-01-17T08:30"),
    (SATURDAY_9, "-1.5h", "2026-01-17T07:30"),
    (SATURDAY_9, "2h ago", "2026-01-17T07:00"),
    (SATURDAY_9, "2 hours ago", "2026-01-17T07:00"),
    (SATURDAY_9, "half an hour ago", "2026-01-17T08:30"),
]


@pytest.mark.parametrize(("now", "phrase", "meant"), MEANT)
@pytest.mark.parametrize("line", ["{} 2m", "2m {}"])
def test_the_moment_meant(now, phrase, meant, line, setting):
    got = read_line(line.format(phrase), now=local(now, "Europe/London"), setting=setting)
    assert got.problem is None, got.problem
    assert got.entry.at == local(meant, "Europe/London")
    assert (got.entry.pieces, got.entry.note, got.at_typed) == ("2 M", None, phrase)


def test_four_digits_are_a_time_only_where_a_paper_row_begins(setting):
    now = local(SATURDAY_9, "Europe/London")
    row = read_line("1740 -2 3 2s full", now=now, setting=setting).entry
    assert row.at == local("2026-01-16T17:40", "Europe/London")
    assert (row.outdoor_c, row.indoor_c, row.pieces, row.air_open_pct) == (-2.0, 3.0, "2 S", 100.0)
    assert read_line("2s 1740", now=now, setting=setting).problem is not None, "1740 °C inside"


def test_minus_two_is_cold_and_minus_two_hours_is_a_time(setting):
    now = local(SATURDAY_9, "Europe/London")
    assert read_line("-2", now=now, setting=setting).entry.outdoor_c == -2.0
    both = read_line("-2h -2", now=now, setting=setting).entry
    assert (both.at, both.outdoor_c) == (now - timedelta(hours=2), -2.0)


@pytest.mark.parametrize(
    ("line", "wrong"),
    [
        ("25:10 19", "25:10 is no clock time."),
        ("12:60 19", "12:60 is no clock time."),
        ("0am 19", "0am is no clock time."),
        ("today 22:30 19", "Sat 17 Jan 22:30 is still to come: now is Sat 17 Jan 09:00."),
        ("+2h 19", "Sat 17 Jan 11:00 is still to come: now is Sat 17 Jan 09:00."),
        ("2026-02-30T10:00 19", "2026-02-30t10:00 is no date and time."),
        ("2027-01-16 22:00 19", "Sat 16 Jan 2027 22:00 is still to come: now is Sat 17 Jan 09:00."),
        ("31 apr 10:00 19", "Apr has no day 31."),
        ("sat 16 jan 2026 23:00 19", "16 Jan 2026 is a Fri, not a Sat."),
    ],
)
def test_a_time_that_cannot_be_is_refused_with_its_numbers(line, wrong, setting):
    got = read_line(line, now=local(SATURDAY_9, "Europe/London"), setting=setting)
    assert got.problem is not None and got.problem.wrong.startswith(wrong)
    assert got.problem.instead


def test_a_day_without_a_time_is_asked_about_not_taken_for_now(setting):
    got = read_line("fri 4m", now=local(SATURDAY_9, "Europe/London"), setting=setting)
    assert [question.kind for question in got.questions] == ["day"]
    note = read_line("fri was a cold day", now=local(SATURDAY_9, "Europe/London"), setting=setting)
    assert (note.questions, note.entry.note) == ((), "fri was a cold day")


def test_a_clock_a_few_minutes_fast_is_asked_about(setting):
    now = local("2026-01-16T21:41", "Europe/London")
    got = read_line("21:45 2m", now=now, setting=setting)
    assert got.entry.at == local("2026-01-15T21:45", "Europe/London"), "never the future"
    assert [(q.kind, q.blocks_scripts) for q in got.questions] == [("soon", False)]
    assert answered(got, "n").entry.at == now
    assert answered(got, "enter").questions == ()


def test_a_weekday_named_is_not_asked_about_though_its_time_is_soon_today_too(setting):
    """Asked on Friday at 21:41, "thu 21:45" can't be meant for four minutes ahead."""
    now = local("2026-01-16T21:41", "Europe/London")
    got = read_line("thu 21:45 in 17", now=now, setting=setting)
    assert got.entry.at == local("2026-01-15T21:45", "Europe/London")
    assert got.questions == ()


def test_a_low_since_a_reset_keeps_both_times(setting):
    now = local(SATURDAY_9, "Europe/London")
    got = read_line("7am low 9 since 10pm", now=now, setting=setting)
    assert (got.entry.at, got.entry.reset_at) == (
        local("2026-01-17T07:00", "Europe/London"),
        local("2026-01-16T22:00", "Europe/London"),
    )
    prose = read_line("-2/18 raining since 10pm", now=now, setting=setting)
    assert (prose.entry.reset_at, prose.entry.note) == (None, "raining since 10pm")


def test_a_line_from_before_the_stay_asks_whether_the_arrival_was_earlier(setting):
    stay = replace(setting, stay_began=local("2026-01-16T18:05", "Europe/London"))
    now = local("2026-01-16T21:41", "Europe/London")
    got = read_line("17:40 2m", now=now, setting=stay)
    assert [q.text for q in got.questions] == [
        "Fri 17:40 is before the stay began (Fri 18:05). Enter moves the arrival, Esc changes it."
    ]
    assert answered(got, "enter").learned == (("stay_began", "2026-01-16T17:40:00+00:00"),)
    assert read_line("last night 11 2m", now=now, setting=stay).questions == (), "another stay's"


def test_a_change_made_before_the_stay_moves_no_arrival(setting):
    """A gasket was put in the day before: it could not be kept without saying the stay began then."""
    stay = replace(setting, stay_began=local("2026-01-16T18:05", "Europe/London"))
    now = local("2026-01-16T21:41", "Europe/London")
    made = local("2026-01-16T12:00", "Europe/London")
    for got in (
        read_line("fri 12:00 new gasket", now=now, setting=stay),
        answered(read_line("new gasket", now=now, setting=stay), "12:00"),
    ):
        assert (got.questions, got.entry.at, got.entry.change) == ((), made, "new gasket")


# A clock that runs behind


def test_a_clock_far_behind_the_newest_record_is_asked_and_stops_scripts(setting):
    known = replace(setting, newest_at=local("2026-01-11T13:20", "Europe/London"))
    flat = read_line("18", now=local("1980-01-01T00:03", "Europe/London"), setting=known)
    (question,) = flat.questions
    assert question.text == (
        "Computer says Tue 1 Jan 1980 00:03; last line: Sun 11 Jan 2026 13:20. "
        "Type the time it is, as 16 jan 2026 22:30, or put it before the line; "
        "Enter keeps the computer's time."
    )
    assert (question.free_text, question.blocks_scripts) == (True, True)
    told = answered(flat, "16 jan 2026 21:40")
    assert (told.questions, told.entry.at) == ((), local("2026-01-16T21:40", "Europe/London"))
    assert answered(flat, "21:40").entry.at == local("2026-01-11T21:40", "Europe/London")
    assert answered(flat, "nonsense").questions[0].kind == "clock", "asked again, nothing lost"


def test_a_clock_time_may_lie_after_a_clock_that_runs_behind(setting):
    known = replace(setting, newest_at=local("2026-01-16T22:00", "Europe/London"))
    got = read_line("21:30 18", now=local("2026-01-16T20:10", "Europe/London"), setting=known)
    assert got.entry.at == local("2026-01-16T21:30", "Europe/London")
    assert got.questions[0].text.startswith("Computer says 20:10; the last line is from 22:00.")


# When clocks change

TWICE = [  # zone, now, typed, first, second
    ("Europe/London", "2026-10-25T09:00", "01:30", "2026-10-25T00:30", "2026-10-25T01:30"),
    ("Europe/Oslo", "2026-10-25T09:00", "02:30", "2026-10-25T00:30", "2026-10-25T01:30"),
    ("America/New_York", "2026-11-01T09:00", "1:30", "2026-11-01T05:30", "2026-11-01T06:30"),
    ("Pacific/Auckland", "2026-04-05T09:00", "2:30", "2026-04-04T13:30", "2026-04-04T14:30"),
]


@pytest.mark.parametrize("row", TWICE)
@pytest.mark.parametrize("day", ["", "last night ", "sun "])
def test_a_time_that_came_twice_is_asked(row, day, setting):
    zone, now, typed, first, second = row
    typed = typed.zfill(5)
    got = read_line(f"{day}{typed} 14", now=local(now, zone), setting=replace(setting, zone=zone))
    (question,) = got.questions
    assert question.text.endswith(f"{typed} came twice: 1 first, 2 second?")
    assert answered(got, "1").entry.at == utc(first)
    assert answered(got, "2").entry.at == utc(second)


def test_the_autumn_question_word_for_word(setting):
    got = read_line(
        "last night 02:30 14",
        now=local("2026-10-25T09:00", "Europe/Oslo"),
        setting=replace(setting, zone="Europe/Oslo"),
    )
    assert got.questions[0].text == "Sun 25 Oct 02:30 came twice: 1 first, 2 second?"


def test_without_a_day_the_last_one_past_is_shown_while_asked_and_with_one_the_first(setting):
    now = local("2026-10-25T09:00", "Europe/London")
    assert read_line("01:30 14", now=now, setting=setting).entry.at == utc("2026-10-25T01:30")
    dated = read_line("25 oct 01:30 14", now=now, setting=setting)
    assert dated.entry.at == utc("2026-10-25T00:30")
    assert dated.questions[0].default is None, "Enter must not choose between the two"


def test_between_the_two_only_the_first_has_passed(setting):
    now = utc("2026-10-25T00:45")  # 01:45 the first time round in London
    got = read_line("01:30 14", now=now, setting=setting)
    assert (got.questions, got.entry.at) == ((), utc("2026-10-25T00:30"))


SKIPPED = [  # zone, now, typed, moved to
    ("Europe/London", "2026-03-29T09:00", "01:30", "2026-03-29T01:30"),
    ("America/New_York", "2026-03-08T09:00", "02:15", "2026-03-08T07:15"),
    ("Pacific/Auckland", "2026-09-27T09:00", "02:15", "2026-09-26T14:15"),
]


@pytest.mark.parametrize(("zone", "now", "typed", "moved"), SKIPPED)
def test_a_time_that_never_came_is_moved_on_and_said(zone, now, typed, moved, setting):
    got = read_line(f"{typed} 14", now=local(now, zone), setting=replace(setting, zone=zone))
    assert got.entry.at == utc(moved)
    assert [question.kind for question in got.questions] == ["skipped"]
    shown = f"{utc(moved).astimezone(ZoneInfo(zone)):%H:%M}"
    assert f"{typed} never came" in got.questions[0].text and shown in got.questions[0].text


NIGHTS = [  # zone, evening, hours from 23:00 to 07:00
    ("Europe/London", "2026-10-24", 9.0),
    ("Europe/London", "2026-03-28", 7.0),
    ("America/New_York", "2026-10-31", 9.0),
    ("America/New_York", "2026-03-07", 7.0),
    ("Pacific/Auckland", "2026-04-04", 9.0),
    ("Pacific/Auckland", "2026-09-26", 7.0),
    ("Asia/Kathmandu", "2026-03-28", 8.0),
]


@pytest.mark.parametrize(("zone", "evening", "hours"), NIGHTS)
def test_hours_count_right_on_the_nights_clocks_change(zone, evening, hours, setting):
    here = replace(setting, zone=zone)
    morning = local(f"{date.fromisoformat(evening) + timedelta(days=1)}T09:00", zone)
    bed = read_line("last night 11 bed", now=morning, setting=here).entry
    woke = read_line("7am woke", now=morning, setting=here).entry
    assert (woke.at - bed.at).total_seconds() / 3600.0 == hours
    assert {night_of(bed.at, zone), night_of(woke.at, zone)} == {date.fromisoformat(evening)}


@pytest.mark.parametrize("zone", ZONES)
def test_two_hours_ago_is_two_hours_even_across_a_change(zone, setting):
    for at in ("2026-03-29T02:15", "2026-10-25T02:45", "2026-11-01T06:20", "2026-04-04T15:10"):
        got = read_line("-2h 14", now=utc(at), setting=replace(setting, zone=zone))
        assert got.entry.at == utc(at) - timedelta(hours=2)


# Never the future, over a year

YEAR = [utc("2026-01-01T00:20") + timedelta(hours=13, minutes=7) * step for step in range(668)]
CHANGES = [
    utc(day) + timedelta(minutes=20 * step)
    for day in (
        "2026-03-28T22:00",
        "2026-10-24T22:00",
        "2026-03-08T04:00",
        "2026-11-01T03:00",
        "2026-04-04T11:00",
        "2026-09-26T12:00",
    )
    for step in range(18)
]


@pytest.mark.parametrize("zone", ZONES)
def test_no_clock_time_ever_lands_in_the_future(zone):
    """Every hour of the day, seen from 776 moments of a year: past, and the last one past."""
    for step, now in enumerate(YEAR + CHANGES):
        for hour in range(24):
            clock = Clock(hour=hour, minute=(step * 7) % 60)
            got = moment_of(TimePhrase(clock=clock), now=now, not_after=now, zone=zone)
            assert got.at <= now, (now, clock)
            if got.skipped is None:
                shown = got.at.astimezone(ZoneInfo(zone))
                assert (shown.hour, shown.minute) == (clock.hour, clock.minute), (now, clock)
                # 24 h, 25 in autumn; in spring the skipped hour's own day is not waited for.
                assert now - got.at < timedelta(hours=25, minutes=1), (now, clock)


@given(
    now=st.integers(0, 2 * 365 * 86_400).map(
        lambda seconds: utc("2025-01-01T00:00") + timedelta(seconds=seconds)
    ),
    zone=st.sampled_from(ZONES),
    phrase=st.sampled_from(
        [
            "{h:02}:{m:02}",
            "last night {h:02}:{m:02}",
            "fri {h:02}:{m:02}",
            "yesterday {h}:{m:02}",
            "sun night {h:02}:{m:02}",
            "{h12}{half}",
            "last night {h12}",
            "16 jan {h:02}:{m:02}",
            "-{h}h{m:02}",
            "tuesday {h12}:{m:02}{half}",
        ]
    ),
    hour=st.integers(0, 23),
    minute=st.integers(0, 59),
)
def test_no_phrase_lands_in_the_future(now, zone, phrase, hour, minute):
    line = phrase.format(h=hour, m=minute, h12=hour % 12 or 12, half="am" if hour < 12 else "pm")
    got = read_line(f"{line} 14", now=now, setting=Setting(zone=zone))
    assert got.problem is None, got.problem
    assert got.entry.at <= now
    assert now - got.entry.at < timedelta(days=367)


@pytest.mark.parametrize("zone", ZONES)
def test_after_midnight_still_belongs_to_the_evening_before(zone):
    assert night_of(local("2026-01-17T01:30", zone), zone) == date(2026, 1, 16)
    assert night_of(local("2026-01-16T23:00", zone), zone) == date(2026, 1, 16)
    assert night_of(local("2026-01-17T11:59", zone), zone) == date(2026, 1, 16)
    assert night_of(local("2026-01-17T12:00", zone), zone) == date(2026, 1, 17)


def test_local_instants_count_gaps_and_repeats():
    assert local_instants(date(2026, 3, 29), time(1, 30), "Europe/London") == ()
    assert len(local_instants(date(2026, 10, 25), time(1, 30), "Europe/London")) == 2
    assert local_instants(date(2026, 7, 1), time(12, 0), "Asia/Kathmandu") == (utc("2026-07-01T06:15"),)
