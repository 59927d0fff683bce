"""The thermal network: outdoor temperature and heat -> room temperature.

Three nodes: air (with light things), fabric within reach of a night, and deep fabric behind it. Losses go by
the fabric and by the air; those by air grow with the temperature difference, as a stack does. Implicit Euler
on five-minute steps: it cannot oscillate, and it keeps its energy account exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from logbook.heat.arrays import STEP_S, FloatArray

STACK_REFERENCE_K = 26.0
"""Temperature difference, plus one, at which the leak has its rated value, K: 20 °C inside, −5 °C outside."""

LEAK_STEADY = 0.1
"""Share of the leak that wind drives whatever the temperature difference. Source: the basic infiltration
model (Sherman & Grimsrud 1980) sheltered at 2.5 m/s goes from 0.83 to 1.21 times between 15 and 40 K."""

DRAUGHT_W_PER_K = 4.0
"""Loss by the air that a 4 kW fire draws, W/K. Source: 10–25 cfm drawn by a stove (as reported) is 6–14 W/K
at full fire; the share that would have leaked anyway is taken off. ASSUMED 4, up to 6."""


class Network(NamedTuple):
    """One cabin, arrays that broadcast over the lanes. W/K and J/K; shares without unit."""

    fabric_w_per_k: FloatArray  # Ge: fabric node to outdoors
    direct_w_per_k: FloatArray  # glazing and doors, air node to outdoors
    leak_w_per_k: FloatArray  # infiltration at 25 K
    couple_w_per_k: FloatArray  # air to fabric
    deep_w_per_k: FloatArray  # fabric to deep fabric
    air_j_per_k: FloatArray
    fabric_j_per_k: FloatArray
    deep_j_per_k: FloatArray
    to_fabric: FloatArray  # share of the stove's heat that goes to the fabric (radiation)


class RoomState(NamedTuple):
    """Temperatures between two steps, °C."""

    air_c: FloatArray
    fabric_c: FloatArray
    deep_c: FloatArray


@dataclass(frozen=True)
class Course:
    """A room over time; axes (step, *lanes). ``air_w_per_k``: the air node's conductance in each step."""

    air_c: FloatArray
    air_w_per_k: FloatArray
    last: RoomState


def stack_factor(inside_c: FloatArray, outside_c: FloatArray) -> FloatArray:
    """How far a leak is driven, 1 at a difference of 25 K. Source: stack flow goes with the square root."""
    factor: FloatArray = np.sqrt((np.abs(inside_c - outside_c) + 1.0) * (1.0 / STACK_REFERENCE_K))
    return factor


def run(
    net: Network,
    *,
    outdoor_c: FloatArray,
    stove_w: FloatArray,
    fire_kw: FloatArray,
    air_gain_w: FloatArray,
    fabric_gain_w: FloatArray,
    window_w_per_k: FloatArray,
    leak_scale: FloatArray | float = 1.0,
    start: RoomState,
) -> Course:
    """Run rooms through a series of outdoor temperatures and heats.

    Args:
        net: The cabin.
        outdoor_c: °C; axes (step, *lanes), lanes may be 1. So are the following.
        stove_w: Heat of the stove to the room, W.
        fire_kw: Gross heat of the fire, kW; sets the air it draws.
        air_gain_w: Other heat to the air, W.
        fabric_gain_w: Other heat to the fabric (sun), W.
        window_w_per_k: Loss by an open or cracked window at 25 K, W/K; 0 when shut.
        leak_scale: Wind: the leak is multiplied by this.
        start: Temperatures before the first step.

    Returns:
        The course of the air temperature, at the end of each step.
    """
    steps = outdoor_c.shape[0]
    air, fabric, deep = (part.copy() for part in start)
    out_c = np.empty((steps, *air.shape), dtype=air.dtype)
    out_g = np.empty_like(out_c)
    deep_k = net.deep_w_per_k * STEP_S / net.deep_j_per_k
    deep_a = 1.0 / (1.0 + deep_k)
    air_s = net.air_j_per_k / STEP_S
    fabric_s = net.fabric_j_per_k / STEP_S
    inner = 1.0 / (fabric_s + net.couple_w_per_k + net.fabric_w_per_k + net.deep_w_per_k * deep_a)
    pulled = net.couple_w_per_k * inner
    own = air_s + net.couple_w_per_k * (1.0 - pulled)
    to_air = 1.0 - net.to_fabric
    draught = DRAUGHT_W_PER_K * np.minimum(fire_kw * 0.25, 1.5)
    scale = (
        np.broadcast_to(np.asarray(leak_scale), (steps, *np.shape(leak_scale)[1:]))
        if np.ndim(leak_scale)
        else np.full((steps,), leak_scale)
    )
    for i in range(steps):
        out = outdoor_c[i]
        driven = stack_factor(air, out)
        leak = net.leak_w_per_k * scale[i] * (LEAK_STEADY + (1.0 - LEAK_STEADY) * driven)
        g = net.direct_w_per_k + leak + window_w_per_k[i] * driven + draught[i]
        from_fabric = (
            fabric_s * fabric
            + net.deep_w_per_k * deep_a * deep
            + net.fabric_w_per_k * out
            + net.to_fabric * stove_w[i]
            + fabric_gain_w[i]
        )
        air = (air_s * air + pulled * from_fabric + g * out + to_air * stove_w[i] + air_gain_w[i]) / (own + g)
        fabric = (from_fabric + net.couple_w_per_k * air) * inner
        deep = (deep + deep_k * fabric) * deep_a
        out_c[i] = air
        out_g[i] = g
    return Course(air_c=out_c, air_w_per_k=out_g, last=RoomState(air, fabric, deep))


