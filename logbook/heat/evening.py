"""An evening's question -> ranked choices, or what would come of exactly the plan given.

One forecast answers all candidates at once; before it a forecast of "no fire" tells how the stove stands,
and after it one of the few choices shown tells what a colder night would do. The forecast itself is handed
in, so that the choosing can be tested without it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from logbook.heat import ranking
from logbook.heat.candidates import Means, Plan, Put, Size, airs, candidates, cap_kg
from logbook.heat.cautions import Facts
from logbook.heat.outcome import (
    OUT,
    Beside,
    Outcome,
    Question,
    index_of,
    left_as_weighed_kg,
    loads_of_this_stove,
    outcome,
    plan_entries,
    plan_figures,
    standing_air_pct,
)
from logbook.heat.reasons import untried_parts
from logbook.records import Entry, Window

if TYPE_CHECKING:
    from logbook.heat.night import Paths

COLDER_K = 3.0
"""How much colder a night is tried, to say what the weather would change, K: twice a forecast's error."""

KEPT_OF_EACH_KIND, KEPT_TOO_HOT = 5, 2
"""Plans of each kind that get all draws after the rough look; fewer of those that get too hot."""

ROUGHLY_COOL = 0.03
"""With fewer draws, a plan under this chance of too hot a room counts as cool."""


def advise(question: Question) -> tuple[Outcome, ...]:
    """Four to six things to do tonight, the recommended one first, "no fire" always among them."""
    means = _means(question)
    used = [e.air_open_pct for e in question.entries if e.air_open_pct is not None]
    steps = airs(clean_floor_pct=means.clean_floor_pct, used_pct=used)
    tried = candidates(means, airs_pct=steps, gets_up=question.gets_up)
    kept, rough = _rough(question, tried)
    plans = [tried[i] for i in kept]
    paths = question.forecast([plan_entries(p, question) for p in plans], question.night)
    got = plan_figures(question, paths)
    untried = [bool(_untried(question, p)) for p in plans]
    ordered = ranking.order(
        plans,
        got,
        start=question.start,
        gets_up=question.gets_up,
        untried=untried,
        usable=_usable(question, plans, paths),
    )
    shown = ranking.worth_showing(ordered, plans, got, start=question.start)
    colder = _colder(question, [plans[i] for i in shown], rough)
    return tuple(
        outcome(question, plans[i], paths, got, i, beside=rough, colder_k=k)
        for i, k in zip(shown, colder, strict=True)
    )


def try_plan(question: Question, steps: Sequence[Entry]) -> Outcome:
    """What comes of exactly this plan, wise or not. The window starts shut unless the plan names one.

    Args:
        question: The evening.
        steps: The plan, as entries still to come; none: no fire.
    """
    named = any(e.window is not None and e.at <= question.start for e in steps)
    given = [] if named else [Entry(at=question.night.as_of, window=Window.SHUT)]
    entries = tuple(sorted([*given, *steps], key=lambda e: e.at))
    idle = _idle(question)
    paths = question.forecast([entries], question.night)
    plan = _plan_of(question, steps, idle)
    got = plan_figures(question, paths)
    out = outcome(question, plan, paths, got, 0, beside=None, colder_k=None)
    return replace(out, facts=_tried_facts(out.facts, question, entries, paths, idle), plan=entries)


def _idle(question: Question) -> Paths:
    """The night if nothing more is done: how the stove stands when."""
    nothing = (Entry(at=question.night.as_of, window=Window.SHUT),)
    return question.forecast([nothing], question.night, rough=True)


def _means(question: Question) -> Means:
    stove = question.description.stove
    night = question.night
    idle = _idle(question)
    at_start = index_of(idle.times, question.start)
    return Means(
        as_of=night.as_of,
        bed=night.bed,
        wake=night.wake,
        cap_kg=cap_kg(max_load_kg=stove.max_load_kg, loads_kg=loads_of_this_stove(question)),
        pieces_kg=question.description.wood.pieces_kg,
        clean_floor_pct=stove.clean_floor_open_pct,
        standing_air_pct=standing_air_pct(question.entries),
        dead_now=bool(idle.fire[0, 0] == OUT),
        dead_at_bed=bool(idle.fire[0, at_start] == OUT),
    )


