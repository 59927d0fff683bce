"""One evening's question, and one plan's paths turned into a choice with the facts its words need."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Protocol

import numpy as np

from logbook.heat import ranking
from logbook.heat.candidates import Plan, Put, Size, entries_of, tried_cap_kg
from logbook.heat.cautions import FREEZING_IN_ROOM_C, Facts
from logbook.heat.past_nights import PLAN_BEFORE, PLAN_WITHIN, PastNight
from logbook.heat.ranking import FloatArray
from logbook.heat.reasons import likeness, untried_parts
from logbook.heat.versions import description_at, stove_since
from logbook.heat.wood import pile_dry_share
from logbook.records import MAIN_PLACE, Coals, DatedDescription, Description, Entry, Window
from logbook.results.night import Choice, PlannedLoad, Why

if TYPE_CHECKING:
    from logbook.heat.night import Evening, Paths

OUT, WOOD = 0, 2
"""What ``Paths.fire`` says when nothing and when wood burns; 1 is coals only."""

COLD_OPEN_MINUTES = 22.0
"""How long the air stands wide open after lighting a dead stove, min. The contract's figure."""

START_READ_WITHIN = timedelta(hours=3)
"""A reading this recent is the temperature of the evening. ASSUMED."""


class Forecast(Protocol):
    """Plans and the night ahead -> paths; everything else is bound in by the caller."""

    def __call__(self, plans: Sequence[tuple[Entry, ...]], night: Evening, *, rough: bool = False) -> Paths:
        """Run the plans. ``rough``: with fewer draws, good enough to leave out what is far behind."""


@dataclass(frozen=True, kw_only=True)
class Question:
    """What is asked for an evening, and from what it is to be answered.

    ``entries`` are those known at ``night.as_of``; ``nights`` the past nights among them. With
    ``flue_blocked`` (a nest in the cap) no choice has any wood.
    """

    night: Evening
    band_c: tuple[float, float]
    gets_up: bool
    descriptions: Sequence[DatedDescription]
    entries: Sequence[Entry]
    nights: Sequence[PastNight]
    forecast: Forecast
    flue_blocked: bool = False

    @property
    def description(self) -> Description:
        """The description that holds tonight."""
        return description_at(self.descriptions, self.night.as_of).description

    @property
    def start(self) -> datetime:
        """Bed, or the time of asking when that is later."""
        bed, as_of = self.night.bed, self.night.as_of
        return bed if bed >= as_of else as_of


@dataclass(frozen=True)
class Beside:
    """Other plans of the same evening with their figures, to say what a little more or less would change."""

    plans: Sequence[Plan]
    figures: ranking.Figures

    def change_at_wake_k(self, plan: Plan, other: Plan) -> float | None:
        """From one plan to another, K at waking; None when one of them is not here."""
        if plan not in self.plans or other not in self.plans:
            return None
        wake = self.figures.wake[:, 1]
        return float(wake[self.plans.index(other)] - wake[self.plans.index(plan)])

    def with_more_wood(self, plan: Plan) -> Plan | None:
        """The plan with the next bigger single load, all else the same."""
        if len(plan.loads) != 1:
            return None
        like = [p for p in self.plans if len(p.loads) == 1 and p.wood_kg > plan.wood_kg + 1e-9]
        same = [p for p in like if replace(p, loads=()) == replace(plan, loads=())]
        same = [p for p in same if p.loads[0].at == plan.loads[0].at]
        return min(same, key=lambda p: p.wood_kg, default=None)


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """One choice with what its words need: why, the facts its cautions look at, and what burns when.

    ``choice`` has no reasons and cautions yet. ``burning`` is what burns at each of ``choice.hours``,
    ``outdoor_c`` the outdoor temperature taken then; guessed when neither reading nor forecast says it.
    """

    choice: Choice
    why: Why
    facts: Facts
    burning: tuple[int, ...]
    plan: tuple[Entry, ...]
    outdoor_c: tuple[float, ...]
    outdoor_guessed: bool


def left_as_weighed_kg(description: Description, paths: Paths) -> FloatArray:
    """Wood and charcoal left in the stove as if weighed in, kg; axes (plan, time), middle of the draws."""
    return np.asarray(paths.left_kg_dry, dtype=float) / pile_dry_share(description.wood)


