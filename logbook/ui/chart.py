"""The night chart: numbers in, rows of styled cells out. Pure, and safe with whatever it is given.

Dots are braille, two across and four down in each cell. Layers, from below: stipple, band rule (only in
empty cells), range edges (one dot a cell), likely line (one dot thick), measured line (two dots thick),
readings, and the mark for now (only in empty cells). Dots of several layers add up; the topmost gives
the role. What is not finite is left out. With plain marks each cell has one character instead.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo

from logbook.records import OwnUnits
from logbook.ui.cells import Role, Row, Span, margin_row
from logbook.ui.phrases import temperature

BRAILLE = 0x2800
DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""Bit of each dot, by row and column of the cell. Source: Unicode block Braille Patterns."""
STIPPLE_FROM_ROWS = 12
"""With fewer rows a stipple hides the likely line (tried at 7)."""

Series = Sequence[tuple[datetime, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where the chart lies: time across, temperature up.

    ``columns_per_hour`` times ``hours`` columns; ``rows`` of ``step_k`` from ``top_c`` down.
    """

    start: datetime
    hours: float
    columns_per_hour: int
    rows: int
    top_c: float
    step_k: float
    zone: tzinfo
    units: OwnUnits = field(default_factory=OwnUnits)

    @property
    def columns(self) -> int:
        """Width of the chart without margin and names."""
        return round(self.hours * self.columns_per_hour)

    def column(self, at: datetime) -> float:
        """Columns from the left edge, with fractions; may lie outside."""
        return (at - self.start).total_seconds() / 3600 * self.columns_per_hour

    def row(self, value_c: float) -> float:
        """Rows down from the top edge, with fractions; may lie outside."""
        return (self.top_c - value_c) / self.step_k

    @property
    def bottom_c(self) -> float:
        """Temperature at the lower edge, °C."""
        return self.top_c - self.rows * self.step_k


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """What is drawn: readings, the range to waking and its middle, the wanted band, now."""

    readings: Series = ()
    low: Series = ()
    likely: Series = ()
    high: Series = ()
    band_c: tuple[float, float] | None = None
    now: datetime | None = None
    names: bool = True


class _Cells:
    """A grid of dots with, per cell, the role of its topmost layer and a mark that replaces the dots."""

    def __init__(self, *, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self.dots = [[0] * columns for _ in range(rows)]
        self.marks = [[" "] * columns for _ in range(rows)]
        self.roles = [[Role.INK] * columns for _ in range(rows)]
        self.tints = [[False] * columns for _ in range(rows)]

    def dot(self, x: int, y: int, role: Role) -> None:
        """Set a dot; x in half columns, y in quarter rows; outside is nothing."""
        column, row = x // 2, y // 4
        if 0 <= column < self.columns and 0 <= row < self.rows:
            self.dots[row][column] |= DOTS[y % 4][x % 2]
            self.roles[row][column] = role

    def mark(self, column: int, row: int, text: str, role: Role, *, only_empty: bool = False) -> None:
        """Put a character into a cell, over its dots; or only where nothing is."""
        if not (0 <= column < self.columns and 0 <= row < self.rows):
            return
        if only_empty and (self.dots[row][column] or self.marks[row][column] != " "):
            return
        self.marks[row][column] = text
        self.roles[row][column] = role

    def spans(self, row: int, *, from_column: int = 0) -> list[Span]:
        """The row as spans, neighbours of one kind joined."""
        out: list[Span] = []
        for column in range(from_column, self.columns):
            mark = self.marks[row][column]
            dots = self.dots[row][column]
            text = mark if mark != " " or not dots else chr(BRAILLE + dots)
            role, tint = self.roles[row][column], self.tints[row][column]
            if out and (out[-1].role, out[-1].tint) == (role, tint):
                out[-1] = replace(out[-1], text=out[-1].text + text)
            else:
                out.append(Span(text, role, tint=tint))
        return out


def finite(series: Series) -> list[tuple[datetime, float]]:
    """The series without what is not a number, in order of time."""
    return sorted((at, value) for at, value in series if math.isfinite(value))


def value_at(series: Sequence[tuple[float, float]], x: float) -> float | None:
    """The series' value at x by straight lines between its points; None outside them."""
    after = bisect_left(series, x, key=lambda point: point[0])
    if after == len(series) or (after == 0 and series[0][0] > x):
        return None
    if after == 0:
        return series[0][1]
    (x0, y0), (x1, y1) = series[after - 1], series[after]
    return y1 if x1 == x0 else y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def drawn(drawing: Drawing, *, frame: Frame, plain: bool = False) -> list[Row]:
    """The chart's rows, margin and names included. Always ``frame.rows`` of them."""
    cells = _Cells(columns=frame.columns, rows=frame.rows)
    low, likely, high = (_scaled(s, frame) for s in (drawing.low, drawing.likely, drawing.high))
    readings = _scaled(drawing.readings, frame)
    if not plain:
        _tint(cells, low, high)
        if frame.rows >= STIPPLE_FROM_ROWS:
            _stipple(cells, low, high)
    paint = _plain_lines if plain else _dotted_lines
    paint(cells, low, likely, high, readings)
    _band(cells, drawing.band_c, frame, plain=plain)
    for x, y in readings:
        cells.mark(math.floor(x), math.floor(y), "o" if plain else "●", Role.MEASURED)
    _now(cells, drawing.now, frame, plain=plain)
    names = _names(drawing, frame) if drawing.names else {}
    return [_row(cells, row, drawing.band_c, names.get(row), frame) for row in range(frame.rows)]


def _scaled(series: Series, frame: Frame) -> list[tuple[float, float]]:
    """Points in columns and rows. Far-off values are brought near: only where they leave matters."""
    far = 4 * frame.rows
    return [(frame.column(at), max(-far, min(far, frame.row(value)))) for at, value in finite(series)]


def _half_columns(points: Sequence[tuple[float, float]], columns: int) -> Iterator[tuple[int, float]]:
    """Half-column and value of a line, at the middle of every half column inside the chart."""
    if not points:
        return
    if len(points) == 1:
        yield int(points[0][0] * 2), points[0][1]
        return
    first = max(0, math.floor(points[0][0] * 2))
    last = min(columns * 2 - 1, math.floor(points[-1][0] * 2))
    for half in range(first, last + 1):
        x = min(max((half + 0.5) / 2, points[0][0]), points[-1][0])
        value = value_at(points, x)
        if value is not None:
            yield half, value


def _tint(cells: _Cells, low: Sequence[tuple[float, float]], high: Sequence[tuple[float, float]]) -> None:
    """Tint cells at least half inside the range (fewer rows would overstate it otherwise)."""
    for column in range(cells.columns):
        top, bottom = value_at(high, column + 0.5), value_at(low, column + 0.5)
        if top is None or bottom is None:
            continue
        for row in range(cells.rows):
            inside = min(bottom, row + 1) - max(top, row)
            cells.tints[row][column] = inside >= 0.5


def _stipple(cells: _Cells, low: Sequence[tuple[float, float]], high: Sequence[tuple[float, float]]) -> None:
    """One dot in eight inside the range."""
    for half, top in _half_columns(high, cells.columns):
        bottom = value_at(low, (half + 0.5) / 2)
        if bottom is None:
            continue
        for y in range(max(0, math.ceil(top * 4)), min(cells.rows * 4, math.floor(bottom * 4))):
            if (half % 4, y % 4) in ((0, 3), (2, 1)):
                cells.dot(half, y, Role.RULE)


def _dotted_lines(
    cells: _Cells,
    low: Sequence[tuple[float, float]],
    likely: Sequence[tuple[float, float]],
    high: Sequence[tuple[float, float]],
    readings: Sequence[tuple[float, float]],
) -> None:
    for edge in (low, high):
        for half, value in _half_columns(edge, cells.columns):
            if half % 2 == 0:
                cells.dot(half, math.floor(value * 4), Role.EDGE)
    _line(cells, likely, Role.EXPECTED, thick=1)
    if len(readings) > 1:
        _line(cells, readings, Role.MEASURED, thick=2)


def _line(cells: _Cells, points: Sequence[tuple[float, float]], role: Role, *, thick: int) -> None:
    """A line without gaps: steep parts are filled up to the neighbour."""
    before: int | None = None
    for half, value in _half_columns(points, cells.columns):
        y = math.floor(value * 4)
        if before is None or abs(y - before) <= 1:
            rows = range(y, y + 1)
        else:
            rows = range(before + 1, y + 1) if y > before else range(y, before)
        for at in rows:
            for extra in range(thick):
                cells.dot(half, at + extra, role)
        before = y


def _plain_lines(
    cells: _Cells,
    low: Sequence[tuple[float, float]],
    likely: Sequence[tuple[float, float]],
    high: Sequence[tuple[float, float]],
    readings: Sequence[tuple[float, float]],
) -> None:
    measured = readings if len(readings) > 1 else ()
    for points, mark, role in (
        (low, ":", Role.EDGE),
        (high, ":", Role.EDGE),
        (likely, "+", Role.EXPECTED),
        (measured, "*", Role.MEASURED),
    ):
        for half, value in _half_columns(points, cells.columns):
            cells.mark(half // 2, math.floor(value), mark, role)


def _band_rows(band_c: tuple[float, float] | None, frame: Frame) -> dict[int, float]:
    """Row to temperature of the band's two rules, where they are on the chart."""
    if band_c is None:
        return {}
    rows = {math.floor(frame.row(value)): value for value in band_c if math.isfinite(value)}
    return {row: value for row, value in rows.items() if 0 <= row < frame.rows}


def _band(cells: _Cells, band_c: tuple[float, float] | None, frame: Frame, *, plain: bool) -> None:
    for row in _band_rows(band_c, frame):
        for column in range(cells.columns):
            if not plain or column % 2 == 0:
                cells.mark(column, row, "-" if plain else "┄", Role.RULE, only_empty=True)


def _now(cells: _Cells, now: datetime | None, frame: Frame, *, plain: bool) -> None:
    if now is None:
        return
    column = math.floor(frame.column(now))
    for row in range(cells.rows):
        cells.mark(column, row, "|" if plain else "╎", Role.FAINT, only_empty=True)
    if cells.rows and all(
        0 <= c < cells.columns and cells.marks[0][c] == " " and not cells.dots[0][c]
        for c in range(column + 1, column + 4)
    ):
        for offset, letter in enumerate("now"):
            cells.mark(column + 1 + offset, 0, letter, Role.FAINT)


@dataclass(frozen=True, slots=True)
class _Name:
    text: str
    role: Role
    column: int


def _names(drawing: Drawing, frame: Frame) -> dict[int, _Name]:
    """The ends' names by row, pushed apart so that none covers another; off the scale: the nearest row, ↓."""
    ends: list[tuple[float, str, Role]] = []
    column = 0
    for series, said, role in (
        (drawing.high, "up to", Role.EDGE),
        (drawing.likely, "likely", Role.EXPECTED),
        (drawing.low, "down to", Role.EDGE),
    ):
        points = finite(series)
        if points:
            at, value = points[-1]
            row = frame.row(value)
            # Off the scale its row is not its height: the arrow says so.
            beyond = "↑" if row < 0 else "↓" if row >= frame.rows else " "
            ends.append((row, f" {said} {temperature(value, units=frame.units)}{beyond}", role))
            column = max(column, math.floor(frame.column(at)) + 1)
    count = len(ends)
    if not count or frame.rows < count:
        return {}
    rows = [min(frame.rows - 1, max(0, math.floor(row))) for row, _, _ in ends]
    middle = count // 2
    rows[middle] = min(frame.rows - 1 - (count - 1 - middle), max(middle, rows[middle]))
    for n in range(middle - 1, -1, -1):
        rows[n] = min(rows[n], rows[n + 1] - 1)
    for n in range(middle + 1, count):
        rows[n] = max(rows[n], rows[n - 1] + 1)
    return {row: _Name(text, role, max(0, column)) for row, (_, text, role) in zip(rows, ends, strict=True)}


def _row(
    cells: _Cells, row: int, band_c: tuple[float, float] | None, name: _Name | None, frame: Frame
) -> Row:
    label = ""
    labels = _labels(band_c, frame)
    if row in labels:
        label = temperature(labels[row], units=frame.units)
    spans = cells.spans(row)
    if name:
        # Beside the line's end, or as far left as it must be to stay whole.
        room = frame.columns + NAMES_BEYOND
        column = min(name.column, room - len(name.text))
        spans = [*_cut(spans, column), Span(name.text, name.role)]
        rest = frame.columns - column - len(name.text)
        if rest > 0:
            spans += cells.spans(row, from_column=frame.columns - rest)
    return margin_row(label, *spans)


NAMES_BEYOND = 7
"""Columns right of the chart that a name may use; the frame is chosen so that they exist."""


def _cut(spans: Sequence[Span], columns: int) -> list[Span]:
    """The first so many columns (every cell of the chart is one column wide)."""
    out: list[Span] = []
    left = columns
    for span in spans:
        if left <= 0:
            break
        out.append(replace(span, text=span.text[:left]))
        left -= len(span.text)
    if left > 0:
        out.append(Span(" " * left))
    return out


def _labels(band_c: tuple[float, float] | None, frame: Frame) -> dict[int, float]:
    """Rows with a temperature in the margin: the band, and below it once more on a tall chart."""
    labels = _band_rows(band_c, frame)
    if band_c is not None and frame.rows >= STIPPLE_FROM_ROWS:
        below = band_c[0] - (band_c[1] - band_c[0])
        row = math.floor(frame.row(below)) if math.isfinite(below) else -1
        if 0 <= row < frame.rows and row not in labels:
            labels[row] = below
    return labels
