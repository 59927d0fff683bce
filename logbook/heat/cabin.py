"""The thermal network: outdoor temperature and heat -> room temperature.

Three nodes: air (with light things), fabric within reach of a night, and deep fabric behind it. Losses go by
the fabric and by the air; those by air grow with the temperature difference, as a stack does. Implicit Euler
on five-minute steps: it cannot oscillate, and it keeps its energy account exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from logbook.heat.arrays import STEP_S, BoolArray, FloatArray
from logbook.heat.rows import (
    Rows,
    Series,
    laid_out,
    steps_of,
    steps_together,
    stretches,
    turned_over,
    turns,
    upright,
)

STACK_REFERENCE_K = 26.0
"""Temperature difference, plus one, at which the leak has its rated value, K: 20 °C inside, −5 °C outside."""

LEAK_STEADY = 0.1
"""Share of the leak that wind drives whatever the temperature difference. Source: the basic infiltration
model (Sherman & Grimsrud 1980) sheltered at 2.5 m/s goes from 0.83 to 1.21 times between 15 and 40 K."""

DRAUGHT_MOST_W_PER_K = 6.0
"""Loss by the air that a fire draws, W/K: one for each kW, at most so many. Source: 10–25 cfm drawn by a
stove (as reported) is 6–14 W/K at full fire; the share that would have leaked anyway is taken off. ASSUMED 4
at 4 kW, up to 6."""

LEAST_W_PER_K = 1e-9
"""A conductance too small to feel, W/K: stands for one that is not there."""


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


class _Walls:
    """The three nodes laid out lane by lane, and one implicit step of them.

    ``fabric`` is W/K times °C as the air feels it, ``deep`` likewise as the fabric feels it. A part that is
    not there is kept as one too weak to feel, so that both can be turned back into °C.
    """

    def __init__(self, net: Network, start: RoomState) -> None:
        shape, dtype = start.air_c.shape, start.air_c.dtype

        def whole(values: FloatArray | float) -> FloatArray:
            return laid_out(values, shape, dtype)

        couple, deep_w = (np.maximum(x, LEAST_W_PER_K) for x in (net.couple_w_per_k, net.deep_w_per_k))
        deep_k = deep_w * STEP_S / net.deep_j_per_k
        deep_keep = 1.0 / (1.0 + deep_k)
        air_s, fabric_s = net.air_j_per_k / STEP_S, net.fabric_j_per_k / STEP_S
        inner = 1.0 / (fabric_s + couple + net.fabric_w_per_k + deep_w * deep_keep)
        pulled = couple * inner
        deep_give = pulled * deep_w * deep_keep
        self.past_fabric = turned_over(couple * (1.0 - pulled), shape, dtype)  # outdoors, through the fabric
        self.fabric_in = turned_over(pulled, shape, dtype)
        self.outdoor_in = turned_over(pulled * net.fabric_w_per_k, shape, dtype)
        self.own, self._air_s = whole(air_s + couple * (1.0 - pulled)), whole(air_s)
        self._fabric_keep, self._pull = whole(inner * fabric_s), whole(couple * pulled)
        self._deep_keep, self._deep_take = whole(deep_keep), whole(deep_k * deep_keep * deep_give / couple)
        self._couple, self._deep_give = whole(couple), whole(deep_give)
        self.air = whole(start.air_c)
        self._fabric = whole(start.fabric_c) * self._couple
        self._deep = whole(start.deep_c) * self._deep_give

    def step(
        self,
        over: FloatArray,
        to_air_w: FloatArray,
        to_fabric: FloatArray,
        lost_w_per_k: FloatArray,
        *,
        out: FloatArray,
        outdoor_c: FloatArray | None = None,
    ) -> None:
        """One step. The air is solved as its difference to outdoors.

        Args:
            over: The air above outdoors, K; spoilt.
            to_air_w: Heat to the air, W, and what outdoors takes by way of the fabric.
            to_fabric: What the heat to the fabric makes of ``fabric``, outdoors included.
            lost_w_per_k: ``own`` and all that the air loses.
            out: Gets the air.
            outdoor_c: Outdoors; None for a difference of two rooms under one sky.
        """
        fabric, deep = self._fabric, self._deep
        np.multiply(fabric, self._fabric_keep, out=fabric)
        np.add(fabric, deep, out=fabric)
        np.add(fabric, to_fabric, out=fabric)
        np.multiply(over, self._air_s, out=over)
        np.add(over, fabric, out=over)
        np.add(over, to_air_w, out=over)
        np.divide(over, lost_w_per_k, out=out)
        if outdoor_c is not None:
            np.add(out, outdoor_c, out=out)
        np.multiply(out, self._pull, out=over)
        np.add(fabric, over, out=fabric)
        np.multiply(deep, self._deep_keep, out=deep)
        np.multiply(fabric, self._deep_take, out=over)
        np.add(deep, over, out=deep)

    def state(self) -> RoomState:
        """The rooms as they stand, axes of the lanes as given."""
        parts = (self.air, self._fabric / self._couple, self._deep / self._deep_give)
        return RoomState(*(part.T.copy() for part in parts))


class Rooms:
    """Rooms on their way, a stretch of steps at a time.

    The network is laid out lane by lane. The fabric is reckoned as the heat per kelvin it gives the air, and
    the deep fabric as what it gives the fabric: so most factors meet before the first step. What needs no
    step before it (weather, heat, draught) is reckoned for the whole stretch at once.

    Args:
        net: The cabin.
        outdoor_c: °C.
        air_gain_w: Heat to the air but the stove's, W.
        fabric_gain_w: Heat to the fabric but the stove's, W.
        window_w_per_k: Loss by an open or cracked window at 25 K, W/K.
        leak_scale: Wind: the leak is multiplied by this.
        start: Temperatures before the first step, with the shape of the lanes.
        steps: How many steps there are.
    """

    def __init__(
        self,
        net: Network,
        *,
        outdoor_c: Series,
        air_gain_w: Series,
        fabric_gain_w: Series,
        window_w_per_k: Series,
        leak_scale: Series,
        start: RoomState,
        steps: int,
    ) -> None:
        shape, dtype = start.air_c.shape, start.air_c.dtype

        def rows(given: Series) -> Rows:
            return Rows(given, shape=shape, dtype=dtype)

        self._outdoors, self._to_air, self._to_fabric = rows(outdoor_c), rows(air_gain_w), rows(fabric_gain_w)
        self._window, self._wind = rows(window_w_per_k), rows(leak_scale)
        self.stops: BoolArray = turns(window_w_per_k, steps=steps) | turns(leak_scale, steps=steps)
        """Steps at which a stretch must begin: a window or the wind turned."""
        self.stops[0] = True
        self._walls = w = _Walls(net, start)
        self._direct = turned_over(net.direct_w_per_k, shape, dtype)
        self._leak = turned_over(net.leak_w_per_k, shape, dtype)
        self._stove_air = turned_over(1e3 * (1.0 - net.to_fabric), shape, dtype)
        self._stove_fabric = turned_over(1e3 * net.to_fabric, shape, dtype) * w.fabric_in
        self._driven, self._difference, self._g = (np.empty_like(w.air) for _ in range(3))

    def _set_openings(self, i: int) -> None:
        """What of the loss by air is steady, and what goes with the stack, from step ``i`` on."""
        leak = self._leak * self._wind.between(i, i + 1)[0]
        self._still = self._walls.own + self._direct + LEAK_STEADY * leak
        driven = (1.0 - LEAK_STEADY) * leak + self._window.between(i, i + 1)[0]
        np.multiply(driven, STACK_REFERENCE_K**-0.5, out=self._driven)

    def ahead(
        self,
        first: int,
        end: int,
        *,
        stove_kw: FloatArray,
        fire_kw: FloatArray,
        air_c: FloatArray,
        air_w_per_k: FloatArray | None = None,
    ) -> None:
        """Steps ``first`` to ``end``, none but the first of them a stop; results go into ``air_c``, and the
        air node's conductance into ``air_w_per_k``; axes (step, *reversed lanes)."""
        if self.stops[first]:
            self._set_openings(first)
        w, u, g = self._walls, self._difference, self._g
        outdoor = self._outdoors.between(first, end)
        still = np.minimum(fire_kw, DRAUGHT_MOST_W_PER_K)  # 1 W/K for each kW
        still = still + self._still
        to_air = stove_kw * self._stove_air
        to_air += self._to_air.between(first, end) - w.past_fabric * outdoor
        to_fabric = stove_kw * self._stove_fabric
        to_fabric += w.fabric_in * self._to_fabric.between(first, end) + w.outdoor_in * outdoor
        outdoors = np.broadcast_to(outdoor, (end - first, *outdoor.shape[1:]))
        air = w.air
        for k in range(end - first):
            outside = outdoors[k]
            np.subtract(air, outside, out=u)
            np.abs(u, out=g)
            np.add(g, 1.0, out=g)
            np.sqrt(g, out=g)
            np.multiply(g, self._driven, out=g)
            np.add(g, still[k], out=g)
            if air_w_per_k is not None:
                np.subtract(g, w.own, out=air_w_per_k[k])
            air = air_c[k]
            w.step(u, to_air[k], to_fabric[k], g, out=air, outdoor_c=outside)
        w.air[:] = air

    def state(self) -> RoomState:
        """The rooms as they stand, axes of the lanes as given."""
        return self._walls.state()


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
    rooms = Rooms(
        net,
        outdoor_c=outdoor_c,
        air_gain_w=air_gain_w,
        fabric_gain_w=fabric_gain_w,
        window_w_per_k=window_w_per_k,
        leak_scale=leak_scale,
        start=start,
        steps=steps,
    )
    stove, fire = (Rows(given, shape=shape, dtype=dtype) for given in (stove_w, fire_kw))
    out_c, out_g = np.empty((2, steps, *reversed(shape)), dtype=dtype)
    for first, end in stretches(rooms.stops, most=steps_together(start.air_c.size)):
        rooms.ahead(
            first,
            end,
            stove_kw=1e-3 * stove.between(first, end),
            fire_kw=fire.between(first, end),
            air_c=out_c[first:end],
            air_w_per_k=out_g[first:end],
        )
    return Course(air_c=upright(out_c), air_w_per_k=upright(out_g), last=rooms.state())


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
    walls = _Walls(net, start)
    out = np.empty((steps, *reversed(shape)), dtype=dtype)
    to_air, to_fabric, g = (
        Rows(given, shape=shape, dtype=dtype) for given in (to_air_w, to_fabric_w, air_w_per_k)
    )
    over = np.empty_like(walls.air)
    air = walls.air
    most = steps_together(over.size)
    for first in range(0, steps, most):
        end = min(first + most, steps)
        lost, heat = walls.own + g.between(first, end), to_air.between(first, end)
        to_walls = walls.fabric_in * to_fabric.between(first, end)
        for k in range(end - first):
            np.copyto(over, air)
            air = out[first + k]
            walls.step(over, heat[k], to_walls[k], lost[k], out=air)
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
