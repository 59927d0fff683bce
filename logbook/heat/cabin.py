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
from logbook.heat.rows import Rows, Series, laid_out, steps_of, upright

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


class _Room:
    """Rooms on their way: the network laid out lane by lane, the state, and room to reckon in."""

    def __init__(self, net: Network, start: RoomState) -> None:
        shape, dtype = start.air_c.shape, start.air_c.dtype

        def whole(values: FloatArray | float) -> FloatArray:
            return laid_out(values, shape, dtype)

        deep_k = net.deep_w_per_k * STEP_S / net.deep_j_per_k
        deep_keep = 1.0 / (1.0 + deep_k)
        air_s, fabric_s = net.air_j_per_k / STEP_S, net.fabric_j_per_k / STEP_S
        inner = 1.0 / (fabric_s + net.couple_w_per_k + net.fabric_w_per_k + net.deep_w_per_k * deep_keep)
        pulled = net.couple_w_per_k * inner
        self.own = whole(air_s + net.couple_w_per_k * (1.0 - pulled))
        self.air_s, self.couple = whole(air_s), whole(net.couple_w_per_k)
        self.past_fabric = whole(net.couple_w_per_k * (1.0 - pulled))  # outdoors, through the fabric's node
        self.direct, self.leak = whole(net.direct_w_per_k), whole(net.leak_w_per_k)
        self.fabric_keep = whole(inner * fabric_s)
        self.deep_give = whole(inner * net.deep_w_per_k * deep_keep)
        self.outdoor_give, self.inner = whole(inner * net.fabric_w_per_k), whole(inner)
        self.pulled = whole(pulled)
        self.stove_fabric, self.stove_air = whole(inner * net.to_fabric), whole(1.0 - net.to_fabric)
        self.deep_keep, self.deep_take = whole(deep_keep), whole(deep_k * deep_keep)
        self.air, self.fabric, self.deep = (whole(part) for part in start)
        self.difference, self.spare, self.steady, self.driven = (np.empty_like(self.air) for _ in range(4))

    def set_openings(self, wind: FloatArray, window_w_per_k: FloatArray) -> None:
        """Wind or a window turned: what of the loss by air is steady, and what goes with the stack."""
        leak = self.leak * wind
        self.steady = self.direct + LEAK_STEADY * leak
        self.driven = ((1.0 - LEAK_STEADY) * leak + window_w_per_k) * (STACK_REFERENCE_K**-0.5)

    def open_to(self, outdoor_c: FloatArray, fire_kw: FloatArray, g: FloatArray) -> None:
        """The air node's conductance in this step, W/K, into ``g``."""
        np.subtract(self.air, outdoor_c, out=self.difference)
        np.abs(self.difference, out=g)
        g += 1.0
        np.sqrt(g, out=g)
        g *= self.driven
        g += self.steady
        np.multiply(fire_kw, 0.25 * DRAUGHT_W_PER_K, out=self.spare)
        np.minimum(self.spare, 1.5 * DRAUGHT_W_PER_K, out=self.spare)
        g += self.spare

    def warm(
        self,
        outdoor_c: FloatArray,
        stove_w: FloatArray,
        to_air_w: FloatArray,
        to_fabric_w: FloatArray,
        g: FloatArray,
    ) -> None:
        """One step of all three nodes. The air is solved as its difference to outdoors."""
        a, b, inner = self.difference, self.spare, self.fabric
        inner *= self.fabric_keep  # from here on what the fabric would be with nothing from the air
        np.multiply(self.deep, self.deep_give, out=b)
        inner += b
        np.multiply(self.outdoor_give, outdoor_c, out=b)
        inner += b
        np.multiply(self.stove_fabric, stove_w, out=b)
        inner += b
        np.multiply(self.inner, to_fabric_w, out=b)
        inner += b
        a *= self.air_s
        np.multiply(self.couple, inner, out=b)
        a += b
        np.multiply(self.past_fabric, outdoor_c, out=b)
        a -= b
        np.multiply(self.stove_air, stove_w, out=b)
        a += b
        a += to_air_w
        np.add(self.own, g, out=b)
        a /= b
        np.add(a, outdoor_c, out=self.air)
        self._follow()

    def warm_difference(self, to_air_w: FloatArray, to_fabric_w: FloatArray, g: FloatArray) -> None:
        """The same for a difference between two rooms under one sky, whose conductances are the same."""
        b, inner = self.spare, self.fabric
        inner *= self.fabric_keep
        np.multiply(self.deep, self.deep_give, out=b)
        inner += b
        np.multiply(self.inner, to_fabric_w, out=b)
        inner += b
        self.air *= self.air_s
        np.multiply(self.couple, inner, out=b)
        self.air += b
        self.air += to_air_w
        np.add(self.own, g, out=b)
        self.air /= b
        self._follow()

    def _follow(self) -> None:
        """Fabric and deep fabric after the air."""
        b = self.spare
        np.multiply(self.pulled, self.air, out=b)
        self.fabric += b
        self.deep *= self.deep_keep
        np.multiply(self.deep_take, self.fabric, out=b)
        self.deep += b

    def state(self) -> RoomState:
        """The room as it stands, axes of the lanes as given."""
        return RoomState(*(part.T.copy() for part in (self.air, self.fabric, self.deep)))


