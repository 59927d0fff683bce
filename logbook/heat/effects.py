"""What a notebook can't say, as named random effects, and the errors of the readings.

Each effect is a small disturbance of known shape and unknown size; the linear cabin carries it to the room.
Together with a smooth discrepancy and an error per kind of reading they make the covariance of the readings.
One process noise in their place made ranges that held 64–70 % of what they should (MODEL.md).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.cabin import Network, RoomState, respond, stack_factor
from logbook.heat.model import Batch, Simulated
from logbook.heat.priors import network, values
from logbook.heat.scenario import Scenario

HEAT_SD = 0.14
"""Heat of one load against what the model gives it, share. ASSUMED: from forecasts of simulated cabins; bench
heat of real stoves repeats to about a tenth."""
SHAPE_SD = 0.18
"""The same heat moved from late to early, share. ASSUMED, likewise."""
PEAK_SD = 0.18
"""The same heat moved from the ends to the middle of the burn, share: peaked or flat. ASSUMED."""
LOAD_SHAPES = 3
"""How many shapes a load has (``load_shapes``)."""
OUTDOOR_PAST_SD_K, OUTDOOR_TONIGHT_SD_K = 1.0, 1.5
"""Outdoors between readings, and between now and a forecast low, K. Source: forecast lows are right to
about 1.5 K (design); daily curves to 1.8–2.4 K over a year (measured on an open data year)."""
OUTDOOR_BLOCK_H = 6.0
OUTDOOR_GROWTH_K_PER_H = 0.15
OUTDOOR_MOST_SD_K = 6.0
"""That error holds for blocks of six hours, and grows with the time to the nearest reading beyond them, K per
h, up to that of a season, K. ASSUMED."""
WIND_SD = 0.25
"""Infiltration against its usual value, share of all loss by air, in blocks of 8 h. ASSUMED."""
WIND_BLOCK_H = 8.0
WINDOW_SD = 0.6
WINDOW_EXTRA_W_PER_K = 15.0
"""A window episode against its usual loss: 60 % of it and of 15 W/K more. The same word "cracked" meant
10 to 250 W/K in simulated notebooks."""
VENTING_SD_W_PER_K = 25.0
VENTING_ABOVE_C = 23.0
VENTING_BLOCK_H = 2.0
"""Unwritten airing by day with the room this warm, W/K. ASSUMED."""
START_FABRIC_SD_K, START_DEEP_SD_K, START_UNKNOWN_SD_K = 1.5, 3.0, 6.0
"""At the start of a stay: fabric and deep fabric against the room, and a room nobody read, K. ASSUMED."""
DISCREPANCY_SD_K = 0.6
DISCREPANCY_H = 4.0
"""Smooth discrepancy, Matern-3/2, K and h. ASSUMED; rough noise pushed the maximum up by 0.4 K."""
READING_SD_K = 0.45
EXTREME_SD_K = 0.7
TIME_SD_H = 0.20
"""Errors: of a thermometer read by eye, K, of a low or high over a stretch, K, of the time written down, h.
ASSUMED: in simulated notebooks 4–6 % of rows were 10–20 min off."""
T_FREEDOM = 4.0
"""Degrees of freedom of the reading errors: a few are far off."""


@dataclass(frozen=True)
class Effects:
    """Responses of one stay's room to its effects.

    Axes: ``response_k`` (step + 1, effect), K at one standard deviation of the effect.
    """

    response_k: FloatArray


@dataclass(frozen=True)
class Seen:
    """Where one stay's readings look at the course: two neighbouring steps and the weight of the later."""

    step: np.ndarray
    weight: FloatArray

    def at(self, course: FloatArray) -> FloatArray:
        """Value of a course at the readings; axes (step + 1, ...) -> (reading, ...)."""
        shape = (-1, *([1] * (course.ndim - 1)))
        w = self.weight.reshape(shape)
        out: FloatArray = course[self.step] * (1.0 - w) + course[self.step + 1] * w
        return out


