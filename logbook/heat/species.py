"""From a species as an owner writes it to density and heat, and from a stack to its dry wood.

By weight woods differ little; by volume they differ threefold. A load that was weighed hardly cares
about its species, a stack or a count of pieces does.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import fmean, stdev
from typing import Protocol

from logbook.heat.species_table import FILLER_WORDS, HARDWOODS, MODIFIERS, OTHER_NAMES, SOFTWOODS
from logbook.heat.wood import (
    NET_DRY_GENERIC_MJ_PER_KG,
    NET_DRY_HARDWOOD_MJ_PER_KG,
    NET_DRY_SOFTWOOD_MJ_PER_KG,
    NET_DRY_SPREAD,
    net_heat_mj_per_kg,
    pile_dry_share,
)
from logbook.records import Basis, WoodPile
from logbook.results.night import Range

DENSITY_SPREAD = 0.06
"""Relative sd of basic density from tree to tree within a species. Source: the Wood Handbook's
coefficient of variation of 10 % for specific gravity is of small clear samples (from memory); a load
averages over pieces. ASSUMED."""

GENERIC_HEAT_SPREAD = 0.05
"""Relative sd of net heat when the kind is unknown: hardwood or softwood. ASSUMED."""

GENERIC_DENSITY_SPREAD = 0.20
"""Relative sd of density when only hardwood, softwood or nothing is known; the table's own spread is
0.22 and 0.16."""

SOLID_SHARE = 0.664
"""Solid wood in a stacked cord, m3/m3. Source: 85 of 128 cubic feet, the usual convention of
extension tables, as reported."""

SOLID_SHARE_SD = 0.045
"""Sd of that share: 70 (loose) to 90 (tight) cubic feet, 0.55-0.70, as reported."""

Z_90 = 1.6449
"""Half-width of a 90 % range in standard deviations of the normal distribution."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Species:
    """What is known of a kind of firewood. ``known`` is false when the name said nothing.

    ``spread`` is the relative sd of the net heat per dry kg, ``density_spread`` of the basic density.
    """

    name: str
    basic_density_kg_per_m3: float
    net_dry_mj_per_kg: float
    spread: float
    density_spread: float = DENSITY_SPREAD
    known: bool = True


_TABLE = tuple(
    (name, gravity, heat)
    for rows, heat in ((HARDWOODS, NET_DRY_HARDWOOD_MJ_PER_KG), (SOFTWOODS, NET_DRY_SOFTWOOD_MJ_PER_KG))
    for name, gravity in rows
)
"""Rows (name, specific gravity, net heat of the dry wood in MJ/kg)."""


def find_species(text: str) -> Species:
    """The species an owner wrote; a plain "oak" is the mean of the oaks, an unknown name generic wood.

    Never refuses: a name nobody knows is still wood, with a wider range (``known`` is then false).

    Args:
        text: Free text, any case and spacing.
    """
    words = text.lower().replace("-", " ").replace("_", " ").replace("/", " ").replace(",", " ").split()
    words = [word for word in words if word not in FILLER_WORDS]
    name = " ".join(words)
    broad = _broad(name)
    if broad is not None:
        return broad
    rows = _rows_named(name)
    if not rows:
        rows = [row for word in words if word not in MODIFIERS for row in _rows_named(word)]
    return _from_rows(name, rows) if rows else _generic(name or "wood")


def _broad(name: str) -> Species | None:
    for kind, rows, heat in (
        ("hardwood", HARDWOODS, NET_DRY_HARDWOOD_MJ_PER_KG),
        ("softwood", SOFTWOODS, NET_DRY_SOFTWOOD_MJ_PER_KG),
    ):
        if name in {kind, f"mixed {kind}", f"{kind}s", f"mixed {kind}s"}:
            return Species(
                name=f"mixed {kind}",
                basic_density_kg_per_m3=1000.0 * fmean(gravity for _, gravity in rows),
                net_dry_mj_per_kg=heat,
                spread=NET_DRY_SPREAD,
                density_spread=GENERIC_DENSITY_SPREAD,
            )
    return _generic("mixed", known=True) if name == "mixed" else None


def _generic(name: str, *, known: bool = False) -> Species:
    return Species(
        name=name,
        basic_density_kg_per_m3=1000.0 * fmean(gravity for _, gravity in HARDWOODS + SOFTWOODS),
        net_dry_mj_per_kg=NET_DRY_GENERIC_MJ_PER_KG,
        spread=GENERIC_HEAT_SPREAD,
        density_spread=GENERIC_DENSITY_SPREAD,
        known=known,
    )


