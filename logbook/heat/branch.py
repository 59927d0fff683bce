"""Every draw into every plan, from now to waking: the one array pass that tonight's answer costs.

Draws that the weighting chose twice are run once. Lanes go through in blocks whose arrays stay in a core's
cache, in single precision, two blocks at a time.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.heat.cabin import Course, Rooms, RoomState, run
from logbook.heat.model import ALWAYS_W, PERSON_W, Batch, Simulated, window_terms
from logbook.heat.plans import PlanArrays
from logbook.heat.priors import fire_law, network, values
from logbook.heat.rows import Term, steps_together, stretches
from logbook.heat.scenario import Scenario
from logbook.heat.stove import Burn, Fires, FireState, burn

BLOCK_LANES = 12800
"""Lanes run together. Measured on 400 draws x 200 plans: half as many took a fifth longer, twice as many
gained nothing."""

PATH_STEPS = 3
"""Paths are given every quarter of an hour: finer ones only add noise to the maximum."""

THREADS = 2
"""Blocks run side by side; numpy lets go of the interpreter while it reckons. More gained nothing."""

DEAD_STOVE_KG = 0.05
"""Charcoal and wood together below this light nothing. ASSUMED."""

STEPS_OF_MASS = 50_000
"""Masses left are told apart in so many steps of the largest; they must fit two bytes."""


@dataclass(frozen=True)
class Base:
    """The evening so far for every draw, and everything of the night that no plan changes."""

    now: int
    scenario: Scenario
    batch: Batch
    fire: FireState
    room: RoomState
    z: FloatArray
    mode: FloatArray
    mode_sim: Simulated
    mode_fire: FireState  # now, at the mode; axes (1, 1)
    mode_room: RoomState
    correction_k: FloatArray  # (draw, time): pull of the readings plus one sample of the common effects
    wind: FloatArray  # (draw, block): the wind of that sample, sd beyond the usual
    grid: np.ndarray  # steps from the stay's start at which paths are given
    outdoor_guessed: bool
    arriving: bool


@dataclass(frozen=True)
class Branched:
    """Plans run for every draw. ``indoor_c`` (plan, draw, time), single precision; the masses, kg dry, are
    the middle of the draws, axes (plan, time). ``share_glowing`` is the share of the draws with more than
    ``DEAD_STOVE_KG`` left, same axes."""

    indoor_c: FloatArray
    wood_kg: FloatArray
    char_kg: FloatArray
    share_glowing: FloatArray


def distinct(base: Base) -> tuple[Base, np.ndarray]:
    """The base with every draw once, and for each draw its place there."""
    whole = np.concatenate([base.z, *base.fire, *base.room], axis=1)
    _, first, back = np.unique(whole, axis=0, return_index=True, return_inverse=True)
    once = replace(
        base,
        z=base.z[first],
        fire=FireState(*(part[first] for part in base.fire)),
        room=RoomState(*(part[first] for part in base.room)),
    )
    return once, back.reshape(-1)


def fewer(base: Base, every: int) -> Base:
    """The base with every so many of its draws."""
    return replace(
        base,
        z=base.z[::every],
        fire=FireState(*(part[::every] for part in base.fire)),
        room=RoomState(*(part[::every] for part in base.room)),
        correction_k=base.correction_k[::every],
        wind=base.wind[::every],
    )


def branch_all(base: Base, arrays: PlanArrays) -> Branched:
    """All plans, block by block."""
    once, back = distinct(base)
    plans = arrays.air_open.shape[1]
    size = max(1, BLOCK_LANES // len(once.z))
    blocks = [slice(first, min(first + size, plans)) for first in range(0, plans, size)]
    indoor = np.empty((plans, len(base.z), len(base.grid)), dtype=np.float32)
    wood, char, glows = np.empty((3, plans, len(base.grid)))

    def one(block: slice) -> None:
        indoor[block], wood[block], char[block], glows[block] = _block(once, arrays, block, back)

    _each(one, blocks)
    return Branched(indoor_c=indoor, wood_kg=wood, char_kg=char, share_glowing=glows)


def _ways(
    base: Base, arrays: PlanArrays, block: slice, lanes: tuple[int, int], *, most: int
) -> tuple[Fires, Rooms]:
    """Fires and rooms of some plans as they stand now, for every draw of the base, in single precision."""
    s, b, z = base.scenario, base.batch, base.z
    v = values(z)

    def begun(part: FloatArray) -> FloatArray:
        return np.broadcast_to(part.astype(np.float32), lanes)

    def lane(x: FloatArray) -> FloatArray:
        return x[base.now : s.steps, None, None]

    fires = Fires(
        fire_law(b.frame, z),
        air_open=arrays.air_open[:, None, block],
        load_kg=arrays.load_kg[:, None, block],
        kindled=arrays.kindled[:, None, block],
        firebox_kg=b.firebox_kg,
        heat_mj_per_kg=b.heat_mj_per_kg,
        start=FireState(*(begun(part) for part in base.fire)),
        most=most,
    )
    named = arrays.other_w[:, None, block]
    other_w = lane(s.other_w) if np.isnan(named).all() else np.where(np.isnan(named), lane(s.other_w), named)
    rooms = Rooms(
        network(b.frame, z),
        outdoor_c=[Term(lane(s.outdoor_c), 1.0), Term(np.ones((1, 1, 1)), v["outdoor_offset"])],
        air_gain_w=[Term(other_w + ALWAYS_W, 1.0), Term(PERSON_W * lane(s.people), v["people"])],
        fabric_gain_w=[Term(lane(s.sun), v["sun"])],
        window_w_per_k=window_terms(arrays.window[:, None, block], v["window_cracked"], v["window_open"]),
        leak_scale=lane(s.wind),
        start=RoomState(*(begun(part) for part in base.room)),
        steps=s.steps - base.now,
    )
    return fires, rooms


def branch(base: Base, arrays: PlanArrays, block: slice, *, dtype: type = np.float64) -> tuple[Burn, Course]:
    """Some plans from now to waking, for every draw of the base; axes (step, draw, plan)."""
    s, b, z = base.scenario, base.batch, base.z
    lanes = (len(z), arrays.air_open[:, block].shape[1])

    def begun(part: FloatArray) -> FloatArray:
        return np.broadcast_to(part.astype(dtype), lanes)

    def lane(x: FloatArray) -> FloatArray:
        return x[base.now : s.steps, None, None]

    fire = burn(
        fire_law(b.frame, z),
        air_open=arrays.air_open[:, None, block],
        load_kg=arrays.load_kg[:, None, block],
        kindled=arrays.kindled[:, None, block],
        firebox_kg=b.firebox_kg,
        heat_mj_per_kg=b.heat_mj_per_kg,
        start=FireState(*(begun(part) for part in base.fire)),
    )
    v = values(z)
    named = arrays.other_w[:, None, block]
    other_w = np.where(np.isnan(named), lane(s.other_w), named)
    course = run(
        network(b.frame, z),
        outdoor_c=[Term(lane(s.outdoor_c), 1.0), Term(np.ones((1, 1, 1)), v["outdoor_offset"])],
        stove_w=[Term(fire.to_room_kw, 1000.0)],
        fire_kw=fire.gross_kw,
        air_gain_w=[Term(other_w + ALWAYS_W, 1.0), Term(PERSON_W * lane(s.people), v["people"])],
        fabric_gain_w=[Term(lane(s.sun), v["sun"])],
        window_w_per_k=window_terms(arrays.window[:, None, block], v["window_cracked"], v["window_open"]),
        leak_scale=lane(s.wind),
        start=RoomState(*(begun(part) for part in base.room)),
    )
    return fire, course


def _block(
    base: Base, arrays: PlanArrays, block: slice, back: np.ndarray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Some plans, fire and room side by side, so that nothing but what is asked for is ever written down."""
    at = base.grid - base.now
    lanes = (len(base.z), arrays.air_open[:, block].shape[1])
    most = min(steps_together(lanes[0] * lanes[1]), PATH_STEPS)
    fires, rooms = _ways(base, arrays, block, lanes, most=most)
    stops = fires.stops | rooms.stops
    stops[at[at < len(stops)]] = True
    rows, turned = (most, *reversed(lanes)), (len(at), *reversed(lanes))
    heat, gross, air = (np.empty(rows, dtype=np.float32) for _ in range(3))
    paths, wood, char = (np.empty(turned, dtype=np.float32) for _ in range(3))
    laid = float(base.scenario.load_kg[base.now :].sum())  # written down this very moment
    k = 0
    if at[0] == 0:  # what is left now, before any plan's load
        paths[0] = base.room.air_c.T
        wood[0] = (base.fire.fresh_kg + base.fire.wood_kg + laid).T
        char[0] = base.fire.char_kg.T
        k = 1
    for first, end in stretches(stops[: at[-1]], most=most):
        n = end - first
        fires.ahead(first, end, to_room_kw=heat[:n], gross_kw=gross[:n])
        rooms.ahead(first, end, stove_kw=heat[:n], fire_kw=gross[:n], air_c=air[:n])
        if k < len(at) and end == at[k]:
            paths[k] = air[n - 1]
            fires.left(wood_kg=wood[k], char_kg=char[k])
            k += 1
    courses = np.take(np.ascontiguousarray(paths.transpose(1, 2, 0)), back, axis=1, mode="clip")
    return courses, _middle(wood, back), _middle(char, back), _share_glowing(wood, char, back)


