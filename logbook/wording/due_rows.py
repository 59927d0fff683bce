"""A task of upkeep in one row; small, since the app's head rows ask for it too."""

from __future__ import annotations

from collections.abc import Sequence

from logbook.records import OwnUnits
from logbook.results.upkeep import Call, CallKind, Decides, DueItem, DueState
from logbook.units import lb_from_kg
from logbook.wording.amounts import MONTHS, date_text, millimetres_text, number_text

NEVER = "never written down"
NAMED = 2
"""Tasks named in a row that stands for many. ASSUMED: what fits."""


def due_short(item: DueItem, *, units: OwnUnits) -> str:
    """How a task stands, in about 50 characters: "due since 1 Mar 2026; last 1 Mar 2025"."""
    if item.state is DueState.NOW:
        return "; ".join(dict.fromkeys(_call(call) for call in item.called_for))
    if item.state is DueState.NOT_RECORDED:
        return f"{NEVER}{_counted(item, units)}"
    if item.state is DueState.NO_INTERVAL:
        return f"no interval{_last(item)}"
    if item.state is DueState.SILENCED:
        return "silenced by you"
    if item.decides is Decides.PRINTED and item.due_on is not None:
        if item.state is DueState.DUE:
            return f"past the date printed on it, {date_text(item.due_on)}: replace it"
        return f"replace by {date_text(item.due_on)} (printed on it)"
    if item.state is DueState.DUE and item.decides is Decides.DATE:
        since = f" since {date_text(item.due_on)}" if item.due_on else ""
        return f"due{since}{_last(item)}"
    if item.state is DueState.DUE:
        return f"due{_counted(item, units)}"
    about = "by" if item.decides is Decides.DATE else "about"
    when = f"{about} {date_text(item.expected_on)}" if item.expected_on else "not due"
    return f"{when}{_counted(item, units)}"


def never_short(items: Sequence[DueItem]) -> str:
    """Tasks nobody wrote down yet, the first of them by name: "cap, baffle and 9 more"."""
    named = [item.task for item in items[:NAMED]]
    left = len(items) - len(named)
    return ", ".join(named) + (f" and {left} more" if left else "")


def _call(call: Call) -> str:
    if call.kind is CallKind.SEEN:
        return f"{call.what} seen {_short_day(call)}"
    if call.kind is CallKind.CHIMNEY_FIRE:
        return f"chimney fire {_short_day(call)}: no fire before it is inspected"
    if call.kind is CallKind.DEPOSIT and call.deposit_mm is not None:
        return f"{millimetres_text(call.deposit_mm)} of deposit found {_short_day(call)}, not swept"
    if call.kind is CallKind.TESTED_COLD:
        return "tested too cold, and it is warm now: test again"
    return "not tested in this stay"


def _short_day(call: Call) -> str:
    return f"{call.on.day} {MONTHS[call.on.month - 1]}"


def _counted(item: DueItem, units: OwnUnits) -> str:
    """The rule by wood or by days with a fire that has come furthest: "; 312 of 1000 kg burned"."""
    every = item.interval
    shares = []
    if every.kg:
        done, of = (lb_from_kg(kg) if units.mass == "lb" else kg for kg in (item.kg_since, every.kg))
        said = f"; {number_text(done)} of {number_text(of)} {units.mass} burned"
        shares.append((item.kg_since / every.kg, said))
    if every.burn_days:
        said = f"; {item.burn_days_since} of {number_text(every.burn_days)} days with a fire"
        shares.append((item.burn_days_since / every.burn_days, said))
    if not shares:
        return ""
    return max(shares)[1]


def _last(item: DueItem) -> str:
    return f"; last {date_text(item.last.on)}" if item.last is not None else ""
