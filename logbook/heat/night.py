"""Posterior draws and tonight -> range of the room temperature, plan by plan, hour by hour.

The evening so far is run once for every draw; from now on every draw branches into every plan. The readings
of this stay pull each draw's course towards them through the covariance of the effects; what is still open
tonight (the new load's own heat, wind, outdoors) is drawn fresh, so that the range widens with the load.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import ArrayLike, NDArray

from logbook.heat.arrays import STEP_H, BoolArray, FloatArray
from logbook.heat.branch import DEAD_STOVE_KG, PATH_STEPS, Base, branch, branch_all
from logbook.heat.cabin import Course, RoomState, respond, stack_factor
from logbook.heat.conditioning import condition
from logbook.heat.effects import (
    LOAD_SHAPES,
    WIND_SD,
    WINDOW_EXTRA_W_PER_K,
    WINDOW_SD,
    load_shapes,
    matern,
    wind_blocks,
)
from logbook.heat.fit import Posterior, prepare, thinned
from logbook.heat.model import Batch, batch, simulate, window_w_per_k
from logbook.heat.notebook import Stay, stays
from logbook.heat.outdoors_ahead import Evening, tonight_outdoors
from logbook.heat.plans import PlanArrays, plan_arrays
from logbook.heat.priors import ChangeKind, change_effect, network, values
from logbook.heat.scenario import WOOD_LEFT_KG, cut, step_of
from logbook.heat.stove import FireState
from logbook.heat.weather import STEP
from logbook.records import DatedDescription, Entry, Mark

__all__ = ["Base", "Evening", "Paths", "forecast"]

CURRENT_WITHIN = timedelta(hours=24)
"""A stay whose last line is older than this is over: tonight is an arrival (design: 24 h)."""

MAY_GLOW = 0.05
"""A stove counts as out only where no more than this share of the draws has something left in it. ASSUMED, on
the safe side: what decides how a fire is lit is the middle, what decides a warning is this."""

UNEVEN_SD_K, UNEVEN_H, UNEVEN_FROM_KW = 0.9, 1.5, 4.0
"""While a fire of this many kW heats it, a room is uneven: its thermometer departs by so many K for
so many hours. Less fire, less of it. ASSUMED: without it the range of the peak was too narrow (MODEL.md)."""


@dataclass(frozen=True)
class Paths:
    """Room temperature of every plan and draw from now to waking, every quarter of an hour.

    ``indoor_c`` has axes (plan, draw, time), °C. ``fire`` (plan, time) is 0 out, 1 coals only, 2 wood;
    ``left_kg_dry`` (plan, time) is wood and charcoal left, kg dry; both in the middle of the draws.
    ``may_glow`` (plan, time) tells whether something may burn or glow still: in more than a few draws.
    """

    times: tuple[datetime, ...]
    indoor_c: FloatArray
    fire: np.ndarray
    left_kg_dry: FloatArray
    may_glow: np.ndarray
    outdoor_c: FloatArray
    outdoor_guessed: bool
    arriving: bool

    @property
    def burning(self) -> np.ndarray:
        """As ``fire``, but coals until hardly a draw has any left: what people are shown and warned by."""
        shown: np.ndarray = np.maximum(self.fire, self.may_glow)
        return shown


def current_stay(entries: Sequence[Entry], *, as_of: datetime) -> Stay | None:
    """The stay that is going on at ``as_of``, if any."""
    told = stays(entries, until=as_of)
    if not told:
        return None
    left = any(e.mark is Mark.LEFT and e.at >= told[-1].end for e in entries if e.at <= as_of)
    fresh = as_of - told[-1].end <= CURRENT_WITHIN
    return told[-1] if fresh and not left else None


def forecast(
    *,
    posterior: Posterior,
    descriptions: Sequence[DatedDescription],
    entries: Sequence[Entry],
    evening: Evening,
    plans: Sequence[Sequence[Entry]],
    rng: np.random.Generator,
) -> Paths:
    """Run every plan through the night for every draw.

    Args:
        posterior: What was learned.
        descriptions: All versions of the description.
        entries: As written; those later than ``evening.as_of`` are left out.
        evening: The night ahead.
        plans: Each a series of entries from now on (see ``plan_arrays``).
        rng: For what is still open tonight.
    """
    base = prepare_night(
        posterior=posterior, descriptions=descriptions, entries=entries, evening=evening, rng=rng
    )
    return run_plans(base, evening=evening, plans=plans, rng=rng)


def prepare_night(
    *,
    posterior: Posterior,
    descriptions: Sequence[DatedDescription],
    entries: Sequence[Entry],
    evening: Evening,
    rng: np.random.Generator,
) -> Base:
    """Run the evening so far for every draw, and condition on this stay's readings."""
    stay = current_stay(entries, as_of=evening.as_of)
    arriving = stay is None
    if stay is None:
        stay = Stay(start=evening.as_of, end=evening.as_of)
    stay = thinned(stay)
    whole = prepare([stay], descriptions=descriptions, changes=posterior.changes, until=evening.wake)
    now = max(step_of(stay.start, evening.as_of), 0)
    s, outdoor_sd, guessed = tonight_outdoors(
        whole.scenarios[0], stay=stay, evening=evening, now=now, site=whole.frame.descriptions[0].site
    )
    window = s.window.copy()
    window[now:] = 0.0
    s = replace(s, window=window, episodes=tuple((a, min(b, now), c) for a, b, c in s.episodes if a < now))
    b = batch(whole.frame, [s])
    mode_sim = simulate(b, posterior.mode[None, :])
    past = _evening_so_far(batch(whole.frame, [cut(s, max(now, 1))]), posterior, now=now, start_c=b.start_c)
    grid = _grid(now, s.steps)
    pulled = condition(
        b,
        mode=posterior.mode,
        mode_sim=mode_sim,
        course=past.course_c,
        outdoor_sd=outdoor_sd,
        grid=grid,
        now=now,
        rng=rng,
    )
    return Base(
        now=now,
        scenario=s,
        batch=b,
        fire=past.fire,
        room=past.room,
        z=posterior.z,
        mode=posterior.mode,
        mode_sim=mode_sim,
        mode_fire=past.mode_fire,
        mode_room=past.mode_room,
        correction_k=pulled.course_k,
        wind=pulled.wind,
        grid=grid,
        outdoor_guessed=guessed,
        arriving=arriving,
    )


