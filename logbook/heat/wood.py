"""Firewood: moisture, dry mass, net heat, charcoal, and moisture in the shed.

Moisture is always a percentage *of* something: of the wood as weighed (wet basis) or of the dry
wood (dry basis). 20 % on a meter's dry scale is 16.7 % wet, so every function asks for the basis.
"""

from __future__ import annotations

from logbook.errors import BadInputError
from logbook.records import MOST_MOISTURE_PCT, Basis, WoodPile
from logbook.units import ZERO_C_IN_K

LATENT_HEAT_WATER_25C_MJ_PER_KG = 2.442
"""Heat to evaporate 1 kg of water at 25 °C, MJ/kg. Source: IAPWS R7-97, 298.15 K (from memory)."""

MOISTURE_PENALTY_MJ_PER_KG = 2.44
"""Heat per kg of water in the fuel in the fuel standard's formula, MJ/kg.
Source: ISO 17225-1 (before it EN 14961-1), annex; from memory."""

WATER_PER_HYDROGEN = 8.936
"""kg of water formed by burning 1 kg of hydrogen. Source: molar masses, as in EN ISO 18125."""

HYDROGEN_SHARE = 0.06
"""Hydrogen in dry wood, kg/kg. Source: composition of wood (C 50 %, H 6 %, O 41 %), as reported."""

NET_DRY_HARDWOOD_MJ_PER_KG = 18.5
"""Net heat of oven-dry hardwood, MJ/kg. Source: 8,500 Btu/lb higher heating value as reported
(19.8 MJ/kg), less the water formed by 6 % hydrogen; the fuel handbooks round to 18.5 for any wood (from
memory), and the fit takes it so: that softwood gives 4 % more goes into the efficiency it learns."""

NET_DRY_SOFTWOOD_MJ_PER_KG = 19.2
"""Net heat of oven-dry softwood, MJ/kg. Source: ISO 17225-1 annex gives 19.1 for conifers and the
9,000 Btu/lb of a trade dictionary 19.6; resin explains the gap to hardwood (from memory)."""

NET_DRY_GENERIC_MJ_PER_KG = 18.7
"""Net heat of oven-dry wood of unknown kind, MJ/kg. Source: 8,600 Btu/lb (20.0 MJ/kg higher, a
university-extension figure as reported), less the water formed by 6 % hydrogen."""

NET_DRY_SPREAD = 0.03
"""Relative sd of net heat within hardwood or softwood. ASSUMED from the published 18-21 MJ/kg
(higher, dry) over all woody biomass; a bomb calorimeter would narrow it."""

MEASURED_CHAR_YIELD = 0.20
"""Charcoal left when the gases are gone, kg per kg dry wood. Source: 80 % volatiles, 20 % char, an
extension figure as reported; cone-calorimeter runs leave 14-20 % of the sample. Plausible 0.14-0.30. The
fire itself takes a little more (`stove.CHAR_YIELD`): the published figure stays for checks."""

CHAR_HEAT_MJ_PER_KG = 32.0
"""Net heat of charcoal, MJ/kg. From memory; the FAO's 9,500 MJ of charcoal from a tonne of dry wood
at 30 % yield gives 31.7."""


def dry_share(*, moisture_pct: float, basis: Basis) -> float:
    """Dry wood in a kilogram as weighed, kg/kg.

    Args:
        moisture_pct: Water in the wood, %; 0-67 on the wet basis, 0-200 on the dry basis.
        basis: What the percentage is of.

    Raises:
        BadInputError: Moisture outside those limits.

    Source: definition of the two bases (EN ISO 18134-1).
    """
    limit = MOST_MOISTURE_PCT[basis]
    if not 0.0 <= moisture_pct <= limit:
        raise BadInputError(
            f"Wood moisture {moisture_pct:g} % ({basis} basis) is outside 0 to {limit:g} %.\n"
            "Check the number, and whether it is a share of the wet or of the dry wood."
        )
    if basis is Basis.WET:
        return 1.0 - moisture_pct / 100.0
    return 1.0 / (1.0 + moisture_pct / 100.0)


def pile_dry_share(pile: WoodPile) -> float:
    """Dry wood in a kilogram of the wood usually burned, kg/kg.

    Raises:
        BadInputError: Its moisture is outside the limits of `dry_share`.
    """
    return dry_share(moisture_pct=pile.moisture_pct, basis=pile.moisture_basis)


def dry_from_wet_pct(*, moisture_pct: float) -> float:
    """Moisture on the dry basis, %, from the wet basis, %.

    Raises:
        BadInputError: Moisture outside 0-67 %.
    """
    return 100.0 * (1.0 / dry_share(moisture_pct=moisture_pct, basis=Basis.WET) - 1.0)


