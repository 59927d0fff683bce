"""What Now and Tonight share: the chart in the same rows, with the same scale."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING

from logbook.results.first_frame import Ahead
from logbook.ui.cells import Row, paragraph, wrapped
from logbook.ui.chart import Drawing, Frame, drawn, finite
from logbook.ui.lanes import lanes
from logbook.ui.phrases import clock
from logbook.ui.view import View

if TYPE_CHECKING:
    from logbook.results.night import Choice

EVENING_H, MORNING_H = 17, 9
"""The chart lies from 17:00 to 09:00, local time; by day, and once the waking is past, from the hour before
now."""
NARROW_FROM_H, NARROW_HOURS = 19, 12
ABOVE_BAND_K = 4.5
"""How far above the wanted band the chart reaches."""
STEPS_K = (1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 2.75, 3.0, 3.25, 3.5, 3.75, 4.0, 4.5, 5.0, 6.0, 8.0, 10.0)
RANGE_SPAN_K = 30.0
"""How far down from its top the chart follows the cold end of a range. What is likely it follows further."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """Rows of the chart, and degrees a row to begin with."""

    rows: int
    step_k: float


def sizes(view: View) -> Sizes:
    """Seven rows of 2.5 °C on a small window, sixteen of 1.25 °C on a large one; fewer when it is low."""
    if view.large:
        return Sizes(16, 1.25)
    missing = max(0, 24 - view.height)
    return Sizes(max(3, 7 - missing), 2.5)


def said_rows(view: View, *, word: str, sentence: str, as_of: datetime, stale: bool, most: int) -> list[Row]:
    """A sentence in rows. An old one says of when it is, in as many rows as before: nothing below moves.

    If the time does not fit before the sentence, it goes into the margin; then a leading clause ("If
    nothing more goes in:") is left out; the end is cut only when even that is too long.
    """
    rows = paragraph(word, sentence, words=view.words, most=most)
    if not stale:
        return rows
    when = clock(as_of, zone=view.zone)
    old = sentence[:1].lower() + sentence[1:]
    _, _, clause = sentence.partition(": ")
    tries = [(word, f"as of {when}: {old}"), ("as of", f"{when}: {old}")]
    if clause and len(clause) > len(sentence) / 2:
        tries.append(("as of", f"{when}: {clause}"))
    for margin, text in tries:
        if len(wrapped(text, width=view.words)) <= len(rows):
            return paragraph(margin, text, words=view.words)
    lines = wrapped(tries[1][1], width=view.words - 2)[: len(rows)]
    return paragraph("as of", " ".join(lines) + " …", words=view.words, most=len(rows))


def night_start(now: datetime, *, zone: tzinfo, wake: datetime | None = None) -> datetime:
    """When the chart begins: 17:00 of the evening at hand, or an hour before now in the daytime.

    ``wake`` is the waking told of; when it is the one after the evening to come, it is daytime.
    """
    local = now.astimezone(zone)
    begins = local.replace(hour=EVENING_H, minute=0, second=0, microsecond=0)
    if local.hour < MORNING_H and (wake is None or wake < begins or local.hour == 0):
        begins = (begins - timedelta(days=1)).replace(hour=EVENING_H)
    elif local.hour < EVENING_H:
        begins = local.replace(hour=local.hour - 1, minute=0, second=0, microsecond=0)
    # In UTC: adding hours to a local time would skip or repeat one when the clocks change.
    return begins.astimezone(UTC)


def frame_for(view: View, *, top_c: float, step_k: float, wake: datetime | None = None) -> Frame:
    """The chart's frame: 4 columns an hour, 6 from 120 columns up, 3 under 80, less for a long day."""
    start = night_start(view.now, zone=view.zone, wake=wake)
    local = start.astimezone(view.zone)
    hours = 24 - local.hour + MORNING_H
    if view.narrow and local.hour == EVENING_H:
        start += timedelta(hours=NARROW_FROM_H - EVENING_H)
        hours = NARROW_HOURS
    room = 96 if view.wide else 64 if not view.narrow else 36
    return Frame(
        start=start,
        hours=hours,
        columns_per_hour=max(1, room // hours),
        rows=sizes(view).rows,
        top_c=top_c,
        step_k=step_k,
        zone=view.zone,
        units=view.units,
    )


def scale(
    view: View, *, band_c: tuple[float, float], choices: Iterable[Choice], wake: datetime
) -> tuple[float, float]:
    """Top and step so that the band, every reading, the hottest and the likely lines to waking lie on it.

    The row under the lowest likely temperature is there too: it has the name of the range's cold end, and
    "likely" stands at its own height. A cold end further down than ``RANGE_SPAN_K`` may leave the chart
    (its name says the number): a scale for a frost would squeeze the evening into two rows.
    """
    size = sizes(view)
    start = night_start(view.now, zone=view.zone, wake=wake)
    asked = list(choices)
    highs = [value for choice in asked for value in choice.indoor_p95_c if math.isfinite(value)]
    recent = [value for at, value in finite(view.past.inside_c) if at >= start]
    top = max([band_c[1] + ABOVE_BAND_K, *(value + 0.5 for value in (*highs, *recent))])
    likely, low = (min(_to(wake, asked, which), default=top) for which in ("indoor_p50_c", "indoor_p05_c"))
    bottom = min([band_c[0] - 1, *recent, max(low - 0.5, top - RANGE_SPAN_K)])
    steps = [size.step_k, *(step for step in STEPS_K if step > size.step_k)]
    fits = (s for s in steps if top - s * size.rows <= bottom and top - s * (size.rows - 1) < likely)
    return top, next(fits, steps[-1])


def _to(wake: datetime, choices: Iterable[Choice], which: str) -> Iterator[float]:
    """Every value of one line of the choices, until waking."""
    for choice in choices:
        for at, value in zip(choice.hours, getattr(choice, which), strict=True):
            if at <= wake and math.isfinite(value):
                yield value


def night_rows(
    view: View,
    *,
    choice: Choice | None,
    ahead: Ahead,
    band_c: tuple[float, float],
    bed: datetime,
    wake: datetime,
    choices: Iterable[Choice],
    plain: bool = False,
) -> list[Row]:
    """The chart and its four lanes."""
    top_c, step_k = scale(view, band_c=band_c, choices=choices, wake=wake)
    frame = frame_for(view, top_c=top_c, step_k=step_k, wake=wake)
    # Clipped at waking: what follows is the owner's next fire.
    until = [n for n, at in enumerate(choice.hours) if at <= wake] if choice else []
    drawing = Drawing(
        readings=_from(view, frame),
        low=[(choice.hours[n], choice.indoor_p05_c[n]) for n in until] if choice else (),
        likely=[(choice.hours[n], choice.indoor_p50_c[n]) for n in until] if choice else (),
        high=[(choice.hours[n], choice.indoor_p95_c[n]) for n in until] if choice else (),
        band_c=band_c,
        now=view.now,
    )
    return [
        *drawn(drawing, frame=frame, plain=plain),
        *lanes(frame=frame, past=view.past, choice=choice, ahead=ahead, now=view.now, bed=bed, wake=wake),
    ]


def _from(view: View, frame: Frame) -> list[tuple[datetime, float]]:
    """Readings from an hour before the chart: the line may come in from the left."""
    return [point for point in view.past.inside_c if point[0] >= frame.start - timedelta(hours=3)]
