"""One past night laid open, or two side by side: the range that was said, what came, and its lines."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from rich.cells import cell_len

from logbook.records import OwnUnits
from logbook.results.app import Ahead
from logbook.ui.cells import Role, Row, Span, fitted, margin_row, paragraph, spread, wrapped
from logbook.ui.chart import NAMES_BEYOND, Drawing, Frame, drawn
from logbook.ui.lanes import lanes
from logbook.ui.looking import Opened
from logbook.ui.pages.night_names import night_said, verdict
from logbook.ui.phrases import air, clock, open_part, temperature, temperature_range
from logbook.ui.view import View
from logbook.wording.amounts import difference_text, mass_text

BEFORE_BED, AFTER_WAKING = timedelta(hours=3), timedelta(hours=2.5)
"""How much of the evening and the morning the chart shows; right of waking stand the names of the range."""

NAME_COLUMNS = 16
"""The longest name, " down to −10 °C ": without so much room right of waking it would cover the morning."""

LEAST_STEP_K = 0.5
"""Degrees a row of the chart stands for at the least: a night that hardly moved is not blown up."""

HALF_COLUMNS = 60
"""What each of two nights has on a wide window."""

LEAST_CHART, LANES = 3, 4
LEAST_OF_TWO = 5
"""Rows of each of two charts, one above the other; lanes are left out before a chart gets fewer."""

TITLE_ROWS = 2
"""What burned and what came, of one of two nights, on a usual window."""

LEFT_OUT = "Wood, air and outdoors by the hour: Esc, then Enter on a night."
LEFT_OUT_NARROW = "Wood, air: Esc, then Enter on a night."


def rows(view: View, *, plain: bool) -> list[Row]:
    """The page under the head, for one night or for two."""
    opened, count = view.looking.opened, view.height - 7
    frames = _frames(view, opened, columns=_columns(view, pair=len(opened) > 1))
    if len(opened) == 1:
        return _one(view, opened[0], frames[0], plain=plain, count=count)
    names = " against ".join(night_said(view, night.row.score).strip() for night in reversed(opened))
    said = f"{names}: {difference_said(opened, units=view.units)}"
    apart = paragraph("beside", said, words=view.words, most=3 if view.narrow else 2)
    if not view.wide and _block_rows(view, len(apart)) - TITLE_ROWS - LANES < LEAST_OF_TWO:
        each = (count - len(apart) - 1) // 2
        low = [
            _low_block(view, night, frame, plain=plain, count=each)
            for night, frame in zip(opened, frames, strict=True)
        ]
        left_out = LEFT_OUT_NARROW if view.narrow else LEFT_OUT
        return [*apart, *low[0], *low[1], margin_row("", Span(left_out, Role.FAINT))]
    blocks = [
        _block(view, night, frame, plain=plain, words=_words(view), count=_block_rows(view, len(apart)))
        for night, frame in zip(opened, frames, strict=True)
    ]
    if view.wide:
        pairs = zip(*blocks, strict=True)
        return [*apart, *((*fitted(left, width=HALF_COLUMNS), *right) for left, right in pairs)]
    return [*apart, *blocks[0], *blocks[1]]


def scroll_rows(view: View) -> int:
    """How far the lines can be moved."""
    opened, count = view.looking.opened, view.height - 7
    if not opened:
        return 0
    if len(opened) == 1:
        room = count - len(_title(view, opened[0])) - _one_chart(view)
        return _too_many(len(_lines(view, opened[0], words=view.words)), room)
    room = _block_rows(view, 1) - 3 - _pair_chart(view) - LANES
    longest = max(len(_lines(view, night, words=_words(view))) for night in opened)
    return _too_many(longest, room) if view.wide else 0


def _too_many(lines: int, room: int) -> int:
    """How far lines can be moved: one row of the room says that there are more."""
    return lines - max(0, room - 1) if lines > room else 0


def difference_said(opened: Sequence[Opened], *, units: OwnUnits) -> str:
    """How the second night differs from the first, in one sentence."""
    first, second = (night.row for night in opened)
    parts = []
    if kg := second.score.wood_kg - first.score.wood_kg:
        parts.append(f"{mass_text(abs(kg), units=units)} {'more' if kg > 0 else 'less'} wood")
    airs = [row.score.air_open_pct for row in (first, second)]
    if None not in airs and round(airs[0] or 0) != round(airs[1] or 0):
        parts.append(f"air {open_part(airs[1] or 0)} against {open_part(airs[0] or 0)} open")
    parts += _apart(first.outdoor_low_c, second.outdoor_low_c, ("warmer outside", "colder outside"), units)
    parts += _apart(_at_bed(opened[0]), _at_bed(opened[1]), ("warmer at bed", "colder at bed"), units)
    woke = _apart(first.score.observed_at_wake_c, second.score.observed_at_wake_c, ("higher", "lower"), units)
    end = f"woke {woke[0]}" if woke else "no two mornings read to set against each other"
    return f"{', '.join([*parts, end])}."


def _apart(a: float | None, b: float | None, words: tuple[str, str], units: OwnUnits) -> list[str]:
    if a is None or b is None or abs(b - a) < 0.05:
        return []
    return [f"{difference_text(abs(b - a), units=units)} {words[0] if b > a else words[1]}"]


def _at_bed(night: Opened) -> float | None:
    """The reading nearest to bed, within the hour."""
    bed = night.row.score.bed
    near = [(abs(at - bed), c) for at, c in night.lived.past.inside_c if abs(at - bed) <= timedelta(hours=1)]
    return min(near)[1] if near else None


def _columns(view: View, *, pair: bool) -> int:
    if view.wide:
        return HALF_COLUMNS - 12 if pair else 96
    return 36 if view.narrow else 64


def _words(view: View) -> int:
    return HALF_COLUMNS - 9 if view.wide else view.words


def _one_chart(view: View) -> int:
    """Rows of chart and lanes of a single night."""
    return (16 if view.large else max(LEAST_CHART, 7 - max(0, 24 - view.height))) + LANES


def _pair_chart(view: View) -> int:
    return 12 if view.large and view.wide else 7 if view.wide else 10


def _block_rows(view: View, said: int) -> int:
    count = view.height - 7 - said
    return count if view.wide else count // 2


def _one(view: View, night: Opened, frame: Frame, *, plain: bool, count: int) -> list[Row]:
    title = _title(view, night)
    chart = _chart(view, night, frame, plain=plain, rows=_one_chart(view) - LANES)
    lines = _lines(view, night, words=view.words)
    return [*title, *chart, *_scrolled(view, lines, count=count - len(title) - len(chart))]


def _scrolled(view: View, lines: list[Row], *, count: int) -> list[Row]:
    """As many of the lines as there is room for; what is left below is said in the last row."""
    if len(lines) <= count:
        return spread(lines, count=count)
    shown = lines[view.looking.scroll :][: max(0, count - 1)]
    left = len(lines) - view.looking.scroll - len(shown)
    said = f"↓ {left} more" if left > 0 else "↑ from the first line"
    return [*shown, margin_row("", Span(f"{said}, Esc closes", Role.FAINT))][:count]


def _block(view: View, night: Opened, frame: Frame, *, plain: bool, words: int, count: int) -> list[Row]:
    """One of two nights: its title, its chart, and as many of its lines as there is room for."""
    title = _told(view, night, words=words, most=3)
    if view.wide:
        title = spread(title, count=3)  # both charts begin in the same row
    rest = count - len(title)
    tall = min(_pair_chart(view), rest - LANES) if rest - LANES >= LEAST_CHART else max(0, rest - 2)
    chart = _chart(view, night, frame, plain=plain, rows=max(LEAST_CHART, tall), names=False)
    room = count - len(title) - len(chart)
    lines = _scrolled(view, _lines(view, night, words=words), count=room) if view.wide else []
    return spread([*title, *chart, *lines], count=count)


def _low_block(view: View, night: Opened, frame: Frame, *, plain: bool, count: int) -> list[Row]:
    """One of two nights in few rows: a title in one of them, the chart, and the hours as its only lane."""
    name = night_said(view, night.row.score)
    title = margin_row(name, Span(_in_a_row(view, night)))
    tall = max(LEAST_CHART, count - 2)
    chart = _chart(view, night, frame, plain=plain, rows=tall, names=False)
    return spread([title, *chart[: len(chart) - LANES + 1]], count=count)


def _in_a_row(view: View, night: Opened) -> str:
    """What burned and what came, in as many words as a row holds; the range stands on the chart as well."""
    row, units, words = night.row, view.units, view.words
    burned, long, short = _sentences(view, night)
    woke = row.score.observed_at_wake_c
    bare = "Nobody read it" if woke is None else f"Woke to {temperature(woke, units=units, decimals=1)}"
    end = f": {VERDICTS[verdict(row.score)]}" if verdict(row.score) else ""
    tries = [f"{burned} {long}", f"{burned} {short}", f"{burned} {bare}{end}.", f"{burned} {bare}."]
    if row.score.air_open_pct is not None:
        tries.append(f"{row.wood}, {air(row.score.air_open_pct)}. {bare}.")
    least = f"{row.wood}. {bare}."
    return next((said for said in (*tries, least) if cell_len(said) <= words), least)


def _told(view: View, night: Opened, *, words: int, most: int) -> list[Row]:
    """What burned and what came, in one row or a sentence a row: never broken in the middle of a figure."""
    burned, *came = _sentences(view, night)
    fits = next((said for said in came if cell_len(said) <= words), came[0])
    lines = wrapped(f"{burned} {came[0]}", width=words)
    if len(lines) > 1:
        apart = [*wrapped(burned, width=words), *wrapped(fits, width=words)]
        lines = apart if len(apart) <= most else lines[:most]
    name = night_said(view, night.row.score)
    return [margin_row(name if n == 0 else "", Span(line)) for n, line in enumerate(lines)]


VERDICTS = {"in": "in the range", "low": "below the range", "high": "above the range", "": ""}
VERDICTS_SHORT = {"in": "in range", "low": "below it", "high": "above it", "": ""}


def _sentences(view: View, night: Opened) -> tuple[str, str, str]:
    """What burned, what came, and that in fewer words.

    "2 M, 1/3 open (2/3 closed).", "Said 11–18 °C for 06:30, woke to 14.1 °C: in the range."
    """
    row, units = night.row, view.units
    score = row.score
    parts = [row.wood]
    if score.wood_kg:
        parts.append(mass_text(score.wood_kg, units=units))
    if score.air_open_pct is not None:
        parts.append(air(score.air_open_pct))
    if row.outdoor_low_c is not None:
        parts.append(f"{temperature(row.outdoor_low_c, units=units)} out")
    burned = f"{', '.join(dict.fromkeys(parts))}."
    said = f"Said {temperature_range(score.predicted_at_wake_c, units=units)} for"
    woke = score.observed_at_wake_c
    came = "nobody read it" if woke is None else f"woke to {temperature(woke, units=units, decimals=1)}"
    came = f"{said} {clock(score.wake, zone=view.zone)}, {came}"
    ends = (words[verdict(score)] for words in (VERDICTS, VERDICTS_SHORT))
    long, short = (f"{came}: {end}." if end else f"{came}." for end in ends)
    return burned, long, short


def _title(view: View, night: Opened) -> list[Row]:
    """The night in a sentence, then its notes (their first sentence says the range again: left out)."""
    title = _told(view, night, words=view.words, most=2)
    notes = " ".join(night.row.notes[1:])
    return [*title, *(paragraph("why", notes, words=view.words, most=2) if notes else [])]


def _lines(view: View, night: Opened, *, words: int) -> list[Row]:
    """The night's lines, oldest first, their times in the margin."""
    out: list[Row] = []
    for line in night.lived.lines:
        said = wrapped(line.sentence, width=words)
        out += [
            margin_row(clock(line.at, zone=view.zone) if n == 0 else "", Span(piece))
            for n, piece in enumerate(said)
        ]
    return out or [margin_row("", Span("No line was written around this night.", Role.FAINT))]


