"""Frozen answers about damp: humidity by place, surfaces, what was seen, the stay's water, airing; in SI."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from logbook.matters import Sight
from logbook.results.night import Range


class SurfaceState(StrEnum):
    """What the room's air does on a surface."""

    DRY = "dry"
    NEAR = "near"
    """Within 2 K of the dew point: a cold corner is there already."""
    WET = "wet"
    FROST = "frost"


class OutdoorFrom(StrEnum):
    """Where the temperature outside is from."""

    ASKED = "asked"
    READ = "read"
    TYPED = "typed"


@dataclass(frozen=True, slots=True, kw_only=True)
class HumidityRow:
    """Humidity read at a place, with the temperature there; the dew point is a frost point below 0 °C."""

    place: str
    at: datetime
    temperature_c: float
    rh_pct: float
    dew_point_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceRow:
    """A surface's likely temperature on its inner face, in the open and behind furniture, °C.

    ``wet_from_rh_pct`` is the room humidity from which its open face wets or frosts; 100 at most. ``state``
    is None while no humidity is known. ``assumed`` when its insulation was not described.
    """

    kind: str
    faces: str
    u_w_per_m2k: float
    assumed: bool
    inside_c: float
    behind_c: float | None
    wet_from_rh_pct: float
    state: SurfaceState | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenRow:
    """A sight of damp at a place that was not said to be gone: since when, last, how often."""

    sight: Sight
    place: str
    since: datetime
    last: datetime
    times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StayWater:
    """Water given to the cabin by the people of a stay, the one going on or the last one, kg."""

    person_days: float
    kg: Range
    going_on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Airing:
    """Airing on leaving: air changes until nothing wets when all has cooled to ``cooled_c``; minutes.

    ``reachable`` false: the air outside is too moist for that; then it is until the room is nearly as dry
    as outside. ``in_air_kg`` is the water the room's air holds now, ``minutes`` (how opened, least, most).
    """

    cooled_c: float
    outdoor_c: float
    reachable: bool
    air_changes: float
    in_air_kg: float
    minutes: tuple[tuple[str, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DampAnswer:
    """Damp as of a time. Temperatures are None where nobody read them; no airing without room or humidity.

    ``rh_pct`` is the main room's humidity that the surfaces and the airing go by.
    """

    as_of: datetime
    inside_c: float | None
    outdoor_c: float | None
    outdoor_from: OutdoorFrom | None
    rh_pct: float | None
    dew_point_c: float | None
    readings: tuple[HumidityRow, ...]
    surfaces: tuple[SurfaceRow, ...]
    seen: tuple[SeenRow, ...]
    water: StayWater | None
    airing: Airing | None
    described: bool
