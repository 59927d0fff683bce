"""What a sheet for printing is made from, before it is words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time

from logbook.records import OwnUnits


@dataclass(frozen=True, slots=True, kw_only=True)
class GuestCard:
    """What a guest who has never seen this stove must know; air per cent open, masses kg, times local.

    ``usual_air_pct`` and ``usual_minutes`` are the owner's habit of turning down after a load, the clean
    floor and the wide-open time where there is none yet. ``usual_load_kg`` is the middle of those recorded,
    None where that is above the limit. ``emergency`` are the owner's own lines, as written; ``cautions`` the
    standing safety lines; ``wrong_now`` what is wrong on the day: a nest, an alarm past its date.
    """

    place: str
    written_on: date
    units: OwnUnits
    lever_reads: str
    max_load_kg: float
    usual_load_kg: float | None
    pieces_kg: tuple[tuple[str, float], ...]
    clean_floor_pct: float
    clean_floor_assumed: bool
    open_minutes: float
    usual_air_pct: float
    usual_minutes: float
    cold_minutes: float
    bed: time
    emergency: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    wrong_now: tuple[str, ...] = ()
