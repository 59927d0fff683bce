"""Drying of firewood against published spans, and what must hold whatever the figures are."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.actions.woodshed import kind_of, shed_air
from logbook.care.drying import (
    READY_DRY_PCT,
    SETTLES_SD,
    Bound,
    Start,
    green,
    moisture_on,
    pace,
    ready,
    split_by,
)
from logbook.care.shed_air import USUAL_C, air_of
from logbook.care.stack_moisture import Facts, dampness, metered, of_fresh_faces
from logbook.care.wood_amounts import Z_90, exactly
from logbook.heat.wood import equilibrium_moisture_pct
from logbook.house import House
from logbook.matters import StackMoisture
from logbook.records import Basis, Cabin, Description, Entry, Site, Stove
from logbook.results.night import Range
from logbook.results.woodshed import MoistureFrom, ShedAir
from logbook.setting import Setting

NOW = datetime(2026, 1, 16, 20, tzinfo=UTC)
ZONE = "Etc/GMT-1"


def settles(temperature_c: float, rh_pct: float) -> float:
    return equilibrium_moisture_pct(temperature_c=temperature_c, rh_pct=rh_pct)


def air(temperature_c: tuple[float, ...], rh_pct: tuple[float, ...]) -> ShedAir:
    pairs = zip(temperature_c, rh_pct, strict=True)
    return ShedAir(temperature_c=temperature_c, settles_at_dry_pct=tuple(settles(c, rh) for c, rh in pairs))


TEMPERATE = shed_air(House(as_of=NOW, setting=Setting(), description=None))
SUBARCTIC = air(
    (-22.0, -18.0, -11.0, 0.0, 10.0, 16.0, 17.0, 14.0, 7.0, -4.0, -16.0, -20.0),
    (70.0, 68.0, 63.0, 58.0, 52.0, 57.0, 66.0, 72.0, 72.0, 78.0, 75.0, 72.0),
)
"""Fairbanks as usually given: monthly means and humidities from memory, good to a degree and five points."""

BIRCH, BEECH, SPRUCE = kind_of("paper birch"), kind_of("european beech"), kind_of("white spruce")

# What air settles at


def test_the_winter_shed_settles_where_owners_find_it():
    """0 °C and 85 %: 18.5; 5 °C and 90 %: 21.0 (computed). No firewood gets below 18 % of its dry mass in a
    damp winter; the usual air is between them."""
    assert settles(0.0, 85.0) == pytest.approx(18.5, abs=0.1)
    assert settles(5.0, 90.0) == pytest.approx(21.0, abs=0.1)
    winter = [TEMPERATE.settles_at_dry_pct[m] for m in (10, 11, 0)]
    assert all(18.0 <= pct <= 21.0 for pct in winter)
    assert all(13.0 <= TEMPERATE.settles_at_dry_pct[m] <= 16.0 for m in (4, 5, 6))


PRINTED = [  # RH %, at 70 °F, at 30 °F
    (25, 5.4, 5.5),
    (50, 9.2, 9.5),
    (65, 12.0, 12.4),
    (80, 16.0, 16.5),
    (90, 20.5, 21.0),
    (95, 23.9, 24.3),
]
"""Wood Handbook table 4-2, rows of 70 and 30 °F; from memory."""


@pytest.mark.parametrize(("rh", "warm", "cold"), PRINTED)
def test_the_band_told_holds_the_printed_table(rh, warm, cold):
    """Formula and table differ by up to 0.9 points (Forest Products Journal 1973, abstract read); the
    publisher's review of 2014 says no more can be asked. The band is wider than that."""
    band = Z_90 * SETTLES_SD
    assert band > 0.9
    assert settles(21.1, rh) == pytest.approx(warm, abs=0.9)
    assert settles(-1.1, rh) == pytest.approx(cold, abs=0.9)


def test_the_owner_s_own_temperatures_replace_the_usual_ones():
    january = datetime(2026, 1, 3, 8, tzinfo=UTC)
    entries = tuple(Entry(at=january + timedelta(days=n), outdoor_c=-12.0) for n in range(8))
    found = air_of(House(as_of=NOW, setting=Setting(), description=None, entries=entries), settles=settles)
    assert found.temperature_c[0] == -12.0
    assert found.months_read == 1
    # The other months move by half of the ten kelvins; seven readings would have moved nothing.
    assert found.temperature_c[6] == pytest.approx(USUAL_C[6] - 5.0)
    few = air_of(House(as_of=NOW, setting=Setting(), description=None, entries=entries[:7]), settles=settles)
    assert few.temperature_c == USUAL_C


