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

HEAT_MJ_PER_KG_DRY = 18.0
"""Net heat of one kg of dry wood burned at about 20 % moisture (wet basis), MJ/kg.
Source: 18.5 MJ/kg oven-dry net (Wood Fuels Handbook, from memory) less 2.44 MJ per kg of water."""

CHAR_YIELD = 0.22
"""Charcoal made per kg of dry wood burned, kg/kg.
Source: 14–20 % of the mass remained in cone-calorimeter runs of pine (MaCFP database), about 20 % in an
extension text (as reported); a stove's slower fire leaves a little more. ASSUMED 0.22."""

LOWEST_HOT_KW = 0.5
"""Below this gross heat the chimney draws no less, kW. ASSUMED."""


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


def burn(
    law: FireLaw,
    *,
    air_open: FloatArray,
    load_kg: FloatArray,
    kindled: FloatArray,
    firebox_kg: float | FloatArray,
    heat_mj_per_kg: float | FloatArray = HEAT_MJ_PER_KG_DRY,
    start: FireState,
) -> Burn:
    """Run fires through a series of loads and air settings.

    Args:
        law: The stove; arrays that broadcast to the lanes.
        air_open: Lever, 0 shut to 1 open; axes (step, *lanes), lanes may be 1.
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
    log_limit = log_air_limit(law, air_open)
    fresh, wood, char, hot, body, slow = (part.copy() for part in start)
    shape = (steps, *wood.shape)
    to_room, all_gross, wood_left, char_left = (np.empty(shape, dtype=wood.dtype) for _ in range(4))
    dt = STEP_H
    hot_gain = -np.expm1(-dt / law.hot_h)
    body_gain = -np.expm1(-dt / law.body_h)
    slow_gain = -np.expm1(-dt / law.slow_h)
    wood_heat = (1.0 - law.char_share) * heat_mj_per_kg / 3.6
    char_heat = law.char_share * heat_mj_per_kg / CHAR_YIELD / 3.6
    air_loss = 1.0 + law.loss_by_air * air_open
    any_load: BoolArray = np.asarray((load_kg.reshape(steps, -1) > 0.0).any(axis=1))
    any_kindling: BoolArray = np.asarray((kindled.reshape(steps, -1) > 0.0).any(axis=1))
    for i in range(steps):
        if any_load[i]:
            room_left = np.maximum(firebox_kg - fresh - wood, 0.0)
            fresh = fresh + np.minimum(load_kg[i], room_left)
        if any_kindling[i]:
            hot = np.maximum(hot, kindled[i] * law.kindled_kw)
        caught = fresh * -np.expm1((-dt / law.catch_h) * (0.3 + 0.25 * hot))
        fresh = fresh - caught
        wood = wood + caught
        log_rate = log_limit[i] + law.draught * np.log(np.maximum(hot, LOWEST_HOT_KW) * (1.0 / 6.0))
        by_air = np.exp(log_rate)
        by_wood = law.wood_rate * wood * (law.smoulder_kw + hot)
        rate = np.minimum(by_wood * by_air / (by_wood + by_air), wood * (0.95 / dt))
        wood = wood - rate * dt
        char_burn = np.minimum(law.char_rate * char * np.exp(law.char_air * log_rate), char * (0.95 / dt))
        char = char + (CHAR_YIELD * rate - char_burn) * dt
        gross = wood_heat * rate + char_heat * char_burn
        hot = hot + (gross - hot) * hot_gain
        useful = law.efficiency * gross / (air_loss[i] + law.loss_by_rate * np.maximum(gross - 5.0, 0.0))
        body = body + ((1.0 - law.slow_share) * useful - body) * body_gain
        slow = slow + (law.slow_share * useful - slow) * slow_gain
        to_room[i] = body + slow
        all_gross[i] = gross
        wood_left[i] = fresh + wood
        char_left[i] = char
    last = FireState(fresh, wood, char, hot, body, slow)
    return Burn(to_room_kw=to_room, gross_kw=all_gross, wood_kg=wood_left, char_kg=char_left, last=last)
