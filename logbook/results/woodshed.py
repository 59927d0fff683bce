"""Frozen answers about the wood shed: what is left, how dry it is, how long it lasts, what to cut by when.

In SI, before any wording, like ``results.night``. Masses kg as weighed unless the name says dry; moisture per
cent of the dry wood (``_dry_pct``); money in the owner's own. Times are aware, days local.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from logbook.results.night import Range


class MoistureFrom(StrEnum):
    """What the moisture of a stack rests on."""

    FRESH_FACE = "meter, fresh face"
    OUTSIDE_FACE = "meter, outside face"
    """An outside face, or a face that was not told: the wood inside may be much wetter."""
    SPLIT_DATE = "split date"
    NOTHING = "nothing"


class UseFrom(StrEnum):
    """What the use of wood ahead rests on."""

    OWN_STAYS = "own stays"
    HEAT_LOSS = "heat loss"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """The household unit an amount was written in: its word, and m³ as stacked or kg in one of it."""

    word: str
    m3: float | None = None
    kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A stack counted again: what was counted, what was reckoned just before, m³ as stacked and kg.

    ``more_went_kg`` is what went beyond what was written down, as weighed; below 0 less went. ``agrees`` when
    the count lies within the range reckoned. It is None where nothing was reckoned before.
    """

    at: datetime
    counted_m3: float | None
    counted_kg: Range
    reckoned_m3: Range | None = None
    reckoned_kg: Range | None = None
    more_went_kg: float | None = None
    agrees: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Overdrawn:
    """More was burned than was there at the most: kg written as burned since, and kg that were there."""

    since: datetime
    burned_kg: float
    there_kg: Range


@dataclass(frozen=True, slots=True, kw_only=True)
class Metered:
    """The newest meter readings as written, their basis and face; ``left_out`` of them can't be."""

    at: datetime
    readings_pct: tuple[float, ...]
    basis: str
    fresh_face: bool | None
    left_out: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """When it is dry enough to burn; None at the late end: not within the span looked at, if ever."""

    already: bool
    early: date | None
    about: date | None
    late: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StackLeft:
    """One stack as of the time asked for. Ranges are None where they cannot be told. ``added``: when more
    was put on what was left of it."""

    name: str
    species: str
    species_known: bool
    where: str
    put_up: datetime
    split_on: date | None
    unit: Unit | None
    left_kg: Range | None
    left_kg_dry: Range | None
    left_m3: Range | None
    burned_kg: float
    moisture_dry_pct: Range | None
    moisture_from: MoistureFrom
    metered: Metered | None
    ready: Ready | None
    heat_mj: Range | None
    counted: Counted | None
    overdrawn: Overdrawn | None
    added: datetime | None = None

    @property
    def dry_enough(self) -> bool | None:
        """Whether it is most likely dry enough now; None where nothing is known of its moisture."""
        return None if self.ready is None else self.ready.already


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Wood a night is likely to take, kg as weighed, at the outdoor temperature of the weeks ahead.

    ``weekend_kg`` is one weekend of ``nights_per_weekend``; ``stays`` how many stays it rests on, for
    ``OWN_STAYS``; ``by_heat_loss_kg`` a weekend of 48 h by the fit, where it was asked for.
    """

    rests_on: UseFrom
    stays: int
    outdoor_c: float
    night_kg: Range
    weekend_kg: Range
    nights_per_weekend: float
    by_heat_loss_kg: Range | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThisWinter:
    """Nights still to come before the cold months are over, and the wood they take."""

    until: date
    nights: Range
    weekends: Range
    wood_kg: Range | None
    by_former_winters: int
    """Winters on record the nights were taken from; 0: from this winter's own pace."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextWinter:
    """What to have split for the next cold months, and by when.

    ``split_before`` is for the usual pace of drying, ``split_safely_before`` for the slow end; a day that is
    past by then stands as it is. ``usual_kg`` a season's wood, from ``winters`` whole ones on record (0: from
    this one so far and what it still takes).
    """

    starts: date
    usual_kg: Range
    winters: int
    left_then_kg: Range
    to_cut_kg: Range
    to_cut_m3: Range | None
    species: str
    unit: Unit | None
    split_before: date | None
    split_safely_before: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What the wood on record cost, where it was written: per kg as weighed and per m³ as stacked."""

    money_per_kg: float | None
    money_per_m3: float | None
    hours_per_kg: float | None
    hours_per_m3: float | None
    stacks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShedAir:
    """The outdoor air the wood dries in, January first: °C and the moisture wood settles at, % dry basis.

    ``months_read`` says for how many months the temperature is the owner's own.
    """

    temperature_c: tuple[float, ...]
    settles_at_dry_pct: tuple[float, ...]
    months_read: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplaced:
    """Wood burned since the first stack was put up that belongs to none of them, kg, by kind."""

    species: str
    kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodAnswer:
    """The wood shed.

    ``dry_enough_kg``, ``untold_kg`` (of a moisture nobody knows) and ``wet_kg`` make up ``left_kg``; the
    first two are what can be counted on, ``burnable_kg``, and what ``nights_left`` rests on.
    """

    as_of: datetime
    stacks: tuple[StackLeft, ...]
    left_kg: Range | None
    dry_enough_kg: Range | None
    untold_kg: Range | None
    wet_kg: Range | None
    burnable_kg: Range | None
    use: Use | None
    nights_left: Range | None
    weekends_left: Range | None
    this_winter: ThisWinter | None
    next_winter: NextWinter | None
    cost: Cost | None
    unplaced: tuple[Unplaced, ...]
    settles_now_dry_pct: Range
    air: ShedAir
    assumed: tuple[str, ...] = ()
