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
TITLE = "EMERGENCY"
BACK, BACK_NARROW = "Esc back to where you were, nothing lost.", "Esc back, nothing lost."
PRINTS, PRINTS_NARROW = "p prints this page.", "p prints it."


def rows(view: View) -> list[Row]:
    """The whole screen: the owner's lines, and the way back. ↑ ↓ move a page longer than the screen."""
    room = _room(view)
    lines = _lines(view)
    start = min(max(0, view.chosen or 0), max(0, len(lines) - room))
    back = BACK_NARROW if view.narrow else BACK
    said = back if len(lines) <= room else f"{back}   ↓ more, ↑ back"
    foot: Row = (Span(f"  {said}", Role.FAINT, act=Act("rest")), *_paper(view))
    said_rows: list[Row] = [BLANK]
    if view.answer is not None and view.answer.word == "paper":
        said_rows = [
            (Span(f"  {line}", Role.SAVED),) for line in wrapped(view.answer.sentence, width=view.width - 4)
        ]
    said_rows = said_rows[:3]
    body = spread(lines[start:], count=room + 1 - len(said_rows))
    return [_title(view), BLANK, *body, *said_rows, foot]


def _title(view: View) -> Row:
    """What this is, and of when the words are, at the right edge."""
    page = view.emergency
    if not page.lines:
        checked = "not written yet"
    elif page.checked:
        checked = f"your own words, last checked {page.checked}"
    else:
        checked = ""
    if cell_len(checked) > view.width - len(TITLE) - 8:
        checked = checked.partition(", last ")[2]
    gap = view.width - 4 - len(TITLE) - cell_len(checked)
    return (Span("  "), Span(TITLE, Role.FIRST), Span(" " * gap), Span(checked, Role.FAINT))


def _paper(view: View) -> tuple[Span, ...]:
    """What p does; or, pressed, where the page was written."""
    if not view.emergency.lines:
        return ()
    said = PRINTS_NARROW if view.narrow else PRINTS
    return (Span(f"   {said}", Role.FAINT, act=Act("print")),)


def scroll_rows(view: View) -> int:
    """How many rows the page can move by."""
    return max(0, len(_lines(view)) - _room(view))


def _room(view: View) -> int:
    return max(1, view.height - 4)


def _lines(view: View) -> list[Row]:
    """The owner's lines in rows, a blank between them where there is room: read from the door.

    The first that says anything is the one to see from afar.
    """
    own = view.emergency.lines or EMPTY
    rows: list[Row] = []
    begins: list[int] = []
    role = Role.STOP
    for n, line in enumerate(own):
        if n and line[:1].strip():  # one that is indented belongs to the line above it
            begins.append(len(rows))
        rows += _block(line, role, room=view.width - 4)
        role = Role.INK if line.strip() else role
    if any(not line.strip() for line in own) or len(rows) + len(begins) > _room(view):
        return rows  # who sets lines apart has said how
    for at in reversed(begins):
        rows.insert(at, BLANK)
    return rows


def _block(line: str, role: Role, *, room: int) -> list[Row]:
    """One line in as many rows as it takes, its indent kept."""
    indent = len(line) - len(line.lstrip())
    if cell_len(line) <= room:
        pieces = [line.lstrip()]  # the owner's own spacing, as written
    else:
        indent = min(room // 2, indent)
        pieces = wrapped(line, width=room - indent)
    return [(Span("  " + " " * indent), Span(piece, role)) for piece in pieces]
