"""Coming, going, waking in the night and what to write down next, as the contract's JSON."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import tzinfo

from logbook.as_json import Json, choice_json, load_json, number_json, range_json, time_json
from logbook.as_json.damp import airing_json
from logbook.results.journeys import ArriveAnswer, LeaveAnswer, Narrowing, Reached, WokeAnswer, WriteDownNext


def arrive_json(answer: ArriveAnswer, *, zone: tzinfo) -> Json:
    """Warm-up in stages. Beyond the contract: the loads, the peak, what it starts from."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "stages": [reached_json(stage) for stage in answer.stages],
        "checklist": list(answer.checklist),
        "cautions": list(answer.cautions),
        "loads": [load_json(load, zone=zone) for load in answer.loads],
        "no_wood": None if answer.no_wood is None else str(answer.no_wood),
        "indoor_c": number_json(answer.inside_c),
        "outdoor_c": number_json(answer.outdoor_c),
        "indoor_max_c": range_json(answer.peak_c),
        "dew_point_c": range_json(answer.dew_point_c),
        "band_c": [number_json(c) for c in answer.band_c],
        "assumed": list(answer.assumed),
    }


def leave_json(answer: LeaveAnswer, *, zone: tzinfo) -> Json:
    """Hours to each line. Beyond the contract: the fire, the ash's date, what it starts from."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "lines": [reached_json(line) for line in answer.lines],
        "checklist": list(answer.checklist),
        "cautions": list(answer.cautions),
        "fire": answer.fire,
        "ash_not_before": time_json(answer.ash_not_before, zone=zone),
        "airing": airing_json(answer.airing),
        "indoor_c": number_json(answer.inside_c),
        "outdoor_low_c": number_json(answer.outdoor_low_c),
        "assumed": list(answer.assumed),
    }


def reached_json(one: Reached) -> Json:
    """A stage or line. ``more_than_h`` is there when part of the range lies beyond the horizon: a percentile
    equal to it means "more than"."""
    found: Json = {"name": one.name, "hours": range_json(one.hours)}
    if one.line_c is not None:
        found["line_c"] = number_json(one.line_c)
    if one.more_than_h is not None:
        found["more_than_h"] = number_json(one.more_than_h)
    return found


def woke_json(answer: WokeAnswer, *, zone: tzinfo) -> Json:
    """What can be done now, the best first; each with the figures of a choice."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "wake": time_json(answer.wake, zone=zone),
        "band_c": [number_json(c) for c in answer.band_c],
        "indoor_c": range_json(answer.inside_c),
        "choices": [{"kind": str(one.kind), **choice_json(one.choice, zone=zone)} for one in answer.choices],
        "cautions": list(answer.cautions),
        "assumed": list(answer.assumed),
    }


def write_down_json(found: WriteDownNext) -> Json:
    """What to write down next: the best for tonight and for nights to come, and every candidate's gain."""
    return {
        "tonight": found.best_tonight,
        "next_nights": found.best_next,
        "tonight_width_k": number_json(found.tonight_width_k),
        "next_nights_width_k": number_json(found.next_width_k),
        "candidates_tonight": _candidates(found.tonight),
        "candidates_next_nights": _candidates(found.next_nights),
        "not_asked_for": [str(note) for note in found.skipped],
    }


def _candidates(found: Iterable[Narrowing]) -> list[Json]:
    return [
        {
            "what": str(one.note),
            "narrower_pct": number_json(100.0 * one.narrower),
            "width_k": number_json(one.width_k),
        }
        for one in found
    ]
