"""The weather typed and read as JSON; in SI, degree-days in K·day."""

from __future__ import annotations

from datetime import tzinfo

from logbook.as_json import Json, number_json, time_json
from logbook.as_json.stays import extreme_json
from logbook.results.weather import DayRow, DegreeTotal, WeatherAnswer


def weather_json(answer: WeatherAnswer, *, zone: tzinfo) -> Json:
    """Days behind and ahead in order, their sums, the owner's own record."""
    miss = answer.miss
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "today": answer.today.isoformat(),
        "base_c": number_json(answer.base_c),
        "inside_c": number_json(answer.inside_c),
        "items": [_day(row) for row in (*answer.behind, *answer.ahead)],
        "season": _total(answer.season),
        "coming": _total(answer.coming),
        "coldest": extreme_json(answer.coldest, zone=zone),
        "warmest": extreme_json(answer.warmest, zone=zone),
        "forecast_lows": None
        if miss is None
        else {
            "days": miss.days,
            "came_minus_forecast_k": number_json(miss.mean_k),
            "mean_miss_k": number_json(miss.mean_size_k),
        },
    }


def _day(row: DayRow) -> Json:
    return {
        "day": row.day.isoformat(),
        "low_c": number_json(row.low_c),
        "high_c": number_json(row.high_c),
        "wind": row.wind,
        "sky": None if row.sky is None else str(row.sky),
        "from": str(row.source),
        "degree_days_k": number_json(row.degree_days_k),
        "degree_days_65f_k": number_json(row.degree_days_65f_k),
        "degree_hours_k": number_json(row.degree_hours_k),
    }


def _total(total: DegreeTotal | None) -> Json | None:
    if total is None:
        return None
    return {
        "first": total.first.isoformat(),
        "last": total.last.isoformat(),
        "days": total.days,
        "only_forecast": total.forecast,
        "degree_days_k": number_json(total.degree_days_k),
        "degree_days_65f_k": number_json(total.degree_days_65f_k),
        "degree_hours_k": number_json(total.degree_hours_k),
    }