def test_south_of_the_equator_july_is_winter():
    described = Description(
        cabin=Cabin(floor_m2=20.0, volume_m3=50.0),
        stove=Stove(max_load_kg=8.0),
        site=Site(latitude_deg=-43.0),
    )
    found = air_of(House(as_of=NOW, setting=Setting(), description=described), settles=settles)
    assert found.temperature_c[6] == USUAL_C[0]
    assert found.settles_at_dry_pct[6] > found.settles_at_dry_pct[0]


# How long it takes

SPANS = [  # kind, split on, air, days the range must take in, source
    ("paper birch", date(2025, 5, 15), SUBARCTIC, (91,), "6 weeks to 3 months, report of 2011 (read)"),
    ("white spruce", date(2025, 5, 15), SUBARCTIC, (42, 91), "the same"),
    ("european beech", date(2025, 3, 1), TEMPERATE, (365,), "about 12 months: a garden column (read)"),
    ("hardwood", date(2025, 3, 1), TEMPERATE, (274, 365), "9 to 12 months: wood scientist's column (read)"),
    ("hardwood", date(2025, 10, 1), TEMPERATE, (365,), "12 months or more: agency (from memory)"),
    ("softwood", date(2025, 3, 1), TEMPERATE, (183,), "6 months or more: agency (from memory)"),
]


@pytest.mark.parametrize(("name", "split", "where", "days", "source"), SPANS)
def test_published_drying_times_lie_within_the_range(name, split, where, days, source):
    kind = kind_of(name)
    found = ready(now=split, start=Start(split, green(kind)), kind=kind, air=where)
    assert found.early < found.about < found.late
    for n in days:
        assert found.early <= split + timedelta(days=n) <= found.late, source


@pytest.mark.parametrize(("name", "split", "where", "days", "source"), SPANS)
def test_the_range_of_drying_times_is_not_so_wide_that_it_says_nothing(name, split, where, days, source):
    """Split in March, at most a factor of eight from end to end; later on a winter may lie between. Never
    sooner than a month, nor later than two years."""
    kind = kind_of(name)
    found = ready(now=split, start=Start(split, green(kind)), kind=kind, air=where)
    if split.month == 3:
        assert (found.late - split) / (found.early - split) < 8.0
    assert timedelta(days=30) < found.early - split
    assert found.late - split < timedelta(days=730)


@pytest.mark.parametrize("name", ["european beech", "european spruce"])
def test_beech_and_spruce_are_most_likely_dry_within_a_year(name):
    """Below 20 % of the wet wood within one year where it is stored well: a wood seller's page, by "newest
    studies" (read)."""
    kind = kind_of(name)
    for month in (1, 3, 5, 9, 11):
        split = date(2025, month, 1)
        found = ready(now=split, start=Start(split, green(kind)), kind=kind, air=TEMPERATE)
        assert found.about - split <= timedelta(days=365)


GREEN = [
    ("european beech", 466, "Danish drying trial, g/kg wet, read in an excerpt"),
    ("european oak", 457, "same"),
    ("sugar maple", 425, "same, sycamore maple there"),
    ("european spruce", 581, "same"),
    ("paper birch", 363, "57 % dry, cut in spring: Fairbanks, as reported"),
    ("sugar maple", 364, "57.4 % dry: US forest inventory, read"),
    ("silver maple", 403, "67.5 % dry: same"),
]


@pytest.mark.parametrize(("name", "g_per_kg_wet", "source"), GREEN)
def test_green_wood_begins_as_wet_as_published(name, g_per_kg_wet, source):
    dry_pct = 100.0 * g_per_kg_wet / (1000.0 - g_per_kg_wet)
    begun = green(kind_of(name))
    # the spring birch is at the dry end of what is published
    assert begun.p05 * 0.97 <= dry_pct <= begun.p95, source


def test_wood_dries_slowly_in_winter_as_weighed_piles_did():
    """Piles weighed through a Polish winter lost 7 % (birch, oak) to 12 % (pine) of their mass from
    30 November to 4 April, most of it in the last month (Baltic Forestry 28, 2022, abstract read). Those were
    unsplit logs; split ones lose more, and less than half of what they lose in as many summer days."""
    kind = kind_of("european birch")
    start = Start(date(2025, 11, 30), green(kind))
    end = moisture_on(date(2026, 4, 4), start=start, kind=kind, air=TEMPERATE)
    lost = 1.0 - (100.0 + end.p50) / (100.0 + start.dry_pct.p50)
    assert 0.07 < lost < 0.25
    june = Start(date(2025, 5, 1), green(kind))
    summer = moisture_on(date(2025, 9, 2), start=june, kind=kind, air=TEMPERATE)
    assert start.dry_pct.p50 - end.p50 < 0.6 * (june.dry_pct.p50 - summer.p50)


