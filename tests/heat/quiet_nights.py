"""Nights of which nothing changes, or something does: how long until the running sums speak up."""

from __future__ import annotations

import numpy as np

from logbook.heat.drift import (
    ALIKE,
    ALLOWANCE,
    LIMIT,
    MOST_MISS,
    NIGHTS_PER_STAY,
    OWN_MISS_NIGHTS,
    OWN_MISS_SD,
)


def quiet_run(
    *,
    rng: np.random.Generator,
    runs: int = 400,
    limit: float = LIMIT,
    alike: float = ALIKE,
    own_miss_sd: float = OWN_MISS_SD,
    shift: float = 0.0,
    quiet_before: int = 0,
    longest: int = 1500,
    spread: float = 1.0,
    learned: bool = True,
) -> float:
    """Mean number of nights until the sums speak up in simulated nights.

    Args:
        rng: For the misses: normal, alike within a stay, around a lasting miss of each cabin.
        runs: How many series.
        limit: Where a sum speaks up.
        alike: Correlation of the misses of one stay.
        own_miss_sd: Spread of the cabins' lasting misses.
        shift: True drift of the misses, spreads; 0: all quiet.
        quiet_before: The drift begins after this many nights; series that spoke up by then are left out, and
            nights are counted from there.
        longest: A series still quiet then counts as this long.
        spread: True spread of the misses over the one that was said.
        learned: False to leave the lasting miss in, as a plain CUSUM does.
    """
    common = rng.standard_normal((runs, longest // NIGHTS_PER_STAY + 1, 1))
    own = rng.standard_normal((runs, longest // NIGHTS_PER_STAY + 1, NIGHTS_PER_STAY))
    stay = (np.sqrt(alike) * common + np.sqrt(1.0 - alike) * own).reshape(runs, -1)[:, :longest]
    lasting = own_miss_sd * rng.standard_normal((runs, 1))
    drifted = shift * (np.arange(longest) >= quiet_before)
    misses = np.clip(spread * stay + lasting + drifted, -MOST_MISS, MOST_MISS)
    if learned:
        known = np.arange(longest) + OWN_MISS_NIGHTS
        earlier = np.cumsum(misses, axis=1) - misses
        misses = (misses - earlier / known) / np.sqrt(1.0 + 1.0 / known)
    down, up = np.zeros(runs), np.zeros(runs)
    spoke = np.full(runs, longest)
    for i in range(longest):
        down = np.maximum(0.0, down - misses[:, i] - ALLOWANCE)
        up = np.maximum(0.0, up + misses[:, i] - ALLOWANCE)
        now = (np.maximum(down, up) > limit) & (spoke == longest)
        spoke[now] = i + 1
    return float(spoke[spoke > quiet_before].mean()) - quiet_before
