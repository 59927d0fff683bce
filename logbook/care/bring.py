"""What to bring for so many people and nights: supplies by use and level, the owner's list, upkeep due.

Amounts are enough for four stays in five, less what is there; drinking water never below survival.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from statistics import median, median_high

from logbook.care.supplies import WATER_NAMES, WATER_SURVIVAL_L, key_of
from logbook.care.supply_units import in_base
from logbook.house import House, StayLived
from logbook.matters import Bring, Brought, Tick
from logbook.records import Comfort, Entry
from logbook.results.night import Range
from logbook.results.supplies import BringFrom, BringItem, SupplyUse
from logbook.results.upkeep import DueItem, DueState

HALF_A_DAY_MORE = 0.5
"""Days a stay lasts beyond its nights. ASSUMED: from Friday's supper to after Sunday's lunch is less."""

USUAL_NIGHTS = 2
"""Nights of a stay where none is on record. ASSUMED: Friday to Sunday."""

ENOUGH_OF_UPPER_HALF = 0.842 / 1.645
"""Where four stays in five end between the middle and the upper end of a 90 % range, as a power: 80 and 95 %
points of the normal distribution. Four in five ASSUMED: for nine in ten a household that wrote one stay down
would carry twice its use."""

LAST_STAYS = 5
"""How many stays back "as usual" reaches for nights and people. ASSUMED."""

NOTED_AFTER = timedelta(days=3)
"""What is written this long after a stay belongs to its leaving. ASSUMED: on getting home."""

LEAVING = timedelta(hours=24)
"""What is written in a stay's last day belongs to its leaving. ASSUMED."""

CARRIED_FOR = {
    "smoke alarm": "smoke alarm",
    "co alarm": "CO alarm",
    "smoke alarm battery": "battery for the smoke alarm",
    "co alarm battery": "battery for the CO alarm",
}
"""Pieces of upkeep that need something carried there, and what."""

