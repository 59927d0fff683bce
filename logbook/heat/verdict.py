"""From a posterior of a change to a verdict, and to how many more nights one would take.

The change is the logarithm of heat loss after over before. A change is called one only when the chance that
it went the other way is below 1 in 40, so that no change is called a change, either way, at most 1 in 20.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

from logbook.results.night import Range
from logbook.results.works import Verdict

SURE = 0.975
"""Chance above which a change is called one: 1 in 40 on either side. Definition, from "at most 1 in 20"."""

SMALL_LOG = math.log(1.15)
"""A change of heat loss below 15 % is one an owner hardly notices in the wood; ruled out above that, "no
difference seen" is said. ASSUMED: half a load in a usual weekend."""

FEWEST_NIGHTS = 2
"""With fewer nights on a side there is no verdict, whatever the model says: one night can be odd in ways no
model knows. ASSUMED."""

MOST_NIGHTS = 60
"""Further ahead than this nothing is promised: more than two winters of weekends. ASSUMED."""

_STANDARD = NormalDist()
_Z95 = _STANDARD.inv_cdf(0.95)
_ZSURE = _STANDARD.inv_cdf(SURE)


FIRST_NIGHT_VARIANCE = 0.028
"""Variance of the log heat loss told by one night, for a change with no night after it yet. Source: invented
pairs of four nights each (tests/heat/pairs.py)."""


@dataclass(frozen=True, slots=True)
class Judged:
    """What a posterior of a change comes to. ``more_nights`` at ``MOST_NIGHTS`` means that many or more."""

    change_pct: Range
    chance_helped: float
    verdict: Verdict
    more_nights: int


def judge(
    *,
    mean: float,
    sd: float,
    prior_sd: float,
    nights_before: int,
    nights_after: int,
    most_after: int = MOST_NIGHTS,
) -> Judged:
    """The verdict on a change whose log ratio of heat loss is about normal.

    Args:
        mean: Posterior mean of the log ratio; negative is less loss.
        sd: Its posterior standard deviation.
        prior_sd: What it was before any night.
        nights_before: Nights before the change behind it; at least 1.
        nights_after: Nights after it; at least 1.
        most_after: As many nights after it are looked at, however many there will be.
    """
    low, middle, high = (100.0 * math.expm1(mean + z * sd) for z in (-_Z95, 0.0, _Z95))
    few = min(nights_before, nights_after) < FEWEST_NIGHTS
    verdict = Verdict.CANT_TELL if few else verdict_of(mean, sd)
    known = max(1.0 / sd**2 - 1.0 / prior_sd**2, 1e-3)
    more = 0
    if verdict is Verdict.CANT_TELL:
        more = more_nights(
            mean=mean,
            sd=sd,
            prior_sd=prior_sd,
            night_variance=1.0 / (known * (1.0 / nights_before + 1.0 / nights_after)),
            nights_before=nights_before,
            nights_after=nights_after,
            most_after=most_after,
        )
        more = max(more, FEWEST_NIGHTS - nights_after)
    return Judged(Range(low, middle, high), _STANDARD.cdf(-mean / sd), verdict, more)


def verdict_of(mean: float, sd: float) -> Verdict:
    """The verdict at a posterior mean and spread of the log ratio."""
    if mean <= -_ZSURE * sd:
        return Verdict.HELPED
    if mean >= _ZSURE * sd:
        return Verdict.WORSE
    if abs(mean) + _Z95 * sd <= SMALL_LOG:
        return Verdict.NO_DIFFERENCE
    return Verdict.CANT_TELL


def more_nights(
    *,
    mean: float,
    sd: float,
    prior_sd: float,
    night_variance: float,
    nights_before: int,
    nights_after: int,
    most_after: int = MOST_NIGHTS,
) -> int:
    """How many nights like these give a verdict with an even chance, at most ``MOST_NIGHTS``.

    What the nights told so far is one over the posterior variance less one over the prior's. A night on
    either side is taken to count the same (``night_variance``), so that the variance of the difference goes
    as 1/before + 1/after: only nights after the change can still be had, and those before set a floor.
    """
    for more in range(1, min(MOST_NIGHTS, most_after - nights_after + 1)):
        error = night_variance * (1.0 / max(nights_before, 1) + 1.0 / (nights_after + more))
        then = math.sqrt(1.0 / (1.0 / prior_sd**2 + 1.0 / error))
        if chance_of_verdict(mean=mean, sd=sd, then_sd=min(then, sd)) >= 0.5:
            return more
    return MOST_NIGHTS


def chance_of_verdict(*, mean: float, sd: float, then_sd: float) -> float:
    """Chance that there is a verdict once the spread has shrunk to ``then_sd``.

    By then the mean will have moved: as far as the present spread allows, less the spread left.
    """
    moves = NormalDist(mean, max(math.sqrt(max(sd**2 - then_sd**2, 0.0)), 1e-9))
    called = moves.cdf(-_ZSURE * then_sd) + 1.0 - moves.cdf(_ZSURE * then_sd)
    room = min(SMALL_LOG - _Z95 * then_sd, _ZSURE * then_sd)
    small = moves.cdf(room) - moves.cdf(-room) if room > 0.0 else 0.0
    return called + small