def _frames(view: View, opened: Sequence[Opened], *, columns: int) -> list[Frame]:
    """A frame for each night; two have the same hours and the same scale, so that they can be compared."""
    starts = [_hour(night.row.score.bed - BEFORE_BED) for night in opened]
    ends = [night.row.score.wake + AFTER_WAKING for night in opened]
    spans = list(zip(starts, ends, strict=True))
    hours = max(math.ceil((end - start) / timedelta(hours=1)) for start, end in spans)
    # The wanted band's lower end is always on the chart: its rule and number are the scale.
    values = [*_values(opened, spans), *(_band_c(view) or ())[:1]]
    top, bottom = (max(values) + 0.5, min(values) - 0.5) if values else (25.0, 5.0)
    rows = _one_chart(view) - LANES if len(opened) == 1 else _pair_chart(view)
    step = max(LEAST_STEP_K, (top - bottom) / rows)
    return [
        Frame(
            start=start,
            hours=hours,
            columns_per_hour=max(1, columns // hours),
            rows=rows,
            top_c=top,
            step_k=step,
            zone=view.zone,
            units=view.units,
        )
        for start in starts
    ]


def _band_c(view: View) -> tuple[float, float] | None:
    return view.track.band_c if view.track is not None else None


def _hour(at: datetime) -> datetime:
    """The whole hour before: the time lane names hours."""
    return at.replace(minute=0, second=0, microsecond=0)


def _values(opened: Sequence[Opened], spans: Iterable[tuple[datetime, datetime]]) -> Iterable[float]:
    for night, (start, end) in zip(opened, spans, strict=True):
        for _, low, _, high in night.row.foreseen:
            yield from (value for value in (low, high) if math.isfinite(value))
        for at, value in night.lived.past.inside_c:
            if start <= at <= end and math.isfinite(value):
                yield value


def _chart(
    view: View, night: Opened, frame: Frame, *, plain: bool, rows: int, names: bool = True
) -> list[Row]:
    """The said range against the readings, and the lanes. With fewer rows the scale goes with them."""
    if rows != frame.rows:
        frame = _lower(frame, rows)
    said, past = night.row.foreseen, night.lived.past
    score = night.row.score
    drawing = Drawing(
        readings=[point for point in past.inside_c if point[0] >= frame.start - BEFORE_BED],
        low=[(at, low) for at, low, _, _ in said],
        likely=[(at, likely) for at, _, likely, _ in said],
        high=[(at, high) for at, _, _, high in said],
        band_c=_band_c(view),
        names=names and frame.columns - frame.column(score.wake) + NAMES_BEYOND > NAME_COLUMNS,
    )
    under = lanes(
        frame=frame,
        past=past,
        choice=None,
        ahead=Ahead(burning=night.row.burning),
        now=score.wake + timedelta(days=1),
        bed=score.bed,
        wake=score.wake,
    )
    return [*drawn(drawing, frame=frame, plain=plain), *under]


def _lower(frame: Frame, rows: int) -> Frame:
    span = frame.rows * frame.step_k
    return Frame(
        start=frame.start,
        hours=frame.hours,
        columns_per_hour=frame.columns_per_hour,
        rows=rows,
        top_c=frame.top_c,
        step_k=span / rows,
        zone=frame.zone,
        units=frame.units,
    )
