"""The night's conditioning as a state space, for a general-purpose Kalman filter and smoother.

The state is each effect's unknown size, which never changes, and the smooth discrepancy with its slope: a
Matern-3/2 process is exactly the stochastic differential equation f'' = -2 k f' - k2 f + noise, k = sqrt(3) /
length (Hartikainen and Särkkä 2010, "Kalman filtering and smoothing solutions to temporal Gaussian process
regression models", from memory). A reading sees its own row of the effects' responses plus the discrepancy.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pykalman import KalmanFilter


@dataclass(frozen=True)
class Smoothed:
    """At each time of the grid: mean and variance given all readings; and the readings' log likelihood."""

    mean_k: np.ndarray
    variance_k2: np.ndarray
    log_likelihood: float


def transition(step_h: float, *, sd_k: float, length_h: float) -> tuple[np.ndarray, np.ndarray]:
    """Exact transition and noise of the Matern-3/2 process over a step."""
    k = np.sqrt(3.0) / length_h
    move = np.exp(-k * step_h) * np.array([[1.0 + k * step_h, step_h], [-(k**2) * step_h, 1.0 - k * step_h]])
    settled = np.diag([sd_k**2, (k * sd_k) ** 2])
    return move, settled - move @ settled @ move.T


def smoothed(
    *,
    reading_h: np.ndarray,
    reading_basis: np.ndarray,
    reading_variance_k2: np.ndarray,
    miss_k: np.ndarray,
    grid_h: np.ndarray,
    grid_basis: np.ndarray,
    sd_k: float,
    length_h: float,
) -> Smoothed:
    """Filter and smooth: readings at ``reading_h`` (row), wanted at ``grid_h``.

    Bases hold the effects' responses, axes (time, effect), K at one standard deviation.
    """
    effects = reading_basis.shape[1]
    at = np.concatenate([reading_h, grid_h])
    order = np.argsort(at, kind="stable")
    seen = (np.arange(len(at)) < len(reading_h))[order]
    basis = np.concatenate([reading_basis, grid_basis])[order]
    variance = np.concatenate([reading_variance_k2, np.ones(len(grid_h))])[order]  # 1: not observed
    observed = np.concatenate([miss_k, np.zeros(len(grid_h))])[order]
    # Each reading over its own error, so that all errors are 1; the likelihood is put right at the end.
    error = np.sqrt(variance)
    basis, observed = basis / error[:, None], observed / error
    size = effects + 2
    rows = np.zeros((len(at), 1, size))
    rows[:, 0, :effects], rows[:, 0, effects] = basis, 1.0 / error
    start = np.eye(size)
    start[effects:, effects:] = np.diag([sd_k**2, 3.0 * sd_k**2 / length_h**2])

    def machine(which: np.ndarray) -> KalmanFilter:
        moves, noises = _between(at[order][which], effects, sd_k, length_h)
        return KalmanFilter(
            transition_matrices=moves,
            transition_covariance=noises,
            observation_matrices=rows[which],
            observation_covariance=np.eye(1),
            initial_state_mean=np.zeros(size),
            initial_state_covariance=start,
        )

    values = np.ma.masked_array(observed[:, None], mask=~seen[:, None])
    mean, covariance = machine(np.ones(len(at), dtype=bool)).smooth(values)
    likelihood = float(machine(seen).loglikelihood(observed[seen][:, None]))
    wanted = ~seen
    h = rows[wanted, 0]
    return Smoothed(
        mean_k=np.einsum("ts,ts->t", h, mean[wanted]),
        variance_k2=np.einsum("ts,tsr,tr->t", h, covariance[wanted], h),
        log_likelihood=likelihood - float(np.log(error[seen]).sum()),
    )


def _between(at_h: np.ndarray, effects: int, sd_k: float, length_h: float) -> tuple[np.ndarray, np.ndarray]:
    size = effects + 2
    moves = np.tile(np.eye(size), (len(at_h) - 1, 1, 1))
    noises = np.zeros((len(at_h) - 1, size, size))
    for i, step_h in enumerate(np.diff(at_h)):
        moves[i, effects:, effects:], noises[i, effects:, effects:] = transition(
            float(step_h), sd_k=sd_k, length_h=length_h
        )
    return moves, noises
