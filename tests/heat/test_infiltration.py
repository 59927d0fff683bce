"""Leakage against the handbook's model worked by hand, its rule of thumb, and simulated cabins."""

import json
from pathlib import Path

import pytest

from logbook.errors import BadInputError
from logbook.heat.infiltration import air_w_per_k, infiltration_m3_per_h

PRACTICE = Path(__file__).parents[1] / "practice"


def test_worked_value_of_the_basic_model():
    """500 cm2, 25 K, 4 m/s, one storey, shelter 3: 144 m3/h, 1.80 changes in 80 m3.

    Computed from the handbook's coefficients, which are from memory (Sherman and Grimsrud 1980).
    """
    flow = infiltration_m3_per_h(leakage_area_cm2=500.0, delta_k=25.0, wind_m_per_s=4.0)
    assert flow == pytest.approx(144.0, abs=0.5)
    assert flow / 80.0 == pytest.approx(1.80, abs=0.01)


def test_air_at_one_change_an_hour():
    """80 m3 at 1 per hour: 26.9 W/K (1.20 kg/m3 x 1.006 kJ/kgK, computed)."""
    assert air_w_per_k(flow_m3_per_h=80.0) == pytest.approx(26.9, abs=0.5)


@pytest.mark.parametrize(("cfm", "w_per_k"), [(10, 5.7), (15, 8.6), (25, 14.3)])
def test_air_a_stove_draws(cfm, w_per_k):
    """10-25 cfm of combustion air as reported; 5.7, 8.6, 14.3 W/K computed. 1 cfm = 1.699 m3/h."""
    assert air_w_per_k(flow_m3_per_h=1.699 * cfm) == pytest.approx(w_per_k, abs=0.1)


@pytest.mark.parametrize(
    ("storeys", "shelter", "stack", "wind"),
    [
        (1, 1, 0.000145, 0.000319),
        (2, 1, 0.000290, 0.000420),
        (3, 1, 0.000435, 0.000494),
        (2, 3, 0.000290, 0.000231),
    ],
)
def test_coefficients_of_the_handbook_s_tables(storeys, shelter, stack, wind):
    """Stack and wind coefficients of the basic model by storeys and shelter (from memory); 2 % on wind."""
    got_stack = infiltration_m3_per_h(
        leakage_area_cm2=100.0, delta_k=9.0, wind_m_per_s=0.0, storeys=storeys, shelter=shelter
    )
    got_wind = infiltration_m3_per_h(
        leakage_area_cm2=100.0, delta_k=0.0, wind_m_per_s=3.0, storeys=storeys, shelter=shelter
    )
    assert got_stack == pytest.approx(3.6 * 100 * 3.0 * stack**0.5, rel=1e-9)
    assert got_wind == pytest.approx(3.6 * 100 * 3.0 * wind**0.5, rel=0.01)


def test_stack_and_wind_add_in_quadrature():
    both = infiltration_m3_per_h(leakage_area_cm2=300.0, delta_k=20.0, wind_m_per_s=5.0)
    stack = infiltration_m3_per_h(leakage_area_cm2=300.0, delta_k=20.0, wind_m_per_s=0.0)
    wind = infiltration_m3_per_h(leakage_area_cm2=300.0, delta_k=0.0, wind_m_per_s=5.0)
    assert both**2 == pytest.approx(stack**2 + wind**2)


def test_a_room_colder_than_outside_leaks_as_much():
    warm, cold = (
        infiltration_m3_per_h(leakage_area_cm2=300.0, delta_k=d, wind_m_per_s=1.0) for d in (14.0, -14.0)
    )
    assert warm == cold


def test_shelter_lessens_and_height_adds():
    by_shelter = [
        infiltration_m3_per_h(leakage_area_cm2=300.0, delta_k=20.0, wind_m_per_s=5.0, shelter=s)
        for s in (1, 2, 3, 4, 5)
    ]
    assert by_shelter == sorted(by_shelter, reverse=True)
    by_height = [
        infiltration_m3_per_h(leakage_area_cm2=300.0, delta_k=20.0, wind_m_per_s=5.0, storeys=n)
        for n in (1, 2, 3)
    ]
    assert by_height == sorted(by_height)


@pytest.mark.parametrize("name", ["alder", "cedar", "hazel", "rowan", "tamarack"])
def test_wind_and_cold_change_leakage_as_in_a_whole_building_simulation(name):
    """EnergyPlus 25.2 on five cabins, air change at 25 K and 2.5 m/s against calm, windy, cold and mild.

    One storey, shelter 3. Its own leakage law has other exponents, and a cabin's shape differs from a
    house's: 14 %.
    """
    truth = json.loads((PRACTICE / name / "truth.json").read_text(encoding="utf-8"))
    cases = truth["heat_loss_by_conditions"]
    assert len(cases) == 5

    def flow(case):
        return infiltration_m3_per_h(
            leakage_area_cm2=1.0, delta_k=case["t_in"] - case["t_out"], wind_m_per_s=case["wind"]
        )

    steady = next(c for c in cases if c["t_out"] == -5 and c["wind"] == 2.5)
    for case in cases:
        assert flow(case) / flow(steady) == pytest.approx(case["ach"] / steady["ach"], rel=0.14), case


@pytest.mark.parametrize(
    "more",
    [
        {"storeys": 4},
        {"shelter": 0},
        {"leakage_area_cm2": -1.0},
        {"wind_m_per_s": -0.5},
    ],
)
def test_what_the_tables_do_not_hold_is_refused(more):
    with pytest.raises(BadInputError, match="\n"):
        infiltration_m3_per_h(**({"leakage_area_cm2": 300.0, "delta_k": 20.0, "wind_m_per_s": 3.0} | more))
