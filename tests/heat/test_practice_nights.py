"""Nights of two practice cabins, forecast at bedtime from the rows known then.

A loose guard against breaking the whole way from rows to range: the real figures, over all cabins and plans,
come from scripts/bench.py. The cabins were simulated by a program that knows nothing of our equations (see
tests/practice/README.md); the outcome of a night is never among the rows its forecast may use.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from logbook.description import parse_description
from logbook.heat.fit import Posterior, learn
from logbook.heat.night import forecast
from logbook.heat.outdoors_ahead import Evening
from logbook.records import DatedDescription, Entry
from logbook.setting import setting_of
from logbook.store.tables_in import read_table

PRACTICE = Path(__file__).parent.parent / "practice"
NIGHTS_EACH = 5


@dataclass(frozen=True)
class Forecast:
    """A night's 90 % range and middle at waking, and what came, °C."""

    name: str
    low_c: float
    middle_c: float
    high_c: float
    woke_c: float


def forecasts(cabin: str) -> list[Forecast]:
    """Lived nights in which nobody acted, spread over the season."""
    folder = PRACTICE / cabin
    description = parse_description((folder / "description.toml").read_text("utf-8"), machine_zone="UTC")
    zone = ZoneInfo(description.site.timezone)
    table = read_table(
        (folder / "notebook.csv").read_bytes(),
        setting=setting_of(description),
        now=datetime(2026, 11, 1, tzinfo=UTC),
    )
    described = [DatedDescription(uuid=cabin, valid_from=None, description=description)]
    nights = json.loads((folder / "nights.json").read_text("utf-8"))["nights"]
    calm = [n for n in nights if not n["acted_in_the_night"]]
    chosen = [calm[i] for i in np.linspace(1, len(calm) - 1, NIGHTS_EACH).round().astype(int)]
    last: Posterior | None = None
    out = []
    for n in chosen:
        bed, wake = (
            datetime.fromisoformat(n[key]).replace(tzinfo=zone).astimezone(UTC) for key in ("bed", "wake")
        )
        # Line 1 of the file is its header.
        known = [new.entry for line, new in table.new if line <= n["notebook_rows_before"] + 1 and new.entry]
        last = learn(
            descriptions=described,
            entries=known,
            as_of=bed + timedelta(minutes=2),
            rng=np.random.default_rng(1),
            start=last,
            draws=200,
        )
        paths = forecast(
            posterior=last,
            descriptions=described,
            entries=known,
            evening=Evening(as_of=bed, bed=bed, wake=wake, night_low_c=n["forecast_low_c"]),
            plans=[(Entry(at=bed, load_kg=n["load_kg"] or None, air_open_pct=n["air_pct"]),)],
            rng=np.random.default_rng(2),
        )
        assert np.isfinite(paths.indoor_c).all(), n["night"]
        low, middle, high = (float(x) for x in np.percentile(paths.indoor_c[0, :, -1], [5.0, 50.0, 95.0]))
        out.append(Forecast(f"{cabin} {n['night']}", low, middle, high, n["indoor_at_wake_c"]))
    return out


@pytest.fixture(scope="module")
def told() -> list[Forecast]:
    return [f for cabin in ("alder", "tamarack") for f in forecasts(cabin)]


def test_the_forecast_is_about_right_at_waking(told: list[Forecast]) -> None:
    """rmse of the middle of ten nights at most 3 K; "falls as usual" makes 5.3 K in these cabins."""
    errors = np.array([f.middle_c - f.woke_c for f in told])
    print([(f.name, round(f.middle_c - f.woke_c, 1), round(f.high_c - f.low_c, 1)) for f in told])
    assert len(told) == 2 * NIGHTS_EACH
    assert float(np.sqrt((errors**2).mean())) <= 3.0


def test_most_nights_end_inside_their_range(told: list[Forecast]) -> None:
    """Seven of ten at least: an honest 90 % range holds fewer once in 78 such sets (binomial)."""
    assert sum(f.low_c <= f.woke_c <= f.high_c for f in told) >= 7


def test_ranges_are_of_use(told: list[Forecast]) -> None:
    """Not won by saying nothing: on average at most 12 K wide, and never upside down."""
    assert all(f.low_c < f.middle_c < f.high_c for f in told)
    assert float(np.mean([f.high_c - f.low_c for f in told])) < 12.0
