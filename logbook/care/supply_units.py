"""Amounts of supplies as owners write them, brought to one unit so that they can be compared."""

from __future__ import annotations

from logbook.units import KG_PER_UNIT, L_PER_UNIT


def in_base(amount: float, unit: str) -> tuple[float, str]:
    """An amount in L or kg where it is a volume or a mass; else as it is, its word in the singular."""
    word = unit.strip().casefold()
    if word in L_PER_UNIT:
        return amount * L_PER_UNIT[word], "L"
    if word in KG_PER_UNIT:
        return amount * KG_PER_UNIT[word], "kg"
    return amount, word if len(word) < 3 or not word.endswith("s") else _singular(word)


def _singular(word: str) -> str:
    return word[:-2] if word.endswith("xes") else word[:-1]
