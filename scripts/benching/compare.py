"""Invented pairs of cabins, before and after a change: verdicts against what was really changed."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from benching.parts import ROOT, Options
from benching.table import Aim, aims_table

PAIRS, CHUNK = 100, 5
CHANGED = -0.2


def some(first: int, count: int, true_change: float, draws: int = 400) -> dict[str, float]:
    """Figures of some pairs."""
    sys.path.insert(0, str(ROOT / "tests" / "heat"))
    from pairs import pairs  # noqa: PLC0415 - stands beside the tests

    found: dict[str, float] = pairs(
        range(first, first + count), true_change=true_change, before=4, after=4, draws=draws
    )
    return found


def run(options: Options) -> Iterator[str]:
    """The table."""
    if not (ROOT / "tests" / "heat" / "pairs.py").exists():
        yield "Left out: no invented pairs in this copy of the project."
        return
    none, less = (all_of(change, quick=options.quick) for change in (0.0, CHANGED))
    count = none["pairs"]
    yield from aims_table(
        [
            Aim(f"no change called a change, of {count:.0f}", none["helped"] + none["worse"], most=count / 20,
                decimals=0),
            held("no change", none),
            Aim("no change: width of the range", none["width_pct"], " points", decimals=0),
            Aim(f"20 % less called helped (4 + 4 nights), of {count:.0f}", less["helped"], decimals=0),
            Aim("20 % less called worse", less["worse"], most=0, decimals=0),
            held("20 % less", less),
            Aim("20 % less: middle off by", less["bias_pct"], " points", decimals=1),
        ]
    )  # fmt: skip


def held(name: str, found: dict[str, float]) -> Aim:
    """How often the 90 % range holds the true change."""
    share = 100 * found["inside_90"] / found["pairs"]
    return Aim(f"{name}: truth inside", share, " %", least=83, most=97, decimals=0)


def all_of(true_change: float, *, quick: bool) -> dict[str, float]:
    """Figures of all pairs: counts added up, the others averaged."""
    if quick:
        return some(0, 1, true_change, 60)
    firsts = range(0, PAIRS, CHUNK)
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        found = list(pool.map(some, firsts, [CHUNK] * len(firsts), [true_change] * len(firsts)))
    averaged = {"width_pct", "bias_pct", "more_nights"}
    return {key: sum(f[key] for f in found) / (len(found) if key in averaged else 1) for key in found[0]}
