"""How long the wood lasts, what a season takes, what to split by when; and how it is said. By hand."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from logbook.actions.woodshed import shed_air, wood
from logbook.care.wood_use import (
    WARM_C,
    nights_to_come,
    own_use,
    season_after,
    season_from,
    season_wood,
    weeks_ahead_c,
)
from logbook.care.woodshed import unit_of
from logbook.house import Burned, House, StayLived, Told
from logbook.matters import Stack, StackCount, StackMoisture
from logbook.records import Basis, Entry, OwnUnits
from logbook.results.night import Range
from logbook.results.woodshed import ShedAir, Unit, UseFrom
from logbook.setting import Setting
from logbook.wording.bulk import bulk_range_text, bulk_text, heat_text
from logbook.wording.woodshed import counted_text, lasting_text, stack_sentence, wood_text

ZONE = "Etc/GMT-1"
KG = Setting(zone=ZONE)
POUNDS = Setting(zone=ZONE, units=OwnUnits(temperature="F", mass="lb"))
AS_OF = datetime(2026, 1, 16, 20, tzinfo=UTC)

AIR = ShedAir(
    temperature_c=(-2.0, -2.0, 4.0, 8.0, 13.0, 16.0, 18.0, 17.0, 13.0, 8.0, 2.0, -2.0),
    settles_at_dry_pct=(18.0,) * 12,
)
"""Cold from October to April: seven months."""


def weekend(start: date, *, kg: float, nights: int = 2) -> StayLived:
    began = datetime(start.year, start.month, start.day, 17, tzinfo=UTC)
    loads = tuple(
        Burned(
            at=began + timedelta(hours=4 + 24 * n), kg=kg / nights, kg_dry=kg / nights * 0.82, species="birch"
        )
        for n in range(nights)
    )
    return StayLived(
        start=began,
        end=began + timedelta(days=nights),
        nights=tuple(start + timedelta(days=n) for n in range(nights)),
        burned=loads,
    )


def house(
    *stays: StayLived,
    matters: tuple[tuple[datetime, object], ...] = (),
    outdoor: dict[datetime, float] | None = None,
    as_of: datetime = AS_OF,
    setting: Setting = KG,
) -> House:
    entries = [Entry(at=at, matter=matter) for at, matter in matters]
    entries += [Entry(at=at, outdoor_c=c) for at, c in (outdoor or {}).items()]
    return House(
        as_of=as_of,
        setting=setting,
        description=None,
        entries=tuple(sorted(entries, key=lambda e: e.at)),
        told=tuple(Told(at=at, matter=matter) for at, matter in sorted(matters, key=lambda m: m[0])),
        stays=stays,
        burned=tuple(load for stay in stays for load in stay.burned),
    )


def put_up(n: float = 2.0, **more: object) -> tuple[datetime, Stack]:
    told = {"species": "birch", "split_on": date(2024, 5, 1), "as_said": f"{n:g} stere", **more}
    return datetime(2025, 5, 4, 12, tzinfo=UTC), Stack(name="birch", volume_m3=n, **told)


# Seasons


@pytest.mark.parametrize(
    ("day", "starts", "ends"),
    [
        (date(2026, 1, 16), date(2025, 10, 1), date(2026, 5, 1)),
        (date(2025, 10, 1), date(2025, 10, 1), date(2026, 5, 1)),
        (date(2026, 4, 30), date(2025, 10, 1), date(2026, 5, 1)),
        (date(2026, 5, 1), date(2026, 10, 1), date(2027, 5, 1)),
        (date(2026, 7, 20), date(2026, 10, 1), date(2027, 5, 1)),
    ],
)
def test_the_season_a_day_lies_in_else_the_next(day, starts, ends):
    found = season_from(day, air=AIR)
    assert (found.starts, found.ends) == (starts, ends)
    assert season_after(found, air=AIR).starts == starts.replace(year=starts.year + 1)


def test_where_no_month_is_cold_there_is_no_season():
    assert season_from(date(2026, 1, 1), air=replace(AIR, temperature_c=(20.0,) * 12)) is None
    assert season_from(date(2026, 1, 1), air=replace(AIR, temperature_c=(2.0,) * 12)) is None


def test_the_weeks_ahead_are_what_is_left_of_the_season():
    """From 1 March 31 days of 4 °C and 30 of 8: by hand 5.967 °C."""
    season = season_from(date(2026, 3, 1), air=AIR)
    got = weeks_ahead_c(date(2026, 3, 1), season=season, air=AIR)
    assert got == pytest.approx((31 * 4.0 + 30 * 8.0) / 61)


def test_where_there_is_no_season_the_weeks_ahead_are_a_year_s():
    assert weeks_ahead_c(date(2026, 3, 1), season=None, air=AIR) == pytest.approx(sum(AIR.temperature_c) / 12)


# Use


def test_own_use_goes_with_the_kelvins_outside():
    """Three stays of 2 nights at -2 °C burned 16, 20 and 24 kg: 10 kg a night over 20 K, so 0.5 kg/K; at 8 °C
    outside 10 K: 5 kg a night."""
    days = [date(2025, 12, 5), date(2025, 12, 19), date(2026, 1, 2)]
    lived = [weekend(day, kg=kg) for day, kg in zip(days, (16.0, 20.0, 24.0), strict=True)]
    told = house(*lived, outdoor={stay.start + timedelta(hours=2): -2.0 for stay in lived})
    assert WARM_C == 18.0
    use = own_use(told, outdoor_c=8.0, air=AIR)
    assert use.night_kg.p50 == pytest.approx(5.0)
    assert use.weekend_kg.p50 == pytest.approx(10.0)
    assert (use.stays, use.nights_per_weekend) == (3, 2.0)
    # One weekend scatters more than the mean of many nights.
    assert use.weekend_kg.p95 / use.weekend_kg.p50 > use.night_kg.p95 / use.night_kg.p50
    colder = own_use(told, outdoor_c=-12.0, air=AIR)
    assert colder.night_kg.p50 == pytest.approx(15.0)


def test_without_outdoor_readings_the_month_s_mean_serves():
    told = house(*(weekend(date(2025, 12, d), kg=20.0) for d in (5, 12, 19)))
    assert own_use(told, outdoor_c=-2.0, air=AIR).night_kg.p50 == pytest.approx(10.0)


def test_without_a_night_there_is_no_own_use():
    assert own_use(house(), outdoor_c=0.0, air=AIR) is None
    by_day = replace(weekend(date(2025, 12, 5), kg=9.0), nights=())
    assert own_use(house(by_day), outdoor_c=0.0, air=AIR) is None


BY_LOSS = Range(30.0, 40.0, 50.0)


@pytest.mark.parametrize(("stays", "rests_on"), [(0, "heat loss"), (2, "heat loss"), (3, "own stays")])
def test_three_own_stays_are_believed_before_the_heat_loss(stays, rests_on):
    lived = [weekend(date(2025, 12, 5 + 7 * n), kg=20.0) for n in range(stays)]
    use = wood(house(*lived, matters=(put_up(),)), weekend_by_heat_loss_kg=BY_LOSS).use
    assert use.rests_on.value == rests_on
    assert use.by_heat_loss_kg == BY_LOSS
    if use.rests_on is UseFrom.HEAT_LOSS:
        assert use.night_kg.p50 == 20.0  # half of a weekend's 40


def test_with_nothing_to_go_by_it_says_so():
    answer = wood(house(matters=(put_up(),)))
    assert (answer.use, answer.nights_left, answer.this_winter, answer.next_winter) == (None,) * 4
    assert "can't be told yet" in " ".join(lasting_text(answer, setting=KG))


def test_nights_left_are_what_is_dry_over_what_a_night_takes():
    lived = [weekend(date(2025, 12, 5 + 7 * n), kg=20.0) for n in range(3)]
    answer = wood(house(*lived, matters=(put_up(),)))
    kg, nights = answer.burnable_kg, answer.nights_left
    assert nights.p50 == pytest.approx(kg.p50 / answer.use.night_kg.p50)
    assert nights.p05 < nights.p50 < nights.p95
    assert answer.weekends_left.p50 == pytest.approx(nights.p50 / 2.0)


def test_green_wood_is_not_counted_into_the_nights():
    lived = [weekend(date(2025, 12, 5 + 7 * n), kg=20.0) for n in range(3)]
    at, stack = put_up()
    green = replace(stack, name="spruce", species="spruce", split_on=date(2026, 1, 10))
    dry_only, both = (wood(house(*lived, matters=((at, stack), *more))) for more in ((), ((at, green),)))
    assert both.nights_left == dry_only.nights_left
    assert both.left_kg.p50 > dry_only.left_kg.p50
    assert both.wet_kg.p50 == pytest.approx(both.left_kg.p50 - both.burnable_kg.p50)


def test_wood_of_unknown_moisture_is_counted_on_and_said_not_called_dry():
    lived = [weekend(date(2025, 12, 5 + 7 * n), kg=20.0) for n in range(3)]
    answer = wood(house(*lived, matters=(put_up(split_on=None),)))
    assert answer.dry_enough_kg is None
    assert answer.burnable_kg == answer.untold_kg == answer.left_kg
    assert answer.nights_left.p50 > 0.0
    said = " ".join(lasting_text(answer, setting=KG))
    assert "Moisture not known, and counted on below all the same" in said
    assert "Dry enough" not in said


# Nights to come, and seasons


def season_of_weekends(year: int, kg: float) -> list[StayLived]:
    """Twelve weekends of 2 nights, every second Friday from 3 October on."""
    return [weekend(date(year, 10, 3) + timedelta(days=14 * n), kg=kg) for n in range(12)]


def test_nights_to_come_are_those_after_this_day_in_winters_before():
    """Of twelve weekends from 3 October 2024 those after 16 January (day 107): from the eighth, 9 January is
    day 98; the ninth, 23 January, day 112. Four weekends, eight nights."""
    told = house(*season_of_weekends(2024, 20.0), *season_of_weekends(2025, 20.0)[:8])
    season = season_from(date(2026, 1, 16), air=AIR)
    nights, former = nights_to_come(told, today=date(2026, 1, 16), season=season, air=AIR)
    assert (nights.p50, former) == (8.0, 1)
    assert nights.p05 >= 0.0


def test_without_a_winter_before_the_pace_goes_on():
    """16 nights in the 107 days to 16 January, 105 days to 1 May: 15.7."""
    told = house(*season_of_weekends(2025, 20.0)[:8])
    season = season_from(date(2026, 1, 16), air=AIR)
    nights, former = nights_to_come(told, today=date(2026, 1, 16), season=season, air=AIR)
    assert nights.p50 == pytest.approx(16 / 107 * 105)
    assert former == 0


def test_a_winter_the_log_began_in_the_middle_of_is_no_whole_one():
    late = [weekend(date(2025, 1, 10), kg=20.0), weekend(date(2025, 2, 7), kg=20.0)]
    season = season_from(date(2026, 1, 16), air=AIR)
    assert season_wood(house(*late), before=season, air=AIR) is None
    whole = season_wood(house(*season_of_weekends(2024, 20.0)), before=season, air=AIR)
    assert whole[1] == 1
    assert whole[0].p50 == pytest.approx(240.0)


def test_what_to_split_is_a_season_less_what_is_left_then():
    told = house(*season_of_weekends(2024, 40.0), *season_of_weekends(2025, 40.0)[:8], matters=(put_up(2.0),))
    answer = wood(told)
    found = answer.next_winter
    assert found.usual_kg.p50 == pytest.approx(480.0)
    left_then = answer.left_kg.p50 - answer.this_winter.wood_kg.p50
    assert 0.0 < left_then < 480.0
    assert found.left_then_kg.p50 == pytest.approx(left_then)
    assert found.to_cut_kg.p50 == pytest.approx(480.0 - left_then)
    assert found.split_safely_before < found.split_before < found.starts
    text = " ".join(lasting_text(answer, setting=KG))
    assert "split another" in text
    assert "stere" in text
    assert "Next winter (from 1 Oct 2026)" in text


def test_by_this_winter_alone_the_next_is_no_better_known_than_by_one_on_record():
    """One season's log sd from another is 0.25: twice its root for one, 0.35, plus what is still to come."""
    this = wood(house(*season_of_weekends(2025, 40.0)[:8], matters=(put_up(2.0),))).next_winter
    assert this.winters == 0
    whole = season_wood(
        house(*season_of_weekends(2024, 40.0)), before=season_from(date(2026, 1, 16), air=AIR), air=AIR
    )
    assert this.usual_kg.p95 / this.usual_kg.p50 > whole[0].p95 / whole[0].p50
    assert whole[0].p95 / whole[0].p50 == pytest.approx(math.exp(1.6449 * 0.25 * math.sqrt(2.0)), rel=1e-4)


