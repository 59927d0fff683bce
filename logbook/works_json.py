"""Answers about works on the cabin as JSON: the contract's keys, and more beside them."""

from __future__ import annotations

from datetime import tzinfo

from logbook.as_json import Json, number_json, range_json, time_json
from logbook.works import ChangeAnswer, CompareAnswer, DriftAnswer, Season, TrialAnswer, WhatIfAnswer


def compare_json(answer: CompareAnswer, *, zone: tzinfo) -> Json:
    """Before and after each change."""
    return {
        "changes": [_change_json(change, zone=zone) for change in answer.changes],
        "seconds": number_json(answer.seconds),
    }


def _change_json(change: ChangeAnswer, *, zone: tzinfo) -> Json:
    return {
        "name": change.name,
        "from": time_json(change.since, zone=zone),
        "heat_loss_change_pct": range_json(change.heat_loss_change_pct),
        "chance_helped": number_json(change.chance_helped),
        "verdict": None if change.verdict is None else str(change.verdict),
        "more_nights": change.more_nights,
        "wood_saved_kg_per_weekend": range_json(change.wood_saved_kg),
        "touched": str(change.touched),
        "effect": range_json(change.effect),
        "nights_before": change.nights_before,
        "nights_after": change.nights_after,
        "together_with": list(change.together_with),
        "taken_out": list(change.taken_out),
        "stay_left_out": change.stay_left_out,
    }


def whatif_json(answer: WhatIfAnswer) -> Json:
    """The cabin now and then; the described figures stand apart from the learned ones."""
    return {
        "steps": list(answer.steps),
        "heat_loss_w_per_k": {
            "now": range_json(answer.heat_loss_now),
            "then": range_json(answer.heat_loss_then),
            "described_now": number_json(answer.described_now_w_per_k),
            "described_then": number_json(answer.described_then_w_per_k),
        },
        "heat_loss_change_pct": range_json(answer.heat_loss_change_pct),
        "learned_share": number_json(answer.learned_share),
        "hours_to_freezing": {
            "outdoor_c": number_json(answer.outdoor_c),
            "now": range_json(answer.freezing_now_h),
            "then": range_json(answer.freezing_then_h),
        },
        "weekend": {
            "hours": number_json(answer.weekend_h),
            "indoor_c": number_json(answer.indoor_c),
            "outdoor_c": number_json(answer.weekend_outdoor_c),
            "outdoor_from": answer.outdoor_from,
            "degree_hours": number_json(answer.degree_hours),
            "wood_kg_now": range_json(answer.wood_now_kg),
            "wood_kg_then": range_json(answer.wood_then_kg),
            "wood_saved_kg": range_json(answer.wood_saved_kg),
        },
        "full_load": {
            "kg_now": number_json(answer.full_load_kg[0]),
            "kg_then": number_json(answer.full_load_kg[1]),
            "hours_now": range_json(answer.full_load_holds_now_h),
            "hours_then": range_json(answer.full_load_holds_then_h),
        },
        "season": None if answer.season is None else _season_json(answer.season),
    }


def _season_json(season: Season) -> Json:
    return {
        "months": season.months,
        "degree_hours": number_json(season.degree_hours),
        "weekends": season.weekends,
        "wood_kg_now": range_json(season.wood_now_kg),
        "wood_kg_then": range_json(season.wood_then_kg),
    }


def drift_json(answer: DriftAnswer, *, zone: tzinfo) -> Json:
    """Whether the last nights keep missing on one side."""
    return {
        "direction": answer.direction,
        "nights": answer.nights,
        "miss_k": number_json(answer.miss_k),
        "since": None if answer.since is None else time_json(answer.since, zone=zone),
        "score": number_json(answer.score),
        "tested": answer.tested,
    }


def trial_json(answer: TrialAnswer) -> Json:
    """Nights one way against the other."""
    return {
        "word": answer.word,
        "seek_k": number_json(answer.seek_k),
        "nights_with": answer.nights_with,
        "nights_without": answer.nights_without,
        "night_sd_k": number_json(answer.night_sd_k),
        "sd_is_assumed": answer.sd_is_assumed,
        "difference_k": range_json(answer.difference_k),
        "chance_warmer": number_json(answer.chance_warmer),
        "verdict": answer.verdict,
        "nights_each_way": answer.nights_each_way,
        "more_nights": answer.more_nights,
    }
