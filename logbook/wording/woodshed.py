"""The wood shed in words: each stack, how long the wood lasts, what to split by when."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from logbook.records import Basis, OwnUnits
from logbook.results.woodshed import (
    Counted,
    Metered,
    MoistureFrom,
    NextWinter,
    Overdrawn,
    Ready,
    StackLeft,
    ThisWinter,
    Unit,
    UseFrom,
    WoodAnswer,
)
from logbook.setting import Setting, local_time
from logbook.units import lb_from_kg
from logbook.wording.amounts import date_text, day_text, number_text, temperature_text
from logbook.wording.bulk import (
    bulk_range_text,
    bulk_span_text,
    bulk_text,
    count_range_text,
    ends,
    heat_text,
    in_unit_text,
    moisture_on,
    month_text,
    scaled,
    small_text,
    span_in_unit_text,
)
from logbook.wording.stays import count_text

NONE_YET = "No stack of wood is on record. Write one:  stack birch 0.9 stere split may 2025"

CARE = (
    "Drying is reckoned for split wood off the ground, its top covered, wind through it; a meter on a face "
    "split just then beats it:  meter birch 17 19 21% dry fresh"
)


def wood_text(answer: WoodAnswer, *, setting: Setting) -> tuple[str, ...]:
    """The whole answer: what there is and how long it lasts, then every stack, then what is assumed."""
    if not answer.stacks:
        return (NONE_YET,)
    rows = [*lasting_text(answer, setting=setting)]
    for stack in answer.stacks:
        rows += ["", *stack_text(stack, today=_today(answer, setting), setting=setting)]
    beside = [*_unplaced(answer, setting=setting), *_cost(answer, setting=setting)]
    rows += ["", *beside] if beside else []
    return (*rows, "", *answer.assumed)


def lasting_text(answer: WoodAnswer, *, setting: Setting) -> tuple[str, ...]:
    """What there is and how long it lasts, this winter and for the next; a few sentences for a page too."""
    units = setting.units
    rows = []
    if answer.dry_enough_kg is not None and answer.dry_enough_kg.p95 > 0.0:
        rows.append(f"Dry enough to burn: {bulk_range_text(answer.dry_enough_kg, units=units)}.")
    if answer.untold_kg is not None and answer.untold_kg.p95 > 0.0:
        much = bulk_range_text(answer.untold_kg, units=units)
        rows.append(f"Moisture not known, and counted on below all the same: {much}.")
    if answer.wet_kg is not None and answer.wet_kg.p95 > 0.0:
        rows.append(f"Not dry enough yet: {bulk_range_text(answer.wet_kg, units=units)}.")
    rows += _nights(answer, units=units)
    if answer.this_winter is not None:
        rows.append(_this_winter(answer.this_winter, units=units) + enough_text(answer))
    if answer.next_winter is not None:
        rows.append(next_winter_text(answer.next_winter, today=_today(answer, setting), units=units))
    return tuple(rows)


def _nights(answer: WoodAnswer, *, units: OwnUnits) -> list[str]:
    use = answer.use
    if use is None:
        return ["How long it lasts can't be told yet: write down what is burned through a night or two."]
    rows = []
    left, weekends = answer.nights_left, answer.weekends_left
    if left is not None and weekends is not None and left.p95 > 0.0:
        each = number_text(use.nights_per_weekend, 0 if use.nights_per_weekend.is_integer() else 1)
        rows.append(
            f"It lasts {count_range_text(left, 'night')}, or {count_range_text(weekends, 'weekend')} of "
            f"{each} {'night' if each == '1' else 'nights'}."
        )
    outside = temperature_text(use.outdoor_c, units=units, decimals=0)
    by = (
        f"by {'one stay' if use.stays == 1 else f'{use.stays} stays'} of yours"
        if use.rests_on is UseFrom.OWN_STAYS
        else "by what the cabin loses, kept warm for 48 h a weekend"
    )
    rows.append(
        f"A night takes {bulk_range_text(use.night_kg, units=units)} at {outside} outside, the mean of the "
        f"cold months ahead: {by}."
    )
    if use.rests_on is UseFrom.OWN_STAYS and use.by_heat_loss_kg is not None:
        rows.append(
            f"Kept warm for 48 h it would take {bulk_range_text(use.by_heat_loss_kg, units=units)} by what "
            "the cabin loses."
        )
    return rows


def _this_winter(winter: ThisWinter, *, units: OwnUnits) -> str:
    by = (
        "as after this day in "
        + (
            "the winter before"
            if winter.by_former_winters == 1
            else f"{winter.by_former_winters} winters before"
        )
        if winter.by_former_winters
        else "if it goes on as so far"
    )
    wood = f": {bulk_range_text(winter.wood_kg, units=units)}" if winter.wood_kg else ""
    return (
        f"Until {date_text(winter.until, year=False)} there are about "
        f"{count_range_text(winter.nights, 'night')} "
        f"to come, {by}{wood}."
    )


def enough_text(answer: WoodAnswer) -> str:
    """Whether the dry wood is enough for this winter: said plainly only where the ranges are apart."""
    need = answer.this_winter.wood_kg if answer.this_winter else None
    have = answer.burnable_kg
    if need is None or need.p95 <= 0.0:
        return ""
    if have is None or have.p95 < need.p05:
        return " That wood is not enough for it."
    if have.p05 >= need.p95:
        return " That wood is enough for it."
    return " That wood may be enough for it." if have.p50 >= need.p50 else " That wood may fall short."


def next_winter_text(found: NextWinter, *, today: date, units: OwnUnits) -> str:
    """What to split for the next cold months and before which day."""
    usual = bulk_range_text(found.usual_kg, units=units)
    by = {0: "by this one", 1: "by one winter on record"}.get(
        found.winters, f"by {found.winters} winters on record"
    )
    head = f"Next winter (from {date_text(found.starts)}) takes {usual}, {by}"
    if found.to_cut_kg.p95 <= 0.0:
        return f"{head}: what is left then is enough."
    if found.to_cut_kg.p50 <= 0.0:
        most = bulk_text(found.to_cut_kg.p95, units=units)
        return f"{head}: most likely what is left then is enough; at worst {most} more."
    amount = bulk_range_text(found.to_cut_kg, units=units)
    if found.to_cut_m3 is not None and found.unit is not None and found.unit.m3 is not None:
        amount = f"{in_unit_text(found.to_cut_m3, found.unit)}, {amount}"
    kind = f" of {found.species}" if found.species else ""
    perhaps = "split" if found.to_cut_kg.p05 > 0.0 else "perhaps split"
    return f"{head}: {perhaps} another {amount}{kind}{_split_before(found, today=today)}."


def _split_before(found: NextWinter, *, today: date) -> str:
    about, safely = found.split_before, found.split_safely_before
    if about is None:
        return "; split green it does not get dry enough by then in this air"
    if today >= about:
        return f"; green wood should have been split before {date_text(about)}: take dry wood"
    late = ""
    if safely is not None and safely < about:
        gone = " (past)" if safely <= today else ""
        late = f", to be on the safe side before {date_text(safely)}{gone}"
    return f", green wood before {date_text(about)}{late}"


def stack_text(stack: StackLeft, *, today: date, setting: Setting) -> tuple[str, ...]:
    """One stack: what is left, how wet, when ready, counted when; sentences set in under its name."""
    units = setting.units
    head = stack.name
    if stack.species and stack.species.casefold() not in stack.name.casefold():
        head += f" ({stack.species})"
    head += f", put up {day_text(stack.put_up, zone=setting.zone, year=True)}"
    if stack.split_on is not None:
        head += f", split {date_text(stack.split_on)}"
    if stack.where:
        head += f", {stack.where}"
    rows = [head, f"  {left_text(stack, units=units)}"]
    if stack.added is not None:
        rows.append(f"  {_added(stack, setting=setting)}")
    if stack.overdrawn is not None:
        rows.append(f"  {overdrawn_text(stack.overdrawn, stack.name, setting=setting)}")
    rows.append(f"  {moisture_text(stack, basis=setting.moisture_basis)}")
    if stack.metered is not None:
        rows.append(f"  {_metered(stack.metered, setting=setting)}")
    if stack.ready is not None:
        rows.append(f"  {ready_text(stack.ready, today=today)}")
    if stack.counted is not None:
        rows.append(f"  {counted_text(stack.counted, unit=stack.unit, setting=setting)}")
    if not stack.species_known:
        rows.append("  Its kind of wood is not told closely, so its mass is a wide guess.")
    return tuple(rows)


def _added(stack: StackLeft, *, setting: Setting) -> str:
    """What came on top of it counts for all of it; a name of its own keeps it apart."""
    when = day_text(stack.added, zone=setting.zone, year=True) if stack.added else ""
    dated = f": all of it counts as split {date_text(stack.split_on)}" if stack.split_on else ""
    return f"Added to {when}{dated}. A name of its own keeps new wood apart:  stack {stack.name} new 1 stere"


def stack_sentence(stack: StackLeft, *, setting: Setting) -> str:
    """One stack in one sentence, for a list."""
    left = left_text(stack, units=setting.units).removeprefix("Left: ").rstrip(".")
    dry = moisture_text(stack, basis=setting.moisture_basis).removeprefix("Moisture ").rstrip(".")
    return f"{stack.name}: {left}; {dry}."


def left_text(stack: StackLeft, *, units: OwnUnits) -> str:
    """What is left, in the owner's household unit where there is one, as mass, and its heat."""
    if stack.left_kg is None or stack.heat_mj is None:
        return f"Left: not known, its size was not written. Write:  count {stack.name} 0.4 stere"
    if stack.left_kg.p95 <= 0.0:
        none_counted = stack.counted is not None and stack.counted.counted_kg.p95 <= 0.0
        return f"Left: nothing, by {'the count' if none_counted else 'what was written as burned'}."
    parts = []
    if stack.unit is not None and stack.unit.m3 is not None and stack.left_m3 is not None:
        parts.append(in_unit_text(stack.left_m3, stack.unit))
    elif stack.unit is not None and stack.unit.kg is not None and stack.unit.word not in ("kg", "lb"):
        share = stack.unit.kg
        parts.append(in_unit_text(scaled(stack.left_kg, 1.0 / share), Unit(word=stack.unit.word, m3=1.0)))
    parts.append(bulk_range_text(stack.left_kg, units=units))
    return f"Left: {', '.join(parts)}; heat {heat_text(stack.heat_mj, units=units)}."


