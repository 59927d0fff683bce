"""Pages as one HTML file to print from a browser: no script, no picture, nothing fetched."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.resources import files

from logbook.paper.document import Page, Size, Steps
from logbook.paper.text import ROWS, lines_of
from logbook.shown import shown

LETTERS_PT = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
"""Sizes of letters tried, points; below the last nothing is read by lamplight."""

STEP_GAP = 0.8
"""What the gap after a step takes, lines."""

FULL_PT = 10.5
"""Letters at which a page of as many lines as a sheet takes as text just fits, points. By a browser."""


def pages_html(pages: Sequence[Page], *, size: Size = Size.A4) -> str:
    """The pages as one document, each on a sheet of its own.

    Everything typed by a person is escaped: what looks like markup prints as it was typed.
    """
    # 60 ms, and only for paper
    from jinja2 import Environment, StrictUndefined  # noqa: PLC0415

    template = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True).from_string(
        (files("logbook.paper") / "page.html.j2").read_text(encoding="utf-8")
    )
    sheets = [
        {"page": page, "pt": letters_pt(page, size=size), "blocks": [_named(block) for block in page.blocks]}
        for page in pages
    ]
    return shown(template.render(sheets=sheets, size=size.value))


def letters_pt(page: Page, *, size: Size) -> float:
    """The largest letters with which the page is reckoned to stay on its sheet, points."""
    if page.many:
        return FULL_PT
    steps = sum(len(block.items) for block in page.blocks if isinstance(block, Steps))
    full = (lines_of(page, size=size) + STEP_GAP * steps) / ROWS[size]
    fits = [pt for pt in LETTERS_PT if full * (pt / FULL_PT) ** 2 <= 1.0]  # taller, and fewer to a line
    return fits[0] if fits else LETTERS_PT[-1]


def _named(block: object) -> tuple[str, object]:
    return type(block).__name__, block
