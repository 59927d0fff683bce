"""Nights: what was said beforehand, and what came."""

from __future__ import annotations

import math

from logbook.answers import NightRow, Track
from logbook.results import NightScore
from logbook.ui.cells import BLANK, Act, Role, Row, Span, margin_row, paragraph, spread, wrapped
from logbook.ui.phrases import (
    air,
    temperature,
    whole_degrees,
)
from logbook.ui.view import View
from logbook.wording.amounts import MONTHS, WEEKDAYS

EMPTY = "No night told beforehand yet. The first comes after one evening and one morning reading."
WAITING = "Reckoning each night from what was known before it. You can write."


def rows(view: View) -> list[Row]:
    """The page's rows under the head."""
    track = view.track
    if track is None:
        return paragraph("score", view.waiting("nights", WAITING), words=view.words, role=Role.FAINT)
    if not track.rows:
        return paragraph("score", EMPTY, words=view.words)
    score = paragraph("score", " ".join(track.score), words=view.words, most=3)
    count = min(len(track.rows), view.height - 7 - len(score) - 1 - DETAIL_ROWS - 1)
    return [*score, _titles(view, track), *_list(view, track, count=count), *_detail(view, track)]


DETAIL_ROWS = 4
RECENT_DAYS = 20
"""Nights so near are told by their weekday."""


def list_count(view: View) -> int:
    """About how many nights are shown: how far PgDn goes."""
    return max(1, view.height - 7 - 3 - DETAIL_ROWS - 1)


def chosen_index(view: View, track: Track) -> int:
    """Which night is looked at; the newest when none was chosen."""
    return min(max(0, view.chosen or 0), max(0, len(track.rows) - 1))


def _list(view: View, track: Track, *, count: int) -> list[Row]:
    chosen = chosen_index(view, track)
    count = max(1, count)
    start = max(0, chosen - count + 1)
    shown = range(start, min(len(track.rows), start + count))
    span = _scale(track)
    out = [_night_row(view, track, index, span, chosen=index == chosen) for index in shown]
    return spread(out, count=count)


def _picture_columns(view: View) -> int:
    return 40 if view.wide else 20 if view.narrow else 24


def _scale(track: Track) -> tuple[float, float]:
    """Lowest and highest temperature of the picture, °C: everything said or seen, and the band."""
    values = [*track.band_c]
    for row in track.rows:
        found = row.score.predicted_at_wake_c
        values += [found.p05, found.p95]
        if row.score.observed_at_wake_c is not None:
            values.append(row.score.observed_at_wake_c)
    values = [value for value in values if math.isfinite(value)]
    return math.floor(min(values)) - 0.5, math.ceil(max(values)) + 0.5


def _column(value_c: float, span: tuple[float, float], columns: int) -> int:
    share = (value_c - span[0]) / (span[1] - span[0])
    return min(columns - 1, max(0, math.floor(share * columns)))


def _titles(view: View, track: Track) -> Row:
    columns = _picture_columns(view)
    span = _scale(track)
    scale = [" "] * columns
    for value in track.band_c:
        said = whole_degrees(value, units=view.units)
        at = min(_column(value, span, columns), columns - len(said))
        scale[at : at + len(said)] = list(said)
    lead = f"{'wood':<8}{'air':<22}" if not view.narrow else f"{'wood':<8}"
    text = f"{lead}{''.join(scale)} woke °{view.units.temperature}"
    return margin_row("night", Span(text, Role.FAINT))


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


def _night_row(view: View, track: Track, index: int, span: tuple[float, float], *, chosen: bool) -> Row:
    row = track.rows[index]
    score = row.score
    lead = f"{row.wood[:8]:<8}" if len(row.wood) < 8 else f"{row.wood.replace(' ', '')[:7]:<8}"
    if not view.narrow:
        said = air(score.air_open_pct) if score.air_open_pct is not None else "air not written"
        lead += f"{said:<22}"
    woke = score.observed_at_wake_c
    units = view.units
    end = (
        f" {temperature(woke, units=units, decimals=1):>7} {verdict(score)}"
        if woke is not None
        else " not read"
    )
    role = Role.INK if chosen else Role.FAINT
    picture = _picture(view, row, track, span)
    return margin_row(
        night_said(view, score),
        Span(lead, role),
        *picture,
        Span(end, Role.INK),
        chosen=chosen,
        act=Act("choose", str(index)),
    )


def _picture(view: View, row: NightRow, track: Track, span: tuple[float, float]) -> list[Span]:
    """One dot on one range: ├──●──┤, with a point where the wanted band ends."""
    columns = _picture_columns(view)
    cells = [" "] * columns
    cells[_column(track.band_c[1], span, columns)] = "·"
    cells[_column(track.band_c[0], span, columns)] = "·"
    found = row.score.predicted_at_wake_c
    if math.isfinite(found.p05) and math.isfinite(found.p95):
        low, high = _column(found.p05, span, columns), _column(found.p95, span, columns)
        cells[low : high + 1] = ["─"] * (high + 1 - low)
        cells[low], cells[high] = "├", "┤"
    woke = row.score.observed_at_wake_c
    if woke is None or not math.isfinite(woke):
        return [Span("".join(cells), Role.EDGE)]
    at = _column(woke, span, columns)
    return [
        Span("".join(cells[:at]), Role.EDGE),
        Span("●", Role.MEASURED),
        Span("".join(cells[at + 1 :]), Role.EDGE),
    ]


def _detail(view: View, track: Track) -> list[Row]:
    """The chosen night in sentences."""
    row = track.rows[chosen_index(view, track)]
    said = " ".join(row.notes)
    if row.score.air_open_pct is not None and view.narrow:
        said += f" Air {air(row.score.air_open_pct)}."
    lines = wrapped(said, width=view.words)
    known = ", each from earlier records only" if all(r.score.recomputed for r in track.rows) else ""
    count = f"{len(track.rows)} nights{known}; ↑ ↓ PgUp PgDn look at each"
    if view.narrow:
        count = f"{len(track.rows)} nights; ↑ ↓ PgUp PgDn"
    out: list[Row] = [
        margin_row(night_said(view, row.score) if n == 0 else "", Span(line))
        for n, line in enumerate(lines[: DETAIL_ROWS - 1])
    ]
    return [BLANK, *spread(out, count=DETAIL_ROWS - 1), margin_row("", Span(count, Role.FAINT))]
