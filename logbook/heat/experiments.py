"""Trials: nights one way against nights the other, told apart by a word in their notes.

The forecast of each night takes load, air, weather and start out; what is left of the two kinds of nights is
compared. One night alone is off by 1 to 2 K, so small differences take many nights: the answer says how many.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import NormalDist

import numpy as np

from logbook.errors import BadInputError
from logbook.heat.arrays import FloatArray
from logbook.records import Entry
from logbook.results.night import NightScore, Range
from logbook.results.works import TrialAnswer

USUAL_NIGHT_SD_K = 1.8
"""How far one night is off its forecast before there are nights to tell it, K. Source: five simulated cabins,
1.3-2.0 K at waking."""

FEWEST_FOR_SD = 6
"""Fewer nights than this don't tell the spread; then the usual one is taken. ASSUMED."""

POWER = 0.8
"""Chance with which the planned number of nights finds the difference sought. Common practice."""

SURE = 0.975
"""Chance above which a difference is called one: wrong at most 1 in 20 either way. Definition."""

MOST_NIGHTS = 200
"""No more nights than this are named, each way. ASSUMED: beyond it the question is not worth asking so."""

EVENING_BEFORE = timedelta(hours=8)
"""A note this long before bed belongs to the night. ASSUMED: the evening."""

ALIKE = 0.3
"""Correlation of the misses of two nights of one stay, as for drift. ASSUMED."""

LEAST_SOUGHT_K = 0.01
"""The least difference that may be sought, K. ASSUMED: no thermometer of a cabin shows less."""


@dataclass(frozen=True)
class _Arms:
    """Misses at waking in K, with the word and without, and the stays they are from by number."""

    with_k: FloatArray
    without_k: FloatArray


def trial(
    word: str,
    *,
    nights: Sequence[NightScore],
    entries: Sequence[Entry],
    seek_k: float = 1.0,
    since: datetime | None = None,
) -> TrialAnswer:
    """Nights whose notes hold a word against the others.

    Args:
        word: Looked for in notes, any case.
        nights: The track record, oldest first.
        entries: As written; their notes are read.
        seek_k: The difference at waking worth finding, K; above 0.
        since: Nights before this are left out.

    Raises:
        BadInputError: No word, or a difference of nothing.
    """
    if not word.strip():
        raise BadInputError("The trial has no word.\nName one your notes use: nightload experiment curtain")
    if not LEAST_SOUGHT_K <= seek_k < math.inf:
        raise BadInputError(
            f"A difference of {seek_k:g} K can't be sought.\nGive {LEAST_SOUGHT_K:g} or more, such as 1."
        )
    arms = _arms(word.strip().casefold(), nights=nights, entries=entries, since=since)
    sd, assumed = _night_sd(arms)
    n, m = len(arms.with_k), len(arms.without_k)
    need = nights_each_way(night_sd_k=sd, seek_k=seek_k)
    difference, chance, verdict = None, None, "no nights yet"
    if n and m:
        middle = float(arms.with_k.mean() - arms.without_k.mean())
        error = sd * math.sqrt((1.0 + ALIKE) * (1.0 / n + 1.0 / m))
        normal = NormalDist(middle, error)
        difference = Range(normal.inv_cdf(0.05), middle, normal.inv_cdf(0.95))
        chance = 1.0 - normal.cdf(0.0)
        verdict = _verdict(difference, chance, seek_k)
    open_question = verdict in ("no nights yet", "can't tell yet")
    return TrialAnswer(
        word=word.strip(),
        seek_k=seek_k,
        nights_with=n,
        nights_without=m,
        night_sd_k=sd,
        sd_is_assumed=assumed,
        difference_k=difference,
        chance_warmer=chance,
        verdict=verdict,
        nights_each_way=need,
        more_nights=max(need - n, 0) + max(need - m, 0) if open_question else 0,
    )


def nights_each_way(*, night_sd_k: float, seek_k: float) -> int:
    """Nights of each kind that find a difference of ``seek_k`` four times in five.

    Source: two means with a common spread, normal: 2 (z_0.975 + z_0.8)^2 (spread/difference)^2; more by how
    alike the nights of a stay are.
    """
    z = NormalDist().inv_cdf(SURE) + NormalDist().inv_cdf(POWER)
    return min(max(math.ceil((1.0 + ALIKE) * 2.0 * (z * night_sd_k / seek_k) ** 2), 2), MOST_NIGHTS)


def _arms(
    word: str, *, nights: Sequence[NightScore], entries: Sequence[Entry], since: datetime | None
) -> _Arms:
    notes = [e.at for e in entries if e.note and word in e.note.casefold()]
    tagged: list[float] = []
    plain: list[float] = []
    for night in nights:
        seen = night.observed_at_wake_c
        if seen is None or (since is not None and night.bed < since):
            continue
        has = any(night.bed - EVENING_BEFORE <= at <= night.wake for at in notes)
        (tagged if has else plain).append(seen - night.predicted_at_wake_c.p50)
    return _Arms(np.array(tagged), np.array(plain))


def _night_sd(arms: _Arms) -> tuple[float, bool]:
    """Spread of one night within its kind, K; the usual one, said to be assumed, while nights are few."""
    free = sum(max(len(a) - 1, 0) for a in (arms.with_k, arms.without_k))
    if free < FEWEST_FOR_SD:
        return USUAL_NIGHT_SD_K, True
    squares = sum(float(((a - a.mean()) ** 2).sum()) for a in (arms.with_k, arms.without_k) if len(a))
    return max(math.sqrt(squares / free), 0.3), False


def _verdict(difference: Range, chance: float, seek_k: float) -> str:
    if chance >= SURE:
        return "warmer with it"
    if chance <= 1.0 - SURE:
        return "colder with it"
    if -seek_k < difference.p05 and difference.p95 < seek_k:
        return "no difference seen"
    return "can't tell yet"
