"""The only place that converts units. Inside, everything is SI, °C and kg.

Sources: NIST SP 811 (2008), Appendix B.8, for pound, foot, gallon and Btu (exact or rounded there);
read from memory, the exact ones checked by arithmetic in the tests.
"""

from __future__ import annotations

KG_PER_LB = 0.45359237
"""Avoirdupois pound, kg; exact (NIST SP 811)."""

M_PER_FT = 0.3048
"""International foot, m; exact (NIST SP 811)."""

M2_PER_FT2 = M_PER_FT**2
M3_PER_FT3 = M_PER_FT**3

KJ_PER_BTU = 1.05505585262
"""Btu (International Table), kJ (NIST SP 811)."""

M3_PER_CORD = 128 * M3_PER_FT3
"""A cord is a stack of 4 ft x 4 ft x 8 ft, 128 ft3, air included."""

M_PER_IN = 0.0254
"""International inch, m; exact (NIST SP 811)."""

M2_FACE_CORD_FRONT = 32 * M2_PER_FT2
"""The front of a face cord, 4 ft x 8 ft; how deep it is, the length of the pieces says. From memory of the
weights-and-measures rule for cords; a cord is three of them at 16 in by arithmetic."""

M3_PER_STERE = 1.0
"""A stere (Raummeter) is one cubic metre of stacked wood, air included. Source: AIEL Wood Fuels Handbook,
from memory."""

KG_PER_TONNE = 1000.0

STACKED_PER_SOLID = 1.4
"""Stacked volume of a volume of solid wood. Source: AIEL Wood Fuels Handbook, from memory: a stere holds 0.65
to 0.70 m3 of solid split logs. Only ever said, never reckoned with."""

DAYS_PER_YEAR = 365.0
"""A year of upkeep, days: the same date next year is near enough."""

DAYS_PER_MONTH = DAYS_PER_YEAR / 12.0

L_PER_US_GALLON = 3.785411784
"""US gallon, 231 cubic inches, L; exact (NIST SP 811)."""

L_PER_UNIT = {"l": 1.0, "dl": 0.1, "ml": 0.001, "gal": L_PER_US_GALLON, "qt": L_PER_US_GALLON / 4.0}
KG_PER_UNIT = {"kg": 1.0, "g": 0.001, "lb": KG_PER_LB}
"""Units supplies are written in, by the folded word, in L and in kg; a quart is a quarter of a gallon. No
ounce: a fluid one and one of mass are written alike."""

M2K_PER_W_PER_R = 0.1761101838
"""One ft2·°F·h/Btu in m2K/W (NIST SP 811, from the exact foot and Btu)."""

ZERO_C_IN_K = 273.15
"""0 °C in kelvin; exact by definition of the Celsius scale."""


def c_from_f(temperature_f: float) -> float:
    """Temperature in °C from °F."""
    return (temperature_f - 32.0) / 1.8


def f_from_c(temperature_c: float) -> float:
    """Temperature in °F from °C."""
    return temperature_c * 1.8 + 32.0


def kg_from_lb(mass_lb: float) -> float:
    """Mass in kg from avoirdupois pounds."""
    return mass_lb * KG_PER_LB


def lb_from_kg(mass_kg: float) -> float:
    """Mass in avoirdupois pounds from kg."""
    return mass_kg / KG_PER_LB
