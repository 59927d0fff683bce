"""Works on the cabin in words: what they cost and did, and when they have paid for themselves."""

from __future__ import annotations

from logbook.records import OwnUnits
from logbook.results.improvements import NoPayback, Outlay, Payback, WorkPaid
from logbook.results.night import Range
from logbook.results.works import Touched, Verdict
from logbook.setting import Setting
from logbook.units import lb_from_kg
from logbook.wording.amounts import day_text, number_text
from logbook.wording.bulk import bulk_range_text, small_text
from logbook.wording.cabin import change_span_text
from logbook.wording.matters import plain_number

MOST_YEARS = 100
"""Years beyond which no number is said: no work, stove or owner lasts so long."""

WHOLE_YEARS_FROM = 10
"""From here on years are said whole."""

WHY_NO_PAYBACK = {
    NoPayback.NO_COST: "",
    NoPayback.NOT_HEAT_LOSS: "it is no matter of heat loss.",
    NoPayback.NOT_JUDGED: "what it did is not known.",
    NoPayback.NOISE: "what it did is not told apart from noise.",
    NoPayback.WORSE: "the cabin loses more since.",
    NoPayback.TOGETHER: "whose the saving is can't be told: other works came at the same time.",
    NoPayback.SHORT_LOG: "it takes a year on record to know how many weekends a year has.",
    NoPayback.NO_PRICE: "what your wood costs is not written down. Write it with a stack: "
    'nightload note "stack birch 0.9 stere cost 80 4 h"',
    NoPayback.MAY_BE_NOTHING: "at the low end of its range it saves nothing.",
}
"""What follows "When it has paid for itself can't be told: "; nothing where nothing was spent."""


def outlay_text(outlay: Outlay) -> str:
    """What a work cost: "240 and 31 h of work"; money has no sign, it is the owner's own."""
    parts = [] if outlay.money is None else [f"{plain_number(outlay.money)} in money"]
    parts += [] if outlay.hours is None else [f"{plain_number(outlay.hours)} h of work"]
    return " and ".join(parts)


def paid_rows(work: WorkPaid, *, units: OwnUnits) -> list[str]:
    """What a change cost, the wood it saves a year, and when it has paid for itself, or why not."""
    rows = []
    if work.outlay is not None:
        on = f", on {work.outlay.surface}" if work.outlay.surface else ""
        what = f" ({work.outlay.what})" if work.outlay.what else ""
        rows.append(f"It cost {outlay_text(work.outlay)}{on}{what}.")
    elif work.payback.cannot_tell is NoPayback.NO_COST:
        rows.append(
            f'What it cost is not written down: nightload note "cost {work.name} 240 31 h" '
            "says money and hours."
        )
    return [*rows, *payback_rows(work.payback, spent=work.outlay is not None, units=units)]


def payback_rows(payback: Payback, *, spent: bool, units: OwnUnits) -> list[str]:
    """When it has paid for itself, with the range and what it takes for granted."""
    rows = []
    saved, weekends = payback.saved_kg_per_year, payback.weekends_per_year
    if saved is not None and weekends is not None:
        years = "the last year" if payback.whole_years == 1 else f"the last {payback.whole_years} years"
        rows.append(
            f"In a year like {years} ({number_text(weekends)} weekends with a fire) that is "
            f"{bulk_range_text(saved, units=units)} of wood."
        )
    if payback.cannot_tell is not None:
        why = WHY_NO_PAYBACK[payback.cannot_tell]
        return [*rows, f"When it has paid for itself can't be told: {why}"] if spent and why else rows
    said = []
    if payback.years is not None and payback.price.money_per_kg is not None:
        said.append(
            f"in {years_text(payback.years)} by money, with wood at "
            f"{price_text(payback.price.money_per_kg, units=units)}"
        )
    if payback.years_by_hours is not None and payback.price.hours_per_kg is not None:
        said.append(
            f"in {years_text(payback.years_by_hours)} by hours, with wood at "
            f"{price_text(payback.price.hours_per_kg, units=units, unit=' h')}"
        )
    if said:
        rows.append(
            f"It pays for itself {'; '.join(said)}: as your stacks cost, and as long as nights and prices "
            "stay."
        )
    return rows


def years_text(years: Range) -> str:
    """Years with their range: "6.2 years (4.1 to 12)", "48 years (28 to over 100)"."""
    decimals = 0 if years.p50 >= WHOLE_YEARS_FROM else 1
    low, mid, high = (
        f"over {MOST_YEARS}" if n > MOST_YEARS else number_text(n, decimals)
        for n in (years.p05, years.p50, years.p95)
    )
    return f"{mid} years ({low} to {high})"


def price_text(per_kg: float, *, units: OwnUnits, unit: str = "") -> str:
    """A price for a hundred of the owner's units of mass: "22 for 100 kg", "2.4 h for 100 lb"."""
    per = 100.0 / lb_from_kg(1.0) if units.mass == "lb" else 100.0
    return f"{small_text(per_kg * per)}{unit} for 100 {units.mass}"


def undated_text(outlay: Outlay) -> str:
    """A cost whose work has no date, and how to date it."""
    return (
        f"{outlay.name}: {outlay_text(outlay)} is written down, but no dated change of that name. "
        f'Date it, so that the nights before and after it can be compared: nightload change "{outlay.name}" '
        "--from DATE"
    )


def effect_short(work: WorkPaid) -> str:
    """What a work did, in few words for a table."""
    change = work.change
    if change is None:
        return f'not compared yet: nightload compare "{work.name}"'
    if change.touched is not Touched.HEAT_LOSS:
        return "not a matter of heat loss"
    if change.heat_loss_change_pct is None or change.verdict is None:
        return "can't tell yet"
    return f"{change.verdict}: heat loss {change_span_text(change.heat_loss_change_pct)}"


def payback_short(work: WorkPaid) -> str:
    """When it has paid for itself, in few words for a table."""
    back = work.payback
    said = [f"{years_text(back.years)} by money"] if back.years else []
    said += [f"{years_text(back.years_by_hours)} by hours"] if back.years_by_hours else []
    if said:
        return "; ".join(said)
    told_apart = work.change is not None and work.change.verdict is Verdict.HELPED
    return "" if work.outlay is None or not told_apart else "can't be told"


def works_cells(works: tuple[WorkPaid, ...], *, setting: Setting) -> tuple[tuple[str, ...], ...]:
    """Works as rows of cells: when, what, cost, effect, paid for itself."""
    return tuple(
        (
            day_text(work.since, zone=setting.zone),
            work.name,
            outlay_text(work.outlay) if work.outlay else "not written down",
            effect_short(work),
            payback_short(work),
        )
        for work in works
    )
