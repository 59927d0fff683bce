"""Frozen answers about upkeep and its record; dates are the site's, masses kg."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from logbook.results.ash import AshClock


class DueState(StrEnum):
    """How a task stands."""

    NOW = "now"
    """Something seen, felt or missed calls for it at once."""
    DUE = "due"
    """An interval is over, or a printed date."""
    NEXT_STAY = "next stay"
    """An interval will be over by the end of the next stay, going by usual ones."""
    NOT_RECORDED = "not recorded"
    """Never in the log: nobody knows, so it is neither due nor done."""
    LATER = "later"
    NO_INTERVAL = "no interval"
    """Done once, of the owner's own, without a rule."""
    SILENCED = "silenced"
    """The owner does not want to be asked."""


class Decides(StrEnum):
    """Which of its rules comes first."""

    DATE = "date"
    MASS = "mass burned"
    BURN_DAYS = "burn-days"
    PRINTED = "printed date"
    SEEN = "seen"
    DEPOSIT = "deposit"
    STAY = "stay"


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """How often, whichever comes first; None where a rule lacks it. ``months`` are calendar months."""

    months: int | None = None
    days: float | None = None
    kg: float | None = None
    burn_days: float | None = None
    source: str = ""

    @property
    def is_none(self) -> bool:
        """Whether it asks for nothing."""
        return self.months is None and self.days is None and self.kg is None and self.burn_days is None


@dataclass(frozen=True, slots=True, kw_only=True)
class LastDone:
    """When a task was last done, and what was found and said; ``until`` as printed on a new part."""

    on: date
    at: datetime
    only_looked: bool = False
    finding: str = ""
    deposit_mm: float | None = None
    by: str = ""
    photos: tuple[str, ...] = ()
    until: date | None = None


class CallKind(StrEnum):
    """Why a task is due at once."""

    SEEN = "seen"
    CHIMNEY_FIRE = "chimney fire"
    DEPOSIT = "deposit"
    UNTESTED = "not tested in this stay"
    TESTED_COLD = "tested too cold"


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """Something that makes a task due at once: what, where, when; ``deposit_mm`` left in the flue."""

    kind: CallKind
    on: date
    what: str = ""
    where: str = ""
    deposit_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DueItem:
    """One task. ``due_on`` is the day its date rule or its printed date falls on; ``expected_on`` the day
    whichever rule comes first will be met, going by usual stays, and ``decides`` which one that is.

    ``kg_since`` (as weighed) and ``burn_days_since`` count from the last time done, or from the beginning of
    the log when it never was; ``log_longer`` then says that the log is longer than the interval.
    ``usual`` is the shipped interval where the owner has their own. ``called_for`` is what makes it due at
    once, ``also_due`` the rule that is over besides. ``how`` says what to look for and how to write it,
    ``gathered_mm`` the deposit of the last sweep where it had passed the level at which one is asked for.
    ``sentence`` is filled in by whoever words it.
    """

    task: str
    title: str
    safety: bool
    state: DueState
    interval: Interval
    decides: Decides | None = None
    due_on: date | None = None
    expected_on: date | None = None
    kg_since: float = 0.0
    kg_left: float | None = None
    burn_days_since: int = 0
    burn_days_left: float | None = None
    last: LastDone | None = None
    log_longer: bool = False
    usual: Interval | None = None
    called_for: tuple[Call, ...] = ()
    also_due: Decides | None = None
    how: str = ""
    gathered_mm: float | None = None
    silenced_on: date | None = None
    sentence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualStay:
    """What a stay usually takes, by the last ones: middle values. ``gap_days`` from start to start.

    ``next_on``, ``next_ends`` are when the next one is to be expected.
    """

    stays: int
    kg: float
    burn_days: float
    gap_days: float
    next_on: date
    next_ends: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """Upkeep written down for a time to come: it does not count yet."""

    task: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class DueAnswer:
    """All tasks, the most urgent first, with the ash and what was written ahead."""

    as_of: datetime
    items: tuple[DueItem, ...]
    ash: AshClock | None = None
    usual: UsualStay | None = None
    ahead: tuple[Ahead, ...] = ()
    log_began: date | None = None
    ash_sentence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordRow:
    """One line of the upkeep record. ``kind`` is "done", "looked", "tested", "seen", or "gone" of a sight.

    ``kg_before`` is the wood laid in since the same task was last done, kg as weighed, or None.
    ``written_on`` is when it was written down, where that was days later.
    """

    at: datetime
    on: date
    kind: str
    task: str
    what: str
    finding: str = ""
    deposit_mm: float | None = None
    by: str = ""
    photos: tuple[str, ...] = ()
    until: date | None = None
    kg_before: float | None = None
    written_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordAnswer:
    """The dated record of upkeep, oldest first, for an insurer or a buyer.

    ``log_began`` is when its first entry was written; ``oldest_entry`` the earliest day one is about.
    """

    as_of: datetime
    place: str
    rows: tuple[RecordRow, ...]
    log_began: date | None = None
    stays: int = 0
    wood_kg: float = 0.0
    ahead: tuple[Ahead, ...] = ()
    oldest_entry: date | None = None