def test_more_wood_on_a_stack_is_said_to_count_for_all_of_it():
    dry = put_up(1.0, split_on=date(2024, 5, 1))
    green = (
        datetime(2026, 1, 10, tzinfo=UTC),
        Stack(name="birch", species="birch", volume_m3=1.0, split_on=date(2026, 1, 5)),
    )
    rows = " ".join(" ".join(wood_text(wood(house(matters=(dry, green))), setting=KG)).split())
    assert "Added to Sat 10 Jan 2026: all of it counts as split 5 Jan 2026." in rows
    assert "stack birch new 1 stere" in rows, "the way out is said"
    assert "Added to" not in " ".join(wood_text(wood(house(matters=(dry,))), setting=KG))


def test_a_count_of_what_may_be_missing_at_worst_is_not_a_count_of_what_is():
    told = house(*season_of_weekends(2024, 40.0), *season_of_weekends(2025, 40.0)[:8], matters=(put_up(2.5),))
    answer = wood(told)
    assert answer.next_winter.to_cut_kg.p50 == 0.0 < answer.next_winter.to_cut_kg.p95
    assert "most likely what is left then is enough; at worst" in " ".join(lasting_text(answer, setting=KG))


def test_with_wood_for_years_there_is_nothing_to_split():
    told = house(
        *season_of_weekends(2024, 20.0), matters=(put_up(30.0),), as_of=datetime(2025, 7, 1, tzinfo=UTC)
    )
    answer = wood(told)
    assert answer.this_winter is None  # it is summer
    assert answer.next_winter.to_cut_kg == Range(0.0, 0.0, 0.0)
    assert "what is left then is enough" in " ".join(lasting_text(answer, setting=KG))