@dataclass(frozen=True)
class _SoFar:
    """The evening up to now: the course of every draw, axes (step, draw), and where it and the mode stand."""

    course_c: FloatArray
    fire: FireState
    room: RoomState
    mode_fire: FireState
    mode_room: RoomState


def _evening_so_far(history: Batch, posterior: Posterior, *, now: int, start_c: FloatArray) -> _SoFar:
    """Run it for every draw, those that the weighting chose twice once; the mode goes in the last lane."""
    z = posterior.z
    _, first, back = np.unique(z, axis=0, return_index=True, return_inverse=True)
    back = back.reshape(-1)
    past = simulate(history, np.concatenate([z[first], posterior.mode[None, :]]))
    fire, room = past.burn.last, past.course.last
    if now == 0:  # nothing has happened yet: the state is the start
        lanes = (len(first) + 1, 1)
        room = RoomState(*(np.broadcast_to(start_c, lanes) for _ in room))
        fire = FireState(*(np.zeros(lanes) for _ in fire))
    return _SoFar(
        course_c=past.air_c[: now + 1, :, 0][:, back],
        fire=FireState(*(part[back] for part in fire)),
        room=RoomState(*(part[back] for part in room)),
        mode_fire=FireState(*(part[-1:] for part in fire)),
        mode_room=RoomState(*(part[-1:] for part in room)),
    )


def what_burns(wood_kg: ArrayLike, char_kg: ArrayLike) -> NDArray[np.int_]:
    """What burns: 0 nothing, 1 coals only, 2 wood. Some wood without coals is what was left unburnt: cold, it
    lights neither itself nor a load, and a stove with it wants kindling.

    Args:
        wood_kg: Wood left, kg dry; any axes.
        char_kg: Charcoal left, kg dry; the same.
    """
    coals, left = np.asarray(char_kg) > DEAD_STOVE_KG, np.asarray(wood_kg)
    wood = (left > WOOD_LEFT_KG) | (coals & (left > DEAD_STOVE_KG))
    found: NDArray[np.int_] = np.where(wood, 2, np.where(coals, 1, 0))
    return found


