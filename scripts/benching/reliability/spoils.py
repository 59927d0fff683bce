"""Ways to spoil a log: what a slip, a wrong habit or a broken thing makes of the stays before the evening."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from logbook.records import Entry, Mark

SHELF_FADES_H = 2.0
"""How fast a thermometer on the stove shelf comes back to the room after a load, h. Invented."""

KG_PER_LB = 0.45359237
"""NIST SP 811."""

HOUR = timedelta(hours=1)

Spoil = Callable[[list[Entry], random.Random], list[Entry]]


def _swapped(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [replace(e, indoor_c=e.outdoor_c, outdoor_c=e.indoor_c) for e in rows]


def _constant(rows: list[Entry], dice: random.Random) -> list[Entry]:
    value = round(dice.uniform(5.0, 25.0), 1)
    return [e if e.indoor_c is None else replace(e, indoor_c=value) for e in rows]


def _one_value_for_a_year(rows: list[Entry], dice: random.Random) -> list[Entry]:
    value = round(dice.uniform(5.0, 25.0), 1)
    end = min(e.at for e in rows)
    return [Entry(at=end - n * HOUR, indoor_c=value, mark=Mark.ARRIVED if n % 40 == 39 else None)
            for n in range(8760, 0, -1)]  # fmt: skip


def _one_minute(rows: list[Entry], dice: random.Random) -> list[Entry]:
    first = min(e.at for e in rows)
    return [replace(e, at=first + n * timedelta(seconds=1)) for n, e in enumerate(rows)]


def _colder_than_outside(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [
        e
        if e.indoor_c is None
        else replace(e, indoor_c=-5.0 + dice.uniform(-8, 0), outdoor_c=dice.uniform(2, 9))
        for e in rows
    ]


def _random_numbers(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [
        replace(
            e,
            indoor_c=None if e.indoor_c is None else round(dice.uniform(-20, 38), 1),
            outdoor_c=None if e.outdoor_c is None else round(dice.uniform(-30, 30), 1),
            load_kg=None if e.load_kg is None else round(dice.uniform(0.1, 9.0), 1),
            air_open_pct=None if e.air_open_pct is None else round(dice.uniform(0, 100)),
        )
        for e in rows
    ]


def _only_loads(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [replace(e, indoor_c=None, outdoor_c=None) for e in rows if e.load_kg or e.mark]


def _only_temperatures(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [replace(e, load_kg=None, kindling=False, air_open_pct=None) for e in rows]


def _loads_never_written(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [replace(e, load_kg=None, kindling=False) if dice.random() < 0.6 else e for e in rows]


def _units_mixed(rows: list[Entry], dice: random.Random) -> list[Entry]:
    """Some temperatures in °F under the name of °C, as far as the log takes them; loads in lb as kg."""
    out = []
    for e in rows:
        f = None if e.indoor_c is None else round(e.indoor_c * 1.8 + 32.0)
        odd = f if f is not None and dice.random() < 0.5 else e.indoor_c
        out.append(replace(e, indoor_c=odd, load_kg=None if e.load_kg is None else round(e.load_kg * 2.2, 1)))
    return out


def _times_shuffled(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return sorted((replace(e, at=e.at + dice.uniform(-6, 6) * HOUR) for e in rows), key=lambda e: e.at)


def _thermometer_at_85(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [e if e.indoor_c is None or dice.random() < 0.6 else replace(e, indoor_c=85.0) for e in rows]


def _on_the_stove_shelf(rows: list[Entry], dice: random.Random) -> list[Entry]:
    """The thermometer stands where the stove warms it: some kelvin off while it burns, less as it dies."""
    most_k = dice.uniform(4.0, 12.0)
    out: list[Entry] = []
    over_k, last = 0.0, rows[0].at
    for e in rows:
        over_k *= math.exp(-((e.at - last) / HOUR) / SHELF_FADES_H)
        last = e.at
        shown = None if e.indoor_c is None else round(e.indoor_c + over_k, 1)
        out.append(replace(e, indoor_c=shown))
        if e.load_kg:
            over_k = most_k
    return out


def _logger_off(rows: list[Entry], off: timedelta) -> list[Entry]:
    """The room's temperatures come from a logger whose clock is off; all else is written at its time."""
    logger = [Entry(at=e.at + off, indoor_c=e.indoor_c) for e in rows if e.indoor_c is not None]
    return [*(replace(e, indoor_c=None) for e in rows), *logger]


def _logger_an_hour_off(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return _logger_off(rows, dice.choice((-1, 1)) * HOUR)


def _logger_twelve_hours_off(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return _logger_off(rows, dice.choice((-12, 12)) * HOUR)


def _a_stay_typed_twice(rows: list[Entry], dice: random.Random) -> list[Entry]:
    """One of the stays is in the log a second time, some hours earlier or later."""
    starts = [e.at for e in rows if e.mark is Mark.ARRIVED]
    first = dice.choice(starts)
    off = dice.choice((-1, 1)) * dice.uniform(0.5, 6.0) * HOUR
    again = [replace(e, at=e.at + off) for e in rows if first <= e.at < first + 24 * HOUR]
    return [*rows, *again]


def _a_stay_typed_by_two(rows: list[Entry], dice: random.Random) -> list[Entry]:
    """One of the stays was typed on two computers whose logs were joined: every row at its time twice."""
    starts = [e.at for e in rows if e.mark is Mark.ARRIVED]
    first = dice.choice(starts)
    return [*rows, *(e for e in rows if first <= e.at < first + 24 * HOUR)]


def _half_the_loads_in_pounds(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [
        replace(e, load_kg=round(e.load_kg / KG_PER_LB, 1)) if e.load_kg and dice.random() < 0.5 else e
        for e in rows
    ]


def _as_it_is(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return rows


SPOILS: dict[str, Spoil] = {
    "nothing spoilt": _as_it_is,
    "indoor and outdoor swapped": _swapped,
    "one temperature for ever": _constant,
    "a year of one value": _one_value_for_a_year,
    "everything in one minute": _one_minute,
    "inside always colder than outside": _colder_than_outside,
    "random numbers": _random_numbers,
    "only loads": _only_loads,
    "only temperatures": _only_temperatures,
    "most loads not written": _loads_never_written,
    "units mixed up": _units_mixed,
    "times shuffled by hours": _times_shuffled,
    "two cabins in one log": _as_it_is,
    "a thermometer at 85": _thermometer_at_85,
    "a thermometer on the stove shelf": _on_the_stove_shelf,
    "a logger an hour off": _logger_an_hour_off,
    "a logger twelve hours off": _logger_twelve_hours_off,
    "a stay typed twice at other hours": _a_stay_typed_twice,
    "a stay typed twice at the same hours": _a_stay_typed_by_two,
    "half the loads in pounds": _half_the_loads_in_pounds,
}
"""What is done to the log; "two cabins" lives every other stay in another one."""
