"""A work on the cabin laid open: what it did, what it cost, and when it has paid for itself or why not."""

from __future__ import annotations

from logbook.results.app import Helped
from logbook.ui.cells import BLANK, Role, Row, Span, margin_row, paragraph
from logbook.ui.view import View

GONE = "This work is no longer on record. Esc: back."
CLOSES = "Esc: back to the cabin."


def opened(view: View) -> Helped | None:
    """The work laid open, if it still stands."""
    changes = view.works.changes if view.works is not None else ()
    return next((change for change in changes if change.name == view.work), None)


def rows(view: View) -> list[Row]:
    """The page's rows under the head; a longer one is moved by ↑ ↓."""
    found = _all_rows(view)
    room = view.height - 7
    start = min(max(0, view.chosen or 0), max(0, len(found) - room))
    shown = found[start : start + room]
    left = len(found) - start - len(shown)
    if left:
        shown[-1] = margin_row("", Span(f"↓ {left + 1} more rows", Role.FAINT))
    return shown


def scroll_rows(view: View) -> int:
    """How many rows the page can be moved by, and one: the first counts."""
    return max(0, len(_all_rows(view)) - (view.height - 7)) + 1


def _all_rows(view: View) -> list[Row]:
    work, words = opened(view), view.words
    if work is None:
        said = view.waiting("works", "Comparing nights before and after.") if view.works is None else GONE
        return paragraph("work", said, words=words, role=Role.FAINT)
    out = paragraph("work", f"{work.name}: {work.verdict}.", words=words)
    for n, said in enumerate(work.whole[1:]):
        out += paragraph("" if n else "did", said, words=words)
    out += [BLANK] if work.paid else []
    for n, said in enumerate(work.paid):
        out += paragraph("" if n else "paid", said, words=words)
    return [*out, *paragraph("", CLOSES, words=words, role=Role.FAINT)]