def fire_now(wood_kg: FloatArray, char_kg: FloatArray) -> int:
    """How a stove stands by its draws: 0 out, 1 coals, 2 wood. Taken for coals while more than
    ``MAY_GLOW`` of them have anything left: a stove called out is walked away from.

    Args:
        wood_kg: Wood left in each draw, kg dry.
        char_kg: Charcoal left in each draw, kg dry.
    """
    if what_burns(np.median(wood_kg), np.median(char_kg)) == 2:
        return 2
    return int(float(np.mean(wood_kg + char_kg > DEAD_STOVE_KG)) > MAY_GLOW)


def _grid(now: int, steps: int) -> np.ndarray:
    grid = np.arange(now, steps, PATH_STEPS)
    last = steps - 1
    return grid if grid[-1] == last else np.append(grid, last)


def dead_after(base: Base) -> BoolArray:
    """At each step from now, whether without more wood nothing would be left that lights wood."""
    fire = base.mode_sim.burn
    out: BoolArray = what_burns(fire.wood_kg[base.now :, 0, 0], fire.char_kg[base.now :, 0, 0]) == 0
    return out


def plans_on_grid(base: Base, plans: Sequence[Sequence[Entry]], *, steps: int) -> PlanArrays:
    """Plans laid on the grid from now on; beyond waking the stove stands as it stood then."""
    s, d = base.scenario, base.batch.frame.descriptions[0]
    dead = dead_after(base)
    later = np.full(max(steps - len(dead), 0), dead[-1])
    return plan_arrays(
        plans,
        start=s.start + base.now * STEP,
        steps=steps,
        standing_air=s.air_open[base.now :],
        laid_kg=float(s.load_kg[base.now :].sum()),
        lit=bool(s.kindled[base.now :].any()),
        dead=np.concatenate([dead, later])[:steps].tolist(),
        open_minutes=d.stove.open_minutes,
        pile=d.wood,
    )


def run_plans(
    base: Base, *, evening: Evening, plans: Sequence[Sequence[Entry]], rng: np.random.Generator
) -> Paths:
    """Branch every draw into every plan."""
    s = base.scenario
    arrays = plans_on_grid(base, plans, steps=s.steps - base.now)
    branched = branch_all(base, arrays)
    wood_kg, char_kg = branched.wood_kg, branched.char_kg
    _add_luck(base, arrays, branched.indoor_c, rng)
    offset = float(values(base.z)["outdoor_offset"].mean())
    return Paths(
        times=tuple(s.start + int(i) * STEP for i in base.grid),
        indoor_c=branched.indoor_c,
        fire=what_burns(wood_kg, char_kg),
        left_kg_dry=wood_kg + char_kg,
        may_glow=branched.share_glowing > MAY_GLOW,
        outdoor_c=s.outdoor_c[np.minimum(base.grid, s.steps - 1)] + offset,
        outdoor_guessed=base.outdoor_guessed,
        arriving=base.arriving,
    )


def _add_luck(base: Base, arrays: PlanArrays, out: FloatArray, rng: np.random.Generator) -> None:
    """Add to each course the pull of the readings, and what none has seen yet: the new loads' own heat and
    timing, the plan's window, the wind as far as the plan makes it felt more, the unevenness of the room.

    The same random numbers serve every plan, so that plans differ by what they do and not by luck.
    """
    most = max((len(loads) for loads in arrays.first_load), default=0)
    fire, course, window = _mode_night(base, arrays)
    ahead = wind_blocks(base.scenario.steps)[base.now :]
    to_come = ahead.any(axis=0)
    felt = _felt_k(
        base,
        course=course,
        window=window,
        heat=_new_heat_w(base, arrays, fire, most),
        blocks=ahead[:, to_come],
    )
    # Window, room, then load after load: a plan's luck does not depend on what else is looked at.
    window_luck = rng.standard_normal((len(base.z), 1))
    room_luck = rng.standard_normal((len(base.z), len(base.grid)))
    load_luck = [rng.standard_normal((len(base.z), LOAD_SHAPES)) for _ in range(most)]
    luck = np.concatenate([*load_luck, window_luck, base.wind[:, to_come]], axis=1)
    strength, bumps = _unevenness(base, fire, room_luck)
    # A moved thermometer shows another temperature.
    moved = base.correction_k + change_effect(base.batch.frame, base.z, ChangeKind.THERMOMETER)
    always, dice, bumps, strong, felt = (
        part.astype(out.dtype) for part in (moved, luck, bumps, strength, felt)
    )
    for p in range(len(felt)):  # plan by plan: each stays in the cache
        out[p] += always
        out[p] += dice @ felt[p]
        out[p] += strong[p] * bumps


