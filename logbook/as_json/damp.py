"""Damp as JSON; in SI, a dew point below 0 °C being a frost point."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from logbook.as_json import Json, number_json, range_json, time_json
from logbook.results.damp import Airing, DampAnswer


def damp_json(answer: DampAnswer, *, advice: Sequence[str], zone: tzinfo) -> Json:
    """Humidity by place, surfaces, what was seen, the stay's water, airing, and the advice in words."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "indoor_c": number_json(answer.inside_c),
        "outdoor_c": number_json(answer.outdoor_c),
        "outdoor_from": str(answer.outdoor_from) if answer.outdoor_from else None,
        "rh_pct": number_json(answer.rh_pct),
        "dew_point_c": number_json(answer.dew_point_c),
        "items": [
            {
                "place": row.place,
                "at": time_json(row.at, zone=zone),
                "temperature_c": number_json(row.temperature_c),
                "rh_pct": number_json(row.rh_pct),
                "dew_point_c": number_json(row.dew_point_c),
            }
            for row in answer.readings
        ],
        "surfaces": [
            {
                "kind": row.kind,
                "faces": row.faces,
                "u_w_per_m2k": number_json(row.u_w_per_m2k),
                "assumed": row.assumed,
                "inside_c": number_json(row.inside_c),
                "behind_furniture_c": number_json(row.behind_c),
                "wet_from_rh_pct": number_json(row.wet_from_rh_pct),
                "state": str(row.state) if row.state else None,
            }
            for row in answer.surfaces
        ],
        "seen": [
            {
                "sight": str(row.sight),
                "place": row.place,
                "since": time_json(row.since, zone=zone),
                "last": time_json(row.last, zone=zone),
                "times": row.times,
            }
            for row in answer.seen
        ],
        "person_days": number_json(answer.water.person_days) if answer.water else None,
        "stay_water_kg": range_json(answer.water.kg) if answer.water else None,
        "airing": airing_json(answer.airing),
        "advice": list(advice),
    }


def airing_json(airing: Airing | None) -> Json | None:
    """Airing on leaving, or null."""
    if airing is None:
        return None
    return {
        "cooled_c": number_json(airing.cooled_c),
        "outdoor_c": number_json(airing.outdoor_c),
        "reachable": airing.reachable,
        "air_changes": number_json(airing.air_changes),
        "water_in_air_kg": number_json(airing.in_air_kg),
        "minutes": [
            {"how": how, "least": number_json(least), "most": number_json(most)}
            for how, least, most in airing.minutes
        ],
    }
