"""This stay's readings and each draw's course: the pull they have on it, and what they leave open."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.effects import effects, error_variance, matern, seen, wind_effects
from logbook.heat.mode import whitening
from logbook.heat.model import Batch, Simulated, batch
from logbook.heat.scenario import cut


@dataclass(frozen=True)
class Pulled:
    """What the readings and the dice make of each draw.

    Axes: ``course_k`` (draw, time), K to be added to its course; ``wind`` (draw, block), how much more than
    usual the wind blows in each block of hours of the stay, in its sd (``effects.wind_blocks``).
    """

    course_k: FloatArray
    wind: FloatArray


def condition(
    b: Batch,
    *,
    mode: FloatArray,
    mode_sim: Simulated,
    course: FloatArray,
    outdoor_sd: FloatArray,
    grid: np.ndarray,
    now: int,
    rng: np.random.Generator,
) -> Pulled:
    """Pull of the readings on each draw, plus one sample of what they leave open.

    The effects, the smooth discrepancy and the readings' errors are jointly normal at the mode; given the
    readings, so is the path, and so is the wind, which a plan that warms the room more makes felt more.
    ``course`` is each draw's own course up to now, axes (step + 1, draw).

    Args:
        b: One stay, laid on the grid to waking.
        mode: Unknowns at which the covariance is taken, axes (number,).
        mode_sim: The stay simulated there, one lane.
        course: Air temperature of every draw up to now, °C.
        outdoor_sd: Spread of the outdoor temperature at each step, K.
        grid: Steps at which the path is wanted.
        now: The step that begins now.
        rng: For the sample.
    """
    s = b.scenarios[0]
    response = effects(b, mode, mode_sim, outdoor_sd=[outdoor_sd])[0].response_k
    times, hours = len(grid), grid * STEP_H
    wanted = np.concatenate([response[grid], np.eye(response.shape[1])[wind_effects(s)]])
    prior = wanted @ wanted.T
    prior[:times, :times] += matern(hours, hours)
    draws = course.shape[1]
    mean = np.zeros((draws, len(wanted)))
    if len(s.reading_c):
        past = batch(b.frame, [cut(s, max(now, 1))])
        sim = mode_sim.until(max(now, 1))
        felt = effects(past, mode, sim, outdoor_sd=[outdoor_sd[: max(now, 1)]])
        white = whitening(past, mode, sim, None, responses=felt)
        white = whitening(past, mode, sim, white, responses=felt)
        rows_h = s.reading_at * STEP_H
        mode_course = mode_sim.air_c[: s.steps + 1, 0, 0]
        look = seen(s, mode_course)
        basis = look.at(response)
        own = error_variance(s, mode_course) / white[0].weights
        rows = basis @ basis.T + matern(rows_h, rows_h) + np.diag(own)
        cross = wanted @ basis.T
        cross[:times] += matern(hours, rows_h)
        gain = np.linalg.solve(rows, cross.T).T
        padded = np.concatenate([course, course[-1:]])  # a reading just now looks at the last step
        miss = s.reading_c[:, None] - look.at(padded)
        mean = (gain @ miss).T
        prior = prior - gain @ cross.T
    lower = np.linalg.cholesky(prior + 1e-6 * np.eye(len(wanted)))
    sample = mean + rng.standard_normal((draws, len(wanted))) @ lower.T
    return Pulled(course_k=sample[:, :times], wind=sample[:, times:])
