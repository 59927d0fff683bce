"""Wood against published figures. Each row says where its number comes from and how it was reached."""

from datetime import UTC, datetime

import numpy as np
import pytest

from logbook.errors import BadInputError
from logbook.heat import wood
from logbook.heat.species import (
    METER_WEIGHT,
    SOLID_SHARE,
    counted_kg_dry,
    find_species,
    stack_dry_mass_kg,
    stack_net_heat_mj,
)
from logbook.heat.species_table import HARDWOODS, OTHER_NAMES, SOFTWOODS
from logbook.records import Basis, Entry, WoodPile
from logbook.units import KJ_PER_BTU, M3_PER_CORD, M3_PER_FT3, kg_from_lb, lb_from_kg

MJ_PER_MBTU = 1000.0 * KJ_PER_BTU
BTU_PER_LB_AT_20_DRY = 7000.0  # what the extension tables multiply weights with; given in their text

BASES = [  # wet %, dry %
    (16.0, 19.05, "EPA Method 28: 19-25 % dry is CSA B415.1's 16-20 % wet, as reported"),
    (20.0, 25.0, "BC Ministry of Environment report, as reported"),
    (16.667, 20.0, "same"),
    (50.0, 100.0, "half water: definition"),
]


@pytest.mark.parametrize(("wet", "dry", "source"), BASES)
def test_the_two_moisture_bases_turn_into_each_other(wet, dry, source):
    assert wood.dry_from_wet_pct(moisture_pct=wet) == pytest.approx(dry, abs=0.01), source
    dry_pct = 100 * wood.dry_share(moisture_pct=dry, basis=Basis.DRY)
    assert dry_pct == pytest.approx(100 - wet, abs=0.01), source


def test_the_test_load_of_a_small_firebox_has_its_published_dry_mass():
    """7 lb/ft3 x 1.5 ft3 at 22 % dry basis: 10.5 lb, 3.90 kg dry (EPA Method 28, as reported)."""
    wet = kg_from_lb(7.0 * 1.5)
    dry = wet * wood.dry_share(moisture_pct=22.0, basis=Basis.DRY)
    assert dry == pytest.approx(3.90, rel=0.005)
    # the same number read on the wrong scale would be 4 % off, more than the tolerance
    assert wet * wood.dry_share(moisture_pct=22.0, basis=Basis.WET) == pytest.approx(3.715, rel=0.005)


@pytest.mark.parametrize(
    ("moisture", "basis"),
    [(-0.1, Basis.WET), (67.1, Basis.WET), (200.1, Basis.DRY), (float("nan"), Basis.DRY)],
)
def test_impossible_moisture_is_refused_with_the_number_and_what_to_do(moisture, basis):
    with pytest.raises(BadInputError) as refused:
        wood.dry_share(moisture_pct=moisture, basis=basis)
    first, second = str(refused.value).split("\n")
    assert f"{moisture:g}" in first
    assert second.startswith("Check")


def test_green_wood_of_the_inventory_is_accepted():
    """142.8 % dry basis for yellow buckeye is the greenest row of the FIA reference table (read)."""
    assert wood.dry_share(moisture_pct=142.8, basis=Basis.DRY) == pytest.approx(0.412, abs=0.001)


# Net heat


def test_gross_heat_of_wood_turns_from_btu_as_published():
    """8,600 Btu/lb is 20.0 MJ/kg: university-extension figure, as reported."""
    assert 8600 * KJ_PER_BTU / 1000 / kg_from_lb(1.0) == pytest.approx(20.0, abs=0.05)


def test_water_of_combustion_is_taken_off():
    """20.0 MJ/kg gross with 6 % hydrogen is 18.69 net: computed from EN ISO 18125's form."""
    assert wood.lower_heating_value_dry_mj_per_kg(higher=20.0, hydrogen_share=0.06) == pytest.approx(
        18.69, abs=0.02
    )


NET = [  # net dry 18.5 MJ/kg; wet-basis moisture, MJ/kg as weighed
    (15.0, 15.36),
    (20.0, 14.31),
    (30.0, 12.22),
    (50.0, 8.03),
]


