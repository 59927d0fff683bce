"""What could be done tonight: no fire, one load, two loads, each with its air and window.

Only what is clean and within reach is made here: air at or above the lever's clean floor, loads at or
under the cap. What fits beside the wood and coals already there is judged later, on the forecast.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from logbook.records import Entry, Window

TRIED_LOADS_NEEDED = 5
"""Loads recorded with this stove before its largest one bounds advice. The contract's figure."""

BEYOND_TRIED = 1.25
"""Advice stays under this many times the largest load recorded. The contract's figure."""

NOW_APART_FROM_BED = timedelta(minutes=45)
"""With bed this far off, "now" and "at bed" are two different choices. ASSUMED."""

LATER_HOURS, LATER_ALONE_HOURS = (2.5, 4.0), (2.0, 3.0, 4.5)
"""A load in the night at first sight, after one at bed and after none, hours after bed; a closer look moves
it."""

LATER_FROM_TO_H = (2.0, 5.0)
"""A second load comes so long after bed. The contract says 2 to 5 h."""

LATEST_BEFORE_WAKE = timedelta(hours=1.5)
"""A load nearer to waking than this serves the morning, not the night. ASSUMED."""

OWN_FRACTIONS_PCT = (25.0, 100 / 3, 50.0, 75.0)
"""Air as owners say it, per cent open: 1/4, 1/3, 1/2, 3/4."""

OWN_AIR_NEAR_PCT = 8.0
"""An owner's own setting this near to a step stands for it, points. ASSUMED."""

MOST_SIZES, MOST_SIZES_OF_TWO, MOST_SIZES_AT_NIGHT = 7, 5, 3
"""Sizes at first sight of a single load, of each of two, and of each of two for an owner who sleeps through;
a closer look takes those between (``closer``)."""

TURNED_DOWN_PCT = 8.0
"""Turning the air down by less than this is no other thing to do, points. ASSUMED."""

MOST_PIECES = 8
"""More pieces than this in one load are not suggested. ASSUMED: an armful."""


@dataclass(frozen=True, slots=True)
class Size:
    """A load that can be picked up: mass as weighed, kg, and its pieces in the owner's words ("2M 1L")."""

    kg: float
    pieces: str


@dataclass(frozen=True, slots=True)
class Put:
    """One load of a plan: when, what, the air it is turned down to (per cent open), kindling or not."""

    at: datetime
    size: Size
    air_open_pct: float
    kindling: bool = False


@dataclass(frozen=True, slots=True)
class Plan:
    """One thing to do: its loads (none: no fire), the air that stands in the end, the window."""

    loads: tuple[Put, ...]
    air_open_pct: float
    window: Window
    names_air: bool = False
    """Whether a plan without a load still says to set the air."""

    @property
    def wood_kg(self) -> float:
        """All wood of the plan, kg as weighed."""
        return sum(put.size.kg for put in self.loads)


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What the owner has to hand tonight.

    ``standing_air_pct`` is the air as it stands; ``dead_now`` and ``dead_at_bed`` say whether a load at
    that time meets a dead stove and so needs kindling.
    """

    as_of: datetime
    bed: datetime
    wake: datetime
    cap_kg: float
    pieces_kg: tuple[tuple[str, float], ...]
    clean_floor_pct: float
    standing_air_pct: float
    dead_now: bool = False
    dead_at_bed: bool = False


def cap_kg(*, max_load_kg: float, loads_kg: Sequence[float]) -> float:
    """The largest load advised, kg: the manual's limit, or the tried cap where that is less."""
    tried = tried_cap_kg(loads_kg)
    return max_load_kg if tried is None else min(max_load_kg, tried)


def tried_cap_kg(loads_kg: Sequence[float]) -> float | None:
    """1.25 times the largest load recorded with this stove, kg; None before five loads are on record."""
    return BEYOND_TRIED * max(loads_kg) if len(loads_kg) >= TRIED_LOADS_NEEDED else None