def respond(
    net: Network,
    *,
    air_w_per_k: FloatArray,
    to_air_w: FloatArray,
    to_fabric_w: FloatArray,
    start: RoomState,
) -> FloatArray:
    """Change of the air temperature that further heat would make, K, with the conductances of a known course.

    The network is linear once its conductances are given. Axes (step, *lanes); ``start`` holds the
    differences at the beginning, K. Returns the change at the end of each step.
    """
    steps = to_air_w.shape[0]
    air, fabric, deep = (part.copy() for part in start)
    out = np.empty((steps, *air.shape), dtype=air.dtype)
    deep_k = net.deep_w_per_k * STEP_S / net.deep_j_per_k
    deep_a = 1.0 / (1.0 + deep_k)
    air_s = net.air_j_per_k / STEP_S
    fabric_s = net.fabric_j_per_k / STEP_S
    inner = 1.0 / (fabric_s + net.couple_w_per_k + net.fabric_w_per_k + net.deep_w_per_k * deep_a)
    pulled = net.couple_w_per_k * inner
    own = air_s + net.couple_w_per_k * (1.0 - pulled)
    back = net.deep_w_per_k * deep_a
    whole = 1.0 / (own + air_w_per_k)
    for i in range(steps):
        from_fabric = fabric_s * fabric + back * deep + to_fabric_w[i]
        air = (air_s * air + pulled * from_fabric + to_air_w[i]) * whole[i]
        fabric = (from_fabric + net.couple_w_per_k * air) * inner
        deep = (deep + deep_k * fabric) * deep_a
        out[i] = air
    return out


def steady_loss_w_per_k(net: Network, *, inside_c: float = 20.0, outside_c: float = -5.0) -> FloatArray:
    """Heat that holds the air at ``inside_c``, per kelvin, W/K: window shut, no fire, no sun.

    The rated wind is in ``leak_w_per_k``. Source: the network, solved for a steady state.
    """
    driven = LEAK_STEADY + (1.0 - LEAK_STEADY) * stack_factor(np.asarray(inside_c), np.asarray(outside_c))
    series = net.couple_w_per_k * net.fabric_w_per_k / (net.couple_w_per_k + net.fabric_w_per_k)
    loss: FloatArray = net.direct_w_per_k + net.leak_w_per_k * driven + series
    return loss


def cooling_time_constant_h(
    net: Network, *, inside_c: float = 20.0, outside_c: float = -5.0, shape: tuple[int, ...]
) -> FloatArray:
    """Slope of ln(inside − outside), 2–10 h after a long hold ends, as a time constant in h."""
    steps = round(10 * 3600 / STEP_S)
    wall = (net.couple_w_per_k * inside_c + net.fabric_w_per_k * outside_c) / (
        net.couple_w_per_k + net.fabric_w_per_k
    )
    start = RoomState(
        np.full(shape, inside_c), np.broadcast_to(wall, shape).copy(), np.broadcast_to(wall, shape).copy()
    )
    lane = (steps, *([1] * len(shape)))
    zero = np.zeros(lane)
    course = run(
        net,
        outdoor_c=np.full(lane, outside_c),
        stove_w=zero,
        fire_kw=zero,
        air_gain_w=zero,
        fabric_gain_w=zero,
        window_w_per_k=zero,
        start=start,
    )
    # Least-squares slope over the steps from 2 h to 10 h, as an observer with a logger would draw it.
    first = round(2 * 3600 / STEP_S) - 1
    hours = (np.arange(first, steps) + 1) * STEP_S / 3600.0
    log_k = np.log(np.maximum(course.air_c[first:] - outside_c, 1e-6))
    centred = (hours - hours.mean()).reshape(-1, *([1] * len(shape)))
    slope = (centred * log_k).sum(axis=0) / (centred**2).sum()
    tau: FloatArray = -1.0 / slope
    return tau
