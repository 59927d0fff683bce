"""The Year page in words: each thing in one row; the commands due, wood, bring and stays have it whole."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from logbook.records import OwnUnits
from logbook.setting import Setting
from logbook.stays_answers import ThisWeekendAnswer, YearPage
from logbook.supplies_answers import BringAnswer, BringFrom, BringItem
from logbook.units import lb_from_kg
from logbook.upkeep_answers import Call, CallKind, Decides, DueItem, DueState
from logbook.wording.amounts import MONTHS, day_text, mass_text, number_text, temperature_text
from logbook.wording.stays import NONE_YET, when_text
from logbook.wording.supplies import amount_text, from_text
from logbook.wording.upkeep import date_text

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
        return f"{call.deposit_mm:g} mm of deposit found {_short_day(call)}, not swept"
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


def bring_short(answer: BringAnswer, *, setting: Setting) -> tuple[tuple[BringItem, str, str], ...]:
    """Each thing to bring: what and how much, and in a few words where it is from."""
    return tuple((item, _what(item), _why(item, answer, setting=setting)) for item in answer.items)


def _what(item: BringItem) -> str:
    amount = "" if item.amount is None else f" {amount_text(item.amount, item, up=True)}"
    return f"{item.item}{amount}"


def _why(item: BringItem, answer: BringAnswer, *, setting: Setting) -> str:
    if item.source in (BringFrom.OWN_USE, BringFrom.PLANNING):
        people = f"{number_text(answer.people)} {'person' if answer.people == 1 else 'people'}"
        nights = f"{answer.nights} {'night' if answer.nights == 1 else 'nights'}"
        return f"{people}, {nights}, {from_text(item, setting=setting)}"
    if item.source is BringFrom.UPKEEP:
        return "upkeep asks for it"
    if item.source is BringFrom.LIST and item.noted_at is not None:
        return f"your note of {day_text(item.noted_at, zone=setting.zone).split(' ', 1)[1]}"
    return from_text(item, setting=setting)


def wood_to_bring(answer: BringAnswer, *, units: OwnUnits) -> str:
    """Wood to carry in, or that there is enough; "" where how much is there is not written."""
    item = answer.wood
    if item is None or item.there is None:
        return ""
    return f"{mass_text(item.amount, units=units)} to be safe" if item.amount else "enough is there, dry"


def season_short(pages: Sequence[YearPage], *, setting: Setting) -> str:
    """The season going on, or the last one: first fire, stays, nights, wood, the coldest dawn."""
    if not pages:
        return NONE_YET
    page = pages[-1]
    said = f"{page.name}: "
    said += (
        f"first fire {day_text(page.first_fire, zone=setting.zone)}. " if page.first_fire else "no fire yet. "
    )
    stays = f"{page.stays} {'stay' if page.stays == 1 else 'stays'}"
    nights = f"{page.nights} {'night' if page.nights == 1 else 'nights'}"
    kg = page.wood_kg
    value = lb_from_kg(kg) if setting.units.mass == "lb" else kg
    said += f"{stays}, {nights}, {number_text(value)} {setting.units.mass} of wood."
    cold = page.coldest_inside
    if cold is not None:
        said += f" Coldest dawn {temperature_text(cold.temperature_c, units=setting.units, decimals=1)}."
    return said


def weekend_short(answer: ThisWeekendAnswer, *, setting: Setting) -> str:
    """This weekend in the last other year that has one, or "" where none has."""
    if not answer.stays:
        return ""
    other = answer.stays[0]
    nights = f"{other.stay.nights} {'night' if other.stay.nights == 1 else 'nights'}"
    off = {0: "this weekend", -1: "the weekend before this", 1: "the weekend after this"}
    when = off.get(other.weeks_off, "about now")
    book = f" “{other.stay.guest_book[0]}”" if other.stay.guest_book else ""
    return f"{when}: {when_text(other.stay, setting=setting)}, {nights}.{book}"


def guest_short(pages: Iterable[YearPage], *, setting: Setting) -> str:
    """The newest line of the guest book with its day, or ""."""
    lines = [line for page in pages for line in page.guest_book]
    if not lines:
        return ""
    at, said = max(lines)
    return f"“{said}” {day_text(at, zone=setting.zone, year=True)}"