@pytest.mark.parametrize(("moisture", "heat"), NET)
def test_net_heat_falls_with_moisture_as_the_fuel_standard_says(moisture, heat):
    """ISO 17225-1 / EN 14961 annex formula (from memory), computed."""
    got = wood.net_heat_mj_per_kg(net_dry_mj_per_kg=18.5, moisture_pct=moisture, basis=Basis.WET)
    assert got == pytest.approx(heat, abs=0.01)


def test_net_heat_agrees_with_a_firewood_seller_s_worked_number():
    """5.2 kWh/kg dry, 20 % wet: 4.03 kWh/kg, a supplier's example as reported (0.63 kWh per kg water)."""
    got = wood.net_heat_mj_per_kg(net_dry_mj_per_kg=5.2 * 3.6, moisture_pct=20.0, basis=Basis.WET)
    assert got / 3.6 == pytest.approx(4.03, abs=0.02)


def test_net_heat_is_the_same_load_on_either_basis():
    wet = wood.net_heat_mj_per_kg(net_dry_mj_per_kg=18.5, moisture_pct=20.0, basis=Basis.WET)
    dry = wood.net_heat_mj_per_kg(net_dry_mj_per_kg=18.5, moisture_pct=25.0, basis=Basis.DRY)
    assert wet == pytest.approx(dry, rel=1e-12)


def test_a_pound_at_20_percent_gives_7000_btu_only_on_the_dry_basis():
    """Iowa State extension (read): about 7,000 Btu/lb at 20 % moisture, gross heat 8,600 Btu/lb dry."""
    on_dry = 8600 * wood.dry_share(moisture_pct=20.0, basis=Basis.DRY)
    assert on_dry == pytest.approx(7000, rel=0.03)


def test_our_heats_of_dry_wood_fit_the_published_gross_ones():
    """Hardwood 8,500, softwood 9,000 Btu/lb gross (technical dictionary, as reported), generic 8,600.

    Within 3 %, our own spread. Softwood above hardwood by 3-8 %.
    """
    for gross_btu, ours in (
        (8500, wood.NET_DRY_HARDWOOD_MJ_PER_KG),
        (9000, wood.NET_DRY_SOFTWOOD_MJ_PER_KG),
        (8600, wood.NET_DRY_GENERIC_MJ_PER_KG),
    ):
        gross = gross_btu * KJ_PER_BTU / 1000 / kg_from_lb(1.0)
        net = wood.lower_heating_value_dry_mj_per_kg(higher=gross)
        assert ours == pytest.approx(net, rel=wood.NET_DRY_SPREAD)
    assert 1.03 < wood.NET_DRY_SOFTWOOD_MJ_PER_KG / wood.NET_DRY_HARDWOOD_MJ_PER_KG < 1.08


# Equilibrium moisture

EMC = [  # °C, RH %, % dry basis, tolerance, source
    (21.1, 25, 5.3, 0.2, "worked example attributed to FPL-RN-0268, as reported"),
    (21.1, 60, 11.1, 0.2, "same"),
    (21.1, 84, 17.6, 0.2, "same"),
    (21.1, 87, 19.0, 0.2, "same"),
    (21.1, 97, 25.0, 0.7, "same"),
    (21.1, 100, 28.8, 0.7, "same"),
    (60.0, 55, 8.4, 0.1, "encyclopaedia quoting the handbook's formula; its table has 8.0"),
    (21.1, 65, 12.0, 0.2, "Wood Handbook remark, as reported"),
    (21.0, 30, 6.0, 0.4, "wood-drying column, whole per cent, as reported"),
    (21.0, 50, 9.0, 0.4, "same"),
    (21.0, 80, 16.0, 0.4, "same"),
]


@pytest.mark.parametrize(("temperature_c", "rh", "moisture", "tolerance", "source"), EMC)
def test_equilibrium_moisture_meets_published_points(temperature_c, rh, moisture, tolerance, source):
    got = wood.equilibrium_moisture_pct(temperature_c=temperature_c, rh_pct=rh)
    assert got == pytest.approx(moisture, abs=tolerance), source


