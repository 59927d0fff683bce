"""Phrases of time against a reference that counts offsets; long run: ``bench.py reliability:clocks``."""

from __future__ import annotations

import importlib
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.entry import answered, read_line
from logbook.entry.understood import Answer
from logbook.setting import local_instants
from logbook.wording import sentence

SCRIPTS = Path(__file__).resolve().parents[2] / "scripts"


@pytest.fixture(scope="module")
def clocks():
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module("benching.reliability.clocks")
    finally:
        sys.path.remove(str(SCRIPTS))


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def test_random_zones_moments_and_phrases(clocks):
    found = [(told, list(wrong)) for told in clocks.cases(250, 8) if (wrong := list(clocks.faults(told)))]
    assert not found, found[:3]


def test_the_reference_is_another_way_to_the_same_instants(clocks):
    """Without ``fold``, against PEP 495's: Lord Howe's half hour, Troll's two, Casablanca's fast, Samoa."""
    walls = [
        ("Australia/Lord_Howe", "2026-04-05T01:45", 2),
        ("Australia/Lord_Howe", "2026-10-04T02:15", 0),
        ("Antarctica/Troll", "2026-10-25T02:30", 2),
        ("Antarctica/Troll", "2026-03-29T02:30", 0),
        ("Pacific/Apia", "2011-12-30T12:00", 0),
        ("Asia/Kolkata", "2026-03-29T02:30", 1),
    ]
    for zone, text, times in walls:
        wall = datetime.fromisoformat(text)
        got = clocks.showing(wall, zone)
        assert len(got) == times, (zone, text)
        assert got == local_instants(wall.date(), wall.time(), zone)


@given(
    seconds=st.integers(0, int((utc("2037-12-01") - utc("1973-01-01")).total_seconds())),
    zone=st.sampled_from(sorted(z for z in available_timezones() if z[0].isupper())),
)
def test_utc_to_local_and_back_loses_no_moment(seconds, zone):
    at = utc("1973-01-01") + timedelta(seconds=seconds)
    local = at.astimezone(ZoneInfo(zone))
    assert at in local_instants(local.date(), local.timetz().replace(tzinfo=None, fold=0), zone)


# What the run found


@pytest.mark.parametrize(("key", "which"), [("1", "02:30 (first)"), ("2", "02:30 (second)")])
def test_said_back_it_is_told_which_of_the_two_it_was(setting, key, which):
    oslo = replace(setting, zone="Europe/Oslo")
    now = utc("2026-10-25T09:00")
    read = answered(read_line("-8/14 2:30", now=now, setting=oslo), key)
    assert which in sentence(read.entry, oslo, now=now)


def test_the_half_hour_of_lord_howe_comes_twice(setting):
    """Published: the first Sunday of April, 02:00 back to 01:30 (tzdata, file australasia, from memory)."""
    here = replace(setting, zone="Australia/Lord_Howe")
    read = read_line("01:45 18", now=utc("2026-04-05T00:00"), setting=here)
    assert [q.kind for q in read.questions] == ["twice"]
    first, second = (answered(read, key).entry.at for key in ("1", "2"))
    assert second - first == timedelta(minutes=30)


def test_yesterday_in_samoa_was_the_day_before_the_one_left_out(setting):
    """Samoa had no 30 December 2011: it moved over the date line. It was refused as still to come."""
    apia = replace(setting, zone="Pacific/Apia")
    now = datetime(2011, 12, 31, 9, tzinfo=ZoneInfo("Pacific/Apia"))
    by_the_clock = {"clock": "enter"}
    for phrase in ("yesterday 23:00", "last night 23:00"):
        read = read_line(f"{phrase} 18", now=now, setting=apia, answers=by_the_clock)
        assert read.entry.at == datetime(2011, 12, 29, 23, tzinfo=ZoneInfo("Pacific/Apia")), phrase


def test_a_day_left_out_is_said_to_be_so(setting):
    apia = replace(setting, zone="Pacific/Apia")
    now = datetime(2012, 1, 2, 9, tzinfo=ZoneInfo("Pacific/Apia"))
    read = read_line("30 dec 2011 23:00 18", now=now, setting=apia, answers={"clock": "enter"})
    (question,) = read.questions
    assert question.text == (
        "Fri 30 Dec 23:00 never came: the clock went forward over it. Enter takes Sat 31 Dec 23:00."
    )
    assert question.answers == (Answer(key="enter", means="Sat 31 Dec 23:00"),)
