"""Moist air against the handbook's tables."""

import math

import psychrolib
import pytest

from logbook.errors import BadInputError
from logbook.heat.moist_air import dew_point_c, saturation_pressure_pa

ASHRAE = "ASHRAE Handbook of Fundamentals 2017, ch. 1, table 3, as quoted in psychrolib's tests (read)"
SATURATION = [(-20.0, 103.24), (-5.0, 401.74), (5.0, 872.6), (25.0, 3169.7), (50.0, 12351.3)]


@pytest.mark.parametrize(("temperature_c", "pressure_pa"), SATURATION)
def test_saturation_pressure(temperature_c, pressure_pa):
    got = saturation_pressure_pa(temperature_c=temperature_c)
    assert got == pytest.approx(pressure_pa, rel=3e-4), ASHRAE  # psychrolib's own tolerance


def test_below_freezing_the_ice_value_is_used():
    """Magnus over water gives 422 Pa at -5 °C, 5 % too much for frost; over ice 401.7 (WMO forms)."""
    over_water = 611.2 * math.exp(17.62 * -5.0 / (243.12 - 5.0))
    over_ice = 611.2 * math.exp(22.46 * -5.0 / (272.62 - 5.0))
    got = saturation_pressure_pa(temperature_c=-5.0)
    assert got == pytest.approx(over_ice, rel=0.002)
    assert got < 0.96 * over_water


@pytest.mark.parametrize(
    ("temperature_c", "rh", "dew_c", "tolerance", "source"),
    [
        (25.0, 80.0, 21.3094, 0.02, "psychrolib's example (read)"),
        (20.0, 50.0, 9.26, 0.05, "Magnus with the WMO's constants, computed"),
        (40.0, 14.0, 7.0, 0.5, "ASHRAE example 1: 40 °C, RH 14 %, dew point 7 °C (as quoted, whole numbers)"),
    ],
)
def test_dew_point(temperature_c, rh, dew_c, tolerance, source):
    assert dew_point_c(temperature_c=temperature_c, rh_pct=rh) == pytest.approx(dew_c, abs=tolerance), source


def test_another_user_of_the_library_in_imperial_units_does_not_change_ours():
    psychrolib.SetUnitSystem(psychrolib.IP)
    assert saturation_pressure_pa(temperature_c=25.0) == pytest.approx(3169.7, rel=3e-4)


@pytest.mark.parametrize(("temperature_c", "rh"), [(20.0, 0.0), (20.0, 101.0), (400.0, 50.0), (-150.0, 50.0)])
def test_impossible_air_is_refused(temperature_c, rh):
    with pytest.raises(BadInputError, match=r"outside|not above"):
        dew_point_c(temperature_c=temperature_c, rh_pct=rh)
