"""An evening's question -> ranked choices, or what would come of exactly the plan given.

A forecast of "no fire" tells how the stove stands; two or three rough looks, each closer around what the one
before found good, pick the plans worth all draws; one forecast answers these; one of the few choices shown
tells what a colder night would do. The forecast itself is handed in, so that the choosing can be tested
without it.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import IntEnum
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from logbook.heat import closer, ranking
from logbook.heat.candidates import Means, Plan, Put, Size, airs, candidates, cap_kg
from logbook.heat.cautions import TOO_HOT_CHANCE, Facts
from logbook.heat.outcome import (
    OUT,
    Beside,
    Outcome,
    Question,
    as_a_night,
    index_of,
    left_as_weighed_kg,
    loads_of_this_stove,
    outcome,
    plan_entries,
    plan_figures,
    said_out,
    standing_air_pct,
    written_damper_pct,
)
from logbook.heat.reasons import untried_parts
from logbook.records import Entry, Window

if TYPE_CHECKING:
    from logbook.heat.night import Paths

COLDER_K = 3.0
"""How much colder a night is tried, to say what the weather would change, K: twice a forecast's error."""


class Heat(IntEnum):
    """Whether a plan keeps the room under the limit, as far as a rough look tells."""

    COOL = 0
    DOUBTFUL = 1
    HOT = 2


KEPT = {Heat.COOL: 2, Heat.DOUBTFUL: 2, Heat.HOT: 1}
"""Plans of each kind that get all draws after the rough looks."""

KEPT_OTHERS = 1
"""So many more of each kind if an owner would call them different."""

LOOKED_AROUND = 2
"""The best so many plans of each kind are looked around."""

FULLY_OPEN_PCT = 99.5
"""A damper below this is being closed, per cent open."""

SURELY_COOL, SURELY_HOT = 0.03, 0.10
"""With a hundred draws, a plan under this chance of too hot a room counts as cool; over that, as hot."""


@dataclass(frozen=True)
class Looked:
    """Plans looked at with fewer draws, and which of them can be done."""

    beside: Beside
    usable: NDArray[np.bool_]

    def heat(self, i: int) -> Heat:
        """Whether a plan keeps the room under the limit once it has settled."""
        chance = self.beside.figures.chance_too_hot[i]
        return Heat.COOL if chance < SURELY_COOL else Heat.DOUBTFUL if chance < SURELY_HOT else Heat.HOT

    def best_first(self) -> list[int]:
        """The plans that can be done: the cool ones by their cost, those cool the whole night before others;
        then the doubtful ones likewise; then the hot ones, the least likely to be first."""
        got = self.beside.figures
        heat = np.array([self.heat(i) for i in range(len(self.usable))])
        cost = np.where(heat == Heat.HOT, got.chance_too_hot, got.degree_hours)
        ordered: list[int] = np.lexsort((cost, got.asleep_too_hot >= TOO_HOT_CHANCE, heat)).tolist()
        return [i for i in ordered if self.usable[i]]

    def and_also(self, more: Looked) -> Looked:
        """Both together."""
        plans = (*self.beside.plans, *more.beside.plans)
        figures = self.beside.figures.and_also(more.beside.figures)
        return Looked(Beside(plans, figures), np.concatenate([self.usable, more.usable]))

    def but_first(self) -> Looked:
        """All but the first plan."""
        return Looked(Beside(self.beside.plans[1:], self.beside.figures.but_first()), self.usable[1:])


