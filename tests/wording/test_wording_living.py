"""Stays, weather, supplies and damp in words: the branches a page of a real log seldom shows at once."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from logbook.care.weather_by_hand import BASE_C
from logbook.matters import Sight
from logbook.records import OwnUnits
from logbook.results.damp import (
    Airing,
    DampAnswer,
    HumidityRow,
    OutdoorFrom,
    SeenRow,
    StayWater,
    SurfaceRow,
    SurfaceState,
)
from logbook.results.night import Range
from logbook.results.sheets import GuestCard
from logbook.results.stays import Extreme, OtherYear, StayRow, StaysAnswer, ThisWeekendAnswer, YearPage
from logbook.results.supplies import BringFrom, BringItem, SupplyUse
from logbook.results.weather import DayFrom, DayRow, DegreeTotal, ForecastMiss, WeatherAnswer
from logbook.setting import Setting
from logbook.wording.damp import advice_text, damp_text
from logbook.wording.sheets import every_load
from logbook.wording.stays import stays_text, this_weekend_text, years_text
from logbook.wording.supplies import why_text
from logbook.wording.weather import USUAL_BASE_C, weather_text

NOW = datetime(2026, 1, 17, 12, tzinfo=UTC)
SETTING = Setting()
AMERICAN = Setting(units=OwnUnits(temperature="F", mass="lb"))

STAY = StayRow(
    start=NOW - timedelta(hours=20), end=NOW, going_on=True, people=(), head_count=1.0, head_count_said=True,
    nights=1, wood_kg=0.0, wood_kg_dry=0.0, coldest_inside=None, coldest_outside=None, purpose="",
    guest_book=(),
)  # fmt: skip


# Stays


def test_a_stay_going_on_alone_and_without_a_fire():
    rows = stays_text(StaysAnswer(as_of=NOW, stays=(STAY,)), setting=SETTING)
    assert rows[1:] == ("Since Fri 16 Jan 2026. 1 person.", "  1 night; no wood; no dawn read.")


@pytest.mark.parametrize(
    ("off", "said"), [(-1, "2025, the week before: "), (0, "2025: "), (1, "2025, the week after: ")]
)
def test_how_far_another_years_stay_lies(off, said):
    other = OtherYear(year=2025, weeks_off=off, stay=replace(STAY, going_on=False))
    rows = this_weekend_text(
        ThisWeekendAnswer(as_of=NOW, saturday=date(2026, 1, 17), stays=(other,)), setting=SETTING
    )
    assert rows[0] == "This weekend (17 Jan) in other years:"
    assert rows[1].startswith(said)


def test_a_season_without_a_fire_says_so():
    page = YearPage(
        name="2025–26", begins=date(2025, 7, 1), ends=date(2026, 7, 1), going_on=False, first_fire=None,
        last_fire=None, coldest_inside=None, coldest_outside=Extreme(-12.4, NOW), wood_kg=0.0,
        wood_kg_dry=0.0, burn_days=0, nights=1, stays=1, person_nights=1.0, guest_book=(),
    )  # fmt: skip
    rows = years_text([page], setting=SETTING)
    assert rows[0] == "Season 2025–26 (1 Jul 2025 to 30 Jun 2026)"
    assert "  No fire on record." in rows
    assert "  Coldest dawn  −12 °C outside (Sat 17 Jan)" in rows
    assert "  Wood          no wood, 0 days with a fire" in rows


# Weather


def a_day(day: int, source: DayFrom = DayFrom.FORECAST) -> DayRow:
    return DayRow(
        day=date(2026, 1, day), low_c=-8.0, high_c=-2.0, source=source, wind="", sky=None,
        degree_days_k=20.5, degree_days_65f_k=23.3333, degree_hours_k=576.0,
    )  # fmt: skip


def weather(**more: object) -> WeatherAnswer:
    fields = {
        "as_of": NOW, "today": date(2026, 1, 17), "base_c": 15.5, "inside_c": 19.0, "behind": (), "ahead": (),
        "season": None, "coming": None, "coldest": None, "warmest": None, "miss": None,
    }  # fmt: skip
    return WeatherAnswer(**(fields | more))


def total(days: int, forecast: int) -> DegreeTotal:
    return DegreeTotal(
        first=date(2026, 1, 1), last=date(2026, 1, 9), days=days, forecast=forecast, degree_days_k=100.0,
        degree_days_65f_k=112.0, degree_hours_k=2500.0,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("days", "forecast", "said"),
    [
        (1, 0, "Season so far: 100.0 degree-days in 1 day."),
        (5, 2, "Season so far: 100.0 degree-days in 5 days, 2 of them only forecast."),
        (3, 3, "Season so far: 100.0 degree-days in 3 days, only forecast."),
        (1, 1, "Season so far: 100.0 degree-days in 1 day, only forecast."),
    ],
)
def test_a_sum_says_how_many_days_it_holds(days, forecast, said):
    """A season of three forecasts nobody checked stood there as three days known; report knew none."""
    rows = weather_text(weather(season=total(days, forecast)), setting=SETTING)
    assert any(row.startswith(said) for row in rows)
    rows = weather_text(weather(ahead=(a_day(18),), coming=total(3, 3)), setting=SETTING)
    assert any(row.startswith("Ahead: 100.0 degree-days in 3 days; ") for row in rows), "goes without saying"


def test_a_base_asked_for_holds_in_fahrenheit_too():
    """--base 10 was read, reckoned, and said as 65 °F all the same. 20.5 K are 36.9 °F."""
    rows = weather_text(weather(base_c=10.0, ahead=(a_day(18),), coming=total(1, 1)), setting=AMERICAN)
    assert "Degree-days below 50.0 °F, by the UK Met Office's equations." in rows
    assert any("37 degree-days" in row for row in rows)
    assert any(row.startswith("Ahead: 180 degree-days in 1 day") for row in rows)
    usual = weather_text(weather(ahead=(a_day(18),), coming=total(1, 1)), setting=AMERICAN)
    assert any("42 degree-days" in row for row in usual)
    assert USUAL_BASE_C == BASE_C


def test_degree_hours_in_the_owners_degrees():
    rows = weather_text(weather(ahead=(a_day(18),), coming=total(1, 1)), setting=AMERICAN)
    assert any("4500 degree-hours below 66 °F inside" in row for row in rows)
    rows = weather_text(weather(ahead=(a_day(18),), coming=total(1, 1)), setting=SETTING)
    assert any("2500 degree-hours below 19 °C inside" in row for row in rows)


@pytest.mark.parametrize(("mean", "word"), [(1.5, "warmer"), (-1.5, "colder")])
def test_forecasts_that_missed(mean, word):
    rows = weather_text(weather(miss=ForecastMiss(days=4, mean_k=mean, mean_size_k=2.0)), setting=SETTING)
    assert any(f"4 days: 1.5 °C {word} than told on average, 2.0 °C off" in row for row in rows)
    rows = weather_text(weather(miss=ForecastMiss(days=1, mean_k=mean, mean_size_k=2.0)), setting=AMERICAN)
    assert any(f"1 day: 2.7 °F {word}" in row for row in rows)


# Supplies


def water(**more: object) -> BringItem:
    fields = {
        "item": "water", "amount": 30.0, "unit": "L", "shown_unit": "L", "source": BringFrom.PLANNING,
        "need": Range(19.0, 38.0, 75.0), "survival_l": 18.9,
    }  # fmt: skip
    return BringItem(**(fields | more))


def test_a_first_guess_names_its_sources_and_how_to_do_better():
    said = why_text(water(), setting=SETTING)
    assert "planning figures" in said
    assert "Sphere" in said
    assert "level water 14 L" in said


def test_gas_by_the_kilogram_says_its_heat():
    """20 lb of propane are 431,604 Btu, as reported: 9.07 kg, 126.5 kWh."""
    use = SupplyUse(
        item="gas", unit="kg", shown_unit="kg", per_person_day=Range(0.1, 0.2, 0.4), intervals=2,
        person_days=8.0, planning=None, last=9.07, last_at=NOW, there=9.07,
    )  # fmt: skip
    item = water(item="gas", unit="kg", shown_unit="kg", source=BringFrom.OWN_USE, there=9.07, own_use=use,
                 survival_l=None)  # fmt: skip
    assert "Expected there: 9.1 kg (126 kWh as propane)." in why_text(item, setting=SETTING)


def test_a_thing_on_the_list_too_says_since_when():
    assert why_text(water(also_noted=NOW), setting=SETTING).endswith("On your list too, Sat 17 Jan.")


# Damp

SURFACE = SurfaceRow(
    kind="roof", faces="", u_w_per_m2k=0.3, assumed=True, inside_c=18.0, behind_c=17.0, wet_from_rh_pct=99.9,
    state=SurfaceState.DRY,
)  # fmt: skip


def damp(**more: object) -> DampAnswer:
    fields = {
        "as_of": NOW, "inside_c": 19.0, "outdoor_c": -6.0, "outdoor_from": OutdoorFrom.READ, "rh_pct": 50.0,
        "dew_point_c": 8.3, "readings": (), "surfaces": (SURFACE,), "seen": (), "water": None,
        "airing": None, "described": True,
    }  # fmt: skip
    return DampAnswer(**(fields | more))


def page(answer: DampAnswer, setting: Setting = SETTING) -> str:
    return "\n".join(damp_text(answer, setting=setting))


def test_a_frost_point_is_called_one():
    assert "frost point −3.0 °C" in page(damp(inside_c=2.0, rh_pct=70.0, dew_point_c=-3.0))
    assert "dew point 8.3 °C" in page(damp())
    assert "mould" not in page(damp())


def test_a_surface_that_never_wets_and_one_assumed():
    assert "roof (assumed)     18 °C  dry; never wet so; behind furniture 17 °C" in page(damp())


def test_other_places_have_a_row_each():
    loft = HumidityRow(place="loft", at=NOW, temperature_c=14.0, rh_pct=71.0, dew_point_c=8.8)
    assert "  loft: 14.0 °C at 71 %, dew point 8.8 °C (Sat 17 Jan 12:00)" in page(damp(readings=(loft,)))


def test_sights_seen_once_and_often():
    once = SeenRow(sight=Sight.FROST, place="", since=NOW, last=NOW, times=1)
    often = SeenRow(sight=Sight.LEAK, place="north eave", since=NOW - timedelta(days=30), last=NOW, times=3)
    said = page(damp(seen=(once, often)))
    assert "  frost, Sat 17 Jan 2026" in said
    assert "  leak at north eave, 3 times from Thu 18 Dec 2025 to Sat 17 Jan 2026" in said
    assert "a leak first" in said


def airing(changes: float, *, reachable: bool = True) -> Airing:
    return Airing(
        cooled_c=-6.0, outdoor_c=-6.0, reachable=reachable, air_changes=changes, in_air_kg=0.42,
        minutes=(("window cracked", 60.0, 240.0), ("window wide open", 4.0, 7.0), ("both", 1.5, 1.5)),
    )  # fmt: skip


def test_minutes_and_hours_of_airing():
    said = page(damp(airing=airing(1.0)))
    assert "window cracked 1.0 to 4.0 h; window wide open 4–7 min; both 2 min" in said
    assert "so that little condenses when all is down to −6 °C: 1.0 changes of air." in said


def test_what_airing_cannot_reach_is_not_promised():
    said = " ".join(advice_text(damp(airing=airing(2.0, reachable=False)), setting=SETTING))
    assert "some will still condense at −6 °C" in said
    assert "so that little condenses" not in said


def test_a_dry_room_is_left_as_it_is():
    assert advice_text(damp(airing=airing(0.0)), setting=SETTING) == (
        "The room is dry enough to be left as it is.",
    )


def test_a_damp_room_is_not_called_dry_for_want_of_drier_air_outside():
    """65 % stood as mould in time and, three lines on, as dry enough to be left as it is."""
    humid = damp(rh_pct=65.0, airing=airing(0.0))
    assert advice_text(humid, setting=SETTING) == (
        "It can be left without airing now, but not for good: air it when it is drier outside.",
    )
    assert advice_text(damp(airing=airing(0.0, reachable=False)), setting=SETTING) == (
        "Airing now would make it no drier: the air outside holds about as much water.",
    )


def test_where_it_was_seen_reads_as_it_was_said():
    rows = [
        SeenRow(sight=Sight.MOULD, place=place, since=NOW, last=NOW, times=1)
        for place in ("behind the wardrobe", "Under the sink", "north wall")
    ]
    said = page(damp(seen=rows))
    assert "  mould behind the wardrobe, Sat" in said and "  mould Under the sink, Sat" in said
    assert "  mould at north wall, Sat" in said


@pytest.mark.parametrize(("going_on", "which"), [(True, "this stay"), (False, "the last stay")])
def test_the_stays_water_in_both_units(going_on, which):
    given_off = StayWater(person_days=3.5, kg=Range(4.9, 6.1, 9.3), going_on=going_on)
    assert f"dishes of {which} gave the cabin about 4.9 to 9.3 kg of water" in page(damp(water=given_off))
    assert "10.8 to 20.5 lb" not in page(damp(water=given_off), AMERICAN)
    assert "about 11 to 21 lb of water" in page(damp(water=given_off), AMERICAN)
    assert "holds 420 g now" in page(damp(water=given_off, airing=airing(1.0)))
    assert "holds 0.9 lb now" in page(damp(water=given_off, airing=airing(1.0)), AMERICAN)


def test_somebody_who_looked_in_gave_off_nothing_worth_telling():
    assert "Breath" not in page(damp(water=StayWater(person_days=0.1, kg=Range(0.1, 0.2, 0.3))))


@pytest.mark.parametrize(
    ("missing", "said"),
    [
        ({"inside_c": None, "outdoor_c": None}, "need a temperature inside and outside"),
        ({"outdoor_c": None}, "need a temperature outside"),
    ],
)
def test_what_is_missing_is_asked_for(missing, said):
    assert said in page(damp(surfaces=(), **missing))


# The guest sheet


@pytest.mark.parametrize(
    ("limit_kg", "pieces", "words"),
    [
        (8.0, (("S", 0.8), ("M", 1.6), ("L", 2.8)), "At most 8.0 kg (about 5 M)"),  # 2 L are 5.6 kg
        (8.5, (("S", 0.8), ("M", 1.6), ("L", 2.8)), "At most 8.5 kg (about 3 L)"),  # 8.4 kg
        (5.0, (("L", 2.8),), "At most 5.0 kg (about 1 L)"),  # never more than the limit
        (2.0, (("L", 2.8),), "At most 2.0 kg in the stove"),
    ],
)
def test_a_load_in_pieces_comes_near_its_weight_and_never_above(limit_kg, pieces, words):
    card = GuestCard(
        place="", written_on=date(2026, 1, 16), units=SETTING.units, lever_reads="open", max_load_kg=limit_kg,
        usual_load_kg=None, pieces_kg=pieces, clean_floor_pct=25.0, clean_floor_assumed=False,
        open_minutes=12.0, usual_air_pct=30.0, usual_minutes=15.0, cold_minutes=22.0, bed=time(22, 30),
    )  # fmt: skip
    assert every_load(card)[0].startswith(words)
