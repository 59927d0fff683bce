"""A list as JSON: the contract's keys, and beside them what it rests on."""

from __future__ import annotations

from datetime import datetime, tzinfo

from logbook.as_json import Json, number_json, time_json
from logbook.results.lists import ListAnswer


def list_json(answer: ListAnswer, *, zone: tzinfo) -> Json:
    """One list. ``condition`` names what the line depends on, several joined by commas; null for always."""
    return {
        "list": str(answer.name),
        "as_of": time_json(answer.as_of, zone=zone),
        "since": _time(answer.since, zone),
        "lines": [
            {
                "n": n,
                "name": line.name,
                "text": line.text,
                "done_at": _time(line.done_at, zone),
                "skipped_at": _time(line.skipped_at, zone),
                "why": line.why,
                "safety": line.safety,
                "condition": ", ".join(map(str, line.conditions)) or None,
                "before": list(line.before),
                "source": line.source or None,
            }
            for n, line in enumerate(answer.lines, start=1)
        ],
        "conditions": [str(condition) for condition in answer.conditions],
        "left_out": [
            {"name": line.name, "text": line.text, "safety": line.safety, "applies": line.applies}
            for line in answer.left_out
        ],
        "outdoor_low_c": None if answer.outdoor_low_c is None else number_json(answer.outdoor_low_c),
        "ash_not_before": _time(answer.bucket_not_before or answer.ash_live_until, zone),
    }


def _time(at: datetime | None, zone: tzinfo) -> str | None:
    return None if at is None else time_json(at, zone=zone)
