"""Frozen answers about works on the cabin: what they cost, beside what they did; money in the owner's own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from logbook.results.night import Range
from logbook.results.works import ChangeAnswer


class NoPayback(StrEnum):
    """Why nothing is said of when a work has paid for itself."""

    NO_COST = "no cost"
    """Neither money nor hours are written down for it."""
    NOT_HEAT_LOSS = "not heat loss"
    """It touches the thermometer, the lever or the stove: nothing is saved by it that could be reckoned."""
    NOT_JUDGED = "not judged"
    """There are no nights on one side, or it has not been compared yet."""
    NOISE = "noise"
    """The effect is not told apart from noise."""
    WORSE = "worse"
    TOGETHER = "together"
    """Others came between the same two stays: whose saving it is can't be told."""
    SHORT_LOG = "short log"
    """Less than a year on record: how many weekends a year has is not known."""
    NO_PRICE = "no price"
    """No stack with a cost: what a kg of wood is worth is not known."""
    MAY_BE_NOTHING = "may be nothing"
    """The low end of the wood saved is nothing: the range of years has no end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlay:
    """Money and hours written for a work, every line of it summed; None where none says it."""

    name: str
    money: float | None = None
    hours: float | None = None
    surface: str = ""
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodPrice:
    """What a kg of wood, as weighed, cost by the owner's own stacks, in money and in hours of work."""

    money_per_kg: float | None = None
    hours_per_kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Payback:
    """When a work has paid for itself, years; ``cannot_tell`` says why neither figure is given.

    ``years`` is money for money, ``years_by_hours`` hours of work for hours of cutting.
    ``weekends_per_year`` are the nights with a fire in ``whole_years`` of log, two to a weekend.
    """

    years: Range | None = None
    years_by_hours: Range | None = None
    cannot_tell: NoPayback | None = None
    saved_kg_per_year: Range | None = None
    weekends_per_year: float | None = None
    whole_years: int = 0
    price: WoodPrice = WoodPrice()


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkPaid:
    """A dated change with what it cost and what it did.

    ``change`` is None where it was not compared for this answer.
    """

    name: str
    since: datetime
    outlay: Outlay | None
    change: ChangeAnswer | None
    payback: Payback


@dataclass(frozen=True, slots=True, kw_only=True)
class WorksPaid:
    """Dated changes with their costs, oldest first, and costs written for works that have no date."""

    works: tuple[WorkPaid, ...]
    undated: tuple[Outlay, ...] = ()
