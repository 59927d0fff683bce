"""Answers about works on the cabin as JSON: the contract's keys, and more beside them.

A change of ``compare`` also has what it cost, where that is written down, and when it has paid for itself:
``money`` (the owner's own), ``hours``, ``surface``, ``what``; ``wood_saved_kg_per_year`` R,
``weekends_per_year``, ``wood_money_per_kg``, ``wood_hours_per_kg``; ``payback_years`` R and
``payback_years_by_hours`` R, or ``payback_cannot_tell``: one of the reasons of ``NoPayback``.
Beside ``changes`` stands ``undated``: costs whose work has no dated change yet.
"""

from __future__ import annotations

from datetime import tzinfo

from logbook.as_json import Json, number_json, range_json, time_json
from logbook.results.improvements import Outlay, Payback, WorkPaid, WorksPaid
from logbook.results.works import ChangeAnswer, CompareAnswer, DriftAnswer, Season, TrialAnswer, WhatIfAnswer


def compare_json(answer: CompareAnswer, *, zone: tzinfo, paid: WorksPaid | None = None) -> Json:
    """Before and after each change; with ``paid``, what it cost and when it has paid for itself."""
    works = {} if paid is None else {(work.name, work.change): work for work in paid.works}
    return {
        "changes": [
            change_json(change, zone=zone) | paid_json(works.get((change.name, change)))
            for change in answer.changes
        ],
        "undated": [outlay_json(outlay) for outlay in (paid.undated if paid else ())],
        "seconds": number_json(answer.seconds),
    }


def outlay_json(outlay: Outlay) -> Json:
    """A cost whose work has no dated change."""
    return {
        "name": outlay.name,
        "money": number_json(outlay.money),
        "hours": number_json(outlay.hours),
        "surface": outlay.surface,
        "what": outlay.what,
    }


def paid_json(work: WorkPaid | None) -> Json:
    """What a change cost and when it has paid for itself; every key is there, null where nothing is known."""
    outlay = work.outlay if work else None
    back = work.payback if work else Payback()
    return {
        "money": number_json(outlay.money) if outlay else None,
        "hours": number_json(outlay.hours) if outlay else None,
        "surface": outlay.surface if outlay else "",
        "what": outlay.what if outlay else "",
        "wood_saved_kg_per_year": range_json(back.saved_kg_per_year),
        "weekends_per_year": number_json(back.weekends_per_year),
        "wood_money_per_kg": number_json(back.price.money_per_kg),
        "wood_hours_per_kg": number_json(back.price.hours_per_kg),
        "payback_years": range_json(back.years),
        "payback_years_by_hours": range_json(back.years_by_hours),
        "payback_cannot_tell": None if back.cannot_tell is None else str(back.cannot_tell),
    }


def change_json(change: ChangeAnswer, *, zone: tzinfo) -> Json:
    """One change by the contract's keys."""
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