def moisture_text(stack: StackLeft, *, basis: Basis) -> str:
    """How wet, with what it rests on."""
    if stack.moisture_dry_pct is None:
        return "Moisture not known: neither a meter reading nor the day it was split was written."
    low, mid, high = (round(moisture_on(pct, basis)) for pct in ends(stack.moisture_dry_pct))
    of = "of the wet wood" if basis is Basis.WET else "of the dry wood"
    rests_on = {
        MoistureFrom.FRESH_FACE: "by meter on a fresh face and drying since",
        MoistureFrom.OUTSIDE_FACE: "by meter on an outside face, and the inside may be far wetter",
        MoistureFrom.SPLIT_DATE: "by the day it was split and drying since",
    }[stack.moisture_from]
    return f"Moisture {mid} % {of} now ({low} to {high}), {rests_on}."


def _metered(meter: Metered, *, setting: Setting) -> str:
    of = f"{meter.basis} basis"
    face = {True: "fresh face", False: "outside face: at least that", None: "face not told: at least that"}
    read = ", ".join(number_text(pct, 0 if float(pct).is_integer() else 1) for pct in meter.readings_pct)
    when = day_text(meter.at, zone=setting.zone, year=True)
    text = f"Meter {when}: {read} % ({of}, {face[meter.fresh_face]})."
    if meter.left_out:
        text += f" {meter.left_out} of them can't be, and {'is' if meter.left_out == 1 else 'are'} left out."
    return text


