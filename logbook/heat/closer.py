"""Around a plan that looks well: other sizes, other times, a little more air, the window cracked.

The first sight of an evening's plans is coarse, so that it costs little; a second and a third look go where
the first was best. What is made here keeps to the same limits: air at or above the clean floor, sizes under
the cap, a load in the night 2 to 5 h after bed.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from logbook.heat.candidates import (
    LATER_FROM_TO_H,
    LATEST_BEFORE_WAKE,
    Means,
    Plan,
    Put,
    Size,
    sizes,
)
from logbook.records import Window

FINE_SIZES = 21
"""Sizes from the lightest piece to the cap that a closer look tells apart. ASSUMED: about a piece each."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How far around a plan one look goes: sizes of each load, by steps of the fine list; times, minutes."""

    one_load: tuple[int, ...]
    of_two: tuple[int, ...]
    minutes: tuple[int, ...]


SECOND_LOOK = Reach(one_load=(-3, -2, -1, 1, 2, 3), of_two=(-2, 0, 2), minutes=(-60, -30, 30, 60))
THIRD_LOOK = Reach(one_load=(-1, 1), of_two=(-1, 0, 1), minutes=(-30, 30))


def fine_sizes(means: Means) -> tuple[Size, ...]:
    """All sizes a closer look takes."""
    return sizes(cap_kg=means.cap_kg, pieces_kg=means.pieces_kg, most=FINE_SIZES)


def around(
    plans: Sequence[Plan], means: Means, *, fine: Sequence[Size], airs_pct: Sequence[float], reach: Reach
) -> tuple[Plan, ...]:
    """Plans near to any of those given, each once; some may have been looked at before.

    Args:
        plans: The plans that looked well.
        means: What the owner has to hand.
        fine: The sizes worth trying, smallest first.
        airs_pct: The settings worth trying, lowest first.
        reach: How far around.
    """
    found = itertools.chain.from_iterable(_near(plan, means, fine, airs_pct, reach) for plan in plans)
    return tuple(dict.fromkeys(found))


def _near(
    plan: Plan, means: Means, fine: Sequence[Size], airs_pct: Sequence[float], reach: Reach
) -> Iterator[Plan]:
    if not plan.loads:
        return
    steps = reach.one_load if len(plan.loads) == 1 else reach.of_two
    for sized in itertools.product(*(_sized(put, fine, (0, *steps)) for put in plan.loads)):
        yield replace(plan, loads=sized)
    for minutes in reach.minutes:
        yield from _moved(plan, means, timedelta(minutes=minutes))
    at = airs_pct.index(plan.air_open_pct) if plan.air_open_pct in airs_pct else 0
    for air in (*airs_pct[max(at - 1, 0) : at], *airs_pct[at + 1 : at + 2]):
        puts = tuple(replace(put, air_open_pct=air) for put in plan.loads)
        yield replace(plan, loads=puts, air_open_pct=air)
    yield replace(plan, window=Window.CRACKED if plan.window is Window.SHUT else Window.SHUT)


def _sized(put: Put, fine: Sequence[Size], steps: Sequence[int]) -> list[Put]:
    """The load in the sizes so many steps up or down; only itself when nothing else can be picked up."""
    here = min(range(len(fine)), key=lambda i: abs(fine[i].kg - put.size.kg))
    at = dict.fromkeys(min(max(here + step, 0), len(fine) - 1) for step in steps if step)
    return [put, *(replace(put, size=fine[i]) for i in at)]


def _moved(plan: Plan, means: Means, by: timedelta) -> Iterator[Plan]:
    """The plan with its load in the night earlier or later."""
    start = max(means.as_of, means.bed)
    last = plan.loads[-1]
    earliest, latest = (start + timedelta(hours=h) for h in LATER_FROM_TO_H)
    at = last.at + by
    if last.at >= earliest and earliest <= at <= min(latest, means.wake - LATEST_BEFORE_WAKE):
        yield replace(plan, loads=(*plan.loads[:-1], replace(last, at=at)))
