"""What was seen and still stands: one rule of what "gone" takes away, for upkeep, lists and damp."""

from __future__ import annotations

from collections.abc import Container
from datetime import datetime

from logbook.house import House
from logbook.matters import Seen, Sight, folded


def standing(
    house: House, sights: Container[Sight], *, after: datetime | None = None
) -> tuple[tuple[datetime, Seen], ...]:
    """Sights of some kinds that nobody has said are gone since, oldest first.

    Args:
        house: The log as of its time.
        sights: Which are wanted.
        after: Up to this moment all is taken as mended.
    """
    found: list[tuple[datetime, Seen]] = []
    for at, seen in house.of(Seen):
        if seen.sight is Sight.GONE:
            found = [row for row in found if not _is_gone(row[1], seen.place)]
        elif seen.sight in sights and (after is None or at > after):
            found.append((at, seen))
    return tuple(found)


def _is_gone(seen: Seen, said: str) -> bool:
    """Whether "leak at flashing gone" is about this leak: the same thing, at its place or with none said.

    The place alone ("north corner gone") takes away what was seen there.
    """
    said, place, what = folded(said), folded(seen.place), str(seen.sight)
    if said == place:
        return bool(place)
    return what in said and (said == what or not place or place in said)
