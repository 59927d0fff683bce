"""Emergency: the owner's own words, in their order. The app adds nothing to them."""

from __future__ import annotations

from rich.cells import cell_len

from logbook.ui.cells import BLANK, Act, Role, Row, Span, spread, wrapped
from logbook.ui.view import View

EMPTY = (
    "OUT, everybody, now. Call from outside.",
    "",
    "This page is not written yet. On a calm day, page Cabin, last row, Enter:",
    "where to meet, whom to call and from where there is signal, what to say",
    "about the place, and your stove manual's own steps for a chimney fire.",
)
"""The first line is what every page says first (get out, call); the rest says what is missing."""
BACK = "Esc back to where you were, nothing lost."


def rows(view: View) -> list[Row]:
    """The whole screen: the owner's lines, and the way back. ↑ ↓ move a page longer than the screen."""
    page = view.emergency
    checked = f"your own words, last checked {page.checked}" if page.checked else ""
    if not page.lines:
        checked = "not written yet"
    title: Row = (Span("  EMERGENCY".ljust(view.width - len(checked) - 6)), Span(checked, Role.FAINT))
    room = _room(view)
    lines = _lines(view)
    start = min(max(0, view.chosen or 0), max(0, len(lines) - room))
    said = BACK if len(lines) <= room else f"{BACK}   ↓ more, ↑ back"
    foot: Row = (Span(f"  {said}", Role.FAINT, act=Act("rest")), *_paper(view))
    said_rows: list[Row] = [BLANK]
    if view.answer is not None and view.answer.word == "paper":
        said_rows = [
            (Span(f"  {line}", Role.SAVED),) for line in wrapped(view.answer.sentence, width=view.width - 4)
        ]
    said_rows = said_rows[:3]
    body = spread(lines[start:], count=room + 1 - len(said_rows))
    return [title, BLANK, *body, *said_rows, foot]


def _paper(view: View) -> tuple[Span, ...]:
    """What p does; or, pressed, where the page was written."""
    if not view.emergency.lines:
        return ()
    return (Span("   p prints this page.", Role.FAINT, act=Act("print")),)


def scroll_rows(view: View) -> int:
    """How many rows the page can move by."""
    return max(0, len(_lines(view)) - _room(view))


def _room(view: View) -> int:
    return max(1, view.height - 4)


def _lines(view: View) -> list[Row]:
    out: list[Row] = []
    for line in view.emergency.lines or EMPTY:
        room = view.width - 4
        if cell_len(line) <= room:
            out.append((Span(f"  {line}"),))  # the owner's own spacing, as written
            continue
        indent = " " * min(room // 2, len(line) - len(line.lstrip()))
        out += [(Span(f"  {indent}{piece}"),) for piece in wrapped(line, width=room - len(indent))]
    return out
