"""Stays in figures: each by itself, a season on a page, this weekend in other years."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from logbook.errors import BadInputError
from logbook.house import House, StayLived
from logbook.records import MAIN_PLACE, Entry
from logbook.results.stays import (
    Extreme,
    OtherYear,
    StayRow,
    StaysAnswer,
    ThisWeekendAnswer,
    YearPage,
    YearsAnswer,
)
from logbook.setting import local_time, night_of

DAWN = (time(3, 0), time(10, 0))
"""Readings of these hours, local, are those of the dawn. ASSUMED: the night's low is behind or near, and the
fire is not lit yet or has not reached the far wall."""

SEASON_BEGINS_MONTH = {True: 7, False: 1}
"""First month of a season, north of the equator and south of it: no winter is cut in two. Definition."""

WEEKS_AROUND = 1
"""How many weeks before and after count as the same weekend of another year. Definition."""


def stays_answer(house: House) -> StaysAnswer:
    """Every stay in figures, oldest first."""
    return StaysAnswer(as_of=house.as_of, stays=tuple(stay_row(house, stay) for stay in house.stays))


def years_answer(house: House, *, year: int | None = None) -> YearsAnswer:
    """Every season that has a stay or a fire in it, on a page each; oldest first.

    Args:
        house: The log as the whole year sees it.
        year: Only the season that begins in this year.

    Raises:
        BadInputError: Nothing is on record in that season.
    """
    zone = house.setting.zone
    begin = SEASON_BEGINS_MONTH[_north(house)]
    moments = [stay.start for stay in house.stays] + [load.at for load in house.burned]
    starts = sorted({season_start(local_time(at, zone).date(), month=begin) for at in moments})
    pages = tuple(_page(house, start) for start in starts)
    if year is not None:
        wanted = tuple(page for page in pages if page.begins.year == year)
        if not wanted:
            on_record = ", ".join(page.name for page in pages) or "none yet"
            raise BadInputError(
                f"No stay and no fire on record in the season that begins in {year}.\n"
                f"Seasons on record: {on_record}."
            )
        pages = wanted
    return YearsAnswer(as_of=house.as_of, seasons=pages)


def season_began(house: House) -> date:
    """First day of the season going on."""
    today = local_time(house.as_of, house.setting.zone).date()
    return season_start(today, month=SEASON_BEGINS_MONTH[_north(house)])


def season_start(day: date, *, month: int) -> date:
    """First day of the season a day lies in, for seasons that begin with a month."""
    year = day.year if day.month >= month else day.year - 1
    return date(year, month, 1)


def this_weekend_answer(house: House) -> ThisWeekendAnswer:
    """Stays in the week of this weekend's date in other years, or in one beside it; the newest first."""
    zone = house.setting.zone
    saturday = _saturday(local_time(house.as_of, zone).date())
    found: list[OtherYear] = []
    for stay in house.stays:
        first, last = (local_time(at, zone).date() for at in (stay.start, stay.end))
        years = [year for year in range(first.year - 1, last.year + 2) if year != saturday.year]
        offs = [(_weeks_off(first, last, _same_weekend(saturday, year)), year) for year in years]
        off, year = min(offs, key=lambda one: abs(one[0]))
        if abs(off) <= WEEKS_AROUND:
            found.append(OtherYear(year=year, weeks_off=off, stay=stay_row(house, stay)))
    found.sort(key=lambda other: other.stay.start, reverse=True)
    return ThisWeekendAnswer(as_of=house.as_of, saturday=saturday, stays=tuple(found))


def _north(house: House) -> bool:
    site = house.description.site if house.description else None
    return site is None or site.latitude_deg is None or site.latitude_deg >= 0.0


def stay_row(house: House, stay: StayLived) -> StayRow:
    """One stay in figures."""
    return StayRow(
        start=stay.start,
        end=stay.end,
        going_on=stay.going_on,
        people=stay.people,
        head_count=stay.head_count,
        head_count_said=stay.head_count_said,
        nights=len(stay.nights),
        wood_kg=stay.wood_kg,
        wood_kg_dry=sum(load.kg_dry for load in stay.burned),
        coldest_inside=coldest(house, stay.nights, inside_c),
        coldest_outside=coldest(house, stay.nights, outside_c),
        purpose=stay.purpose,
        guest_book=stay.guest_book,
    )


