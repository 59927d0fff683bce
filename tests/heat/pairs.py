"""Before and after in invented cabins: how often no change is called one, and when a real one is found.

A cabin is drawn from the product's own priors (``simulated``) and lived in for some weekends; then its heat
loss changes by a known factor and it is lived in again. Two things are asked: whether the verdicts keep their
promise when the model is right, and how many nights they take.

    python tests/heat/pairs.py 40 0      # 40 pairs without a change
    python tests/heat/pairs.py 40 -20    # 40 pairs losing 20 % less
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from simulated import FRIDAY, HOUR, board_cabin, filled, lived_through

from logbook.heat.compare import dated_changes, judged_change, learn_window, told_stays, window
from logbook.heat.construction import building
from logbook.heat.notebook import stays
from logbook.heat.priors import INDEX, UNKNOWNS
from logbook.records import DatedDescription, Entry, Mark
from logbook.results.works import ChangeAnswer, Verdict

WEEK = timedelta(days=7)


@dataclass(frozen=True)
class Pair:
    """One invented cabin before and after, as its owner writes it."""

    descriptions: list[DatedDescription]
    entries: tuple[Entry, ...]
    true_change_pct: float


def weekend(start: datetime, rng: np.random.Generator) -> list[Entry]:
    """What someone writes of one night away, from arrival to leaving; readings are filled in afterwards."""
    out = float(rng.normal(-1.0, 5.0))
    wood = rng.uniform(1.2, 4.0, size=4)

    def row(hours: float, **said: object) -> Entry:
        return Entry(at=start + hours * HOUR, **said)  # type: ignore[arg-type]

    def outside(later_k: float) -> float:
        return round(out + later_k + float(rng.normal(0.0, 0.5)), 1)

    return [
        row(0.0, mark=Mark.ARRIVED, indoor_c=out + float(rng.uniform(1.0, 5.0)), outdoor_c=outside(0.0)),
        row(0.1, load_kg=float(wood[0]), kindling=True, air_open_pct=90.0),
        row(1.0, indoor_c=0.0, load_kg=float(wood[1]), air_open_pct=60.0),
        row(2.5, indoor_c=0.0, outdoor_c=outside(-1.0)),
        row(3.5, indoor_c=0.0, load_kg=float(wood[2]), air_open_pct=float(rng.choice([30, 50]))),
        row(6.0, indoor_c=0.0, outdoor_c=outside(-2.5)),
        row(6.2, load_kg=float(wood[3]), air_open_pct=float(rng.choice([20, 30, 40]))),
        row(6.3, mark=Mark.BED),
        row(14.5, mark=Mark.WOKE, indoor_c=0.0, outdoor_c=outside(-4.0)),
        row(16.0, indoor_c=0.0),
        row(18.0, indoor_c=0.0, outdoor_c=outside(0.5)),
        row(18.1, mark=Mark.LEFT),
    ]


def lived_pair(
    seed: int,
    *,
    true_change: float,
    before: int = 4,
    after: int = 4,
    change: str = "skirting",
    shown_k: float = 0.0,
) -> Pair:
    """The pair of this seed: ``true_change`` is the change of heat loss as a fraction, -0.2 a fifth less.

    ``before`` and ``after`` are weekends of one night. ``shown_k`` is added to the readings after the
    change: a thermometer that hangs elsewhere.
    """
    rng = np.random.default_rng([7, seed])
    descriptions = [DatedDescription(uuid="p", valid_from=None, description=board_cabin())]
    house = building(descriptions[0].description.cabin)
    z = rng.standard_normal(len(UNKNOWNS))
    changed = z.copy()
    changed[INDEX["fabric_loss"]] += math.log1p(true_change) / house.fabric_log_sd
    changed[INDEX["leak"]] += math.log1p(true_change) / house.air_log_sd
    rows: list[Entry] = []
    for n in range(before + after):
        start = FRIDAY + n * WEEK
        if n == before:
            rows.append(Entry(at=start - timedelta(days=2), change=change))
        told = weekend(start, rng)
        readings, _ = lived_through(stays(told)[0], changed if n >= before else z, descriptions, rng)
        rows += filled(told, readings + (shown_k if n >= before else 0.0))
    return Pair(descriptions=descriptions, entries=tuple(rows), true_change_pct=100.0 * true_change)


def answered(pair: Pair, *, seed: int, draws: int = 400) -> ChangeAnswer:
    """What the product says of a pair's change."""
    end = pair.entries[-1].at
    told = told_stays(pair.entries, as_of=end)
    changes = dated_changes(pair.entries, as_of=end)
    found = window(changes[0], told=told, changes=changes)
    assert found is not None
    fit = learn_window(
        found, descriptions=pair.descriptions, rng=np.random.default_rng([8, seed]), draws=draws
    )
    return judged_change(changes[0], found, fit, told=told, descriptions=pair.descriptions, zone=UTC)


def pairs(
    seeds: Iterable[int], *, true_change: float, before: int = 4, after: int = 4, draws: int = 400
) -> dict[str, float]:
    """Verdicts over these invented pairs.

    Keys: ``pairs``; counts ``helped``, ``worse``, ``no_difference``, ``cant_tell`` and ``inside_90`` (the
    truth inside the 90 % range); ``width_pct`` (mean width of that range, percentage points), ``bias_pct``
    (mean of middle less truth), ``more_nights`` (median said while it can't tell), ``seconds``.
    """
    began = time.perf_counter()
    made: list[tuple[ChangeAnswer, float]] = []
    for seed in seeds:
        pair = lived_pair(seed, true_change=true_change, before=before, after=after)
        made.append((answered(pair, seed=seed, draws=draws), pair.true_change_pct))
    return counted(made) | {"seconds": time.perf_counter() - began}


def counted(made: Sequence[tuple[ChangeAnswer, float]]) -> dict[str, float]:
    """The figures of ``pairs`` from answers and true changes, per cent."""
    said = [answer for answer, _ in made]
    ranges = [(a.heat_loss_change_pct, truth) for a, truth in made if a.heat_loss_change_pct is not None]
    waits = [float(a.more_nights or 0) for a in said if a.verdict is Verdict.CANT_TELL]
    return {
        "pairs": float(len(said)),
        "helped": float(sum(a.verdict is Verdict.HELPED for a in said)),
        "worse": float(sum(a.verdict is Verdict.WORSE for a in said)),
        "no_difference": float(sum(a.verdict is Verdict.NO_DIFFERENCE for a in said)),
        "cant_tell": float(sum(a.verdict is Verdict.CANT_TELL for a in said)),
        "inside_90": float(sum(r.p05 <= truth <= r.p95 for r, truth in ranges)),
        "width_pct": float(np.mean([r.p95 - r.p05 for r, _ in ranges])),
        "bias_pct": float(np.mean([r.p50 - truth for r, truth in ranges])),
        "more_nights": float(np.median(waits)) if waits else 0.0,
    }


if __name__ == "__main__":
    COUNT, PER_CENT = (int(word) for word in (*sys.argv[1:], "20", "0")[:2])
    EACH = int(sys.argv[3]) if len(sys.argv) > 3 else 4
    for key, value in pairs(range(COUNT), true_change=PER_CENT / 100.0, before=EACH, after=EACH).items():
        print(f"{key:16} {value:8.2f}")
