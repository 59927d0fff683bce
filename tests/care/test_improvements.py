"""Money and hours beside the effect; payback only where something is known. Divided by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.care.improvements import change_of, payback, weekends_per_year, works_paid
from logbook.house import Burned, House, StayLived, Told
from logbook.matters import Improvement
from logbook.records import OwnUnits
from logbook.results.improvements import NoPayback, Outlay, WoodPrice
from logbook.results.night import Range
from logbook.results.works import ChangeAnswer, Touched, Verdict
from logbook.setting import Setting
from logbook.wording.improvements import (
    WHY_NO_PAYBACK,
    effect_short,
    paid_rows,
    payback_short,
    price_text,
    undated_text,
    years_text,
)

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)
MADE = datetime(2025, 11, 1, 12, tzinfo=UTC)
HELPED = ChangeAnswer(
    name="skirting",
    since=MADE,
    touched=Touched.HEAT_LOSS,
    nights_before=18,
    nights_after=15,
    heat_loss_change_pct=Range(-17.0, -10.0, -3.0),
    chance_helped=0.99,
    verdict=Verdict.HELPED,
    more_nights=0,
    wood_saved_kg=Range(2.0, 5.0, 8.0),
    weekend_k=20.0,
)
OUTLAY = Outlay(name="skirting", money=240.0, hours=31.0)
MONEY_ALONE = Outlay(name="skirting", money=240.0)
PRICE = WoodPrice(money_per_kg=0.2, hours_per_kg=0.01)
TEN_WEEKENDS = (10.0, 2)


def paid(outlay=OUTLAY, change=HELPED, price=PRICE, per_year=TEN_WEEKENDS):
    return payback(outlay=outlay, change=change, price=price, per_year=per_year)


# Payback


def test_payback_by_hand():
    """50 kg a year (20 to 80) at 0.20: 10 a year (4 to 16). 240 / 10 = 24 years, 240/16 = 15, 240/4 = 60.
    By hours: 50 kg at 0.01 h: 0.5 h a year; 31 / 0.5 = 62 years."""
    got = paid()
    assert got.saved_kg_per_year == Range(20.0, 50.0, 80.0)
    assert got.years == Range(pytest.approx(15.0), pytest.approx(24.0), pytest.approx(60.0))
    assert got.years_by_hours is not None
    assert got.years_by_hours.p50 == pytest.approx(62.0)
    assert got.cannot_tell is None


@pytest.mark.parametrize(
    ("why", "given_"),
    [
        (NoPayback.NO_COST, {"outlay": None}),
        (NoPayback.NOT_JUDGED, {"change": None}),
        (NoPayback.NOT_JUDGED, {"change": replace(HELPED, wood_saved_kg=None)}),
        (NoPayback.NOISE, {"change": replace(HELPED, verdict=Verdict.CANT_TELL)}),
        (NoPayback.NOISE, {"change": replace(HELPED, verdict=Verdict.NO_DIFFERENCE)}),
        (NoPayback.WORSE, {"change": replace(HELPED, verdict=Verdict.WORSE)}),
        (NoPayback.NOT_HEAT_LOSS, {"change": replace(HELPED, touched=Touched.GASKET)}),
        (NoPayback.TOGETHER, {"change": replace(HELPED, together_with=("panes",))}),
        (NoPayback.SHORT_LOG, {"per_year": None}),
        (NoPayback.NO_PRICE, {"price": WoodPrice()}),
        (NoPayback.NO_PRICE, {"price": WoodPrice(hours_per_kg=0.01), "outlay": MONEY_ALONE}),
        (NoPayback.MAY_BE_NOTHING, {"change": replace(HELPED, wood_saved_kg=Range(-0.5, 5.0, 8.0))}),
    ],
)  # fmt: skip
def test_no_payback_and_why(why, given_):
    got = paid(**given_)
    assert (got.years, got.years_by_hours, got.cannot_tell) == (None, None, why)
    assert why in WHY_NO_PAYBACK


@given(
    money=st.floats(0.1, 1e5),
    ends=st.tuples(st.floats(0.01, 50.0), st.floats(0.01, 50.0), st.floats(0.01, 50.0)),
    price=st.floats(0.001, 5.0),
    weekends=st.floats(0.5, 52.0),
    verdict=st.sampled_from(list(Verdict)),
)
def test_years_only_where_it_helped_and_they_give_the_money_back(money, ends, price, weekends, verdict):
    saved = Range(*sorted(ends))
    got = payback(
        outlay=Outlay(name="x", money=money),
        change=replace(HELPED, verdict=verdict, wood_saved_kg=saved),
        price=WoodPrice(money_per_kg=price),
        per_year=(weekends, 1),
    )
    assert (got.years is None) == (verdict is not Verdict.HELPED)
    if got.years is not None:
        assert got.years.p05 <= got.years.p50 <= got.years.p95
        assert got.years.p50 * saved.p50 * weekends * price == pytest.approx(money)


# Weekends of a year


def stay(first: date, nights: int, kg: float) -> StayLived:
    start = datetime(first.year, first.month, first.day, 16, tzinfo=UTC)
    burned = (Burned(at=start, kg=kg, kg_dry=kg, species=""),) if kg else ()
    return StayLived(
        start=start,
        end=start + timedelta(days=nights),
        nights=tuple(first + timedelta(days=n) for n in range(nights)),
        burned=burned,
    )


def house(*stays: StayLived, costs: tuple[tuple[datetime, Improvement], ...] = ()) -> House:
    return House(
        as_of=NOW, setting=Setting(), description=None, stays=stays,
        told=tuple(Told(at=when, matter=cost) for when, cost in costs),
    )  # fmt: skip


def test_weekends_are_nights_with_a_fire_over_whole_years():
    """First stay two and a half years back: two whole years count, 4 + 2 nights in them: 1.5 weekends a year.
    A summer stay without a fire, and what lies before the two years, do not count."""
    stays = (
        stay(date(2023, 12, 1), 8, 20.0),
        stay(date(2024, 11, 1), 4, 20.0),
        stay(date(2025, 7, 1), 9, 0.0),
        stay(date(2026, 1, 1), 2, 20.0),
    )
    assert weekends_per_year(house(*stays)) == (1.5, 2)


def test_less_than_a_year_tells_no_year():
    assert weekends_per_year(house(stay(date(2025, 12, 1), 2, 9.0))) is None
    assert weekends_per_year(house()) is None


# Costs and changes by name


def test_costs_of_one_name_are_summed_and_meet_the_change_nearest_in_time():
    dated = (("skirting", datetime(2021, 1, 1, tzinfo=UTC)), ("Skirting", MADE))
    costs = (
        (datetime(2025, 10, 1, tzinfo=UTC), Improvement(name="SKIRTING", money=200.0, surface="floor")),
        (datetime(2025, 12, 1, tzinfo=UTC), Improvement(name=" skirting", money=40.0, hours=31.0)),
        (NOW, Improvement(name="storm panes", money=90.0)),
    )
    found = works_paid(house(costs=costs), dated=dated, compared=(), price=PRICE)
    old, new = found.works
    assert old.outlay is None
    assert new.outlay == Outlay(name="Skirting", money=240.0, hours=31.0, surface="floor")
    assert [one.name for one in found.undated] == ["storm panes"]


def test_a_part_of_a_name_meets_it_only_where_one_has_it():
    dated = (("straw skirting", MADE), ("double panes", MADE), ("storm panes", MADE))
    assert change_of("skirting", NOW, dated) == dated[0]
    assert change_of("panes", NOW, dated) is None
    assert change_of("roof", NOW, dated) is None


def test_compare_may_date_a_change_to_the_beginning_of_its_stay():
    moved = replace(HELPED, since=MADE - timedelta(hours=5))
    found = works_paid(house(), dated=(("skirting", MADE),), compared=(moved,), price=PRICE)
    assert found.works[0].change is moved


# Words


def rows(**more) -> str:
    outlay, change = more.pop("outlay", OUTLAY), more.pop("change", HELPED)
    work = works_paid(house(), dated=(("skirting", MADE),), compared=(), price=PRICE).works[0]
    work = replace(work, outlay=outlay, change=change, payback=paid(outlay=outlay, change=change, **more))
    return " ".join(paid_rows(work, units=OwnUnits()))


def test_said_with_range_price_and_what_it_takes_for_granted():
    said = rows()
    assert "cost 240 in money and 31 h of work" in said
    assert "the last 2 years (10 weekends with a fire)" in said
    assert "50 kg (20 to 80)" in said
    assert "24 years (15 to 60) by money, with wood at 20 for 100 kg" in said
    assert "1.00 h for 100 kg" in said
    assert "as long as nights and prices stay" in said


def test_noise_gets_no_years_and_says_why():
    said = rows(change=replace(HELPED, verdict=Verdict.CANT_TELL))
    assert "can't be told" in said
    assert "noise" in said
    assert "pays" not in said


def test_without_a_cost_it_says_how_to_write_one():
    assert 'nightload note "cost skirting 240 31 h"' in rows(outlay=None)
    assert rows(outlay=None, change=replace(HELPED, verdict=Verdict.CANT_TELL)) == ""


def test_a_cost_without_a_date_says_how_to_date_it():
    said = undated_text(Outlay(name="storm panes", money=90.0))
    assert "storm panes: 90 in money" in said
    assert 'nightload change "storm panes" --from DATE' in said


def test_years_beyond_a_lifetime_are_no_number():
    assert years_text(Range(28.0, 48.0, 191.0)) == "48 years (28 to over 100)"


def test_prices_in_pounds():
    """0.2 for a kg is 0.2 × 45.359 = 9.07 for 100 lb. Source: the international pound, 0.45359237 kg."""
    assert price_text(0.2, units=OwnUnits(mass="lb")) == "9.1 for 100 lb"


def test_short_words_for_a_table():
    work = works_paid(house(), dated=(("skirting", MADE),), compared=(), price=PRICE).works[0]
    assert 'nightload compare "skirting"' in effect_short(work)
    assert payback_short(work) == ""
    told = replace(work, change=HELPED, outlay=OUTLAY, payback=paid())
    assert effect_short(told) == "helped: heat loss 3 to 17 % less"
    assert "24 years (15 to 60) by money" in payback_short(told)
    assert payback_short(replace(told, payback=paid(price=WoodPrice()))) == "can't be told"
