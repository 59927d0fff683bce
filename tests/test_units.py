"""Conversions against exact definitions and published pairs."""

import pytest

from logbook import units


@pytest.mark.parametrize(
    ("fahrenheit", "celsius", "source"),
    [
        (-40.0, -40.0, "where the scales meet"),
        (68.0, 20.0, "definition"),
        (5.0, -15.0, "definition"),
        (250.0, 121.1, "Alaska DEC leaflet's flue temperature, as reported"),
    ],
)
def test_temperature(fahrenheit, celsius, source):
    assert units.c_from_f(fahrenheit) == pytest.approx(celsius, abs=0.05), source
    assert units.f_from_c(celsius) == pytest.approx(fahrenheit, abs=0.1), source


@pytest.mark.parametrize("celsius", [-31.7, 0.3, 36.6])
def test_temperature_comes_back(celsius):
    assert units.c_from_f(units.f_from_c(celsius)) == pytest.approx(celsius, abs=1e-9)


def test_pound():
    """0.45359237 kg exactly (NIST SP 811); a 20 lb cylinder holds 9.07 kg."""
    assert units.kg_from_lb(20.0) == pytest.approx(9.0718474, abs=1e-9)
    assert units.lb_from_kg(units.kg_from_lb(7.3)) == pytest.approx(7.3, abs=1e-12)


def test_btu_from_its_definition():
    """The International Table Btu is 1 lb x 1 °F x 4.1868 kJ/kgK."""
    assert pytest.approx(0.45359237 / 1.8 * 4.1868, rel=1e-9) == units.KJ_PER_BTU


def test_propane_cylinder_in_btu():
    """20 lb at 21,548 Btu/lb is 431,000 Btu, 126.5 kWh (reference page, as reported; it prints 431,613)."""
    assert pytest.approx(126.5, abs=0.1) == 431_613 * units.KJ_PER_BTU / 3600


def test_heat_of_wood_in_btu_per_pound():
    """8,600 Btu/lb is 20.0 MJ/kg (extension figure, as reported)."""
    assert pytest.approx(20.0, abs=0.05) == 8600 * units.KJ_PER_BTU / units.KG_PER_LB / 1000


def test_r_value_from_foot_and_btu():
    """1 ft2·°F·h/Btu = 0.1761 m2K/W, from 0.3048 m, 1/1.8 K and 3600 s."""
    derived = 0.3048**2 / 1.8 / (units.KJ_PER_BTU * 1000 / 3600)
    assert pytest.approx(derived, rel=1e-8) == units.M2K_PER_W_PER_R
    assert pytest.approx(0.120, abs=0.001) == 0.68 * units.M2K_PER_W_PER_R  # an inside film, as reported


def test_cord_and_cubic_foot():
    """128 ft3 is 3.6246 m3 (K-State extension, as reported)."""
    assert pytest.approx(3.6246, abs=1e-4) == units.M3_PER_CORD
    assert pytest.approx(128.0) == units.M3_PER_CORD / units.M3_PER_FT3
    assert pytest.approx(units.M3_PER_FT3) == units.M2_PER_FT2 * units.M_PER_FT


def test_kelvin():
    assert pytest.approx(293.15) == 20.0 + units.ZERO_C_IN_K


HOUSEHOLD = [  # m or m³ of a household unit, source
    (units.M_PER_IN * 12.0, units.M_PER_FT, "12 inches are a foot: NIST SP 811, both exact"),
    (
        units.M2_FACE_CORD_FRONT * 48.0 * units.M_PER_IN,
        units.M3_PER_CORD,
        "4 ft x 8 ft, 48 in deep, is a cord",
    ),
    (units.M3_PER_CORD / units.M3_PER_STERE, 3.6246, "K-State Extension, as reported: 128 ft3 = 3.6246 m3"),
]


@pytest.mark.parametrize(("got", "want", "source"), HOUSEHOLD)
def test_household_units_of_wood_agree(got: float, want: float, source: str) -> None:
    assert got == pytest.approx(want, rel=2e-5), source