# Cost


def test_cost_is_by_the_stacks_it_was_written_for():
    at, stack = put_up(2.0, money=80.0, hours=4.0)
    other = replace(stack, name="spruce", species="spruce", money=None, hours=6.0)
    cost = wood(house(matters=((at, stack), (at, other)))).cost
    assert cost.money_per_m3 == pytest.approx(40.0)
    assert cost.hours_per_m3 == pytest.approx(10.0 / 4.0)
    assert cost.stacks == 2
    assert wood(house(matters=(put_up(),))).cost is None


def test_wood_put_up_by_weight_shares_its_cost_by_the_kilogram_and_wood_of_no_amount_shares_none():
    at, stack = put_up(2.0)
    by_weight = replace(stack, name="oak", species="oak", volume_m3=None, mass_kg=500.0, money=100.0)
    of_no_amount = replace(by_weight, name="ash", mass_kg=None, money=70.0)
    cost = wood(house(matters=((at, by_weight), (at, of_no_amount)))).cost
    assert (cost.money_per_kg, cost.money_per_m3) == (pytest.approx(0.2), None)


def test_money_is_written_without_a_sign():
    rows = wood_text(wood(house(matters=(put_up(2.0, money=80.0, hours=4.0),))), setting=KG)
    (row,) = [row for row in rows if "in money" in row]
    assert row.startswith("100 kg cost ")
    assert not set(row) & set("€$£")


