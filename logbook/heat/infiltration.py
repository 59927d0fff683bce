"""Air that leaks through the envelope: the basic model of the handbook."""

from __future__ import annotations

import math

from logbook.errors import BadInputError

AIR_WH_PER_M3K = 0.335
"""Heat to warm air, Wh per m3 and K. Source: 1.20 kg/m3 x 1.006 kJ/kgK = 0.336; 0.33-0.34 in use."""

STACK_PER_STOREY = 0.000145
"""Stack coefficient per storey, (L/s)2 / (cm4 K). Source: ASHRAE Handbook of Fundamentals, basic
model (after Sherman and Grimsrud 1980, LBL-10163); from memory. 1, 2 or 3 storeys."""

WIND_ONE_STOREY = {1: 0.000319, 2: 0.000246, 3: 0.000174, 4: 0.000104, 5: 0.000032}
"""Wind coefficient of a one-storey house by shelter class, (L/s)2 / (cm4 (m/s)2): 1 open country,
3 moderate (some buildings or trees near), 5 walled in. Source: as above, from memory."""

WIND_BY_STOREYS = {1: 1.0, 2: 1.32, 3: 1.54}
"""Wind coefficient against one storey. Source: as above, from memory (0.000420 and 0.000494 for
class 1)."""

LEAKAGE_CM2_PER_M2 = {"tight": 1.7, "average": 3.6, "leaky": 8.0}
"""Leakage area at 4 Pa per m2 of envelope, cm2/m2. ASSUMED, from the handbook's classes for houses
(from memory: 0.7 tight, 1.4 good, 2.8 average, 5.6 leaky, 10.4 very leaky): cabins are built by hand
without an air barrier, so each word is taken between one class and the next leakier one."""

PRIOR_WIND_M_PER_S = 2.5
"""Wind of the steady figure, m/s. Source: the definition of heat_loss_w_per_k."""

PRIOR_DELTA_K = 25.0
"""Inside less outside of the steady figure (20 and -5 °C), K."""


def infiltration_m3_per_h(
    *,
    leakage_area_cm2: float,
    delta_k: float,
    wind_m_per_s: float,
    storeys: int = 1,
    shelter: int = 3,
) -> float:
    """Air leaking through an envelope, m3/h.

    Args:
        leakage_area_cm2: Effective leakage area at 4 Pa, cm2; 0 or more.
        delta_k: Inside less outside temperature, K; its sign does not matter.
        wind_m_per_s: Wind at the nearest station, m/s; 0 or more.
        storeys: 1 to 3.
        shelter: Class 1 (none) to 5 (very heavy).

    Raises:
        BadInputError: Storeys or shelter outside their classes, or a negative area or wind.

    Source: ASHRAE Handbook of Fundamentals, basic model (Sherman and Grimsrud 1980, LBL-10163).
    """
    if storeys not in WIND_BY_STOREYS or shelter not in WIND_ONE_STOREY:
        raise BadInputError(
            f"{storeys} storeys with shelter class {shelter} is not in the tables.\n"
            "Give 1 to 3 storeys and a class from 1 (open) to 5 (walled in)."
        )
    if leakage_area_cm2 < 0.0 or wind_m_per_s < 0.0:
        raise BadInputError(
            f"Leakage area {leakage_area_cm2:g} cm2 and wind {wind_m_per_s:g} m/s may not be negative.\n"
            "Give 0 or more."
        )
    stack = STACK_PER_STOREY * storeys * abs(delta_k)
    wind = WIND_ONE_STOREY[shelter] * WIND_BY_STOREYS[storeys] * wind_m_per_s**2
    return 3.6 * leakage_area_cm2 * math.sqrt(stack + wind)  # L/s to m3/h


def air_w_per_k(*, flow_m3_per_h: float) -> float:
    """Heat loss by exchanged air, W/K, from its flow, m3/h."""
    return AIR_WH_PER_M3K * flow_m3_per_h