def advise(question: Question) -> tuple[Outcome, ...]:
    """Four to six things to do tonight, the recommended one first, "no fire" always among them."""
    means = _means(question)
    used = [e.air_open_pct for e in question.entries if e.air_open_pct is not None]
    steps = airs(clean_floor_pct=means.clean_floor_pct, used_pct=used)
    rough = _rough(question, means, steps)
    plans = _worth_all_draws(question, rough)
    paths = question.forecast([plan_entries(p, question) for p in plans], question.night)
    got = plan_figures(question, paths)
    untried = [bool(_untried(question, p)) for p in plans]
    ordered = ranking.order(
        plans,
        got,
        start=question.start,
        gets_up=question.gets_up,
        untried=untried,
        usable=_usable(question, plans, paths) & ranking.worth_cracking(plans, got),
        high_c=question.band_c[1],
    )
    shown = ranking.worth_showing(ordered, plans, got, start=question.start)
    colder = _colder(question, [plans[i] for i in shown], rough.beside)
    return tuple(
        outcome(question, plans[i], paths, got, i, beside=rough.beside, colder_k=k)
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
    out = said_out(question.entries)
    return Means(
        as_of=night.as_of,
        bed=night.bed,
        wake=night.wake,
        cap_kg=0.0
        if question.flue_blocked
        else cap_kg(max_load_kg=stove.max_load_kg, loads_kg=loads_of_this_stove(question)),
        pieces_kg=question.description.wood.pieces_kg,
        clean_floor_pct=stove.clean_floor_open_pct,
        standing_air_pct=standing_air_pct(question.entries),
        dead_now=out or bool(idle.fire[0, 0] == OUT),
        dead_at_bed=out or bool(idle.fire[0, at_start] == OUT),
    )


def _rough(question: Question, means: Means, airs_pct: Sequence[float]) -> Looked:
    """Plans looked at with fewer draws: first far apart, then around the best of each kind."""
    looked = _look(question, candidates(means, airs_pct=airs_pct, gets_up=question.gets_up))
    fine = closer.fine_sizes(means)
    for best_of, reach in ((LOOKED_AROUND, closer.SECOND_LOOK), (1, closer.THIRD_LOOK)):
        best = _best_of_each_kind(question, looked, best_of)
        if reach is closer.THIRD_LOOK:  # only two loads have so many sizes and times that it gains
            best = best[:1] if question.gets_up else []
        near = closer.around(best, means, fine=fine, airs_pct=airs_pct, reach=reach)
        seen = set(looked.beside.plans)
        more = [plan for plan in near if plan not in seen]
        if more:
            looked = looked.and_also(_look(question, [looked.beside.plans[0], *more]).but_first())
    return looked


def _look(question: Question, plans: Sequence[Plan]) -> Looked:
    """A rough look at plans; the first is "no fire", which tells what is left in the stove now."""
    paths = question.forecast([plan_entries(p, question) for p in plans], question.night, rough=True)
    return Looked(Beside(tuple(plans), plan_figures(question, paths)), _usable(question, plans, paths))


def _best_of_each_kind(question: Question, looked: Looked, most: int) -> list[Plan]:
    """The best plans of each kind, one of a kind that can't be first; hot ones only where all are."""
    taken: Counter[tuple[object, ...]] = Counter()
    with_loads = [i for i in looked.best_first() if looked.beside.plans[i].loads]
    best = []
    for i in with_loads:
        plan = looked.beside.plans[i]
        kind = ranking.kind_of(plan, question.start)
        wanted = question.gets_up or not ranking.gets_somebody_up(plan, question.start)
        as_cool = looked.heat(i) < Heat.HOT or looked.heat(with_loads[0]) == Heat.HOT
        if as_cool and taken[kind] < (most if wanted else 1):
            taken[kind] += 1
            best.append(plan)
    return best


def _worth_all_draws(question: Question, looked: Looked) -> list[Plan]:
    """Of each kind the best few and a few others; always the first, "no fire" with all as it stands."""
    plans = looked.beside.plans
    worth = ranking.worth_cracking(plans, looked.beside.figures)
    # The one thing left to do in a room that is warm without a fire: all draws decide.
    airing = replace(plans[0], window=Window.CRACKED)
    worth |= [plan == airing for plan in plans]
    taken: Counter[tuple[object, ...]] = Counter()
    kept: dict[tuple[object, ...], list[Plan]] = {}
    for i in looked.best_first():
        plan, kind, heat = plans[i], ranking.kind_of(plans[i], question.start), looked.heat(i)
        most, alike = KEPT[heat], kept.setdefault(kind, [])
        full = taken[kind, heat] >= most + KEPT_OTHERS
        if full or i == 0 or not worth[i]:
            continue
        if taken[kind, heat] < most or all(ranking.differ(plan, p) for p in alike):
            taken[kind, heat] += 1
            alike.append(plan)
    return [plans[0], *itertools.chain.from_iterable(kept.values())]


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
    return untried_parts(as_a_night(plan, question), question.nights, in_the_night=up)


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
    moments = _burning_moments(entries, paths, start=question.night.as_of)
    air = standing_air_pct(question.entries)
    airs_then = [_set_at(entries, "air_open_pct", at, stands=air) for at in moments]
    damper = written_damper_pct(question.entries)
    dampers = [
        _set_at(entries, "flue_damper_open_pct", at, stands=100.0 if damper is None else damper)
        for at in moments
        if any(e.flue_damper_open_pct is not None for e in entries)
    ]
    closed = [pct for pct in dampers if pct < FULLY_OPEN_PCT]
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
        least_air_pct=min(airs_then, default=None),
        least_damper_pct=min(closed, default=None),
        overfilled_kg=over,
        own_turn_down=any(e.air_open_pct is not None and not e.load_kg for e in entries),
    )


def _burning_moments(entries: Sequence[Entry], paths: Paths, *, start: datetime) -> list[datetime]:
    """When something may burn or glow in the course of the one plan, and when wood goes in."""
    glows = paths.may_glow[0]
    glowing = [max(at, start) for at, may in zip(paths.times, glows, strict=True) if may]
    steps = [e.at for e in entries if e.load_kg or glows[index_of(paths.times, e.at)]]
    return [*glowing, *steps]


def _set_at(entries: Sequence[Entry], name: str, at: datetime, *, stands: float) -> float:
    """Where a lever stands at a moment: as a step set it last, else as it stands."""
    for e in reversed(entries):
        value: float | None = getattr(e, name)
        if value is not None and e.at <= at:
            return value
    return stands


def _plan_of(question: Question, steps: Sequence[Entry], idle: Paths) -> Plan:
    """Entries of a tried plan as a plan: its loads with the air they settle at, its last air, its window.

    The first load on a stove that is dead by then is lit with kindling, said or not.
    """
    air, out = standing_air_pct(question.entries), said_out(question.entries)
    puts: list[Put] = []
    for e in sorted(steps, key=lambda e: e.at):
        air = air if e.air_open_pct is None else e.air_open_pct
        if e.load_kg:
            dead = not puts and (out or idle.fire[0, index_of(idle.times, e.at)] == OUT)
            puts.append(Put(e.at, Size(e.load_kg, e.pieces or ""), air, e.kindling or bool(dead)))
    windows = [e.window for e in sorted(steps, key=lambda e: e.at) if e.window is not None]
    return Plan(tuple(puts), air, windows[-1] if windows else Window.SHUT)
