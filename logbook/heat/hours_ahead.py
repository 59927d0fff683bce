"""The hours ahead with every node of the room, draw by draw, each with its own luck.

``night.py`` carries what a notebook can't say as linear responses of the air alone, quick for many plans.
Here the same effects are put into the run itself, so that the fabric, the outdoor temperature and the luck of
each draw can be looked at beside the air: needed for walls, for days rather than one night, and for asking
what an observation would tell. A test holds both ways together. Left out on purpose: the unevenness of a room
while a fire heats it. It would let a thermometer cross a line before the room does; whoever reads carries it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.cabin import RoomState, run
from logbook.heat.effects import (
    HEAT_SD,
    OUTDOOR_BLOCK_H,
    PEAK_SD,
    SHAPE_SD,
    START_DEEP_SD_K,
    START_FABRIC_SD_K,
    WIND_BLOCK_H,
    WIND_SD,
    WINDOW_EXTRA_W_PER_K,
    WINDOW_SD,
    matern,
)
from logbook.heat.model import ALWAYS_W, PERSON_W, window_w_per_k
from logbook.heat.night import Base, plans_on_grid
from logbook.heat.outdoors_ahead import OutdoorAhead
from logbook.heat.plans import PlanArrays
from logbook.heat.priors import fire_law, network, values
from logbook.heat.stove import FireState, burn
from logbook.heat.weather import STEP, sun_w
from logbook.records import Entry

LOOK_STEPS = 3
"""Nodes are looked at every quarter of an hour, as elsewhere."""

LONGEST_FIRE_H = 36.0
"""A stove left alone is cold after this long, h; beyond it no fire is reckoned. ASSUMED: ash keeps single
embers for days, but they warm no room."""

LEAST_LEAK_SCALE = 0.2
"""A draw's calm never takes the leak below this share. ASSUMED."""

SKY_MOST = 2.0
"""A day's sun against the usual one, at most; days are spread evenly from none to this. ASSUMED."""

SETTLING_H = 12.0
"""How soon this stay's readings tell of the fabric: its start is unsure by exp(-hours/this) of what it was
at the door, h. ASSUMED: a day inside leaves little of it."""


@dataclass(frozen=True)
class Luck:
    """What no reading has told yet, one sample for each draw; standard normal but for the sky.

    Axes (draw, ...).
    """

    outdoor: FloatArray  # (draw, look): falls off over OUTDOOR_BLOCK_H
    outdoor_common: FloatArray  # (draw,): the same all along
    wind: FloatArray  # (draw, block)
    heat: FloatArray  # (draw, load); the first is what lies in the stove now
    shape: FloatArray  # (draw, load)
    peak: FloatArray  # (draw, load)
    sky: FloatArray  # (draw, day), 0 to SKY_MOST, uniform: overcast to clear
    window: FloatArray  # (draw,)
    fabric: FloatArray  # (draw,)
    deep: FloatArray  # (draw,)
    smooth_k: FloatArray  # (draw, look), K: the model's own smooth discrepancy from now on


@dataclass(frozen=True)
class Hours:
    """Every node from now on. Axes (plan, draw, look); °C, kg dry, kW. ``outdoor_c`` is (draw, look)."""

    times: tuple[datetime, ...]
    air_c: FloatArray
    fabric_c: FloatArray
    outdoor_c: FloatArray
    wood_kg: FloatArray
    char_kg: FloatArray
    heat_kw: FloatArray
    luck: Luck

    @property
    def hours(self) -> FloatArray:
        """Hours from now; axes (look,)."""
        out: FloatArray = np.array([(t - self.times[0]) / timedelta(hours=1) for t in self.times])
        return out


