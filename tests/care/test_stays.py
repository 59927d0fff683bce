"""Stays in figures: coldest dawns, seasons, this weekend in other years. Counted by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.care.stays import season_start, stays_answer, this_weekend_answer, years_answer
from logbook.errors import BadInputError
from logbook.house import Burned, House, StayLived
from logbook.records import Cabin, Description, Entry, OwnUnits, Site, Stove
from logbook.results.stays import Extreme
from logbook.setting import Setting
from logbook.wording.stays import stays_text, this_weekend_text, when_text, years_text

ZONE = "Etc/GMT-1"


def at(text: str) -> datetime:
    """A moment by the cabin's clock, an hour ahead of UTC."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC) - timedelta(hours=1)


def stay(start: str, end: str, *nights: str, **more: object) -> StayLived:
    return StayLived(
        start=at(start), end=at(end), nights=tuple(date.fromisoformat(night) for night in nights), **more
    )


def house(
    *stays: StayLived, entries: tuple[Entry, ...] = (), as_of: str = "2026-06-01T12:00", **more
) -> House:
    burned = tuple(load for lived in stays for load in lived.burned)
    return House(
        as_of=at(as_of), setting=Setting(zone=ZONE), description=more.pop("description", None),
        entries=entries, stays=stays, burned=burned, **more,
    )  # fmt: skip


def load(text: str, kg: float) -> Burned:
    return Burned(at=at(text), kg=kg, kg_dry=0.8 * kg, species="birch")


JANUARY = stay(
    "2026-01-16T17:00",
    "2026-01-18T15:00",
    "2026-01-16",
    "2026-01-17",
    burned=(load("2026-01-16T18:00", 4.0), load("2026-01-17T20:00", 6.0)),
    people=("K", "J"),
    head_count=2.0,
    head_count_said=True,
    purpose="roof",
    guest_book=("Snow to the sills.",),
)


# Dawns


def test_the_coldest_dawn_is_read_in_the_morning_after_a_night_there():
    entries = (
        Entry(at=at("2026-01-16T17:00"), indoor_c=-3.0, outdoor_c=-20.0),  # arriving: no dawn
        Entry(at=at("2026-01-17T06:30"), indoor_c=11.0, outdoor_c=-8.0),
        Entry(at=at("2026-01-18T07:00"), indoor_c=12.0, low_c=9.5, outdoor_c=-7.0),
        Entry(at=at("2026-01-18T10:01"), indoor_c=5.0, outdoor_c=-15.0),  # too late to be the dawn
        Entry(at=at("2026-01-18T06:00"), indoor_c=2.0, place="loft"),  # another place
        Entry(at=at("2026-01-19T06:00"), indoor_c=1.0, outdoor_c=-30.0),  # nobody slept there
    )
    (row,) = stays_answer(house(JANUARY, entries=entries)).stays
    assert row.coldest_inside == Extreme(9.5, at("2026-01-18T07:00"))
    assert row.coldest_outside == Extreme(-8.0, at("2026-01-17T06:30"))


def test_a_dawn_nobody_read_is_none():
    (row,) = stays_answer(house(JANUARY)).stays
    assert (row.coldest_inside, row.coldest_outside) == (None, None)
    assert (row.nights, row.wood_kg) == (2, 10.0)
    assert row.wood_kg_dry == pytest.approx(8.0)


# Seasons


SEASON_STARTS = [  # day, first month, start
    (date(2025, 6, 30), 7, date(2024, 7, 1)),
    (date(2025, 7, 1), 7, date(2025, 7, 1)),
    (date(2026, 1, 1), 7, date(2025, 7, 1)),
    (date(2026, 1, 1), 1, date(2026, 1, 1)),
    (date(2025, 12, 31), 1, date(2025, 1, 1)),
]


@pytest.mark.parametrize(("day", "month", "start"), SEASON_STARTS)
def test_a_season_begins_with_its_month(day, month, start):
    assert season_start(day, month=month) == start


def test_a_season_on_a_page():
    spring = stay(
        "2026-04-03T18:00", "2026-04-04T12:00", "2026-04-03", burned=(load("2026-04-03T19:00", 3.0),),
        head_count=3.0,
    )  # fmt: skip
    before = stay("2025-03-01T10:00", "2025-03-01T16:00", burned=(load("2025-03-01T11:00", 9.0),))
    older, page = years_answer(house(before, JANUARY, spring)).seasons
    assert (older.name, older.wood_kg, older.nights) == ("2024–25", 9.0, 0)
    assert page.name == "2025–26"
    assert (page.first_fire, page.last_fire) == (at("2026-01-16T18:00"), at("2026-04-03T19:00"))
    assert (page.wood_kg, page.burn_days) == (13.0, 3)
    assert (page.nights, page.stays) == (3, 2)
    assert page.person_nights == 2 * 2 + 3
    assert page.guest_book == ((at("2026-01-16T17:00"), "Snow to the sills."),)
    assert page.going_on  # it is June
    assert not older.going_on