def test_equilibrium_moisture_follows_the_printed_table():
    """Wood Handbook table 4-2, 70 °F row, RH 5 to 95 by 5: from memory, so never the only check.

    The formula's own publisher reports up to 0.9 points against the printed table; met within 0.35.
    """
    printed = [
        1.3,
        2.5,
        3.5,
        4.5,
        5.4,
        6.2,
        6.9,
        7.7,
        8.5,
        9.2,
        10.1,
        11.0,
        12.0,
        13.1,
        14.4,
        16.0,
        17.9,
        20.5,
        23.9,
    ]
    ours = [wood.equilibrium_moisture_pct(temperature_c=21.1, rh_pct=rh) for rh in range(5, 100, 5)]
    assert np.max(np.abs(np.subtract(ours, printed))) < 0.35


@pytest.mark.parametrize("fahrenheit", [0.0, 40.0, 70.0, 110.0, 150.0])
def test_equilibrium_moisture_agrees_with_the_fahrenheit_coefficients(fahrenheit):
    """Wood Handbook eq. 4-5, fitted separately in °F (from memory): 0.15 points below 90 % humidity."""
    t = fahrenheit
    w = 330 + 0.452 * t + 0.00415 * t**2
    k = 0.791 + 0.000463 * t - 8.44e-7 * t**2
    k1 = 6.34 + 0.000775 * t - 9.35e-5 * t**2
    k2 = 1.09 + 0.0284 * t - 9.04e-5 * t**2
    for rh in (15.0, 45.0, 70.0, 88.0):
        kh = k * rh / 100
        hydrates = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
        handbook = 1800 / w * (kh / (1 - kh) + hydrates)
        ours = wood.equilibrium_moisture_pct(temperature_c=(t - 32) / 1.8, rh_pct=rh)
        assert ours == pytest.approx(handbook, abs=0.15)


def test_firewood_outdoors_in_a_damp_winter_cannot_dry_below_18_percent():
    """0 °C and 85 %: 18.5 %; 5 °C and 90 %: 21.0 %. Computed from the same coefficients."""
    assert wood.equilibrium_moisture_pct(temperature_c=0.0, rh_pct=85.0) == pytest.approx(18.5, abs=0.1)
    assert wood.equilibrium_moisture_pct(temperature_c=5.0, rh_pct=90.0) == pytest.approx(21.0, abs=0.1)


@pytest.mark.parametrize("rh", [-1.0, 100.5])
def test_impossible_humidity_is_refused(rh):
    with pytest.raises(BadInputError, match="Relative humidity"):
        wood.equilibrium_moisture_pct(temperature_c=10.0, rh_pct=rh)


# Specific heat, burn rate


@pytest.mark.parametrize(
    ("kelvin", "moisture", "kj_per_kgk", "source"),
    [
        (340.0, 12.0, 1.9146, "the chemics package's example after Wood Handbook 4-17 (read)"),
        (293.15, 0.0, 1.2367, "Wood Handbook 4-16a, computed"),
    ],
)
def test_specific_heat_of_wood(kelvin, moisture, kj_per_kgk, source):
    got = wood.specific_heat_j_per_kgk(temperature_c=kelvin - 273.15, moisture_dry_pct=moisture)
    assert got / 1000 == pytest.approx(kj_per_kgk, abs=0.001), source


# Species and stacks

CORDS_AT_20 = [  # species, lb per cord at 20 %, million Btu per cord: an extension table, as reported
    ("shagbark hickory", 4160, 29.1),
    ("red oak", 3609, 25.3),
    ("sugar maple", 3577, 25.0),
    ("white oak", 3863, 27.0),
    ("black locust", 4010, 28.1),
    ("silver maple", 2970, 20.8),
    ("American elm", 2868, 20.1),
    ("Osage orange", 4380, 30.7),
    ("cottonwood", 2304, 16.1),
    ("sycamore", 2956, 20.7),
]


