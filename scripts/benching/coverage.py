"""Invented cabins from the product's own priors: how often its 90 % ranges hold the truth.

Asks whether the inference is honest when the model is right; the practice cabins ask whether it is right.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context

import numpy as np

from benching.parts import ROOT, Options
from benching.reliability.poor import lived
from benching.table import Aim, aims_table
from logbook.heat.fit import learn
from logbook.heat.night import forecast

CABINS, LATER, QUICK = 200, 100, 2
DRAWS, QUICK_DRAWS = 400, 60
BINOMIAL_SDS = 3.3
"""180 of 200 plus and minus this many binomial sd: 166 to 194."""


def one(seed: int, draws: int = DRAWS) -> dict[str, tuple[bool, float, float]]:
    """For each figure of one cabin: held, off by, width."""
    sys.path.insert(0, str(ROOT / "tests" / "heat"))
    from simulated import judged, live  # noqa: PLC0415 - stands beside the tests

    return judged(live(seed), draws=draws, seed=seed)  # type: ignore[no-any-return]


def after_three_stays(seed: int, draws: int = DRAWS) -> tuple[bool, bool]:
    """Whether the night after three stays of another cabin ended in its range: with what was learned, and
    with cabin and stove handed over as they are."""
    sys.path.insert(0, str(ROOT / "tests" / "heat"))
    import simulated as sim  # noqa: PLC0415 - stands beside the tests

    told, descriptions, z, evening, plan, woke_c, _ = lived(sim, np.random.default_rng([11, seed]))
    entries = tuple(entry for stay in told for entry in stay)
    learned = learn(
        descriptions=descriptions,
        entries=entries,
        as_of=evening.as_of,
        rng=np.random.default_rng([5, seed]),
        draws=draws,
    )
    truth = np.zeros(learned.z.shape[1])
    truth[: len(z)] = z
    handed = replace(learned, z=np.tile(truth, (draws, 1)), mode=truth)
    held = []
    for posterior in (learned, handed):
        paths = forecast(
            posterior=posterior,
            descriptions=descriptions,
            entries=entries,
            evening=evening,
            plans=[plan],
            rng=np.random.default_rng([6, seed]),
        )
        low, high = np.percentile(paths.indoor_c[0, :, -1], (5.0, 95.0))
        held.append(bool(low <= woke_c <= high))
    return held[0], held[1]


def run(options: Options) -> Iterator[str]:
    """The table."""
    if options.quick:
        rows = [one(seed, QUICK_DRAWS) for seed in range(QUICK)]
        later = [after_three_stays(seed, QUICK_DRAWS) for seed in range(QUICK)]
    else:
        with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
            rows = list(pool.map(one, range(CABINS), chunksize=5))
            later = list(pool.map(after_three_stays, range(LATER), chunksize=5))
    spread = BINOMIAL_SDS * np.sqrt(len(rows) * 0.9 * 0.1)
    low, high = (round(0.9 * len(rows) + sign * spread) for sign in (-1, 1))
    aims = []
    for name, unit in (("heat_loss_w_per_k", " W/K"), ("time_constant_h", " h"), ("wake_c", " K")):
        held = sum(row[name][0] for row in rows)
        aims.append(Aim(f"{name}: truth inside, of {len(rows)}", held, least=low, most=high, decimals=0))
        aims.append(Aim(f"{name}: rmse", float(np.sqrt(np.mean([row[name][1] ** 2 for row in rows]))), unit))
        aims.append(Aim(f"{name}: mean width", float(np.mean([row[name][2] for row in rows])), unit))
    aims.append(Aim("effective draws, median", float(np.median([r["effective_draws"][1] for r in rows])),
                    decimals=0))  # fmt: skip
    aims.append(Aim("answers that say they were widened", sum(not r["effective_draws"][0] for r in rows),
                    decimals=0))  # fmt: skip
    for what, at in (("waking after three stays", 0), ("the same, cabin and stove handed over", 1)):
        held = sum(night[at] for night in later)
        aims.append(Aim(f"{what}: truth inside, of {len(later)}", held, decimals=0))
    yield from aims_table(aims)
