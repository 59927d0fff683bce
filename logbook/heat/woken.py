"""Awake in the night: let it burn, open the window, or lay in a little more; what each gives by morning.

The evening's own forecast, rules and ranking with now as the start: whoever asks is up, so wood can go in
now, and a load asks for staying up until it burns well.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from logbook.heat import ranking
from logbook.heat.candidates import Plan, Put, airs, cap_kg, sizes
from logbook.heat.outcome import (
    OUT,
    Outcome,
    Question,
    as_a_night,
    left_as_weighed_kg,
    loads_of_this_stove,
    outcome,
    plan_entries,
    plan_figures,
    said_out,
    standing_air_pct,
)
from logbook.heat.reasons import untried_parts
from logbook.records import Entry, Window
from logbook.results.journeys import Awake

SMALL_SHARE = 0.6
"""Loads laid in half asleep stay at or under this share of the cap. ASSUMED."""

SIZES = 6
"""Sizes of the load that are tried. ASSUMED: finer steps differ by less than the range."""


@dataclass(frozen=True, kw_only=True)
class Woken:
    """The best of each kind, best first, with its outcome."""

    kinds: tuple[Awake, ...]
    outcomes: tuple[Outcome, ...]


def woken(question: Question) -> Woken:
    """What can be done now. ``question.night.bed`` must lie behind ``as_of``, or at it."""
    plans = plans_now(question, dead=_dead(question))
    paths = question.forecast([plan_entries(p, question) for p in plans], question.night)
    got = plan_figures(question, paths)
    usable = ranking.fitting(
        plans,
        left_as_weighed_kg(question.description, paths),
        paths.times,
        max_load_kg=question.description.stove.max_load_kg,
    )
    untried = [
        bool(untried_parts(as_a_night(p, question), question.nights, in_the_night=bool(p.loads)))
        for p in plans
    ]
    ordered = ranking.order(
        plans,
        got,
        start=question.start,
        gets_up=True,
        untried=untried,
        usable=usable,
        high_c=question.band_c[1],
    )
    best: dict[Awake, int] = {}
    for i in ordered:
        best.setdefault(kind_of(plans[i]), i)
    return Woken(
        kinds=tuple(best),
        outcomes=tuple(
            outcome(question, plans[i], paths, got, i, beside=None, colder_k=None) for i in best.values()
        ),
    )


def kind_of(plan: Plan) -> Awake:
    """Which of the three a plan is."""
    if plan.loads:
        return Awake.RELOAD
    return Awake.LET if plan.window is Window.SHUT else Awake.WINDOW


def plans_now(question: Question, *, dead: bool) -> tuple[Plan, ...]:
    """No more wood with the window shut, cracked or open; a small load now with clean air.

    Air standing below the clean floor is put up to it.
    """
    stove = question.description.stove
    standing = standing_air_pct(question.entries)
    below = standing < stove.clean_floor_open_pct
    air = stove.clean_floor_open_pct if below else standing
    plans = [Plan((), air, w, names_air=below) for w in (Window.SHUT, Window.CRACKED, Window.OPEN)]
    cap = cap_kg(max_load_kg=stove.max_load_kg, loads_kg=loads_of_this_stove(question))
    cap = 0.0 if question.flue_blocked else cap
    offered = sizes(cap_kg=cap, pieces_kg=question.description.wood.pieces_kg, most=SIZES)
    small = [s for s in offered if s.kg <= SMALL_SHARE * cap] or list(offered[:1])
    used = [e.air_open_pct for e in question.entries if e.air_open_pct is not None]
    steps = airs(clean_floor_pct=stove.clean_floor_open_pct, used_pct=used)[:2]
    now = question.night.as_of
    plans += [Plan((Put(now, s, a, dead),), a, Window.SHUT) for s in small for a in steps]
    return tuple(plans)


def _dead(question: Question) -> bool:
    if said_out(question.entries):
        return True
    as_of = question.night.as_of
    idle: Sequence[tuple[Entry, ...]] = [(Entry(at=as_of, window=Window.SHUT),)]
    return bool(question.forecast(idle, question.night, rough=True).fire[0, 0] == OUT)
