"""Frozen answers: what the program tells, in SI, before any wording."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from logbook.records import Window


@dataclass(frozen=True, slots=True)
class Range:
    """A 90 % range and its middle."""

    p05: float
    p50: float
    p95: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FitAnswer:
    """What was learned of cabin and stove.

    A range is None where it cannot be told; the reason stands in ``cannot_tell``.
    """

    heat_loss_w_per_k: Range | None
    time_constant_h: Range | None
    heat_capacity_mj_per_k: Range | None
    stove_efficiency: Range | None
    readings: int
    stays: int
    effective_draws: float
    seconds: float
    from_description_only: bool
    cannot_tell: tuple[tuple[str, str], ...] = ()
    aside: tuple[datetime, ...] = ()
    """When the stays began that fit neither the others nor the description: nothing was learned from them."""
    twice: tuple[datetime, ...] = ()
    """The same of stays that stand in the log twice."""
    copied: tuple[datetime, ...] = ()
    """When the stays began of which rows stood there twice at the same time, and were read once."""
    doubt: float = 1.0
    """By how much the errors of the readings were too small, as a variance; ranges are wider by its root."""

    @property
    def set_aside(self) -> int:
        """How many stays were not learned from."""
        return len(self.aside) + len(self.twice)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedLoad:
    """One load of a choice."""

    at: datetime
    kg: float
    kg_dry: float
    pieces: str
    air_open_pct: float
    open_minutes: float
    kindling: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One thing that could be done tonight, and what would come of it.

    Span for min, max, chance and degree hours: one hour after bed to waking. ``hours`` and the three
    series have the same length and start at the time of asking.
    """

    loads: tuple[PlannedLoad, ...]
    air_open_pct: float
    window: Window
    indoor_min_c: Range
    indoor_max_c: Range
    indoor_at_wake_c: Range
    chance_in_band: float
    degree_hours_outside: float
    wood_kg: float
    hours: tuple[datetime, ...]
    indoor_p05_c: tuple[float, ...]
    indoor_p50_c: tuple[float, ...]
    indoor_p95_c: tuple[float, ...]
    untried: bool
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TonightAnswer:
    """Ranked choices for one night; the first is the recommended one."""

    as_of: datetime
    bed: datetime
    wake: datetime
    band_c: tuple[float, float]
    choices: tuple[Choice, ...]
    advice: str
    cautions: tuple[str, ...]
    assumed: tuple[str, ...] = ()
    before_advice: int = 0
    """So many of the cautions, from the first, stand before the advice: an alarm untested or expired."""
    wood_burns: bool = False
    """Wood burns in the stove already: a choice without a load is no more wood, not no fire."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NightScore:
    """One past night: what was said from earlier records only, and what happened."""

    bed: datetime
    wake: datetime
    predicted_at_wake_c: Range
    observed_at_wake_c: float | None
    inside_90: bool | None
    wood_kg: float
    air_open_pct: float | None
    marks_inferred: bool = False
    recomputed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NightsAnswer:
    """The track record."""

    nights: tuple[NightScore, ...]
    count: int
    inside_90: int
    rmse_c: float | None


class Untried(StrEnum):
    """What of a choice this owner has not done at night with this stove."""

    NO_NIGHTS = "no_nights"
    """Nothing at all: no night is on record yet."""
    FIRST_LOAD = "first_load"
    BIGGER_LOAD = "bigger_load"
    LESS_AIR = "less_air"
    MORE_AIR = "more_air"
    LOAD_IN_THE_NIGHT = "load_in_the_night"
    WINDOW_CRACKED = "window_cracked"
    NO_FIRE = "no_fire"


@dataclass(frozen=True, slots=True, kw_only=True)
class LikeNight:
    """A night lived that is like a choice, and what came of it."""

    bed: datetime
    load_kg: float
    pieces: str
    air_open_pct: float | None
    window: Window
    start_c: float | None
    outdoor_low_c: float | None
    woke_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """What a choice rests on, and what would change its outcome at waking, K (None: not known)."""

    nights: int
    like: tuple[LikeNight, ...]
    colder_outside_k: float | None = None
    window_cracked_k: float | None = None
    more_wood_k: float | None = None
    more_wood_pieces: str = ""
    more_wood_kg: float = 0.0
    untried: tuple[Untried, ...] = ()