def run(
    net: Network,
    *,
    outdoor_c: Series,
    stove_w: Series,
    fire_kw: Series,
    air_gain_w: Series,
    fabric_gain_w: Series,
    window_w_per_k: Series,
    leak_scale: Series = 1.0,
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
    steps = steps_of(outdoor_c)
    shape, dtype = start.air_c.shape, start.air_c.dtype

    def rows(given: Series) -> Rows:
        return Rows(given, steps=steps, shape=shape, dtype=dtype)

    outdoors, stove, fire = rows(outdoor_c), rows(stove_w), rows(fire_kw)
    to_air, to_fabric = rows(air_gain_w), rows(fabric_gain_w)
    wind, window = rows(leak_scale), rows(window_w_per_k)
    room = _Room(net, start)
    out_c, out_g = np.empty((2, steps, *reversed(shape)), dtype=dtype)
    for i in range(steps):
        if wind.turned[i] or window.turned[i]:
            room.set_openings(wind.at(i), window.at(i))
        room.open_to(outdoors.at(i), fire.at(i), out_g[i])
        room.warm(outdoors.at(i), stove.at(i), to_air.at(i), to_fabric.at(i), out_g[i])
        out_c[i] = room.air
    return Course(air_c=upright(out_c), air_w_per_k=upright(out_g), last=room.state())


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
    shape, dtype = start.air_c.shape, start.air_c.dtype
    steps = to_air_w.shape[0]
    room = _Room(net, start)
    out = np.empty((steps, *reversed(shape)), dtype=dtype)
    to_air, to_fabric, g = (
        Rows(given, steps=steps, shape=shape, dtype=dtype) for given in (to_air_w, to_fabric_w, air_w_per_k)
    )
    for i in range(steps):
        room.warm_difference(to_air.at(i), to_fabric.at(i), g.at(i))
        out[i] = room.air
    return upright(out)


def steady_loss_w_per_k(net: Network, *, inside_c: float = 20.0, outside_c: float = -5.0) -> FloatArray:
    """Heat that holds the air at ``inside_c``, per kelvin, W/K: window shut, no fire, no sun.

    The rated wind is in ``leak_w_per_k``. Source: the network, solved for a steady state.
    """
    driven = LEAK_STEADY + (1.0 - LEAK_STEADY) * stack_factor(np.asarray(inside_c), np.asarray(outside_c))
    series = net.couple_w_per_k * net.fabric_w_per_k / (net.couple_w_per_k + net.fabric_w_per_k)
    loss: FloatArray = net.direct_w_per_k + net.leak_w_per_k * driven + series
    return loss


def cooling_c(
    net: Network, *, from_c: float, outside_c: float, steps: int, shape: tuple[int, ...]
) -> FloatArray:
    """The air after each step of cooling, °C, axes (step, *lanes): no fire, no sun, nobody in, window shut.

    The fabric begins as after a long hold at ``from_c``: between room and outdoors by its conductances.

    Args:
        net: The cabins.
        from_c: Air at the start, °C.
        outside_c: Outdoors all along, °C.
        steps: How many steps.
        shape: Of the lanes.
    """
    wall = (net.couple_w_per_k * from_c + net.fabric_w_per_k * outside_c) / (
        net.couple_w_per_k + net.fabric_w_per_k
    )
    fabric = np.broadcast_to(wall, shape)
    lane = (steps, *([1] * len(shape)))
    zero = np.zeros(lane)
    return run(
        net,
        outdoor_c=np.full(lane, outside_c),
        stove_w=zero,
        fire_kw=zero,
        air_gain_w=zero,
        fabric_gain_w=zero,
        window_w_per_k=zero,
        start=RoomState(np.full(shape, from_c), fabric.copy(), fabric.copy()),
    ).air_c


def cooling_time_constant_h(
    net: Network, *, inside_c: float = 20.0, outside_c: float = -5.0, shape: tuple[int, ...]
) -> FloatArray:
    """Slope of ln(inside − outside), 2–10 h after a long hold ends, as a time constant in h."""
    steps = round(10 * 3600 / STEP_S)
    air_c = cooling_c(net, from_c=inside_c, outside_c=outside_c, steps=steps, shape=shape)
    # Least-squares slope over the steps from 2 h to 10 h, as an observer with a logger would draw it.
    first = round(2 * 3600 / STEP_S) - 1
    hours = (np.arange(first, steps) + 1) * STEP_S / 3600.0
    log_k = np.log(np.maximum(air_c[first:] - outside_c, 1e-6))
    centred = (hours - hours.mean()).reshape(-1, *([1] * len(shape)))
    slope = (centred * log_k).sum(axis=0) / (centred**2).sum()
    tau: FloatArray = -1.0 / slope
    return tau
