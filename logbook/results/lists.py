"""Frozen answers about the five lists: packing, arriving, leaving, spring, autumn.

Texts of shipped lines hold ``{alarms}``, ``{ash}``, ``{filled}``, ``{bucket}``, ``{nest}`` until
``wording.lists`` fills them in, in the owner's units. An owner's own text is never filled in.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

CO_ALARM_C = (4.0, 38.0)
"""Room temperatures CO alarms are commonly rated for, °C. As reported; the leaflet of the alarm decides."""


class ListName(StrEnum):
    """The five lists. Never change a word: logs hold them."""

    PACKING = "packing"
    ARRIVING = "arriving"
    LEAVING = "leaving"
    SPRING = "spring"
    AUTUMN = "autumn"


class Condition(StrEnum):
    """What a line may depend on. Never change a word: logs hold them."""

    FROST = "frost"
    """Below freezing outside, now or in the nights ahead."""
    FROST_INSIDE = "frost inside"
    COLD_ROOM = "cold room"
    """Too cold inside for a CO alarm to be within its rating, or not read."""
    DROPPINGS = "droppings"
    AWAY = "away"
    """More than a month since the last stay."""
    FIRST_STAY = "first stay"
    """The first stay since the season turned."""
    GUESTS = "guests"
    PIPES = "pipes"
    """There are pipes or a tank, full or drained."""
    WATER = "water"
    """There is water in the pipes."""
    NEST = "nest"
    """Seen in or on the cap and not cleared since."""
    COALS = "coals"
    """Wood or coals may still be in the stove."""
    ASH = "ash"
    """Ash stands in the bucket."""
    ASH_WAITS = "ash waits"
    """It does, and not for four days yet."""
    FIRE_PLANNED = "fire planned"
    COLD_STOVE = "cold stove"


class WhyKind(StrEnum):
    """Why a line stands in the list, or where it does."""

    CONDITION = "condition"
    RETURNED = "returned"
    """Skipped on leaving last time."""
    TO_BRING = "to bring"
    """On the bring list."""
    WAITS = "waits"
    """Set later than its owner did: ``what`` comes before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """One reason. ``what`` is the condition's name, or the line it waits for; ``at`` since when."""

    kind: WhyKind
    what: str = ""
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ListLine:
    """One line of a list in this round.

    ``key`` names a shipped line, "" the owner's own. ``name`` is what a tick of it is kept under.
    ``before`` are the names of lines that come before it for safety's sake. ``why`` is the sentence made of
    ``whys``, "" until worded.
    """

    key: str
    name: str
    text: str
    safety: bool
    source: str = ""
    conditions: tuple[Condition, ...] = ()
    done_at: datetime | None = None
    skipped_at: datetime | None = None
    whys: tuple[Why, ...] = ()
    why: str = ""
    before: tuple[str, ...] = ()

    @property
    def is_open(self) -> bool:
        """Neither done nor skipped."""
        return self.done_at is None and self.skipped_at is None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A shipped line its owner left out. ``applies`` says whether it would stand here now."""

    key: str
    name: str
    text: str
    safety: bool
    applies: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ListAnswer:
    """One list as it stands. ``since`` is when its round began, None: from the first line of the log.

    ``unreadable`` is true where the owner's list could not be read and the shipped one stands in for it.
    Temperatures °C; ``alarms_rated_from_c`` as commonly rated. ``ash_not_before`` is for ash taken out now,
    ``bucket_not_before`` for what stands, ``ash_live_until`` for what was tipped before its time.
    """

    name: ListName
    as_of: datetime
    since: datetime | None
    lines: tuple[ListLine, ...]
    conditions: tuple[Condition, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    unreadable: bool = False
    outdoor_low_c: float | None = None
    alarms_rated_from_c: float = CO_ALARM_C[0]
    last_left: datetime | None = None
    ash_not_before: datetime | None = None
    bucket_filled: datetime | None = None
    bucket_not_before: datetime | None = None
    ash_live_until: datetime | None = None
    nest_seen: datetime | None = None

    @property
    def open_lines(self) -> tuple[ListLine, ...]:
        """What is still to do."""
        return tuple(line for line in self.lines if line.is_open)
