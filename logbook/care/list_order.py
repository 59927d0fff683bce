"""The order of a list's lines: the owner's, as far as safety allows it.

Lines wait for what must come before them; nothing is pulled ahead but what the moment makes urgent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from logbook.care.list_line import IN_FROST, PRECEDES, Part
from logbook.results.lists import Condition

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a line ended up: its number in the wanted order, and those it waited for."""

    index: int
    waited_for: tuple[int, ...]


def precedes(before: Part, after: Part, conditions: frozenset[Condition]) -> bool:
    """Whether a line of one part must come before a line of another."""
    table = {**PRECEDES, **IN_FROST} if Condition.FROST in conditions else PRECEDES
    return after in table.get(before, frozenset())


def ordered(parts: Sequence[Part], conditions: frozenset[Condition]) -> tuple[Placed, ...]:
    """The lines in the wanted order, except that each waits for all that must precede it.

    Args:
        parts: The part of each line, in the wanted order.
        conditions: What holds.
    """
    left = list(range(len(parts)))
    placed: list[Placed] = []
    while left:
        nearest = next(n for n in left if not _waits(n, left, parts, conditions))
        left.remove(nearest)
        later = [p.index for p in placed if p.index > nearest]
        waited = tuple(i for i in later if precedes(parts[i], parts[nearest], conditions))
        placed.append(Placed(nearest, waited))
    return tuple(placed)


def urgent_first(
    lines: Sequence[T], parts: Sequence[Part], conditions: frozenset[Condition]
) -> tuple[tuple[T, Part], ...]:
    """The lines with their parts, what the moment makes urgent brought to the front.

    Coals in the stove: the fire comes first, since it takes longest. Frost ahead: then the water.
    """
    urgent = []
    if Condition.COALS in conditions:
        urgent.append(Part.FIRE_OUT)
    if Condition.FROST in conditions:
        urgent.append(Part.DRAIN)
    rank = {part: n for n, part in enumerate(urgent)}
    both = list(zip(lines, parts, strict=True))
    return tuple(sorted(both, key=lambda each: rank.get(each[1], len(urgent))))


def _waits(n: int, left: Sequence[int], parts: Sequence[Part], conditions: frozenset[Condition]) -> bool:
    return any(i != n and precedes(parts[i], parts[n], conditions) for i in left)
