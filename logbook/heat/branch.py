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
from logbook.heat.cabin import Course, RoomState, run
from logbook.heat.model import ALWAYS_W, PERSON_W, Batch, Simulated, window_terms
from logbook.heat.plans import PlanArrays
from logbook.heat.priors import fire_law, network, values
from logbook.heat.rows import Term, upright
from logbook.heat.scenario import Scenario
from logbook.heat.stove import Burn, FireState, burn

BLOCK_LANES = 12800
"""Lanes run together. Measured on 400 draws x 200 plans: half as many took a fifth longer, twice as many
gained nothing."""

THREADS = 2
"""Blocks run side by side; numpy lets go of the interpreter while it reckons. More gained nothing."""


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
    grid: np.ndarray  # steps from the stay's start at which paths are given
    outdoor_guessed: bool
    arriving: bool


@dataclass(frozen=True)
class Branched:
    """Plans run for every draw. ``indoor_c`` (plan, draw, time), single precision; the masses, kg dry, are
    the middle of the draws, axes (plan, time)."""

    indoor_c: FloatArray
    wood_kg: FloatArray
    char_kg: FloatArray


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
    )


def branch_all(base: Base, arrays: PlanArrays) -> Branched:
    """All plans, block by block."""
    once, back = distinct(base)
    plans = arrays.air_open.shape[1]
    size = max(1, BLOCK_LANES // len(once.z))
    blocks = [slice(first, min(first + size, plans)) for first in range(0, plans, size)]
    indoor = np.empty((plans, len(base.z), len(base.grid)), dtype=np.float32)
    wood, char = np.empty((2, plans, len(base.grid)))

    def one(block: slice) -> None:
        indoor[block], wood[block], char[block] = _block(once, arrays, block, back)

    _each(one, blocks)
    return Branched(indoor_c=indoor, wood_kg=wood, char_kg=char)


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
) -> tuple[FloatArray, FloatArray, FloatArray]:
    fire, course = branch(base, arrays, block, dtype=np.float32)
    start = np.broadcast_to(base.room.air_c.T, (fire.wood_kg.shape[2], len(base.z))).astype(np.float32)
    at = base.grid - base.now
    air = upright(course.air_c)  # (step, plan, draw), as it lies in memory
    whole = np.concatenate([start[None], air[at[1:] - 1]]) if at[0] == 0 else air[at - 1]
    paths = np.ascontiguousarray(whole.transpose(1, 2, 0))[:, back]
    laid = float(base.scenario.load_kg[base.now :].sum())  # written down this very moment
    wood_now = base.fire.fresh_kg + base.fire.wood_kg + laid
    wood = _before_and_after(wood_now, upright(fire.wood_kg), at)
    char = _before_and_after(base.fire.char_kg, upright(fire.char_kg), at)
    return paths, _middle(wood, back), _middle(char, back)


def _before_and_after(now_kg: FloatArray, later_kg: FloatArray, at: np.ndarray) -> FloatArray:
    """What is left at the grid times: now, before any plan's load; later, at the end of the step before."""
    start = np.broadcast_to(now_kg.T, later_kg.shape[1:])
    out: FloatArray = np.where(at[:, None, None] == 0, start, later_kg[np.maximum(at, 1) - 1])
    return out


def _middle(left_kg: FloatArray, back: np.ndarray) -> FloatArray:
    """Middle of the draws; (time, plan, draw) -> (plan, time)."""
    half = len(back) // 2
    out: FloatArray = np.partition(left_kg[:, :, back], half, axis=2)[:, :, half].T
    return out


def _each(do: object, blocks: Sequence[slice]) -> None:
    assert callable(do)
    if len(blocks) == 1:
        do(blocks[0])
        return
    with ThreadPoolExecutor(THREADS) as pool:
        list(pool.map(do, blocks))