# The owner's words


@pytest.mark.parametrize(
    ("said", "m3", "kg", "unit"),
    [
        ("0.9 stere", 0.9, None, Unit(word="stere", m3=1.0)),
        ("2 boxes loose", 0.4, None, Unit(word="boxes", m3=0.2)),
        ("0,5 cord", 1.8123, None, Unit(word="cord", m3=3.6246)),
        ("3 boxes", None, 57.0, Unit(word="boxes", kg=19.0)),
        ("a row", 1.0, None, None),
        ("0 stere", 0.0, None, None),
        ("", None, None, None),
    ],
)
def test_the_household_unit_is_the_one_it_was_written_in(said, m3, kg, unit):
    got = unit_of(Stack(name="birch", volume_m3=m3, mass_kg=kg, as_said=said))
    assert got == unit or (
        got.word == unit.word and got.m3 == pytest.approx(unit.m3) and got.kg == pytest.approx(unit.kg)
    )


FRESH = StackMoisture(name="birch", readings_pct=(17.0, 19.0, 21.0), basis=Basis.WET, fresh_face=True)


def page(setting: Setting, *more: tuple[datetime, object], n: float = 0.9) -> str:
    answer = wood(house(matters=(put_up(n, where="at north wall"), *more), setting=setting))
    return "\n".join(wood_text(answer, setting=setting))


