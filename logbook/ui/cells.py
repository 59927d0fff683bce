"""Styled text in rows of fixed width: what every page is made of, before any terminal.

A page is a list of rows, a row is spans from left to right. A span has a *role* (what it is, not how
it looks: ``looks.py`` decides that), and maybe an act that a click on it does.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from rich.cells import cell_len, chop_cells, set_cell_size

from logbook.shown import shown, shown_in_row

MARGIN = 7
"""Columns of the margin word, right-aligned; one blank follows, then words."""
WORDS = MARGIN + 1
"""First column of the words."""


class Role(StrEnum):
    """What a span is."""

    INK = "ink"
    FAINT = "faint"
    RULE = "rule"
    MEASURED = "measured"
    EXPECTED = "expected"
    EDGE = "edge"
    OUTSIDE = "outside"
    SAVED = "saved"
    ASKS = "asks"
    STOP = "stop"
    FIRST = "first"


@dataclass(frozen=True, slots=True)
class Act:
    """One thing to do, by name, with what it needs to know."""

    name: str
    argument: str = ""


@dataclass(frozen=True, slots=True)
class Span:
    """Text of one role. ``caret`` shows it as the place where the next character goes."""

    text: str
    role: Role = Role.INK
    tint: bool = False
    act: Act | None = None
    caret: bool = False

    def __post_init__(self) -> None:
        """The last gate: what a person typed steers no terminal and breaks no row."""
        if not (self.text.isascii() and self.text.isprintable()):
            object.__setattr__(self, "text", shown_in_row(self.text))


Row = tuple[Span, ...]

BLANK: Row = ()


def text_of(row: Row) -> str:
    """The bare text of a row."""
    return "".join(span.text for span in row)


def width_of(row: Row) -> int:
    """Columns a row takes."""
    return sum(cell_len(span.text) for span in row)


def margin_row(
    word: str, *spans: Span, role: Role = Role.FAINT, chosen: bool = False, act: Act | None = None
) -> Row:
    """A row with its margin word; the chosen one has ``>`` in column 1. A click anywhere does ``act``.

    A word of seven letters loses its last one to the ``>``.
    """
    if chosen:
        word = word[: MARGIN - 1]  # the sign has its column whatever the word: nothing to its right moves
    sign = [Span(">", Role.MEASURED)] if chosen else []
    blanks = " " * (MARGIN - len(sign) - len(word))
    # What is underlined or bold is the word alone.
    apart = bool(word) and role is not Role.FAINT
    first = (
        (Span(blanks, Role.FAINT), Span(word, role), Span(" ", Role.FAINT))
        if apart
        else (Span(f"{blanks}{word} ", role),)
    )
    row = (*sign, *first, *spans)
    return tuple(replace(span, act=span.act or act) for span in row) if act else row


def fitted(row: Row, *, width: int) -> Row:
    """The row padded with blanks, or cut, to exactly ``width`` columns."""
    left = width
    out: list[Span] = []
    for span in row:
        size = cell_len(span.text)
        if size > left:
            out.append(replace(span, text=set_cell_size(span.text, left)))
            return tuple(out)
        out.append(span)
        left -= size
    if left:
        last = out[-1].act if out else None
        out.append(Span(" " * left, act=last))
    return tuple(out)


def wrapped(text: str, *, width: int) -> list[str]:
    """The text in lines of at most ``width`` columns, broken at blanks; an endless word is broken hard.

    A number and its unit, or its month, stay together: "10" alone at a row's end is no temperature.
    """
    if width < 1:
        return []
    text = shown(text)  # its own blanks and ends of rows stay, and count
    if text.strip() and "\n" not in text and cell_len(text) <= width:
        return [text]  # whole: its own spacing stays
    lines: list[str] = []
    line = ""
    for word in _together(text.split()):
        pieces = chop_cells(word, width) if cell_len(word) > width else [word]
        for piece in pieces:
            joined = f"{line} {piece}" if line else piece
            if cell_len(joined) <= width:
                line = joined
            else:
                lines.append(line)
                line = piece
    return [*lines, line] if line else lines


def cut(text: str, columns: int) -> str:
    """The text, or as much of it as fits and a sign that there is more."""
    return text if cell_len(text) <= columns else set_cell_size(text, columns - 2).rstrip() + " …"


UNIT = re.compile(
    r"(°[CF]|%|kg|lb|h|min|mm|m[²³]?|W|kWh|L|Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[.,;:)?]*"
)
"""A word that says what the number before it is."""
WEEKDAY = re.compile(r"[(]?(Mon|Tue|Wed|Thu|Fri|Sat|Sun)")


def _together(words: Sequence[str]) -> list[str]:
    """The words, each unit or month with the number before it, each weekday with its day."""
    out: list[str] = []
    for word in words:
        said = bool(out) and out[-1][-1:].isdigit() and UNIT.fullmatch(word) is not None
        dated = bool(out) and WEEKDAY.fullmatch(out[-1]) is not None and word[:1].isdigit()
        if said or dated:
            out[-1] += f" {word}"
        else:
            out.append(word)
    return out


def paragraph(word: str, text: str, *, words: int, role: Role = Role.INK, most: int = 99) -> list[Row]:
    """A sentence as rows of ``words`` columns: the margin word on the first, at most ``most`` rows."""
    lines = wrapped(text, width=words)[:most]
    return [margin_row(word if n == 0 else "", Span(line, role)) for n, line in enumerate(lines)]


def spread(rows: Iterable[Row], *, count: int) -> list[Row]:
    """Exactly ``count`` rows: blank ones added below, or what is too much left out."""
    got = list(rows)[:count]
    return got + [BLANK] * (count - len(got))


def right_aligned(row: Row, end: Sequence[Span], *, width: int) -> Row:
    """A row with ``end`` against the right edge, one blank before the edge; left out when it has no room."""
    gap = width - 1 - width_of(row) - width_of(tuple(end))
    return (*row, Span(" " * gap), *end) if gap >= 2 else row


PLAIN = str.maketrans(
    {
        "−": "-", "–": "-", "—": "-", "·": ".", "…": ".", "●": "o", "┄": "-", "╎": "|", "━": "=", "╍": "~",
        "├": "|", "┤": "|", "─": "-", "←": "<", "→": ">", "↑": "^", "↓": "v", "²": "2", "³": "3",
        "°": " ", "“": '"', "”": '"', "’": "'", "×": "x",
    }
)  # fmt: skip
"""One character for one, so that columns stay where they are."""


def plain_row(row: Row) -> Row:
    """The row in plain marks, for a terminal that has no others."""
    return tuple(
        replace(span, text=span.text.replace(" °C", " C ").replace(" °F", " F ").translate(PLAIN))
        for span in row
    )