def lower_heating_value_dry_mj_per_kg(*, higher: float, hydrogen_share: float = HYDROGEN_SHARE) -> float:
    """Net heat of dry wood from its gross heat, both MJ/kg dry.

    What is taken off is the heat to evaporate the water its hydrogen burns to; a stove never gets it. The
    net heats above come from published gross heats by it; a test holds them to that.

    Source: EN ISO 18125, form at constant pressure with the small oxygen and nitrogen terms left out.
    """
    return higher - LATENT_HEAT_WATER_25C_MJ_PER_KG * WATER_PER_HYDROGEN * hydrogen_share


def net_heat_mj_per_kg(*, net_dry_mj_per_kg: float, moisture_pct: float, basis: Basis) -> float:
    """Net heat of wood as weighed, MJ per kg as weighed.

    Args:
        net_dry_mj_per_kg: Net heat of the dry wood, MJ/kg.
        moisture_pct: Water in the wood, %, within the limits of `dry_share`.
        basis: What the percentage is of.

    Raises:
        BadInputError: Moisture outside the limits.

    Source: ISO 17225-1 annex (before it EN 14961-1); from memory.
    """
    dry = dry_share(moisture_pct=moisture_pct, basis=basis)
    return net_dry_mj_per_kg * dry - MOISTURE_PENALTY_MJ_PER_KG * (1.0 - dry)


def volatiles_heat_mj_per_kg(
    *,
    net_dry_mj_per_kg: float,
    char_yield: float = MEASURED_CHAR_YIELD,
    char_heat_mj_per_kg: float = CHAR_HEAT_MJ_PER_KG,
) -> float:
    """Net heat of the gases that leave dry wood on its way to charcoal, MJ per kg of gas.

    Energy balance: wood = gases + charcoal. ``char_yield`` is kg charcoal per kg dry wood, 0-0.5. The fire
    has its own split of heat, learned; this one is held against cone-calorimeter runs.
    """
    return (net_dry_mj_per_kg - char_yield * char_heat_mj_per_kg) / (1.0 - char_yield)


def char_heat_share(
    *,
    net_dry_mj_per_kg: float,
    char_yield: float = MEASURED_CHAR_YIELD,
    char_heat_mj_per_kg: float = CHAR_HEAT_MJ_PER_KG,
) -> float:
    """Share of the wood's net heat that is given off by its charcoal, 0-1.

    Where the span of the prior on `priors` "char_share" comes from; arguments as `volatiles_heat_mj_per_kg`.
    """
    return char_yield * char_heat_mj_per_kg / net_dry_mj_per_kg


def equilibrium_moisture_pct(*, temperature_c: float, rh_pct: float) -> float:
    """Moisture wood settles at in still air, % dry basis.

    The printed tables differ from this formula by up to 0.9 points, and their publisher's own later
    review calls the old measurements unfit for scientific use: show it as a band. No forecast uses it: it is
    for saying how dry a woodshed can make wood, and says today what a conditioned test sample holds.

    Args:
        temperature_c: Air temperature, °C; -20 to 70 or so.
        rh_pct: Relative humidity over water, %; 0-100.

    Raises:
        BadInputError: Humidity outside 0-100 %.

    Source: Hailwood-Horrobin two-hydrate form, coefficients of FPL-RN-0268 (Simpson 1998), read in
    two public copies in code; the review is FPL-GTR-229 (2014).
    """
    if not 0.0 <= rh_pct <= 100.0:
        raise BadInputError(
            f"Relative humidity {rh_pct:g} % is outside 0 to 100 %.\nRead the hygrometer again."
        )
    t, h = temperature_c, rh_pct / 100.0
    w = 349.0 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh, k1kh, k1k2k2h2 = k * h, k1 * k * h, k1 * k2 * (k * h) ** 2
    hydrates = (k1kh + 2.0 * k1k2k2h2) / (1.0 + k1kh + k1k2k2h2)
    return 1800.0 / w * (kh / (1.0 - kh) + hydrates)


def specific_heat_j_per_kgk(*, temperature_c: float, moisture_dry_pct: float) -> float:
    """Specific heat of wood below fibre saturation, J per kg as weighed and K.

    Args:
        temperature_c: Wood temperature, °C; 7-147 (the source's 280-420 K).
        moisture_dry_pct: Moisture on the dry basis, %; 0 to about 26.

    Source: Wood Handbook (2010), eq. 4-16a and 4-17, read in the chemics package's wood.py.
    """
    kelvin, m = temperature_c + ZERO_C_IN_K, moisture_dry_pct
    dry = 0.1031 + 0.003867 * kelvin
    bound = m * (-0.06191 + 2.36e-4 * kelvin - 1.33e-4 * m) if m > 0 else 0.0
    return 1000.0 * ((dry + 0.01 * m * 4.18) / (1.0 + 0.01 * m) + bound)
