"""The posterior of ten stays against a general-purpose NUTS sampler on the same log density.

Same residuals, same covariance held at the mode, gradient by the same finite differences (J'r), started at
the mode. It is run twice: as it comes, for its time; and in coordinates in which our own curvature at the
mode is round, which hands it most of our work, for quantiles worth comparing. Both are judged by the time
for as many effective draws as ours has.
"""

from __future__ import annotations

import importlib.util
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from benching.options import Options
from benching.table import Aim, aims_table, table
from benching.told import described, notebook, now_of
from logbook.heat.arrays import FloatArray
from logbook.heat.cabin import cooling_time_constant_h, steady_loss_w_per_k
from logbook.heat.fit import draw, prepare, starts, useful_stays
from logbook.heat.mode import DIFFERENCE, Mode, find_modes, residuals
from logbook.heat.model import Batch, simulate
from logbook.heat.notebook import stays
from logbook.heat.priors import UNKNOWNS, network

STAYS, QUICK_STAYS = 10, 2
AS_IT_COMES, WITH_CURVATURE, QUICK = (60, 60), (60, 240), (3, 4)
"""Warm-up and draws. As it comes 150 and 300 had not ended after 20 minutes of processor time."""

DEEPEST = 6
"""Trajectories of at most 63 steps."""

FASTER = 100.0
QUANTILES = (5.0, 50.0, 95.0)
STANDARD_ERRORS = 3.3


@dataclass(frozen=True)
class Sampled:
    """Draws of the unknowns and how long they took, s."""

    z: FloatArray
    seconds: float
    gradients: int


def run(options: Options) -> Iterator[str]:
    """The tables."""
    if importlib.util.find_spec("mici") is None:
        yield "Left out: the sampler is not here. It comes with  pip install -e '.[bench]'"
        return
    rows = notebook(STAYS)
    told = useful_stays(stays(rows, until=now_of(rows)), QUICK_STAYS if options.quick else STAYS)
    began = time.perf_counter()
    b = prepare(told, descriptions=described(), changes=())
    mode = max(find_modes(b, starts(len(UNKNOWNS), None)), key=lambda m: m.log_evidence)
    ours_z, effective, widened = draw(b, mode, rng=np.random.default_rng(3), draws=400)
    ours = Sampled(ours_z, time.perf_counter() - began, 0)
    plain = nuts(b, mode, QUICK if options.quick else AS_IT_COMES, np.eye(len(mode.z)))
    known = np.linalg.inv(np.linalg.cholesky(mode.curvature)).T
    theirs = nuts(b, mode, QUICK if options.quick else WITH_CURVATURE, known)
    yield f"{len(told)} stays, {sum(len(s.readings) for s in told)} readings, {len(UNKNOWNS)} unknowns."
    yield ""
    yield from compared(b, ours, theirs, effective=effective)
    yield ""
    aims = [
        Aim("ours", ours.seconds, " s", most=2.0),
        Aim("effective draws, ours", effective, decimals=0),
    ]
    for name, got, least in (("as it comes", plain, FASTER), ("told our curvature", theirs, None)):
        draws = effective_draws(heat_loss(b, got.z))
        need = got.seconds * effective / draws
        aims += [
            Aim(f"NUTS {name}: as run", got.seconds, " s", decimals=0),
            Aim("  gradients it took", got.gradients, decimals=0),
            Aim(f"  effective draws of heat loss, of {len(got.z)}", draws, decimals=0),
            Aim("  for as many effective draws as ours", need, " s", decimals=0),
            Aim("  ours is faster by", need / ours.seconds, " times", least=least, decimals=0),
        ]
    yield from aims_table(aims)
    if widened:
        yield "\nOurs was widened: few draws fitted."


def density(
    b: Batch, mode: Mode
) -> tuple[Callable[[FloatArray], float], Callable[[FloatArray], tuple[FloatArray, float]]]:
    """The negative log density, and its gradient with it, of one set of unknowns; axes (number,)."""
    size = len(mode.z)
    steps = np.concatenate([np.zeros((1, size)), DIFFERENCE * np.eye(size)])

    def value(z: FloatArray) -> float:
        lane = z[None, :]
        return float(0.5 * (residuals(b, lane, simulate(b, lane), mode.whites) ** 2).sum())

    def gradient(z: FloatArray) -> tuple[FloatArray, float]:
        lanes = z + steps
        r = residuals(b, lanes, simulate(b, lanes), mode.whites)
        jacobian = (r[1:] - r[0]) / DIFFERENCE
        return jacobian @ r[0], float(0.5 * (r[0] ** 2).sum())

    return value, gradient


