"""Amounts of wood with their ranges: from a stack as put up to dry wood, heat and back.

Ranges are carried along analytically: the distances from the middle to either end are taken apart, below and
above, as logarithms for products and as they are for sums, and added in quadrature where causes are
independent, plainly where they are shared. So a skewed range stays skewed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from logbook.records import MOST_MOISTURE_PCT, Basis
from logbook.results.night import Range

Z_90 = 1.6449
"""Half-width of a 90 % range in standard deviations of the normal distribution."""

SOLID_CORD = Range(p05=0.55, p50=0.664, p95=0.70)
"""Solid wood in a stacked volume, m³/m³. Source: 85 of 128 cubic feet in a cord by convention; 70 (loose) to
90 (tight) by a state energy commission; both as reported."""

SOLID_STERE = Range(p05=0.60, p50=0.65, p95=0.70)
"""The same in a stere. Source: fuelwood handbooks (33 cm splits 0.70, metre logs 0.65; from memory)."""

SOLID_LOOSE = Range(p05=0.40, p50=0.425, p95=0.45)
"""The same in wood thrown in, not stacked. Source: fuelwood handbooks (from memory)."""

BURNED_LOG_SD = 0.05
"""How far the sum of the masses written as burned may be off, all together. ASSUMED: scale, mean piece."""

WATER_HEAT_MJ_PER_KG = 2.44
"""Heat to drive off a kg of water in the fuel standard's formula (ISO 17225-1 annex; from memory)."""

NOTHING = Range(p05=0.0, p50=0.0, p95=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What is known of a kind of wood; the sds are relative. ``softwood`` None: either, or mixed.

    ``known`` is false where the name says nothing, or as little as "mixed" or "hardwood".
    """

    name: str
    basic_density_kg_per_m3: float
    density_sd: float
    net_dry_mj_per_kg: float
    heat_sd: float
    softwood: bool | None = None
    known: bool = True


def solid_share(*, as_said: str, loose: bool) -> Range:
    """Solid wood in a stacked volume, m³/m³, by how it lies and by the unit it was written in."""
    if loose or "loose" in as_said.casefold():
        return SOLID_LOOSE
    return SOLID_STERE if "stere" in as_said.casefold().replace("è", "e") else SOLID_CORD


def stacked_dry_kg_per_m3(kind: Kind, *, as_said: str = "", loose: bool = False) -> Range:
    """Dry wood in a cubic metre of stack, kg: solid share times basic density (dry mass, green volume)."""
    density = around(kind.basic_density_kg_per_m3, log_sd=kind.density_sd)
    return times(solid_share(as_said=as_said, loose=loose), density)


def net_heat_mj(*, dry_kg: Range, moisture_dry_pct: Range, kind: Kind) -> Range:
    """Net heat of wood, MJ: that of the dry wood less what its water takes.

    Source: ISO 17225-1 annex in the dry basis: q0 - 2.44 u, u kg of water per kg of dry wood; from memory.
    """
    middle = kind.net_dry_mj_per_kg - WATER_HEAT_MJ_PER_KG * moisture_dry_pct.p50 / 100.0
    wet = kind.net_dry_mj_per_kg - WATER_HEAT_MJ_PER_KG * moisture_dry_pct.p95 / 100.0
    dry = kind.net_dry_mj_per_kg - WATER_HEAT_MJ_PER_KG * moisture_dry_pct.p05 / 100.0
    per_kg = times(Range(wet, middle, dry), around(1.0, log_sd=kind.heat_sd))
    return times(dry_kg, per_kg)


def weighed_kg(*, dry_kg: Range, moisture_dry_pct: Range) -> Range:
    """Mass as weighed of so much dry wood."""
    m = moisture_dry_pct
    return times(dry_kg, Range(1.0 + m.p05 / 100.0, 1.0 + m.p50 / 100.0, 1.0 + m.p95 / 100.0))


def dry_kg(*, weighed: float, moisture_dry_pct: Range) -> Range:
    """Dry wood in a mass as weighed, kg."""
    m = moisture_dry_pct
    return Range(*(weighed / (1.0 + pct / 100.0) for pct in (m.p95, m.p50, m.p05)))


def dry_basis_pct(moisture_pct: float, basis: Basis) -> float | None:
    """Moisture on the dry basis, %; None where no wood can be that wet.

    Source: definition of the two bases (EN ISO 18134-1).
    """
    if not 0.0 <= moisture_pct <= MOST_MOISTURE_PCT[basis]:
        return None
    return moisture_pct if basis is Basis.DRY else 100.0 * moisture_pct / (100.0 - moisture_pct)


# Ranges


def around(middle: float, *, log_sd: float) -> Range:
    """A lognormal range."""
    factor = math.exp(Z_90 * log_sd)
    return Range(middle / factor, middle, middle * factor)


def exactly(value: float) -> Range:
    """A range without width."""
    return Range(value, value, value)


def times(*factors: Range) -> Range:
    """The product of independent ranges, none below 0."""
    middle = math.prod(f.p50 for f in factors)
    if middle <= 0.0:
        return Range(0.0, 0.0, max(0.0, math.prod(f.p95 for f in factors)))
    if any(f.p05 <= 0.0 for f in factors):
        low = 0.0
    else:
        low = middle * math.exp(-math.hypot(*(math.log(f.p50 / f.p05) for f in factors)))
    return Range(low, middle, middle * math.exp(math.hypot(*(math.log(f.p95 / f.p50) for f in factors))))


def over(top: Range, bottom: Range) -> Range:
    """One range through another, independent and above 0."""
    return times(top, Range(1.0 / bottom.p95, 1.0 / bottom.p50, 1.0 / bottom.p05))


def less(have: Range, gone: Range) -> Range:
    """One range taken from another, independent; nothing below 0."""
    middle = have.p50 - gone.p50
    down = math.hypot(have.p50 - have.p05, gone.p95 - gone.p50)
    up = math.hypot(have.p95 - have.p50, gone.p50 - gone.p05)
    return Range(*(max(0.0, x) for x in (middle - down, middle, middle + up)))


def together(parts: Iterable[Range]) -> Range:
    """The sum of ranges with causes of their own."""
    listed = tuple(parts)
    middle = sum(p.p50 for p in listed)
    down = math.hypot(*(p.p50 - p.p05 for p in listed))
    up = math.hypot(*(p.p95 - p.p50 for p in listed))
    return Range(max(0.0, middle - down), middle, middle + up)


def plainly(parts: Iterable[Range]) -> Range:
    """The sum of ranges that are off together: ends are added to ends."""
    listed = tuple(parts)
    return Range(sum(p.p05 for p in listed), sum(p.p50 for p in listed), sum(p.p95 for p in listed))
