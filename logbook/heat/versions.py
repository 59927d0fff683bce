"""Which of the dated descriptions holds at a time, and since when its stove has stood there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from logbook.records import DatedDescription, Stove


def in_order(descriptions: Sequence[DatedDescription]) -> list[DatedDescription]:
    """Versions by the time they hold from; the one that always held comes first."""
    return sorted(descriptions, key=lambda d: d.valid_from or datetime.min.replace(tzinfo=UTC))


def description_at(descriptions: Sequence[DatedDescription], at: datetime) -> DatedDescription:
    """The version that holds at a time; before the first version, the first one.

    ``descriptions`` must not be empty.
    """
    ordered = in_order(descriptions)
    held = [d for d in ordered if d.valid_from is None or d.valid_from <= at]
    return held[-1] if held else ordered[0]


def stove_since(descriptions: Sequence[DatedDescription], at: datetime) -> datetime | None:
    """Since when the stove described at a time has stood there; None: always."""
    ordered = in_order(descriptions)
    now = description_at(ordered, at)
    since = now.valid_from
    for version in reversed(ordered[: ordered.index(now)]):
        if _make(version.description.stove) != _make(now.description.stove):
            return since
        since = version.valid_from
    return since


def _make(stove: Stove) -> tuple[float, float | None, float | None]:
    """What tells one stove from another; a rescaled lever or a new gasket is still the same stove."""
    return stove.max_load_kg, stove.body_kg, stove.firebox_l
