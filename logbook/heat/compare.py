"""Did it help? Before and after a dated change, from the joint model of the stays on both sides.

Weather, wind, loads, windows and the stove are accounted for because they are in the model; the change has a
factor of its own on the heat loss. What came between the same two stays can't be told apart and is said.
A moved thermometer, a rescaled lever or a new gasket has its own factor too, and is taken out, not scored.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta, tzinfo

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.cabin import steady_loss_w_per_k
from logbook.heat.fit import draw, prepare, starts, useful_stays
from logbook.heat.mode import find_modes
from logbook.heat.model import Batch, batch, simulate
from logbook.heat.notebook import Stay, stays
from logbook.heat.past_nights import at_local
from logbook.heat.priors import (
    CHANGE_SD,
    UNKNOWNS,
    Change,
    ChangeKind,
    Frame,
    change_kind,
    heat_of_wood_mj_per_kg,
    network,
)
from logbook.heat.summary import range_of
from logbook.heat.verdict import FIRST_NIGHT_VARIANCE, Judged, judge, more_nights
from logbook.heat.wood import pile_dry_share
from logbook.records import DatedDescription, Entry
from logbook.results.night import Range
from logbook.results.works import ChangeAnswer, Touched, Verdict

STAYS_EACH_SIDE = 16
"""Stays looked at on either side of a change, the nearest. ASSUMED: a winter; more add little."""

SETTLING = timedelta(hours=3)
"""A change this near to the beginning or end of a stay belongs to that edge; in between the stay is a
mixture and is left out. ASSUMED."""

WEEKEND_H = 48.0
"""A usual weekend, h: Friday evening to Sunday evening. Definition."""

STAY_LOG_SD, SLAB_STAY_LOG_SD = 0.05, 0.14
"""What the heat loss of one stay is off that of the cabin, log, beyond the model's own effects: snow on the
roof, shutters, damp. ASSUMED, below the 7 % to which whole-house figures repeat (19 homes, see ``summary``).
On a slab the ground is warm in autumn and cold in spring: a simulated cabin on one seemed 16-20 % worse in
spring for nothing, where four others, logs included, stayed within 9 %."""

SMALL_HOURS = time(4)
"""A stay that holds this hour holds that night. Definition."""


@dataclass(frozen=True)
class Window:
    """The stays one joint fit looks at, and the changes with stays on both sides of them."""

    used: tuple[Stay, ...]
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class WindowFit:
    """Equally weighted draws of a window's unknowns, axes (draw, number), and their mode."""

    z: FloatArray
    mode: FloatArray


def dated_changes(entries: Sequence[Entry], *, as_of: datetime) -> tuple[Change, ...]:
    """Every change on record by then, oldest first."""
    named = [Change(e.change, e.at, change_kind(e.change)) for e in entries if e.change and e.at <= as_of]
    return tuple(sorted(named, key=lambda c: c.at))


def told_stays(entries: Sequence[Entry], *, as_of: datetime) -> tuple[Stay, ...]:
    """Stays with readings, all of them."""
    return useful_stays(stays(entries, until=as_of), None)


def mixed(stay: Stay, change: Change) -> bool:
    """Whether a change was made in the middle of a stay."""
    return stay.start + SETTLING < change.at < stay.end - SETTLING


def settled(change: Change, told: Sequence[Stay]) -> Change:
    """The change, dated to the beginning of the stay it was made just after the beginning of."""
    for stay in told:
        if stay.start < change.at <= stay.start + SETTLING:
            return replace(change, at=stay.start)
    return change


def window(change: Change, *, told: Sequence[Stay], changes: Sequence[Change]) -> Window | None:
    """The stays around a change, and all changes among them; None when one side has no stay."""
    clean = [s for s in told if not any(mixed(s, c) for c in changes)]
    moved = [settled(c, clean) for c in changes]
    at = settled(change, clean).at
    before = [s for s in clean if s.start < at][-STAYS_EACH_SIDE:]
    after = [s for s in clean if s.start >= at][:STAYS_EACH_SIDE]
    if not before or not after:
        return None
    used = (*before, *after)
    inside = tuple(c for c in moved if used[0].start < c.at <= used[-1].start)
    return Window(used=used, changes=inside)


def learn_window(
    w: Window,
    *,
    descriptions: Sequence[DatedDescription],
    rng: np.random.Generator,
    last: FloatArray | None = None,
    draws: int = 400,
) -> WindowFit:
    """The joint fit of a window; ``last`` is a mode known from elsewhere, to start from."""
    b = prepare(w.used, descriptions=descriptions, changes=w.changes)
    size = len(UNKNOWNS) + len(w.changes)
    modes = find_modes(b, starts(size, last))
    best = max(modes, key=lambda m: m.log_evidence)
    z, _, _ = draw(b, best, rng=rng, draws=draws)
    return WindowFit(z=z, mode=best.z)


def judged_change(
    change: Change,
    w: Window,
    fit: WindowFit,
    *,
    told: Sequence[Stay],
    descriptions: Sequence[DatedDescription],
    zone: tzinfo,
) -> ChangeAnswer:
    """What the fit of its window says of one change."""
    mine = settled(change, w.used)
    index = next(i for i, c in enumerate(w.changes) if c == mine)
    first = next(i for i, s in enumerate(w.used) if s.start >= mine.at)
    gap = [c for c in w.changes if _between(c, w.used[first - 1], w.used[first]) and c != mine]
    about = ChangeAnswer(
        name=change.name,
        since=change.at,
        touched=Touched(change.kind.value),
        nights_before=sum(nights_in(s, zone=zone) for s in w.used[:first]),
        nights_after=sum(nights_in(s, zone=zone) for s in w.used[first:]),
        together_with=tuple(c.name for c in gap if c.kind is mine.kind),
        taken_out=tuple(c.name for c in w.changes if c.kind is not ChangeKind.HEAT_LOSS and c != mine),
        stay_left_out=any(mixed(s, change) for s in told),
    )
    if mine.kind is not ChangeKind.HEAT_LOSS:
        own = CHANGE_SD[mine.kind] * fit.z[:, len(UNKNOWNS) + index]
        shown = own if mine.kind is ChangeKind.THERMOMETER else 100.0 * np.expm1(own)
        return replace(about, effect=range_of(shown))
    b = prepare(w.used, descriptions=descriptions, changes=w.changes)
    return _scored(about, b, fit, first)