def ready_text(ready: Ready, *, today: date) -> str:
    """When it is dry enough to burn, as a range of days; months where it is far off."""
    if ready.already:
        text = "Ready: dry enough to burn (20 % of the wet wood) by now"
        if ready.late is not None and ready.late <= today:
            return f"{text}."
        late = f"until {month_text(ready.late)}" if ready.late else "for years"
        return f"{text}, most likely; if it dries slowly, not {late}. A fresh face tells."
    if ready.early is None:
        return "Ready: not within three years in this air. Has it a roof, and air on all sides?"
    about = f"about {month_text(ready.about)}" if ready.about else "perhaps never in this air"
    late = f"to {month_text(ready.late)}" if ready.late else "or not within three years"
    return f"Ready (20 % of the wet wood) {about}; it may be {month_text(ready.early)} {late}."


def counted_text(counted: Counted, *, unit: Unit | None, setting: Setting) -> str:
    """What was counted, against what was reckoned just before."""
    units = setting.units
    when = day_text(counted.at, zone=setting.zone, year=True)
    use_unit = unit is not None and unit.m3 is not None and counted.counted_m3 is not None
    if use_unit and unit is not None and unit.m3 is not None and counted.counted_m3 is not None:
        was = f"{small_text(counted.counted_m3 / unit.m3)} {unit.word}"
    else:
        was = bulk_range_text(counted.counted_kg, units=units)
    text = f"Counted {when}: {was}"
    if counted.reckoned_kg is None or counted.more_went_kg is None:
        return f"{text}."
    if use_unit and unit is not None and counted.reckoned_m3 is not None:
        reckoned = span_in_unit_text(counted.reckoned_m3, unit)
    else:
        reckoned = bulk_span_text(counted.reckoned_kg, units=units)
    text += f", reckoned {reckoned}"
    if counted.agrees:
        return f"{text}: they agree."
    missing = bulk_text(abs(counted.more_went_kg), units=units)
    if counted.more_went_kg > 0.0:
        return f"{text}: about {missing} more went than was written."
    return f"{text}: about {missing} less went than was written, or more was there."