def _felt_k(
    base: Base, *, course: Course, window: FloatArray, heat: FloatArray, blocks: FloatArray
) -> FloatArray:
    """What each plan's room feels, K at one sd, of its loads' shapes, its window and each block of wind; axes
    (plan, effect, time).

    Of the wind only what the plan adds: as much as it makes the room warmer than without it. The rest is in
    the pull of the readings, with the same dice. Without it ranges of warm nights were too narrow (MODEL.md).
    """
    s = base.scenario
    net, v = network(base.batch.frame, base.mode[None, :]), values(base.mode[None, :])
    to_fabric = float(net.to_fabric[0, 0])
    outside = s.outdoor_c[base.now : s.steps, None] + float(v["outdoor_offset"][0, 0])
    inside = course.air_c[:, 0, :]
    warmer = inside - base.mode_sim.course.air_c[base.now : s.steps, 0, :1]
    gusts = -WIND_SD * float(net.leak_w_per_k[0, 0]) * warmer[:, :, None] * blocks[:, None, :]
    episode = WINDOW_SD * (window + WINDOW_EXTRA_W_PER_K) * (window > 0.0) * stack_factor(inside, outside)
    opened = (episode * (outside - inside))[:, :, None]
    to_air = np.concatenate([(1.0 - to_fabric) * heat, opened, gusts], axis=2)
    zero = np.zeros(to_air.shape[1:])
    response = respond(
        net,
        air_w_per_k=course.air_w_per_k[:, 0, :, None],
        to_air_w=to_air,
        to_fabric_w=np.concatenate([to_fabric * heat, np.zeros_like(opened), np.zeros_like(gusts)], axis=2),
        start=RoomState(zero, zero, zero),
    )
    felt: FloatArray = np.concatenate([zero[None], response])[base.grid - base.now].transpose(1, 2, 0)
    return felt


def _new_heat_w(base: Base, arrays: PlanArrays, fire_kw: FloatArray, most: int) -> FloatArray:
    """What each plan's loads may give more or less, W at one sd; axes (step, plan, shape)."""
    steps, plans = arrays.air_open.shape
    idle_kw = base.mode_sim.burn.to_room_kw[base.now : base.scenario.steps, 0, 0]
    extra = np.maximum(1000.0 * (fire_kw - idle_kw[:, None]), 0.0)
    heat = np.zeros((steps, plans, LOAD_SHAPES * most))
    for p, loads in enumerate(arrays.first_load):
        for k, (first, last) in enumerate(zip(loads, (*loads[1:], steps), strict=False)):
            part = np.zeros(steps)
            part[first:last] = extra[first:last, p]
            heat[:, p, LOAD_SHAPES * k : LOAD_SHAPES * (k + 1)] = np.stack(load_shapes(part), axis=1)
    return heat


def _unevenness(base: Base, fire_kw: FloatArray, luck: FloatArray) -> tuple[FloatArray, FloatArray]:
    """How far the thermometer departs in an unevenly heated room: the strength of it, axes (plan, time), and
    the departure of each draw at full strength, K, axes (draw, time)."""
    at = base.grid - base.now
    strength = np.minimum(np.concatenate([fire_kw[:1], fire_kw])[at] / UNEVEN_FROM_KW, 1.0)
    hours = at * STEP_H
    spread = matern(hours, hours, sd_k=UNEVEN_SD_K, scale_h=UNEVEN_H) + 1e-9 * np.eye(len(hours))
    return strength.T, luck @ np.linalg.cholesky(spread).T


def _mode_night(base: Base, arrays: PlanArrays) -> tuple[FloatArray, Course, FloatArray]:
    """At the mode: heat of every plan to the room, kW; its course; its window, W/K; axes (step, plan)."""
    alone = replace(base, z=base.mode[None, :], fire=base.mode_fire, room=base.mode_room)
    fire, course = branch(alone, arrays, slice(None))
    v = values(alone.z)
    window = window_w_per_k(arrays.window, v["window_cracked"], v["window_open"])
    return fire.to_room_kw[:, 0, :], course, window
