"""Plans for the night ahead: the same words, clock times forward, air always per cent open."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from logbook.entry import read_plan
from logbook.errors import EntryError
from logbook.records import Flag, Window

LONDON = ZoneInfo("Europe/London")
BED = datetime(2026, 1, 16, 22, 30, 20, tzinfo=LONDON)


def steps(text, setting, start=BED):
    return [
        (
            entry.at.astimezone(ZoneInfo(setting.zone)).strftime("%a %H:%M"),
            entry.load_kg,
            entry.air_open_pct,
            entry.window,
        )
        for entry in read_plan(text, start=start, setting=setting)
    ]


PLANS = [  # the first four are the design's own
    ("load 3.4kg air 60%", [("Fri 22:30", 3.4, 60.0, None)]),
    ("no fire", [("Fri 22:30", None, None, None)]),
    (
        "load 4kg air 50%; 02:30 load 2kg air 40%; window cracked",
        [
            ("Fri 22:30", 4.0, 50.0, None),
            ("Fri 22:30", None, None, Window.CRACKED),
            ("Sat 02:30", 2.0, 40.0, None),
        ],
    ),
    ("load 8kg air 60%; 22:40 air 10%", [("Fri 22:30", 8.0, 60.0, None), ("Fri 22:40", None, 10.0, None)]),
    ("no fire air 20%", [("Fri 22:30", None, 20.0, None)]),
    ("let it burn", [("Fri 22:30", None, None, None)]),
    ("nothing more, air 20%", [("Fri 22:30", None, 20.0, None)]),
    ("2kg now; 02:30 2kg", [("Fri 22:30", 2.0, None, None), ("Sat 02:30", 2.0, None, None)]),
    (
        "at 11 at night 2kg; at 2 at night 2kg",
        [("Fri 23:00", 2.0, None, None), ("Sat 02:00", 2.0, None, None)],
    ),
    ("No fire; 23:00 window open", [("Fri 22:30", None, None, None), ("Fri 23:00", None, None, Window.OPEN)]),
    (
        "2M 1/4; +12min air 1/3",
        [("Fri 22:30", 3.2, 25.0, None), ("Fri 22:42", None, pytest.approx(33.33, abs=0.01), None)],
    ),
    (
        "load 2kg air 100%; +2h 1L; 22:30 air half",
        [("Fri 22:30", 2.0, 100.0, None), ("Fri 22:30", None, 50.0, None), ("Sat 00:30", 2.8, None, None)],
    ),
    ("6am load 9 lb", [("Sat 06:00", pytest.approx(4.0823, abs=1e-4), None, None)]),
    ("load 4kg; 1:30 all open;", [("Fri 22:30", 4.0, None, None), ("Sat 01:30", None, 100.0, None)]),
    ("load 4kg air 3/4 closed", [("Fri 22:30", 4.0, 25.0, None)]),
    ("heater 500 W; 05:00 heater off", [("Fri 22:30", None, None, None), ("Sat 05:00", None, None, None)]),
]


@pytest.mark.parametrize(("text", "want"), PLANS)
def test_a_plan_step_by_step(text, want, setting):
    assert steps(text, setting) == want


def test_air_in_a_plan_is_per_cent_open_whatever_the_lever_reads(setting):
    for reads in ("open", "closed", None):
        (entry,) = read_plan("load 4kg air 30%", start=BED, setting=replace(setting, air_lever_reads=reads))
        assert entry.air_open_pct == 30.0


def test_a_plan_is_forecast_even_if_unwise(setting):
    (entry,) = read_plan("load 22kg air 5%", start=BED, setting=setting)
    assert (entry.load_kg, entry.air_open_pct, entry.flags) == (22.0, 5.0, {Flag.OVER_LIMIT})


def test_a_step_in_the_skipped_hour_comes_when_it_would_have_come(setting):
    start = datetime(2026, 3, 28, 22, 30, tzinfo=LONDON)
    _, later = read_plan("load 4kg; 01:30 load 2kg", start=start, setting=setting)
    assert later.at - start.astimezone(UTC) == timedelta(hours=3)


def test_a_step_in_the_repeated_hour_comes_the_first_time(setting):
    start = datetime(2026, 10, 24, 22, 30, tzinfo=LONDON)
    _, later = read_plan("load 4kg; 01:30 load 2kg", start=start, setting=setting)
    assert later.at - start.astimezone(UTC) == timedelta(hours=3)


REFUSED = [
    ("", "The plan is empty."),
    (";;", "The plan is empty."),
    ("load 4kg; mouse", 'Step 2 of the plan: "mouse" is nothing a plan can do.'),
    ("load 4kg; 02:30 load 2x", 'Step 2 of the plan: "load" is nothing a plan can do.'),
    ("-12/18", "Step 1 of the plan: A plan is what you would do"),
    ("load 4kg air 50% note hello", 'Step 1 of the plan: "note hello" is nothing a plan can do.'),
    ("load 4kg; air 5/4", "Step 2 of the plan: air 5/4 is more than open."),
    ("load 4kg; 25:10 air 50%", "Step 2 of the plan: 25:10 is no clock time."),
    ("load 4kg; 02:30", "Step 2 of the plan: That step does nothing."),
    ("load 4kg; 22:00 air 50%", "Step 2 of the plan: 22:00 is Sat 17 Jan 22:00, not within 18 h"),
    (
        "at 8 in the evening 2kg",
        "Step 1 of the plan: at 8 in the evening is Sat 17 Jan 20:00, not within 18 h",
    ),
    ("load 4kg; fri 23:00 air 50%", "Step 2 of the plan: A plan is for the night ahead and takes no day."),
    ("load 4kg; -2h air 50%", "Step 2 of the plan: A plan looks ahead."),
    ("2 box", 'Step 1 of the plan: "box" has no weight yet.'),
    ("no fire; load 2kg", "Step 2 of the plan: no fire and a load go against each other."),
    ("load 2kg; no fire", "Step 2 of the plan: no fire and a load go against each other."),
    ("no fire load 2kg", "Step 1 of the plan: No fire and a load go against each other."),
    ("bed", "Step 1 of the plan: A plan is what you would do"),
    ("2kg now 23:00", "Step 1 of the plan: Now and 23:00 are two times."),
]


@pytest.mark.parametrize(("text", "start"), REFUSED)
def test_a_plan_that_cannot_be_read_names_the_step_and_the_way_out(text, start, setting):
    with pytest.raises(EntryError) as stop:
        read_plan(text, start=BED, setting=setting)
    wrong, what_to_do = str(stop.value).split("\n")
    assert wrong.startswith(start), wrong
    assert what_to_do


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("load 2kg gently please", "gently"),
        ("note to self", "note to self"),
        ("load 2kg note later", "note later"),
    ],
)
def test_what_a_plan_cannot_do_is_named_in_the_owners_words(text, named, setting):
    with pytest.raises(EntryError) as refused:
        read_plan(text, start=BED, setting=setting)
    assert f'"{named}" is nothing a plan can do.' in str(refused.value)


def test_a_plan_reaches_to_its_last_hour(setting):
    (last,) = read_plan("+18h load 2kg", start=BED, setting=setting)
    assert last.at == BED + timedelta(hours=18)
    with pytest.raises(EntryError, match="not within 18 h"):
        read_plan("+18h30 load 2kg", start=BED, setting=setting)