def _middle(left_kg: FloatArray, back: np.ndarray) -> FloatArray:
    """Middle of the draws; (time, plan, draw) -> (plan, time). Told apart in steps of the fullest: half a
    gram in 20 kg; short whole numbers are put in order in half the time."""
    half = len(back) // 2
    step = max(float(left_kg.max()), STEPS_OF_MASS * 1e-9) / STEPS_OF_MASS
    steps = (left_kg * np.float32(1.0 / step) + np.float32(0.5)).astype(np.uint16)
    whole = np.take(steps, back, axis=2, mode="clip")  # nothing is beyond; looking would cost as much
    whole.partition(half, axis=2)
    middle: FloatArray = whole[:, :, half].T * step
    return middle


def _share_glowing(wood_kg: FloatArray, char_kg: FloatArray, back: np.ndarray) -> FloatArray:
    """Share of the draws with something left; (time, plan, draw) -> (plan, time)."""
    times_drawn = np.bincount(back, minlength=wood_kg.shape[2]).astype(np.float32)
    glows = (wood_kg + char_kg > DEAD_STOVE_KG).astype(np.float32)
    share: FloatArray = (glows @ times_drawn).T / len(back)
    return share


def _each(do: object, blocks: Sequence[slice]) -> None:
    assert callable(do)
    if len(blocks) == 1:
        do(blocks[0])
        return
    with ThreadPoolExecutor(THREADS) as pool:
        list(pool.map(do, blocks))