@pytest.mark.parametrize(("name", "pounds", "mbtu"), CORDS_AT_20)
def test_published_heat_per_cord_is_weight_times_heat_of_20_percent_wood(name, pounds, mbtu):
    """Their own product holds: 7,000 Btu/lb, and our dry share of 20 % dry-basis wood gives it back."""
    gross_dry = BTU_PER_LB_AT_20_DRY / wood.dry_share(moisture_pct=20.0, basis=Basis.DRY)
    dry_lb = pounds * wood.dry_share(moisture_pct=20.0, basis=Basis.DRY)
    assert dry_lb * gross_dry / 1e6 == pytest.approx(mbtu, abs=0.1), name


@pytest.mark.parametrize(("name", "pounds", "mbtu"), CORDS_AT_20)
def test_stacks_from_density_hold_the_published_weight_in_their_range(name, pounds, mbtu):
    """Published tables differ by 15 %; ours (basic gravity x 85 ft3) must hold theirs in its 90 % range."""
    stack = stack_dry_mass_kg(stacked_m3=M3_PER_CORD, species=find_species(name))
    published = kg_from_lb(pounds) * wood.dry_share(moisture_pct=20.0, basis=Basis.DRY)
    assert stack.p05 < published < stack.p95, (name, mbtu)


@pytest.mark.parametrize(
    ("name", "pounds", "tolerance", "source"),
    [
        ("sugar maple", 3577, 0.02, "gravity 0.56 of the FIA table (read) against an extension table"),
        ("white oak", 3863, 0.025, "gravity 0.60 likewise"),
    ],
)
def test_a_cord_s_weight_from_basic_gravity(name, pounds, tolerance, source):
    dry = stack_dry_mass_kg(stacked_m3=M3_PER_CORD, species=find_species(name)).p50
    at_20 = lb_from_kg(dry / wood.dry_share(moisture_pct=20.0, basis=Basis.DRY))
    assert at_20 == pytest.approx(pounds, rel=tolerance), source


@pytest.mark.parametrize(
    ("name", "dry_lb", "mbtu"),
    [
        ("green ash", 2880, 20.0),
        ("white ash", 3472, 24.2),
        ("birch", 2992, 20.8),
        ("Douglas-fir", 2970, 20.7),
    ],
)
def test_utah_state_rows(name, dry_lb, mbtu):
    """Utah State University Extension, table 1 (read): their dry weights carry 6,944 Btu/lb, the 20 % figure.

    The aspen, beech and alder rows break their own factor and are left out.
    """
    assert dry_lb * 6944 / 1e6 == pytest.approx(mbtu, rel=0.01)
    # gross heat of our stack, so that like is set against like (net is 7 % lower)
    species = find_species(name)
    net = stack_net_heat_mj(stacked_m3=M3_PER_CORD, species=species)
    gross_over_net = 1 + 2.442 * 8.936 * 0.06 / species.net_dry_mj_per_kg
    assert net.p05 * gross_over_net < mbtu * MJ_PER_MBTU < net.p95 * gross_over_net


def test_solid_share_is_85_of_128_cubic_feet():
    assert pytest.approx(85 / 128, abs=0.001) == SOLID_SHARE
    assert pytest.approx(3.6246, abs=1e-4) == 128 * M3_PER_FT3  # K-State extension, as reported


def test_a_stere_of_beech_weighs_what_fuelwood_handbooks_say():
    """1 m3 stacked x 0.65 x 560 kg/m3 = 364 kg dry (AIEL handbook's shares, from memory)."""
    assert stack_dry_mass_kg(stacked_m3=1.0, species=find_species("beech")).p50 == pytest.approx(
        364, rel=0.05
    )


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("  Sugar   MAPLE ", "sugar maple"),
        ("douglas-fir", "douglas fir"),
        ("seasoned white oak", "white oak"),
        ("split paper birch logs", "paper birch"),
        ("ironwood", "eastern hophornbeam"),
        ("honey locust", "honeylocust"),
    ],
)
def test_species_are_found_however_they_are_written(text, name):
    assert find_species(text).name == name


def test_a_plain_genus_is_the_mean_of_its_rows_and_wider():
    birch, yellow = find_species("birch"), find_species("yellow birch")
    gravities = [gravity for row, gravity in HARDWOODS if row.endswith("birch")]
    assert birch.basic_density_kg_per_m3 == pytest.approx(1000 * np.mean(gravities))
    assert birch.density_spread > yellow.density_spread
    assert birch.known


