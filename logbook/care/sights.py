"""What was seen and still stands: one rule of what takes it away, being said gone or mended by its task."""

from __future__ import annotations

from collections.abc import Container
from datetime import datetime

from logbook.care.upkeep_tasks import TASKS
from logbook.house import House
from logbook.matters import Seen, Sight, Upkeep, folded
from logbook.results.upkeep_words import task_named


def standing(house: House, sights: Container[Sight]) -> tuple[tuple[datetime, Seen], ...]:
    """Sights of some kinds that nobody has said are gone since, nor mended by doing their task, oldest first.

    Args:
        house: The log as of its time.
        sights: Which are wanted.
    """
    mended = _mended(house, sights)
    found: list[tuple[datetime, Seen]] = []
    for at, seen in house.of(Seen):
        if seen.sight is Sight.GONE:
            found = [row for row in found if not is_gone(row[1], seen.place)]
        elif seen.sight in sights and (seen.sight not in mended or at > mended[seen.sight]):
            found.append((at, seen))
    return tuple(found)


def _mended(house: House, sights: Container[Sight]) -> dict[Sight, datetime]:
    """When each of these sights that calls for a task was last mended: by it or one that clears it, done."""
    acts = [(at, task_named(did.task)) for at, did in house.of(Upkeep) if not did.only_looked]
    found: dict[Sight, datetime] = {}
    for task in TASKS:
        if not any(sight in sights for sight in task.called_by):
            continue
        names = (task.name, *task.also, *task.cleared_by)
        done = max((at for at, name in acts if name in names), default=None)
        if done is not None:
            found |= {sight: max(done, found.get(sight, done)) for sight in task.called_by}
    return found


def is_gone(seen: Seen, said: str) -> bool:
    """Whether "leak at flashing gone" is about this leak: the same thing, at its place or with none said.

    The place alone ("north corner gone") takes away what was seen there.
    """
    said, place, what = folded(said), folded(seen.place), str(seen.sight)
    if said == place:
        return bool(place)
    return what in said and (said == what or not place or place in said)
