"""What the log holds besides the night: ash, upkeep, wood, supplies, lists, works, damp, weather.

An ``Entry`` carries at most one matter. Each is a frozen record of its own; the log keeps it as JSON under
the name in ``KINDS``. A matter alone neither opens nor ends a stay: much of it is written at home.
Masses kg, volumes m³ as stacked, lengths mm, moisture per cent with its basis said; money in the owner's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from logbook.records import Basis


class AshAct(StrEnum):
    """What was done with ash."""

    TAKEN_OUT = "taken out"
    """From the stove into the bucket: the clock starts."""
    TIPPED = "tipped"
    """The bucket was emptied where ash goes: the clock is over."""


class Sky(StrEnum):
    """The sky of a day, as seen or as forecast."""

    CLEAR = "clear"
    BROKEN = "broken"
    OVERCAST = "overcast"
    RAIN = "rain"
    SNOW = "snow"


class Sight(StrEnum):
    """What was seen that calls for something."""

    DROPPINGS = "droppings"
    SWEATING = "sweating"
    FROST = "frost"
    MOULD = "mould"
    LEAK = "leak"
    SPLASH = "splash"
    """Earth splashed up the wall by the roof's water."""
    NEST = "nest"
    """In or on the cap of the flue."""
    GONE = "gone"
    """What stood there before is not there any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ash:
    """Ash moved. ``where`` says where the bucket stands, or where it was tipped."""

    act: AshAct
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Upkeep:
    """A piece of upkeep done or looked at.

    ``task`` is its name in the owner's list ("flue", "door rope", "co alarm"). ``deposit_mm`` is the soot
    found before it was swept. ``until`` is a date printed on the thing itself, such as an alarm's replace-by.
    ``photos`` are paths as given; nothing is copied. ``only_looked`` is true for an inspection after which
    the thing was left as it was.
    """

    task: str
    finding: str = ""
    deposit_mm: float | None = None
    until: date | None = None
    photos: tuple[str, ...] = ()
    by: str = ""
    only_looked: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepRule:
    """The owner's own interval for a task, or a task of their own; whichever comes first counts.

    All None means: not asked for any more. ``source`` says who says so ("manual p. 14").
    """

    task: str
    every_days: float | None = None
    every_kg: float | None = None
    every_burn_days: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """A stack of wood as it was put up, by volume as stacked or by mass.

    ``name`` tells it from others ("birch", "birch north wall"). ``as_said`` is the amount as written
    ("2 boxes"). ``loose`` is true for wood thrown in, not stacked. ``money`` in the owner's own, ``hours`` of
    work.
    """

    name: str
    species: str = ""
    volume_m3: float | None = None
    mass_kg: float | None = None
    as_said: str = ""
    loose: bool = False
    split_on: date | None = None
    where: str = ""
    money: float | None = None
    hours: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StackCount:
    """What is left of a stack, counted again: holds from its own time on, the past stays."""

    name: str
    volume_m3: float | None = None
    mass_kg: float | None = None
    as_said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StackMoisture:
    """Moisture meter readings of a stack, per cent. ``fresh_face``: on a face split just then."""

    name: str
    readings_pct: tuple[float, ...]
    basis: Basis
    fresh_face: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """How much of a supply there is now. ``unit`` is as written: "L", "kg", "%", "" for pieces."""

    item: str
    amount: float
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """A supply carried in."""

    item: str
    amount: float
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bring:
    """Something to bring next time; ``got`` when it is there and off the list."""

    item: str
    amount: float | None = None
    unit: str = ""
    got: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A line of a list, done or left for the next time. ``line`` is its text."""

    list_name: str
    line: str
    done: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class StaySaid:
    """Who is there, what for, and a line for the guest book; each may be empty.

    ``people`` are initials or names as written; ``count`` serves where nobody is named.
    """

    people: tuple[str, ...] = ()
    count: int | None = None
    purpose: str = ""
    guest_book: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Improvement:
    """Money and hours that went into a work on the cabin. ``name`` is the name of its dated change."""

    name: str
    money: float | None = None
    hours: float | None = None
    surface: str = ""
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """Something seen that calls for something, and where."""

    sight: Sight
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayWeather:
    """A day's weather as a forecast told it, or as it was (``seen``). Low and high outside, °C."""

    day: date
    low_c: float
    high_c: float
    wind: str = ""
    sky: Sky | None = None
    seen: bool = False


Matter = (
    Ash
    | Upkeep
    | UpkeepRule
    | Stack
    | StackCount
    | StackMoisture
    | Level
    | Brought
    | Bring
    | Tick
    | StaySaid
    | Improvement
    | Seen
    | DayWeather
)

KINDS: dict[str, type[Matter]] = {
    "ash": Ash,
    "upkeep": Upkeep,
    "upkeep rule": UpkeepRule,
    "stack": Stack,
    "stack count": StackCount,
    "stack moisture": StackMoisture,
    "level": Level,
    "brought": Brought,
    "bring": Bring,
    "tick": Tick,
    "stay": StaySaid,
    "improvement": Improvement,
    "seen": Seen,
    "weather": DayWeather,
}
"""Names under which the log keeps them. Never change one: logs hold them."""

NAME_OF: dict[type[Matter], str] = {kind: name for name, kind in KINDS.items()}


def folded(name: str) -> str:
    """A name, a place or a line as it is compared with others: case and blanks don't matter."""
    return " ".join(name.casefold().split())
