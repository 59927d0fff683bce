"""Going: how long the room keeps, the last wood, what to heed, and the list. ↑ ↓ move it."""

from __future__ import annotations

from logbook.answers import Going
from logbook.ui.cells import Role, Row, Span, margin_row, paragraph, spread
from logbook.ui.pages.night import said_rows
from logbook.ui.view import View

WAITING = "Reckoning how the room falls with no more wood. You can write."
WRITE_LEFT = "When you go, type: left"


def rows(view: View) -> list[Row]:
    """The page's rows under the head."""
    going = view.going
    if going is None:
        return paragraph("leave", view.waiting("going", WAITING), words=view.words, role=Role.FAINT, most=3)
    count = view.height - 7
    lines = _lines(view, going)
    if len(lines) <= count:
        return spread(lines, count=count)
    start = min(max(0, view.chosen or 0), len(lines) - count + 1)
    left = len(lines) - start - (count - 1)
    said = f"↓ {left} more rows" if left > 0 else "↑ back"
    return [*lines[start : start + count - 1], margin_row("", Span(said, Role.FAINT))]


def scroll_rows(view: View) -> int:
    """How many rows the page can be moved by, and one: the first counts."""
    if view.going is None:
        return 0
    count = view.height - 7
    return max(0, len(_lines(view, view.going)) - count + 1) + 1


def _lines(view: View, going: Going) -> list[Row]:
    """What is known first, then what to heed, then the list in its order."""
    out: list[Row] = []
    for n, (word, said) in enumerate(going.known):
        if n == 0:
            stale = "going" in view.stale
            out += said_rows(view, word=word, sentence=said, as_of=going.as_of, stale=stale, most=2)
        else:
            out += paragraph(word, said, words=view.words)
    for n, said in enumerate(going.cautions):
        out += paragraph("care" if n == 0 else "", said, words=view.words)
    out += _list(view, going)
    for n, said in enumerate(going.assumed):
        out += paragraph("assumed" if n == 0 else "", said, words=view.words, role=Role.FAINT)
    return out


def _list(view: View, going: Going) -> list[Row]:
    """What is left to do, in the list's own order, each line after its number; last, how going is written."""
    out: list[Row] = []
    for n, said in enumerate(going.checklist, start=1):
        out += paragraph("to do" if n == 1 else "", f"{n:>2} {said}", words=view.words)
    return [*out, margin_row("then", Span(WRITE_LEFT))]
