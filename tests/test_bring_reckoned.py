"""Wood, weather and alarms of a stay to come, as ``bring`` reckons them from the log; counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.actions.bring import MEAN_ABOVE_LOW_K, Asked, _outdoors, _wider, bring
from logbook.actions.tonight import low_said
from logbook.house import Burned, House, StayLived, Told
from logbook.matters import Bring, DayWeather, Level, Matter, Stack, StackMoisture, Upkeep
from logbook.records import Basis, Cabin, Description, Entry, Site, Stove, WoodPile
from logbook.results.night import Range
from logbook.results.supplies import BringFrom, LowFrom
from logbook.setting import Setting
from logbook.wording.supplies import bring_text

NOW = datetime(2026, 1, 15, 18, tzinfo=UTC)
DAY = timedelta(days=1)

DESCRIBED = Description(
    cabin=Cabin(floor_m2=24.0, volume_m3=60.0),
    stove=Stove(max_load_kg=8.0),
    site=Site(latitude_deg=47.0, longitude_deg=13.0),
    wood=WoodPile(pieces_kg=(("L", 2.8), ("S", 0.8), ("M", 1.6))),
)


def weekend(weeks_ago: int, kg: float, *, outdoor_c: float = -5.0) -> tuple[StayLived, tuple[Entry, ...]]:
    """A stay of two nights and its readings outside."""
    start = NOW - weeks_ago * 7 * DAY
    fire = Burned(at=start, kg=kg, kg_dry=0.8 * kg, species="birch")
    stay = StayLived(
        start=start, end=start + 2 * DAY, nights=(start.date(), (start + DAY).date()), burned=(fire,)
    )
    return stay, (Entry(at=start, outdoor_c=outdoor_c), Entry(at=start + DAY, outdoor_c=outdoor_c))


def house(*told: tuple[datetime, Matter], weekends=(), described: bool = True) -> House:
    stays = tuple(stay for stay, _ in weekends)
    rows = [e for _, rows in weekends for e in rows] + [Entry(at=at, matter=matter) for at, matter in told]
    return House(
        as_of=NOW,
        setting=Setting(),
        description=DESCRIBED if described else None,
        entries=tuple(sorted(rows, key=lambda e: e.at)),
        told=tuple(Told(at=at, matter=matter) for at, matter in told),
        stays=stays,
        burned=tuple(load for stay in stays for load in stay.burned),
    )


def typed(day: int, low: float, high: float) -> tuple[datetime, DayWeather]:
    return NOW - DAY, DayWeather(day=date(2026, 1, day), low_c=low, high_c=high)


FOUR = tuple(weekend(n, kg) for n, kg in ((8, 40.0), (6, 50.0), (4, 40.0), (2, 50.0)))


# Outdoors


def test_what_was_asked_goes_before_what_was_typed():
    found = _outdoors(house(typed(16, -12, -4)), Asked(night_low_c=-3.0))
    assert (found.low_c, found.mean_c, found.source) == (-3.0, -3.0 + MEAN_ABOVE_LOW_K, LowFrom.ASKED)


def test_typed_days_give_the_coldest_low_and_the_mean_of_their_middles():
    found = _outdoors(house(typed(16, -12, -4), typed(17, -6, 2)), Asked())
    assert (found.low_c, found.mean_c, found.source) == (-12.0, -5.0, LowFrom.TYPED)


def test_yesterday_and_days_far_ahead_are_of_other_stays():
    found = _outdoors(house(typed(14, -20, -9), typed(26, -30, -9)), Asked())
    assert found.source is LowFrom.CALENDAR
    assert found.sd_k > 5.0  # a guess for anywhere at this latitude


@pytest.mark.parametrize(("typed_ago", "logged_ago", "low"), [(20, 2, -13.0), (2, 20, -6.0), (20, 25, -6.0)])
def test_tonight_goes_by_the_newest_word_as_the_nights_answer_does(typed_ago, logged_ago, low):
    """Typed for today, low -6 and high 2; logged as tonight's: -13, which counts for a day. Its mean goes
    half as far down as its low: -2 - 3.5."""
    hour = timedelta(hours=1)
    today = NOW - typed_ago * hour, DayWeather(day=NOW.date(), low_c=-6.0, high_c=2.0)
    found = house(today)
    logged = Entry(at=NOW - logged_ago * hour, forecast_low_c=-13.0)
    found = replace(found, entries=tuple(sorted((*found.entries, logged), key=lambda e: e.at)))
    outdoors = _outdoors(found, Asked())
    assert (outdoors.low_c, outdoors.source) == (low, LowFrom.TYPED)
    assert outdoors.mean_c == pytest.approx(-2.0 + (low + 6.0) / 2.0)
    known = SimpleNamespace(entries=found.entries, weather=found.of(DayWeather), setting=found.setting)
    assert low_said(known, at=NOW, bed=NOW + 4 * hour) == low


def test_a_low_logged_alone_is_the_night_ahead():
    found = replace(house(), entries=(Entry(at=NOW, forecast_low_c=-13.0),))
    outdoors = _outdoors(found, Asked())
    assert (outdoors.low_c, outdoors.mean_c, outdoors.sd_k) == (-13.0, -13.0 + MEAN_ABOVE_LOW_K, 0.0)


def test_without_anything_the_calendar_knows_winter_from_summer():
    winter = _outdoors(house(described=False), Asked())
    summer = House(as_of=NOW + 180 * DAY, setting=Setting(), description=None)
    assert winter.low_c < _outdoors(summer, Asked()).low_c - 5.0


# Wood


def wood_of(found: House, **asked) -> Range:
    answer = bring(found, Asked(**({"night_low_c": -8.0, "nights": 2} | asked)), told=None)
    assert answer.wood is not None
    assert answer.wood.need is not None
    return answer.wood.need


def test_own_stays_at_the_same_temperature_give_their_own_mean():
    """180 kg in 8 nights at -5 °C: 45 kg for two more nights there."""
    assert wood_of(house(weekends=FOUR)).p50 == pytest.approx(45.0)


def test_wood_goes_with_nights_and_with_the_kelvins_below_18():
    four_nights = wood_of(house(weekends=FOUR), nights=4)
    assert four_nights.p50 == pytest.approx(90.0)
    colder = wood_of(house(weekends=FOUR), night_low_c=-18.0)  # mean -15: 33 K in the place of 23
    assert colder.p50 == pytest.approx(45.0 * 33.0 / 23.0)


def test_a_day_trip_takes_half_a_night():
    assert wood_of(house(weekends=FOUR), nights=0).p50 == pytest.approx(45.0 / 4.0)


def test_a_guessed_temperature_widens_it_a_given_one_does_not():
    given_low = wood_of(house(weekends=FOUR))
    guess = bring(house(weekends=FOUR), Asked(nights=2), told=None).wood
    assert guess is not None
    assert guess.need is not None
    assert guess.need.p95 / guess.need.p50 > 1.3 * given_low.p95 / given_low.p50


def test_few_stays_and_no_description_still_answer():
    found = bring(house(weekends=FOUR[:1], described=False), Asked(night_low_c=-8.0), told=None)
    assert found.wood is not None
    assert (found.wood.source, found.wood.stays) == (BringFrom.OWN_USE, 1)
    assert found.wood_pieces is None


def test_with_no_fire_on_record_and_no_description_there_is_no_wood_to_reckon():
    assert bring(house(described=False), Asked(), told=None).wood is None


def test_pieces_of_the_middle_size():
    found = bring(house(weekends=FOUR), Asked(night_low_c=-8.0, nights=2), told=None)
    assert found.wood_pieces is not None
    name, likely, most = found.wood_pieces
    assert (name, likely) == ("M", pytest.approx(45.0 / 1.6))
    assert most > likely


def stack(kg: float, *, moisture: float) -> tuple[tuple[datetime, Matter], ...]:
    at = NOW - 3 * DAY
    return (
        (at, Stack(name="birch", species="birch", mass_kg=kg)),
        (at, StackMoisture(name="birch", readings_pct=(moisture,), basis=Basis.WET, fresh_face=True)),
    )


def test_dry_wood_up_there_is_enough_and_green_wood_is_not_there():
    enough = bring(house(*stack(900.0, moisture=14.0), weekends=FOUR), Asked(nights=2), told=None).wood
    assert enough is not None
    assert enough.there is not None
    assert enough.there > 700.0
    assert enough.amount == 0.0
    green = bring(house(*stack(900.0, moisture=45.0), weekends=FOUR), Asked(nights=2), told=None).wood
    assert green is not None
    assert not green.there
    assert green.need is not None
    assert green.amount == pytest.approx(green.need.p95)


@given(st.floats(0.1, 500), st.floats(1.01, 5), st.floats(1.01, 5), st.floats(0, 1))
def test_one_more_cause_never_narrows_a_range_nor_moves_its_middle(middle, down, up, sd):
    had = Range(middle / down, middle, middle * up)
    got = _wider(had, sd=sd)
    assert got.p50 == middle
    assert got.p05 <= had.p05 * (1 + 1e-9)
    assert got.p95 >= had.p95 * (1 - 1e-9)


def test_two_causes_add_as_independent_ones():
    """Log half-widths 0.3 and 1.645 x 0.25 = 0.411 give 0.509."""
    got = _wider(Range(74.08, 100.0, 134.99), sd=0.25)
    assert got.p95 == pytest.approx(100.0 * 2.71828**0.509, rel=1e-3)
    assert got.p05 == pytest.approx(100.0 / 2.71828**0.509, rel=1e-3)


# The rest of the list


def test_an_alarm_out_of_date_is_carried_and_one_that_is_not_stays():
    old = (NOW - 900 * DAY, Upkeep(task="co alarm", until=date(2026, 1, 1)))
    found = bring(house(old, weekends=FOUR), Asked(), told=None)
    assert "CO alarm" in [item.item for item in found.items]
    new = (NOW - 900 * DAY, Upkeep(task="co alarm", until=date(2031, 1, 1)))
    found = bring(house(new, weekends=FOUR), Asked(), told=None)
    assert "CO alarm" not in [item.item for item in found.items]


def test_a_battery_changed_a_year_and_more_ago_is_carried():
    changed = (NOW - 400 * DAY, Upkeep(task="co alarm battery"))
    found = bring(house(changed, weekends=FOUR), Asked(), told=None)
    assert "battery for the CO alarm" in [item.item for item in found.items]


def test_a_battery_nobody_wrote_down_is_carried_once_the_log_is_older_than_a_year():
    long_ago = tuple(weekend(n, 45.0) for n in (60, 2))
    found = bring(house(weekends=long_ago), Asked(), told=None)
    assert "battery for the smoke alarm" in [item.item for item in found.items]
    assert "battery for the smoke alarm" not in [
        i.item for i in bring(house(weekends=FOUR), Asked(), told=None).items
    ]


def test_people_and_nights_of_the_last_stays_are_assumed_and_said():
    found = bring(house(weekends=FOUR), Asked(), told=None)
    assert (found.people, found.people_assumed) == (2.0, True)
    assert (found.nights, found.nights_assumed) == (2, True)
    found = bring(house(weekends=FOUR), Asked(people=5, nights=1), told=None)
    assert (found.people_assumed, found.nights_assumed) == (False, False)


def test_more_people_need_more_water_and_no_more_wood():
    answers = [bring(house(weekends=FOUR), Asked(people=n, nights=2), told=None) for n in (2, 4)]
    water = [next(i.amount for i in a.items if i.item == "water") for a in answers]
    assert water[1] == pytest.approx(2.0 * water[0])
    assert answers[0].wood == answers[1].wood


def test_a_full_store_of_water_is_enough():
    full = (NOW - DAY, Level(item="water", amount=500, unit="L"))
    found = bring(house(full, weekends=FOUR), Asked(), told=None)
    assert [item.item for item in found.enough] == ["water"]
    assert [item.item for item in found.items] == []


def test_what_is_noted_and_there_stands_once_and_the_note_wins():
    """The owner wants water brought although the level says enough: it may be spoilt, and they know."""
    full = (NOW - 2 * DAY, Level(item="water", amount=500, unit="L"))
    noted = (NOW - DAY, Bring(item="Water", amount=20, unit="L"))
    found = bring(house(full, noted, weekends=FOUR), Asked(), told=None)
    assert found.enough == ()
    (item,) = found.items
    assert (item.item, item.amount, item.there) == ("Water", 20, 500)
    assert item.source in (BringFrom.LIST, BringFrom.LEFT_NOTE)
    rows = bring_text(found, setting=Setting())
    (row,) = (row for row in rows if row.startswith("  Water"))
    assert row.startswith("  Water 20 L. ")
    assert "Expected there: 500 L, enough by reckoning (" in row
    assert "Enough there" not in rows


def test_what_is_noted_without_an_amount_says_the_level_in_its_own_unit():
    full = (NOW - 2 * DAY, Level(item="water", amount=500, unit="L"))
    found = bring(house(full, (NOW - DAY, Bring(item="water")), weekends=FOUR), Asked(), told=None)
    (row,) = (row for row in bring_text(found, setting=Setting()) if row.startswith("  water"))
    assert row.startswith("  water. ")
    assert "Expected there: 500 L, enough by reckoning (" in row
