"""Forecast paths of many plans -> figures of each plan, their order, and the few worth showing.

Everything here is arithmetic on arrays of paths, axes (plan, draw, time); no plan is looped over in the
forecast. The rules that forbid a first place are the ones of "Safety, in one place"; their words are in
``cautions``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime, timedelta
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from logbook.heat.candidates import Plan
from logbook.heat.cautions import TOO_HOT_C, TOO_HOT_CHANCE
from logbook.heat.past_nights import PLAN_WITHIN
from logbook.records import Window
from logbook.results.night import Range

FloatArray = NDArray[np.float64]

SETTLED_AFTER_BED = timedelta(hours=1)
"""What counts for comfort begins this long after bed. The contract's figure."""

NEAR_TIE_DEGREE_HOURS, NEAR_TIE_SHARE = 0.5, 0.04
"""Costs closer than this can't be told apart: half a kelvin for an hour, or 4 %. ASSUMED: well under
what one night of readings moves a forecast by. 8 % gave away 0.2 K·h a night for 50 g of wood."""

MOST_TIE_DEGREE_HOURS = 1.0
"""However cold the night, a difference above this is no tie: one kelvin for an hour. ASSUMED; in a freezing
cabin a share alone is many K·h, and "no fire" came first for its lesser wood."""

SAME_CHANCE = 0.1
"""Where every plan gets too hot, chances this near to the least count as no worse. ASSUMED: 15 and 25 in 100
are the same warning, and the cost of a cold morning may differ twofold."""

WORTH_TIMES, WORTH_DEGREE_HOURS = 1.5, 6.0
"""Another kind of plan is shown if it costs at most 1.5 times the first and 6 degree-hours more. ASSUMED."""

A_GRAM_KG = 1e-3
"""No less than nothing: what sums of pieces are off by, kg. Wood as weighed is known to 10 g at best."""

HOT_WITHOUT = 0.5
"""Where a room without more wood gets too hot as likely as not, none goes in first. ASSUMED: whatever a cold
morning costs can be laid in when it comes."""

FULL_BED_SHARE = 0.9
"""A firebox this full of wood and coals, of what it takes, gets nothing more, however small. ASSUMED."""

MOST_SHOWN, FEWEST_SHOWN = 6, 4
"""Choices shown. ASSUMED: what can be weighed against one another by lamplight; the contract asks for few."""


PEAK_ERROR_SD_K = 0.8
"""Error of a peak beyond its path, K: a flame lasts minutes, a path has quarters of an hour, smooth fires.
ASSUMED: the range of the peak held 78 % of lived nights of simulated cabins without it, 87 % with it."""


@dataclass(frozen=True)
class Figures:
    """Figures of every plan; axis (plan,), ranges (plan, 3) for 5, 50 and 95 %. Temperatures °C."""

    low: FloatArray
    high: FloatArray
    wake: FloatArray
    chance_in_band: FloatArray
    degree_hours: FloatArray
    chance_too_hot: FloatArray
    asleep_too_hot: FloatArray
    """The same over the whole time in bed, its first hour too."""

    def and_also(self, more: Figures) -> Figures:
        """The figures of both, one after the other."""
        return Figures(
            **{f.name: np.concatenate([getattr(self, f.name), getattr(more, f.name)]) for f in fields(self)}
        )

    def but_first(self) -> Figures:
        """The figures of all but the first plan."""
        return Figures(**{f.name: getattr(self, f.name)[1:] for f in fields(self)})

    def range_of(self, what: FloatArray, plan: int) -> Range:
        """One plan's range out of ``low``, ``high`` or ``wake``."""
        p05, p50, p95 = (float(x) for x in what[plan])
        return Range(p05, p50, p95)


def figures(
    indoor_c: FloatArray,
    times: Sequence[datetime],
    *,
    as_of: datetime,
    bed: datetime,
    wake: datetime,
    band_c: tuple[float, float],
) -> Figures:
    """What each plan comes to over the span from one hour after bed to waking.

    Args:
        indoor_c: Room temperature, °C; axes (plan, draw, time).
        times: Times of the last axis.
        as_of: When the question is asked; nothing before it counts.
        bed: Bed.
        wake: Waking.
        band_c: Wanted lowest and highest temperature, °C.
    """
    settled = _between(times, max(bed + SETTLED_AFTER_BED, as_of), wake)
    asleep = _between(times, max(bed, as_of), wake)
    span = indoor_c[:, :, settled]
    low, high = span.min(axis=2), span.max(axis=2)
    peak = high + PEAK_ERROR_SD_K * _even_luck(span.shape[1])
    outside = np.maximum(np.maximum(band_c[0] - span, span - band_c[1]), 0.0)
    hours = np.array([t.timestamp() for t in times])[settled] / 3600.0
    return Figures(
        low=_percentiles(low),
        high=_percentiles(peak),
        wake=_percentiles(span[:, :, -1]),
        chance_in_band=((low >= band_c[0]) & (high <= band_c[1])).mean(axis=1),
        degree_hours=np.trapezoid(outside.mean(axis=1), hours, axis=1),
        chance_too_hot=(peak > TOO_HOT_C).mean(axis=1),
        asleep_too_hot=(indoor_c[:, :, asleep].max(axis=2) > TOO_HOT_C).mean(axis=1),
    )