def nuts(b: Batch, mode: Mode, length: tuple[int, int], turned: FloatArray) -> Sampled:
    """Draws by the sampler, ``z = mode + turned x``; ``length`` is its warm-up and draws."""
    import mici  # noqa: PLC0415 - an extra that need not be there

    of_z, slope = density(b, mode)
    calls = [0]

    def value(x: FloatArray) -> float:
        return of_z(mode.z + turned @ x)

    def gradient(x: FloatArray) -> tuple[FloatArray, float]:
        calls[0] += 1
        along_z, at = slope(mode.z + turned @ x)
        return turned.T @ along_z, at

    system = mici.systems.EuclideanMetricSystem(neg_log_dens=value, grad_neg_log_dens=gradient)
    sampler = mici.samplers.DynamicMultinomialHMC(
        system,
        mici.integrators.LeapfrogIntegrator(system),
        np.random.default_rng(4),
        max_tree_depth=2 if length == QUICK else DEEPEST,
    )
    began = time.perf_counter()
    out = sampler.sample_chains(
        *length,
        [np.zeros(len(mode.z))],
        adapters=[
            mici.adapters.DualAveragingStepSizeAdapter(0.8),
            mici.adapters.OnlineVarianceMetricAdapter(),
        ],
        trace_funcs=[lambda state: {"x": state.pos}],
        display_progress=False,
    )
    x = np.asarray(out.traces["x"][0])
    return Sampled(mode.z + x @ turned.T, time.perf_counter() - began, calls[0])


def heat_loss(b: Batch, z: FloatArray) -> FloatArray:
    """Steady heat loss of every draw, W/K, without what is added for what whole-house figures miss."""
    loss: FloatArray = steady_loss_w_per_k(network(b.frame, z))[:, -1]
    return loss


def time_constant(b: Batch, z: FloatArray) -> FloatArray:
    """Time constant of every draw, h."""
    net = network(b.frame, z)
    newest = type(net)(*(part[:, -1:] for part in net))
    return cooling_time_constant_h(newest, shape=(len(z), 1))[:, 0]


def compared(b: Batch, ours: Sampled, theirs: Sampled, *, effective: float) -> Iterator[str]:
    """Quantiles side by side, with the Monte Carlo error of their difference."""
    rows = []
    for what, figure in (("heat loss, W/K", heat_loss), ("time constant, h", time_constant)):
        mine, other = figure(b, ours.z), figure(b, theirs.z)
        for percent in QUANTILES:
            a, c = (float(np.percentile(x, percent)) for x in (mine, other))
            error = np.hypot(quantile_error(mine, percent, effective),
                             quantile_error(other, percent, effective_draws(other)))  # fmt: skip
            same = "same" if abs(a - c) <= STANDARD_ERRORS * error else "**not the same**"
            rows.append([what, f"{percent:.0f} %", f"{a:.1f}", f"{c:.1f}", f"{error:.2f}", same])
    header = ("figure", "quantile", "ours", "NUTS", "Monte Carlo error", f"within {STANDARD_ERRORS} of it")
    return table(header, rows)


def quantile_error(draws: FloatArray, percent: float, effective: float) -> float:
    """Standard error of a quantile: sqrt(p (1 - p) / n) over the density there.

    Source: asymptotics of the sample quantile, textbook. The density is that of a normal with this spread.
    """
    p = percent / 100.0
    sd = max(float(np.std(draws)), 1e-9)
    at = {5.0: 1.645, 50.0: 0.0, 95.0: 1.645}[percent]
    density = np.exp(-0.5 * at**2) / np.sqrt(2.0 * np.pi) / sd
    return float(np.sqrt(p * (1.0 - p) / max(effective, 1.0)) / density)


def effective_draws(chain: FloatArray) -> float:
    """How many independent draws a chain is worth: initial positive pairs of its autocorrelation.

    Source: Geyer 1992, from memory.
    """
    x = chain - chain.mean()
    n = len(x)
    if n < 4 or not x.any():
        return 1.0
    correlation = np.correlate(x, x, "full")[n - 1 :] / (x @ x)
    pairs = correlation[: n // 2 * 2].reshape(-1, 2).sum(axis=1)
    end = int(np.argmax(pairs <= 0.0)) if (pairs <= 0.0).any() else len(pairs)
    return float(min(n, n / max(2.0 * pairs[:end].sum() - 1.0, 1e-9)))
