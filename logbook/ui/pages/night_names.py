"""A past night's short name and its verdict in a word, as the list and the opened night say them."""

from __future__ import annotations

from logbook.results.night import NightScore
from logbook.ui.view import View
from logbook.wording.amounts import MONTHS, WEEKDAYS

RECENT_DAYS = 20
"""Nights so near are told by their weekday."""


def night_said(view: View, score: NightScore) -> str:
    """The night by its evening, in six columns: "Sat 10" when recent, else "20 Dec"."""
    local = score.bed.astimezone(view.zone)
    if local.hour < 12:
        # In bed after midnight: still the evening before's night.
        local = local.fromordinal(local.toordinal() - 1)
    if abs((view.now.astimezone(view.zone).date() - local.date()).days) < RECENT_DAYS:
        return f"{WEEKDAYS[local.weekday()]} {local.day:>2}"
    return f"{local.day:>2} {MONTHS[local.month - 1]}"


def verdict(score: NightScore) -> str:
    """ "in", "low" or "high"; nothing when no morning reading tells."""
    if score.observed_at_wake_c is None or score.inside_90 is None:
        return ""
    if score.inside_90:
        return "in"
    return "low" if score.observed_at_wake_c < score.predicted_at_wake_c.p05 else "high"