def overdrawn_text(over: Overdrawn, name: str, *, setting: Setting) -> str:
    """More was burned than was there, and what to do."""
    since = day_text(over.since, zone=setting.zone, year=True)
    return (
        f"More was burned than was there: {bulk_text(over.burned_kg, units=setting.units)} written since "
        f"{since}, {bulk_span_text(over.there_kg, units=setting.units)} there then. Nothing is lost; count "
        f"what is left:  count {name} 0.2 stere"
    )


def assumed_text(answer: WoodAnswer, *, setting: Setting) -> tuple[str, ...]:
    """What the answer rests on that nobody told."""
    if not answer.stacks:
        return ()
    basis = setting.moisture_basis
    low, _, high = (round(moisture_on(pct, basis)) for pct in ends(answer.settles_now_dry_pct))
    of = "of the wet wood" if basis is Basis.WET else "of the dry wood"
    air = (
        f"The air is assumed but for {count_text(answer.air.months_read, 'month')} of your own temperatures"
        if answer.air.months_read
        else "The air is assumed, that of a cool temperate inland place"
    )
    rows = [
        f"{air}; wood left long in this month's air settles at {low} to {high} % {of}.",
        CARE,
    ]
    if any(s.left_m3 is not None for s in answer.stacks):
        rows.append(
            "A stacked volume is taken for 55 to 70 % wood, a stere 60 to 70 %, thrown in loose 40 to 45 %: "
            "weigh one load and count again to narrow it."
        )
    return tuple(rows)


def _unplaced(answer: WoodAnswer, *, setting: Setting) -> list[str]:
    return [
        f"{bulk_text(one.kg, units=setting.units)} of {one.species} burned since the first stack was put up "
        "belongs to none of them."
        for one in answer.unplaced
    ]


def _cost(answer: WoodAnswer, *, setting: Setting) -> list[str]:
    cost = answer.cost
    if cost is None:
        return []
    per = 100.0 / lb_from_kg(100.0) if setting.units.mass == "lb" else 1.0
    parts = []
    if cost.money_per_kg is not None:
        parts.append(f"{small_text(100.0 * per * cost.money_per_kg)} in money")
    if cost.hours_per_kg is not None:
        parts.append(f"{small_text(100.0 * per * cost.hours_per_kg)} h of work")
    if not parts:
        return []
    stacks = "the stack" if cost.stacks == 1 else f"the {cost.stacks} stacks"
    return [f"100 {setting.units.mass} cost {' and '.join(parts)}, by {stacks} it was written for."]


def _today(answer: WoodAnswer, setting: Setting) -> date:
    return local_time(answer.as_of, setting.zone).date()


def all_sentences(answer: WoodAnswer, *, setting: Setting) -> Iterable[str]:
    """A sentence per stack."""
    return (stack_sentence(stack, setting=setting) for stack in answer.stacks)