@pytest.mark.parametrize(("celsius", "kpa"), [(20.0, 2.339), (0.0, 0.6112), (10.0, 1.228), (30.0, 4.247)])
def test_the_pace_goes_with_the_pressure_of_saturated_vapour(celsius, kpa):
    """Steam tables (IAPWS), from memory, kPa; within a percent."""
    assert pace(celsius) == pytest.approx(min(3.0, kpa / 1.228), rel=0.01)


def test_dry_enough_is_20_percent_of_the_wet_wood():
    """The wet end of the test fuel: 19-25 % of the dry wood, EPA Method 28, as reported."""
    assert READY_DRY_PCT == 25.0


def test_wood_dried_enough_takes_up_moisture_in_a_damp_winter():
    start = Start(date(2025, 8, 1), exactly(15.0))
    kind = kind_of("spruce")
    later = moisture_on(date(2026, 1, 15), start=start, kind=kind, air=TEMPERATE)
    assert 16.0 < later.p50 < 20.0


# What must hold whatever the figures are

NAMES = ("birch", "oak", "spruce", "mixed", "hardwood", "who knows")
kinds = st.sampled_from([kind_of(name) for name in NAMES])
days = st.dates(date(2024, 1, 1), date(2026, 12, 31))


@settings(max_examples=40)
@given(kinds, days, st.integers(0, 700), st.floats(8.0, 150.0))
def test_moisture_is_a_range_in_order_between_dry_and_soaked(kind, day, later, begun):
    got = moisture_on(day + timedelta(days=later), start=Start(day, exactly(begun)), kind=kind, air=TEMPERATE)
    assert 3.0 <= got.p05 <= got.p50 <= got.p95 <= 200.0
    lowest, highest = min(TEMPERATE.settles_at_dry_pct), max(TEMPERATE.settles_at_dry_pct)
    assert min(begun, lowest) - 0.01 <= got.p50 <= max(begun, highest) + 0.01


@settings(max_examples=25)
@given(kinds, days)
def test_ready_dates_are_in_order_and_wetter_wood_is_never_ready_sooner(kind, day):
    dry = ready(now=day, start=Start(day, exactly(40.0)), kind=kind, air=TEMPERATE)
    wet = ready(now=day, start=Start(day, exactly(70.0)), kind=kind, air=TEMPERATE)
    assert dry.early <= dry.about <= dry.late
    assert dry.about <= wet.about


@pytest.mark.parametrize("name", ["birch", "spruce", "oak", "mixed"])
def test_what_is_split_by_the_day_told_is_ready_in_time(name):
    kind, needed = kind_of(name), date(2026, 10, 1)
    usual, safely = split_by(needed=needed, kind=kind, air=TEMPERATE)
    assert safely <= usual < needed
    on_day = moisture_on(needed, start=Start(usual, green(kind)), kind=kind, air=TEMPERATE)
    assert on_day.p50 <= READY_DRY_PCT < on_day.p95
    a_month_late = (usual + timedelta(days=32)).replace(day=1)
    late = moisture_on(needed, start=Start(a_month_late, green(kind)), kind=kind, air=TEMPERATE)
    assert late.p50 > READY_DRY_PCT
    safe = moisture_on(needed, start=Start(safely, green(kind)), kind=kind, air=TEMPERATE)
    assert safe.p95 <= READY_DRY_PCT


def test_in_air_that_is_too_damp_it_is_never_ready():
    soaked = ShedAir(temperature_c=(5.0,) * 12, settles_at_dry_pct=(29.0,) * 12)
    found = ready(now=date(2026, 1, 1), start=Start(date(2026, 1, 1), exactly(60.0)), kind=BIRCH, air=soaked)
    assert (found.already, found.about, found.late) == (False, None, None)
    assert split_by(needed=date(2026, 10, 1), kind=BIRCH, air=soaked) == (None, None)


# Meter readings


def at(day: int, month: int = 1) -> datetime:
    return datetime(2026, month, day, 12, tzinfo=UTC)


def meter(*pct: float, fresh: bool | None = True, basis: Basis = Basis.DRY) -> StackMoisture:
    return StackMoisture(name="birch", readings_pct=pct, basis=basis, fresh_face=fresh)


def facts(*readings: tuple[datetime, StackMoisture], split: date | None = None) -> Facts:
    return Facts(
        readings=readings, split=((datetime(2025, 5, 1, tzinfo=UTC), split),) if split else (), zone=ZONE
    )


def test_a_fresh_face_begins_the_reckoning_anew():
    said = facts((at(2), meter(30.0, 34.0)), split=date(2025, 5, 1))
    found = dampness(said, at=at(2), kind=BIRCH)
    assert found.rests_on is MoistureFrom.FRESH_FACE
    assert found.on(date(2026, 1, 2), kind=BIRCH, air=TEMPERATE).p50 == pytest.approx(32.0)
    before = dampness(said, at=at(1), kind=BIRCH)  # the past stays as it was reckoned
    assert before.rests_on is MoistureFrom.SPLIT_DATE


