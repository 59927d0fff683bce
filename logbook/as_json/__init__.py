"""Results as the contract's JSON: SI units, ISO times with the site's offset, a range or null."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import fields, is_dataclass
from datetime import date, datetime, tzinfo
from enum import Enum
from typing import Any

from logbook.records import Entry, Event
from logbook.results.night import Choice, FitAnswer, NightsAnswer, PlannedLoad, Range, TonightAnswer
from logbook.setting import on_clock

Json = dict[str, Any]

DECIMALS = 4
"""Digits kept after the point: a tenth of a gram, far below any reading."""


def fit_json(fit: FitAnswer) -> Json:
    """What was learned of cabin and stove."""
    return {
        "heat_loss_w_per_k": range_json(fit.heat_loss_w_per_k),
        "time_constant_h": range_json(fit.time_constant_h),
        "heat_capacity_mj_per_k": range_json(fit.heat_capacity_mj_per_k),
        "stove_efficiency": range_json(fit.stove_efficiency),
        "readings": fit.readings,
        "stays": fit.stays,
        "effective_draws": number_json(fit.effective_draws),
        "seconds": number_json(fit.seconds),
        "from_description_only": fit.from_description_only,
        "cannot_tell": dict(fit.cannot_tell),
        "stays_set_aside": fit.set_aside,
        "stays_typed_twice": len(fit.twice),
        "stays_with_rows_twice": len(fit.copied),
        "doubt": number_json(fit.doubt),
    }


def tonight_json(answer: TonightAnswer, *, zone: tzinfo, from_description_only: bool) -> Json:
    """Ranked choices for one night, or the one tried. Beyond the contract: bed, wake, what was assumed."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "bed": time_json(answer.bed, zone=zone),
        "wake": time_json(answer.wake, zone=zone),
        "band_c": [number_json(c) for c in answer.band_c],
        "choices": [choice_json(choice, zone=zone) for choice in answer.choices],
        "advice": answer.advice,
        "cautions": list(answer.cautions),
        "assumed": list(answer.assumed),
        "from_description_only": from_description_only,
    }


def choice_json(choice: Choice, *, zone: tzinfo) -> Json:
    """One choice."""
    return {
        "loads": [load_json(load, zone=zone) for load in choice.loads],
        "air_open_pct": number_json(choice.air_open_pct),
        "window": str(choice.window),
        "indoor_min_c": range_json(choice.indoor_min_c),
        "indoor_max_c": range_json(choice.indoor_max_c),
        "indoor_at_wake_c": range_json(choice.indoor_at_wake_c),
        "chance_in_band": number_json(choice.chance_in_band),
        "degree_hours_outside": number_json(choice.degree_hours_outside),
        "wood_kg": number_json(choice.wood_kg),
        "hours": [time_json(at, zone=zone) for at in choice.hours],
        "indoor_p05_c": [number_json(c) for c in choice.indoor_p05_c],
        "indoor_p50_c": [number_json(c) for c in choice.indoor_p50_c],
        "indoor_p95_c": [number_json(c) for c in choice.indoor_p95_c],
        "untried": choice.untried,
        "reasons": list(choice.reasons),
        "cautions": list(choice.cautions),
    }


def load_json(load: PlannedLoad, *, zone: tzinfo) -> Json:
    """One load of a choice."""
    return {
        "at": time_json(load.at, zone=zone),
        "kg_dry": number_json(load.kg_dry),
        "kg": number_json(load.kg),
        "pieces": load.pieces,
        "air_open_pct": number_json(load.air_open_pct),
        "open_minutes": number_json(load.open_minutes),
        "kindling": load.kindling,
    }


def nights_json(answer: NightsAnswer, *, zone: tzinfo) -> Json:
    """The track record."""
    return {
        "nights": [
            {
                "bed": time_json(night.bed, zone=zone),
                "wake": time_json(night.wake, zone=zone),
                "predicted_at_wake_c": range_json(night.predicted_at_wake_c),
                "observed_at_wake_c": number_json(night.observed_at_wake_c),
                "inside_90": night.inside_90,
                "wood_kg": number_json(night.wood_kg),
                "air_open_pct": number_json(night.air_open_pct),
                "marks_inferred": night.marks_inferred,
                "recomputed": night.recomputed,
            }
            for night in answer.nights
        ],
        "count": answer.count,
        "inside_90": answer.inside_90,
        "rmse_c": number_json(answer.rmse_c),
    }


def events_json(
    events: Sequence[Event], said: Sequence[str], *, zone: tzinfo, differ: Collection[str] = ()
) -> Json:
    """Entries of the log, each with its sentence and the fields it sets.

    ``conflict`` is true of those in ``differ``: another computer says otherwise, and nobody settled it.
    """
    return {
        "events": [
            {
                "id": event.uuid,
                "at": time_json(event.entry.at, zone=zone) if event.entry else None,
                "written_at": time_json(event.written_at, zone=zone),
                "how": str(event.how),
                "sentence": sentence,
                "line": event.line,
                "conflict": event.uuid in differ,
                "entry": entry_json(event.entry, zone=zone) if event.entry else None,
            }
            for event, sentence in zip(events, said, strict=True)
        ]
    }


def entry_json(entry: Entry, *, zone: tzinfo) -> Json:
    """The fields an entry sets, by the names of the columns."""
    plain = Entry(at=entry.at)
    return {
        f.name: _plain(getattr(entry, f.name), zone=zone)
        for f in fields(entry)
        if f.name == "at" or getattr(entry, f.name) != getattr(plain, f.name)
    }


def range_json(found: Range | None) -> Json | None:
    """A range, or null where it cannot be told."""
    if found is None:
        return None
    return {"p05": number_json(found.p05), "p50": number_json(found.p50), "p95": number_json(found.p95)}


def time_json(at: datetime, *, zone: tzinfo) -> str:
    """ISO time with the site's offset, to the second."""
    return on_clock(at, zone).isoformat(timespec="seconds")


def number_json(value: float | None) -> float | int | None:
    """A number a parser will take: finite and rounded; null for what is not."""
    if value is None or not math.isfinite(value):
        return None
    return value if isinstance(value, int) else round(float(value), DECIMALS)


def _plain(value: object, *, zone: tzinfo) -> object:
    if isinstance(value, datetime):
        return time_json(value, zone=zone)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [_plain(v, zone=zone) for v in value]
    if is_dataclass(value) and not isinstance(value, type):
        return _matter(value, zone=zone)
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, frozenset):
        return sorted(str(v) for v in value)
    return value


def _matter(matter: object, *, zone: tzinfo) -> Json:
    """What an entry says besides the night: its kind, and its fields by their names."""
    from logbook.matters import NAME_OF  # noqa: PLC0415 - most entries say none

    said = {f.name: _plain(getattr(matter, f.name), zone=zone) for f in fields(matter)}  # type: ignore[arg-type]
    return {"kind": NAME_OF[type(matter)], **said}  # type: ignore[index]  # the only records in an entry