_WANTED = re.compile(r"(?:we )?(?:bring|needs?|buy|out of|low on|no more|short of)\s+(?P<items>\S.*)", re.I)
_BETWEEN = re.compile(r"\s*(?:,|;|\band\b)\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """Who goes and for how long; ``assumed`` where it was not said."""

    people: float
    nights: int
    people_assumed: bool = False
    nights_assumed: bool = False

    @property
    def person_days(self) -> float:
        """People times days, half a day more than the nights."""
        return self.people * (self.nights + HALF_A_DAY_MORE)


def trip_of(house: House, *, people: float | None, nights: int | None) -> Trip:
    """The trip asked about; what was not said is as in the middle of the last stays (of two, the larger
    party), else as described, else a weekend."""
    over = [stay for stay in house.stays if stay.nights][-LAST_STAYS:]
    comfort = house.description.comfort if house.description else Comfort()
    said = [stay.head_count for stay in over if stay.head_count_said]
    usual_nights = round(median([len(stay.nights) for stay in over])) if over else USUAL_NIGHTS
    return Trip(
        people=people if people is not None else (median_high(said) if said else float(comfort.people)),
        nights=nights if nights is not None else usual_nights,
        people_assumed=people is None,
        nights_assumed=nights is None,
    )


def supplies_needed(
    uses: Iterable[SupplyUse], trip: Trip
) -> tuple[tuple[BringItem, ...], tuple[BringItem, ...]]:
    """Supplies to carry, and supplies of which there is enough; those whose use is not known are in neither.

    The amount is enough for four stays in five (of a planning figure: its middle), less what is expected to
    be there. Water in litres is never less than the planning figure for survival.
    """
    carry: list[BringItem] = []
    enough: list[BringItem] = []
    for use in uses:
        survival_l = WATER_SURVIVAL_L * trip.person_days if key_of(use.item) in WATER_NAMES else None
        if use.per_person_day is None and survival_l is None:
            continue
        item = _needed(use, trip, survival_l=survival_l)
        (enough if _is_enough(item, use) else carry).append(item)
    return tuple(carry), tuple(enough)


def _needed(use: SupplyUse, trip: Trip, *, survival_l: float | None) -> BringItem:
    use_of_all = use.per_person_day
    need = Range(*(x * trip.person_days for x in _ends(use_of_all))) if use_of_all else None
    least = survival_l if survival_l is not None and use.unit == "L" else 0.0
    wanted = max(_safe(need, own=bool(use.intervals)), least)
    carried = need is not None and use.unit != "%"
    return BringItem(
        item=use.item,
        amount=max(wanted - (use.there or 0.0), 0.0) if carried else None,
        unit=use.unit,
        shown_unit=use.shown_unit,
        source=BringFrom.OWN_USE if use.intervals else BringFrom.PLANNING,
        need=need,
        there=use.there,
        survival_l=survival_l,
        raised=need is not None and least > _safe(need, own=bool(use.intervals)),
        own_use=use,
    )


def _safe(need: Range | None, *, own: bool) -> float:
    """The amount to have: enough for four stays in five by what was learned; of a planning figure the
    middle, whose upper end is nobody's own."""
    if need is None:
        return 0.0
    if not own or need.p50 <= 0.0:
        return need.p50
    return float(need.p50 * (need.p95 / need.p50) ** ENOUGH_OF_UPPER_HALF)


def _is_enough(item: BringItem, use: SupplyUse) -> bool:
    """Whether it is there already; what can't be compared is not enough."""
    if item.amount is not None:
        return item.amount <= 0.0
    return use.there is not None and 0.0 < _safe(item.need, own=bool(use.intervals)) <= use.there


def listed(house: House) -> tuple[BringItem, ...]:
    """The owner's open list, oldest first: lines to bring, and notes of the last stay that ask for something.

    A line goes off when it was got, or when the same thing was carried in afterwards.
    """
    leaving = _last_left(house)
    said: list[tuple[datetime, object]] = [(told.at, told.matter) for told in house.told]
    said += _asked_in_notes(house.entries, leaving)
    said.sort(key=lambda one: one[0])
    open_now: dict[str, BringItem] = {}
    for at, matter in said:
        match matter:
            case Bring(got=True) | Brought():
                open_now.pop(key_of(matter.item), None)
            case Bring():
                open_now[key_of(matter.item)] = _listed(matter, at, leaving)
    return tuple(open_now.values())


def asked_for(house: House) -> tuple[tuple[datetime, Bring], ...]:
    """All that was put on the list or got, oldest first, by its own line or a note of the leaving."""
    noted = _asked_in_notes(house.entries, _last_left(house))
    return tuple(sorted([*house.of(Bring), *noted], key=lambda one: one[0]))


def upkeep_needs(items: Iterable[DueItem]) -> tuple[BringItem, ...]:
    """What has to be carried for alarms: battery or printed date over by the end of the stay, or
    nothing of it written down for longer than it lasts."""
    wanted = (DueState.NOW, DueState.DUE, DueState.NEXT_STAY)
    return tuple(
        BringItem(
            item=CARRIED_FOR[item.task], amount=1.0, unit="", shown_unit="", source=BringFrom.UPKEEP
        )
        for item in items
        if item.task in CARRIED_FOR and (item.state in wanted or item.log_longer)
    )  # fmt: skip


def together(*groups: Sequence[BringItem]) -> tuple[BringItem, ...]:
    """One list out of several: a thing named twice stands once, with the larger amount."""
    found: dict[str, BringItem] = {}
    for item in (one for group in groups for one in group):
        key = key_of(item.item)
        had = found.get(key)
        if had is None:
            found[key] = item
            continue
        amount = had.amount
        if item.amount is not None and item.unit == had.unit:
            amount = max(item.amount, had.amount or 0.0)
        found[key] = replace(had, amount=amount, also_noted=had.also_noted or item.noted_at)
    return tuple(found.values())


def noted_all_the_same(
    noted: Sequence[BringItem], enough: Sequence[BringItem]
) -> tuple[tuple[BringItem, ...], tuple[BringItem, ...]]:
    """Of what is there and asked for by the owner all the same, once: on the list, with what is there.

    Returns:
        The owner's list, and what there is enough of that is not on it.
    """
    there = {key_of(item.item): item for item in enough}
    keys = {key_of(item.item) for item in noted}
    said = tuple(
        item
        if (had := there.get(key_of(item.item))) is None
        else replace(item, there=had.there, need=had.need, own_use=had.own_use)
        for item in noted
    )
    return said, tuple(item for item in enough if key_of(item.item) not in keys)


def left_undone(house: House) -> tuple[tuple[datetime, str], ...]:
    """Lines of the last leaving list that were left for this time and not done since."""
    leaving = _last_left(house)
    if leaving is None:
        return ()
    open_now: dict[str, tuple[datetime, str]] = {}
    for at, tick in house.of(Tick):
        name = tick.line.casefold()  # a list of one's own may write it otherwise than another
        if tick.done:  # on arriving too, where it came back
            open_now.pop(name, None)
        elif tick.list_name.casefold() == "leaving" and _in_leaving(at, leaving):
            open_now[name] = at, tick.line
    return tuple(open_now.values())


def _listed(bring: Bring, at: datetime, leaving: StayLived | None) -> BringItem:
    amount, unit = (None, bring.unit) if bring.amount is None else in_base(bring.amount, bring.unit)
    of_leaving = leaving is not None and leaving.start <= at <= leaving.end + NOTED_AFTER
    return BringItem(
        item=bring.item,
        amount=amount,
        unit=unit,
        shown_unit=bring.unit,
        source=BringFrom.LEFT_NOTE if of_leaving else BringFrom.LIST,
        noted_at=at,
    )


def _asked_in_notes(entries: Iterable[Entry], leaving: StayLived | None) -> Iterable[tuple[datetime, Bring]]:
    """Things that notes of the last leaving ask for: "out of matches, lamp oil"."""
    for entry in entries:
        if leaving is None or not entry.note or entry.matter is not None:
            continue
        asked = _WANTED.fullmatch(entry.note.strip().rstrip("."))
        if asked and _in_leaving(entry.at, leaving):
            yield from ((entry.at, Bring(item=item)) for item in _BETWEEN.split(asked["items"]) if item)


def _in_leaving(at: datetime, leaving: StayLived) -> bool:
    return leaving.end - LEAVING <= at <= leaving.end + NOTED_AFTER


def _last_left(house: House) -> StayLived | None:
    over = [stay for stay in house.stays if not stay.going_on]
    return over[-1] if over else None


def _ends(found: Range) -> tuple[float, float, float]:
    return found.p05, found.p50, found.p95
