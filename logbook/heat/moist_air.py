"""Moist air by the handbook's own equations: a thin wrapper that keeps psychrolib in SI.

psychrolib has a global unit switch; every call here sets it first, so nobody else's choice matters.
Below 0 °C the saturation pressure is the one over ice, 5 % lower at -5 °C than over water: frost on
a pane forms by the ice value.
"""

from __future__ import annotations

from types import ModuleType
from typing import cast

from logbook.errors import BadInputError

LIMITS_C = (-100.0, 200.0)
"""Range of the saturation equations, °C. Source: ASHRAE Handbook of Fundamentals 2017, ch. 1."""


def _psychrolib() -> ModuleType:
    import psychrolib  # noqa: PLC0415 - needed by few commands; keeps the first screen quick

    psychrolib.SetUnitSystem(psychrolib.SI)
    return cast(ModuleType, psychrolib)


def _check(*, temperature_c: float, rh_pct: float = 50.0) -> None:
    low, high = LIMITS_C
    if not low <= temperature_c <= high:
        raise BadInputError(
            f"Air at {temperature_c:g} °C is outside {low:g} to {high:g} °C.\nRead the thermometer again."
        )
    if not 0.0 < rh_pct <= 100.0:
        raise BadInputError(
            f"Relative humidity {rh_pct:g} % is not above 0 and up to 100 %.\nRead the hygrometer again."
        )


def saturation_pressure_pa(*, temperature_c: float) -> float:
    """Pressure of water vapour at saturation, Pa; over ice below 0 °C.

    Raises:
        BadInputError: Temperature outside -100 to 200 °C.

    Source: Hyland and Wexler (1983), ASHRAE Handbook of Fundamentals 2017, ch. 1, eq. 5 and 6.
    """
    _check(temperature_c=temperature_c)
    return float(_psychrolib().GetSatVapPres(temperature_c))


def dew_point_c(*, temperature_c: float, rh_pct: float) -> float:
    """Temperature at which the room's air wets (or frosts) a surface, °C.

    Raises:
        BadInputError: Temperature outside -100 to 200 °C, or humidity not in (0, 100] %.

    Source: ASHRAE Handbook of Fundamentals 2017, ch. 1, by way of psychrolib.
    """
    _check(temperature_c=temperature_c, rh_pct=rh_pct)
    return float(_psychrolib().GetTDewPointFromRelHum(temperature_c, rh_pct / 100.0))
