"""What the two write down besides the nights: upkeep, wood in the shed, supplies, people, lists, ash, damp.

Invented like the rest, on the valley's own clock, and with no part in the physics: nothing here warms or
cools the cabin. Amounts are set by hand to agree with what the weekends burned and with how many were there;
only the days' weather is the valley's own, told as a forecast would tell it and as it came.
"""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta

import numpy as np
from weather import Weather

Row = dict[str, str]

FORECAST_MISS_C = 2.0
"""Sd of a forecast low or high, °C. Invented."""


def year_rows(weather: Weather, rng: np.random.Generator) -> list[Row]:
    """Every row, by its time."""
    rows = [
        *_autumn_2024(),
        *_first_winter(),
        *_spring_2025(),
        *_october_2025(),
        *_november_2025(),
        *_second_winter(),
        *_last_weekend(),
        *_people(),
        *_levels(),
        *_sky(weather, rng),
    ]
    return sorted(rows, key=lambda row: row["at"])


def told_among(nights: list[Row], year: list[Row]) -> list[Row]:
    """One notebook of both: each matter stands before the first row under a later time."""
    written: list[Row] = []
    waiting = list(year)
    for row in nights:
        while waiting and waiting[0]["at"] < row["at"]:
            written.append(waiting.pop(0))
        written.append(row)
    return written + waiting


# Autumn work before the first winter


def _autumn_2024() -> list[Row]:
    """A day's work in September, before the first stay that is written down."""
    return [
        _did("2024-09-14T10:30", "flue", by="K", deposit_mm=2.0, finding="dry flakes, none of it shiny"),
        _did("2024-09-14T11:05", "cap", finding="screen whole"),
        _did("2024-09-14T11:30", "extinguisher", until="2036-09-30", finding="new, on the hook by the door"),
        _did("2024-09-14T11:40", "smoke alarm battery"),
        _did("2024-09-14T11:41", "co alarm battery"),
        _row(
            "2024-09-14T15:00",
            kind="stack", name="beech", species="beech", volume_m3=1.2, as_said="1.2 stere",
            split_on="2023-04-01", where="south wall", money=132.0,
        ),
        _row(
            "2024-09-14T16:10",
            kind="stack", name="birch", species="birch", volume_m3=1.0, as_said="1 stere",
            split_on="2023-05-01", where="outer stack", hours=11.0,
        ),
        _looked("2024-09-14T16:40", "roof", finding="done in larch, the last ridge board on"),
        _did("2024-10-26T10:20", "gutters", finding="larch needles, half a bucket"),
    ]  # fmt: skip


def _first_winter() -> list[Row]:
    return [
        _row("2025-01-17T18:33", kind="ash", act="taken out", where="stone slab by the path"),
        _row("2025-02-07T17:58", kind="ash", act="tipped", where="ash pit"),
        _looked("2025-02-08T09:50", "extinguisher", finding="gauge in the green"),
        _row("2025-03-21T17:36", kind="ash", act="taken out", where="stone slab by the path"),
    ]


def _spring_2025() -> list[Row]:
    """A Saturday in May, home before dark."""
    return [
        _row("2025-05-03T10:15", kind="ash", act="tipped", where="ash pit"),
        _looked("2025-05-03T10:40", "roof", finding="two shingles up on the north side, nailed"),
        _did("2025-05-03T11:30", "gutters"),
        _looked("2025-05-03T12:10", "posts", by="J", finding="awl stops at 2 mm, all six"),
        _did("2025-05-03T14:00", "toilet", finding="moved, old pit covered"),
    ]


def _october_2025() -> list[Row]:
    """A Saturday's work before the second winter."""
    return [
        _did(
            "2025-10-11T10:10", "flue",
            by="K", deposit_mm=3.0, finding="twice last year's, after a winter shut down for the night",
            photos=["flue-2025.jpg"],
        ),
        _row(
            "2025-10-11T10:40",
            kind="upkeep rule", task="flue", every_days=365.0, every_kg=380.0, source="3 mm after 422 kg",
        ),
        _did("2025-10-11T10:50", "cap", finding="a little soot on the screen, brushed"),
        _looked("2025-10-11T11:20", "baffle", finding="hairline in the left brick, nothing loose"),
        _did("2025-10-11T11:35", "door rope", by="J", finding="note slid out by the hinge, latch adjusted"),
        _did("2025-10-11T12:30", "extinguisher service", by="brigade"),
        _did("2025-10-11T12:40", "smoke alarm battery"),
        _did("2025-10-11T12:41", "co alarm battery"),
        _did("2025-10-11T13:50", "gutters", finding="needles again"),
        _looked("2025-10-11T14:10", "roof"),
        _row("2025-10-11T15:00", kind="stack count", name="beech", volume_m3=0.65, as_said="0.65 stere"),
        _row(
            "2025-10-11T15:10",
            kind="stack moisture", name="beech", readings_pct=[17.0, 19.0, 18.0], basis="dry",
            fresh_face=True,
        ),
        _row(
            "2025-10-11T15:15",
            kind="stack moisture", name="birch", readings_pct=[15.0, 16.0], basis="dry", fresh_face=False,
        ),
        _row("2025-10-11T15:30", kind="upkeep rule", task="hand pump"),
    ]  # fmt: skip


