"""What was learned, in figures an owner can hold on to: heat loss, time constant, heat capacity, stove."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.cabin import cooling_time_constant_h, steady_loss_w_per_k
from logbook.heat.model import Batch, blocks, fires
from logbook.heat.notebook import Stay
from logbook.heat.priors import Frame, fire_law, network, values
from logbook.results.night import Range

LOSS_EXTRA_LOG_SD = (0.08, 0.14)
"""Added to the spread of the heat loss, log, in light and in heavy fabric. Source: whole-house figures repeat
to about 7 % (19 homes, doi 10.1177/17442591251365953, abstract); simulated cabins of heavy fabric came out up
to 24 % low."""

EXTRA_FROM_H = (8.0, 16.0)
"""Time constants between which that spread grows, h: heavy fabric is still charging through a short stay."""

FLAT_INDOOR_SD_K = 1.0
"""With indoor readings steadier than this nothing cooled, and no time constant can be told. ASSUMED."""

LEAST_BURNT_MJ = 60.0
"""Heat a fire must have made before its efficiency is read off it, MJ: about one load. ASSUMED."""

USUAL_LOSSES = 1.09
"""Divisor of the stove's efficiency at a usual fire (40 % open, 9 kW), for a stove not yet seen burning."""


@dataclass(frozen=True)
class Derived:
    """Figures of every draw, axis (draw,)."""

    heat_loss_w_per_k: FloatArray
    time_constant_h: FloatArray
    stove_efficiency: FloatArray


def derive(frame: Frame, z: FloatArray, used: Batch | None, *, rng: np.random.Generator) -> Derived:
    """Figures of every draw for the newest description in ``frame``.

    ``used`` are the stays learned from; None when there are none.
    """
    net = network(frame, z)
    newest = type(net)(*(part[:, -1:] for part in net))
    loss = steady_loss_w_per_k(newest)[:, 0]
    tau = cooling_time_constant_h(newest, shape=(len(z), 1))[:, 0]
    efficiency = values(z)["efficiency"][:, 0] / USUAL_LOSSES
    if used is not None and used.load_kg.any():
        given, made = _heat_mj(used, z)
        enough = made > LEAST_BURNT_MJ
        efficiency = np.where(enough, given / np.maximum(made, LEAST_BURNT_MJ), efficiency)
    if used is not None:
        extra = np.interp(float(np.median(tau)), EXTRA_FROM_H, LOSS_EXTRA_LOG_SD)
        loss = loss * np.exp(extra * rng.standard_normal(len(loss)))
    return Derived(heat_loss_w_per_k=loss, time_constant_h=tau, stove_efficiency=efficiency)


def _heat_mj(used: Batch, z: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Heat that came into the room and heat of the fire over all stays, MJ; axes (draw,)."""
    once, back = np.unique(z, axis=0, return_inverse=True)
    sums = []
    for part in blocks(len(used.scenarios), len(once)):
        fire = fires(used, once[part], dtype=np.float32)
        given, made = (x.sum(axis=(0, 2)) * STEP_H * 3.6 for x in (fire.to_room_kw, fire.gross_kw))
        law, last = fire_law(used.frame, once[part]), fire.last
        # What the warm stove still holds counts as given.
        held = (last.body_kw * law.body_h + last.slow_kw * law.slow_h).sum(axis=1) * 3.6
        sums.append(np.stack([given + held, made]))
    given, made = np.concatenate(sums, axis=1)[:, back.reshape(-1)]
    return given, made


def cannot_tell(told: Sequence[Stay]) -> tuple[tuple[str, str], ...]:
    """What these stays can't tell, and why; nothing when there are none (then the description speaks)."""
    out: list[tuple[str, str]] = []
    if not told:
        return ()
    wood = any(stay.loads for stay in told)
    heater = any(said.value > 0.0 for stay in told for said in stay.other_heat)
    if not wood and not heater:
        why = (
            "No weighed wood and no heater of known power in the log: cooling alone shows only how heat loss "
            "and heat capacity stand to one another. Log a load by mass, or a heater in watts."
        )
        out += [("heat_loss_w_per_k", why), ("heat_capacity_mj_per_k", why)]
    if not wood:
        out.append(("stove_efficiency", "No load in the log. Log one by mass."))
    indoor = np.concatenate([[r.indoor_c for r in stay.readings] for stay in told])
    if float(indoor.std()) < FLAT_INDOOR_SD_K:
        why = (
            f"The room stayed within {indoor.min():.1f} to {indoor.max():.1f} °C: so how fast "
            "it cools can't be seen. Log a night without heat."
        )
        out.append(("time_constant_h", why))
        if not any(key == "heat_capacity_mj_per_k" for key, _ in out):
            out.append(("heat_capacity_mj_per_k", why))
    return tuple(out)


def range_of(draws: FloatArray) -> Range:
    """The 90 % range and the middle of equally weighted draws."""
    p05, p50, p95 = (float(x) for x in np.percentile(draws, [5.0, 50.0, 95.0]))
    return Range(p05, p50, p95)
