"""Nights: what was said beforehand, and what came."""

from __future__ import annotations

import math
from dataclasses import replace

from logbook.results.app import NightRow, Track
from logbook.ui.cells import BLANK, Act, Role, Row, Span, margin_row, paragraph, spread, wrapped
from logbook.ui.looking import evening_year, filter_said, shown
from logbook.ui.pages import past_night
from logbook.ui.pages.night_names import night_said, verdict
from logbook.ui.phrases import air, temperature, whole_degrees
from logbook.ui.view import View

EMPTY = "No night told beforehand yet. The first comes after one evening and one morning reading."
WAITING = "Reckoning each night from what was known before it. You can write."


def rows(view: View, *, plain: bool = False) -> list[Row]:
    """The page's rows under the head: the list, or what is laid open."""
    if view.looking.opened:
        return past_night.rows(view, plain=plain)
    track = view.track
    if track is None:
        return paragraph("score", view.waiting("nights", WAITING), words=view.words, role=Role.FAINT)
    if not track.rows:
        return paragraph("score", EMPTY, words=view.words)
    score = _score(view, track)
    listed = replace(track, rows=shown(track, view.looking, zone=view.zone))
    if not listed.rows:
        return [*score, BLANK, *_none_passes(view, track)]
    track, every = listed, track
    count = min(len(track.rows), view.height - 7 - len(score) - 1 - DETAIL_ROWS - 1)
    return [*score, _titles(view, track), *_list(view, track, count=count), *_detail(view, track, every)]


def _score(view: View, track: Track) -> list[Row]:
    """The score in one row, or a sentence a row where that takes no more: no word stands alone."""
    whole = wrapped(" ".join(track.score), width=view.words)
    apart = [line for said in track.score for line in wrapped(said, width=view.words)]
    lines = apart if len(apart) <= len(whole) else whole
    return [margin_row("score" if n == 0 else "", Span(line)) for n, line in enumerate(lines[:3])]


DETAIL_ROWS = 5

KEYS_SAID = "Enter opens  v, v beside  x leaves out, v back  f fire z cold s year"
KEYS_NARROW = "Enter opens  v v two  x out  f fire z cold s year"


def list_count(view: View) -> int:
    """About how many nights are shown: how far PgDn goes."""
    return max(1, view.height - 7 - 3 - DETAIL_ROWS - 1)


def row_count(view: View) -> int:
    """How many nights pass the filters; of an open night, how far its lines can be moved."""
    if view.looking.opened:
        return past_night.scroll_rows(view)
    return len(shown(view.track, view.looking, zone=view.zone)) if view.track else 0


def _none_passes(view: View, track: Track) -> list[Row]:
    said = f"None of {len(track.rows)} nights: {filter_said(view.looking, track, units=view.units)}."
    said += " Type all for every night, or step on:"
    return [*paragraph("show", said, words=view.words), _keys(view)]


def _keys(view: View) -> Row:
    return margin_row("", Span(KEYS_NARROW if view.narrow else KEYS_SAID, Role.FAINT))


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
    if view.wide:
        years = [_year(view, track, index, first=shown[0]) for index in shown]
        out = [(*row, *year) for row, year in zip(out, years, strict=True)]
    return spread(out, count=count)


def _year(view: View, track: Track, index: int, *, first: int) -> list[Span]:
    """The year beside the first night shown, and beside each that begins an older one."""
    year = evening_year(track.rows[index], zone=view.zone)
    if index > first and year == evening_year(track.rows[index - 1], zone=view.zone):
        return []
    return [Span(f"   {year}", Role.FAINT)]


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
    if view.is_out(score.bed, score.wake):
        end += "  x"
    role = Role.INK if chosen else Role.FAINT
    picture = _picture(view, row, track, span)
    if score.bed == view.looking.marked:
        lead = "v " + lead[:-2] if lead.endswith("  ") else "v" + lead[:-1]
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


def _detail(view: View, track: Track, every: Track) -> list[Row]:
    """The chosen night in sentences, which nights are shown, and what the keys do."""
    row = track.rows[chosen_index(view, track)]
    year = evening_year(row, zone=view.zone)
    said = f"In {year}. " if year < view.now.astimezone(view.zone).year - 1 else ""
    said += "Left out of learning; v uses it again. " if view.is_out(row.score.bed, row.score.wake) else ""
    said += " ".join(row.notes)
    if row.score.air_open_pct is not None and view.narrow:
        said += f" Air {air(row.score.air_open_pct)}."
    lines = wrapped(said, width=view.words)
    out: list[Row] = [
        margin_row(night_said(view, row.score) if n == 0 else "", Span(line))
        for n, line in enumerate(lines[: DETAIL_ROWS - 2])
    ]
    shows = wrapped(_shows(view, track, every), width=view.words)[:1]
    show = margin_row("show", Span("".join(shows), Role.FAINT))
    return [BLANK, *spread(out, count=DETAIL_ROWS - 3), show, _keys(view)]


def _shows(view: View, track: Track, every: Track) -> str:
    """Which nights, and which is marked: "4 of 33 nights: no fire, 2026"."""
    marked = next((r for r in every.rows if r.score.bed == view.looking.marked), None)
    if marked is not None:
        return f"{night_said(view, marked.score)} is marked: v on another shows both, v on it again lets go"
    if view.looking.filtered:
        said = filter_said(view.looking, every, units=view.units)
        return f"{len(track.rows)} of {len(every.rows)} nights: {said}"
    known = ", each from earlier records only" if all(r.score.recomputed for r in track.rows) else ""
    count = f"{len(track.rows)} night{'' if len(track.rows) == 1 else 's'}"
    return f"{count}{'' if view.narrow else known}; ↑ ↓ PgUp PgDn"