def _even_luck(draws: int) -> FloatArray:
    """Standard normal numbers spread evenly over the draws, always the same; axis (draw,).

    The golden ratio scatters them, so that neighbouring draws differ: no dice are needed where only the
    spread of the whole counts.
    """
    normal = NormalDist()
    at = (np.arange(draws) + 0.5) * ((5.0**0.5 - 1.0) / 2.0) % 1.0
    return np.array([normal.inv_cdf(min(max(float(x), 1e-6), 1.0 - 1e-6)) for x in at])


def fitting(
    plans: Sequence[Plan], left_kg: FloatArray, times: Sequence[datetime], *, max_load_kg: float
) -> NDArray[np.bool_]:
    """Which plans' loads fit beside what is left in the firebox when they go in; axis (plan,).

    Args:
        plans: The plans; the first one puts nothing in.
        left_kg: Wood and charcoal left, in kg as weighed; axes (plan, time).
        times: Times of the last axis.
        max_load_kg: What the full firebox takes, kg as weighed.
    """
    fits = np.ones(len(plans), dtype=bool)
    stamps = np.array([t.timestamp() for t in times])
    for i, plan in enumerate(plans):
        for put in plan.loads:
            before = max(0, int(np.searchsorted(stamps, put.at.timestamp(), side="left")) - 1)
            left = left_kg[0, 0] if put.at <= times[0] else left_kg[i, before]
            fits[i] &= max(left, 0.0) + put.size.kg <= max_load_kg + A_GRAM_KG
            fits[i] &= left < FULL_BED_SHARE * max_load_kg
    return fits


def worth_cracking(plans: Sequence[Plan], got: Figures) -> NDArray[np.bool_]:
    """Which plans don't crack a window for nothing: shut, the same plan costs more or gets too hot."""
    at = {plan: i for i, plan in enumerate(plans)}
    cool = stays_cool(got)
    worth = np.ones(len(plans), dtype=bool)
    for plan, i in at.items():
        shut = at.get(replace(plan, window=Window.SHUT))
        if plan.window is Window.SHUT or shut is None:
            continue
        worth[i] = (cool[i] and not cool[shut]) or got.degree_hours[i] < got.degree_hours[shut]
    return worth


def stays_cool(got: Figures) -> NDArray[np.bool_]:
    """Which plans keep the room under the limit once it has settled; axis (plan,)."""
    return (got.high[:, 2] <= TOO_HOT_C) & (got.chance_too_hot < TOO_HOT_CHANCE)


def order(
    plans: Sequence[Plan],
    got: Figures,
    *,
    start: datetime,
    gets_up: bool,
    untried: Sequence[bool],
    usable: NDArray[np.bool_],
    high_c: float,
) -> tuple[int, ...]:
    """Indices of the usable plans, the recommended one first, the others by what they cost.

    First comes the plan with the fewest degree-hours outside the band among those allowed to be first;
    between plans that can't be told apart, what was tried here, then less wood, then a shut window, then the
    air as it stands. Nothing with wood is first in a room that without any stays above the band
    (``high_c``), or gets too hot as likely as not.
    """
    cost = got.degree_hours
    rest = sorted(np.flatnonzero(usable).tolist(), key=lambda i: (round(float(cost[i]), 2), plans[i].wood_kg))
    may = [i for i in rest if gets_up or not gets_somebody_up(plans[i], start)]
    idle = [i for i in may if not plans[i].loads]
    if any(plans[i].window is Window.SHUT and _warm_without(got, i, high_c) for i in idle):
        may = idle
    cool = _cool(may, got)
    near = [i for i in cool if cost[i] <= _tie_limit(float(cost[cool[0]]))] if cool else []
    if not near:
        return tuple(rest)

    def less_to_do(i: int) -> tuple[bool, float, bool, bool, float]:
        plan = plans[i]
        return untried[i], plan.wood_kg, plan.window is not Window.SHUT, plan.names_air, float(cost[i])

    first = min(near, key=less_to_do)
    return (first, *(i for i in rest if i != first))


