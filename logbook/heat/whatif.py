"""What if: the learned cabin with a surface changed, tightened, or with another stove's load.

What was learned and what is only believed stay apart. The factor the nights taught about the fabric and about
the leak carries over to what stays as it is; what is new comes with the width of its own description.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from logbook.errors import BadInputError
from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.cabin import Network, cooling_c, steady_loss_w_per_k
from logbook.heat.construction import DEFAULT_U_W_PER_M2K, FABRIC_LOG_SD, building
from logbook.heat.envelope import u_value_w_per_m2k
from logbook.heat.fit import Posterior
from logbook.heat.infiltration import LEAKAGE_CM2_PER_M2
from logbook.heat.priors import Frame, heat_of_wood_mj_per_kg, network
from logbook.heat.summary import range_of
from logbook.heat.wood import pile_dry_share
from logbook.records import Cabin, Description, Layer, Surface
from logbook.results.night import Range
from logbook.results.works import Season, WhatIfAnswer

NEW_LOG_SD = FABRIC_LOG_SD[True]
"""Log sd of the resistance or U of what is new: gaps, framing and moisture. As for a described surface."""

TIGHTER_LOG_SD = 0.30
"""Log sd of what tightening does to the leak. ASSUMED: a word for leakiness is worth half a class."""

WEEKEND_H = 48.0
"""A weekend, Friday evening to Sunday evening, h. Definition."""

LONGEST_H = 120.0
"""Cooling is followed this long, h: five days."""

FROM_C = 20.0
"""Inside temperature at which the fire goes out, °C. Definition, that of the steady figure."""

NEEDS_FIRE_BELOW_C = 12.0
"""Months with a mean below this need a fire, °C. ASSUMED: sun and people carry a small cabin above it."""

MONTH_H = 730.5
"""Hours of an average month. Definition."""

EVERY_SECOND = 2.0
"""Of the weekends of a season every second one is counted. ASSUMED."""

WARM_UP_SHARE = 0.7
"""Share of the cabin's heat capacity that one arrival has to warm up. ASSUMED: the deep part lags."""


@dataclass(frozen=True, slots=True)
class Added:
    """Insulation or boards laid on every surface of a kind (of a facing, if given)."""

    kind: str
    layer: Layer
    faces: str | None = None


@dataclass(frozen=True, slots=True)
class Replaced:
    """Every surface of a kind (of a facing, if given) replaced by one of this U, W/m2K."""

    kind: str
    u_w_per_m2k: float
    faces: str | None = None


@dataclass(frozen=True, slots=True)
class Tightened:
    """Another word for leakiness."""

    leakiness: str


@dataclass(frozen=True, slots=True)
class LoadLimit:
    """Another stove's largest load, kg as weighed."""

    kg: float


Step = Added | Replaced | Tightened | LoadLimit


@dataclass(frozen=True, kw_only=True)
class Weather:
    """Outdoors of a usual weekend, °C, where that is from, and twelve monthly means if they were given."""

    weekend_c: float
    source: str
    monthly_c: tuple[float, ...] = ()


@dataclass(frozen=True)
class _Parts:
    """Conductances of every draw in W/K, axis (draw,): opaque with floor, glazed, leak."""

    opaque: FloatArray
    glazed: FloatArray
    leak: FloatArray


def what_if(
    posterior: Posterior,
    *,
    description: Description,
    steps: Sequence[Step],
    told: Sequence[str],
    weather: Weather,
    outdoor_c: float,
    rng: np.random.Generator,
) -> WhatIfAnswer:
    """The cabin now and with the steps done.

    Args:
        posterior: What was learned; with no stay in it, the prior.
        description: What holds now.
        steps: In the order to be done.
        told: The steps in the asker's words, for the answer.
        weather: Outdoors of a usual weekend.
        outdoor_c: Outdoors while cooling to freezing, °C.
        rng: For the width of what is new.

    Raises:
        BadInputError: A step finds no surface to change.
    """
    house = building(description.cabin)
    # Changes on record hold now: their factor belongs to what was learned.
    frame = Frame((house,), (description,), posterior.changes, np.ones((len(posterior.changes), 1)))
    z = posterior.z
    now = network(frame, z)
    parts = _parts(now)
    after = parts
    cabin = description.cabin
    for step in steps:
        after, cabin = _done(after, cabin, step, z, rng=rng)
    then = _with_parts(now, after)
    steady = steady_loss_w_per_k(now)[:, 0]
    loss_now = posterior.derived.heat_loss_w_per_k
    loss_then = loss_now * steady_loss_w_per_k(then)[:, 0] / steady
    limit = next((s.kg for s in reversed(steps) if isinstance(s, LoadLimit)), description.stove.max_load_kg)
    return _told(
        posterior, description=description, house_w_per_k=house.heat_loss_w_per_k,
        prior_log_sd=house.heat_loss_log_sd, then_w_per_k=building(cabin).heat_loss_w_per_k,
        nets=(now, then), losses=(loss_now, loss_then), limit_kg=limit, told=told, weather=weather,
        outdoor_c=outdoor_c,
    )  # fmt: skip


