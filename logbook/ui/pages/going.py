"""What to know on going, below a list that is left by: how the room falls, the last wood, what to heed."""

from __future__ import annotations

from logbook.results.app import Going
from logbook.ui.cells import Role, Row, Span, margin_row, paragraph
from logbook.ui.pages.night import said_rows
from logbook.ui.view import View

WAITING = "Reckoning how the room falls with no more wood. You can tick and write."
WRITE_LEFT = "When you go, type: left"


def blocks(view: View, going: Going) -> list[list[Row]]:
    """What is known, what to heed, what was assumed, a paragraph each; last, how going is written."""
    out: list[list[Row]] = []
    for n, (word, said) in enumerate(going.known):
        if n == 0:
            stale = "going" in view.stale
            out.append(said_rows(view, word=word, sentence=said, as_of=going.as_of, stale=stale, most=2))
        else:
            out.append(paragraph(word, said, words=view.words))
    for n, said in enumerate(going.cautions):
        out.append(paragraph("care" if n == 0 else "", said, words=view.words))
    for n, said in enumerate(going.assumed):
        word = "assumed" if n == 0 else ""
        out.append(paragraph(word, said, words=view.words, role=Role.FAINT))
    return [*out, [margin_row("then", Span(WRITE_LEFT))]]


def freeze_rows(view: View, going: Going) -> list[Row]:
    """When the room is at the last of its marks, freezing: the row that stays in sight."""
    marks = [said for word, said in going.known if not word]
    if not marks:
        return []
    stale = "going" in view.stale
    return said_rows(view, word="freeze", sentence=marks[-1], as_of=going.as_of, stale=stale, most=2)


def care_rows(view: View, going: Going) -> list[Row]:
    """The first caution, which is the gravest."""
    return paragraph("care", going.cautions[0], words=view.words) if going.cautions else []