def standing_air_pct(entries: Sequence[Entry]) -> float:
    """The air as last written, per cent open; shut when it was never written."""
    return written_air_pct(entries) or 0.0


def written_air_pct(entries: Sequence[Entry]) -> float | None:
    """The air as last written, per cent open; None when it never was. Entries in order of time."""
    return next((e.air_open_pct for e in reversed(entries) if e.air_open_pct is not None), None)


def written_damper_pct(entries: Sequence[Entry]) -> float | None:
    """The flue damper likewise."""
    return next(
        (e.flue_damper_open_pct for e in reversed(entries) if e.flue_damper_open_pct is not None), None
    )


def said_out(entries: Sequence[Entry]) -> bool:
    """Whether the stove was found out, by what was last written of its fire; entries in order of time.

    Who looked into the stove is believed when it comes to lighting it; what is warned of goes by the draws.
    """
    for e in reversed(entries):
        if e.load_kg or e.kindling:
            return False
        if e.fire_out or e.coals is not None:
            return e.fire_out or e.coals is Coals.NONE
    return False


def loads_of_this_stove(question: Question) -> tuple[float, ...]:
    """Every load recorded since this stove stands there, kg as weighed."""
    since = stove_since(question.descriptions, question.night.as_of)
    return tuple(e.load_kg for e in question.entries if e.load_kg and (since is None or e.at >= since))


def plan_entries(plan: Plan, question: Question) -> tuple[Entry, ...]:
    """A plan as the entries the forecast takes."""
    return entries_of(
        plan,
        as_of=question.night.as_of,
        bed=question.night.bed,
        air_up_pct=air_to_put_up_pct(
            question.entries, clean_floor_pct=question.description.stove.clean_floor_open_pct
        ),
    )


def air_to_put_up_pct(entries: Sequence[Entry], *, clean_floor_pct: float) -> float | None:
    """The clean floor where the air was written down below it; None where it stands clean or was never
    written."""
    stands = written_air_pct(entries)
    return clean_floor_pct if stands is not None and stands < clean_floor_pct else None


def plan_figures(question: Question, paths: Paths) -> ranking.Figures:
    """Figures of every plan of the paths, for the span and band of the question."""
    night = question.night
    return ranking.figures(
        np.asarray(paths.indoor_c, dtype=np.float64),
        paths.times,
        as_of=night.as_of,
        bed=night.bed,
        wake=night.wake,
        band_c=question.band_c,
    )


def outcome(
    question: Question,
    plan: Plan,
    paths: Paths,
    got: ranking.Figures,
    i: int,
    *,
    beside: Beside | None,
    colder_k: float | None,
) -> Outcome:
    """One plan's outcome.

    Args:
        question: The evening.
        plan: The plan.
        paths: Paths with this plan among others.
        got: Their figures.
        i: Which of them this plan is.
        beside: Other plans to say what would change, if any.
        colder_k: Change at waking on a colder night, K, if known.
    """
    up = ranking.gets_somebody_up(plan, question.start)
    night = as_a_night(plan, question)
    untried = untried_parts(night, question.nights, in_the_night=up)
    more = beside.with_more_wood(plan) if beside else None
    cracked = replace(plan, window=Window.CRACKED) if plan.window is Window.SHUT else None
    why = Why(
        nights=len(question.nights),
        like=likeness(
            night,
            question.nights,
            in_the_night=up,
            start_c=_start_c(question),
            outdoor_low_c=question.night.night_low_c,
        ),
        colder_outside_k=colder_k,
        window_cracked_k=beside.change_at_wake_k(plan, cracked) if beside and cracked else None,
        more_wood_k=beside.change_at_wake_k(plan, more) if beside and more else None,
        more_wood_pieces=more.loads[0].size.pieces if more else "",
        more_wood_kg=more.wood_kg if more else 0.0,
        untried=untried,
    )
    return Outcome(
        choice=_choice(question, plan, paths, got, i, untried=bool(untried)),
        why=why,
        facts=_facts(question, plan, paths, got, i),
        burning=tuple(int(f) for f in paths.burning[i]),
        plan=plan_entries(plan, question),
        outdoor_c=tuple(float(c) for c in paths.outdoor_c),
        outdoor_guessed=paths.outdoor_guessed,
    )