def seen(s: Scenario, course_c: FloatArray) -> Seen:
    """Where the readings look; a low or high looks at the step where the course has it. Axes (step + 1,)."""
    at = s.reading_at.copy()
    for i in np.flatnonzero(s.reading_sign):
        first = max(int(s.reading_since[i]), 0)
        last = max(int(s.reading_at[i]), first + 1)
        stretch = course_c[first : last + 1] * s.reading_sign[i]
        at[i] = first + int(np.argmax(stretch))
    step = np.clip(np.floor(at).astype(int), 0, len(course_c) - 2)
    return Seen(step=step, weight=np.clip(at - step, 0.0, 1.0))


def _blocks(steps: int, hours: float) -> FloatArray:
    """Block indicators; axes (step, block)."""
    size = round(hours / STEP_H)
    index = np.arange(steps) // size
    out: FloatArray = (index[:, None] == np.arange(index[-1] + 1)[None, :]).astype(float)
    return out


def _load_shapes(s: Scenario, heat_w: FloatArray) -> FloatArray:
    """Heat of each load's segment in its shapes; axes (step, shape x load), at one sd."""
    out = []
    bounds = [*s.load_steps, len(heat_w)]
    for first, last in pairwise(bounds):
        part = np.zeros(len(heat_w))
        part[first:last] = heat_w[first:last]
        out += load_shapes(part)
    return np.stack(out, axis=1) if out else np.zeros((len(heat_w), 0))


def load_shapes(heat_w: FloatArray) -> list[FloatArray]:
    """How one load's heat may differ, W at one sd: all of it, late to early, ends to middle; axes (step,).

    The three are Legendre polynomials of the share of the heat already given: each keeps what those before
    it set. A later start in their place (minus the slope of the heat) forecast worse.
    """
    done = np.cumsum(heat_w) / max(float(heat_w.sum()), 1e-9)
    along = 1.0 - 2.0 * done
    return [HEAT_SD * heat_w, SHAPE_SD * heat_w * along, PEAK_SD * heat_w * (1.5 * along**2 - 0.5)]


def wind_blocks(steps: int) -> FloatArray:
    """Which steps of a stay belong to which block of wind; axes (step, block)."""
    return _blocks(steps, WIND_BLOCK_H)


def wind_effects(s: Scenario) -> slice:
    """Which of a stay's effects are its blocks of wind, in the order of ``forcing``."""
    first = LOAD_SHAPES * len(s.load_steps) + _blocks(s.steps, OUTDOOR_BLOCK_H).shape[1]
    return slice(first, first + wind_blocks(s.steps).shape[1])


def outdoor_sd_k(s: Scenario) -> FloatArray:
    """Spread of the outdoor temperature at each step, K: it grows with the time to the nearest reading."""
    grown = OUTDOOR_PAST_SD_K + OUTDOOR_GROWTH_K_PER_H * np.maximum(s.outdoor_gap_h - OUTDOOR_BLOCK_H, 0.0)
    out: FloatArray = np.minimum(grown, OUTDOOR_MOST_SD_K)
    return out


