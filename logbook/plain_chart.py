"""Plain charts for commands and paper: a night's range and band, readings over a stay, bars of amounts.

The one module that touches the chart library. It aborts the interpreter on what is not finite, so only
finite values get there; where it can't be loaded there is no chart, and the sentences stand alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

SMALLEST, LARGEST = (30, 8), (300, 100)
"""Columns and rows a chart can have here; the library draws nothing sensible below."""

WIDEST_C = 1e4
"""Values beyond this are no temperatures; they would only flatten the rest, °C or °F."""

BAR = "▆"
"""What a bar is made of; where it cannot be shown the commands have a plain sign for it."""

POINTS_PER_COLUMN = 2
"""How densely a line is dotted."""


def night_chart(
    hours: Sequence[float],
    lines: Sequence[tuple[str, Sequence[float]]],
    *,
    rules: Sequence[float] = (),
    ticks: Sequence[tuple[float, str]] = (),
    size: tuple[int, int] = (78, 16),
    joined: bool = True,
) -> str:
    """A chart as plain text without colour; empty when there is nothing to draw or no library to draw with.

    Args:
        hours: Hours along the bottom, rising; the same for every line.
        lines: (mark, values) of each line, the last one on top; a mark is one character.
        rules: Values with a level line across: the wanted band.
        ticks: (hour, words) along the bottom.
        size: Columns and rows.
        joined: False for points that stand alone.
    """
    points_of = _dense if joined else _known
    drawn = [(mark, points_of(hours, values, columns=size[0])) for mark, values in lines]
    drawn = [(mark, points) for mark, points in drawn if points]
    if not drawn:
        return ""
    try:
        import plotext  # noqa: PLC0415 - 80 ms, and missing on some platforms
    except ImportError:
        return ""
    figure = plotext.figure
    figure.clear()
    columns, rows = (min(max(n, low), high) for n, low, high in zip(size, SMALLEST, LARGEST, strict=True))
    figure.plot_size(columns, rows)
    for value in rules:
        if _drawable(value):
            figure.line(float(value))
    for mark, points in drawn:
        figure.draw(figure.signal([x for x, _ in points], [y for _, y in points], marker=mark))
    named = [(float(at), words) for at, words in ticks if _drawable(at)]
    if named:
        figure.ruler("x").ticks([at for at, _ in named], [words for _, words in named])
    return str(plotext.uncolorize(str(figure.build()))).rstrip()


def bars(rows: Sequence[tuple[str, float, str]], *, columns: int = 78) -> str:
    """Amounts as bars beside each other, longest first or in whatever order they come; plain text.

    Args:
        rows: (label, amount, words after the bar) of each; an amount below 0 or not finite draws no bar.
        columns: How wide the whole may be; at least ``SMALLEST``.
    """
    if not rows:
        return ""
    label = max(len(name) for name, _, _ in rows)
    after = max(len(words) for _, _, words in rows)
    room = max(max(columns, SMALLEST[0]) - label - after - 3, 1)
    most = max((amount for _, amount, _ in rows if math.isfinite(amount)), default=0.0)
    drawn = []
    for name, amount, words in rows:
        share = amount / most if most > 0.0 and math.isfinite(amount) and amount > 0.0 else 0.0
        drawn.append(f"{name:<{label}} │{BAR * round(share * room)} {words}".rstrip())
    return "\n".join(drawn)


def _drawable(value: float) -> bool:
    return math.isfinite(value) and abs(value) < WIDEST_C


def _known(hours: Sequence[float], values: Sequence[float], *, columns: int) -> list[tuple[float, float]]:
    """The points that can be drawn, however wide the chart is."""
    return [(x, y) for x, y in zip(hours, values, strict=False) if _drawable(x) and _drawable(y)]


def _dense(hours: Sequence[float], values: Sequence[float], *, columns: int) -> list[tuple[float, float]]:
    """Points along a line, close enough to read as one; parts next to what is not finite are left out."""
    known = _known(hours, values, columns=columns)
    if len(known) < 2:
        return known
    wanted = POINTS_PER_COLUMN * min(max(columns, SMALLEST[0]), LARGEST[0])
    each = max(1, wanted // (len(known) - 1))
    points = []
    for (x0, y0), (x1, y1) in pairwise(known):
        points += [(x0 + (x1 - x0) * k / each, y0 + (y1 - y0) * k / each) for k in range(each)]
    return [*points, known[-1]]