def _warm_without(got: Figures, idle: int, high_c: float) -> bool:
    return bool(got.low[idle, 1] >= high_c or got.chance_too_hot[idle] >= HOT_WITHOUT)


def _cool(may: Sequence[int], got: Figures) -> list[int]:
    """Those whose sleeping room stays under the limit, best from bed on, else from an hour later; when all
    pass it, those whose range ends below it, else those least likely to pass it or nearly so."""
    stays = stays_cool(got)
    settled = [i for i in may if stays[i]]
    whole_night = [i for i in settled if got.asleep_too_hot[i] < TOO_HOT_CHANCE]
    if settled or not may:
        return whole_night or settled
    if under := [i for i in may if got.high[i, 2] <= TOO_HOT_C]:
        return under  # of few draws three may lie above it, and the range end just below
    least = min(float(got.chance_too_hot[i]) for i in may)
    return [i for i in may if got.chance_too_hot[i] <= least + SAME_CHANCE]


def worth_showing(
    ordered: Sequence[int], plans: Sequence[Plan], got: Figures, *, start: datetime
) -> tuple[int, ...]:
    """Four to six of the ordered plans that differ in kind: the first, the best of each other kind,
    a clearly smaller load, and always "no fire"."""
    first = ordered[0]
    limit = WORTH_TIMES * got.degree_hours[first] + WORTH_DEGREE_HOURS
    near = [i for i in ordered if got.degree_hours[i] <= limit and plans[i].loads]
    cool = [i for i in near if got.chance_too_hot[i] < TOO_HOT_CHANCE]
    picked = [first]
    for i in cool:
        if kind_of(plans[i], start) not in [kind_of(plans[k], start) for k in picked]:
            picked.append(i)
    picked = [*picked[: MOST_SHOWN - 2], *_smaller(picked[: MOST_SHOWN - 2], cool, plans, start)]
    for i in [*cool, *(i for i in ordered if plans[i].loads)]:
        if len(picked) >= FEWEST_SHOWN - 1:
            break
        if all(differ(plans[i], plans[k]) for k in picked):
            picked.append(i)
    no_fire = next(i for i in ordered if not plans[i].loads and plans[i].window is Window.SHUT)
    if no_fire not in picked:
        picked.append(no_fire)
    return (first, *sorted(picked[1:], key=ordered.index))


def _smaller(
    picked: Sequence[int], among: Sequence[int], plans: Sequence[Plan], start: datetime
) -> list[int]:
    """The best plan of the first one's kind with at most two thirds of its wood, if it is new."""
    first = plans[picked[0]]
    for i in among:
        alike = kind_of(plans[i], start) == kind_of(first, start) and plans[i].wood_kg <= 0.67 * first.wood_kg
        if alike and all(differ(plans[i], plans[k]) for k in picked):
            return [i]
    return []


def kind_of(plan: Plan, start: datetime) -> tuple[int, bool, Window]:
    """What kind of thing a plan is: how many loads, whether one is in the night, and the window."""
    return len(plan.loads), gets_somebody_up(plan, start), plan.window


def differ(a: Plan, b: Plan) -> bool:
    """Whether an owner would call them different things to do."""
    if (len(a.loads), a.window) != (len(b.loads), b.window):
        return True
    wood = abs(a.wood_kg - b.wood_kg) > 0.2 * max(a.wood_kg, b.wood_kg)
    return wood or abs(a.air_open_pct - b.air_open_pct) >= 12


def gets_somebody_up(plan: Plan, start: datetime) -> bool:
    """Whether a plan has a load that asks somebody to get up: over 35 min after bed (or after now, if they
    are awake later than that)."""
    return any(put.at > start + PLAN_WITHIN for put in plan.loads)


def _tie_limit(best: float) -> float:
    return best + min(max(NEAR_TIE_DEGREE_HOURS, NEAR_TIE_SHARE * best), MOST_TIE_DEGREE_HOURS)


def _between(times: Sequence[datetime], start: datetime, end: datetime) -> NDArray[np.bool_]:
    """Which times lie in a span; the last one if none does (asked minutes before waking)."""
    inside = np.array([start <= t <= end for t in times])
    if not inside.any():
        inside[-1] = True
    return inside


def _percentiles(values: FloatArray) -> FloatArray:
    """5, 50 and 95 % over the draws; (plan, draw) -> (plan, 3)."""
    return np.percentile(values, (5, 50, 95), axis=1).T
