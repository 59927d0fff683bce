"""Does what the program asks to be written down narrow the range in fact? On the practice cabins.

For each night the gain of each observation is reckoned beforehand; then what was really there is read (the
true room in the night, the mass really burned, the outdoor reading of the notebook that was held back), the
draws are told, and middle and width at waking are held against the true waking temperature.

    python tests/heat/next_reading_practice.py 3      # every third night
"""

from __future__ import annotations

import json
import sys
import time
from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from logbook.description import parse_description
from logbook.heat.effects import READING_SD_K
from logbook.heat.fit import learn
from logbook.heat.next_reading import Asked, Seen, fitted, tonight_as_seen, write_down_next
from logbook.heat.night import prepare_night
from logbook.heat.outdoors_ahead import Evening, tonight_ahead
from logbook.records import DatedDescription, Entry
from logbook.results.journeys import Note
from logbook.setting import setting_of
from logbook.store.tables_in import read_table

PRACTICE = Path(__file__).parents[1] / "practice"
CABINS = ("alder", "cedar", "hazel", "rowan", "tamarack")
HELD_BACK = timedelta(hours=3)
"""Outdoor readings this shortly before bed are held back: they are what would be written down."""


@dataclass(frozen=True)
class Judged:
    """One observation on one night: expected narrowing, share; error and width before and after, K."""

    cabin: str
    note: Note
    expected: float
    chosen: bool
    error_before_k: float
    error_after_k: float
    width_before_k: float
    width_after_k: float


def judged(cabin: str, night: dict, *, draws: int = 200) -> list[Judged]:
    """Every observation that can be made on one night."""
    folder = PRACTICE / cabin
    description = parse_description((folder / "description.toml").read_text(), machine_zone="UTC")
    dated = [DatedDescription(uuid=cabin, valid_from=None, description=description)]
    zone = ZoneInfo(description.site.timezone)
    rows = read_table(
        (folder / "notebook.csv").read_bytes(),
        setting=setting_of(description),
        now=datetime(2026, 11, 1, tzinfo=UTC),
    )
    told = [new.entry for _, new in rows.new]
    bed, wake = (
        datetime.fromisoformat(night[key]).replace(tzinfo=zone).astimezone(UTC) for key in ("bed", "wake")
    )
    known = told[: night["notebook_rows_before"]]
    outdoors = [e.outdoor_c for e in known if e.outdoor_c is not None and bed - e.at <= timedelta(hours=1)]
    held = [replace(e, outdoor_c=None) if bed - e.at <= HELD_BACK else e for e in known]
    after = told[night["notebook_rows_before"] : night["notebook_rows_after_load"]]
    written_kg = sum(e.load_kg or 0.0 for e in after)
    rng = np.random.default_rng([11, CABINS.index(cabin), night["notebook_rows_before"]])
    posterior = learn(descriptions=dated, entries=held, as_of=bed, rng=rng, draws=draws)
    evening = Evening(as_of=bed, bed=bed, wake=wake, night_low_c=night["forecast_low_c"])
    base = prepare_night(posterior=posterior, descriptions=dated, entries=held, evening=evening, rng=rng)
    asked = Asked(
        plan=(Entry(at=bed, load_kg=written_kg or night["load_kg"] or None, air_open_pct=night["air_pct"]),),
        bed=bed,
        outdoor=tonight_ahead(base, entries=held, evening=evening),
        people=float(description.comfort.people),
        night_reading_at=bed + timedelta(hours=4),
        outdoor_known=False,
        counted=True,
        up_at_night=True,
        water_in=False,
    )
    actual = {
        Note.READING_AT_2: night["indoor_hourly_c"][4:5] + READING_SD_K * rng.standard_normal(1),
        Note.OUTDOOR_AT_BED: np.array(outdoors[-1:]),
    }
    if written_kg and night["load_kg"]:
        actual[Note.LOAD_MASS] = np.array([night["load_kg"] / written_kg - 1.0])
    return _held_against(cabin, base, asked, actual, true_c=night["indoor_at_wake_c"], rng=rng)


def _held_against(cabin, base, asked, actual, *, true_c, rng):
    advice = write_down_next(base, asked, rng=rng)
    expected = {n.note: n.narrower for n in advice.tonight}
    seen, _ = tonight_as_seen(base, asked, rng=rng)
    out = []
    for note, read in actual.items():
        if note in seen.read and len(read) == seen.read[note].shape[1]:
            before, told = after_reading(seen, note, np.asarray(read))
            out.append(
                Judged(
                    cabin,
                    note,
                    expected[note],
                    note is advice.best_tonight,
                    abs(float(np.median(before)) - true_c),
                    abs(float(np.median(told)) - true_c),
                    float(np.ptp(np.percentile(before, (5, 95)))),
                    float(np.ptp(np.percentile(told, (5, 95)))),
                )
            )
    return out


def after_reading(seen: Seen, note: Note, actual: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Draws of tonight's waking temperature before and after something was read in fact, °C; axes (draw,).

    Args:
        seen: Tonight as every draw has it.
        note: What was read.
        actual: What was read, axes (reading,), in the unit of ``seen.read[note]``.
    """
    read = seen.read[note]
    middle, scale = read.mean(axis=0), np.maximum(read.std(axis=0), 1e-9)
    one = np.ones((len(read), 1))
    x = np.concatenate([one, (read - middle) / scale], axis=1)
    rule = fitted(x, seen.wake_c)
    told = np.concatenate([[1.0], (actual - middle) / scale]) @ rule
    after: np.ndarray = seen.wake_c - x @ rule + told
    return seen.wake_c, after


def figures(every: int = 1, *, draws: int = 200, cabins=CABINS) -> dict[str, float]:
    """Over the practice nights nobody acted in: by observation, expected and real narrowing, and the errors.

    Keys ``<note>_nights``, ``_expected_pct``, ``_narrower_pct`` (width), ``_rmse_before_k``,
    ``_rmse_after_k``, ``_held_pct`` (truth inside the range told after); the same for ``chosen`` and
    ``not_chosen``; ``seconds``.
    """
    began = time.perf_counter()
    groups: dict[str, list[Judged]] = defaultdict(list)
    for cabin in cabins:
        nights = json.loads((PRACTICE / cabin / "nights.json").read_text())["nights"]
        for night in [n for n in nights if not n["acted_in_the_night"]][::every]:
            for one in judged(cabin, night, draws=draws):
                groups[str(one.note)].append(one)
                groups["chosen" if one.chosen else "not_chosen"].append(one)
    out: dict[str, float] = {}
    for name, rows in groups.items():
        out[f"{name}_nights"] = len(rows)
        out[f"{name}_expected_pct"] = 100.0 * float(np.mean([r.expected for r in rows]))
        narrower = 1.0 - np.array([r.width_after_k / r.width_before_k for r in rows])
        out[f"{name}_narrower_pct"] = 100.0 * float(np.mean(narrower))
        out[f"{name}_rmse_before_k"] = float(np.sqrt(np.mean([r.error_before_k**2 for r in rows])))
        out[f"{name}_rmse_after_k"] = float(np.sqrt(np.mean([r.error_after_k**2 for r in rows])))
        out[f"{name}_held_pct"] = 100.0 * float(
            np.mean([r.error_after_k <= r.width_after_k / 2 for r in rows])
        )
    out["seconds"] = time.perf_counter() - began
    return out


if __name__ == "__main__":
    for key, value in figures(int(sys.argv[1]) if len(sys.argv) > 1 else 6).items():
        print(f"{key:36} {value:8.2f}")
