"""Do the readings fit what can be? Whether a fit had to strain, and which stays made it.

Robust errors let a fit go past a few odd readings; past many it ends somewhere all the same, and narrowly so.
Three signs tell such a fit from a good one, each by what invented cabins and the practice cabins show when
nothing is wrong: unknowns pulled far from all that was believed, many readings the errors had to give up, and
a stay going on that what was learned can't explain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from logbook.heat.mode import Mode, whitening
from logbook.heat.model import Batch, simulate
from logbook.heat.notebook import Stay

FAR_SQUARED, FAR_ONE = 25.0, 3.0
"""Sum of squares of the mode, and its largest unknown, prior sd. Over 5 practice cabins with two notebooks
each at most 16.5 and 2.1. ASSUMED from there."""

GIVEN_UP_WEIGHT = 0.3
"""A reading that counts for less than this of a usual one is given up: some 4 sd off."""

GIVEN_UP_LEAST, GIVEN_UP_SHARE, GIVEN_UP_SHARE_OF_STAY = 3, 0.05, 0.10
"""So many readings given up, of all and of one stay. On practice cabins at most 3 in 100."""

NEWEST_SQUARES, NEWEST_LEAST, SLIPS = 6.0, 5, 2
"""Mean square of what the newest stay misses, sd, with at least so many readings, its worst two left out: a
slip of the pen spoils itself and the reading after it. On practice cabins at most 3.2 with all of them."""

MOST_ODD = 1.0 / 3.0
"""With a larger share of odd stays the others aren't believed either: with units mixed up a fit of the half
that looked sound was narrow and wrong in 2 logs of 12."""

STUCK_READINGS, STUCK_H, STUCK_WITHIN_K = 6, 12.0, 0.05
"""So many readings over so long that never differ are of a thermometer that stands still. ASSUMED: a room
heated by a stove moves by a kelvin in an hour."""


@dataclass(frozen=True)
class Strain:
    """What a fit shows of itself: unknowns gone far; for each stay whether it is odd; the whole doubtful."""

    far: bool
    odd: tuple[bool, ...]
    newest_odd: bool
    many_given_up: bool

    @property
    def doubtful(self) -> bool:
        """Whether what was learned should not be relied on."""
        return self.far or self.newest_odd or self.many_given_up

    @property
    def worth_keeping(self) -> tuple[int, ...]:
        """Stays that may be fitted alone; none when the newest is the odd one, no stay is to blame, or
        too many are."""
        if self.newest_odd or not any(self.odd) or sum(self.odd) > MOST_ODD * len(self.odd):
            return ()
        return tuple(i for i, odd in enumerate(self.odd) if not odd)


def strain(b: Batch, mode: Mode) -> Strain:
    """How a fit of these stays strained to reach its mode."""
    sim = simulate(b, mode.z[None, :])
    plain = whitening(b, mode.z, sim, None)
    odd, given_up, readings, mean_square = [], 0, 0, 0.0
    for i, (s, w, robust) in enumerate(zip(b.scenarios, plain, mode.whites, strict=True)):
        count = len(s.reading_c)
        low = int((robust.weights < GIVEN_UP_WEIGHT).sum())
        miss = w.inverse @ (s.reading_c - w.seen.at(sim.air_c[: s.steps + 1, 0, i]))
        mean_square = float(np.sort(miss**2)[:-SLIPS].mean()) if count >= NEWEST_LEAST else 0.0
        odd.append(low >= GIVEN_UP_LEAST and low > GIVEN_UP_SHARE_OF_STAY * count)
        given_up, readings = given_up + low, readings + count
    return Strain(
        far=float(mode.z @ mode.z) > FAR_SQUARED or float(np.abs(mode.z).max()) > FAR_ONE,
        odd=tuple(odd),
        newest_odd=mean_square > NEWEST_SQUARES or odd[-1],
        many_given_up=given_up >= GIVEN_UP_LEAST and given_up > GIVEN_UP_SHARE * readings,
    )


def stuck(stay: Stay) -> bool:
    """Whether the thermometer stood still all stay long: from it nothing can be learned."""
    if len(stay.readings) < STUCK_READINGS or stay.other_heat:  # a thermostat may hold it
        return False
    read = [r.indoor_c for r in stay.readings]
    long = stay.readings[-1].at - stay.readings[0].at >= timedelta(hours=STUCK_H)
    return long and max(read) - min(read) <= STUCK_WITHIN_K


def moving(told: Sequence[Stay]) -> tuple[Stay, ...]:
    """The stays whose thermometer moved."""
    return tuple(stay for stay in told if not stuck(stay))
