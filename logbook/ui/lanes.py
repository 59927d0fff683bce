"""The lanes under the night chart: time, wood, air, outdoors. Pure; columns as in the chart's frame."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from logbook.records import Window
from logbook.results.first_frame import Ahead, Burning, Past
from logbook.ui.cells import Role, Row, Span, margin_row
from logbook.ui.chart import Frame
from logbook.ui.phrases import open_part, whole_degrees

if TYPE_CHECKING:
    from logbook.results.night import Choice

MOST_SHIFT = 3
"""A text that collides moves right by at most so many columns, else it is left out."""
OUTDOORS_EVERY_H = 2
LEAST_APART = 4
"""Columns from one figure to the next, at least: "−12" and a blank."""


@dataclass(frozen=True, slots=True)
class _Text:
    at: datetime
    text: str
    role: Role = Role.INK


BEYOND = 4
"""Columns right of the chart for the last hour's figure."""


class _Lane:
    """One row of characters, filled from the left."""

    def __init__(self, columns: int) -> None:
        self.characters = [" "] * (columns + BEYOND)
        self.roles = [Role.INK] * (columns + BEYOND)

    def put(self, column: int, text: str, role: Role) -> None:
        for offset, character in enumerate(text):
            if 0 <= column + offset < len(self.characters):
                self.characters[column + offset] = character
                self.roles[column + offset] = role

    def texts(self, texts: Iterable[_Text], frame: Frame) -> None:
        """Put texts at their times; later ones move right, and are dropped past ``MOST_SHIFT``."""
        free = 0
        for item in sorted(texts, key=lambda t: t.at):
            wanted = math.floor(frame.column(item.at))
            column = max(wanted, free)
            if wanted < 0 or column - wanted > MOST_SHIFT or column + len(item.text) > frame.columns:
                continue
            self.put(column, item.text, item.role)
            free = column + len(item.text) + 1

    def latest(self, texts: Iterable[_Text], frame: Frame) -> None:
        """Put texts at their times; where two would collide the later one stays: it is what stands."""
        before = frame.columns + 1
        for item in sorted(texts, key=lambda t: t.at, reverse=True):
            column = math.floor(frame.column(item.at))
            if column >= 0 and column + len(item.text) < before:
                self.put(column, item.text, item.role)
                before = column

    def row(self, margin: str) -> Row:
        spans: list[Span] = []
        for character, role in zip(self.characters, self.roles, strict=True):
            if spans and spans[-1].role == role:
                spans[-1] = Span(spans[-1].text + character, role)
            else:
                spans.append(Span(character, role))
        return margin_row(margin, *spans)


def lanes(
    *,
    frame: Frame,
    past: Past,
    choice: Choice | None,
    ahead: Ahead,
    now: datetime,
    bed: datetime,
    wake: datetime,
) -> list[Row]:
    """The four lanes: hours (dotted from bed to waking), wood, air, outdoors."""
    return [
        _time(frame, bed, wake),
        _wood(frame, past, choice, now),
        _air(frame, past, choice, ahead, now),
        _outdoors(frame, past, ahead, now),
    ]


def _hours(frame: Frame) -> list[datetime]:
    every = max(OUTDOORS_EVERY_H, math.ceil(LEAST_APART / frame.columns_per_hour))
    return [frame.start + timedelta(hours=h) for h in range(0, math.ceil(frame.hours) + 1, every)]


def _time(frame: Frame, bed: datetime, wake: datetime) -> Row:
    lane = _Lane(frame.columns)
    for column in range(max(0, math.floor(frame.column(bed))), min(frame.columns, _waking(frame, wake) + 1)):
        lane.put(column, "·", Role.FAINT)
    for at in _hours(frame):
        column = math.floor(frame.column(at))
        if column:
            lane.put(column - 1, " ", Role.FAINT)
        lane.put(column, f"{at.astimezone(frame.zone):%H} ", Role.FAINT)
    return lane.row("time")


