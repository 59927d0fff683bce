"""Works on the cabin: money and hours put beside the effect, and when a work has paid for itself.

Inputs are plain: what the heat model found comes in as an answer, what wood costs as two numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from logbook.house import House
from logbook.matters import Improvement
from logbook.results.improvements import NoPayback, Outlay, Payback, WoodPrice, WorkPaid, WorksPaid
from logbook.results.night import Range
from logbook.results.works import ChangeAnswer, Touched, Verdict

YEAR = timedelta(days=365)
"""A whole year of log. Definition."""

NIGHTS_PER_WEEKEND = 2.0
"""The wood saved is that of 48 h: two nights. Definition of ``compare``."""


def works_paid(
    house: House,
    *,
    dated: Sequence[tuple[str, datetime]],
    compared: Sequence[ChangeAnswer],
    price: WoodPrice,
) -> WorksPaid:
    """Every dated change with its cost, effect and payback, and the costs that have no dated change.

    Args:
        house: The log as of a time.
        dated: Name and time of every change on record.
        compared: What is known of the changes that were compared.
        price: What wood costs by the owner's own stacks.
    """
    costs: dict[tuple[str, datetime] | str, list[Improvement]] = {}
    for at, work in house.of(Improvement):
        change = change_of(work.name, at, dated)
        costs.setdefault(change or key_of(work.name), []).append(work)
    per_year = weekends_per_year(house)
    works = []
    for name, since in dated:
        found = _answer_for(name, since, compared)
        outlay = _summed(name, costs.get((name, since), []))
        works.append(
            WorkPaid(
                name=name,
                since=since,
                outlay=outlay,
                change=found,
                payback=payback(outlay=outlay, change=found, price=price, per_year=per_year),
            )
        )
    undated = [_summed(lines[-1].name, lines) for key, lines in costs.items() if isinstance(key, str)]
    return WorksPaid(works=tuple(works), undated=tuple(outlay for outlay in undated if outlay))


def key_of(name: str) -> str:
    """A name as it is compared with others."""
    return " ".join(name.casefold().split())


def change_of(name: str, at: datetime, dated: Sequence[tuple[str, datetime]]) -> tuple[str, datetime] | None:
    """The dated change a cost belongs to: of that name, the nearest in time; else the only one whose name
    holds it."""
    key = key_of(name)
    same = [change for change in dated if key_of(change[0]) == key]
    if not same:
        holding = [change for change in dated if key in key_of(change[0])]
        same = holding if len({key_of(known) for known, _ in holding}) == 1 else []
    return min(same, key=lambda change: abs(change[1] - at), default=None)


def weekends_per_year(house: House) -> tuple[float, int] | None:
    """Weekends of two nights with a fire in a year, over the whole years on record; and how many those are.

    None with less than a year since the first stay.
    """
    if not house.stays:
        return None
    years = (house.as_of - house.stays[0].start) // YEAR
    if years < 1:
        return None
    since = house.as_of - years * YEAR
    nights = sum(len(stay.nights) for stay in house.stays if stay.burned and stay.start >= since)
    return nights / NIGHTS_PER_WEEKEND / years, years


def payback(
    *,
    outlay: Outlay | None,
    change: ChangeAnswer | None,
    price: WoodPrice,
    per_year: tuple[float, int] | None,
) -> Payback:
    """When a work has paid for itself, only where its effect is told apart from noise and wood has a price.

    The range is that of the wood saved alone: nights a year and the price stay as they were.
    """
    why = _why_not(outlay, change)
    if why is not None:
        return Payback(cannot_tell=why, price=price)
    assert outlay is not None and change is not None and change.wood_saved_kg is not None
    if per_year is None or per_year[0] <= 0.0:
        return Payback(cannot_tell=NoPayback.SHORT_LOG, price=price)
    weekends, whole_years = per_year
    one = change.wood_saved_kg
    saved = Range(one.p05 * weekends, one.p50 * weekends, one.p95 * weekends)
    years = _years(outlay.money, saved, price.money_per_kg)
    by_hours = _years(outlay.hours, saved, price.hours_per_kg)
    cannot_tell = None
    if one.p05 <= 0.0:
        years, by_hours, cannot_tell = None, None, NoPayback.MAY_BE_NOTHING
    elif years is None and by_hours is None:
        cannot_tell = NoPayback.NO_PRICE
    return Payback(
        years=years,
        years_by_hours=by_hours,
        cannot_tell=cannot_tell,
        saved_kg_per_year=saved,
        weekends_per_year=weekends,
        whole_years=whole_years,
        price=price,
    )


def _why_not(outlay: Outlay | None, change: ChangeAnswer | None) -> NoPayback | None:
    """What stands against reckoning at all, the weightiest first."""
    if change is not None and change.touched is not Touched.HEAT_LOSS:
        return NoPayback.NOT_HEAT_LOSS
    if change is None or change.verdict is None or change.wood_saved_kg is None:
        return NoPayback.NOT_JUDGED
    if change.verdict is Verdict.WORSE:
        return NoPayback.WORSE
    if change.verdict is not Verdict.HELPED:
        return NoPayback.NOISE
    if change.together_with:
        return NoPayback.TOGETHER
    return NoPayback.NO_COST if outlay is None else None


def _years(spent: float | None, saved_kg: Range, per_kg: float | None) -> Range | None:
    """Years until what was spent is saved; the most wood saved is the soonest."""
    if spent is None or not per_kg or per_kg <= 0.0 or saved_kg.p05 <= 0.0:
        return None
    return Range(*(spent / (kg * per_kg) for kg in (saved_kg.p95, saved_kg.p50, saved_kg.p05)))


def _answer_for(name: str, since: datetime, compared: Sequence[ChangeAnswer]) -> ChangeAnswer | None:
    """The answer about a change; ``compare`` may date it to the beginning of its stay."""
    same = [answer for answer in compared if answer.name == name]
    return min(same, key=lambda answer: abs(answer.since - since), default=None)


def _summed(name: str, lines: Sequence[Improvement]) -> Outlay | None:
    """Every line for one work together: a second purchase is a second line."""
    money = [line.money for line in lines if line.money is not None]
    hours = [line.hours for line in lines if line.hours is not None]
    if not money and not hours:
        return None
    return Outlay(
        name=name,
        money=sum(money) if money else None,
        hours=sum(hours) if hours else None,
        surface=next((line.surface for line in reversed(lines) if line.surface), ""),
        what="; ".join(dict.fromkeys(line.what for line in lines if line.what)),
    )
