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

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.rows import laid_out, upright

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


class _Grate:
    """Fires on their way: the law laid out lane by lane, the state, and room to reckon in.

    Every step writes into arrays that are there already. Masses are kg, and what burns is per step.
    """

    def __init__(
        self,
        law: FireLaw,
        *,
        firebox_kg: float | FloatArray,
        heat_mj_per_kg: float | FloatArray,
        start: FireState,
    ) -> None:
        shape, dtype = start.wood_kg.shape, start.wood_kg.dtype

        def whole(values: FloatArray | float) -> FloatArray:
            return laid_out(values, shape, dtype)

        self.law = law
        self.whole = whole
        self.firebox = whole(firebox_kg)
        self.smoulder, self.kindled = whole(law.smoulder_kw), whole(law.kindled_kw)
        self.catch = whole(-STEP_H / law.catch_h)
        self.wood_rate = whole(law.wood_rate * STEP_H)
        self.draught, self.char_draught = whole(law.draught), whole(law.draught * law.char_air)
        per_kg = np.asarray(heat_mj_per_kg) / 3.6 / STEP_H
        self.wood_kw = whole((1.0 - law.char_share) * per_kg)
        self.char_kw = whole(law.char_share / CHAR_YIELD * per_kg)
        self.hot_gain = whole(-np.expm1(-STEP_H / law.hot_h))
        self.rate_loss = whole(law.loss_by_rate / law.efficiency)
        self.body_keep = whole(np.exp(-STEP_H / law.body_h))
        self.slow_keep = whole(np.exp(-STEP_H / law.slow_h))
        self.body_in = whole((1.0 - law.slow_share) * -np.expm1(-STEP_H / law.body_h))
        self.slow_in = whole(law.slow_share * -np.expm1(-STEP_H / law.slow_h))
        state = (whole(part) for part in start)
        self.fresh, self.wood, self.char, self.hot, self.body, self.slow = state
        self.waiting = bool(self.fresh.any())
        self.room = [np.empty_like(self.wood) for _ in range(3)]
        self.air, self.char_air, self.air_loss = (np.empty_like(self.wood) for _ in range(3))

    def lay_levers(self, air_open: FloatArray) -> None:
        """What the air allows at every lever position there is, once; ``air_open`` as in ``burn``."""
        positions, which = np.unique(air_open[:, 0], return_inverse=True)
        lever = positions[:, None, None].astype(self.wood.dtype)
        law = self.law
        log_limit = log_air_limit(law, lever) - law.draught * np.log(6.0)
        lost = 1.0 + law.loss_by_air * lever - 5.0 * law.loss_by_rate
        laws = (
            np.exp(log_limit) * STEP_H,
            law.char_rate * STEP_H * np.exp(law.char_air * log_limit),
            lost / law.efficiency,
        )
        self.laws = [np.ascontiguousarray(part.transpose(0, 2, 1), dtype=self.wood.dtype) for part in laws]
        self.which = which.reshape(air_open.shape[0], air_open.shape[2])

    def set_air(self, i: int) -> None:
        """The lever moved somewhere at step ``i``."""
        moved = np.flatnonzero(self.which[i] != self.which[i - 1]) if i else np.arange(self.which.shape[1])
        column = moved if self.which.shape[1] > 1 else slice(None)
        for kept, law in zip((self.air, self.char_air, self.air_loss), self.laws, strict=True):
            own = moved if law.shape[1] > 1 else 0
            kept[column] = law[self.which[i, moved], own]

    def load(self, load_kg: FloatArray) -> None:
        """Wood laid in, as far as it fits."""
        space, _, _ = self.room
        np.subtract(self.firebox, self.fresh, out=space)
        space -= self.wood
        np.maximum(space, 0.0, out=space)
        self.fresh += np.minimum(load_kg.T, space)
        self.waiting = True

    def kindle(self, kindled: FloatArray) -> None:
        """Small stuff lit."""
        np.maximum(self.hot, kindled.T * self.kindled, out=self.hot)

    def catch_fire(self) -> None:
        """Fresh wood warms and catches; the last bit at once, so that an end comes."""
        caught, _, _ = self.room
        np.multiply(self.hot, 0.25, out=caught)
        caught += 0.3
        caught *= self.catch
        np.expm1(caught, out=caught)
        caught *= self.fresh
        np.negative(caught, out=caught)
        np.copyto(caught, self.fresh, where=self.fresh < LEAST_FRESH_KG)
        self.fresh -= caught
        self.wood += caught
        self.waiting = bool(self.fresh.any())

    def burn(self, gross: FloatArray) -> None:
        """One step of burning; ``gross`` gets its heat, kW."""
        a, b, c = self.room
        np.maximum(self.hot, LOWEST_HOT_KW, out=a)
        np.log(a, out=a)
        np.multiply(a, self.char_draught, out=b)
        np.exp(b, out=b)
        b *= self.char_air
        np.minimum(b, 0.95, out=b)
        b *= self.char  # charcoal burned
        a *= self.draught
        np.exp(a, out=a)
        a *= self.air  # what the air allows
        np.add(self.char, GLOW_KG, out=gross)
        np.divide(self.char, gross, out=c)  # no glow, no smoulder: cold wood does not light itself
        c *= self.smoulder
        c += self.hot
        c *= self.wood
        c *= self.wood_rate  # what the wood allows
        np.multiply(a, c, out=gross)
        a += c
        gross /= a
        np.multiply(self.wood, 0.95, out=a)
        np.minimum(gross, a, out=gross)  # wood burned
        self.wood -= gross
        self.char -= b
        np.multiply(gross, CHAR_YIELD, out=a)
        self.char += a
        gross *= self.wood_kw
        b *= self.char_kw
        gross += b

    def give(self, gross: FloatArray, out: FloatArray) -> None:
        """The heat of a step into the fire, the body and the room; ``out`` gets the last, kW."""
        a, b, _ = self.room
        np.subtract(gross, self.hot, out=a)
        a *= self.hot_gain
        self.hot += a
        np.maximum(gross, 5.0, out=a)
        a *= self.rate_loss
        a += self.air_loss
        np.divide(gross, a, out=a)  # useful
        self.body *= self.body_keep
        np.multiply(a, self.body_in, out=b)
        self.body += b
        self.slow *= self.slow_keep
        a *= self.slow_in
        self.slow += a
        np.add(self.body, self.slow, out=out)

    def state(self) -> FireState:
        """The fire as it stands, axes of the lanes as given."""
        parts = (self.fresh, self.wood, self.char, self.hot, self.body, self.slow)
        return FireState(*(part.T.copy() for part in parts))


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
    steps = air_open.shape[0]
    shape, dtype = start.wood_kg.shape, start.wood_kg.dtype
    grate = _Grate(law, firebox_kg=firebox_kg, heat_mj_per_kg=heat_mj_per_kg, start=start)
    to_room, gross, wood, char = (np.empty((steps, *reversed(shape)), dtype=dtype) for _ in range(4))
    loaded, lit = (np.any(series, axis=(1, 2)).tolist() for series in (load_kg, kindled))
    grate.lay_levers(air_open)
    turned = [True, *np.any(air_open[1:] != air_open[:-1], axis=(1, 2)).tolist()]
    for i in range(steps):
        if turned[i]:
            grate.set_air(i)
        if loaded[i]:
            grate.load(load_kg[i])
        if lit[i]:
            grate.kindle(kindled[i])
        if grate.waiting:
            grate.catch_fire()
        grate.burn(gross[i])
        grate.give(gross[i], to_room[i])
        np.add(grate.fresh, grate.wood, out=wood[i])
        char[i] = grate.char
    return Burn(
        to_room_kw=upright(to_room),
        gross_kw=upright(gross),
        wood_kg=upright(wood),
        char_kg=upright(char),
        last=grate.state(),
    )