def test_the_newest_fresh_face_counts_whatever_order_they_were_written_in():
    readings = [(at(2), meter(32.0)), (at(9), meter(22.0)), (at(5), meter(27.0))]
    for order in (readings, readings[::-1]):
        found = dampness(facts(*order), at=at(10), kind=BIRCH)
        assert found.start.dry_pct.p50 == pytest.approx(22.0)
        assert metered(facts(*order)).readings_pct == (22.0,)


def test_wet_basis_readings_are_turned():
    found = dampness(facts((at(2), meter(20.0, basis=Basis.WET))), at=at(3), kind=BIRCH)
    assert found.start.dry_pct.p50 == pytest.approx(25.0)


def test_an_outside_face_of_19_leaves_room_for_38_inside():
    """Outside 19 %, fresh split 38 %: an owner's own pair, as reported."""
    found = dampness(facts((at(2), meter(19.0, fresh=False))), at=at(2), kind=BIRCH)
    assert found.rests_on is MoistureFrom.OUTSIDE_FACE
    assert found.start.dry_pct.p05 == pytest.approx(19.0)  # at least that
    assert found.start.dry_pct.p95 >= 38.0
    untold = dampness(facts((at(2), meter(19.0, fresh=None))), at=at(2), kind=BIRCH)
    assert untold.start.dry_pct == found.start.dry_pct  # nobody said fresh: taken for outside


def test_an_outside_face_never_dries_a_stack_but_may_wet_it():
    fresh = (at(1), meter(24.0))
    for outside, wetter in ((15.0, False), (33.0, True)):
        said = facts(fresh, (at(5), meter(outside, fresh=False)))
        got = dampness(said, at=at(6), kind=BIRCH).on(date(2026, 1, 5), kind=BIRCH, air=TEMPERATE)
        alone = dampness(facts(fresh), at=at(6), kind=BIRCH).on(date(2026, 1, 5), kind=BIRCH, air=TEMPERATE)
        assert (got.p50 > alone.p50) is wetter
        assert got.p05 >= alone.p05


def test_more_readings_narrow_the_range_and_wet_ones_widen_it():
    assert width(of_fresh_faces((20.0, 21.0, 19.0, 20.0))) < width(of_fresh_faces((20.0,)))
    assert width(of_fresh_faces((60.0,))) > 2 * width(of_fresh_faces((25.0,)))


def width(found: Range) -> float:
    return found.p95 - found.p05


def test_readings_no_wood_can_have_are_left_out_and_counted():
    said = facts((at(2), meter(19.0, 250.0)))
    assert metered(said).left_out == 1
    assert dampness(said, at=at(3), kind=BIRCH).start.dry_pct.p50 == pytest.approx(19.0)
    alone = facts((at(2), meter(250.0)))
    assert dampness(alone, at=at(3), kind=BIRCH).rests_on is MoistureFrom.NOTHING


def test_a_bound_holds_from_its_own_day():
    start = Start(date(2026, 1, 1), exactly(22.0))
    bound = (Bound(date(2026, 1, 5), 30.0),)
    got = [
        moisture_on(date(2026, 1, day), start=start, kind=BEECH, air=TEMPERATE, bounds=bound).p50
        for day in (4, 5)
    ]
    assert got[0] < 22.1
    assert got[1] == pytest.approx(30.0)


def test_an_outside_face_read_too_wet_takes_ready_back():
    start = Start(date(2026, 1, 1), exactly(22.0))
    bound = (Bound(date(2026, 1, 5), 33.0),)
    before = ready(now=date(2026, 1, 4), start=start, kind=BEECH, air=TEMPERATE)
    after = ready(now=date(2026, 1, 6), start=start, kind=BEECH, air=TEMPERATE, bounds=bound)
    assert before.already
    assert not after.already
    assert after.about > date(2026, 1, 6)


@settings(max_examples=40)
@given(kinds, days, st.integers(1, 500), st.floats(8.0, 150.0))
def test_steps_of_months_are_as_good_as_days_one_by_one(kind, day, later, begun):
    """The day before and one more day, against all at once: the same to rounding."""
    until = day + timedelta(days=later)
    there = moisture_on(until, start=Start(day, exactly(begun)), kind=kind, air=TEMPERATE)
    almost = moisture_on(
        until - timedelta(days=1), start=Start(day, exactly(begun)), kind=kind, air=TEMPERATE
    )
    one_more = moisture_on(
        until, start=Start(until - timedelta(days=1), exactly(almost.p50)), kind=kind, air=TEMPERATE
    )
    assert one_more.p50 == pytest.approx(there.p50, abs=1e-9)
