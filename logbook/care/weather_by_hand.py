"""Weather typed by hand and read outside: a day's low and high, degree-days and degree-hours, own records.

A low and a high are all an owner has of most days, so the sums use equations made for just these two.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import groupby
from zoneinfo import ZoneInfo

from logbook.errors import BadInputError
from logbook.house import House
from logbook.matters import DayWeather
from logbook.records import Comfort
from logbook.results.stays import Extreme
from logbook.results.weather import DayFrom, DayRow, DegreeTotal, ForecastMiss, WeatherAnswer
from logbook.setting import local_instants, local_time
from logbook.units import c_from_f

BASE_C = 15.5
"""Base of heating degree-days in Britain, °C. Source: UK Met Office practice (UKCP09 note on degree days)."""

BASE_65F_C = c_from_f(65.0)
"""Base of heating degree-days in the United States, 65 °F, °C. Source: US weather service practice (EPA)."""

LOW_SAID_WITHIN = timedelta(hours=24)
"""A low logged as tonight's this recently is. The contract's figure for nights."""

FEWEST_READINGS = 3
MORNING_BEFORE, AFTERNOON = time(9, 0), (time(12, 0), time(17, 0))
"""A day's low and high count as read with this many readings outside, one before the first of these local
times and one between the others. ASSUMED: the low comes at dawn, the high in the early afternoon."""


def met_office_degree_days_k(*, low_c: float, high_c: float, base_c: float = BASE_C) -> float:
    """Heating degree-days of one day from its low and high, K·day.

    A day wholly below the base counts by its mean; one that straddles it counts the part below.

    Args:
        low_c: Lowest temperature of the day outside, °C.
        high_c: Highest, °C; not below ``low_c``.
        base_c: Temperature outside above which no heating is needed, °C.

    Raises:
        BadInputError: The high is below the low.

    Source: the UK Meteorological Office's equations, as printed at vesma.com/ddd/ddcalcs.htm (read there);
    the UKCP09 note gives the same weights for cooling.
    """
    if high_c < low_c:
        raise BadInputError(
            f"A day's high of {high_c:g} °C can't be below its low of {low_c:g} °C.\nGive the low first."
        )
    if low_c > base_c:
        return 0.0
    if high_c < base_c:
        return base_c - (high_c + low_c) / 2.0
    if (high_c + low_c) / 2.0 > base_c:
        return (base_c - low_c) / 4.0
    return (base_c - low_c) / 2.0 - (high_c - base_c) / 4.0


def mean_degree_days_k(*, low_c: float, high_c: float, base_c: float = BASE_65F_C) -> float:
    """Heating degree-days by the mean of low and high below the base, K·day; none when it is above.

    Source: US practice, base 65 °F (EPA glossary: mean of maximum and minimum).
    """
    return max(base_c - (low_c + high_c) / 2.0, 0.0)


def degree_hours_k(*, low_c: float, high_c: float, inside_c: float) -> float:
    """Degree-hours of one day below an inside temperature, K·h: 24 times its degree-days to that base.

    Times a heat loss in W/K it is the heat, Wh, that keeps the room at ``inside_c`` for the day.
    """
    return 24.0 * met_office_degree_days_k(low_c=low_c, high_c=high_c, base_c=inside_c)


def newest_low_c(
    logged: Iterable[tuple[datetime, float]],
    typed: Iterable[tuple[datetime, DayWeather]],
    *,
    at: datetime,
    night: date,
) -> float | None:
    """The low said by a time for the night that begins on an evening, °C: the newest word, however written.

    Args:
        logged: When a low was written as "tonight", and the low, °C; those of the last day count.
        typed: When a day's weather was written, and the weather; what is forecast for the night's day counts.
        at: As of when; what was written later does not exist.
        night: The evening the night begins on.
    """
    said = [(when, low) for when, low in logged if at - LOW_SAID_WITHIN <= when <= at][-1:]
    forecast = low_of_night(((when, day) for when, day in typed if when <= at), night)
    said += [forecast] if forecast else []
    return max(said, key=lambda one: one[0])[1] if said else None


def tonights_low_c(house: House) -> float | None:
    """The same for the night of the house's own day."""
    logged = [(e.at, e.forecast_low_c) for e in house.entries if e.forecast_low_c is not None]
    night = local_time(house.as_of, house.setting.zone).date()
    return newest_low_c(logged, house.of(DayWeather), at=house.as_of, night=night)


def low_of_night(told: Iterable[tuple[datetime, DayWeather]], night: date) -> tuple[datetime, float] | None:
    """When a low was last forecast for the night that begins on an evening, and the low, °C.

    A forecast day's low is taken as that of the night after it, as forecasts for the public have it.
    ASSUMED: an owner who copies one writes "sat -8 -2" for Saturday's high and the night to Sunday.
    """
    said = [(at, day.low_c) for at, day in told if day.day == night and not day.seen]
    return max(said, default=None)


