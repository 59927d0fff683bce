"""A stay told: loads with their air, nights against band and forecast, ends, what was written. By hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.care.stay_report import (
    count_nights,
    extremes,
    lows_and_highs,
    stay_report,
    stay_wanted,
    upkeep_between,
)
from logbook.errors import BadInputError
from logbook.house import Burned, House, StayLived, Told
from logbook.matters import Ash, AshAct, StaySaid, Tick, Upkeep
from logbook.records import Entry, Mark
from logbook.results.night import Range
from logbook.results.report import NightTold
from logbook.results.stays import Extreme
from logbook.setting import Setting

ZONE = "Etc/GMT-1"
BAND = (16.0, 22.0)


def at(text: str) -> datetime:
    """A moment by the cabin's clock, an hour ahead of UTC."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC) - timedelta(hours=1)


def load(text: str, kg: float) -> Burned:
    return Burned(at=at(text), kg=kg, kg_dry=0.8 * kg, species="birch")


STAY = StayLived(
    start=at("2026-01-16T17:00"),
    end=at("2026-01-18T15:00"),
    nights=(date(2026, 1, 16), date(2026, 1, 17)),
    burned=(load("2026-01-16T17:10", 2.0), load("2026-01-16T21:00", 4.0), load("2026-01-17T20:00", 6.0)),
)
ENTRIES = (
    Entry(at=at("2026-01-16T17:00"), indoor_c=3.0, outdoor_c=-4.0, low_c=-6.0, mark=Mark.ARRIVED),
    Entry(at=at("2026-01-16T17:10"), load_kg=2.0, kindling=True, air_open_pct=100.0),
    Entry(at=at("2026-01-16T21:00"), load_kg=4.0, pieces="2M", air_open_pct=60.0),
    Entry(at=at("2026-01-16T21:15"), air_open_pct=50.0),
    Entry(at=at("2026-01-16T21:30"), air_open_pct=25.0, indoor_c=21.0),
    Entry(at=at("2026-01-16T22:30"), mark=Mark.BED),
    Entry(at=at("2026-01-17T06:30"), indoor_c=15.0, low_c=13.5, high_c=23.5, outdoor_c=-9.0),
    Entry(at=at("2026-01-17T10:00"), indoor_c=12.0, place="loft", note="mouse behind the box"),
    Entry(at=at("2026-01-17T20:00"), load_kg=6.0),
    Entry(at=at("2026-01-17T23:30"), air_open_pct=30.0),
    Entry(at=at("2026-01-18T15:00"), indoor_c=18.0, mark=Mark.LEFT),
)


def house(*matters: tuple[str, object], stays: tuple[StayLived, ...] = (STAY,)) -> House:
    told = tuple(Told(at=at(when), matter=matter) for when, matter in matters)
    return House(
        as_of=at("2026-02-01T12:00"), setting=Setting(zone=ZONE), description=None, entries=ENTRIES,
        told=told, stays=stays, burned=tuple(b for s in stays for b in s.burned),
    )  # fmt: skip


def night(evening: str, *, woke_c: float | None, said: Range | None = None) -> NightTold:
    bed = at(f"{evening}T22:30")
    return NightTold(
        evening=date.fromisoformat(evening), bed=bed, wake=bed + timedelta(hours=8), marks_inferred=False,
        load_kg=4.0, loads_after=0, air_open_pct=25.0, bed_c=20.0, woke_c=woke_c, outdoor_low_c=-9.0,
        said_at_wake_c=said,
    )  # fmt: skip


def told(*nights: NightTold, seen: House | None = None):
    return stay_report(
        seen or house(),
        STAY,
        entries=ENTRIES,
        nights=nights,
        matter_words=lambda m, at: ("kind", type(m).__name__),
    )


# Which stay


def test_a_day_finds_the_stay_it_lies_in_and_no_day_the_last():
    earlier = StayLived(start=at("2025-12-27T10:00"), end=at("2026-01-02T10:00"))
    seen = house(stays=(earlier, STAY))
    assert stay_wanted(seen, None) is STAY
    assert stay_wanted(seen, date(2026, 1, 17)) is STAY
    assert stay_wanted(seen, date(2025, 12, 27)) is earlier
    with pytest.raises(BadInputError, match="2026-01-05") as refused:
        stay_wanted(seen, date(2026, 1, 5))
    assert "2025-12-27 to 2026-01-02" in str(refused.value), "the nearest is named: 3 days off, not 11"
    with pytest.raises(BadInputError, match="no stay"):
        stay_wanted(house(stays=()), None)


# Loads


def test_each_load_with_its_air_and_the_last_air_before_the_next():
    first, second, third = told().loads
    assert (first.kindling, first.air_open_pct, first.then_open_pct) == (True, 100.0, None)
    assert (second.pieces, second.air_open_pct, second.then_open_pct) == ("2M", 60.0, 25.0)
    assert second.then_minutes == 30.0, "21:00 to 21:30; what was set in between is passed over"
    assert (third.air_open_pct, third.then_open_pct) == (None, None), (
        "half past three hours later is another act"
    )
    assert sum(load.kg for load in told().loads) == told().stay.wood_kg == 12.0


