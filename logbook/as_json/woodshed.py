"""The wood shed as JSON: one item per stack, the totals and what lies ahead beside them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from logbook.as_json import Json, number_json, range_json, time_json
from logbook.records import Basis
from logbook.results.night import Range
from logbook.results.woodshed import Counted, NextWinter, Ready, StackLeft, ThisWinter, Use, WoodAnswer


def wood_json(
    answer: WoodAnswer, *, zone: tzinfo, basis: Basis = Basis.WET, sentences: Sequence[str] = ()
) -> Json:
    """The contract's ``items``, and the rest beside.

    Args:
        answer: The wood shed.
        zone: The site's zone.
        basis: What moisture is told as a share of; it stands beside every moisture.
        sentences: One per stack, in order.
    """
    said = sentences or [""] * len(answer.stacks)
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "items": [
            _stack(stack, zone=zone, basis=basis, sentence=sentence)
            for stack, sentence in zip(answer.stacks, said, strict=True)
        ],
        "left_kg": range_json(answer.left_kg),
        "dry_enough_kg": range_json(answer.dry_enough_kg),
        "moisture_unknown_kg": range_json(answer.untold_kg),
        "not_dry_enough_kg": range_json(answer.wet_kg),
        "use": _use(answer.use),
        "nights_left": range_json(answer.nights_left),
        "weekends_left": range_json(answer.weekends_left),
        "this_winter": _this_winter(answer.this_winter),
        "next_winter": _next_winter(answer.next_winter),
        "cost": None
        if answer.cost is None
        else {
            "money_per_kg": number_json(answer.cost.money_per_kg),
            "money_per_m3": number_json(answer.cost.money_per_m3),
            "hours_per_kg": number_json(answer.cost.hours_per_kg),
            "hours_per_m3": number_json(answer.cost.hours_per_m3),
            "stacks": answer.cost.stacks,
        },
        "burned_from_no_stack": [{"species": u.species, "kg": number_json(u.kg)} for u in answer.unplaced],
        "settles_at_now_pct": _moisture(answer.settles_now_dry_pct, basis),
        "moisture_basis": basis.value,
        "outdoor_months_read": answer.air.months_read,
        "assumed": list(answer.assumed),
    }


def _stack(stack: StackLeft, *, zone: tzinfo, basis: Basis, sentence: str) -> Json:
    meter, over = stack.metered, stack.overdrawn
    return {
        "name": stack.name,
        "species": stack.species or None,
        "species_known": stack.species_known,
        "where": stack.where or None,
        "put_up": time_json(stack.put_up, zone=zone),
        "split_on": stack.split_on.isoformat() if stack.split_on else None,
        "left_kg": range_json(stack.left_kg),
        "left_kg_dry": range_json(stack.left_kg_dry),
        "left_m3": range_json(stack.left_m3),
        "burned_kg": number_json(stack.burned_kg),
        "moisture_pct": _moisture(stack.moisture_dry_pct, basis),
        "moisture_basis": basis.value,
        "moisture_from": stack.moisture_from.value,
        "meter": None
        if meter is None
        else {
            "at": time_json(meter.at, zone=zone),
            "readings_pct": [number_json(pct) for pct in meter.readings_pct],
            "basis": meter.basis,
            "fresh_face": meter.fresh_face,
            "left_out": meter.left_out,
        },
        "ready": _ready(stack.ready),
        "heat_mj": range_json(stack.heat_mj),
        "last_counted": _counted(stack.counted, zone=zone),
        "burned_more_than_there": None
        if over is None
        else {
            "since": time_json(over.since, zone=zone),
            "burned_kg": number_json(over.burned_kg),
            "there_kg": range_json(over.there_kg),
        },
        "sentence": sentence,
    }


def _ready(ready: Ready | None) -> Json | None:
    if ready is None:
        return None
    days = {"p05": ready.early, "p50": ready.about, "p95": ready.late}
    return {
        "already": ready.already,
        "on": {name: day.isoformat() if day else None for name, day in days.items()},
    }


def _counted(counted: Counted | None, *, zone: tzinfo) -> Json | None:
    if counted is None:
        return None
    return {
        "at": time_json(counted.at, zone=zone),
        "counted_m3": number_json(counted.counted_m3),
        "counted_kg": range_json(counted.counted_kg),
        "reckoned_m3": range_json(counted.reckoned_m3),
        "reckoned_kg": range_json(counted.reckoned_kg),
        "more_went_kg": number_json(counted.more_went_kg),
        "agrees": counted.agrees,
    }


def _use(use: Use | None) -> Json | None:
    if use is None:
        return None
    return {
        "from": use.rests_on.value,
        "stays": use.stays,
        "outdoor_c": number_json(use.outdoor_c),
        "kg_per_night": range_json(use.night_kg),
        "kg_per_weekend": range_json(use.weekend_kg),
        "nights_per_weekend": number_json(use.nights_per_weekend),
        "kg_per_weekend_by_heat_loss": range_json(use.by_heat_loss_kg),
    }


def _this_winter(winter: ThisWinter | None) -> Json | None:
    if winter is None:
        return None
    return {
        "until": winter.until.isoformat(),
        "nights": range_json(winter.nights),
        "weekends": range_json(winter.weekends),
        "wood_kg": range_json(winter.wood_kg),
        "by_former_winters": winter.by_former_winters,
    }


def _next_winter(found: NextWinter | None) -> Json | None:
    if found is None:
        return None
    before, safely = found.split_before, found.split_safely_before
    return {
        "starts": found.starts.isoformat(),
        "usual_kg": range_json(found.usual_kg),
        "by_former_winters": found.winters,
        "left_then_kg": range_json(found.left_then_kg),
        "to_cut_kg": range_json(found.to_cut_kg),
        "to_cut_m3": range_json(found.to_cut_m3),
        "species": found.species or None,
        "split_before": before.isoformat() if before else None,
        "split_safely_before": safely.isoformat() if safely else None,
    }


def _moisture(dry_pct: Range | None, basis: Basis) -> Json | None:
    if dry_pct is None or basis is Basis.DRY:
        return range_json(dry_pct)
    return range_json(Range(*(100.0 * x / (100.0 + x) for x in (dry_pct.p05, dry_pct.p50, dry_pct.p95))))