def weather_answer(
    house: House, *, base_c: float = BASE_C, show_days: int = 14, season_began: date
) -> WeatherAnswer:
    """The days known around today with their degree-days, and the owner's own record.

    Args:
        house: The log as the whole year sees it.
        base_c: Base of the degree-days by the Met Office equations, °C.
        show_days: How many days behind are given one by one.
        season_began: Since when days are summed.
    """
    comfort = house.description.comfort if house.description else Comfort()
    inside_c = sum(comfort.band_c) / 2.0
    today = local_time(house.as_of, house.setting.zone).date()
    rows = [_row(known, base_c=base_c, inside_c=inside_c) for known in days_known(house)]
    behind = [row for row in rows if row.day < today]
    ahead = tuple(row for row in rows if row.day >= today)
    coldest, warmest = own_record(house)
    return WeatherAnswer(
        as_of=house.as_of,
        today=today,
        base_c=base_c,
        inside_c=inside_c,
        behind=tuple(row for row in behind if (today - row.day).days <= show_days),
        ahead=ahead,
        season=_total([row for row in behind if row.day >= season_began]),
        coming=_total(ahead),
        coldest=coldest,
        warmest=warmest,
        miss=_miss(house),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DayKnown:
    """A day's low and high outside, °C, and where they are from; the words are those typed for it."""

    day: date
    low_c: float
    high_c: float
    source: DayFrom
    said: DayWeather | None = None


def days_known(house: House) -> tuple[DayKnown, ...]:
    """Every day known, oldest first: as written down, else as read, else as forecast; last word counts."""
    forecast, seen = _told(house)
    read = _read(house)
    found = []
    for day in sorted(forecast.keys() | seen.keys() | read.keys()):
        said = seen.get(day) or forecast.get(day)
        if day in seen or day not in read:
            assert said is not None
            low, high = sorted((said.low_c, said.high_c))
            source = DayFrom.SEEN if said.seen else DayFrom.FORECAST
        else:
            (low, high), source = read[day], DayFrom.READINGS
        found.append(DayKnown(day=day, low_c=low, high_c=high, source=source, said=said))
    return tuple(found)


def own_record(house: House) -> tuple[Extreme | None, Extreme | None]:
    """The coldest and the warmest outside that was read or written as it was; the earliest of equal ones."""
    found = [Extreme(e.outdoor_c, e.at) for e in house.entries if e.outdoor_c is not None]
    for day in _told(house)[1].values():
        noon = local_instants(day.day, time(12, 0), house.setting.zone)  # none on a day a zone left out
        found += [Extreme(c, noon[0]) for c in (day.low_c, day.high_c) if noon]
    if not found:
        return None, None
    found.sort(key=lambda extreme: extreme.at)
    return (
        min(found, key=lambda extreme: extreme.temperature_c),
        max(found, key=lambda extreme: extreme.temperature_c),
    )


def _told(house: House) -> tuple[dict[date, DayWeather], dict[date, DayWeather]]:
    """What was typed of each day: as forecast, and as it was."""
    said = [day for _, day in house.of(DayWeather)]
    return {day.day: day for day in said if not day.seen}, {day.day: day for day in said if day.seen}


def _read(house: House) -> dict[date, tuple[float, float]]:
    """Low and high of the days that were read often enough, at the right hours."""
    zone = ZoneInfo(house.setting.zone)
    read = [(e.at.astimezone(zone), e.outdoor_c) for e in house.entries if e.outdoor_c is not None]
    found = {}
    for day, rows in groupby(read, key=lambda one: one[0].date()):
        of_day = list(rows)
        clocks = [at.time() for at, _ in of_day]
        enough = (
            len(of_day) >= FEWEST_READINGS
            and any(clock < MORNING_BEFORE for clock in clocks)
            and any(AFTERNOON[0] <= clock <= AFTERNOON[1] for clock in clocks)
        )
        if enough:
            values = [value for _, value in of_day]
            found[day] = (min(values), max(values))
    return found


def _row(known: DayKnown, *, base_c: float, inside_c: float) -> DayRow:
    low, high = known.low_c, known.high_c
    return DayRow(
        day=known.day,
        low_c=low,
        high_c=high,
        source=known.source,
        wind=known.said.wind if known.said else "",
        sky=known.said.sky if known.said else None,
        degree_days_k=met_office_degree_days_k(low_c=low, high_c=high, base_c=base_c),
        degree_days_65f_k=mean_degree_days_k(low_c=low, high_c=high),
        degree_hours_k=degree_hours_k(low_c=low, high_c=high, inside_c=inside_c),
    )


def _total(rows: Sequence[DayRow]) -> DegreeTotal | None:
    if not rows:
        return None
    return DegreeTotal(
        first=rows[0].day,
        last=rows[-1].day,
        days=len(rows),
        forecast=sum(row.source is DayFrom.FORECAST for row in rows),
        degree_days_k=sum(row.degree_days_k for row in rows),
        degree_days_65f_k=sum(row.degree_days_65f_k for row in rows),
        degree_hours_k=sum(row.degree_hours_k for row in rows),
    )


def _miss(house: House) -> ForecastMiss | None:
    """What was written as it was against what had been forecast for the same day."""
    forecast, seen = _told(house)
    gaps = [seen[day].low_c - forecast[day].low_c for day in sorted(seen) if day in forecast]
    if not gaps:
        return None
    return ForecastMiss(
        days=len(gaps),
        mean_k=sum(gaps) / len(gaps),
        mean_size_k=sum(abs(gap) for gap in gaps) / len(gaps),
    )