def _between(change: Change, before: Stay, after: Stay) -> bool:
    return before.start < change.at <= after.start


def _scored(about: ChangeAnswer, b: Batch, fit: WindowFit, first: int) -> ChangeAnswer:
    """The answer with its figures; ``first`` is the first stay after the change."""
    loss = steady_loss_w_per_k(network(b.frame, fit.z))
    ratio = np.log(loss[:, first] / loss[:, first - 1])
    stays_after = len(b.scenarios) - first
    own_sd = math.hypot(float(ratio.std()), stay_log_sd(b) * math.sqrt(1.0 / first + 1.0 / stays_after))
    told = judge(
        mean=float(ratio.mean()),
        sd=own_sd,
        prior_sd=CHANGE_SD[ChangeKind.HEAT_LOSS] * math.sqrt(1.0 + len(about.together_with)),
        nights_before=max(about.nights_before, 1),
        nights_after=max(about.nights_after, 1),
        most_after=math.ceil(STAYS_EACH_SIDE * about.nights_after / stays_after),
    )
    spread = own_sd / max(float(ratio.std()), 1e-9)
    widened = ratio.mean() + (ratio - ratio.mean()) * spread
    warmer = _usual_difference_k(b, fit)
    saved = loss[:, first - 1] * -np.expm1(widened) * warmer * WEEKEND_H * 3.6e-3
    return _with_figures(about, told, wood=range_of(saved / _heat_per_kg(b, fit)), weekend_k=warmer)


def stay_log_sd(b: Batch) -> float:
    """How far the heat loss of one stay is off that of the cabin, log, beyond the model's own effects."""
    slab = any(s.over == "ground" for d in b.frame.descriptions for s in d.cabin.surfaces)
    return SLAB_STAY_LOG_SD if slab else STAY_LOG_SD


def _with_figures(about: ChangeAnswer, told: Judged, *, wood: Range, weekend_k: float) -> ChangeAnswer:
    return replace(
        about,
        heat_loss_change_pct=told.change_pct,
        chance_helped=told.chance_helped,
        verdict=told.verdict,
        more_nights=told.more_nights,
        wood_saved_kg=wood,
        weekend_k=weekend_k,
    )


def _usual_difference_k(b: Batch, fit: WindowFit) -> float:
    """Inside less outside over these stays as they were lived, K."""
    sim = simulate(b, fit.mode[None, :])
    kept = [float((sim.air_c[1 : s.steps + 1, 0, i] - s.outdoor_c).mean()) for i, s in enumerate(b.scenarios)]
    return max(float(np.mean(kept)), 0.0)


def _heat_per_kg(b: Batch, fit: WindowFit) -> FloatArray:
    """Heat that reaches the room per kg of wood as weighed, of every draw, MJ/kg; from the fullest stay."""
    fullest = int(np.argmax([float(s.load_kg.sum()) for s in b.scenarios]))
    f = b.frame
    d = f.descriptions[fullest]
    one = batch(
        Frame((f.buildings[fullest],), (d,), f.changes, f.changed[:, fullest : fullest + 1]),
        [b.scenarios[fullest]],
    )
    burn = simulate(one, fit.z).burn
    room, made = (x.sum(axis=(0, 2)) * STEP_H * 3.6 for x in (burn.to_room_kw, burn.gross_kw))
    share = np.clip(room / np.maximum(made, 1e-6), 0.3, 1.0) if made.max() > 0.0 else np.full(len(room), 0.7)
    out: FloatArray = share * heat_of_wood_mj_per_kg(d) * pile_dry_share(d.wood)
    return out


def nights_in(stay: Stay, *, zone: tzinfo) -> int:
    """How many nights a stay holds: its small hours (four o'clock, local)."""
    day = stay.start.astimezone(zone).date()
    count = 0
    while (at := at_local(day, SMALL_HOURS, zone)) <= stay.end:
        count += at >= stay.start
        day += timedelta(days=1)
    return count


def untold(change: Change, *, told: Sequence[Stay], zone: tzinfo) -> ChangeAnswer:
    """A change with no stay on one side: nothing to compare yet."""
    before = sum(nights_in(s, zone=zone) for s in told if s.start < change.at)
    after = sum(nights_in(s, zone=zone) for s in told if s.start >= change.at)
    scored = change.kind is ChangeKind.HEAT_LOSS
    prior = CHANGE_SD[ChangeKind.HEAT_LOSS]
    wait = more_nights(
        mean=0.0,
        sd=prior,
        prior_sd=prior,
        night_variance=FIRST_NIGHT_VARIANCE,
        nights_before=before,
        nights_after=after,
    )
    return ChangeAnswer(
        name=change.name,
        since=change.at,
        touched=Touched(change.kind.value),
        nights_before=before,
        nights_after=after,
        verdict=Verdict.CANT_TELL if scored else None,
        more_nights=wait if scored else None,
        stay_left_out=any(mixed(s, change) for s in told),
    )
