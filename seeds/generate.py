"""Writes the demo log's notebook:  python seeds/generate.py [FOLDER]

Without a folder it goes where the program keeps it, ``logbook/demo_data/demo.csv``. The same seed gives the
same file, to the byte; a test holds the two together. ``--show`` prints each night's truth beside it.
"""

from __future__ import annotations

import sys
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from house import House
from notebook import Notebook
from owner import Plan, Weekend, unheated
from weather import Weather
from year import told_among, year_rows

SEED = 17
HOME = Path(__file__).resolve().parent.parent / "logbook" / "demo_data"
WEATHER_FROM = datetime(2024, 10, 1)  # noqa: DTZ001 - the valley's own clock, as the notebook has it
SKIRTING_FROM = datetime(2025, 11, 1, 15, 30)  # noqa: DTZ001 - as above


def _day(year: int, month: int, day: int, hour: int, minute: int) -> datetime:
    return datetime(year, month, day, hour, minute)  # noqa: DTZ001 - the valley's own clock


PLANS = (
    Plan(
        _day(2024, 10, 25, 17, 40),
        2,
        (5.6, 4.2),
        (20, 15),
        notes={0: "first time up since the roof was finished, swept the flue in September"},
    ),
    Plan(_day(2024, 11, 15, 18, 10), 2, (6.8, 6.5), (20, 25), notes={1: "slept badly, far too hot till two"}),
    Plan(
        _day(2024, 12, 6, 17, 25),
        2,
        (6.4, 9.3),
        (25, 20),
        notes={2: "J. stuffed it full. never again. pipe ticking"},
    ),
    Plan(_day(2024, 12, 27, 15, 20), 4, (5.0, 5.6, 4.4, 5.8), (30, 30, 25, 30), forgets_air=1),
    Plan(
        _day(2025, 1, 17, 18, 30),
        2,
        (6.0, 5.2),
        (30, 35),
        notes={1: "draught along the floor, cold feet"},
    ),
    Plan(_day(2025, 2, 7, 17, 50), 2, (4.6, 5.0), (35, 35), crack_at_bed=1),
    Plan(
        _day(2025, 2, 28, 18, 5),
        2,
        (4.4, 3.6),
        (30, 5),
        soaked=1,
        notes={0: "swept the snow off the outer stack"},
    ),
    Plan(_day(2025, 3, 21, 17, 30), 2, (3.0, 2.4), (30, 35), notes={2: "mouse behind the wood box"}),
    Plan(
        _day(2025, 11, 7, 17, 15),
        2,
        (3.6, 3.8),
        (30, 35),
        notes={0: "skirting up all round since Saturday", 1: "floor feels different already"},
    ),
    Plan(_day(2025, 11, 28, 18, 20), 2, (4.4, 4.2), (35, 40), silent=1),
    Plan(_day(2025, 12, 12, 17, 45), 2, (4.8, 4.6), (35, 30), fahrenheit=True),
    Plan(_day(2025, 12, 26, 15, 10), 4, (4.2, 4.8, 3.6, 4.4), (40, 30, 35, 35), night_load=1),
    Plan(
        _day(2026, 1, 16, 18, 0),
        2,
        (4.6, 4.4),
        (30, 35),
        forgets_air=0,
        notes={2: "ash out, bucket on the path"},
    ),
    Plan(
        _day(2026, 2, 6, 17, 35),
        2,
        (3.4, 0.0),
        (35, 30),
        notes={2: "only embers at bed, saw our breath at breakfast"},
    ),
    Plan(_day(2026, 2, 27, 17, 55), 2, (4.0, 0.0), (35, 35), stops_before_bed=True),
)


def notebook(show: bool = False) -> Notebook:
    """The two winters, lived and written down, and the year around them."""
    weather_rng, owner_rng, book_rng, year_rng = np.random.default_rng(SEED).spawn(4)
    weather = Weather(WEATHER_FROM, 540, weather_rng)
    book = Notebook(book_rng)
    skirted = False
    for plan in PLANS:
        before = plan.arrive - timedelta(days=6)
        house = House(weather.mean_before(before, 3) + 1.0)
        if plan.arrive > SKIRTING_FROM and not skirted:
            skirted = True
            book.write(SKIRTING_FROM, change="skirting", note="boards all round, up for the day")
        if skirted:
            house.put_up_skirting()
        unheated(house, weather, before, plan.arrive)
        weekend = Weekend(plan, house, weather, book, owner_rng)
        weekend.live()
        if show:
            _print(weekend)
    book.rows = told_among(book.rows, year_rows(weather, year_rng))
    return book


def _print(weekend: Weekend) -> None:
    """Evening, peak and waking of each night as they really were."""
    print(f"{weekend.plan.arrive:%Y-%m-%d}")
    days = sorted({when.date() for when, *_ in weekend.trace})
    for day in days[:-1]:
        start = datetime(day.year, day.month, day.day, 22, 30)  # noqa: DTZ001 - the valley's own clock
        night = [row for row in weekend.trace if start <= row[0] <= start + timedelta(hours=8, minutes=20)]
        if len(night) < 60:
            continue
        outdoor = [row[2] for row in night]
        room = [row[1] for row in night]
        hottest = max(row[3] for row in night)
        print(
            f"   {day}: at 22:30 {room[0]:5.1f}, peak {max(room):5.1f}, at the end {room[-1]:5.1f} C;"
            f" outdoors {outdoor[0]:5.1f} to {min(outdoor):5.1f}; most heat {hottest:4.1f} kW;"
            f" {night[-1][4]:.1f} kg unburnt"
        )
    evening = [row[1] for row in weekend.trace]
    print(f"   lowest {min(evening):.1f}, highest {max(evening):.1f}")


def main(arguments: list[str]) -> int:
    """Write the notebook; 0 when done."""
    show = "--show" in arguments
    places = [argument for argument in arguments if argument != "--show"]
    folder = Path(places[0]) if places else HOME
    book = notebook(show)
    book.save(folder / "demo.csv")
    print(f"{len(book.rows)} rows in {folder / 'demo.csv'}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
