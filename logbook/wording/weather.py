"""The weather typed and read, in sentences and a small table."""

from __future__ import annotations

from datetime import date

from logbook.records import OwnUnits
from logbook.results.weather import DayFrom, DayRow, DegreeTotal, WeatherAnswer
from logbook.setting import Setting
from logbook.wording.amounts import (
    MONTHS,
    WEEKDAYS,
    day_text,
    difference_text,
    number_text,
    temperature_text,
)

FROM_WORDS = {DayFrom.SEEN: "as it was", DayFrom.READINGS: "as read", DayFrom.FORECAST: "forecast"}

USUAL_BASE_C = 15.5
"""The British base of degree-days, taken where none is asked for; who counts in °F has 65 °F in its place."""

HOW_TO = "Type one:  weather sat -8 -2 strong clear  (low, high, wind, sky), or  weather was 16 jan -9 -2"


def weather_text(answer: WeatherAnswer, *, setting: Setting) -> tuple[str, ...]:
    """Days ahead, days behind, the sums and how they are reckoned, the own record."""
    units = setting.units
    rows: list[str] = []
    if answer.ahead:
        rows += ["Ahead"] + [_day(row, answer, units=units) for row in answer.ahead]
        rows.append("  A forecast day's low is taken as that of the night after it.")
    else:
        rows.append(f"No day ahead is known. {HOW_TO}")
    if answer.behind:
        rows += ["Behind"] + [_day(row, answer, units=units) for row in answer.behind]
    if answer.ahead or answer.season:
        rows.append(_how(answer, units=units))
    if answer.coming:
        rows.append(f"Ahead: {_total(answer.coming, answer, units=units, ahead=True)}; "
                    f"{_hours(answer.coming, inside_c=answer.inside_c, units=units)}.")  # fmt: skip
    if answer.season:
        rows.append(
            f"Season so far: {_total(answer.season, answer, units=units)}. "
            "Days nobody wrote down are missing."
        )
    if answer.coldest and answer.warmest:
        told = [
            f"{temperature_text(found.temperature_c, units=units, decimals=0)} on "
            f"{day_text(found.at, zone=setting.zone, year=True)}"
            for found in (answer.coldest, answer.warmest)
        ]
        rows.append(f"Your own record outside: coldest {told[0]}; warmest {told[1]}.")
    if answer.miss:
        warmer = "warmer" if answer.miss.mean_k >= 0 else "colder"
        days = f"{answer.miss.days} day{'' if answer.miss.days == 1 else 's'}"
        rows.append(
            f"Forecast lows against what came, {days}: "
            f"{difference_text(abs(answer.miss.mean_k), units=units)} {warmer} than told on average, "
            f"{difference_text(answer.miss.mean_size_k, units=units)} off as a rule."
        )
    return tuple(rows)


def _day(row: DayRow, answer: WeatherAnswer, *, units: OwnUnits) -> str:
    low, high = (temperature_text(c, units=units, decimals=0).split(" ")[0] for c in (row.low_c, row.high_c))
    words = ", ".join(word for word in (row.wind, str(row.sky or ""), FROM_WORDS[row.source]) if word)
    span = f"{low} to {high} °{units.temperature}"
    return f"  {_date(row.day):<10} {span:>13}  {_days(row, answer, units=units):>5} degree-days  {words}"


def _date(day: date) -> str:
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def _by_65f(answer: WeatherAnswer, units: OwnUnits) -> bool:
    """Whether days count as they do in the United States: so long as no base was asked for."""
    return units.temperature == "F" and answer.base_c == USUAL_BASE_C


def _days(found: DayRow | DegreeTotal, answer: WeatherAnswer, *, units: OwnUnits) -> str:
    """Degree-days as the owner's country counts them, or to the base asked for."""
    if _by_65f(answer, units):
        return number_text(found.degree_days_65f_k * 1.8)
    if units.temperature == "F":
        return number_text(found.degree_days_k * 1.8)
    return number_text(found.degree_days_k, 1)


def _how(answer: WeatherAnswer, *, units: OwnUnits) -> str:
    if _by_65f(answer, units):
        return "Degree-days below 65 °F, by the mean of low and high (US weather service)."
    base = temperature_text(answer.base_c, units=units, decimals=1)
    return f"Degree-days below {base}, by the UK Met Office's equations."


def _total(total: DegreeTotal, answer: WeatherAnswer, *, units: OwnUnits, ahead: bool = False) -> str:
    """The sum and its days; of days ahead it goes without saying that they are only forecast."""
    days = f"{total.days} day{'' if total.days == 1 else 's'}"
    told = f", {total.forecast} of them only forecast" if 0 < total.forecast < total.days else ""
    if total.forecast == total.days and not ahead:
        told = ", only forecast"
    return f"{_days(total, answer, units=units)} degree-days in {days}{told}"


def _hours(total: DegreeTotal, *, inside_c: float, units: OwnUnits) -> str:
    hours = total.degree_hours_k * (1.8 if units.temperature == "F" else 1.0)
    room = room_text(inside_c, units=units)
    return f"{number_text(hours)} degree-hours below {room} inside"


def room_text(inside_c: float, *, units: OwnUnits) -> str:
    """The room that degree-hours are counted to, as exact as they are: 18.5 °C, 19 °C, 66 °F."""
    whole = units.temperature == "F" or inside_c == round(inside_c)
    return temperature_text(inside_c, units=units, decimals=0 if whole else 1)
