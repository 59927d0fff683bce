"""Frozen answers about supplies: how much there is, how much is used, what to bring. L, kg, %, or pieces."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from logbook.results.night import Range


class BringFrom(StrEnum):
    """Why something is on the list of what to bring."""

    OWN_USE = "your own use"
    PLANNING = "planning figure"
    HEAT_LOSS = "heat loss"
    LEFT_NOTE = "left note"
    """Written down in the last stay or on getting home from it."""
    LIST = "list"
    UPKEEP = "upkeep"


class LowFrom(StrEnum):
    """Where the outdoor temperature of the nights ahead is from."""

    ASKED = "asked"
    TYPED = "typed"
    CALENDAR = "calendar"


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyUse:
    """What is known of one supply. Amounts in ``unit``: L or kg where it is a volume or a mass.

    ``per_person_day`` is the 90 % range of the next stay's use; None while nothing tells it. ``intervals``
    are the stretches between two levels it was learned from, over ``person_days``. ``planning`` is the
    published figure that came in, if one did. ``last`` is the newest level, ``there`` what is expected to be
    there now; None when no level was ever written. ``odd`` counts stretches left out: more there than can
    be, or amounts that don't compare; ``lost`` is what went while nobody was there.
    """

    item: str
    unit: str
    shown_unit: str
    per_person_day: Range | None
    intervals: int
    person_days: float
    planning: Range | None
    last: float | None
    last_at: datetime | None
    there: float | None
    odd: int = 0
    lost: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BringItem:
    """One thing to bring. ``amount`` is None where it cannot be said or needs none ("mouse traps").

    ``need`` is the 90 % range of what the stay takes; ``there`` what is up there; ``noted_at`` when it was
    written down. ``survival_l`` is the planning figure for survival over the stay, given for water, and
    ``raised`` says that the amount was raised to it. ``own_use`` is the learned supply behind it.
    ``also_noted`` when it stands on the owner's list besides. ``stays`` are the
    own ones that wood rests on.
    """

    item: str
    amount: float | None
    unit: str
    shown_unit: str
    source: BringFrom
    need: Range | None = None
    there: float | None = None
    noted_at: datetime | None = None
    also_noted: datetime | None = None
    survival_l: float | None = None
    raised: bool = False
    own_use: SupplyUse | None = None
    stays: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BringAnswer:
    """What to bring for so many people and nights; ``items`` the ones that need carrying first.

    ``enough`` is what needs no carrying; ``wood`` is what the stay is expected to burn, kg as weighed, never
    left out. ``left_undone`` are lines of the last leaving list that were left for this time.
    """

    as_of: datetime
    people: float
    people_assumed: bool
    nights: int
    nights_assumed: bool
    night_low_c: float
    low_from: LowFrom
    items: tuple[BringItem, ...]
    enough: tuple[BringItem, ...]
    wood: BringItem | None
    wood_by_heat_loss: Range | None
    uses: tuple[SupplyUse, ...]
    left_undone: tuple[tuple[datetime, str], ...]
    wood_pieces: tuple[str, float, float] | None = None
    """Size of piece, and how many of it the expected wood is: middle and safe side."""
