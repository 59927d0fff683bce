"""The track record: every past evening forecast again from what was known then, and what came of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import partial

import numpy as np

from logbook.actions.reckoning import Cache, Known, NightForecast, fingerprint, posterior_of, seed_of
from logbook.actions.tonight import low_said
from logbook.heat.night import Evening
from logbook.heat.past_nights import PastNight, past_nights
from logbook.records import Entry
from logbook.results.night import NightsAnswer, NightScore, Range

Progress = Callable[[int, int], None]
"""Told how many nights are done, and of how many."""

SoFar = Callable[[tuple["ToldNight", ...], int], None]
"""Told the nights there are already, oldest first, and of how many."""

PLAN_FIELDS = ("load_kg", "pieces", "air_open_pct", "flue_damper_open_pct", "window", "kindling")


@dataclass(frozen=True, slots=True)
class Foreseen:
    """What was said at bed for one moment of the night, °C; ``fire`` is 0 out, 1 coals only, 2 wood."""

    at: datetime
    inside_c: Range
    fire: int


@dataclass(frozen=True, slots=True)
class ToldNight:
    """A night lived, its score, and what was said for it from bed to waking."""

    night: PastNight
    score: NightScore
    foreseen: tuple[Foreseen, ...]


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
    return answer_of(tuple(t.score for t in told_nights(told, cache=cache, progress=progress, stop=stop)))


def told_nights(
    told: Known,
    *,
    cache: Cache | None = None,
    progress: Progress = lambda done, of: None,
    stop: Callable[[], bool] = lambda: False,
    so_far: SoFar = lambda done, of: None,
) -> tuple[ToldNight, ...]:
    """The same nights, oldest first, each with what was said for its every hour. Arguments as for ``nights``.

    The newest night is reckoned first: it is looked at first. ``so_far`` hears of each that was not in the
    cache when it is done.
    """
    lived = past_nights(
        tuple(sorted(told.entries, key=lambda e: e.at)),
        comfort=told.description.comfort,
        zone=told.zone,
        until=told.as_of,
    )
    found = []
    for done, night in enumerate(reversed(lived)):
        progress(done, len(lived))
        if stop():
            break
        then = told.before(night.bed)
        kept = said_before(then, night, cache=cache) if cache else ()
        said = kept or foreseen(then, night, cache=cache)
        found.append(ToldNight(night, score_of(night, said[-1].inside_c), said))
        if not kept:
            so_far(tuple(reversed(found)), len(lived))
    return tuple(reversed(found))


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
    return score_of(night, foreseen(then, night, cache=cache)[-1].inside_c)


def score_of(night: PastNight, wake: Range) -> NightScore:
    """What was said for waking, against the temperature woken to."""
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


def foreseen(then: Known, night: PastNight, *, cache: Cache | None = None) -> tuple[Foreseen, ...]:
    """The whole range of one night as said at its bed, from bed to waking; from the cache when it is there.

    Args:
        then: The log as known at bed.
        night: The night, for its plan and its hours.
        cache: Where it is kept.
    """
    said = said_before(then, night, cache=cache) if cache else ()
    if not said:
        made = _forecast(then, night, low_c=_low_said(then, night))
        if cache:
            cache.put(_key(then, night), made)
        said = _as_foreseen(night, made)
    return said


def said_before(then: Known, night: PastNight, *, cache: Cache) -> tuple[Foreseen, ...]:
    """The same, only where it was reckoned before; empty where it was not."""
    return cache.read(_key(then, night), partial(_as_foreseen, night)) or ()


def _key(then: Known, night: PastNight) -> str:
    hours = f"{night.bed.isoformat()} {night.wake.isoformat()}"
    return f"path {fingerprint(then)} {hours} {_low_said(then, night)} {_plan_key(night)}"


def _as_foreseen(night: PastNight, kept: dict[str, np.ndarray]) -> tuple[Foreseen, ...]:
    return tuple(
        Foreseen(night.bed + timedelta(hours=float(h)), Range(*(float(x) for x in row)), int(fire))
        for h, row, fire in zip(kept["hours"], kept["inside_c"], kept["fire"], strict=True)
    )


def plan_of(night: PastNight) -> tuple[Entry, ...]:
    """What was done within 35 minutes of bed, as a plan: no reading in it, the window as it was left."""
    steps = [replace(Entry(at=e.at), **{name: getattr(e, name) for name in PLAN_FIELDS}) for e in night.plan]
    if not any(e.window is not None for e in steps):
        steps.insert(0, Entry(at=night.bed, window=night.window))
    return tuple(steps)


def _forecast(then: Known, night: PastNight, *, low_c: float | None) -> dict[str, np.ndarray]:
    """Hours since bed, the 5, 50 and 95 % there, °C, shape (step, 3), and what burns."""
    forecast = NightForecast(told=then, posterior=posterior_of(then), seed=seed_of(fingerprint(then)))
    ahead = Evening(as_of=night.bed, bed=night.bed, wake=night.wake, night_low_c=low_c)
    paths = forecast([plan_of(night)], ahead)
    inside_c = np.percentile(paths.indoor_c[0], (5, 50, 95), axis=0).T
    hours = np.array([(at - night.bed) / timedelta(hours=1) for at in paths.times])
    return {"hours": hours, "inside_c": inside_c, "fire": np.asarray(paths.burning[0], dtype=np.int64)}


def _low_said(then: Known, night: PastNight) -> float | None:
    return low_said(then, at=night.bed, bed=night.bed)


def _plan_key(night: PastNight) -> str:
    return ";".join(
        f"{e.at.isoformat()} " + " ".join(str(getattr(e, name)) for name in PLAN_FIELDS)
        for e in plan_of(night)
    )