def _november_2025() -> list[Row]:
    """What the skirting cost, a mouse, and wood for the winter after."""
    return [
        _row(
            "2025-11-02T16:30",
            kind="improvement", name="skirting", money=240.0, hours=31.0, surface="floor",
            what="larch boards, mesh, two vents",
        ),
        _did("2025-11-02T16:40", "skirting vents", finding="new, mesh in both"),
        _row("2025-11-07T17:20", kind="seen", sight="droppings", place="behind the wood box"),
        _row("2025-11-08T10:40", kind="bring", item="mouse traps", amount=2.0),
        _did("2025-11-08T11:30", "rodents", by="J", finding="steel wool in the gap behind the wood box"),
        _row(
            "2025-11-08T14:30",
            kind="stack", name="spruce", species="spruce", volume_m3=0.6, as_said="0.6 stere",
            split_on="2025-11-08", where="north wall", hours=7.0,
        ),
        _row(
            "2025-11-08T14:45",
            kind="stack moisture", name="spruce", readings_pct=[41.0, 46.0, 38.0], basis="dry",
            fresh_face=True,
        ),
        _row("2025-11-28T18:24", kind="bring", item="mouse traps", got=True),
    ]  # fmt: skip


def _second_winter() -> list[Row]:
    return [
        _looked("2025-12-27T11:10", "lamps", finding="wick trimmed"),
        _looked("2026-01-17T09:40", "flue", deposit_mm=0.0, finding="brown film"),
        _looked("2026-02-07T09:35", "extinguisher", finding="gauge in the green"),
        _row("2026-02-06T17:52", kind="ash", act="tipped", where="ash pit"),
        _row("2026-02-08T06:59", kind="seen", sight="sweating", place="south window"),
        {"at": "2026-02-08T07:01", "rh_pct": "77"},
        _row("2026-02-08T12:40", kind="bring", item="matches"),
        _row("2026-02-08T12:41", kind="bring", item="lamp oil", amount=1.0, unit="L"),
        _row("2026-02-08T12:42", kind="bring", item="axe handle"),
        *(
            _row(f"2026-02-08T13:{minute:02d}", kind="tick", list_name="leaving", line=line)
            for minute, line in (
                (2, "fire out"), (9, "aired"), (12, "gas, lamps and batteries off"), (18, "written down"),
            )
        ),
        _row(
            "2026-02-08T13:14", kind="tick", list_name="leaving", line="nothing that bursts", done=False
        ),
    ]  # fmt: skip


def _last_weekend() -> list[Row]:
    """The stay that is going on when the notebook ends. The stove was cold when its ash was taken out."""
    return [
        _row("2026-02-27T17:58", kind="ash", act="taken out", where="stone slab by the path"),
        _row("2026-02-27T18:12", kind="bring", item="matches", got=True),
        _row("2026-02-28T06:52", kind="seen", sight="sweating", place="south window"),
        {"at": "2026-02-28T16:56", "rh_pct": "36"},
    ]


# What goes through all of it


def _people() -> list[Row]:
    """Who was there, by initials, what for, and what they left in the guest book."""
    said = (
        ("2024-10-25T18:00", "K J", "first nights under the new roof", ""),
        ("2024-10-27T13:05", "", "", "The roof holds. Rained all Saturday and nothing but the rain to hear."),
        ("2024-11-15T18:30", "K J", "", ""),
        ("2024-12-06T17:40", "K J", "quiet weekend", ""),
        ("2024-12-27T15:45", "K J", "turn of the year", ""),
        ("2024-12-31T13:10", "", "", "Four nights, one book each, the stove too big for all of them."),
        ("2025-01-17T18:45", "K M", "skis", ""),
        ("2025-01-19T13:02", "", "", "Cold feet, warm heads. I would come again. M"),
        ("2025-02-07T18:05", "K J", "", ""),
        ("2025-02-28T18:20", "K J", "snow off the outer stack", ""),
        ("2025-03-21T17:45", "K J", "last of the winter", ""),
        ("2025-03-23T12:55", "", "", "Coltsfoot on the south bank. The mouse stays."),
        ("2025-11-07T17:30", "K J", "does the skirting help", ""),
        ("2025-11-09T13:10", "", "", "The floor! We sat on it."),
        ("2025-11-28T18:35", "K J", "", ""),
        ("2025-12-12T17:55", "J M", "snow measuring, badly", ""),
        ("2025-12-26T15:30", "K J", "turn of the year", ""),
        ("2025-12-30T13:20", "", "", "Read in the log what last winter's nights were like. Never again."),
        ("2026-01-16T18:15", "K J", "skis", ""),
        ("2026-02-06T17:50", "K J", "", ""),
        ("2026-02-08T12:50", "", "", "Fox tracks twice round the hut, and off again."),
        ("2026-02-27T18:15", "K J", "nothing much", ""),
    )
    rows = []
    for at, people, purpose, book in said:
        facts = {"people": people.split(), "purpose": purpose, "guest_book": book}
        rows.append(_row(at, kind="stay", **{name: fact for name, fact in facts.items() if fact}))
    return rows