def test_a_stay_over_the_turn_of_the_season_is_shared_out_by_night_and_load():
    over = stay(
        "2026-06-30T18:00",
        "2026-07-02T12:00",
        "2026-06-30",
        "2026-07-01",
        burned=(load("2026-06-30T20:00", 1.0), load("2026-07-01T20:00", 2.0)),
    )
    old, new = years_answer(house(over, as_of="2026-07-10T12:00")).seasons
    assert (old.nights, old.wood_kg, old.stays) == (1, 1.0, 1)
    assert (new.nights, new.wood_kg, new.stays) == (1, 2.0, 0)


def test_south_of_the_equator_the_season_is_the_calendar_year():
    described = Description(
        cabin=Cabin(floor_m2=20.0, volume_m3=50.0),
        stove=Stove(max_load_kg=6.0),
        site=Site(latitude_deg=-44.0, timezone=ZONE),
    )
    june = stay("2025-06-30T18:00", "2025-07-02T12:00", "2025-06-30", "2025-07-01")
    (page,) = years_answer(house(june, description=described)).seasons
    assert (page.name, page.nights) == ("2025", 2)


def test_a_season_without_anything_is_refused_with_those_there_are():
    with pytest.raises(BadInputError, match=r"in 2019\.\n.*2025–26"):
        years_answer(house(JANUARY), year=2019)


@given(st.lists(st.dates(date(2020, 1, 1), date(2026, 5, 30)), min_size=1, max_size=20, unique=True))
def test_nothing_is_lost_or_counted_twice_between_seasons(days):
    stays = []
    for day in sorted(days):
        noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        fire = Burned(at=noon, kg=1.0, kg_dry=0.8, species="")
        stays.append(StayLived(start=noon, end=noon + timedelta(hours=6), nights=(day,), burned=(fire,)))
    pages = years_answer(house(*stays)).seasons
    for total in (sum(p.stays for p in pages), sum(p.nights for p in pages), sum(p.wood_kg for p in pages)):
        assert total == len(days)


# This weekend in other years

WEEKENDS = [  # by a printed calendar: 24 Jan 2026 is a Saturday; nearest to it 25 Jan 2025 and 27 Jan 2024
    ("2025-01-24T17:00", "2025-01-26T12:00", 2025, 0),  # its week: 20 to 26 January
    ("2025-01-17T17:00", "2025-01-19T12:00", 2025, -1),
    ("2024-02-02T17:00", "2024-02-03T12:00", 2024, 1),  # the week after: 29 January to 4 February
    ("2025-01-15T17:00", "2025-01-28T12:00", 2025, 0),  # over both: it touches the week itself
]


@pytest.mark.parametrize(("start", "end", "year", "off"), WEEKENDS)
def test_the_same_weekend_of_another_year(start, end, year, off):
    found = this_weekend_answer(house(stay(start, end), as_of="2026-01-21T12:00"))
    assert found.saturday == date(2026, 1, 24)
    assert [(other.year, other.weeks_off) for other in found.stays] == [(year, off)]


@pytest.mark.parametrize(
    ("start", "end"),
    [
        ("2025-01-10T17:00", "2025-01-12T12:00"),  # two weeks before
        ("2025-02-03T00:00", "2025-02-04T12:00"),  # the Monday after the week after
        ("2026-01-23T17:00", "2026-01-24T12:00"),  # this very weekend
        ("2026-01-16T17:00", "2026-01-18T12:00"),  # last weekend
    ],
)
def test_other_weeks_and_this_year_are_not_it(start, end):
    assert this_weekend_answer(house(stay(start, end), as_of="2026-01-24T12:00")).stays == ()


def test_the_weekend_by_date_not_by_week_number():
    """Week 42 of 2027 has Saturday 23 October, week 42 of 2026 the 17th: the owner means 24 October 2026."""
    found = this_weekend_answer(house(stay("2026-10-23T17:00", "2026-10-25T14:00"), as_of="2027-10-22T18:00"))
    assert found.saturday == date(2027, 10, 23)
    assert [(other.year, other.weeks_off) for other in found.stays] == [(2026, 0)]


