"""Loads and air over time -> heat given off over time. What burns does not depend on the room.

Four pools follow one another: fresh wood N (cold, wet), wood F that has caught, charcoal K, all kg dry; and
``hot``, the smoothed gross heat of the fire in kW. A fire drives its own pyrolysis, so the rate at which wood
can burn grows with ``hot``; the air that gets in sets the other limit. MODEL.md has the equations and what
each term gained.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from logbook.heat.arrays import STEP_H, BoolArray, FloatArray
from logbook.heat.rows import laid_out, steps_together, stretches, upright

CHAR_YIELD = 0.22
"""Charcoal made per kg of dry wood burned, kg/kg.
Source: 14–20 % of the mass remained in cone-calorimeter runs of pine (MaCFP database), about 20 % in an
extension text (as reported, `wood.MEASURED_CHAR_YIELD`); a stove's slower fire leaves a little more. ASSUMED
0.22: the priors around it were set with it."""

LOWEST_HOT_KW = 0.5
"""Below this gross heat the chimney draws no less, kW. ASSUMED."""

GLOW_KG = 0.02
"""Charcoal that half keeps wood smouldering, kg: a small ember. ASSUMED."""

LEAST_FRESH_KG = 1e-4
"""The last bit of a load catches at once, kg: a tenth of a gram, so that most steps have none to reckon."""


class FireLaw(NamedTuple):
    """What one stove does, each an array that broadcasts over the lanes.

    Units: rates kg dry/h, times h, heat kW; the rest are shares or exponents. MODEL.md names each.
    """

    wood_rate: FloatArray  # k: kg/h burned per kg of wood and kW of fire
    smoulder_kw: FloatArray  # f0: what wood does with no fire about it, as if this much fire, kW
    rate_at_30: FloatArray  # R30: burning rate the air allows at 30 % open, kg/h
    leak_share: FloatArray  # rho0: share of R30 that gets in with the lever shut
    rate_at_100: FloatArray  # R100: the same, wide open, kg/h
    draught: FloatArray  # beta: how far a hotter fire draws more air
    char_rate: FloatArray  # ck
    char_air: FloatArray  # m: how far charcoal follows the air
    char_share: FloatArray  # phi: share of the heat that charcoal carries
    efficiency: FloatArray  # eta, before the two losses below
    loss_by_air: FloatArray  # ea
    loss_by_rate: FloatArray  # el, per kW above 5 kW
    hot_h: FloatArray  # tau_h
    catch_h: FloatArray  # tau_n
    kindled_kw: FloatArray  # fire that kindling makes at once, kW
    body_h: FloatArray  # tau_b
    slow_share: FloatArray  # w2: share of the heat that the heavy parts hold back
    slow_h: FloatArray  # tau_2


class FireState(NamedTuple):
    """The fire between two steps, each with the shape of the lanes."""

    fresh_kg: FloatArray
    wood_kg: FloatArray
    char_kg: FloatArray
    hot_kw: FloatArray
    body_kw: FloatArray
    slow_kw: FloatArray


@dataclass(frozen=True)
class Burn:
    """A fire over time; axes (step, *lanes). ``to_room_kw`` is useful heat, ``gross_kw`` all of it."""

    to_room_kw: FloatArray
    gross_kw: FloatArray
    wood_kg: FloatArray
    char_kg: FloatArray
    last: FireState


def cold_stove(shape: tuple[int, ...], dtype: type = np.float64) -> FireState:
    """A stove with nothing in it, for lanes of this shape."""
    return FireState(*(np.zeros(shape, dtype=dtype) for _ in range(6)))


def log_air_limit(law: FireLaw, air_open: FloatArray) -> FloatArray:
    """Logarithm of the burning rate that the air allows, ln(kg/h), at a fire of 6 kW.

    ``air_open`` is the lever, 0–1, broadcast against the law. The law goes through the leak, the rate at
    30 % and the rate wide open; a power in between. Never zero when shut: no stove is tight.
    """
    leak = law.leak_share * law.rate_at_30
    third = np.maximum(law.rate_at_30 - leak, 0.05 * leak + 0.02)
    full = np.maximum(law.rate_at_100 - leak, 1.05 * third)
    power = np.log(full / third) / np.log(1.0 / 0.3)
    limit: FloatArray = np.log(leak + full * np.power(air_open, power))
    return limit


class Fires:
    """Fires on their way through their loads and air settings, a stretch of steps at a time.

    The law is laid out lane by lane, and every step writes into arrays that are there already. Wood that has
    caught and charcoal stand side by side, charcoal as the wood it came from, so that one call serves both.
    What needs no step before it (the losses, the kW) is reckoned for the whole stretch at once.

    Args:
        law: The stove; arrays that broadcast to the lanes.
        air_open: Lever, 0 shut to 1 open; axes (step, 1, plan or stay).
        load_kg: Wood laid in at the start of each step, kg dry; same axes.
        kindled: 1 where small stuff was lit, else 0; same axes.
        firebox_kg: What the full firebox takes, kg dry.
        heat_mj_per_kg: Net heat, MJ per kg dry.
        start: The fire before the first step, with the shape of the lanes.
        most: The longest stretch, in steps.
    """

    def __init__(
        self,
        law: FireLaw,
        *,
        air_open: FloatArray,
        load_kg: FloatArray,
        kindled: FloatArray,
        firebox_kg: float | FloatArray,
        heat_mj_per_kg: float | FloatArray,
        start: FireState,
        most: int,
    ) -> None:
        shape, dtype = start.wood_kg.shape, start.wood_kg.dtype

        def whole(*values: FloatArray | float) -> FloatArray:
            parts = [laid_out(part, shape, dtype) for part in values]
            return np.stack(parts) if len(parts) > 1 else parts[0]

        self._load_kg, self._kindled = load_kg, kindled
        self._firebox = whole(firebox_kg)
        self._smoulder, self._kindled_kw = whole(law.smoulder_kw), whole(law.kindled_kw)
        catch = -STEP_H / law.catch_h
        self._catch_hot, self._catch_cold = whole(0.25 * catch), whole(0.3 * catch)
        self._wood_rate = whole(law.wood_rate * STEP_H)
        self._draught = whole(law.draught, law.draught * law.char_air)
        # ``hot`` takes up its share of the heat in every step: the heat is reckoned as that share.
        gain = -np.expm1(-STEP_H / law.hot_h)
        per_kg = np.asarray(heat_mj_per_kg) / 3.6 / STEP_H * gain
        self._kw = whole((1.0 - law.char_share) * per_kg, law.char_share * per_kg)
        self._hot_keep, self._whole_heat = whole(1.0 - gain), whole(1.0 / gain)
        self._quiet = whole(5.0 * gain)
        self._rate_loss = whole(law.loss_by_rate / law.efficiency)
        self._body_keep = whole(np.exp(-STEP_H / law.body_h), np.exp(-STEP_H / law.slow_h))
        self._body_in = whole(
            (1.0 - law.slow_share) * -np.expm1(-STEP_H / law.body_h),
            law.slow_share * -np.expm1(-STEP_H / law.slow_h),
        )
        self._fresh, self._hot = whole(start.fresh_kg), whole(start.hot_kw)
        self._waiting = bool(self._fresh.any())
        lanes = self._fresh.shape
        self._pools, self._bodies, self._fed = np.empty((3, most + 1, 2, *lanes), dtype=dtype)
        self._pools[0] = whole(start.fresh_kg + start.wood_kg, start.char_kg * (1.0 / CHAR_YIELD))
        self._bodies[0] = whole(start.body_kw, start.slow_kw)
        self._useful = np.empty((most, *lanes), dtype=dtype)
        self._air, self._rates, self._limits = np.empty((3, 2, *lanes), dtype=dtype)
        self._air_loss, self._spare, self._other = np.empty((3, *lanes), dtype=dtype)
        self._lay_levers(law, gain, air_open)
        moved = np.any(air_open[1:] != air_open[:-1], axis=(1, 2))
        self._moved: list[bool] = [True, *moved.tolist()]
        self._loaded: list[bool] = np.any(load_kg, axis=(1, 2)).tolist()
        self._lit: list[bool] = np.any(kindled, axis=(1, 2)).tolist()
        self.stops: BoolArray = np.array(self._moved) | np.array(self._loaded) | np.array(self._lit)
        """Steps at which a stretch must begin."""

    def _lay_levers(self, law: FireLaw, gain: FloatArray, air_open: FloatArray) -> None:
        """What the air allows at every lever position there is, once."""
        positions, which = np.unique(air_open[:, 0], return_inverse=True)
        lever = positions[:, None, None].astype(self._fresh.dtype)
        log_limit = log_air_limit(law, lever) - law.draught * np.log(6.0)
        lost = 1.0 + law.loss_by_air * lever - 5.0 * law.loss_by_rate
        laws = (
            np.exp(log_limit) * STEP_H,
            law.char_rate * STEP_H * np.exp(law.char_air * log_limit),
            gain * lost / law.efficiency,
        )
        self._laws = [np.ascontiguousarray(part.transpose(0, 2, 1), dtype=self._fresh.dtype) for part in laws]
        self._which = which.reshape(air_open.shape[0], air_open.shape[2])

    def _set_air(self, i: int) -> None:
        """The lever moved somewhere at step ``i``."""
        which = self._which
        moved = np.flatnonzero(which[i] != which[i - 1]) if i else np.arange(which.shape[1])
        column = moved if which.shape[1] > 1 else slice(None)
        for kept, law in zip((*self._air, self._air_loss), self._laws, strict=True):
            own = moved if law.shape[1] > 1 else 0
            kept[column] = law[which[i, moved], own]

    def _begin(self, i: int) -> None:
        """What people do at step ``i``: the lever, wood as far as it fits, small stuff lit."""
        if self._moved[i]:
            self._set_air(i)
        if self._loaded[i]:
            space, total = self._spare, self._pools[0, 0]
            np.subtract(self._firebox, total, out=space)
            np.maximum(space, 0.0, out=space)
            np.minimum(self._load_kg[i].T, space, out=space)
            self._fresh += space
            total += space
            self._waiting = True
        if self._lit[i]:
            np.maximum(self._hot, self._kindled[i].T * self._kindled_kw, out=self._hot)

    def ahead(
        self,
        first: int,
        end: int,
        *,
        to_room_kw: FloatArray,
        gross_kw: FloatArray,
        wood_kg: FloatArray | None = None,
        char_kg: FloatArray | None = None,
    ) -> None:
        """Steps ``first`` to ``end``, none but the first of them a stop; results go into the arrays given,
        axes (step, *reversed lanes)."""
        steps = end - first
        self._begin(first)
        for k in range(steps):
            if self._waiting:
                self._catch_fire()
            self._burn(self._pools[k], self._pools[k + 1], gross_kw[k])
        self._give(gross_kw, to_room_kw)
        if wood_kg is not None and char_kg is not None:
            wood_kg[:] = self._pools[1 : steps + 1, 0]
            np.multiply(self._pools[1 : steps + 1, 1], CHAR_YIELD, out=char_kg)
        self._pools = _carried_over(self._pools, steps)

    def _catch_fire(self) -> None:
        """Fresh wood warms and catches; the last bit at once, so that an end comes."""
        caught, fresh = self._spare, self._fresh
        np.multiply(self._hot, self._catch_hot, out=caught)
        np.add(caught, self._catch_cold, out=caught)
        np.exp(caught, out=caught)
        np.greater_equal(fresh, LEAST_FRESH_KG, out=self._other)
        np.multiply(caught, self._other, out=caught)
        np.multiply(fresh, caught, out=fresh)
        self._waiting = bool(fresh.any())

    def _burn(self, pools: FloatArray, left: FloatArray, gross: FloatArray) -> None:
        """One step of burning from ``pools`` to ``left``; ``gross`` gets the share of its heat, kW."""
        a, c, rates, limits, hot = self._spare, self._other, self._rates, self._limits, self._hot
        wood, char = pools[0], pools[1]
        np.multiply(pools, 0.95, out=limits)
        if self._waiting:
            wood = self._caught(wood, limits[0])
        np.maximum(hot, LOWEST_HOT_KW, out=a)
        np.log(a, out=a)
        np.multiply(a, self._draught, out=rates)
        np.exp(rates, out=rates)
        np.multiply(rates, self._air, out=rates)  # what the air allows wood, and charcoal for each kg
        np.add(char, GLOW_KG / CHAR_YIELD, out=c)
        np.divide(char, c, out=c)  # no glow, no smoulder: cold wood does not light itself
        np.multiply(c, self._smoulder, out=c)
        np.add(c, hot, out=c)
        np.multiply(c, self._wood_rate, out=c)
        np.multiply(c, wood, out=c)  # what the wood allows
        np.add(rates[0], c, out=a)
        np.divide(c, a, out=c)
        np.multiply(rates[0], c, out=rates[0])
        np.multiply(rates[1], char, out=rates[1])
        np.minimum(rates, limits, out=rates)
        np.subtract(pools, rates, out=left)
        np.add(left[1], rates[0], out=left[1])
        np.multiply(rates, self._kw, out=rates)
        np.add(rates[0], rates[1], out=gross)
        np.multiply(hot, self._hot_keep, out=hot)
        np.add(hot, gross, out=hot)

    def _caught(self, total: FloatArray, limit: FloatArray) -> FloatArray:
        """Wood that has caught, in room of its own; ``limit`` gets the most of it that burns in a step."""
        wood: FloatArray = self._useful[0]  # free until the heat is given
        np.subtract(total, self._fresh, out=wood)
        np.multiply(wood, 0.95, out=limit)
        return wood

    def _give(self, gross: FloatArray, to_room: FloatArray) -> None:
        """The heat of a stretch into the body of the stove and the room, both in kW from here on."""
        steps = len(gross)
        useful, bodies, fed = self._useful[:steps], self._bodies, self._fed[:steps]
        np.maximum(gross, self._quiet, out=useful)
        np.multiply(useful, self._rate_loss, out=useful)
        np.add(useful, self._air_loss, out=useful)
        np.divide(gross, useful, out=useful)
        np.multiply(useful[:, None], self._body_in, out=fed)
        for k in range(steps):
            np.multiply(bodies[k], self._body_keep, out=bodies[k + 1])
            np.add(bodies[k + 1], fed[k], out=bodies[k + 1])
        np.add(bodies[1 : steps + 1, 0], bodies[1 : steps + 1, 1], out=to_room)
        np.multiply(gross, self._whole_heat, out=gross)
        self._bodies = _carried_over(bodies, steps)

    def left(self, *, wood_kg: FloatArray, char_kg: FloatArray) -> None:
        """What is left now, kg dry, into the arrays given, axes (*reversed lanes)."""
        np.copyto(wood_kg, self._pools[0, 0])
        np.multiply(self._pools[0, 1], CHAR_YIELD, out=char_kg)

    def state(self) -> FireState:
        """The fire as it stands, axes of the lanes as given."""
        total, char = self._pools[0]
        body, slow = self._bodies[0]
        parts = (self._fresh, total - self._fresh, char * CHAR_YIELD, self._hot, body, slow)
        return FireState(*(part.T.copy() for part in parts))


def _carried_over(rows: FloatArray, steps: int) -> FloatArray:
    """Rows whose first is the one reached after so many steps; those behind it are free."""
    if steps == len(rows) - 1:
        turned: FloatArray = rows[::-1]
        return turned
    rows[0] = rows[steps]
    return rows


def burn(
    law: FireLaw,
    *,
    air_open: FloatArray,
    load_kg: FloatArray,
    kindled: FloatArray,
    firebox_kg: float | FloatArray,
    heat_mj_per_kg: float | FloatArray,
    start: FireState,
) -> Burn:
    """Run fires through a series of loads and air settings.

    Args:
        law: The stove; arrays that broadcast to the lanes.
        air_open: Lever, 0 shut to 1 open; axes (step, 1, plan or stay).
        load_kg: Wood laid in at the start of each step, kg dry; same axes. It counts only as far as it
            fits into the firebox beside what is left.
        kindled: 1 where small stuff was lit, else 0; same axes.
        firebox_kg: What the full firebox takes, kg dry.
        heat_mj_per_kg: Net heat, MJ per kg dry.
        start: The fire before the first step, with the shape of the lanes.

    Returns:
        The burn, at the end of each step of five minutes.
    """
    most = steps_together(start.wood_kg.size)
    fires = Fires(
        law,
        air_open=air_open,
        load_kg=load_kg,
        kindled=kindled,
        firebox_kg=firebox_kg,
        heat_mj_per_kg=heat_mj_per_kg,
        start=start,
        most=most,
    )
    return burn_out(fires, steps=air_open.shape[0], most=most)


def burn_out(fires: Fires, *, steps: int, most: int) -> Burn:
    """Fires through all their steps, in stretches of at most ``most``, with everything written down."""
    like = fires.state().wood_kg
    rows = (steps, *reversed(like.shape))
    to_room, gross, wood, char = (np.empty(rows, dtype=like.dtype) for _ in range(4))
    for first, end in stretches(fires.stops, most=most):
        part = slice(first, end)
        fires.ahead(
            first, end, to_room_kw=to_room[part], gross_kw=gross[part], wood_kg=wood[part], char_kg=char[part]
        )
    return Burn(
        to_room_kw=upright(to_room),
        gross_kw=upright(gross),
        wood_kg=upright(wood),
        char_kg=upright(char),
        last=fires.state(),
    )