def _rough(question: Question, plans: Sequence[Plan]) -> tuple[list[int], Beside]:
    """All plans with fewer draws: which are worth all of them, and all their figures to compare with.

    Of each kind the best few stay, and no fire always.
    """
    paths = question.forecast([plan_entries(p, question) for p in plans], question.night, rough=True)
    got = plan_figures(question, paths)
    usable = _usable(question, plans, paths) & ranking.worth_cracking(plans, got)
    taken: Counter[tuple[object, ...]] = Counter()
    kept = [i for i, plan in enumerate(plans) if not plan.loads]
    for i in np.argsort(got.degree_hours, kind="stable").tolist():
        kind = ranking.kind_of(plans[i], question.start)
        cool = got.chance_too_hot[i] < ROUGHLY_COOL
        if plans[i].loads and usable[i] and taken[kind, cool] < (KEPT_OF_EACH_KIND if cool else KEPT_TOO_HOT):
            taken[kind, cool] += 1
            kept.append(i)
    return sorted(kept), Beside(plans, got)


def _usable(question: Question, plans: Sequence[Plan], paths: Paths) -> NDArray[np.bool_]:
    """Which plans fit the firebox and put no wood on a dead stove without kindling: nobody lights a fire in
    the night."""
    usable = ranking.fitting(
        plans,
        left_as_weighed_kg(question.description, paths),
        paths.times,
        max_load_kg=question.description.stove.max_load_kg,
    )
    for i, plan in enumerate(plans):
        for put in plan.loads:
            if not put.kindling and put.at > paths.times[0]:
                usable[i] &= bool(paths.fire[i, max(0, index_of(paths.times, put.at) - 1)] > OUT)
    return usable


def _untried(question: Question, plan: Plan) -> tuple[object, ...]:
    up = ranking.gets_somebody_up(plan, question.start)
    return untried_parts(plan, question.nights, in_the_night=up)


def _colder(question: Question, plans: Sequence[Plan], rough: Beside) -> list[float | None]:
    """Change at waking if the night is ``COLDER_K`` colder, K; None where only the season is known.

    Both from the rough look: the same draws stand on both sides of the difference.
    """
    night = question.night
    if night.night_low_c is None and not night.outdoor:
        return [None] * len(plans)
    low = None if night.night_low_c is None else night.night_low_c - COLDER_K
    colder = replace(night, night_low_c=low, outdoor=tuple((t, c - COLDER_K) for t, c in night.outdoor))
    paths = question.forecast([plan_entries(p, question) for p in plans], colder, rough=True)
    then = plan_figures(question, paths).wake[:, 1]
    before = [rough.figures.wake[rough.plans.index(plan), 1] for plan in plans]
    return [float(after - was) for after, was in zip(then, before, strict=True)]


def _tried_facts(
    facts: Facts, question: Question, entries: Sequence[Entry], paths: Paths, idle: Paths
) -> Facts:
    """The same facts, with what the steps of a tried plan do while something burns, and what does not fit."""
    air = [e.air_open_pct for e in entries if e.air_open_pct is not None and _burns(paths, e, 0)]
    standing = standing_air_pct(question.entries)
    if facts.burns and not any(e.air_open_pct is not None and e.at <= question.start for e in entries):
        air.append(standing)
    damper = [
        e.flue_damper_open_pct
        for e in entries
        if e.flue_damper_open_pct is not None and e.flue_damper_open_pct < 100 and _burns(paths, e, 0)
    ]
    left = left_as_weighed_kg(question.description, paths)
    stands = float(left_as_weighed_kg(question.description, idle)[0, 0])
    over = 0.0
    for e in entries:
        if e.load_kg:
            i = index_of(paths.times, e.at)
            before = float(left[0, i - 1]) if i else stands
            over = max(over, before + e.load_kg - facts.max_load_kg)
    return replace(
        facts,
        least_air_pct=min(air) if air else None,
        least_damper_pct=min(damper) if damper else None,
        overfilled_kg=over,
        own_turn_down=any(e.air_open_pct is not None and not e.load_kg for e in entries),
    )


def _burns(paths: Paths, entry: Entry, plan: int) -> bool:
    """Whether wood or coals are in the stove when a step is taken, or the step itself puts wood in."""
    return bool(entry.load_kg) or bool(paths.fire[plan, index_of(paths.times, entry.at)] > OUT)


def _plan_of(question: Question, steps: Sequence[Entry], idle: Paths) -> Plan:
    """Entries of a tried plan as a plan: its loads with the air they settle at, its last air, its window.

    The first load on a stove that is dead by then is lit with kindling, said or not.
    """
    air = standing_air_pct(question.entries)
    puts: list[Put] = []
    for e in sorted(steps, key=lambda e: e.at):
        air = air if e.air_open_pct is None else e.air_open_pct
        if e.load_kg:
            dead = not puts and idle.fire[0, index_of(idle.times, e.at)] == OUT
            puts.append(Put(e.at, Size(e.load_kg, e.pieces or ""), air, e.kindling or bool(dead)))
    windows = [e.window for e in sorted(steps, key=lambda e: e.at) if e.window is not None]
    return Plan(tuple(puts), air, windows[-1] if windows else Window.SHUT)