def test_an_unknown_name_is_generic_wood_and_wider():
    strange, oak = find_species("zzyzx"), find_species("red oak")
    assert not strange.known
    assert strange.spread > oak.spread
    assert strange.density_spread > oak.density_spread


def test_a_colour_alone_names_no_wood():
    assert not find_species("red").known
    assert not find_species("  ").known


def test_mixed_wood_lies_between_hard_and_soft():
    hard, soft, mixed = (find_species(t) for t in ("mixed hardwood", "mixed softwood", "mixed"))
    assert soft.basic_density_kg_per_m3 < mixed.basic_density_kg_per_m3 < hard.basic_density_kg_per_m3
    assert hard.net_dry_mj_per_kg < mixed.net_dry_mj_per_kg < soft.net_dry_mj_per_kg


def test_every_other_name_leads_to_a_row_and_no_row_stands_twice():
    rows = [row for row, _ in HARDWOODS + SOFTWOODS]
    assert len(rows) == len(set(rows))
    assert set(OTHER_NAMES.values()) <= set(rows)
    assert not set(OTHER_NAMES) & set(rows)


WOOD_HANDBOOK_12 = [  # specific gravity at 12 % moisture, oven-dry mass over volume at 12 %
    ("American beech", 0.64),
    ("yellow birch", 0.62),
    ("shagbark hickory", 0.72),
    ("white ash", 0.60),
    ("red maple", 0.54),
    ("Douglas-fir", 0.48),
    ("western hemlock", 0.45),
    ("western larch", 0.52),
    ("quaking aspen", 0.38),
    ("Sitka spruce", 0.36),
]


@pytest.mark.parametrize(("name", "at_12"), WOOD_HANDBOOK_12)
def test_basic_gravity_and_12_percent_gravity_tell_of_one_wood(name, at_12):
    """Wood Handbook rows as reported; wood shrinks 5-14 % in volume on its way from green to 12 %."""
    basic = find_species(name).basic_density_kg_per_m3 / 1000
    assert 1.03 < at_12 / basic < 1.16


PILE = WoodPile(species="mixed hardwood", moisture_pct=20.0, moisture_basis=Basis.WET)


def counted(**said):
    return counted_kg_dry(5.0, wood=Entry(at=datetime(2026, 1, 9, tzinfo=UTC), **said), pile=PILE)


def test_a_load_of_the_usual_wood_counts_for_its_dry_mass():
    for said in (None, "", "Mixed Hardwood", "beech"):
        assert counted(species=said) == pytest.approx(4.0), said


def test_softwood_among_hardwood_counts_for_more():
    """4 kg dry at 19.2 less 0.25 x 2.44 MJ/kg against 18.5 less the same (the fuel standard's formula)."""
    assert counted(species="larch") == pytest.approx(4.0 * 18.59 / 17.89, rel=1e-4)


def test_a_kind_nobody_knows_counts_as_generic_wood():
    assert counted(species="zzyzx") == pytest.approx(4.0 * 18.09 / 17.89, rel=1e-4)


def test_the_moisture_a_row_names_counts():
    """35 % wet: 0.65 x 18.5 - 0.35 x 2.44 = 11.171 MJ/kg as weighed; 20 % wet, the usual: 14.312.
    A reading counts by METER_WEIGHT."""
    wet = counted(moisture_pct=35.0, moisture_basis=Basis.WET)
    assert wet == pytest.approx(4.0 * (1.0 + METER_WEIGHT * (11.171 / 14.312 - 1.0)), rel=1e-4)
    assert 0.2 < METER_WEIGHT < 1.0
    assert counted(moisture_pct=35.0 / 0.65, moisture_basis=Basis.DRY) == pytest.approx(wet)
    assert counted(moisture_pct=35.0) == pytest.approx(wet)  # the pile's basis where none is said
    assert counted(moisture_pct=20.0, species="beech") == pytest.approx(4.0)