@pytest.mark.parametrize(
    ("start", "end", "year", "off"),
    [
        ("2025-01-03T17:00", "2025-01-05T12:00", 2025, 0),
        ("2024-12-27T17:00", "2024-12-29T12:00", 2025, -1),  # nearest to 2 January 2025, a week before it
        ("2025-12-30T17:00", "2026-01-02T12:00", 2026, 0),  # over the turn of the year
    ],
)
def test_around_new_year_a_stay_belongs_to_the_nearest_weekend(start, end, year, off):
    """As of Friday 1 January 2027: Saturdays nearest to 2 January are 4 January 2025 and 3 January 2026."""
    found = this_weekend_answer(house(stay(start, end), as_of="2027-01-01T12:00"))
    assert found.saturday == date(2027, 1, 2)
    assert [(other.year, other.weeks_off) for other in found.stays] == [(year, off)]


def test_a_leap_day_has_its_weekend_in_every_year():
    """Saturday 29 February 2048 is 1 March elsewhere: in 2047 a Friday, whose Saturday is the 2nd."""
    found = this_weekend_answer(house(stay("2047-03-01T17:00", "2047-03-03T12:00"), as_of="2048-02-29T12:00"))
    assert [(other.year, other.weeks_off) for other in found.stays] == [(2047, 0)]


@given(st.dates(date(1990, 1, 1), date(2090, 12, 31)), st.integers(1, 9))
def test_a_weekend_of_this_date_is_found_in_any_year(today, years_ago):
    """Whatever the calendars of two years, one stay on the Saturday within three days of the date is it."""
    saturday = today + timedelta(days=5 - today.weekday())
    last = (saturday.month, min(saturday.day, 28))
    near = [date(saturday.year - years_ago, *last) + timedelta(days=shift) for shift in range(-3, 4)]
    (then,) = (day for day in near if day.weekday() == 5)
    found = this_weekend_answer(house(stay(f"{then}T10:00", f"{then}T18:00"), as_of=f"{saturday}T12:00"))
    assert len(found.stays) == 1
    assert abs(found.stays[0].weeks_off) <= (0 if saturday.day <= 28 else 1)


def test_the_newest_of_other_years_comes_first():
    years = [stay(f"{y}-01-24T10:00", f"{y}-01-24T18:00") for y in (2023, 2024, 2025)]
    found = this_weekend_answer(house(*years, as_of="2026-01-24T12:00"))
    assert [other.year for other in found.stays] == [2025, 2024, 2023]


# In words


def test_a_stay_in_sentences_and_both_units():
    entries = (Entry(at=at("2026-01-17T06:30"), indoor_c=11.0, outdoor_c=-8.0),)
    answer = stays_answer(house(JANUARY, entries=entries))
    rows = stays_text(answer, setting=Setting(zone=ZONE))
    assert rows == (
        "1 stay, the newest first.",
        "Fri 16 to Sun 18 Jan 2026. K, J. For: roof.",
        "  2 nights; 10.0 kg of wood (8.0 kg dry); coldest dawn 11.0 °C inside, −8 °C outside.",
        "  “Snow to the sills.”",
    )
    american = Setting(zone=ZONE, units=OwnUnits(temperature="F", mass="lb"))
    (line,) = (row for row in stays_text(answer, setting=american) if "night" in row)
    assert "22.0 lb of wood (17.6 lb dry)" in line
    assert "51.8 °F inside, 18 °F outside" in line


@pytest.mark.parametrize(
    ("start", "end", "text"),
    [
        ("2026-01-16T17:00", "2026-01-18T15:00", "Fri 16 to Sun 18 Jan 2026"),
        ("2026-01-30T17:00", "2026-02-01T15:00", "Fri 30 Jan to Sun 1 Feb 2026"),
        ("2025-12-30T17:00", "2026-01-02T15:00", "Tue 30 Dec 2025 to Fri 2 Jan 2026"),
        ("2026-01-17T09:00", "2026-01-17T15:00", "Sat 17 Jan 2026"),
    ],
)
def test_when_a_stay_was(start, end, text):
    (row,) = stays_answer(house(stay(start, end))).stays
    assert when_text(row, setting=Setting(zone=ZONE)) == text


def test_nothing_yet_says_how_a_stay_begins():
    nobody = house()
    setting = Setting(zone=ZONE)
    assert "first line you write there" in stays_text(stays_answer(nobody), setting=setting)[0]
    assert "first line you write there" in years_text(years_answer(nobody).seasons, setting=setting)[0]
    assert "No other year" in this_weekend_text(this_weekend_answer(nobody), setting=setting)[0]
    assert years_answer(nobody).seasons == ()


def test_a_page_in_words():
    rows = years_text(years_answer(house(JANUARY)).seasons, setting=Setting(zone=ZONE))
    assert rows[0] == "Season 2025–26, so far (1 Jul 2025 to 30 Jun 2026)"
    assert "  Wood          10.0 kg of wood (8.0 kg dry), 2 days with a fire" in rows
    assert "  Nights        2 in 1 stay, 4 counted by person" in rows