def as_a_night(plan: Plan, question: Question) -> Plan:
    """The plan as its night will be told one day: with the wood that went in shortly before bed already.

    Without it "no more wood" an hour after the night's load was a night without fire, never tried.
    """
    bed = question.night.bed
    since, until = bed - PLAN_BEFORE, min(bed + PLAN_WITHIN, question.night.as_of)
    laid = (
        Put(e.at, Size(e.load_kg, e.pieces or ""), plan.air_open_pct)
        for e in question.entries
        if e.load_kg and since <= e.at <= until
    )
    return replace(plan, loads=(*laid, *plan.loads))


def open_minutes(description: Description, *, kindling: bool) -> float:
    """How long the air stands wide after a load, min: longer where it was lit."""
    usual = description.stove.open_minutes
    return max(COLD_OPEN_MINUTES, usual) if kindling else usual


def planned_loads(plan: Plan, description: Description) -> tuple[PlannedLoad, ...]:
    """A plan's loads as an answer tells them: dry mass by the usual wood, air wide longer when lit cold."""
    share = pile_dry_share(description.wood)
    return tuple(
        PlannedLoad(
            at=put.at,
            kg=put.size.kg,
            kg_dry=put.size.kg * share,
            pieces=put.size.pieces,
            air_open_pct=put.air_open_pct,
            open_minutes=open_minutes(description, kindling=put.kindling),
            kindling=put.kindling,
        )
        for put in plan.loads
    )


def _choice(
    question: Question, plan: Plan, paths: Paths, got: ranking.Figures, i: int, *, untried: bool
) -> Choice:
    middle = np.percentile(paths.indoor_c[i], (5, 50, 95), axis=0)
    p05, p50, p95 = (tuple(float(x) for x in row) for row in middle)
    return Choice(
        loads=planned_loads(plan, question.description),
        air_open_pct=plan.air_open_pct,
        window=plan.window,
        indoor_min_c=got.range_of(got.low, i),
        indoor_max_c=got.range_of(got.high, i),
        indoor_at_wake_c=got.range_of(got.wake, i),
        chance_in_band=float(got.chance_in_band[i]),
        degree_hours_outside=float(got.degree_hours[i]),
        wood_kg=plan.wood_kg,
        hours=tuple(paths.times),
        indoor_p05_c=p05,
        indoor_p50_c=p50,
        indoor_p95_c=p95,
        untried=untried,
        reasons=(),
        cautions=(),
    )


def _facts(question: Question, plan: Plan, paths: Paths, got: ranking.Figures, i: int) -> Facts:
    """What the safety rules look at, for a plan that keeps to its settled air."""
    description = question.description
    burns = bool(plan.loads) or bool(paths.may_glow[i].any())
    least = min([plan.air_open_pct, *(put.air_open_pct for put in plan.loads)])
    freezing = (paths.indoor_c[i].min(axis=1) <= FREEZING_IN_ROOM_C).mean()
    return Facts(
        clean_floor_pct=description.stove.clean_floor_open_pct,
        burns=burns,
        least_air_pct=least if burns else None,
        biggest_load_kg=max((put.size.kg for put in plan.loads), default=0.0),
        max_load_kg=description.stove.max_load_kg,
        tried_cap_kg=tried_cap_kg(loads_of_this_stove(question)),
        chance_too_hot=float(got.chance_too_hot[i]),
        load_in_the_night=ranking.gets_somebody_up(plan, question.start),
        cold_start=any(put.kindling for put in plan.loads),
        open_minutes=open_minutes(description, kindling=any(put.kindling for put in plan.loads)),
        no_load=not plan.loads,
        water_in=description.cabin.water == "in",
        chance_freezing=float(freezing),
        outdoor_low_c=float(np.min(paths.outdoor_c)),
        burns_now=bool(paths.may_glow[i, 0]),
    )


def _start_c(question: Question) -> float | None:
    as_of = question.night.as_of
    for e in reversed(question.entries):
        if e.indoor_c is not None and e.place == MAIN_PLACE:
            return e.indoor_c if as_of - e.at <= START_READ_WITHIN else None
    return None


def index_of(times: Sequence[datetime], at: datetime) -> int:
    """The first time at or after a moment; the last one beyond the end."""
    return next((i for i, t in enumerate(times) if t >= at), len(times) - 1)