def sizes(
    *, cap_kg: float, pieces_kg: Sequence[tuple[str, float]], most: int = MOST_SIZES
) -> tuple[Size, ...]:
    """Loads up to the cap, smallest first, in the owner's pieces, or in weighed steps when none are known.

    Where several bundles weigh about the same, the one with the fewest pieces is taken: a few big
    pieces last like many small ones, without the peak (common practice, no source).
    """
    if cap_kg <= 0:
        return ()
    if not pieces_kg:
        return tuple(Size(kg, "") for kg in _weighed_steps(cap_kg, most))
    bundles = sorted(_bundles(cap_kg, pieces_kg), key=lambda b: b[0].kg)
    if not bundles:
        return ()
    kg = np.array([size.kg for size, _ in bundles])
    pieces = np.array([count for _, count in bundles])
    targets = kg[0] + (cap_kg - kg[0]) * (np.arange(most) / max(1, most - 1)) ** 1.3
    step = max((cap_kg - kg[0]) / max(1, most - 1), 0.05)
    chosen = np.argmin(np.abs(kg - targets[:, None]) / step + 0.15 * pieces, axis=1)
    return tuple(bundles[i][0] for i in np.unique(chosen))


def airs(*, clean_floor_pct: float, used_pct: Sequence[float]) -> tuple[float, ...]:
    """Air settings worth trying, per cent open, lowest first: the clean floor and two above it.

    The owner's own settings come first where they are near a step; else common fractions.
    """
    steps = [p for p in OWN_FRACTIONS_PCT if p >= clean_floor_pct + OWN_AIR_NEAR_PCT]
    own = sorted({p for p in used_pct if clean_floor_pct + OWN_AIR_NEAR_PCT <= p <= 75})
    picked = []
    for step in steps:
        near = [p for p in own if abs(p - step) <= OWN_AIR_NEAR_PCT]
        picked.append(near[0] if near else step)
    return tuple(sorted({clean_floor_pct, *picked[:2]}))


def candidates(means: Means, *, airs_pct: Sequence[float], gets_up: bool) -> tuple[Plan, ...]:
    """Plans far enough apart to show where a closer look is worth it: 60 to 140. Never empty: "no fire" is
    the first.

    A load in the night is among them even for an owner who sleeps through, to show what it would bring.
    """
    start = max(means.as_of, means.bed)
    singles = sizes(cap_kg=means.cap_kg, pieces_kg=means.pieces_kg)
    pairs = sizes(cap_kg=means.cap_kg, pieces_kg=means.pieces_kg, most=MOST_SIZES_OF_TWO)
    plans = _no_fire(means, airs_pct)
    plans += _single(means, singles, start, airs_pct)
    early = means.bed - means.as_of >= NOW_APART_FROM_BED
    if early:
        plans += _single(means, singles[::2], means.as_of, airs_pct[:2])
        plans += _both(means, pairs, (means.as_of, means.bed), airs_pct[:1])
    at_night = pairs
    if not gets_up:
        at_night = sizes(cap_kg=means.cap_kg, pieces_kg=means.pieces_kg, most=MOST_SIZES_AT_NIGHT)
    plans += _in_the_night(means, at_night, start, airs_pct[:1])
    return tuple(plans)


def entries_of(
    plan: Plan, *, as_of: datetime, bed: datetime, air_up_pct: float | None = None
) -> tuple[Entry, ...]:
    """A plan as entries yet to come. The window stands shut until bed, unless bed is past.

    ``air_up_pct``: the air stands below the clean floor and is put up to it at once, not with the first load.
    """
    when = max(as_of, bed)
    steps = [Entry(at=as_of, window=Window.SHUT)]
    if plan.names_air:
        steps.append(Entry(at=as_of, air_open_pct=plan.air_open_pct))
    elif air_up_pct is not None and all(put.at > as_of for put in plan.loads):
        steps.append(Entry(at=as_of, air_open_pct=air_up_pct))
    steps += [
        Entry(
            at=put.at,
            load_kg=put.size.kg,
            pieces=put.size.pieces or None,
            air_open_pct=put.air_open_pct,
            kindling=put.kindling,
        )
        for put in plan.loads
    ]
    if plan.window is not Window.SHUT:
        steps.append(Entry(at=when, window=plan.window))
    return tuple(sorted(steps, key=lambda e: e.at))


