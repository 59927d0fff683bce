"""What is believed of a cabin and its stove before any reading, and the way from numbers to physics.

Every unknown is a standard normal ``z``; its meaning is centre and spread of a logarithm, a logit or a plain
number. A stove's centres are broad and uncorrelated on purpose: a prior with the correlations of five
simulated stoves forecast no better. MODEL.md has the evidence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.heat.cabin import Network
from logbook.heat.construction import Building
from logbook.heat.stove import FireLaw
from logbook.heat.wood import MOISTURE_PENALTY_MJ_PER_KG, NET_DRY_HARDWOOD_MJ_PER_KG, dry_from_wet_pct
from logbook.records import Basis, Description


class Scale(StrEnum):
    """On what scale an unknown is normal."""

    LOG = "log"
    LOGIT = "logit"
    PLAIN = "plain"


@dataclass(frozen=True, slots=True)
class Unknown:
    """One unknown: its centre in its own unit, its spread on its scale, and why.

    A centre of 1 in "x description" multiplies a number of the description. ``lift`` stretches the upper
    side: lift z² is added where z is above 0.
    """

    name: str
    centre: float
    sd: float
    scale: Scale
    unit: str
    source: str
    lift: float = 0.0


BENCH = "broad prior around bench tests of five simulated stoves, widened; ASSUMED for real ones"
LEAKY = (
    BENCH + "; stretched on the leaky side until one log on coals can bring a small room to 32 °C with the "
    "air shut (common practice, no source)"
)

UNKNOWNS: tuple[Unknown, ...] = (
    # The cabin; the first six multiply what the description gives.
    Unknown("fabric_loss", 1.0, 1.0, Scale.LOG, "x description", "ISO 6946; spread from the description"),
    Unknown("leak", 1.0, 1.0, Scale.LOG, "x description", "infiltration model; spread from the description"),
    Unknown("fabric", 1.0, 1.0, Scale.LOG, "x description", "ISO 13786 depth; furniture unknown"),
    Unknown("air_mass", 2.5, 0.4, Scale.LOG, "x air of the room", "air and light things; ASSUMED"),
    Unknown("deep", 1.0, 0.7, Scale.LOG, "x description", "what a night does not reach; ASSUMED"),
    Unknown("couple", 3.0, 0.4, Scale.LOG, "W/m2K of inner surface", "ISO 6946 films less furniture"),
    Unknown("deep_couple", 0.35, 0.7, Scale.LOG, "W/m2K of inner surface", "ASSUMED"),
    Unknown("to_fabric", 0.55, 0.5, Scale.LOGIT, "share", "a stove radiates about half; ASSUMED"),
    Unknown("window_open", 110.0, 0.5, Scale.LOG, "W/K", "area x stack flow; ASSUMED, learned"),
    Unknown("window_cracked", 45.0, 0.6, Scale.LOG, "W/K", "area x stack flow; ASSUMED, learned"),
    Unknown("sun", 2.0, 0.7, Scale.LOG, "x usual", "bounded by the windows described"),
    Unknown(
        "people",
        0.8,
        0.5,
        Scale.LOG,
        "x 65 W each",
        "sensible heat of a person at rest, handbook, from memory",
    ),
    Unknown("outdoor_offset", -0.3, 0.5, Scale.PLAIN, "K", "night sky, and thermometers near walls; ASSUMED"),
    # The fire.
    Unknown("wood_rate", 0.18, 0.35, Scale.LOG, "1/(h kW)", BENCH, lift=0.15),
    Unknown("rate_at_30", 3.2, 0.7, Scale.LOG, "kg/h for a stove of 11 kg", LEAKY, lift=0.42),
    Unknown(
        "leak_of_30",
        0.27,
        0.5,
        Scale.LOGIT,
        "share",
        LEAKY + "; a small real stove: 0.95 kg/h fully shut",
        lift=0.5,
    ),
    Unknown("rate_at_100", 16.0, 0.35, Scale.LOG, "kg/h for a stove of 11 kg", BENCH),
    Unknown("char_rate", 0.13, 0.5, Scale.LOG, "per (kg/h)^m", BENCH),
    Unknown("char_air", 0.69, 0.2, Scale.LOG, "exponent", BENCH),
    Unknown("char_share", 0.44, 0.15, Scale.LOGIT, "share of heat", "0.30–0.50 from three published splits"),
    Unknown("efficiency", 0.78, 0.07, Scale.LOG, "share", "tested stoves 0.58–0.87 of gross heat, mean 0.71"),
    Unknown("loss_by_air", 0.11, 0.3, Scale.LOG, "", BENCH),
    Unknown("loss_by_rate", 0.010, 0.7, Scale.LOG, "1/kW", BENCH),
    Unknown("smoulder", 0.07, 0.3, Scale.LOG, "kW", BENCH),
    Unknown("hot_h", 0.175, 0.2, Scale.LOG, "h", BENCH),
    Unknown("draught", 0.15, 0.6, Scale.LOG, "exponent", BENCH),
    Unknown("body_h", 1.0, 0.5, Scale.LOG, "x 0.55 h per 140 kg", BENCH),
    Unknown("slow_share", 0.14, 0.6, Scale.LOGIT, "share", BENCH),
    Unknown("slow_h", 3.0, 0.25, Scale.LOG, "h", BENCH),
    Unknown("catch_h", 0.11, 0.4, Scale.LOG, "h", BENCH),
    Unknown("kindled_kw", 5.0, 0.4, Scale.LOG, "kW", "ASSUMED"),
    # The owner's words.
    Unknown("coals_words", 1.0, 0.4, Scale.LOG, "x cut points", "words differ from owner to owner; ASSUMED"),
)

NAMES = tuple(u.name for u in UNKNOWNS)
INDEX = {name: i for i, name in enumerate(NAMES)}

BODY_KG = 140.0
"""Mass of the stove when the description does not say, kg. ASSUMED: usual for a steel or cast-iron stove."""

USUAL_LOAD_KG = 11.0
"""Largest load of the stoves behind the priors, kg; air inlets are sized to the firebox, so the burning rates
the air allows go with it. ASSUMED."""

ROOM_AIR_J_PER_M3K = 1200.0
"""Heat capacity of air, J/m3K. Source: 1.20 kg/m3 x 1.006 kJ/kgK."""


class ChangeKind(StrEnum):
    """What a dated change touches, and so which factor the fit frees."""

    HEAT_LOSS = "heat_loss"
    THERMOMETER = "thermometer"
    LEVER = "lever"
    GASKET = "gasket"


CHANGE_SD = {
    ChangeKind.HEAT_LOSS: 0.25,
    ChangeKind.THERMOMETER: 1.5,
    ChangeKind.LEVER: 0.5,
    ChangeKind.GASKET: 0.5,
}
"""Spread of a change's effect: logarithm of the heat loss, K, logarithm of the air at a setting, logarithm of
the leak. ASSUMED: most works on a small cabin change its loss by less than a quarter."""


def change_kind(name: str) -> ChangeKind:
    """What a change touches: thermometer, lever and gasket by their words in its name, else the heat loss."""
    words = name.casefold()
    if "thermometer" in words or "sensor" in words:
        return ChangeKind.THERMOMETER
    if "lever" in words or "rescal" in words:
        return ChangeKind.LEVER
    if "gasket" in words or "door rope" in words:
        return ChangeKind.GASKET
    return ChangeKind.HEAT_LOSS


@dataclass(frozen=True, slots=True)
class Change:
    """A dated change whose effect is learned."""

    name: str
    at: datetime
    kind: ChangeKind


@dataclass(frozen=True)
class Frame:
    """What the numbers ``z`` refer to: the description of each stay, and which changes hold in it.

    Axes of the arrays: (stay,); ``changed`` is (change, stay), 1 where the change holds.
    """

    buildings: tuple[Building, ...]
    descriptions: tuple[Description, ...]
    changes: tuple[Change, ...]
    changed: FloatArray

    @property
    def size(self) -> int:
        """How many numbers ``z`` has."""
        return len(UNKNOWNS) + len(self.changes)


def value_of(unknown: Unknown, z: FloatArray) -> FloatArray:
    """The unknown in its own unit from its standard normal number."""
    moved = unknown.sd * z
    if unknown.lift:
        moved = moved + unknown.lift * np.maximum(z, 0.0) ** 2
    if unknown.scale is Scale.LOG:
        out: FloatArray = unknown.centre * np.exp(moved)
    elif unknown.scale is Scale.LOGIT:
        odds = unknown.centre / (1.0 - unknown.centre) * np.exp(moved)
        out = odds / (1.0 + odds)
    else:
        out = unknown.centre + moved
    return out


def values(z: FloatArray) -> dict[str, FloatArray]:
    """All unknowns from ``z``, axes (lane, number); each value has axes (lane, 1)."""
    return {u.name: value_of(u, z[:, i : i + 1]) for i, u in enumerate(UNKNOWNS)}


def change_effect(frame: Frame, z: FloatArray, kind: ChangeKind) -> FloatArray:
    """Summed effect of all changes of a kind, axes (lane, stay)."""
    out: FloatArray = np.zeros((z.shape[0], len(frame.buildings)))
    for i, change in enumerate(frame.changes):
        if change.kind is kind:
            out = out + CHANGE_SD[kind] * z[:, len(UNKNOWNS) + i : len(UNKNOWNS) + i + 1] * frame.changed[i]
    return out


def _column(items: Sequence[float]) -> FloatArray:
    return np.asarray(items, dtype=np.float64)[None, :]


def network(frame: Frame, z: FloatArray) -> Network:
    """The cabins that ``z`` means, axes (lane, stay)."""
    v = values(z)
    b = frame.buildings
    changed = np.exp(change_effect(frame, z, ChangeKind.HEAT_LOSS))
    through = changed * np.exp(z[:, INDEX["fabric_loss"], None] * _column([x.fabric_log_sd for x in b]))
    leak = changed * np.exp(z[:, INDEX["leak"], None] * _column([x.air_log_sd for x in b]))
    opaque = through * _column([x.opaque_w_per_k + x.floor_w_per_k for x in b])
    couple = v["couple"] * _column([x.inner_area_m2 for x in b])
    couple = np.maximum(couple, 1.3 * opaque)
    fabric = (
        1e6
        * _column([x.inner_capacity_mj_per_k for x in b])
        * np.exp(z[:, INDEX["fabric"], None] * _column([x.capacity_log_sd for x in b]))
    )
    return Network(
        # The opaque loss is that of the whole way from air to outdoors, the way to the fabric included.
        fabric_w_per_k=1.0 / (1.0 / opaque - 1.0 / couple),
        direct_w_per_k=through * _column([x.glazed_w_per_k for x in b]),
        leak_w_per_k=leak * _column([x.air_w_per_k for x in b]),
        couple_w_per_k=couple,
        deep_w_per_k=v["deep_couple"] * _column([x.inner_area_m2 for x in b]),
        air_j_per_k=v["air_mass"] * _column([x.volume_m3 for x in b]) * ROOM_AIR_J_PER_M3K,
        fabric_j_per_k=fabric,
        deep_j_per_k=v["deep"] * _column([x.deep_capacity_mj_per_k for x in b]) * 1e6,
        to_fabric=v["to_fabric"] + 0.0 * opaque,
    )


def fire_law(frame: Frame, z: FloatArray) -> FireLaw:
    """The stoves that ``z`` means, axes (lane, stay)."""
    v = values(z)
    lever = np.exp(change_effect(frame, z, ChangeKind.LEVER))
    seal = np.exp(change_effect(frame, z, ChangeKind.GASKET))
    size = _column([d.stove.max_load_kg / USUAL_LOAD_KG for d in frame.descriptions])
    body = _column([(d.stove.body_kg or BODY_KG) / BODY_KG for d in frame.descriptions])
    return FireLaw(
        wood_rate=v["wood_rate"],
        smoulder_kw=v["smoulder"],
        rate_at_30=v["rate_at_30"] * lever * size,
        leak_share=np.minimum(v["leak_of_30"] * seal / lever, 0.9),
        rate_at_100=v["rate_at_100"] * size,
        draught=v["draught"],
        char_rate=v["char_rate"],
        char_air=v["char_air"],
        char_share=v["char_share"],
        efficiency=v["efficiency"],
        loss_by_air=v["loss_by_air"],
        loss_by_rate=v["loss_by_rate"],
        hot_h=v["hot_h"],
        catch_h=v["catch_h"],
        kindled_kw=v["kindled_kw"],
        body_h=0.55 * v["body_h"] * body,
        slow_share=v["slow_share"],
        slow_h=v["slow_h"],
    )


def heat_of_wood_mj_per_kg(description: Description) -> float:
    """Net heat per kg of dry wood at the description's moisture, MJ/kg dry."""
    wood = description.wood
    moisture = wood.moisture_pct
    if wood.moisture_basis is Basis.WET:
        moisture = dry_from_wet_pct(moisture_pct=moisture)
    return NET_DRY_HARDWOOD_MJ_PER_KG - MOISTURE_PENALTY_MJ_PER_KG * moisture / 100.0