def _parts(net: Network) -> _Parts:
    opaque = 1.0 / (1.0 / net.fabric_w_per_k + 1.0 / net.couple_w_per_k)
    return _Parts(opaque[:, 0], net.direct_w_per_k[:, 0], net.leak_w_per_k[:, 0])


def _with_parts(net: Network, parts: _Parts) -> Network:
    opaque = np.maximum(parts.opaque, 0.5)[:, None]
    couple = np.maximum(net.couple_w_per_k, 1.3 * opaque)
    return net._replace(
        fabric_w_per_k=1.0 / (1.0 / opaque - 1.0 / couple),
        couple_w_per_k=couple,
        direct_w_per_k=parts.glazed[:, None],
        leak_w_per_k=parts.leak[:, None],
    )


def _done(
    parts: _Parts, cabin: Cabin, step: Step, z: FloatArray, *, rng: np.random.Generator
) -> tuple[_Parts, Cabin]:
    """The conductances and the description with one step done."""
    noise = rng.standard_normal(len(z))
    if isinstance(step, LoadLimit):
        return parts, cabin
    if isinstance(step, Tightened):
        usual = LEAKAGE_CM2_PER_M2[step.leakiness] / LEAKAGE_CM2_PER_M2[cabin.leakiness or "average"]
        scale = usual * np.exp(TIGHTER_LOG_SD * noise) if usual != 1.0 else np.ones(len(z))
        return replace(parts, leak=parts.leak * scale), replace(cabin, leakiness=step.leakiness)
    learned = _learned_factor(parts, cabin, step.kind)
    gone, come, surfaces = np.zeros(len(z)), np.zeros(len(z)), []
    for surface in cabin.surfaces:
        if not _meant(surface, step):
            surfaces.append(surface)
            continue
        before = surface.area_m2 * _u(surface) * learned
        gone = gone + before
        if isinstance(step, Replaced):
            come = come + surface.area_m2 * step.u_w_per_m2k * np.exp(NEW_LOG_SD * noise)
            surfaces.append(replace(surface, u_w_per_m2k=step.u_w_per_m2k, layers=(), glazing=None))
            continue
        more = step.layer.thickness_mm / 1000.0 / step.layer.conductivity_w_per_mk
        come = come + surface.area_m2 / (surface.area_m2 / before + more * np.exp(-NEW_LOG_SD * noise))
        surfaces.append(_thicker(surface, more))
    if not gone.any():
        raise BadInputError(_no_surface(cabin, step))
    part = "glazed" if step.kind == "window" else "opaque"
    moved = getattr(parts, part) + come - gone
    return replace(parts, **{part: moved}), replace(cabin, surfaces=tuple(surfaces))


def _learned_factor(parts: _Parts, cabin: Cabin, kind: str) -> FloatArray:
    """What the nights made of the description's conductance, of every draw."""
    house = building(cabin)
    if kind == "window":
        return parts.glazed / house.glazed_w_per_k
    out: FloatArray = parts.opaque / (house.opaque_w_per_k + house.floor_w_per_k)
    return out


def _meant(surface: Surface, step: Added | Replaced) -> bool:
    return surface.kind == step.kind and (
        step.faces is None or (surface.faces or "").upper() == step.faces.upper()
    )


def _u(surface: Surface) -> float:
    described = u_value_w_per_m2k(surface)
    return DEFAULT_U_W_PER_M2K[surface.kind] if described is None else described


def _thicker(surface: Surface, more_m2k_per_w: float) -> Surface:
    """The surface by its new U; what its layers hold is left as it was, for heat capacity barely changes."""
    return replace(surface, u_w_per_m2k=1.0 / (1.0 / _u(surface) + more_m2k_per_w), glazing=None)


def _no_surface(cabin: Cabin, step: Added | Replaced) -> str:
    have = ", ".join(
        f"{s.kind} {s.area_m2:g} m2" + (f" facing {s.faces}" if s.faces else "") for s in cabin.surfaces
    )
    facing = f" facing {step.faces}" if step.faces else ""
    return (
        f"The description has no {step.kind}{facing} to change; it has {have or 'no surface at all'}.\n"
        "Describe it first: nightload setup FILE.toml"
    )


