"""A house held at 20 °C by electric heaters for 13 winter days: other people's data, read from ``--data``.

Through the product's own way: a description, a table of hourly rows brought in, ``fit``. The published
figures (regression of 13 daily means): 168.6 W/K, 95 % range 154 to 183; the indoor temperature is
constant, so no time constant can be had.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from benching.cabins import END_OF_DAYS
from benching.options import Options
from benching.table import Aim, aims_table
from logbook.actions.reckoning import known, posterior_of
from logbook.description import parse_description
from logbook.heat.fit import summary
from logbook.results.night import FitAnswer
from logbook.setting import setting_of
from logbook.store.importing import import_table
from logbook.store.log import open_log

PUBLISHED, LOW, HIGH = 168.6, 154.0, 183.0

SIZES_M2 = (60, 80, 120)
"""The house's floor is not published with its data: the answer must not hang on it."""


def run(options: Options) -> Iterator[str]:
    """The table, for each guess of the floor."""
    file = None if options.data is None else options.data / "coheating_house" / "coheating_hourly.csv"
    if file is None or not file.exists():
        yield "Left out: the data are not kept in the project. Name their folder with --data DIR."
        return
    for floor in SIZES_M2[1:2] if options.quick else SIZES_M2:
        answer = fitted(file, floor_m2=floor)
        yield from told(answer, floor_m2=floor)
        yield ""


def fitted(file: Path, *, floor_m2: float) -> FitAnswer:
    """What the product learns of the house."""
    text = (
        f"[cabin]\nfloor_m2 = {floor_m2}\nvolume_m3 = {2.5 * floor_m2}\n"
        '[stove]\nmax_load_kg = 5.0\n[site]\ntimezone = "UTC"\n[comfort]\npeople = 0\n'
    )
    description = parse_description(text, machine_zone="UTC")
    with TemporaryDirectory(prefix="nightload-bench-") as place:
        log = open_log(Path(place) / "house.db", now=lambda: datetime(2000, 1, 1, tzinfo=UTC))
        with log:
            log.add_description(description, source=text)
            table = _table(file).encode()
            import_table(log, table, setting=setting_of(description), now=END_OF_DAYS, strict=True)
            told = known(log, as_of=END_OF_DAYS - timedelta(days=2))
    return summary(posterior_of(told))


def _table(file: Path) -> str:
    lines = ["at,indoor_c,outdoor_c,other_heat_w"]
    with file.open(encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            at = row["time"].replace(" ", "T")
            lines.append(f"{at},{row['indoor_c']},{row['outdoor_c']},{row['heat_w']}")
    return "\n".join(lines) + "\n"


def told(answer: FitAnswer, *, floor_m2: float) -> Iterator[str]:
    """Figures beside the published ones."""
    loss = answer.heat_loss_w_per_k
    yield f"Floor taken as {floor_m2} m2; {answer.readings} readings used, {answer.stays} stays."
    yield ""
    if loss is None:
        yield "The heat loss was not told."
        return
    yield from aims_table(
        [
            Aim("heat loss, middle", loss.p50, " W/K", least=LOW, most=HIGH, decimals=1),
            Aim("off the published value", 100 * abs(loss.p50 / PUBLISHED - 1), " %", most=10, decimals=1),
            Aim("range, low end", loss.p05, " W/K", most=PUBLISHED, decimals=1),
            Aim("range, high end", loss.p95, " W/K", least=PUBLISHED, decimals=1),
            Aim("narrower half of the range", 100 * min(1 - loss.p05 / loss.p50, loss.p95 / loss.p50 - 1),
                " %", least=7.0, decimals=1),
            Aim("time constant claimed", float(answer.time_constant_h is not None), most=0, decimals=0),
        ]
    )  # fmt: skip
    why = dict(answer.cannot_tell).get("time_constant_h", "no reason given")
    yield f"\nTime constant: {answer.time_constant_h or 'null'} ({why})"
