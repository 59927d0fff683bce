"""What the log holds, as frozen records: times aware and in UTC, quantities in SI, °C and kg.

A typed line, a CSV row and a step of a plan are the same thing: an ``Entry``. What the log keeps is
an ``Event``: an entry with who wrote it, when, how, as typed, and what it replaces.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from datetime import date, datetime, time
from enum import StrEnum
from operator import attrgetter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from logbook.matters import Matter


class Window(StrEnum):
    """How a window stands."""

    SHUT = "shut"
    CRACKED = "cracked"
    OPEN = "open"


class Coals(StrEnum):
    """What is left glowing, in the owner's words."""

    NONE = "none"
    FEW = "few"
    GOOD = "good"


class Wind(StrEnum):
    """Wind as felt at the door."""

    CALM = "calm"
    BREEZE = "breeze"
    STRONG = "strong"


class Mark(StrEnum):
    """Moments of a stay."""

    ARRIVED = "arrived"
    BED = "bed"
    WOKE = "woke"
    LEFT = "left"


class Basis(StrEnum):
    """What wood moisture is a percentage of: the wet wood or the dry wood."""

    WET = "wet"
    DRY = "dry"


MOST_MOISTURE_PCT = {Basis.WET: 67.0, Basis.DRY: 200.0}
"""Wood moisture accepted, per cent; the same wood on both bases. ASSUMED: the greenest wood is near 150 % of
its dry mass (buckeye 143 % in a US forest inventory's table, as reported); beyond, it is a slip of the pen or
of the basis."""


class How(StrEnum):
    """How an event came into the log."""

    TYPED = "typed"
    IMPORTED = "imported"
    PAPER = "paper"
    LOGGER = "logger"


class Act(StrEnum):
    """What an event does to the log."""

    RECORD = "record"
    """Something new: an entry."""
    EDIT = "edit"
    """An entry in place of the one it supersedes."""
    REMOVE = "remove"
    """No entry any more in place of the one it supersedes."""
    UNDO = "undo"
    """Takes back a whole batch; ``supersedes`` names the batch."""
    REDO = "redo"
    """Brings a batch back that was taken back; ``supersedes`` names the batch."""
    DESCRIBE = "describe"
    """A version of the description."""
    SETTING = "setting"
    """Something to remember, such as which way the owner's air lever reads."""


class Flag(StrEnum):
    """Something to know about an entry that was kept all the same."""

    OVER_LIMIT = "over_limit"
    """The load is above the stove's limit; it happened."""
    ODD_VALUE = "odd_value"
    """A value far from the owner's usual ones, kept as written."""
    LOGGER = "logger"
    """Written down by a logging thermometer, not by a person: alone it never opens a stay."""


MAIN_PLACE = ""
"""The main thermometer; any other place has a name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What one line says, at one time. Everything but the time may be missing.

    ``air_open_pct`` is always per cent open, whatever the lever reads. ``load_kg`` is as weighed
    (or counted pieces turned into mass). ``kindling`` marks small stuff lit for a cold start.
    ``matter`` is what the line says besides the night: ash, upkeep, wood in the shed, supplies, lists.
    """

    at: datetime
    indoor_c: float | None = None
    place: str = MAIN_PLACE
    outdoor_c: float | None = None
    low_c: float | None = None
    high_c: float | None = None
    reset_at: datetime | None = None
    load_kg: float | None = None
    pieces: str | None = None
    species: str | None = None
    moisture_pct: float | None = None
    moisture_basis: Basis | None = None
    kindling: bool = False
    air_open_pct: float | None = None
    flue_damper_open_pct: float | None = None
    window: Window | None = None
    coals: Coals | None = None
    other_heat_w: float | None = None
    rh_pct: float | None = None
    wind: Wind | None = None
    forecast_low_c: float | None = None
    mark: Mark | None = None
    fire_out: bool = False
    alarms_tested: bool = False
    change: str | None = None
    note: str | None = None
    matter: Matter | None = None
    flags: frozenset[Flag] = frozenset()

    @property
    def is_matter_alone(self) -> bool:
        """Whether it says nothing of the night: such an entry may well be written at home."""
        if self.matter is None:
            return False
        return bool(_of_the_night(self) == _NOTHING_OF_THE_NIGHT)

    @property
    def is_change_alone(self) -> bool:
        """Whether it says no more than that something was changed: a date set down, often at home."""
        if self.change is None:
            return False
        return bool(_of_the_night(replace(self, change=None)) == _NOTHING_OF_THE_NIGHT)