def _rows_named(name: str) -> list[tuple[str, float, float]]:
    """Rows (name, gravity, net heat) that an owner's words fit: the exact one, else all that hold them."""
    for candidate in (name, name.removesuffix("s")):
        wanted = OTHER_NAMES.get(candidate, candidate)
        exact = [row for row in _TABLE if row[0] == wanted]
        words = set(wanted.split())
        fits = exact or [row for row in _TABLE if words and words <= set(row[0].split())]
        if fits and not words <= MODIFIERS:
            return fits
    return []


def _from_rows(name: str, rows: list[tuple[str, float, float]]) -> Species:
    gravities = [gravity for _, gravity, _ in rows]
    mean = fmean(gravities)
    between = stdev(gravities) / mean if len(gravities) > 1 else 0.0
    return Species(
        name=rows[0][0] if len(rows) == 1 else name,
        basic_density_kg_per_m3=1000.0 * mean,
        net_dry_mj_per_kg=fmean(heat for _, _, heat in rows),
        spread=NET_DRY_SPREAD,
        density_spread=math.hypot(DENSITY_SPREAD, between),
    )


class SaidOfWood(Protocol):
    """What a row says of its load's wood: a load laid in, or a plan's entry."""

    @property
    def species(self) -> str | None:
        """Its kind, in the owner's words."""

    @property
    def moisture_pct(self) -> float | None:
        """Its moisture, %."""

    @property
    def moisture_basis(self) -> Basis | None:
        """Of what; None: as for the wood usually burned."""


def counted_kg_dry(mass_kg: float, *, wood: SaidOfWood, pile: WoodPile) -> float:
    """What a load counts for: kg dry of the wood usually burned that give as much heat.

    Kinds differ by 4 % per kg at most, less than a load's own heat is unsure by (14 %), so a kind nobody
    knows counts as generic wood and does not widen the range. A moisture
    reading counts by a third: one face of one piece says only so much of a load.

    Args:
        mass_kg: The load as weighed, kg.
        wood: What its row says of it; what is not said is as usual.
        pile: The wood usually burned.

    Raises:
        BadInputError: A moisture is outside the limits of `wood.dry_share`.
    """
    usual_kg_dry = mass_kg * pile_dry_share(pile)
    species, moisture = wood.species or pile.species, wood.moisture_pct
    if species.casefold() == pile.species.casefold() and moisture is None:
        return usual_kg_dry
    usual = _net_mj_per_kg(pile.species, pile.moisture_pct, pile.moisture_basis)
    said = _net_mj_per_kg(species, pile.moisture_pct, pile.moisture_basis)
    if moisture is not None:
        read = _net_mj_per_kg(species, moisture, wood.moisture_basis or pile.moisture_basis)
        said += METER_WEIGHT * (read - said)
    return usual_kg_dry * said / usual


METER_WEIGHT = 0.35
"""How far a load's own moisture reading counts against the usual wood's. ASSUMED: one reading of one face is
off by about 4 points, loads of one pile differ by about 3: 3²/(3² + 4²). Taken whole, the scatter of the
readings made forecasts of simulated cabins worse (1.79 K instead of 1.73 K at waking)."""


def _net_mj_per_kg(species: str, moisture_pct: float, basis: Basis) -> float:
    return net_heat_mj_per_kg(
        net_dry_mj_per_kg=find_species(species).net_dry_mj_per_kg, moisture_pct=moisture_pct, basis=basis
    )


def stack_dry_mass_kg(*, stacked_m3: float, species: Species) -> Range:
    """Dry wood in a stack, kg, with the range of how tightly it is stacked and how dense it grew.

    No command counts stacks yet: the published cords it is held against check the table of species, which
    loads do use.

    Args:
        stacked_m3: Volume of the stack, air included, m3 (a cord is 3.6246, a stere 1).
        species: The wood.

    Source: solid share 0.664 (0.55-0.70), extension tables as reported; basic density as its table.
    """
    middle = stacked_m3 * SOLID_SHARE * species.basic_density_kg_per_m3
    spread = math.hypot(SOLID_SHARE_SD / SOLID_SHARE, species.density_spread)
    factor = math.exp(Z_90 * spread)
    return Range(p05=middle / factor, p50=middle, p95=middle * factor)


def stack_net_heat_mj(*, stacked_m3: float, species: Species) -> Range:
    """Net heat of a stack burned dry, MJ; the heat spent on its moisture is not taken off.

    Args:
        stacked_m3: Volume of the stack, air included, m3.
        species: The wood.
    """
    mass = stack_dry_mass_kg(stacked_m3=stacked_m3, species=species)
    wider = math.exp(Z_90 * species.spread)
    heat = species.net_dry_mj_per_kg
    return Range(p05=mass.p05 * heat / wider, p50=mass.p50 * heat, p95=mass.p95 * heat * wider)
