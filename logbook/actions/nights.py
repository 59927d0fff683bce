"""The track record: every past evening forecast again from what was known then, and what came of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from logbook.actions.reckoning import Cache, Known, NightForecast, fingerprint, posterior_of, seed_of
from logbook.actions.tonight import LOW_SAID_WITHIN
from logbook.heat.night import Evening
from logbook.heat.past_nights import PastNight, past_nights
from logbook.records import Entry
from logbook.results import NightsAnswer, NightScore, Range

Progress = Callable[[int, int], None]
"""Told how many nights are done, and of how many."""

PLAN_FIELDS = ("load_kg", "pieces", "air_open_pct", "flue_damper_open_pct", "window", "kindling")


def nights(
    told: Known,
    *,
    cache: Cache | None = None,
    progress: Progress = lambda done, of: None,
    stop: Callable[[], bool] = lambda: False,
) -> NightsAnswer:
    """Every past evening's range from earlier records only, and the temperature woken to.

    A forecast knows the readings up to bed, the plan burned within 35 minutes of it and the forecast low
    logged then; no later reading of any kind. What was reckoned before comes from the cache.

    Args:
        told: The log as of a time.
        cache: Where scores are kept between calls.
        progress: Called before each night.
        stop: Asked before each night; true ends early with what is done.
    """
    lived = past_nights(
        tuple(sorted(told.entries, key=lambda e: e.at)),
        comfort=told.description.comfort,
        zone=told.zone,
        until=told.as_of,
    )
    scores = []
    for done, night in enumerate(lived):
        progress(done, len(lived))
        if stop():
            break
        scores.append(score(told.before(night.bed), night, cache=cache))
    return answer_of(tuple(scores))


def answer_of(scores: tuple[NightScore, ...]) -> NightsAnswer:
    """Scores with their count, how many woke inside the range, and the usual miss, °C."""
    seen = [s for s in scores if s.observed_at_wake_c is not None]
    misses = [s.predicted_at_wake_c.p50 - (s.observed_at_wake_c or 0.0) for s in seen]
    return NightsAnswer(
        nights=scores,
        count=len(seen),
        inside_90=sum(bool(s.inside_90) for s in seen),
        rmse_c=float(np.sqrt(np.mean(np.square(misses)))) if misses else None,
    )


def score(then: Known, night: PastNight, *, cache: Cache | None = None) -> NightScore:
    """One night, forecast from what was known at its bed.

    Args:
        then: The log as known at bed.
        night: The night, for its plan, its hours and what came of it.
        cache: Where the range is kept.
    """
    low = _low_said(then, night)
    key = f"{fingerprint(then)} {night.bed.isoformat()} {night.wake.isoformat()} {low} {_plan_key(night)}"
    kept = cache.get(key) if cache else None
    if kept is None:
        wake = _forecast(then, night, low_c=low)
        if cache:
            cache.put(key, {"wake": np.array([wake.p05, wake.p50, wake.p95])})
    else:
        wake = Range(*(float(x) for x in kept["wake"]))
    seen = night.woke_c
    return NightScore(
        bed=night.bed,
        wake=night.wake,
        predicted_at_wake_c=wake,
        observed_at_wake_c=seen,
        inside_90=None if seen is None else wake.p05 <= seen <= wake.p95,
        wood_kg=night.load_kg,
        air_open_pct=night.air_open_pct,
        marks_inferred=night.inferred,
        recomputed=True,
    )


def plan_of(night: PastNight) -> tuple[Entry, ...]:
    """What was done within 35 minutes of bed, as a plan: no reading in it, the window as it was left."""
    steps = [replace(Entry(at=e.at), **{name: getattr(e, name) for name in PLAN_FIELDS}) for e in night.plan]
    if not any(e.window is not None for e in steps):
        steps.insert(0, Entry(at=night.bed, window=night.window))
    return tuple(steps)


def _forecast(then: Known, night: PastNight, *, low_c: float | None) -> Range:
    forecast = NightForecast(told=then, posterior=posterior_of(then), seed=seed_of(fingerprint(then)))
    ahead = Evening(as_of=night.bed, bed=night.bed, wake=night.wake, night_low_c=low_c)
    paths = forecast([plan_of(night)], ahead)
    p05, p50, p95 = (float(x) for x in np.percentile(paths.indoor_c[0, :, -1], (5, 50, 95)))
    return Range(p05, p50, p95)


def _low_said(then: Known, night: PastNight) -> float | None:
    said = [
        e.forecast_low_c
        for e in then.entries
        if e.forecast_low_c is not None and night.bed - LOW_SAID_WITHIN <= e.at <= night.bed
    ]
    return said[-1] if said else None


def _plan_key(night: PastNight) -> str:
    return ";".join(
        f"{e.at.isoformat()} " + " ".join(str(getattr(e, name)) for name in PLAN_FIELDS)
        for e in plan_of(night)
    )
