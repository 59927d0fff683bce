"""Frozen answers about coming, going, waking in the night, and what to write down next; in SI."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from logbook.results.damp import Airing
from logbook.results.night import Choice, PlannedLoad, Range


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """When something is reached, in hours from the time of asking.

    Percentiles beyond the horizon stand at the horizon, and ``more_than_h`` says so: a figure equal to it
    means "more than". ``hours`` is None when even the early end lies beyond.
    ``line_c`` is the temperature that is waited for (None where it differs from draw to draw).
    """

    name: str
    hours: Range | None
    more_than_h: float | None = None
    line_c: float | None = None


class NoWood(StrEnum):
    """Why a way of warming up has no load in it."""

    NOT_NEEDED = "not needed"
    """The room is in its band, or gets there soon, and keeps it while somebody is up."""
    FULL = "full"
    """No load fits beside what still lies in the stove."""
    TOO_HOT = "too hot"
    """Every load that fits might take the room past what a sleeping room may have."""
    NEST = "nest"
    """A nest is in the cap of the flue: no fire while it is in there."""
    NO_GAIN = "no gain"
    """No load that was tried brings the room nearer to its band."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ArriveAnswer:
    """Warm-up in stages, with the loads that get there. ``inside_c`` is what was started from.

    ``no_wood`` says why there are no loads, None where there are.
    """

    as_of: datetime
    inside_c: float
    outdoor_c: float
    band_c: tuple[float, float]
    loads: tuple[PlannedLoad, ...]
    stages: tuple[Reached, ...]
    peak_c: Range
    checklist: tuple[str, ...]
    cautions: tuple[str, ...]
    assumed: tuple[str, ...]
    dew_point_c: Range
    no_wood: NoWood | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveAnswer:
    """How long the room keeps above lines with no more wood. ``outdoor_low_c`` is the coldest expected.

    ``airing`` is what is left to air, None where nothing is or the humidity is not known.
    """

    as_of: datetime
    inside_c: float
    outdoor_low_c: float
    lines: tuple[Reached, ...]
    fire: str
    ash_not_before: datetime
    checklist: tuple[str, ...]
    cautions: tuple[str, ...]
    assumed: tuple[str, ...]
    airing: Airing | None = None


class Awake(StrEnum):
    """What can be done on waking in the night."""

    LET = "let it burn"
    WINDOW = "window"
    RELOAD = "reload"


@dataclass(frozen=True, slots=True, kw_only=True)
class AwakeChoice:
    """One of them and what it gives by morning."""

    kind: Awake
    choice: Choice


@dataclass(frozen=True, slots=True, kw_only=True)
class WokeAnswer:
    """What can be done now, the one that keeps best within the band first."""

    as_of: datetime
    wake: datetime
    band_c: tuple[float, float]
    inside_c: Range
    choices: tuple[AwakeChoice, ...]
    cautions: tuple[str, ...]
    assumed: tuple[str, ...] = ()


class Note(StrEnum):
    """Something that could be written down."""

    OUTDOOR_AT_BED = "outdoor_at_bed"
    LOAD_MASS = "load_mass"
    READING_AT_2 = "reading_at_2"
    COALS_AT_WAKING = "coals_at_waking"
    NIGHT_WITHOUT_FIRE = "night_without_fire"
    HEATER_EVENING = "heater_evening"


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowing:
    """What one observation is expected to do to the range of the waking temperature.

    ``narrower`` is the share by which its spread shrinks, 0–1; ``width_k`` the width of the 90 % range
    left on average, K.
    """

    note: Note
    narrower: float
    width_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteDownNext:
    """What would narrow tonight's range, and that of nights like this one, best first.

    ``tonight`` and ``next_nights`` hold every candidate; the ``best`` ones are None where nothing gains
    enough to be worth saying. Widths are of the 90 % range at waking, K, as they stand.
    """

    tonight_width_k: float
    next_width_k: float
    tonight: tuple[Narrowing, ...]
    next_nights: tuple[Narrowing, ...]
    best_tonight: Note | None = None
    best_next: Note | None = None
    skipped: tuple[Note, ...] = field(default=())