def coldest(house: House, nights: Sequence[date], read: Callable[[Entry], Iterable[float]]) -> Extreme | None:
    """The lowest reading of the dawns after these nights; the earliest of equal ones.

    ``read`` picks the readings of an entry, °C.
    """
    if not nights:
        return None
    after = set(nights)
    zone = ZoneInfo(house.setting.zone)
    lowest: Extreme | None = None
    for entry in _around(house, min(nights), max(nights), zone=zone):
        clock = entry.at.astimezone(zone).time()
        if not DAWN[0] <= clock <= DAWN[1] or night_of(entry.at, house.setting.zone) not in after:
            continue
        for value in read(entry):
            if lowest is None or value < lowest.temperature_c:
                lowest = Extreme(value, entry.at)
    return lowest


def _around(house: House, first: date, last: date, *, zone: ZoneInfo) -> Sequence[Entry]:
    """The entries from one evening's day to the morning after another's: ten years of them take a second."""
    begin = datetime.combine(first, time(), tzinfo=zone)
    end = datetime.combine(last + timedelta(days=2), time(), tzinfo=zone)
    at = [bisect_left(house.entries, edge, key=lambda entry: entry.at) for edge in (begin, end)]
    return house.entries[at[0] : at[1]]


def inside_c(entry: Entry) -> tuple[float, ...]:
    """Readings of the main room in an entry, the min/max thermometer's low too, °C."""
    if entry.place != MAIN_PLACE:
        return ()
    return tuple(c for c in (entry.indoor_c, entry.low_c) if c is not None)


def outside_c(entry: Entry) -> tuple[float, ...]:
    """The reading outside in an entry, °C."""
    return () if entry.outdoor_c is None else (entry.outdoor_c,)


def _page(house: House, begins: date) -> YearPage:
    zone = house.setting.zone
    ends = begins.replace(year=begins.year + 1)

    def within(at: datetime) -> bool:
        return begins <= local_time(at, zone).date() < ends

    burned = [load for load in house.burned if within(load.at)]
    nights = [(night, stay) for stay in house.stays for night in stay.nights if begins <= night < ends]
    dates = [night for night, _ in nights]
    begun = [stay for stay in house.stays if within(stay.start)]
    today = local_time(house.as_of, zone).date()
    return YearPage(
        name=str(begins.year) if begins.month == 1 else f"{begins.year}–{ends.year % 100:02d}",
        begins=begins,
        ends=ends,
        going_on=today < ends,
        first_fire=burned[0].at if burned else None,
        last_fire=burned[-1].at if burned else None,
        coldest_inside=coldest(house, dates, inside_c),
        coldest_outside=coldest(house, dates, outside_c),
        wood_kg=sum(load.kg for load in burned),
        wood_kg_dry=sum(load.kg_dry for load in burned),
        burn_days=len({local_time(load.at, zone).date() for load in burned}),
        nights=len(nights),
        stays=len(begun),
        person_nights=sum(stay.head_count for _, stay in nights),
        guest_book=tuple((stay.start, line) for stay in begun for line in stay.guest_book),
    )


def _saturday(day: date) -> date:
    """Saturday of the ISO week a day lies in."""
    iso = day.isocalendar()
    return date.fromisocalendar(iso.year, iso.week, 6)


def _same_weekend(saturday: date, year: int) -> date:
    """The Saturday nearest to the same date in another year, three days off at most.

    Not that of the same ISO week: a 53rd week shifts those by up to six days from the date owners go by.
    """
    leap_day = (saturday.month, saturday.day) == (2, 29)
    same = date(year, 3, 1) if leap_day else saturday.replace(year=year)
    return same + timedelta(days=(5 - same.weekday() + 3) % 7 - 3)


def _weeks_off(first: date, last: date, saturday: date) -> int:
    """How many weeks, Monday to Sunday, a stay lies from that of a Saturday; 0 when it touches it."""
    monday, sunday = saturday - timedelta(days=5), saturday + timedelta(days=1)
    if first > sunday:
        return (first - monday).days // 7
    if last < monday:
        return -((sunday - last).days // 7)
    return 0