def _told(
    posterior: Posterior,
    *,
    description: Description,
    house_w_per_k: float,
    prior_log_sd: float,
    then_w_per_k: float,
    nets: tuple[Network, Network],
    losses: tuple[FloatArray, FloatArray],
    limit_kg: float,
    told: Sequence[str],
    weather: Weather,
    outdoor_c: float,
) -> WhatIfAnswer:
    indoor = sum(description.comfort.band_c) / 2.0
    dry = pile_dry_share(description.wood)
    per_kg = posterior.derived.stove_efficiency * heat_of_wood_mj_per_kg(description) * dry
    held = posterior.derived.heat_loss_w_per_k * posterior.derived.time_constant_h * 3600.0 / 1e6
    wood = [
        _wood_kg(loss, held, per_kg=per_kg, indoor_c=indoor, outdoor_c=weather.weekend_c) for loss in losses
    ]
    limits = (description.stove.max_load_kg, limit_kg)
    carries = [
        kg * per_kg * 1e6 / 3600.0 / (loss * max(FROM_C - outdoor_c, 1.0))
        for kg, loss in zip(limits, losses, strict=True)
    ]
    freezing = [_freezing(net, outdoor_c=outdoor_c) for net in nets]
    change = 100.0 * (losses[1] / losses[0] - 1.0)
    learned_sd = float(np.log(losses[0]).std())
    return WhatIfAnswer(
        steps=tuple(told),
        heat_loss_now=range_of(losses[0]),
        heat_loss_then=range_of(losses[1]),
        heat_loss_change_pct=range_of(change),
        described_now_w_per_k=house_w_per_k,
        described_then_w_per_k=then_w_per_k,
        learned_share=float(np.clip(1.0 - learned_sd / prior_log_sd, 0.0, 1.0)) if posterior.stays else 0.0,
        outdoor_c=outdoor_c,
        freezing_now_h=freezing[0],
        freezing_then_h=freezing[1],
        weekend_h=WEEKEND_H,
        indoor_c=indoor,
        weekend_outdoor_c=weather.weekend_c,
        outdoor_from=weather.source,
        degree_hours=WEEKEND_H * max(indoor - weather.weekend_c, 0.0),
        wood_now_kg=range_of(wood[0]),
        wood_then_kg=range_of(wood[1]),
        wood_saved_kg=range_of(wood[0] - wood[1]),
        full_load_kg=limits,
        full_load_holds_now_h=range_of(carries[0]),
        full_load_holds_then_h=range_of(carries[1]),
        season=_season(losses, held, per_kg=per_kg, indoor_c=indoor, monthly_c=weather.monthly_c),
    )


def _wood_kg(
    loss: FloatArray, held_mj_per_k: FloatArray, *, per_kg: FloatArray, indoor_c: float, outdoor_c: float
) -> FloatArray:
    """Wood of one weekend, kg as weighed: what is lost while it is warm, and warming up on arrival."""
    rise = max(indoor_c - outdoor_c, 0.0)
    lost = loss * rise * WEEKEND_H * 3.6e-3
    out: FloatArray = (lost + WARM_UP_SHARE * held_mj_per_k * rise) / per_kg
    return out


def _season(
    losses: tuple[FloatArray, FloatArray],
    held: FloatArray,
    *,
    per_kg: FloatArray,
    indoor_c: float,
    monthly_c: Sequence[float],
) -> Season | None:
    """A season by its monthly means: the months that need a fire, every second weekend of them."""
    cold = [c for c in monthly_c if c < NEEDS_FIRE_BELOW_C]
    if not monthly_c or not cold:
        return None
    per_month = MONTH_H / 168.0 / EVERY_SECOND
    wood = [
        sum(per_month * _wood_kg(loss, held, per_kg=per_kg, indoor_c=indoor_c, outdoor_c=c) for c in cold)
        for loss in losses
    ]
    return Season(
        months=len(cold),
        fires_below_c=NEEDS_FIRE_BELOW_C,
        degree_hours=sum(MONTH_H * (indoor_c - c) for c in cold),
        weekends=round(per_month * len(cold)),
        wood_now_kg=range_of(np.asarray(wood[0])),
        wood_then_kg=range_of(np.asarray(wood[1])),
    )


def _freezing(net: Network, *, outdoor_c: float) -> Range | None:
    """Hours from 20 °C without fire until the room is at 0 °C; None where it stays above for five days."""
    if outdoor_c >= 0.0:
        return None
    steps = round(LONGEST_H / STEP_H)
    shape = (net.fabric_w_per_k.shape[0], 1)
    air_c = cooling_c(net, from_c=FROM_C, outside_c=outdoor_c, steps=steps, shape=shape)
    frozen = air_c[:, :, 0] <= 0.0
    if np.mean(frozen.any(axis=0)) < 0.95:
        return None
    first = np.where(frozen.any(axis=0), frozen.argmax(axis=0) + 1, steps)
    return range_of(first * STEP_H)