def _weighed_steps(cap: float, most: int) -> list[float]:
    step = next(
        (s for s in (0.25, 0.5, 1.0, 2.0, 5.0) if cap / s <= most), math.floor(cap / most * 1000.0) / 1000.0
    )
    count = int(cap / step + 1e-9)
    return [round(step * (i + 1), 3) for i in range(count)] or [math.floor(cap * 1000.0) / 1000.0]


def _bundles(cap: float, pieces_kg: Sequence[tuple[str, float]]) -> list[tuple[Size, int]]:
    """Every bundle of the owner's pieces up to the cap, with how many pieces it has."""
    names = [name for name, kg in pieces_kg if kg > 0]
    masses = [kg for _, kg in pieces_kg if kg > 0]
    if not names:
        return []
    most_of = [min(MOST_PIECES, int(cap / kg + 1e-9)) for kg in masses]
    found = []
    for counts in itertools.product(*(range(n + 1) for n in most_of)):
        pieces = sum(counts)
        kg = sum(n * m for n, m in zip(counts, masses, strict=True))
        if 0 < pieces <= MOST_PIECES and kg <= cap + 1e-9:
            words = " ".join(f"{n}{name}" for n, name in zip(counts, names, strict=True) if n)
            found.append((Size(round(kg, 3), words), pieces))
    return found


def _no_fire(means: Means, airs_pct: Sequence[float]) -> list[Plan]:
    """No more wood, window shut or cracked, the air as it stands; while something burns also turned down to
    a clean setting. Air standing below the clean floor is put up to it: advice never leaves less while coals
    may glow."""
    below = means.standing_air_pct < means.clean_floor_pct
    stands = means.clean_floor_pct if below else means.standing_air_pct
    down = [] if means.dead_now else [air for air in airs_pct if air <= stands - TURNED_DOWN_PCT]
    return [
        Plan((), air, window, names_air=below or air != stands)
        for air in (stands, *down)
        for window in (Window.SHUT, Window.CRACKED)
    ]


def _single(means: Means, loads: Sequence[Size], at: datetime, airs_pct: Sequence[float]) -> list[Plan]:
    """One load; every second size also with the window cracked."""
    dead = means.dead_now if at == means.as_of else means.dead_at_bed
    tried = [(size, Window.SHUT) for size in loads] + [(size, Window.CRACKED) for size in loads[::2]]
    return [Plan((Put(at, size, air, dead),), air, window) for size, window in tried for air in airs_pct]


def _both(
    means: Means, loads: Sequence[Size], at: tuple[datetime, datetime], airs_pct: Sequence[float]
) -> list[Plan]:
    first, second = at
    return [
        Plan((Put(first, a, air, means.dead_now), Put(second, b, air)), air, Window.SHUT)
        for a in loads
        for b in loads
        for air in airs_pct
    ]


def _in_the_night(
    means: Means, loads: Sequence[Size], start: datetime, airs_pct: Sequence[float]
) -> list[Plan]:
    """A load later in the night, after one at bed or after none."""

    def times(hours: Sequence[float]) -> list[datetime]:
        later = (start + timedelta(hours=h) for h in hours)
        return [at for at in later if at <= means.wake - LATEST_BEFORE_WAKE]

    plans = []
    for air in airs_pct:
        if not means.dead_at_bed:
            alone = itertools.product(times(LATER_ALONE_HOURS), loads)
            plans += [Plan((Put(at, size, air),), air, Window.SHUT) for at, size in alone]
        plans += [
            Plan((Put(start, a, air, means.dead_at_bed), Put(at, b, air)), air, Window.SHUT)
            for at in times(LATER_HOURS)
            for a in loads
            for b in loads
        ]
    return plans