def test_a_stack_in_kilograms():
    said = page(KG, (datetime(2026, 1, 4, 12, tzinfo=UTC), FRESH))
    assert "birch, put up Sun 4 May 2025, split 1 May 2024, at north wall" in said
    assert "Left: 0.90 stere, " in said
    assert " kg (" in said
    assert "MWh" in said
    assert "Meter Sun 4 Jan 2026: 17, 19, 21 % (wet basis, fresh face)." in said
    assert "of the wet wood now" in said
    assert "dry enough to burn (20 % of the wet wood) by now" in said


def test_a_stack_in_pounds_and_on_the_dry_basis():
    said = page(replace(POUNDS, moisture_basis=Basis.DRY), (datetime(2026, 1, 4, 12, tzinfo=UTC), FRESH))
    assert " lb (" in said
    assert "million Btu" in said
    assert "of the dry wood now" in said
    assert " kg" not in said


def test_a_count_that_disagrees_says_how_much_went():
    said = page(KG, (datetime(2026, 1, 4, 12, tzinfo=UTC), StackCount(name="birch", volume_m3=0.4)))
    assert "Counted Sun 4 Jan 2026: 0.40 stere, reckoned 0.90 stere: about" in said
    assert "more went than was written." in said


def test_more_burned_than_was_there_is_one_clear_sentence():
    lived = weekend(date(2025, 12, 5), kg=900.0)
    told = house(lived, matters=(put_up(0.5),))
    (row,) = [row for row in wood_text(wood(told), setting=KG) if "More was burned" in row]
    assert "More was burned than was there: 900 kg written since Sun 4 May 2025" in row
    assert "count birch 0.2 stere" in row
    assert "−" not in row


def test_an_outside_face_is_told_as_a_lower_bound():
    at, stack = put_up(split_on=None)
    outside = StackMoisture(name="birch", readings_pct=(19.0,), basis=Basis.DRY, fresh_face=False)
    told = house(matters=((at, stack), (datetime(2026, 1, 16, 12, tzinfo=UTC), outside)))
    said = "\n".join(wood_text(wood(told), setting=KG))
    assert "outside face: at least that" in said
    assert "the inside may be far wetter" in said


def test_no_stack_says_how_to_write_one():
    answer = wood(house())
    assert wood_text(answer, setting=KG) == (
        "No stack of wood is on record. Write one:  stack birch 0.9 stere split may 2025",
    )
    assert answer.assumed == ()
    assert (answer.burnable_kg, answer.nights_left) == (None, None)


def test_a_stack_of_unknown_moisture_and_size_is_still_told():
    at, stack = put_up(split_on=None)
    answer = wood(house(matters=((at, replace(stack, volume_m3=None, as_said="a row")),)))
    said = "\n".join(wood_text(answer, setting=KG))
    assert "Left: not known, its size was not written. Write:  count birch 0.4 stere" in said
    assert "Moisture not known" in said
    assert stack_sentence(answer.stacks[0], setting=KG).startswith("birch: not known")


def test_what_is_assumed_is_said():
    said = page(KG)
    assert "The air is assumed" in said
    assert "55 to 70 % wood" in said
    assert "settles at" in said


def test_ranges_have_no_more_digits_than_are_known():
    units = OwnUnits()
    assert bulk_text(7.6, units=units) == "8 kg"
    assert bulk_text(196.0, units=units) == "195 kg"
    assert bulk_text(1663.0, units=units) == "1,660 kg"
    assert bulk_range_text(Range(165.0, 196.0, 233.0), units=units) == "195 kg (165 to 235)"
    assert heat_text(Range(1800.0, 3600.0, 7200.0), units=units) == "1.00 MWh (0.50 to 2.0)"
    in_pounds = heat_text(Range(1055.06, 1055.06, 3165.17), units=OwnUnits(temperature="F", mass="lb"))
    assert in_pounds == "1.00 million Btu (1.00 to 3.0)"


def test_counted_without_anything_reckoned_before_only_says_what_was_counted():
    at = datetime(2026, 1, 4, 12, tzinfo=UTC)
    answer = wood(house(matters=((at, StackCount(name="oak", volume_m3=1.0, as_said="1 stere")),)))
    (stack,) = answer.stacks
    assert counted_text(stack.counted, unit=stack.unit, setting=KG) == "Counted Sun 4 Jan 2026: 1.00 stere."


def test_a_house_without_a_description_has_its_air_all_the_same():
    assert shed_air(house()).months_read == 0