def draw_luck(draws: int, *, steps: int, loads: int, rng: np.random.Generator) -> Luck:
    """One sample of everything that is open in so many steps, for each draw."""
    looks = (steps - 1) // LOOK_STEPS + 2
    hours = np.arange(looks) * LOOK_STEPS * STEP_H
    keep = np.exp(-LOOK_STEPS * STEP_H / OUTDOOR_BLOCK_H)
    outdoor = np.empty((draws, looks))
    outdoor[:, 0] = rng.standard_normal(draws)
    fresh = rng.standard_normal((draws, looks)) * np.sqrt(1.0 - keep**2)
    for i in range(1, looks):
        outdoor[:, i] = keep * outdoor[:, i - 1] + fresh[:, i]
    blocks = int(hours[-1] // WIND_BLOCK_H) + 1
    return Luck(
        outdoor=outdoor,
        outdoor_common=rng.standard_normal(draws),
        wind=rng.standard_normal((draws, blocks)),
        heat=rng.standard_normal((draws, loads + 1)),
        shape=rng.standard_normal((draws, loads + 1)),
        peak=rng.standard_normal((draws, loads + 1)),
        sky=rng.uniform(0.0, SKY_MOST, size=(draws, int(hours[-1] // 24.0) + 1)),
        window=rng.standard_normal(draws),
        fabric=rng.standard_normal(draws),
        deep=rng.standard_normal(draws),
        smooth_k=_smooth_k(draws, hours, rng),
    )


def _smooth_k(draws: int, hours: FloatArray, rng: np.random.Generator) -> FloatArray:
    """The smooth discrepancy from now on, 0 now; beyond a day it no longer matters and is held."""
    first = hours[hours <= 24.0]
    zero = np.zeros(1)
    cross = matern(first, zero)
    rest = matern(first, first) - cross @ cross.T / matern(zero, zero)[0, 0]
    lower = np.linalg.cholesky(rest + 1e-6 * np.eye(len(first)))
    sample = rng.standard_normal((draws, len(first))) @ lower.T
    held = np.repeat(sample[:, -1:], len(hours) - len(first), axis=1)
    out: FloatArray = np.concatenate([sample, held], axis=1)
    return out


def hours_ahead(
    base: Base,
    *,
    plans: Sequence[Sequence[Entry]],
    outdoor: OutdoorAhead,
    people: float,
    luck: Luck,
    heater_w: FloatArray | float = 0.0,
) -> Hours:
    """Run every draw through every plan, every node kept.

    Args:
        base: The stay so far for every draw.
        plans: Each a series of entries from now on (see ``plan_arrays``).
        outdoor: Outdoor temperature of the steps ahead; its length sets how far is looked.
        people: How many are in the room.
        luck: What is open, by draw.
        heater_w: Another heater's power, W; a number or axes (step,).
    """
    steps = len(outdoor.course_c)
    start = base.scenario.start + base.now * STEP
    arrays = plans_on_grid(base, plans, steps=steps)
    heat_kw, gross_kw, wood, char = _fires(base, arrays, luck)
    looks = np.append(np.arange(0, steps, LOOK_STEPS), steps)
    out_c = _outdoors(outdoor, luck, steps)
    air, fabric = _rooms(
        base,
        arrays,
        heat_kw=heat_kw,
        gross_kw=gross_kw,
        out_c=out_c,
        luck=luck,
        people=people,
        heater_w=heater_w,
        looks=looks,
    )
    smooth = luck.smooth_k[:, : len(looks)]
    at = np.minimum(looks, steps - 1)
    return Hours(
        times=tuple(start + int(i) * STEP for i in looks),
        air_c=air + smooth[None],
        fabric_c=fabric,
        outdoor_c=out_c[at].T,
        wood_kg=_kept(wood, at),
        char_kg=_kept(char, at),
        heat_kw=heat_kw[at].transpose(2, 1, 0),
        luck=luck,
    )


def _kept(left: FloatArray, at: np.ndarray) -> FloatArray:
    """(step, draw, plan) -> (plan, draw, look); nothing is left beyond the last step reckoned."""
    whole = np.concatenate([left, np.zeros((1, *left.shape[1:]))])
    out: FloatArray = whole[np.minimum(at, len(left))].transpose(2, 1, 0)
    return out


def _fires(
    base: Base, arrays: PlanArrays, luck: Luck
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Heat to the room and gross, kW, wood and charcoal left, kg dry; axes (step, draw, plan)."""
    b, z = base.batch, base.z
    steps, plans = arrays.air_open.shape
    last = max((loads[-1] for loads in arrays.first_load if loads), default=0)
    burning = min(steps, last + round(LONGEST_FIRE_H / STEP_H))
    lanes = (len(z), plans)
    fire = burn(
        fire_law(b.frame, z),
        air_open=arrays.air_open[:burning, None],
        load_kg=arrays.load_kg[:burning, None],
        kindled=arrays.kindled[:burning, None],
        firebox_kg=b.firebox_kg,
        heat_mj_per_kg=b.heat_mj_per_kg,
        start=FireState(*(np.broadcast_to(part, lanes) for part in base.fire)),
    )
    heat = np.zeros((steps, *lanes))
    gross = np.zeros((steps, *lanes))
    heat[:burning], gross[:burning] = fire.to_room_kw, fire.gross_kw
    for p, loads in enumerate(arrays.first_load):
        bounds = [0, *loads, burning]
        for k in range(len(bounds) - 1):
            first, end = bounds[k], bounds[k + 1]
            if end <= first:
                continue
            part = heat[first:end, :, p]
            total = np.maximum(part.sum(axis=0), 1e-9)
            early = 1.0 - 2.0 * np.cumsum(part, axis=0) / total
            n = min(k, luck.heat.shape[1] - 1)
            factor = 1.0 + HEAT_SD * luck.heat[:, n] + SHAPE_SD * luck.shape[:, n] * early
            factor = factor + PEAK_SD * luck.peak[:, n] * (1.5 * early**2 - 0.5)
            heat[first:end, :, p] = part * np.maximum(factor, 0.0)
    return heat, gross, fire.wood_kg, fire.char_kg


def _outdoors(outdoor: OutdoorAhead, luck: Luck, steps: int) -> FloatArray:
    """Outdoor temperature of every draw, °C; axes (step, draw)."""
    look = np.arange(steps) // LOOK_STEPS
    error = outdoor.own_sd_k[:, None] * luck.outdoor[:, look].T
    error = error + outdoor.common_sd_k[:, None] * luck.outdoor_common
    out: FloatArray = outdoor.course_c[:, None] + error
    return out


def _rooms(
    base: Base,
    arrays: PlanArrays,
    *,
    heat_kw: FloatArray,
    gross_kw: FloatArray,
    out_c: FloatArray,
    luck: Luck,
    people: float,
    heater_w: FloatArray | float,
    looks: np.ndarray,
) -> tuple[FloatArray, FloatArray]:
    """Air and fabric at the looks, °C; axes (plan, draw, look)."""
    b, z, v = base.batch, base.z, values(base.z)
    steps, _ = arrays.air_open.shape
    lanes = (len(z), heat_kw.shape[2])
    net = network(b.frame, z)
    block = np.minimum((np.arange(steps) * STEP_H // WIND_BLOCK_H).astype(int), luck.wind.shape[1] - 1)
    wind = np.maximum(1.0 + WIND_SD * luck.wind[:, block].T, LEAST_LEAK_SCALE)[:, :, None]
    window = window_w_per_k(arrays.window[:, None], v["window_cracked"], v["window_open"])
    window = window + (window > 0.0) * WINDOW_SD * luck.window[:, None] * (window + WINDOW_EXTRA_W_PER_K)
    window = np.maximum(window, 0.0)
    start = base.scenario.start + base.now * STEP
    sun = sun_w(description=b.frame.descriptions[0], building=b.frame.buildings[0], start=start, steps=steps)[
        :, None, None
    ]
    day = np.minimum((np.arange(steps) * STEP_H // 24.0).astype(int), luck.sky.shape[1] - 1)
    sun = sun * luck.sky[:, day].T[:, :, None]
    gains = v["people"] * PERSON_W * people + ALWAYS_W
    heater = np.broadcast_to(np.asarray(heater_w, dtype=float), (steps,))[:, None, None]
    outside = out_c[:, :, None] + v["outdoor_offset"]
    state = _start(base, luck, lanes)
    air, fabric = np.empty((2, len(looks), *lanes))
    air[0], fabric[0] = state.air_c, state.fabric_c
    for n in range(1, len(looks)):
        part = slice(int(looks[n - 1]), int(looks[n]))
        course = run(
            net,
            outdoor_c=outside[part],
            stove_w=1000.0 * heat_kw[part],
            fire_kw=gross_kw[part],
            air_gain_w=gains + heater[part],
            fabric_gain_w=v["sun"] * sun[part],
            window_w_per_k=window[part],
            leak_scale=wind[part],
            start=state,
        )
        state = course.last
        air[n], fabric[n] = state.air_c, state.fabric_c
    return air.transpose(2, 1, 0), fabric.transpose(2, 1, 0)


def _start(base: Base, luck: Luck, lanes: tuple[int, int]) -> RoomState:
    """Every node now: the draw's own course, moved by what this stay's readings say of the air.

    The fabric is moved with the air; how unsure it is beyond that falls off with the hours of the stay.
    """
    pull = base.correction_k[:, :1]
    unsure = float(np.exp(-base.now * STEP_H / SETTLING_H))
    air, fabric, deep = base.room
    moved = (
        air + pull,
        fabric + pull + unsure * START_FABRIC_SD_K * luck.fabric[:, None],
        deep + pull + unsure * START_DEEP_SD_K * luck.deep[:, None],
    )
    return RoomState(*(np.broadcast_to(part, lanes).copy() for part in moved))
