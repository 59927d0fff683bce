"""What to bring and what is used, as JSON; amounts in the unit named beside them: L, kg, % or pieces."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from logbook.as_json import Json, number_json, range_json, time_json
from logbook.results.supplies import BringAnswer, BringItem, SupplyUse


def bring_json(answer: BringAnswer, *, items: Sequence[tuple[BringItem, str, str]], zone: tzinfo) -> Json:
    """What to bring.

    Args:
        answer: What was found.
        items: Each thing with where it is from and why, in words; wood among them.
        zone: The site's.
    """
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "people": number_json(answer.people),
        "people_assumed": answer.people_assumed,
        "nights": answer.nights,
        "nights_assumed": answer.nights_assumed,
        "night_low_c": number_json(answer.night_low_c),
        "night_low_from": str(answer.low_from),
        "items": [_item(item, source, why, zone=zone) for item, source, why in items],
        "enough": [
            {"item": i.item, "unit": i.unit, "there": number_json(i.there), "need": range_json(i.need)}
            for i in answer.enough
        ],
        "supplies": [_use(use, zone=zone) for use in answer.uses],
        "left_undone": [
            {"line": line, "at": time_json(at, zone=zone)} for at, line in answer.left_undone
        ],
        "wood_by_heat_loss_kg": range_json(answer.wood_by_heat_loss),
    }  # fmt: skip


def _item(item: BringItem, source: str, why: str, *, zone: tzinfo) -> Json:
    return {
        "item": item.item,
        "amount": number_json(item.amount),
        "unit": item.unit,
        "why": why,
        "from": source,
        "need": range_json(item.need),
        "there": number_json(item.there),
        "survival_l": number_json(item.survival_l),
        "noted_at": time_json(item.noted_at, zone=zone) if item.noted_at else None,
    }


def _use(use: SupplyUse, *, zone: tzinfo) -> Json:
    return {
        "item": use.item,
        "unit": use.unit,
        "per_person_day": range_json(use.per_person_day),
        "stretches": use.intervals,
        "person_days": number_json(use.person_days),
        "planning_per_person_day": range_json(use.planning),
        "last": number_json(use.last),
        "last_at": time_json(use.last_at, zone=zone) if use.last_at else None,
        "there": number_json(use.there),
        "not_comparable": use.odd,
        "lost": number_json(use.lost),
    }
