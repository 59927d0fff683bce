"""A season told: months, household units, degree-days, records, works. Summed by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from logbook.care.season_report import season_report
from logbook.care.wood_amounts import Kind
from logbook.errors import BadInputError
from logbook.house import Burned, House, StayLived, Told
from logbook.matters import DayWeather, Stack, Upkeep
from logbook.records import Entry, OwnUnits
from logbook.results.improvements import Payback, WorkPaid
from logbook.results.night import Range
from logbook.results.report import NightTold
from logbook.setting import Setting
from logbook.wording.report import degrees_text, month_cells

ZONE = "Etc/GMT-1"
BIRCH = Kind(
    name="birch", basic_density_kg_per_m3=500.0, density_sd=0.06, net_dry_mj_per_kg=18.5, heat_sd=0.02
)


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC) - timedelta(hours=1)


def stay(start: str, end: str, *kg: float, nights: tuple[str, ...] = ()) -> StayLived:
    begun = at(start)
    return StayLived(
        start=begun,
        end=at(end),
        nights=tuple(date.fromisoformat(n) for n in nights),
        head_count=2.0,
        burned=tuple(
            Burned(at=begun + timedelta(hours=n + 1), kg=m, kg_dry=0.8 * m, species="birch")
            for n, m in enumerate(kg)
        ),
    )


SPRING = stay("2025-04-05T10:00", "2025-04-06T10:00", 9.0, nights=("2025-04-05",))
NOVEMBER = stay("2025-11-07T17:00", "2025-11-09T15:00", 4.0, 6.0, nights=("2025-11-07", "2025-11-08"))
NEW_YEAR = stay(
    "2025-12-30T17:00", "2026-01-02T15:00", 5.0, 7.5, 2.5,
    nights=("2025-12-30", "2025-12-31", "2026-01-01"),
)  # fmt: skip
ENTRIES = (
    Entry(at=at("2025-11-08T07:00"), indoor_c=12.0, outdoor_c=-1.0),
    Entry(at=at("2025-12-30T17:00"), indoor_c=-3.0, outdoor_c=-8.0),
    Entry(at=at("2025-12-31T21:00"), indoor_c=25.5),
    Entry(at=at("2026-01-01T07:00"), indoor_c=14.0, outdoor_c=-11.0),
)


def house(*matters: tuple[str, object], as_of: str = "2026-02-10T12:00", **more) -> House:
    stays = more.pop("stays", (SPRING, NOVEMBER, NEW_YEAR))
    return House(
        as_of=at(as_of), setting=Setting(zone=ZONE), description=None, entries=ENTRIES, stays=stays,
        burned=tuple(load for lived in stays for load in lived.burned),
        told=tuple(Told(at=at(when), matter=matter) for when, matter in matters), **more,
    )  # fmt: skip


def told(*matters: tuple[str, object], year: int | None = None, nights=(), works=(), **more):
    return season_report(
        house(*matters, **more),
        year=year,
        entries=ENTRIES,
        nights=nights,
        kinds={"birch": BIRCH},
        works=works,
    )


def test_the_newest_season_is_told_and_a_year_names_another():
    assert told().page.name == "2025–26"
    assert told(year=2024).page.wood_kg == 9.0
    with pytest.raises(BadInputError, match="2019"):
        told(year=2019)
    with pytest.raises(BadInputError, match="no season"):
        told(stays=())


def test_months_add_up_to_the_season():
    """Nov 4 + 6 kg in 2 nights; the stay over New Year burned on 30 Dec, slept 30, 31 Dec and 1 Jan."""
    report = told()
    months = {(m.year, m.month): m for m in report.months}
    assert next(iter(months)) == (2025, 7)
    assert list(months)[-1] == (2026, 2), "March has not begun"
    november, december, january = (months[key] for key in ((2025, 11), (2025, 12), (2026, 1)))
    assert (november.stays, november.nights, november.burn_days, november.wood_kg) == (1, 2, 1, 10.0)
    assert (december.stays, december.nights, december.wood_kg) == (1, 2, 15.0)
    assert (january.stays, january.nights, january.wood_kg) == (0, 1, 0.0)
    assert (november.coldest_outside_c, december.coldest_outside_c, january.coldest_outside_c) == (
        -1,
        -8,
        -11,
    )
    assert sum(m.wood_kg for m in report.months) == report.page.wood_kg == 25.0
    assert sum(m.nights for m in report.months) == report.page.nights == 5


def test_household_units_by_the_dry_wood_in_one():
    """0.8 × 25 kg = 20 kg dry. A stere of birch is 0.65 × 500 = 325 kg dry: 20/325 = 0.0615."""
    stack = Stack(name="birch", species="birch", volume_m3=2.0, as_said="2 stere")
    found = told(("2025-09-01T12:00", stack)).household
    assert found is not None
    assert found.word == "stere"
    assert found.amount.p50 == pytest.approx(20.0 / 325.0)
    assert found.amount.p05 < found.amount.p50 < found.amount.p95


def test_boxes_by_what_one_weighs_and_kg_are_no_household_unit():
    """25 kg as weighed in boxes of 38/2 = 19 kg."""
    boxes = Stack(name="birch", species="birch", mass_kg=38.0, as_said="2 boxes")
    found = told(("2025-09-01T12:00", boxes)).household
    assert found is not None
    assert found.amount == Range(*([pytest.approx(25.0 / 19.0)] * 3))
    assert told(("2025-09-01T12:00", Stack(name="birch", mass_kg=400.0, as_said="400 kg"))).household is None
    assert told().household is None


def test_degree_days_of_the_days_that_came():
    """Both days below 15.5 °C: 15.5 - (-4) = 19.5 and 15.5 - 2 = 13.5. A forecast for a day ahead, and one
    nobody checked, is no day that came. Degree-hours to 19 °C: 24 × (23 + 17)."""
    report = told(
        ("2026-01-16T20:00", DayWeather(day=date(2026, 1, 16), low_c=-8.0, high_c=0.0, seen=True)),
        ("2026-02-01T20:00", DayWeather(day=date(2026, 2, 1), low_c=0.0, high_c=4.0, seen=True)),
        ("2026-02-02T20:00", DayWeather(day=date(2026, 2, 3), low_c=-20.0, high_c=-10.0)),
        ("2025-06-30T20:00", DayWeather(day=date(2025, 6, 30), low_c=0.0, high_c=4.0, seen=True)),
    )
    found = report.degrees
    assert found is not None
    assert (found.days, found.base_c, found.inside_c) == (2, 15.5, 19.0)
    assert found.of_days == 31 + 31 + 30 + 31 + 30 + 31 + 31 + 9, "July to 9 February; today is not over"
    assert found.degree_days_k == pytest.approx(33.0)
    assert found.degree_hours_k == pytest.approx(24.0 * 40.0)
    january = next(m for m in report.months if m.month == 1)
    assert (january.degree_days_k, january.days_known) == (pytest.approx(19.5), 1)
    assert january.coldest_outside_c == -11.0
    assert told().degrees is None


def test_a_month_counts_degree_days_as_the_seasons_row_does():
    """65 °F less the mean of 18 and 32 °F is 40, less that of 32 and 39 °F 29 (US practice): its months went
    by the British base, 35 and 24, under a season of 70."""
    report = told(
        ("2026-01-16T20:00", DayWeather(day=date(2026, 1, 16), low_c=-8.0, high_c=0.0, seen=True)),
        ("2026-02-01T20:00", DayWeather(day=date(2026, 2, 1), low_c=0.0, high_c=4.0, seen=True)),
    )
    american = Setting(zone=ZONE, units=OwnUnits(temperature="F", mass="lb"))
    by_month = {cells[0]: cells[-1] for cells in month_cells(report, setting=american)}
    assert (by_month["Jan 2026"], by_month["Feb 2026"]) == ("40 in 1 day", "29 in 1 day")
    assert degrees_text(report, setting=american).startswith("70 °F·days below 65 °F")
    by_month = {cells[0]: cells[-1] for cells in month_cells(report, setting=Setting(zone=ZONE))}
    assert by_month["Feb 2026"] == "14 in 1 day", "15.5 - 2"


def test_records_of_the_season():
    found = told().records
    ends = found.extremes
    assert ends.inside_highest is not None and ends.inside_highest.temperature_c == 25.5
    assert ends.inside_lowest is not None and ends.inside_lowest.temperature_c == -3.0
    assert ends.outside_lowest is not None and ends.outside_lowest.temperature_c == -11.0
    assert found.biggest_load == (at("2025-12-30T19:00"), 7.5), "the 9 kg of April belong to another season"
    assert found.most_wood is not None and found.most_wood.wood_kg == 15.0
    assert found.longest is not None and found.longest.nights == 3


def test_a_season_without_a_fire_has_no_records_of_wood():
    found = told(stays=(stay("2025-08-01T10:00", "2025-08-01T18:00"),)).records
    assert (found.biggest_load, found.most_wood, found.longest) == (None, None, None)


def test_nights_upkeep_and_works_of_the_season_alone():
    def night(evening: date) -> NightTold:
        bed = datetime(evening.year, evening.month, evening.day, 21, 30, tzinfo=UTC)
        return NightTold(
            evening=evening, bed=bed, wake=bed + timedelta(hours=8), marks_inferred=False, load_kg=0.0,
            loads_after=0, air_open_pct=None, bed_c=None, woke_c=17.0, outdoor_low_c=None,
        )  # fmt: skip

    def work(name: str, since: str) -> WorkPaid:
        return WorkPaid(name=name, since=at(since), outlay=None, change=None, payback=Payback())

    report = told(
        ("2025-05-01T12:00", Upkeep(task="flue", deposit_mm=2.0)),
        ("2025-10-01T12:00", Upkeep(task="gutters")),
        nights=(night(date(2025, 6, 30)), night(date(2025, 7, 1)), night(date(2025, 11, 7))),
        works=(work("panes", "2025-05-01T12:00"), work("skirting", "2025-11-01T12:00")),
    )
    assert [n.evening for n in report.nights] == [date(2025, 7, 1), date(2025, 11, 7)]
    assert report.counted.in_band == 2
    assert [row.task for row in report.upkeep] == ["gutters"]
    assert [w.name for w in report.works] == ["skirting"]
