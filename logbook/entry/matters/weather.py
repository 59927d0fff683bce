"""A day's weather as forecast or as it was: "weather sat -8 -2 strong clear", "weather was 16 jan -9 -2"."""

from __future__ import annotations

import re
from datetime import date, timedelta

from logbook.entry.facts import pair_at, temperature_at
from logbook.entry.limits import checked_c, refused
from logbook.entry.matters.line import MatterLine, MatterSaid
from logbook.entry.phrases import MONTHS, WEEKDAYS, TimePhrase, time_phrase
from logbook.matters import DayWeather, Sky
from logbook.records import Wind
from logbook.setting import local_time

_SKIES = {
    "clear": Sky.CLEAR,
    "sunny": Sky.CLEAR,
    "sun": Sky.CLEAR,
    "broken": Sky.BROKEN,
    "cloudy": Sky.OVERCAST,
    "overcast": Sky.OVERCAST,
    "grey": Sky.OVERCAST,
    "rain": Sky.RAIN,
    "rainy": Sky.RAIN,
    "snow": Sky.SNOW,
    "snowy": Sky.SNOW,
}
_WINDS = {wind.value: wind.value for wind in Wind} | {"windy": Wind.STRONG.value, "still": Wind.CALM.value}
_RANGE = re.compile(r"(-?\d+(?:\.\d+)?)(?:\.\.|to)(-?\d+(?:\.\d+)?)", re.ASCII)
_BETWEEN = frozenset({"low", "high", "to", "and", "min", "max", "lo", "hi"})

LONGEST_DAY = 5
"""Words of the longest day: "sat 17 jan 2026", and one to spare."""

DATED_AHEAD = timedelta(days=30)
"""A date without a year this near ahead is meant in a forecast. ASSUMED: forecasts reach two weeks."""


def read_weather(line: MatterLine, day_said: TimePhrase | None = None) -> MatterSaid | None:
    """Reads "weather [was] [DAY] LOW HIGH [WIND] [SKY]"; the day may stand in front of the line.

    Raises:
        RefusedError: for one temperature alone, and for temperatures that can't be.
    """
    at = 1
    seen = line.word(at) == "was"
    at += seen or line.word(at) in {"forecast", "is"}
    at += line.word(at) == "tonight"
    day, taken = _day(line, at, day_said, seen=seen)
    at += taken
    found, end = _temperatures(line, at)
    if not found:
        return None
    if len(found) == 1:
        if not line.parted(end) and _described(line, end)[2] == end:
            return None  # "weather 3 days of rain"
        raise refused(
            "A day's weather has a low and a high.", "Type both: weather sat -8 -2.", line.span(at, end)
        )
    wind, sky, end = _described(line, end)
    low_c, high_c = sorted(found)
    weather = DayWeather(day=day, low_c=low_c, high_c=high_c, wind=wind, sky=sky, seen=seen)
    return MatterSaid(matter=weather, note=line.said(end))


def _day(line: MatterLine, at: int, said: TimePhrase | None, *, seen: bool) -> tuple[date, int]:
    """The day meant and the words it takes; today where none is named."""
    today = local_time(line.at, line.setting.zone).date()
    skip = 1 if line.word(at) in {"on", "for"} else 0
    for end in range(min(line.count, at + skip + LONGEST_DAY), at + skip, -1):
        # Word by word fewer: in "sat 14 28" the 14 is no hour.
        found = time_phrase(line.tokens[:end], at + skip, not_units=frozenset())
        if found and at + skip + found[1] == end and found[0].names_day and not found[0].is_complete:
            return _day_of(found[0], today, line, seen=seen), end - at
    return (_day_of(said, today, line, seen=seen), 0) if said and said.names_day else (today, 0)


def _day_of(phrase: TimePhrase, today: date, line: MatterLine, *, seen: bool) -> date:
    if phrase.days_back is not None:
        return today - timedelta(days=phrase.days_back)
    if phrase.day is None or phrase.month is None:
        assert phrase.weekday is not None, "a day was named"
        ahead = (phrase.weekday - today.weekday()) % 7
        return today + timedelta(days=ahead - 7 if seen and ahead else ahead)
    years = (phrase.year,) if phrase.year else (today.year + 1, today.year, today.year - 1, today.year - 4)
    for year in years:
        try:
            day = date(year, phrase.month, phrase.day)
        except ValueError:
            continue
        if phrase.year or day - today <= (timedelta(0) if seen else DATED_AHEAD):
            return _on_its_weekday(day, phrase)
    raise refused("There is no such day.", "Type it like weather 16 jan -9 -2.", (phrase.start, phrase.end))


def _on_its_weekday(day: date, phrase: TimePhrase) -> date:
    if phrase.weekday is not None and day.weekday() != phrase.weekday:
        said, true = (WEEKDAYS[number].capitalize() for number in (phrase.weekday, day.weekday()))
        raise refused(
            f"{day.day} {MONTHS[day.month - 1].capitalize()} {day.year} is a {true}, not a {said}.",
            "Type the one you mean without the other.",
            (phrase.start, phrase.end),
        )
    return day


def _temperatures(line: MatterLine, at: int) -> tuple[list[float], int]:
    """Up to two temperatures, °C, and where they end: "-8 -2", "-8/-2", "low -8 high -2"."""
    own = line.setting.units.temperature
    said: list[tuple[float, str]] = []
    end = at
    while at < line.count and len(said) < 2:
        if line.word(at) in _BETWEEN:
            at += 1
            continue
        if (pair := pair_at(line.tokens, at)) and not said:
            unit = pair[3] or pair[1]
            said, end = [(pair[0], pair[1] or unit), (pair[2], unit)], at + 1
        elif (match := _RANGE.fullmatch(line.word(at))) and not said:
            said, end = [(float(match.group(1)), ""), (float(match.group(2)), "")], at + 1
        elif one := temperature_at(line.tokens, at):
            said.append((one[0], one[1]))
            at += one[2]
            end = at
            continue
        break
    unit = next((u for _, u in reversed(said) if u), own)
    return [checked_c("outdoor_c", v, u or unit, line.span(0, end)) for v, u in said], end


def _described(line: MatterLine, at: int) -> tuple[str, Sky | None, int]:
    """Wind and sky in any order, and where they end."""
    wind, sky = "", None
    while at < line.count:
        word = line.word(at)
        if word in {"wind", "winds", "sky", "and"} and line.word(at + 1) in _WINDS.keys() | _SKIES.keys():
            at += 1
        elif word in _WINDS and not wind:
            wind, at = _WINDS[word], at + 1 + (line.word(at + 1) in {"wind", "winds"})
        elif word in _SKIES and sky is None:
            sky, at = _SKIES[word], at + 1 + (line.word(at + 1) == "sky")
        else:
            break
    return wind, sky, at