def forcing(
    s: Scenario,
    *,
    net: Network,
    stay: int,
    heat_w: FloatArray,
    air_c: FloatArray,
    outdoor_c: FloatArray,
    air_w_per_k: FloatArray,
    window_w: FloatArray,
    leak_w_per_k: float,
    outdoor_sd: FloatArray,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Heat of each effect at one sd: to the air, to the fabric (step, effect); starts (3, effect)."""
    steps = len(air_c)
    to_fabric = float(net.to_fabric[0, stay])
    loads = _load_shapes(s, heat_w)
    outdoors = _blocks(steps, OUTDOOR_BLOCK_H) * outdoor_sd[:, None]
    colder = (outdoor_c - air_c)[:, None]
    wind = wind_blocks(steps) * WIND_SD * leak_w_per_k * colder
    windows = []
    for first, last, _code in s.episodes:
        part = np.zeros(steps)
        driven = stack_factor(air_c[first:last], outdoor_c[first:last])
        part[first:last] = WINDOW_SD * (window_w[first:last] + WINDOW_EXTRA_W_PER_K) * driven
        windows.append(part)
    warm = (air_c > VENTING_ABOVE_C) & (s.sun > 0.0) & (s.people > 0.0)
    venting = _blocks(steps, VENTING_BLOCK_H) * warm[:, None] * VENTING_SD_W_PER_K
    venting = venting[:, venting.any(axis=0)]
    openings = np.concatenate(
        [np.stack(windows, axis=1) if windows else np.zeros((steps, 0)), venting], axis=1
    )
    to_air = [
        (1.0 - to_fabric) * loads,
        air_w_per_k[:, None] * outdoors,
        wind,
        openings * colder,
        np.zeros((steps, 3)),
    ]
    fabric = [
        to_fabric * loads,
        float(net.fabric_w_per_k[0, stay]) * outdoors,
        np.zeros((steps, wind.shape[1] + openings.shape[1] + 3)),
    ]
    air_all = np.concatenate(to_air, axis=1)
    fabric_all = np.concatenate(fabric, axis=1)
    start = np.zeros((3, air_all.shape[1]))
    start[:, -3] = READING_SD_K if s.first_known else START_UNKNOWN_SD_K
    start[1, -2] = START_FABRIC_SD_K
    start[2, -1] = START_DEEP_SD_K
    return air_all, fabric_all, start


def effects(
    b: Batch, z: FloatArray, sim: Simulated, *, outdoor_sd: Sequence[FloatArray] | None = None
) -> list[Effects]:
    """Responses of every stay to its effects, at one set of unknowns ``z`` (number,).

    ``outdoor_sd`` gives the spread of each stay's outdoor temperature, K, where it is not the usual one.
    """
    one = z[None, :]
    net = network(b.frame, one)
    v = values(one)
    made = []
    for i, s in enumerate(b.scenarios):
        n = s.steps
        made.append(
            forcing(
                s,
                net=net,
                stay=i,
                heat_w=1000.0 * sim.burn.to_room_kw[:n, 0, i],
                air_c=sim.course.air_c[:n, 0, i],
                outdoor_c=s.outdoor_c + float(v["outdoor_offset"][0, 0]),
                air_w_per_k=sim.course.air_w_per_k[:n, 0, i],
                window_w=sim.window_w_per_k[:n, 0, i],
                leak_w_per_k=float(net.leak_w_per_k[0, i]),
                outdoor_sd=outdoor_sd_k(s) if outdoor_sd is None else outdoor_sd[i],
            )
        )
    most = max(m[0].shape[1] for m in made)

    def padded(index: int) -> FloatArray:
        out = np.zeros((b.steps if index < 2 else 3, len(made), most))
        for i, m in enumerate(made):
            out[: m[index].shape[0], i, : m[index].shape[1]] = m[index]
        return out

    start = padded(2)
    response = respond(
        Network(*(part.reshape(-1, 1) if part.shape[1] > 1 else part for part in net)),
        air_w_per_k=sim.course.air_w_per_k[:, 0, :, None],
        to_air_w=padded(0),
        to_fabric_w=padded(1),
        start=RoomState(start[0], start[1], start[2]),
    )
    whole = np.concatenate([start[0][None], response])
    return [
        Effects(response_k=whole[: s.steps + 1, i, : made[i][0].shape[1]]) for i, s in enumerate(b.scenarios)
    ]


def matern(
    hours_a: FloatArray,
    hours_b: FloatArray,
    *,
    sd_k: float = DISCREPANCY_SD_K,
    scale_h: float = DISCREPANCY_H,
) -> FloatArray:
    """Covariance of a smooth departure, K2, between two sets of times. Source: Matern, smoothness 3/2."""
    d = np.sqrt(3.0) * np.abs(hours_a[:, None] - hours_b[None, :]) / scale_h
    out: FloatArray = sd_k**2 * (1.0 + d) * np.exp(-d)
    return out


def error_variance(s: Scenario, course_c: FloatArray) -> FloatArray:
    """Variance of each reading's own error, K2: thermometer, and slope times the error of its time."""
    slope = np.gradient(course_c) / STEP_H
    at = np.clip(np.round(s.reading_at).astype(int), 0, len(course_c) - 1)
    plain = READING_SD_K**2 + (TIME_SD_H * np.clip(slope[at], -20.0, 20.0)) ** 2
    out: FloatArray = np.where(s.reading_sign == 0.0, plain, EXTREME_SD_K**2)
    return out
