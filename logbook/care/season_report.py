"""A season told: months, wood, nights against the band and against what was said, records, works."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from logbook.care.stay_report import (
    count_nights,
    extremes,
    inside_readings,
    lows_and_highs,
    outside_readings,
    within,
)
from logbook.care.stays import stay_row, years_answer
from logbook.care.upkeep_record import upkeep_record
from logbook.care.weather_by_hand import (
    BASE_C,
    DayKnown,
    days_known,
    degree_hours_k,
    mean_degree_days_k,
    met_office_degree_days_k,
)
from logbook.care.wood_account import kind_text
from logbook.care.wood_amounts import BURNED_LOG_SD, Kind, around, exactly, over, stacked_dry_kg_per_m3, times
from logbook.care.woodshed import unit_of
from logbook.errors import BadInputError
from logbook.house import House, StayLived
from logbook.matters import Stack
from logbook.records import Comfort, Entry
from logbook.results.improvements import WorkPaid
from logbook.results.report import (
    DegreesKnown,
    HouseholdWood,
    MonthRow,
    NightTold,
    Records,
    SeasonReport,
)
from logbook.results.stays import Extreme, StayRow, YearPage
from logbook.results.weather import DayFrom
from logbook.setting import local_time

MASS_WORDS = ("kg", "lb")
"""Units that are no household measure: the mass stands there already."""


def season_report(
    house: House,
    *,
    year: int | None,
    entries: Sequence[Entry],
    nights: Sequence[NightTold],
    kinds: Mapping[str, Kind],
    works: Sequence[WorkPaid],
) -> SeasonReport:
    """A season told; the newest one on record without a year.

    Args:
        house: The log as of a time.
        year: The year the season begins in.
        entries: All entries, a logging thermometer's too, by time.
        nights: Every night known, with what was said for it where that is at hand.
        kinds: What is known of each kind of wood, by every text of a stack.
        works: Dated changes with what they cost and did.

    Raises:
        BadInputError: Nothing is on record in that season.
    """
    pages = years_answer(house, year=year).seasons
    if not pages:
        raise BadInputError(
            "There is no season on record to report.\nA season begins with the first stay or fire in it."
        )
    page = pages[-1]
    lived = [stay for stay in house.stays if _holds(house, page, stay.start)]
    rows = tuple(stay_row(house, stay) for stay in lived)
    own_nights = tuple(n for n in nights if page.begins <= n.evening < page.ends)
    comfort = house.description.comfort if house.description else None
    band = comfort.band_c if comfort else Comfort().band_c
    return SeasonReport(
        as_of=house.as_of,
        place=house.description.site.name if house.description else "",
        page=page,
        band_c=band,
        band_assumed=comfort is None,
        stays=rows,
        household=household_wood(house, page, kinds=kinds),
        months=_months(house, page),
        nights=own_nights,
        counted=count_nights(own_nights, slept=page.nights, band_c=band),
        degrees=_degrees(house, page, inside_c=sum(band) / 2.0),
        records=_records(house, page, lived, rows, entries=entries),
        upkeep=tuple(row for row in upkeep_record(house).rows if _holds(house, page, row.at)),
        works=tuple(work for work in works if _holds(house, page, work.since)),
    )


def household_wood(house: House, page: YearPage, *, kinds: Mapping[str, Kind]) -> HouseholdWood | None:
    """The season's wood in the measure the newest stack was written in; None where none was.

    By dry wood through the dry wood in one of it, so that wet wood does not count as more.
    """
    if page.wood_kg_dry <= 0.0:
        return None
    for _, stack in reversed(house.of(Stack)):
        unit = unit_of(stack)
        if unit is None or unit.word in MASS_WORDS:
            continue
        if unit.kg:
            return HouseholdWood(word=unit.word, amount=exactly(page.wood_kg / unit.kg))
        if unit.m3:
            per_m3 = stacked_dry_kg_per_m3(kinds[kind_text(stack)], as_said=stack.as_said, loose=stack.loose)
            burned = around(page.wood_kg_dry, log_sd=BURNED_LOG_SD)
            return HouseholdWood(word=unit.word, amount=over(burned, times(per_m3, exactly(unit.m3))))
    return None


def _holds(house: House, page: YearPage, at: datetime) -> bool:
    return page.begins <= local_time(at, house.setting.zone).date() < page.ends


def _came(house: House, page: YearPage) -> list[DayKnown]:
    """The days known as they came; what was only forecast is not counted."""
    return [
        day
        for day in days_known(house)
        if page.begins <= day.day < page.ends
        and day.source is not DayFrom.FORECAST
        and day.day < local_time(house.as_of, house.setting.zone).date()
    ]


def _months(house: House, page: YearPage) -> tuple[MonthRow, ...]:
    """Every month of the season that has begun."""
    zone = ZoneInfo(house.setting.zone)
    today = house.as_of.astimezone(zone).date()
    came = _came(house, page)
    rows = []
    for first in _firsts(page.begins, min(page.ends, today + timedelta(days=1))):
        after = _next_month(first)
        burned = [b for b in house.burned if first <= b.at.astimezone(zone).date() < after]
        read = [
            e.outdoor_c
            for e in house.entries
            if e.outdoor_c is not None and first <= e.at.astimezone(zone).date() < after
        ]
        days = [day for day in came if first <= day.day < after]
        read += [day.low_c for day in days]
        rows.append(
            MonthRow(
                year=first.year,
                month=first.month,
                stays=sum(first <= s.start.astimezone(zone).date() < after for s in house.stays),
                nights=sum(first <= night < after for s in house.stays for night in s.nights),
                burn_days=len({b.at.astimezone(zone).date() for b in burned}),
                wood_kg=sum(b.kg for b in burned),
                wood_kg_dry=sum(b.kg_dry for b in burned),
                coldest_outside_c=min(read, default=None),
                degree_days_k=(
                    sum(met_office_degree_days_k(low_c=d.low_c, high_c=d.high_c) for d in days)
                    if days
                    else None
                ),
                degree_days_65f_k=(
                    sum(mean_degree_days_k(low_c=d.low_c, high_c=d.high_c) for d in days) if days else None
                ),
                days_known=len(days),
            )
        )
    return tuple(rows)


def _firsts(begins: date, ends: date) -> list[date]:
    found = [begins]
    while (after := _next_month(found[-1])) < ends:
        found.append(after)
    return found


def _next_month(first: date) -> date:
    return date(first.year + first.month // 12, first.month % 12 + 1, 1)


def _degrees(house: House, page: YearPage, *, inside_c: float) -> DegreesKnown | None:
    days = _came(house, page)
    if not days:
        return None
    today = local_time(house.as_of, house.setting.zone).date()
    return DegreesKnown(
        days=len(days),
        of_days=(min(page.ends, today) - page.begins).days,
        base_c=BASE_C,
        inside_c=inside_c,
        degree_days_k=sum(met_office_degree_days_k(low_c=d.low_c, high_c=d.high_c) for d in days),
        degree_days_65f_k=sum(mean_degree_days_k(low_c=d.low_c, high_c=d.high_c) for d in days),
        degree_hours_k=sum(degree_hours_k(low_c=d.low_c, high_c=d.high_c, inside_c=inside_c) for d in days),
    )


def _records(
    house: House,
    page: YearPage,
    lived: Sequence[StayLived],
    rows: Sequence[StayRow],
    *,
    entries: Sequence[Entry],
) -> Records:
    """The ends of the season's stays; a stay over the turn of seasons counts where it began."""
    inside: list[Extreme] = []
    outside: list[Extreme] = []
    for stay in lived:
        here = within(entries, stay.start, stay.end)
        inside += [*inside_readings(here), *lows_and_highs(here, stay.start)]
        outside += outside_readings(here)
    loads = [load for load in house.burned if _holds(house, page, load.at)]
    biggest = max(loads, key=lambda load: load.kg, default=None)
    with_wood = [row for row in rows if row.wood_kg > 0.0]
    return Records(
        extremes=extremes(inside, outside),
        biggest_load=(biggest.at, biggest.kg) if biggest else None,
        most_wood=max(with_wood, key=lambda row: row.wood_kg, default=None),
        longest=max((row for row in rows if row.nights), key=lambda row: row.nights, default=None),
    )
