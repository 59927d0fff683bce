"""What a choice rests on in the owner's own nights, and what of it was never done here."""

from __future__ import annotations

from collections.abc import Sequence

from logbook.heat.candidates import Plan
from logbook.heat.past_nights import PastNight
from logbook.records import Window
from logbook.results.night import LikeNight, Untried

LIKE_LOAD_SHARE, LIKE_LOAD_LEAST_KG = 0.25, 0.5
"""Loads within a quarter, or half a kilogram, are alike. ASSUMED."""

LIKE_AIR_PCT = 12.0
"""Air within an eighth of the lever is alike, points. ASSUMED."""

LIKE_OUTDOOR_K, LIKE_START_K = 5.0, 4.0
"""Nights and evenings this near in temperature are alike, K. ASSUMED."""

SAME_LOAD_SHARE = 1.05
"""A load up to 5 % over the largest one of any night is no bigger: the scale's own error."""

MOST_LIKE = 3
"""Nights named as alike, at most. ASSUMED: more are not read."""


def likeness(
    plan: Plan,
    nights: Sequence[PastNight],
    *,
    in_the_night: bool,
    start_c: float | None,
    outdoor_low_c: float | None,
) -> tuple[LikeNight, ...]:
    """The nights lived that are like this plan, the nearest first, at most three. Often none.

    Alike in the wood of the evening and its air; near in outdoor low and start temperature where both
    are known. Only nights whose waking was read; a night with a load in it is like such a plan only.
    """
    scored = []
    for night in nights:
        if night.woke_c is None or bool(night.loads_after) != in_the_night:
            continue
        apart = _apart(plan, night, start_c=start_c, outdoor_low_c=outdoor_low_c)
        if apart is not None:
            scored.append((apart, -night.bed.timestamp(), night))
    scored.sort(key=lambda s: s[:2])
    return tuple(_like(night) for _, _, night in scored[:MOST_LIKE])


def untried_parts(plan: Plan, nights: Sequence[PastNight], *, in_the_night: bool) -> tuple[Untried, ...]:
    """What of a plan goes beyond every night on record; empty when it lies within what was done."""
    if not nights:
        return (Untried.NO_NIGHTS,)
    if not plan.loads:
        parts = [] if any(n.load_kg == 0 for n in nights) else [Untried.NO_FIRE]
    else:
        parts = _untried_load(plan, nights, in_the_night=in_the_night)
    if plan.window is not Window.SHUT and not any(n.window is not Window.SHUT for n in nights):
        parts.append(Untried.WINDOW_CRACKED)
    return tuple(parts)


def _untried_load(plan: Plan, nights: Sequence[PastNight], *, in_the_night: bool) -> list[Untried]:
    if not any(n.load_kg for n in nights):
        return [Untried.FIRST_LOAD]
    parts = []
    if max(put.size.kg for put in plan.loads) > SAME_LOAD_SHARE * max(n.load_kg for n in nights):
        parts.append(Untried.BIGGER_LOAD)
    used = [n.air_open_pct for n in nights if n.load_kg > 0 and n.air_open_pct is not None]
    if used and plan.air_open_pct < min(used) - 1:
        parts.append(Untried.LESS_AIR)
    if used and plan.air_open_pct > max(used) + 1:
        parts.append(Untried.MORE_AIR)
    if in_the_night and not any(n.loads_after for n in nights):
        parts.append(Untried.LOAD_IN_THE_NIGHT)
    return parts


def _apart(
    plan: Plan, night: PastNight, *, start_c: float | None, outdoor_low_c: float | None
) -> float | None:
    """How far a night is from a plan, 0 the same; None when they are not alike."""
    wood_apart = abs(plan.wood_kg - night.load_kg - night.load_after_kg) / max(
        LIKE_LOAD_LEAST_KG, LIKE_LOAD_SHARE * plan.wood_kg
    )
    parts = [wood_apart]
    if plan.loads and night.air_open_pct is not None:
        parts.append(abs(plan.air_open_pct - night.air_open_pct) / LIKE_AIR_PCT)
    if outdoor_low_c is not None and night.outdoor_low_c is not None:
        parts.append(abs(outdoor_low_c - night.outdoor_low_c) / LIKE_OUTDOOR_K)
    if start_c is not None and night.start_c is not None:
        parts.append(abs(start_c - night.start_c) / LIKE_START_K)
    other_window = (plan.window is Window.SHUT) != (night.window is Window.SHUT)
    if other_window or max(parts) > 1:
        return None
    return float(sum(p * p for p in parts))


def _like(night: PastNight) -> LikeNight:
    assert night.woke_c is not None
    return LikeNight(
        bed=night.bed,
        load_kg=night.load_kg + night.load_after_kg,
        pieces=night.pieces,
        air_open_pct=night.air_open_pct if night.load_kg > 0 else None,
        window=night.window,
        start_c=night.start_c,
        outdoor_low_c=night.outdoor_low_c,
        woke_c=night.woke_c,
    )