def test_two_loads_of_one_minute_keep_their_own_pieces_and_air():
    """Kindling and the wood on it in two rows: both stood there as the second of them, with its pieces."""
    stay = replace(STAY, burned=(load("2026-01-16T17:10", 2.0), *STAY.burned))
    two = (
        replace(ENTRIES[1], pieces="3S"),
        Entry(at=ENTRIES[1].at, load_kg=2.0, pieces="1M", air_open_pct=60.0),
        Entry(at=ENTRIES[1].at, load_kg=3.0, pieces="2M"),
    )
    stay = replace(stay, burned=(*stay.burned[:2], load("2026-01-16T17:10", 3.0), *stay.burned[2:]))
    seen = replace(house(stays=(stay,)), entries=(ENTRIES[0], *two, *ENTRIES[2:]))
    report = stay_report(
        seen, stay, entries=seen.entries, nights=(), matter_words=lambda m, at: ("kind", type(m).__name__)
    )
    assert [(row.pieces, row.kindling, row.kg) for row in report.loads[:3]] == [
        ("3S", True, 2.0),
        ("1M", False, 2.0),
        ("2M", False, 3.0),
    ]
    assert [row.air_open_pct for row in report.loads[:3]] == [100.0, 60.0, None]


# Nights


def test_nights_are_counted_against_the_band_and_what_was_said():
    nights = (
        night("2026-01-16", woke_c=15.0, said=Range(12.0, 14.0, 16.0)),  # below; held
        night("2026-01-17", woke_c=16.0, said=Range(17.0, 18.0, 19.0)),  # on the lower end; missed
        night("2026-01-18", woke_c=22.5),  # above; not reckoned
        night("2026-01-19", woke_c=None, said=Range(1.0, 2.0, 3.0)),  # nobody read it
    )
    got = count_nights(nights, slept=5, band_c=BAND)
    assert (got.slept, got.read, got.in_band, got.below, got.above) == (5, 3, 1, 1, 1)
    assert (got.held, got.scored, got.not_reckoned) == (1, 2, 1)


@given(st.lists(st.floats(-20.0, 40.0) | st.none(), max_size=20))
def test_every_waking_read_is_in_the_band_below_it_or_above_it(woke):
    nights = [night("2026-01-16", woke_c=c) for c in woke]
    got = count_nights(nights, slept=len(nights), band_c=BAND)
    assert got.in_band + got.below + got.above == got.read == sum(c is not None for c in woke)
    assert got.not_reckoned == got.read


def test_only_nights_of_the_stay_are_its_own():
    report = told(night("2026-01-15", woke_c=9.0), night("2026-01-16", woke_c=15.0))
    assert [n.evening for n in report.nights] == [date(2026, 1, 16)]
    assert (report.counted.slept, report.counted.read) == (2, 1)


# Ends


def test_lowest_and_highest_know_no_empty_house_and_no_loft():
    """The low of -6 read on arriving is of the empty house; 13.5 and 23.5 were kept since bed."""
    found = told().extremes
    assert found.inside_lowest == Extreme(3.0, at("2026-01-16T17:00"))
    assert found.inside_highest == Extreme(23.5, at("2026-01-17T06:30"))
    assert found.outside_lowest == Extreme(-9.0, at("2026-01-17T06:30"))


def test_a_low_since_a_reset_in_the_stay_counts_and_one_from_before_does_not():
    start = at("2026-01-16T17:00")
    low = Entry(at=at("2026-01-17T06:30"), low_c=1.0, reset_at=at("2026-01-16T18:00"))
    old = Entry(at=at("2026-01-17T06:30"), low_c=1.0, reset_at=at("2026-01-10T18:00"))
    assert lows_and_highs([low], start) == (Extreme(1.0, low.at),)
    assert lows_and_highs([old], start) == ()


def test_the_earliest_of_equal_ends_is_told():
    first, second = Extreme(5.0, at("2026-01-16T17:00")), Extreme(5.0, at("2026-01-16T18:00"))
    found = extremes([second, first], [])
    assert found.inside_lowest == found.inside_highest == first
    assert found.outside_lowest is None


# What was done and written


def test_upkeep_stands_by_itself_and_ticks_are_left_out():
    seen = house(
        ("2026-01-16T18:00", Upkeep(task="door rope", finding="worn")),
        ("2026-01-17T09:00", Ash(act=AshAct.TAKEN_OUT)),
        ("2026-01-17T10:00", Tick(list_name="leaving", line="water drained")),
        ("2026-01-17T11:00", StaySaid(people=("K",))),
        ("2026-01-25T11:00", Upkeep(task="gutters")),
    )
    report = told(seen=seen)
    assert [(m.kind, m.text) for m in report.matters] == [("kind", "Ash")]
    assert [note for _, note in report.notes] == ["mouse behind the box"]
    (rope,) = upkeep_between(seen, STAY.start, STAY.end)
    assert (rope.task, rope.finding) == ("door rope", "worn")
    assert report.upkeep == (rope,)


def test_the_chart_has_every_reading_of_the_main_thermometer():
    report = told()
    assert [r.temperature_c for r in report.inside] == [3.0, 21.0, 15.0, 18.0]
    assert [r.temperature_c for r in report.outside] == [-4.0, -9.0]
    assert report.band_assumed, "nothing is described, so the band is the usual one"