def _waking(frame: Frame, wake: datetime) -> int:
    return math.floor(frame.column(wake))


def compact(pieces: str) -> str:
    """Pieces without blanks, "1M1L": a lane has few columns."""
    return pieces.replace(" ", "")


def _wood(frame: Frame, past: Past, choice: Choice | None, now: datetime) -> Row:
    lane = _Lane(frame.columns)
    texts = [_Text(at, compact(label)) for at, label in past.loads]
    texts += [_Text(at, window.value, Role.FAINT) for at, window in past.windows]
    if choice is not None:
        planned = [load for load in choice.loads if load.at >= now]
        texts += [_Text(load.at, f"{compact(load.pieces)}?", Role.EXPECTED) for load in planned]
        stands = past.windows[-1][1] if past.windows else Window.SHUT
        if choice.window != stands:
            # Beside the first load of the plan, where both would be done.
            at = choice.loads[0].at + timedelta(seconds=1) if choice.loads else now
            texts.append(_Text(at, f"{choice.window.value}?", Role.EXPECTED))
    lane.texts(texts, frame)
    return lane.row("wood")


def _air(frame: Frame, past: Past, choice: Choice | None, ahead: Ahead, now: datetime) -> Row:
    lane = _Lane(frame.columns)
    for stretch in (*past.burning, *ahead.burning):
        _burn(lane, stretch, frame)
    lane.latest(_air_texts(frame, past, choice, now), frame)
    return lane.row("open")


def _burn(lane: _Lane, stretch: Burning, frame: Frame) -> None:
    first = max(0, math.floor(frame.column(stretch.start)))
    last = min(frame.columns, math.ceil(frame.column(stretch.end)))
    for column in range(first, last):
        lane.put(column, "╍" if stretch.coals_only else "━", Role.EXPECTED)


def _air_texts(frame: Frame, past: Past, choice: Choice | None, now: datetime) -> list[_Text]:
    """Where the air changes, what part is open; the one that stood before the chart at its left edge."""
    texts: list[_Text] = []
    before: str | None = None
    for at, open_pct in past.air_open_pct:
        said = open_part(open_pct)
        if at < frame.start:
            texts = [_Text(frame.start, said)]
        elif said != before:
            texts.append(_Text(at, said))
        before = said
    if choice is not None:
        texts += [
            _Text(load.at, f"{open_part(load.air_open_pct)}?", Role.EXPECTED)
            for load in choice.loads
            if load.at >= now
        ]
        if not choice.loads and before is not None and open_part(choice.air_open_pct) != before:
            texts.append(_Text(now, f"{open_part(choice.air_open_pct)}?", Role.EXPECTED))
    return texts


def _outdoors(frame: Frame, past: Past, ahead: Ahead, now: datetime) -> Row:
    lane = _Lane(frame.columns)
    known = _finite(past.outside_c)
    expected = [point for point in _finite(ahead.outside_c) if point[0] > now]
    for at in _hours(frame):
        # A measured hour wants a reading within the hour; an hour to come, the forecast.
        value = _near(known, at) if at <= now else _near(expected, at)
        if value is not None:
            said = whole_degrees(value, units=frame.units)
            lane.put(math.floor(frame.column(at)), said, Role.OUTSIDE)
    return lane.row(f"out °{frame.units.temperature}")


def _finite(series: Sequence[tuple[datetime, float]]) -> list[tuple[datetime, float]]:
    return [(at, value) for at, value in series if math.isfinite(value)]


def _near(series: Sequence[tuple[datetime, float]], at: datetime) -> float | None:
    """The value nearest in time, if within an hour (the lane has one figure every two)."""
    if not series:
        return None
    nearest = min(series, key=lambda point: abs(point[0] - at))
    return nearest[1] if abs(nearest[0] - at) <= timedelta(hours=1) else None
