"""Our wood constants against burning pine on a balance.

Published figures of three cone-calorimeter runs (ASTM E1354, USDA Forest Products Laboratory, in the
MaCFP condensed-phase database): 14.2, 13.9 and 14.3 MJ per kg burnt, 14-20 % of the mass left, heat per
kg from 13 in the first half to 15-17 at the end. A 10 cm sample under a radiant heater, not a stove:
heat there is measured by oxygen, so its moisture costs mass but no heat.
"""

import pytest

from logbook.heat import wood
from logbook.records import Basis

RUNS = [(0.144, 14.2), (0.202, 13.9), (0.169, 14.3)]
"""Mass left (kg/kg of the sample) and heat per kg burnt (MJ/kg). Source: computed from the runs, as above;
the second ended early."""

SAMPLE_MOISTURE_DRY_PCT = wood.equilibrium_moisture_pct(temperature_c=23.0, rh_pct=50.0)
"""ASTM E1354 conditions samples at 23 °C and 50 % (from memory)."""

DRY = wood.dry_share(moisture_pct=SAMPLE_MOISTURE_DRY_PCT, basis=Basis.DRY)


@pytest.mark.parametrize(("left", "heat"), RUNS)
def test_heat_per_kg_burnt(left, heat):
    """What burned is the sample less the charcoal left. Ours assumes all of it burns: 0 to 8 % above."""
    ours = wood.volatiles_heat_mj_per_kg(
        net_dry_mj_per_kg=DRY * wood.NET_DRY_SOFTWOOD_MJ_PER_KG, char_yield=left
    )
    assert 1.0 * heat - 0.1 < ours < 1.08 * heat


def test_charcoal_left_spans_our_yield():
    """14-20 % of the sample is 15-22 % of its dry wood; our 20 % lies in it."""
    of_dry = [left / DRY for left, _ in RUNS]
    assert min(of_dry) < wood.MEASURED_CHAR_YIELD < max(of_dry)


def test_the_first_half_burns_as_wet_gas():
    """13 MJ/kg in the first half: the gases' own heat, thinned by the water that leaves with them."""
    gas = wood.volatiles_heat_mj_per_kg(net_dry_mj_per_kg=wood.NET_DRY_SOFTWOOD_MJ_PER_KG)
    half = 0.5 * (1.0 - 0.17)  # half of what burns, kg per kg sample
    water = 1.0 - DRY
    assert gas * (half - water) / half == pytest.approx(13.0, rel=0.06)


def test_heat_per_kg_rises_as_char_takes_over():
    """13 in the first half and 14.2 in all make 15.4 MJ/kg in the second (15-17 at the very end).

    Ours, with 17 % left and everything else burned: within 8 %, and above the first half.
    """
    left = 0.17
    half = 0.5 * (1.0 - left)
    gas = wood.volatiles_heat_mj_per_kg(net_dry_mj_per_kg=wood.NET_DRY_SOFTWOOD_MJ_PER_KG)
    first = gas * (half - (1.0 - DRY))
    whole = DRY * wood.NET_DRY_SOFTWOOD_MJ_PER_KG - left * wood.CHAR_HEAT_MJ_PER_KG
    second = (whole - first) / half
    assert second == pytest.approx(2 * 14.2 - 13.0, rel=0.08)
    assert second > first / half + 2.0


def test_energy_of_gas_and_char_sums_to_the_wood():
    gas = wood.volatiles_heat_mj_per_kg(net_dry_mj_per_kg=18.5, char_yield=0.23)
    assert 0.77 * gas + 0.23 * wood.CHAR_HEAT_MJ_PER_KG == pytest.approx(18.5)


@pytest.mark.parametrize(
    ("net", "char_yield", "share", "source"),
    [
        (18.7, 0.20, 0.34, "80 % volatiles, 20 % char at 32 MJ/kg: extension figure as reported, computed"),
        (19.0, 0.30, 0.50, "FAO Industrial Charcoal Making, as quoted: 9,500 of 19,000 MJ; slow retort"),
    ],
)
def test_char_s_share_of_the_heat(net, char_yield, share, source):
    got = wood.char_heat_share(net_dry_mj_per_kg=net, char_yield=char_yield)
    assert got == pytest.approx(share, abs=0.01), source


def test_our_char_share_lies_in_the_published_span():
    """0.30-0.50 from the rows above; below the middle, since a stove's fire is quick and a retort slow."""
    share = wood.char_heat_share(net_dry_mj_per_kg=wood.NET_DRY_GENERIC_MJ_PER_KG)
    assert 0.30 < share < 0.50
