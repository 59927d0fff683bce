"""Nights and stays as tables, one row each, for a spreadsheet or a program of statistics.

Both are made from the records; what was said before a night is added where the track record has it already.
Nothing is forecast for them, and neither table comes in again: the notebook does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from logbook.actions.nights import said_before, score_of
from logbook.actions.reckoning import Cache, Known
from logbook.heat.notebook import Stay, stays
from logbook.heat.past_nights import PastNight, past_nights
from logbook.setting import night_of

if TYPE_CHECKING:
    import pandas as pd

NIGHT_COLUMNS = (
    *("evening", "bed", "wake", "marks_inferred", "start_c", "outdoor_low_c"),
    *("load_kg", "pieces", "air_open_pct", "window", "loads_after", "load_after_kg"),
    *("woke_c", "said_p05_c", "said_p50_c", "said_p95_c", "inside_90"),
)
"""One night: times on the site's clock, °C, kg as weighed, air per cent open. What was said before it is
blank where the track record has not reckoned it."""

LONG_LOG, NEWEST_NIGHTS = 20_000, 10
"""In a log of more entries than this, what was said is looked up for so many of the newest nights only: each
look-up goes through every entry before it. ASSUMED: 45 weekends of 25 lines in 18 years."""

STAY_COLUMNS = {
    "nights": ("night", "count"),
    "loads": ("load", "count"),
    "wood_kg": ("load", "sum"),
    "indoor_readings": ("indoor", "count"),
    "indoor_lowest_c": ("indoor", "min"),
    "indoor_highest_c": ("indoor", "max"),
    "outdoor_lowest_c": ("outdoor", "min"),
    "outdoor_highest_c": ("outdoor", "max"),
}
"""One stay, after its start, end and hours: each column by what was written down and what is made of it."""


def summary_tables(told: Known, *, cache: Cache | None = None) -> dict[str, str]:
    """``nights.csv`` and ``stays.csv`` as text, by name."""
    lived = past_nights(
        tuple(sorted(told.entries, key=lambda e: e.at)),
        comfort=told.description.comfort,
        zone=told.zone,
        until=told.as_of,
    )
    tables = {"nights.csv": _nights(told, lived, cache), "stays.csv": _stays(told, lived)}
    return {
        name: table.to_csv(index=False, lineterminator="\n", float_format="%.6g")
        for name, table in tables.items()
    }


def _nights(told: Known, lived: Sequence[PastNight], cache: Cache | None) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - 200 ms, and only an export needs it

    rows = []
    looked_up = len(lived) if len(told.entries) <= LONG_LOG else NEWEST_NIGHTS
    for n, night in enumerate(lived):
        row = asdict(night)
        looked = cache if n >= len(lived) - looked_up else None
        said = said_before(told.before(night.bed), night, cache=looked) if looked else ()
        if said:
            wake = said[-1].inside_c
            row |= {f"said_{name}_c": value for name, value in asdict(wake).items()}
            row["inside_90"] = _yes_no(score_of(night, wake).inside_90)
        row["evening"] = night_of(night.bed, told.zone.key).isoformat()
        row["marks_inferred"] = _yes_no(night.inferred)
        row |= {name: _clock(row[name], told.zone) for name in ("bed", "wake")}
        rows.append(row)
    return pd.DataFrame(rows, columns=list(NIGHT_COLUMNS))


def _stays(told: Known, lived: Sequence[PastNight]) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - as above

    found = [stay for stay in stays(told.entries, until=told.as_of) if stay.occupied]
    values = [(n, what, value) for n, stay in enumerate(found) for what, value in _values(stay, lived)]
    long = pd.DataFrame(values, columns=["stay", "what", "value"])
    wide = long.groupby(["what", "stay"])["value"].agg(["count", "min", "max", "sum"])
    table = pd.DataFrame(
        {
            "start": [_clock(stay.start, told.zone) for stay in found],
            "end": [_clock(stay.end, told.zone) for stay in found],
            "hours": [(stay.end - stay.start) / timedelta(hours=1) for stay in found],
        }
    )
    for name, (what, made) in STAY_COLUMNS.items():
        known = wide[made].get(what, pd.Series(dtype=float)).reindex(table.index)
        table[name] = known.fillna(0) if made in ("count", "sum") else known
    counts = [name for name, (_, made) in STAY_COLUMNS.items() if made == "count"]
    return table.astype(dict.fromkeys(counts, int))


def _values(stay: Stay, lived: Sequence[PastNight]) -> Iterator[tuple[str, float]]:
    """What a stay's table is made of: kind and value."""
    # A min/max thermometer last reset before the stay tells of the days nobody was there.
    inside = (r for r in stay.readings if r.since is None or r.since >= stay.start)
    yield from (("indoor", reading.indoor_c) for reading in inside)
    yield from (("outdoor", reading.value) for reading in stay.outdoor)
    yield from (("load", laid.kg) for laid in stay.loads)
    yield from (("night", 1.0) for night in lived if stay.start <= night.bed <= stay.end)


def _clock(at: datetime, zone: ZoneInfo) -> str:
    return at.astimezone(zone).isoformat(timespec="minutes")


def _yes_no(value: bool | None) -> str:
    return "" if value is None else "yes" if value else "no"
