"""A stay typed twice: the same loads and readings in the log again, some hours or days off.

Where the copies overlap, twice the wood seems to burn; where they don't, what one stay says counts twice.
Which of two is at the right hours can't be told from the log.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from logbook.heat.notebook import Stay

LEAST_LOADS, LEAST_READINGS, LEAST_RISE_K = 2, 4, 3.0
"""So many loads and readings that come again, the readings so far apart. ASSUMED: to a tenth of a kelvin and
of a kilogram, two evenings with the same hours and figures are not met."""

MOVED_K = 1.5
"""A reading that comes again tells something only where others around the two lie so far from it: a room that
moves slowly under a logging thermometer reads the same ten minutes later. ASSUMED."""

LEAST_SHARE = 0.8
"""As much of what stands between the first and the last of them comes again. ASSUMED: a row may be lost."""

MOST_OFFSETS = 10
"""So many differences of time, the commonest, are looked at."""


class _Event(NamedTuple):
    minute: int
    kind: str
    value: float
    stay: int


def typed_twice(told: Sequence[Stay]) -> frozenset[int]:
    """Which stays hold what stands in the log a second time.

    Of two that do not overlap only the later one, else every stay that holds any of it.
    """
    events = sorted(event for i, stay in enumerate(told) for event in _events(stay, i))
    found: set[int] = set()
    for off in _offsets(events):
        found |= _copied(events, off)
    return frozenset(found)


def _events(stay: Stay, number: int) -> list[_Event]:
    read = [_Event(_minute(r.at), "indoor", r.indoor_c, number) for r in stay.readings if r.kind == "at"]
    return read + [_Event(_minute(load.at), "load", load.kg, number) for load in stay.loads]


def _minute(at: datetime) -> int:
    return round((at - datetime(1970, 1, 1, tzinfo=UTC)) / timedelta(minutes=1))


def _offsets(events: Sequence[_Event]) -> list[int]:
    """Differences of time between loads of the same mass that come up more than once, min."""
    loads = [e for e in events if e.kind == "load"]
    counted = Counter(
        later.minute - load.minute
        for i, load in enumerate(loads)
        for later in loads[i + 1 :]
        if later.value == load.value and later.minute > load.minute
    )
    near = {off: count + counted[off - 1] + counted[off + 1] for off, count in counted.items()}
    often = sorted((off for off, count in near.items() if count >= LEAST_LOADS), key=lambda off: -near[off])
    return often[:MOST_OFFSETS]


def _telling(pairs: Sequence[tuple[_Event, _Event]], events: Sequence[_Event]) -> list[_Event]:
    """Readings among the pairs that a room moving slowly would not have given again: of the rows of their
    stays, from the one before to the one after the two, some lie ``MOVED_K`` away."""
    read = [e for e in events if e.kind == "indoor"]
    place = {e: i for i, e in enumerate(read)}
    return [
        e
        for e, copy in pairs
        if e.kind == "indoor"
        and any(
            abs(r.value - e.value) > MOVED_K and r.stay in (e.stay, copy.stay)
            for r in read[max(place[e] - 1, 0) : place[copy] + 2]
        )
    ]


def _copied(events: Sequence[_Event], off: int) -> set[int]:
    """The stays that hold the same so many minutes later; of two apart the later."""
    by_key = {(e.kind, e.value, e.minute): e for e in events}
    pairs = []
    for e in events:
        # A minute off a minute is no time at all: nothing is a copy of itself.
        later = [e.minute + off + slip for slip in (0, -1, 1) if off + slip > 0]
        found = (by_key.get((e.kind, e.value, minute)) for minute in later)
        copy = next((c for c in found if c is not None), None)
        if copy is not None:
            pairs.append((e, copy))
    read = [e for e, _ in pairs if e.kind == "indoor"]
    if len(_telling(pairs, events)) < LEAST_READINGS:
        return set()
    first, last = read[0].minute, read[-1].minute
    pairs = [(e, copy) for e, copy in pairs if first <= e.minute <= last]
    warmth = [e.value for e in read]
    if len(pairs) - len(read) < LEAST_LOADS or max(warmth) - min(warmth) < LEAST_RISE_K:
        return set()
    copies = {copy for _, copy in pairs}
    between = [e for e in events if first <= e.minute <= last and e not in copies]
    if len(pairs) < LEAST_SHARE * len(between):
        return set()
    # The second of three in a row is a copy too: only what is none may overlap its copy.
    there, again = {e.stay for e, _ in pairs if e not in copies}, {copy.stay for copy in copies}
    return again if there.isdisjoint(again) else there | again
