"""Hours with no wood burning and the room read at both ends: what tells most of how the cabin cools."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from logbook.heat.notebook import Reading, Stay, stays
from logbook.records import Coals, Entry, Window
from logbook.results.app import Stretch

BURNED_DOWN = timedelta(hours=2)
"""This long after the last load the wood counts as burned down; coals may glow on, and the fit knows of them.
ASSUMED: split wood under enough air; a row that says fire out or no coals tells it better."""

COLD = timedelta(hours=8)
"""This long after the last load nothing glows that warms a room. ASSUMED."""

SHORTEST = timedelta(minutes=45)
"""A shorter stretch tells nothing beyond the thermometer's own error. ASSUMED."""

WARMER_K = 3.0
"""The room stood at least this far above outdoors when it began, K; nearer, nothing cools. ASSUMED."""

HEATER_W = 50.0
"""Other heat above this is heating, W."""


def fire_out_stretches(entries: Sequence[Entry], *, until: datetime) -> tuple[Stretch, ...]:
    """The stretches, newest first: first reading with the wood burned down to the last before the next load.

    Args:
        entries: As written, none left out.
        until: Later rows are left out.
    """
    found = [one for stay in stays(entries, until=until) for one in _of_stay(stay)]
    return tuple(sorted(found, key=lambda s: s.start, reverse=True))


def _of_stay(stay: Stay) -> Iterator[Stretch]:
    read = [r for r in stay.readings if r.kind == "at"]
    for out, lit, cold in _without_fire(stay):
        here = [r for r in read if out <= r.at <= lit]
        if len(here) < 2 or here[-1].at - here[0].at < SHORTEST:
            continue
        outside = _outside(stay, here[0].at, here[-1].at)
        if outside is not None and here[0].indoor_c - outside < WARMER_K:
            continue
        if here[-1].indoor_c < here[0].indoor_c:
            yield _stretch(stay, here, outside, cold=cold)


def _without_fire(stay: Stay) -> Iterator[tuple[datetime, datetime, datetime]]:
    """No wood burning from when to when, and from when on no coals; never before the first load of a stay."""
    for n, load in enumerate(stay.loads):
        following = stay.loads[n + 1].at if n + 1 < len(stay.loads) else stay.end
        said = [c.at for c in stay.coals if c.coals is Coals.NONE and load.at < c.at <= following]
        out = min([*said, load.at + BURNED_DOWN])
        cold = min([*said, load.at + COLD])
        heated = [h.at for h in stay.other_heat if h.value > HEATER_W and out < h.at]
        end = min([following, *heated])
        if out < end:
            yield out, end, cold


def _outside(stay: Stay, start: datetime, end: datetime) -> float | None:
    """Mean of what was read outside meanwhile, else the last reading before, °C."""
    during = [s.value for s in stay.outdoor if start - timedelta(hours=1) <= s.at <= end]
    before = [s.value for s in stay.outdoor if s.at <= start]
    values = during or before[-1:]
    return sum(values) / len(values) if values else None


def _stretch(stay: Stay, read: Sequence[Reading], outside: float | None, *, cold: datetime) -> Stretch:
    start, end = read[0], read[-1]
    open_now = [w.state for w in stay.windows if w.at <= start.at][-1:]
    meanwhile = [w.state for w in stay.windows if start.at < w.at < end.at]
    windows = [state for state in (*open_now, *meanwhile) if state is not Window.SHUT]
    return Stretch(
        start=start.at,
        end=end.at,
        outside_c=outside,
        from_c=start.indoor_c,
        to_c=end.indoor_c,
        why=f"window {windows[0].value}" if windows else "coals at first" if start.at < cold else "steady",
    )
