"""Supplies: planning figures against their sources, use learned from levels, and ranges that are true."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.care.supplies import (
    WATER_PLANNING,
    WATER_SURVIVAL_L,
    _z_90,
    per_person_day,
    person_days_between,
    supplies,
)
from logbook.care.supply_units import in_base
from logbook.house import House, StayLived, Told
from logbook.matters import Brought, Level
from logbook.results.night import Range
from logbook.results.supplies import SupplyUse
from logbook.setting import Setting

START = datetime(2026, 1, 2, 17, tzinfo=UTC)
DAY = timedelta(days=1)


def stay(n: float, *, people: float = 2.0, days: float = 2.0, going_on: bool = False) -> StayLived:
    """The stay that begins so many weeks after the first."""
    start = START + n * 7 * DAY
    return StayLived(
        start=start, end=start + days * DAY, head_count=people, head_count_said=True, going_on=going_on
    )


def house(*told: tuple[datetime, Level | Brought], stays: tuple[StayLived, ...], as_of=None) -> House:
    told_in_order = tuple(Told(at=at, matter=m) for at, m in sorted(told, key=lambda one: one[0]))
    last = max([t.at for t in told_in_order] + [s.end for s in stays])
    return House(as_of=as_of or last, setting=Setting(), description=None, told=told_in_order, stays=stays)


def use_of(found: House, item: str) -> SupplyUse:
    (one,) = (use for use in supplies(found) if use.item == item)
    return one


# Published figures

# People, days, US gallons: the table of a regional water providers' consortium (regionalh2o.org, read)
GALLONS = [(1, 7, 7), (1, 14, 14), (2, 7, 14), (2, 14, 28), (3, 7, 21), (4, 14, 56), (5, 7, 35), (6, 14, 84)]


@pytest.mark.parametrize(("people", "days", "gallons"), GALLONS)
def test_the_survival_figure_fills_the_published_table(people, days, gallons):
    assert people * days * WATER_SURVIVAL_L == pytest.approx(gallons * 3.785411784, rel=1e-9)


def test_two_people_for_two_weeks_are_106_litres():
    """As reported from FEMA and Ready.gov: 28 gallons, 106 L."""
    two_weeks_l = 2 * 14 * WATER_SURVIVAL_L
    assert two_weeks_l == pytest.approx(106.0, abs=0.5)


def test_the_first_guess_spans_survival_to_basic_need():
    """Sphere Project 2011, as reported: drinking 2.5–3, hygiene 2–6, cooking 3–6: 7.5 to 15 in all."""
    assert (2.5 + 2 + 3, 3 + 6 + 6) == (7.5, 15)
    assert WATER_PLANNING.p05 == WATER_SURVIVAL_L
    assert WATER_PLANNING.p50 == pytest.approx(7.5, abs=0.1)
    assert WATER_PLANNING.p95 == 15.0


# Units as written

UNITS = [  # amount, unit as written, in base, base unit, source
    (1.0, "gal", 3.785411784, "L", "NIST SP 811"),
    (4.0, "qt", 3.785411784, "L", "four quarts are a gallon"),
    (250.0, "ml", 0.25, "L", "SI"),
    (20.0, "lb", 9.0718474, "kg", "NIST SP 811"),
    (500.0, "g", 0.5, "kg", "SI"),
    (40.0, "%", 40.0, "%", "kept"),
    (3.0, "boxes", 3.0, "box", "one word for one and many"),
    (3.0, "bottles", 3.0, "bottle", "one word for one and many"),
    (8.0, "oz", 8.0, "oz", "fluid or mass: kept"),
    (2.0, "", 2.0, "", "pieces"),
]


@pytest.mark.parametrize(("amount", "unit", "base", "base_unit", "source"), UNITS)
def test_amounts_in_one_unit(amount, unit, base, base_unit, source):
    assert in_base(amount, unit) == (pytest.approx(base, rel=1e-9), base_unit), source


# Use between levels


def test_use_is_what_was_there_and_brought_less_what_is_left():
    first = stay(0)
    found = use_of(
        house(
            (first.start, Level(item="lamp oil", amount=0.9, unit="L")),
            (first.start + DAY, Brought(item="Lamp  oil", amount=500, unit="ml")),
            (first.end, Level(item="lamp oil", amount=0.6, unit="L")),
            stays=(first,),
        ),
        "lamp oil",
    )
    assert found.person_days == pytest.approx(4.0)
    assert found.per_person_day is not None
    assert found.per_person_day.p50 == pytest.approx(0.8 / 4.0)
    assert found.planning is None
    assert (found.there, found.unit) == (pytest.approx(0.6), "L")


def test_levels_in_gallons_and_litres_compare():
    first = stay(0)
    found = use_of(
        house(
            (first.start, Level(item="water", amount=10, unit="gal")),
            (first.end, Level(item="water", amount=8, unit="L")),
            stays=(first,),
        ),
        "water",
    )
    assert found.intervals == 1
    assert found.per_person_day is not None
    # the planning figure weighs four person-days, as much as these four
    assert found.per_person_day.p50 == pytest.approx((37.854 - 8 + 4 * WATER_PLANNING.p50) / 8, rel=1e-4)


def test_a_tank_in_per_cent_stays_in_per_cent():
    first = stay(0)
    found = use_of(
        house(
            (first.start, Level(item="gas", amount=70, unit="%")),
            (first.end, Level(item="gas", amount=50, unit="%")),
            stays=(first,),
        ),
        "gas",
    )
    assert (found.unit, found.there) == ("%", 50.0)
    assert found.per_person_day is not None
    assert found.per_person_day.p50 == pytest.approx(5.0)


def test_a_change_of_unit_begins_afresh():
    first, second = stay(0), stay(1)
    found = use_of(
        house(
            (first.start, Level(item="gas", amount=9, unit="kg")),
            (first.end, Level(item="gas", amount=60, unit="%")),
            (second.end, Level(item="gas", amount=40, unit="%")),
            stays=(first, second),
        ),
        "gas",
    )
    assert (found.intervals, found.odd, found.unit) == (1, 1, "%")
    assert found.per_person_day is not None
    assert found.per_person_day.p50 == pytest.approx(20.0 / 4.0)


def test_more_there_than_can_be_is_left_out_and_counted():
    """5 L there, nothing brought, 9 L left: something was carried in and not written."""
    first = stay(0)
    found = use_of(
        house(
            (first.start, Level(item="petrol", amount=5, unit="L")),
            (first.end, Level(item="petrol", amount=9, unit="L")),
            stays=(first,),
        ),
        "petrol",
    )
    assert (found.odd, found.intervals, found.per_person_day) == (1, 0, None)
    assert found.there == 9.0


def test_levels_on_arriving_and_on_leaving_as_they_are_asked_for_leave_nothing_out():
    """bring asks for just these; what was carried in between stood as left out, after a year 13 times."""
    hour = timedelta(hours=1)
    stays = tuple(stay(3 * n) for n in range(4))
    told = [
        (at, Level(item="water", amount=amount, unit="L"))
        for one in stays
        for at, amount in ((one.start + hour, 25.0), (one.end - hour, 9.0))
    ]
    found = use_of(house(*told, stays=stays), "water")
    assert (found.intervals, found.odd, found.lost) == (4, 0, 0)


def test_what_goes_while_nobody_is_there_is_lost_not_used():
    first, second = stay(0), stay(1)
    found = use_of(
        house(
            (first.end, Level(item="petrol", amount=5, unit="L")),
            (second.start, Level(item="petrol", amount=3, unit="L")),
            (second.end, Level(item="petrol", amount=1, unit="L")),
            stays=(first, second),
        ),
        "petrol",
    )
    assert found.lost == pytest.approx(2.0)
    assert found.per_person_day is not None
    assert found.per_person_day.p50 == pytest.approx(0.5)


def test_a_level_read_again_is_no_loss():
    first = stay(0)
    found = use_of(
        house(
            (first.end, Level(item="petrol", amount=5, unit="L")),
            (first.end + timedelta(minutes=9), Level(item="petrol", amount=4, unit="L")),
            stays=(first,),
        ),
        "petrol",
    )
    assert (found.lost, found.there) == (0.0, 4.0)


@given(
    st.lists(
        st.tuples(
            st.floats(0, 60),
            st.sampled_from(["level", "brought"]),
            st.floats(0, 1e6),
            st.sampled_from(["L", "gal", "kg", "%", "", "cans"]),
        ),
        max_size=12,
    )
)
def test_whatever_was_written_there_is_an_answer(rows):
    kinds = {"level": Level, "brought": Brought}
    told = [
        (START + day * DAY, kinds[kind](item="water", amount=amount, unit=unit))
        for day, kind, amount, unit in rows
    ]
    found = house(*told, stays=(stay(0), stay(1), stay(3)))
    (water,) = supplies(found)
    assert water.there is None or water.there >= 0.0
    assert water.lost >= 0.0
    if water.per_person_day:
        assert 0.0 < water.per_person_day.p05 <= water.per_person_day.p50 <= water.per_person_day.p95


def test_what_was_used_and_brought_since_the_last_level_counts_in_what_is_there():
    first, second = stay(0), stay(1, people=3.0)
    found = use_of(
        house(
            (first.start, Level(item="petrol", amount=9, unit="L")),
            (first.end, Level(item="petrol", amount=5, unit="L")),
            (second.start, Brought(item="petrol", amount=4, unit="L")),
            stays=(first, second),
        ),
        "petrol",
    )
    assert found.there == pytest.approx(5.0 + 4.0 - 1.0 * 6.0)  # 1 L a person-day, 3 people for 2 days


def test_there_is_never_less_than_nothing_nor_more_than_full():
    first, long = stay(0), stay(1, days=30.0)
    levels = (
        (first.start, Level(item="gas", amount=70, unit="%")),
        (first.end, Level(item="gas", amount=50, unit="%")),
    )
    assert use_of(house(*levels, stays=(first, long)), "gas").there == 0.0
    filled = (long.end, Brought(item="gas", amount=90, unit="%"))
    assert use_of(house(*levels, filled, stays=(first,)), "gas").there == 100.0


def test_person_days_count_the_part_of_a_stay_between_and_a_stay_going_on():
    found = house(
        stays=(stay(0), stay(1, people=3.0, going_on=True)), as_of=START + 7 * DAY + timedelta(hours=36)
    )
    assert person_days_between(found, START + DAY, START + 3 * DAY) == pytest.approx(2.0)
    assert person_days_between(found, START + 5 * DAY, START + 9 * DAY) == pytest.approx(3 * 1.5)


def test_without_any_level_water_has_its_planning_figure_and_nothing_else_has():
    (only,) = supplies(house(stays=(stay(0),)))
    assert (only.item, only.per_person_day, only.there) == ("water", WATER_PLANNING, None)


# The range


def test_nothing_known_is_no_range():
    assert per_person_day([], planning=None) is None
    assert per_person_day([(0.0, 4.0)], planning=None) is None


def test_own_use_takes_the_place_of_the_planning_figure():
    mine = [per_person_day([(12.0, 4.0)] * n, planning=WATER_PLANNING) for n in (0, 1, 5, 30)]
    middles = [found.p50 for found in mine if found]
    assert middles == sorted(middles, reverse=True)
    assert middles[-1] == pytest.approx(3.0, abs=0.2)
    widths = [found.p95 / found.p05 for found in mine[1:] if found]
    assert widths == sorted(widths, reverse=True)


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(0.25, 50)), max_size=8), st.booleans())
def test_ranges_are_in_order_and_within_what_was_seen(stretches, planned):
    found = per_person_day(stretches, planning=WATER_PLANNING if planned else None)
    if found is None:
        return
    assert 0.0 <= found.p05 <= found.p50 <= found.p95
    rates = [used / days for used, days in stretches] + ([WATER_PLANNING.p50] if planned else [])
    assert min(rates) - 1e-9 <= found.p50 <= max(rates) + 1e-9


@pytest.mark.parametrize("known", [1, 2, 4, 8])
@pytest.mark.parametrize("scatter", [0.2, 0.3, 0.4])
def test_of_a_hundred_stays_about_ninety_end_inside_the_range(known, scatter):
    """Invented households: means spread as the planning figure says, stays scattered around them in the log.

    1000 of them: 900 inside, sd 9.5. A spread of 0.4 is assumed until seen, so steady ones get more.
    """
    rng = np.random.default_rng(known)
    sd = np.log(WATER_PLANNING.p95 / WATER_PLANNING.p05) / (2 * 1.645)
    inside = 0
    for _ in range(1000):
        mean = WATER_PLANNING.p50 * np.exp(sd * rng.standard_normal())
        days = rng.uniform(2.0, 8.0, known + 1)
        rates = mean * np.exp(scatter * rng.standard_normal(known + 1))
        seen = list(zip((rates * days)[:known].tolist(), days[:known].tolist(), strict=True))
        found = per_person_day(seen, planning=WATER_PLANNING)
        assert found is not None
        inside += found.p05 <= rates[known] <= found.p95
    assert inside > 870, inside
    if scatter == 0.4:
        assert inside < 940, inside


T_95 = [(3.0, 2.353), (4.0, 2.132), (6.0, 1.943), (10.0, 1.812), (30.0, 1.697)]
"""Degrees of freedom and 95 % points: any printed table of Student's t."""


@pytest.mark.parametrize(("freedom", "printed"), T_95)
def test_few_stays_widen_as_students_t_does(freedom, printed):
    assert _z_90(freedom) == pytest.approx(printed, rel=0.02)


def test_a_household_that_varies_gets_a_wider_range():
    steady = per_person_day([(8.0, 4.0)] * 6, planning=None)
    varying = per_person_day([(2.0, 4.0), (14.0, 4.0)] * 3, planning=None)
    assert steady is not None
    assert varying is not None
    assert steady.p50 == pytest.approx(varying.p50)
    assert varying.p95 / varying.p05 > 2.0 * steady.p95 / steady.p05
    assert isinstance(steady, Range)