def _levels() -> list[Row]:
    """Water carried in, and what was left of water, lamp oil and gas, through the second winter.

    Two people a day use 10 to 12 L of water, a tenth of a litre of oil, one and a half to two per cent of a
    bottle of gas.
    """
    water = (
        ("2025-11-07", "17:50", 24.0, "2025-11-09", "12:50", 3.0),
        ("2025-11-28", "18:40", 20.0, "2025-11-30", "12:30", 4.0),
        ("2025-12-12", "18:00", 20.0, "2025-12-14", "12:30", 2.0),
        ("2025-12-26", "15:35", 50.0, "2025-12-30", "13:10", 7.0),
        ("2026-01-16", "18:20", 15.0, "2026-01-18", "12:40", 3.0),
        ("2026-02-06", "18:00", 20.0, "2026-02-08", "12:30", 2.0),
    )
    rows = [
        _row("2025-11-07T17:45", kind="level", item="water", amount=0.0, unit="L"),
        _row("2025-11-07T17:46", kind="level", item="lamp oil", amount=2.0, unit="L"),
        _row("2025-11-07T17:47", kind="level", item="gas", amount=78.0, unit="%"),
        _row("2026-02-27T18:10", kind="brought", item="water", amount=20.0, unit="L"),
        _row("2026-02-27T18:11", kind="brought", item="lamp oil", amount=1.0, unit="L"),
    ]
    oil_l = (1.8, 1.6, 1.4, 0.9, 0.7, 0.5)
    gas_pct = (75.0, 71.0, 68.0, 60.0, 57.0, 53.0)
    for (came, then, brought, left, last, rest), oil, gas in zip(water, oil_l, gas_pct, strict=True):
        rows.append(_row(f"{came}T{then}", kind="brought", item="water", amount=brought, unit="L"))
        for item, amount, unit in (("water", rest, "L"), ("lamp oil", oil, "L"), ("gas", gas, "%")):
            rows.append(_row(f"{left}T{last}", kind="level", item=item, amount=amount, unit=unit))
    return rows


def _sky(weather: Weather, rng: np.random.Generator) -> list[Row]:
    """The last weekend's weather: forecast on Thursday and again on Saturday, Friday as it came."""
    words = {27: ("breeze", "broken"), 28: ("calm", "clear"), 1: ("calm", "clear"), 2: ("breeze", "overcast")}
    told = (
        ("2026-02-26T19:10", date(2026, 2, 27), False),
        ("2026-02-26T19:11", date(2026, 2, 28), False),
        ("2026-02-26T19:12", date(2026, 3, 1), False),
        ("2026-02-28T07:20", date(2026, 2, 27), True),
        ("2026-02-28T07:30", date(2026, 2, 28), False),
        ("2026-02-28T07:31", date(2026, 3, 1), False),
        ("2026-02-28T07:32", date(2026, 3, 2), False),
    )
    rows = []
    for at, day, seen in told:
        wind, sky = words[day.day]
        low_c, high_c = _low_and_high(weather, day)
        if not seen:
            low_c, high_c = (c + float(rng.normal(0.0, FORECAST_MISS_C)) for c in (low_c, high_c))
        facts: dict[str, object] = {"low_c": float(round(low_c)), "high_c": float(round(high_c))}
        facts |= {"seen": True} if seen else {}
        rows.append(_row(at, kind="weather", day=day.isoformat(), **facts, wind=wind, sky=sky))
    return rows


def _low_and_high(weather: Weather, day: date) -> tuple[float, float]:
    """The day's highest hour, and the lowest of the night that follows it, °C."""
    first = (datetime(day.year, day.month, day.day) - weather.start) // timedelta(hours=1)  # noqa: DTZ001 - the valley's own clock
    hours = weather.air_c[first + 8 : first + 33]
    return float(hours[8:].min()), float(hours[:11].max())


def _did(at: str, task: str, **facts: object) -> Row:
    return _row(at, kind="upkeep", task=task, **facts)


def _looked(at: str, task: str, **facts: object) -> Row:
    return _row(at, kind="upkeep", task=task, only_looked=True, **facts)


def _row(at: str, **matter: object) -> Row:
    return {"at": at, "matter": json.dumps(matter, ensure_ascii=False)}
