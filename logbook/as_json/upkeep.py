"""Upkeep, ash and the upkeep record as the contract's JSON: ``{"items": […]}`` and what stands beside it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, tzinfo

from logbook.as_json import Json, number_json, time_json
from logbook.results.ash import AshClock
from logbook.results.upkeep import (
    Ahead,
    Call,
    DueAnswer,
    DueItem,
    DueState,
    Interval,
    LastDone,
    RecordAnswer,
    RecordRow,
)


def due_json(answer: DueAnswer, *, zone: tzinfo, everything: bool = False) -> Json:
    """What is due, comes by the next stay or was never written down; with ``everything`` all tasks."""
    left_out = () if everything else (DueState.LATER, DueState.NO_INTERVAL, DueState.SILENCED)
    usual = answer.usual
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "items": [_item(item, zone=zone) for item in answer.items if item.state not in left_out],
        "ash": None if answer.ash is None else ash_json(answer.ash, answer.ash_sentence, zone=zone),
        "silenced": [item.task for item in answer.items if item.silenced_on is not None],
        "not_counted_yet": _ahead(answer.ahead, zone=zone),
        "log_began": _day(answer.log_began),
        "usual_stay": None
        if usual is None
        else {
            "stays": usual.stays,
            "kg": number_json(usual.kg),
            "burn_days": number_json(usual.burn_days),
            "gap_days": number_json(usual.gap_days),
            "next_on": _day(usual.next_on),
            "next_ends": _day(usual.next_ends),
        },
    }


def ash_json(clock: AshClock, sentence: str, *, zone: tzinfo) -> Json:
    """The ash in its bucket, or tipped before its time."""
    return {
        "state": str(clock.state),
        "filled": time_json(clock.filled, zone=zone),
        "not_before": time_json(clock.not_before, zone=zone),
        "where": clock.where,
        "fire_at": None if clock.fire_at is None else time_json(clock.fire_at, zone=zone),
        "tipped": None if clock.tipped is None else time_json(clock.tipped, zone=zone),
        "sentence": sentence,
    }


def record_json(answer: RecordAnswer, *, zone: tzinfo) -> Json:
    """The upkeep record, oldest first."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "items": [record_row_json(row, zone=zone) for row in answer.rows],
        "place": answer.place,
        "log_began": _day(answer.log_began),
        "oldest_entry": _day(answer.oldest_entry),
        "stays": answer.stays,
        "wood_kg": number_json(answer.wood_kg),
        "not_counted_yet": _ahead(answer.ahead, zone=zone),
    }


def _item(item: DueItem, *, zone: tzinfo) -> Json:
    return {
        "task": item.task,
        "title": item.title,
        "state": str(item.state),
        "overdue": item.state in (DueState.NOW, DueState.DUE),
        "safety": item.safety,
        "decides": None if item.decides is None else str(item.decides),
        "due_on": _day(item.due_on),
        "expected_on": _day(item.expected_on),
        "interval": _interval(item.interval),
        "usual_interval": None if item.usual is None else _interval(item.usual),
        "kg_since": number_json(item.kg_since),
        "kg_left": number_json(item.kg_left),
        "burn_days_since": item.burn_days_since,
        "burn_days_left": number_json(item.burn_days_left),
        "last": None if item.last is None else _last(item.last, zone=zone),
        "log_longer": item.log_longer,
        "called_for": [_call(call) for call in item.called_for],
        "also_due": None if item.also_due is None else str(item.also_due),
        "how": item.how,
        "silenced_on": _day(item.silenced_on),
        "sentence": item.sentence,
    }


def _call(call: Call) -> Json:
    return {
        "kind": str(call.kind),
        "on": _day(call.on),
        "what": call.what,
        "where": call.where,
        "deposit_mm": number_json(call.deposit_mm),
    }


def _interval(interval: Interval) -> Json:
    return {
        "months": interval.months,
        "days": number_json(interval.days),
        "kg": number_json(interval.kg),
        "burn_days": number_json(interval.burn_days),
        "source": interval.source,
    }


def _last(last: LastDone, *, zone: tzinfo) -> Json:
    return {
        "on": _day(last.on),
        "at": time_json(last.at, zone=zone),
        "only_looked": last.only_looked,
        "finding": last.finding,
        "deposit_mm": number_json(last.deposit_mm),
        "by": last.by,
        "photos": list(last.photos),
        "until": _day(last.until),
    }


def record_row_json(row: RecordRow, *, zone: tzinfo) -> Json:
    """One line of the upkeep record."""
    return {
        "at": time_json(row.at, zone=zone),
        "on": _day(row.on),
        "kind": row.kind,
        "task": row.task,
        "what": row.what,
        "finding": row.finding,
        "deposit_mm": number_json(row.deposit_mm),
        "by": row.by,
        "photos": list(row.photos),
        "until": _day(row.until),
        "kg_before": number_json(row.kg_before),
        "written_on": _day(row.written_on),
    }


def _ahead(ahead: Iterable[Ahead], *, zone: tzinfo) -> list[Json]:
    return [{"task": one.task, "at": time_json(one.at, zone=zone)} for one in ahead]


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