_of_the_night = attrgetter(
    *(part.name for part in fields(Entry) if part.name not in ("at", "note", "matter", "flags"))
)
_NOTHING_OF_THE_NIGHT = _of_the_night(Entry(at=datetime.min))  # noqa: DTZ901 - its time is not looked at


@dataclass(frozen=True, slots=True)
class Typed:
    """A value as it was typed: the field it became, the text, and the unit the text was in."""

    name: str
    text: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing the log was told. Never changed: editing, deleting and undoing are further events.

    ``entry`` is None when this event only takes back the one it ``supersedes``.
    The order of events is (device, counter) within a device, never the clock. A new counter is above
    every counter in the log, other devices' too, so (counter, device, uuid) puts what was known first first.
    Events written by one act (a line, an import) share their ``batch``.
    """

    uuid: str
    device: str
    counter: int
    at_typed: str
    zone: str
    written_at: datetime
    how: How
    batch: str
    supersedes: str | None
    entry: Entry | None
    typed: tuple[Typed, ...] = ()
    line: str = ""
    act: Act = Act.RECORD


@dataclass(frozen=True, slots=True, kw_only=True)
class NewEvent:
    """An entry about to be written; the log adds who, in what order, and when.

    ``at_typed`` is the local time as written ("23:10", "" for now), ``zone`` the zone it was meant in,
    ``line`` the whole line as typed.
    """

    entry: Entry
    at_typed: str = ""
    zone: str = "UTC"
    how: How = How.TYPED
    typed: tuple[Typed, ...] = ()
    line: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of a surface, from outside to inside."""

    material: str
    thickness_mm: float
    conductivity_w_per_mk: float
    density_kg_per_m3: float
    specific_heat_j_per_kgk: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """A piece of the cabin's envelope. One of u_w_per_m2k, layers or glazing says how well it insulates."""

    kind: str
    area_m2: float
    u_w_per_m2k: float | None = None
    layers: tuple[Layer, ...] = ()
    glazing: str | None = None
    faces: str | None = None
    over: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where the cabin stands. ``timezone_assumed`` is true when the machine's zone was taken."""

    name: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    timezone: str = "UTC"
    timezone_assumed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cabin:
    """The heated room."""

    floor_m2: float
    volume_m3: float
    leakiness: str | None = None
    water: str = "none"
    surfaces: tuple[Surface, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stove:
    """The stove as its owner knows it. ``clean_floor_assumed`` is said with every advice."""

    max_load_kg: float
    body_kg: float | None = None
    firebox_l: float | None = None
    air_lever_reads: str = "open"
    clean_floor_open_pct: float = 30.0
    clean_floor_assumed: bool = True
    open_minutes: float = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodPile:
    """The wood usually burned, and what one piece of each size weighs, kg."""

    species: str = "mixed"
    moisture_pct: float = 18.0
    moisture_basis: Basis = Basis.WET
    moisture_assumed: bool = True
    pieces_kg: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Comfort:
    """The wanted band and the night it is wanted in (local clock times)."""

    band_c: tuple[float, float] = (16.0, 22.0)
    bed: time = time(22, 30)
    wake: time = time(6, 30)
    people: int = 2
    gets_up: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarms:
    """Replace-by dates printed on the alarms."""

    smoke_expires: date | None = None
    co_expires: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnUnits:
    """The owner's units: temperature "C" or "F", mass "kg" or "lb"."""

    temperature: str = "C"
    mass: str = "kg"


@dataclass(frozen=True, slots=True, kw_only=True)
class Description:
    """The cabin, the stove and the wishes, as described by the owner from a date on."""

    cabin: Cabin
    stove: Stove
    site: Site = field(default_factory=Site)
    wood: WoodPile = field(default_factory=WoodPile)
    comfort: Comfort = field(default_factory=Comfort)
    alarms: Alarms = field(default_factory=Alarms)
    units: OwnUnits = field(default_factory=OwnUnits)


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedDescription:
    """A description and the time from which it holds (None: always)."""

    uuid: str
    valid_from: datetime | None
    description: Description
