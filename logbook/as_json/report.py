"""The report of a stay and of a season as JSON: ``{"report": {...}}``, SI, times with the site's offset.

A stay: ``kind`` "stay", ``as_of``, ``place``, ``stay`` (as an item of ``stays``), ``band_c`` [lo, hi],
``band_assumed``, ``loads`` [{``at``, ``kg``, ``kg_dry``, ``pieces``, ``species``, ``kindling``,
``air_open_pct``, ``then_open_pct``, ``then_minutes``}], ``nights`` and ``counted`` (below), ``extremes``
{``inside_lowest``, ``inside_highest``, ``outside_lowest``, ``outside_highest``: {``temperature_c``, ``at``}
or null}, ``upkeep`` (rows of the upkeep record), ``matters`` [{``at``, ``kind``, ``text``}], ``notes``
[{``at``, ``note``}].

A season: ``kind`` "season", ``as_of``, ``place``, ``season`` (as an item of ``stays --year``), ``band_c``,
``band_assumed``, ``stays`` (those begun in it), ``household_wood`` {``word``, ``amount`` R} or null,
``months`` [{``month`` "2026-01", ``stays``, ``nights``, ``burn_days``, ``wood_kg``, ``wood_kg_dry``,
``coldest_outside_c``, ``degree_days_k``, ``degree_days_65f_k``, ``days_known``}], ``nights``, ``counted``,
``degrees`` {``days``, ``of_days``, ``base_c``, ``inside_c``, ``degree_days_k``, ``degree_days_65f_k``,
``degree_hours_k``} or null, ``records`` {``extremes``, ``biggest_load`` {``at``, ``kg``}, ``most_wood`` and
``longest`` (stays)}, ``upkeep``, ``works`` [{``name``, ``from``, ``compared`` (as a change of ``compare``,
or null where it was not compared yet), and its costs}].

A night: ``evening``, ``bed``, ``wake``, ``marks_inferred``, ``load_kg``, ``loads_after``, ``air_open_pct``,
``bed_c``, ``observed_at_wake_c``, ``outdoor_low_c``, ``outdoor_low_read`` (false: it is the forecast low),
``predicted_at_wake_c`` R or null, ``reckoned``, ``inside_90``. ``counted``: ``slept``, ``read``, ``in_band``,
``below``, ``above``, ``held`` of ``scored`` forecasts, ``not_reckoned``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import tzinfo

from logbook.as_json import Json, number_json, range_json, time_json
from logbook.as_json.stays import extreme_json, season_json, stay_json
from logbook.as_json.upkeep import record_row_json
from logbook.as_json.works import change_json, paid_json
from logbook.results.improvements import WorkPaid
from logbook.results.report import (
    DegreesKnown,
    Extremes,
    LoadRow,
    MonthRow,
    NightTold,
    Records,
    SeasonReport,
    StayReport,
)


def stay_report_json(report: StayReport, *, zone: tzinfo) -> Json:
    """A stay."""
    return {
        "report": {
            "kind": "stay",
            "as_of": time_json(report.as_of, zone=zone),
            "place": report.place,
            "stay": stay_json(report.stay, zone=zone),
            "band_c": [number_json(c) for c in report.band_c],
            "band_assumed": report.band_assumed,
            "loads": [_load(load, zone=zone) for load in report.loads],
            "nights": _nights(report.nights, zone=zone),
            "counted": asdict(report.counted),
            "extremes": _extremes(report.extremes, zone=zone),
            "upkeep": [record_row_json(row, zone=zone) for row in report.upkeep],
            "matters": [
                {"at": time_json(m.at, zone=zone), "kind": m.kind, "text": m.text} for m in report.matters
            ],
            "notes": [{"at": time_json(at, zone=zone), "note": note} for at, note in report.notes],
        }
    }


def season_report_json(report: SeasonReport, *, zone: tzinfo) -> Json:
    """A season."""
    found = report.household
    return {
        "report": {
            "kind": "season",
            "as_of": time_json(report.as_of, zone=zone),
            "place": report.place,
            "season": season_json(report.page, zone=zone),
            "band_c": [number_json(c) for c in report.band_c],
            "band_assumed": report.band_assumed,
            "stays": [stay_json(stay, zone=zone) for stay in report.stays],
            "household_wood": {"word": found.word, "amount": range_json(found.amount)} if found else None,
            "months": [_month(month) for month in report.months],
            "nights": _nights(report.nights, zone=zone),
            "counted": asdict(report.counted),
            "degrees": _degrees(report.degrees),
            "records": _records(report.records, zone=zone),
            "upkeep": [record_row_json(row, zone=zone) for row in report.upkeep],
            "works": [_work(work, zone=zone) for work in report.works],
        }
    }


def _load(load: LoadRow, *, zone: tzinfo) -> Json:
    return {
        "at": time_json(load.at, zone=zone),
        "kg": number_json(load.kg),
        "kg_dry": number_json(load.kg_dry),
        "pieces": load.pieces,
        "species": load.species,
        "kindling": load.kindling,
        "air_open_pct": number_json(load.air_open_pct),
        "then_open_pct": number_json(load.then_open_pct),
        "then_minutes": number_json(load.then_minutes),
    }


def _nights(nights: Sequence[NightTold], *, zone: tzinfo) -> list[Json]:
    return [
        {
            "evening": night.evening.isoformat(),
            "bed": time_json(night.bed, zone=zone),
            "wake": time_json(night.wake, zone=zone),
            "marks_inferred": night.marks_inferred,
            "load_kg": number_json(night.load_kg),
            "loads_after": night.loads_after,
            "air_open_pct": number_json(night.air_open_pct),
            "bed_c": number_json(night.bed_c),
            "observed_at_wake_c": number_json(night.woke_c),
            "outdoor_low_c": number_json(night.outdoor_low_c),
            "outdoor_low_read": night.outdoor_low_read,
            "predicted_at_wake_c": range_json(night.said_at_wake_c),
            "reckoned": night.reckoned,
            "inside_90": night.held,
        }
        for night in nights
    ]


def _extremes(found: Extremes, *, zone: tzinfo) -> Json:
    return {
        "inside_lowest": extreme_json(found.inside_lowest, zone=zone),
        "inside_highest": extreme_json(found.inside_highest, zone=zone),
        "outside_lowest": extreme_json(found.outside_lowest, zone=zone),
        "outside_highest": extreme_json(found.outside_highest, zone=zone),
    }


def _month(month: MonthRow) -> Json:
    return {
        "month": f"{month.year:04d}-{month.month:02d}",
        "stays": month.stays,
        "nights": month.nights,
        "burn_days": month.burn_days,
        "wood_kg": number_json(month.wood_kg),
        "wood_kg_dry": number_json(month.wood_kg_dry),
        "coldest_outside_c": number_json(month.coldest_outside_c),
        "degree_days_k": number_json(month.degree_days_k),
        "degree_days_65f_k": number_json(month.degree_days_65f_k),
        "days_known": month.days_known,
    }


def _degrees(found: DegreesKnown | None) -> Json | None:
    return None if found is None else {name: number_json(value) for name, value in asdict(found).items()}


def _records(records: Records, *, zone: tzinfo) -> Json:
    biggest = records.biggest_load
    return {
        "extremes": _extremes(records.extremes, zone=zone),
        "biggest_load": (
            {"at": time_json(biggest[0], zone=zone), "kg": number_json(biggest[1])} if biggest else None
        ),
        "most_wood": stay_json(records.most_wood, zone=zone) if records.most_wood else None,
        "longest": stay_json(records.longest, zone=zone) if records.longest else None,
    }


def _work(work: WorkPaid, *, zone: tzinfo) -> Json:
    return {
        "name": work.name,
        "from": time_json(work.since, zone=zone),
        "compared": change_json(work.change, zone=zone) if work.change else None,
        **paid_json(work),
    }
