"""Emergency: the owner's own words, in their order. The app adds nothing to them."""

from __future__ import annotations

from logbook.ui.cells import BLANK, Act, Role, Row, Span, wrapped
from logbook.ui.view import View

EMPTY = (
    "OUT, everybody, now. Call from outside.",
    "",
    "This page is not written yet. On a calm day write here, in your own words:",
    "where to meet, whom to call and from where there is signal, what to say",
    "about the place, and your stove manual's own steps for a chimney fire.",
)
"""The first line is what every page says first (get out, call); the rest says what is missing."""
BACK = "Esc back to where you were, nothing lost."


def rows(view: View) -> list[Row]:
    """The whole screen: the owner's lines from the top, as many as fit; then the way back."""
    page = view.emergency
    checked = f"your own words, last checked {page.checked}" if page.checked else ""
    if not page.lines:
        checked = "not written yet"
    out: list[Row] = [
        (Span("  EMERGENCY".ljust(view.width - len(checked) - 6)), Span(checked, Role.FAINT)),
        BLANK,
    ]
    for line in page.lines or EMPTY:
        indent = len(line) - len(line.lstrip())
        pieces = wrapped(line, width=view.width - 4 - indent) or [""]
        out += [(Span("  " + " " * indent + piece, Role.INK),) for piece in pieces]
    room = view.height - 2
    if len(out) > room:
        out = out[:room]
    out += [BLANK] * (room - len(out))
    return [*out, (Span(f"  {BACK}", Role.FAINT, act=Act("rest")),), BLANK]
