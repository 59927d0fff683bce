"""Frozen answers about works on the cabin: did it help, what if, has something drifted, trials.

In SI, before any wording, like ``results.night``. Times are aware.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from logbook.results.night import Range


class Verdict(StrEnum):
    """What the nights say of a change. The first three are the contract's; the fourth is the first turned."""

    HELPED = "helped"
    NO_DIFFERENCE = "no difference seen"
    CANT_TELL = "can't tell yet"
    WORSE = "made it worse"


class Touched(StrEnum):
    """What a change touches. Only the first is judged; the others are taken out of the comparison."""

    HEAT_LOSS = "heat_loss"
    THERMOMETER = "thermometer"
    LEVER = "lever"
    GASKET = "gasket"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeAnswer:
    """One dated change, before and after.

    ``heat_loss_change_pct`` is negative when the cabin loses less. It, ``chance_helped``, ``verdict`` and the
    wood are None for a change that touches something else; then ``effect`` has what that did: K shown
    on the thermometer, or per cent of the air that goes in. ``more_nights`` is 0 once there is a verdict; at
    ``MOST_NIGHTS`` of the verdict's module it means that many or more. ``together_with`` names changes that
    came between the same two stays and cannot be told apart from it; ``taken_out`` those that would have
    spoilt the comparison. ``stay_left_out``: it was made in the middle of a stay, which says nothing then.
    """

    name: str
    since: datetime
    touched: Touched
    nights_before: int
    nights_after: int
    heat_loss_change_pct: Range | None = None
    chance_helped: float | None = None
    verdict: Verdict | None = None
    more_nights: int | None = None
    wood_saved_kg: Range | None = None
    """In a usual weekend of 48 h at ``weekend_k`` K above outdoors, kg as weighed; below 0 is more wood."""
    weekend_k: float | None = None
    effect: Range | None = None
    together_with: tuple[str, ...] = ()
    taken_out: tuple[str, ...] = ()
    stay_left_out: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareAnswer:
    """All changes asked about, oldest first; ``seconds`` is how long it took."""

    changes: tuple[ChangeAnswer, ...]
    seconds: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfAnswer:
    """A cabin as it is and as it would be.

    ``now`` is what was learned (or the description alone), ``then`` the same with the works done; losses W/K,
    times h, wood kg as weighed in one weekend of ``weekend_h`` at ``indoor_c`` inside. ``learned_share``: how
    much narrower the loss now is known than from the description alone, 0–1. Hours to freezing are None
    where it never freezes.
    """

    steps: tuple[str, ...]
    heat_loss_now: Range
    heat_loss_then: Range
    heat_loss_change_pct: Range
    described_now_w_per_k: float
    described_then_w_per_k: float
    learned_share: float
    outdoor_c: float
    freezing_now_h: Range | None
    freezing_then_h: Range | None
    weekend_h: float
    indoor_c: float
    weekend_outdoor_c: float
    outdoor_from: str
    degree_hours: float
    wood_now_kg: Range
    wood_then_kg: Range
    wood_saved_kg: Range
    full_load_kg: tuple[float, float]
    full_load_holds_now_h: Range
    full_load_holds_then_h: Range
    season: Season | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """A heating season from twelve monthly means: months that need a fire, those colder than
    ``fires_below_c``, degree-hours, wood for every second weekend, kg."""

    months: int
    fires_below_c: float
    degree_hours: float
    weekends: int
    wood_now_kg: Range
    wood_then_kg: Range


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftAnswer:
    """Whether the last nights keep missing on one side.

    ``direction``: "colder", "warmer" or None; ``nights`` how many nights the run of misses has; ``miss_k``
    how far they came out from the nights before, K, each against its own forecast;
    ``tested`` how many nights were looked at.
    """

    direction: str | None
    nights: int
    miss_k: float | None
    since: datetime | None
    score: float
    tested: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialAnswer:
    """Nights one way against nights the other, told apart by a word in their notes.

    ``difference_k``: seen at waking with the word less without, load and weather taken out by the forecasts.
    ``night_sd_k``: how far one night alone is off. ``nights_each_way`` is what a difference of ``seek_k``
    takes, at most 200: that means so many or more; ``more_nights`` what is still missing in all.
    """

    word: str
    seek_k: float
    nights_with: int
    nights_without: int
    night_sd_k: float
    sd_is_assumed: bool
    difference_k: Range | None
    chance_warmer: float | None
    verdict: str
    nights_each_way: int
    more_nights: int
