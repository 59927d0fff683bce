"""The wood shed: from the log to an answer, with what the table of species and the heat loss know."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from logbook.care.shed_air import air_of
from logbook.care.wood_amounts import Kind
from logbook.care.woodshed import outdoor_ahead_c, texts_of, wood_shed
from logbook.heat.species import find_species
from logbook.heat.wood import (
    NET_DRY_GENERIC_MJ_PER_KG,
    NET_DRY_HARDWOOD_MJ_PER_KG,
    NET_DRY_SOFTWOOD_MJ_PER_KG,
    equilibrium_moisture_pct,
)
from logbook.house import House
from logbook.matters import Stack, StackCount
from logbook.results.night import Range
from logbook.results.woodshed import ShedAir, WoodAnswer
from logbook.wording.woodshed import assumed_text

if TYPE_CHECKING:
    from logbook.actions.reckoning import Cache, Known


def wood(house: House, *, weekend_by_heat_loss_kg: Range | None = None) -> WoodAnswer:
    """The wood shed as of the house's time; a log without a description is answered too.

    Args:
        house: The log as of a time.
        weekend_by_heat_loss_kg: As ``weekend_by_heat_loss`` gives it; None: own stays alone.
    """
    air = shed_air(house)
    answer = wood_shed(
        house,
        kinds={text: kind_of(text) for text in texts_of(house)},
        air=air,
        weekend_by_heat_loss_kg=weekend_by_heat_loss_kg,
    )
    return replace(answer, assumed=assumed_text(answer, setting=house.setting))


def has_wood(house: House) -> bool:
    """Whether any stack is on record, so that the heat loss is worth asking."""
    return bool(house.of(Stack) or house.of(StackCount))


def shed_air(house: House) -> ShedAir:
    """The air the stacks stand in, by the published relation for settled moisture."""
    return air_of(house, settles=_settles)


def kind_of(text: str) -> Kind:
    """What is known of a kind of wood, by the owner's words."""
    found = find_species(text)
    soft = found.net_dry_mj_per_kg >= (NET_DRY_SOFTWOOD_MJ_PER_KG + NET_DRY_GENERIC_MJ_PER_KG) / 2
    hard = found.net_dry_mj_per_kg <= (NET_DRY_HARDWOOD_MJ_PER_KG + NET_DRY_GENERIC_MJ_PER_KG) / 2
    return Kind(
        name=found.name,
        basic_density_kg_per_m3=found.basic_density_kg_per_m3,
        density_sd=found.density_spread,
        net_dry_mj_per_kg=found.net_dry_mj_per_kg,
        heat_sd=found.spread,
        softwood=True if soft else False if hard else None,
        known=found.known and not found.name.startswith("mixed"),
    )


def weekend_by_heat_loss(told: Known, house: House, *, cache: Cache | None = None) -> Range:
    """Wood of a weekend kept warm for 48 h in the cold months ahead, kg as weighed, by the learned cabin.

    Learning takes a few seconds where it is not in the cache yet.

    Raises:
        NoDescriptionError: There is no description.
    """
    import numpy as np  # noqa: PLC0415 - loaded when it is needed

    from logbook.actions.reckoning import fingerprint, posterior_of, seed_of  # noqa: PLC0415 - the same
    from logbook.heat.whatif import Weather, what_if  # noqa: PLC0415 - the same

    ahead = Weather(weekend_c=outdoor_ahead_c(house, air=shed_air(house)), source="the cold months ahead")
    found = what_if(
        posterior_of(told, cache=cache),
        description=told.description,
        steps=(),
        told=(),
        weather=ahead,
        outdoor_c=-5.0,
        rng=np.random.default_rng(seed_of(fingerprint(told))),
    )
    return found.wood_now_kg


def _settles(temperature_c: float, rh_pct: float) -> float:
    return equilibrium_moisture_pct(temperature_c=temperature_c, rh_pct=rh_pct)
