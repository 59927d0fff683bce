"""What the whole year is reckoned from: stays lived, wood burned, matters, the description in force.

Made by ``actions.house`` from the log and handed to the pure parts in ``care``, which know neither file nor
clock. Times aware, masses kg, temperatures °C.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any, TypeVar

from logbook.records import Description, Entry
from logbook.setting import Setting

M = TypeVar("M")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A matter with its time, and the note written beside it."""

    at: datetime
    matter: object
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Burned:
    """One load laid in: kg as weighed and kg of dry wood, its kind of wood as far as known."""

    at: datetime
    kg: float
    kg_dry: float
    species: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StayLived:
    """One stay. ``going_on`` while it lasts; ``people`` as named, ``head_count`` how many there were."""

    start: datetime
    end: datetime
    going_on: bool = False
    people: tuple[str, ...] = ()
    head_count: float = 1.0
    head_count_said: bool = False
    purpose: str = ""
    guest_book: tuple[str, ...] = ()
    nights: tuple[date, ...] = ()
    burned: tuple[Burned, ...] = ()

    @property
    def wood_kg(self) -> float:
        """Wood laid in, kg as weighed."""
        return sum(load.kg for load in self.burned)

    @property
    def days(self) -> float:
        """How long it lasted, days; at least a quarter of one."""
        return max((self.end - self.start) / timedelta(days=1), 0.25)

    @property
    def person_days(self) -> float:
        """People times days."""
        return self.head_count * self.days


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """The log as the whole year sees it, as of a time: nothing later exists.

    ``entries`` by the time meant, all of them; ``told`` the matters among them in the same order; ``stays``
    and ``burned`` oldest first.
    """

    as_of: datetime
    setting: Setting
    description: Description | None
    entries: tuple[Entry, ...] = ()
    told: tuple[Told, ...] = ()
    stays: tuple[StayLived, ...] = ()
    burned: tuple[Burned, ...] = ()
    clock_doubted: bool = False
    """Whether the computer's clock can't be right: no wait is over by it."""
    _by_kind: dict[type, tuple[tuple[datetime, Any], ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )
    """What ``of`` found: asked again and again for the same kinds, and a long log has thousands of each."""

    def of(self, kind: type[M]) -> tuple[tuple[datetime, M], ...]:
        """All matters of one kind with their times, oldest first."""
        if kind not in self._by_kind:
            self._by_kind[kind] = tuple((t.at, t.matter) for t in self.told if isinstance(t.matter, kind))
        return self._by_kind[kind]

    def between(self, first: datetime | None, last: datetime) -> tuple[Entry, ...]:
        """The entries meant for a stretch of time, both ends included; from the beginning without a first."""
        begin = 0 if first is None else bisect_left(self.entries, first, key=_at)
        return self.entries[begin : bisect_right(self.entries, last, key=_at)]

    @property
    def stay(self) -> StayLived | None:
        """The stay going on, if there is one."""
        return self.stays[-1] if self.stays and self.stays[-1].going_on else None

    @property
    def last_left(self) -> datetime | None:
        """When the last stay that is over ended."""
        over = [stay for stay in self.stays if not stay.going_on]
        return over[-1].end if over else None


def _at(entry: Entry) -> datetime:
    return entry.at
