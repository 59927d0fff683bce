"""Stays, seasons and this weekend in other years as JSON; in SI, times with the site's offset."""

from __future__ import annotations

from datetime import datetime, tzinfo

from logbook.as_json import Json, number_json, time_json
from logbook.results.stays import Extreme, StayRow, StaysAnswer, ThisWeekendAnswer, YearPage, YearsAnswer


def stays_json(answer: StaysAnswer, *, zone: tzinfo) -> Json:
    """Every stay, oldest first."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "items": [stay_json(stay, zone=zone) for stay in answer.stays],
    }


def stay_json(stay: StayRow, *, zone: tzinfo) -> Json:
    """One stay."""
    return {
        "start": time_json(stay.start, zone=zone),
        "end": time_json(stay.end, zone=zone),
        "going_on": stay.going_on,
        "people": list(stay.people),
        "head_count": number_json(stay.head_count),
        "head_count_said": stay.head_count_said,
        "nights": stay.nights,
        "wood_kg": number_json(stay.wood_kg),
        "wood_kg_dry": number_json(stay.wood_kg_dry),
        "coldest_dawn_inside": extreme_json(stay.coldest_inside, zone=zone),
        "coldest_dawn_outside": extreme_json(stay.coldest_outside, zone=zone),
        "purpose": stay.purpose,
        "guest_book": list(stay.guest_book),
    }


def years_json(answer: YearsAnswer, *, zone: tzinfo) -> Json:
    """Seasons, oldest first."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "items": [season_json(page, zone=zone) for page in answer.seasons],
    }


def this_weekend_json(answer: ThisWeekendAnswer, *, zone: tzinfo) -> Json:
    """This weekend in other years, the newest first."""
    return {
        "as_of": time_json(answer.as_of, zone=zone),
        "saturday": answer.saturday.isoformat(),
        "items": [
            {"year": other.year, "weeks_off": other.weeks_off, **stay_json(other.stay, zone=zone)}
            for other in answer.stays
        ],
    }


def extreme_json(found: Extreme | None, *, zone: tzinfo) -> Json | None:
    """A temperature and when it was read, or null."""
    if found is None:
        return None
    return {"temperature_c": number_json(found.temperature_c), "at": time_json(found.at, zone=zone)}


def season_json(page: YearPage, *, zone: tzinfo) -> Json:
    """One season."""
    return {
        "season": page.name,
        "begins": page.begins.isoformat(),
        "ends": page.ends.isoformat(),
        "going_on": page.going_on,
        "first_fire": _time(page.first_fire, zone=zone),
        "last_fire": _time(page.last_fire, zone=zone),
        "coldest_dawn_inside": extreme_json(page.coldest_inside, zone=zone),
        "coldest_dawn_outside": extreme_json(page.coldest_outside, zone=zone),
        "wood_kg": number_json(page.wood_kg),
        "wood_kg_dry": number_json(page.wood_kg_dry),
        "burn_days": page.burn_days,
        "nights": page.nights,
        "stays": page.stays,
        "person_nights": number_json(page.person_nights),
        "guest_book": [{"stay": time_json(at, zone=zone), "line": line} for at, line in page.guest_book],
    }


def _time(at: datetime | None, *, zone: tzinfo) -> str | None:
    return None if at is None else time_json(at, zone=zone)
