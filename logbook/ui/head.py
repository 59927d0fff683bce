"""The six head rows, the same on every page, and the foot."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from rich.cells import cell_len

from logbook.results.first_frame import Pending
from logbook.ui.cells import (
    BLANK,
    WORDS,
    Act,
    Role,
    Row,
    Span,
    cut,
    margin_row,
    right_aligned,
    width_of,
    wrapped,
)
from logbook.ui.keys import PAGES, PARENT, TITLES
from logbook.ui.phrases import clock, day
from logbook.ui.view import View

HEAD_ROWS = 6
HINT = "Numbers write. Letters do. Space writes words."
HINT_NARROW = "Numbers write. Letters do. Space: words."
ANSWER_ROLES = {
    "reads": Role.FAINT,
    "saved": Role.SAVED,
    "back": Role.SAVED,
    "asks": Role.ASKS,
    "stop": Role.STOP,
    "paper": Role.SAVED,
    "sheet": Role.SAVED,
}


def head_rows(view: View) -> list[Row]:
    """Time and readings; fire; writing line; answer; ``first`` and ``then``."""
    answer, first, then = _three_rows(view)
    return [_time(view), _fire(view), _writing(view), answer, first, then]


def _reading(view: View, word: str, reading: tuple[str, datetime] | None, role: Role) -> list[Span]:
    if reading is None:
        return [Span(f"{word} not read yet", Role.FAINT)]
    said, at = reading
    when = clock(at, zone=view.zone)
    if view.now - at > timedelta(hours=20):
        when = f"{day(at, zone=view.zone)} {when}" if view.wide else day(at, zone=view.zone)
    return [Span(f"{word} ", Role.FAINT), Span(said, role), Span(f" ({when})", Role.FAINT)]


def _time(view: View) -> Row:
    lead = f"  {clock(view.now, zone=view.zone)} "
    if not view.narrow:
        lead += f"{day(view.now, zone=view.zone)}   "
    row = (
        Span(lead),
        *_reading(view, "inside", view.head.inside, Role.MEASURED),
        Span("   " if not view.narrow else "  "),
        *_reading(view, "outside", view.head.outside, Role.OUTSIDE),
    )
    if width_of(row) > view.width:
        row = tuple(span for span in row if not span.text.startswith(" ("))
    return right_aligned(row, [Span(view.head.place, Role.FAINT)], width=view.width)


SHORTER = ((" since then", ""), (" %", "%"), (r" since \d\d:\d\d", ""), (r" \([^)]*closed\)", ""))
"""What the fire row gives up, in this order, until it fits. The brackets last: air is told both ways."""


def _fire(view: View) -> Row:
    said = view.head.fire
    for pattern, shorter in SHORTER:
        if cell_len(said) > view.words:
            said = re.sub(pattern, shorter, said)
    line = wrapped(said, width=view.words)
    return margin_row("fire", Span(line[0] if line else ""))


def _writing(view: View) -> Row:
    writing = view.writing
    if not writing.is_open:
        hint = view.head.ready_lines or (HINT_NARROW if view.narrow else HINT)
        return margin_row("write", Span(hint, Role.FAINT), act=Act("write"))
    word = writing.word or ("change" if writing.changing else "write")
    # The part around the caret, when the text is longer than the row.
    room = view.words - 1
    start = max(0, writing.caret - room + 1) if len(writing.text) >= room else 0
    shown = writing.text[start : start + room]
    at = writing.caret - start
    spans = [Span(shown[:at]), Span(shown[at : at + 1] or " ", caret=True), Span(shown[at + 1 :])]
    if writing.offered and at == len(shown):
        spans.append(Span(f"{writing.offered[: room - len(shown)]} (Tab)", Role.FAINT))
    return margin_row(word, *spans, role=Role.FIRST)


def _pending(view: View, *, first: bool) -> Pending | None:
    found = next((item for item in view.head.pending if item.first is first), None)
    if found is None and first and view.last_night:
        return Pending(name="last night", short=view.last_night, long=view.last_night, first=True)
    return found


def _pending_row(view: View, word: str, item: Pending | None, role: Role) -> Row:
    if item is None:
        return BLANK
    said = cut(item.long if view.wide else item.short, view.words)
    return margin_row(word, Span(said, role if word == "first" else Role.INK), role=role)


def _three_rows(view: View) -> tuple[Row, Row, Row]:
    """Answer, first, then.

    An answer longer than its row goes on in the next ones, rather than being cut. The most pressing
    thing keeps a row as long as one is left.
    """
    first, then = _pending(view, first=True), _pending(view, first=False)
    rows = [
        BLANK,
        _pending_row(view, "first", first, Role.FIRST),
        _pending_row(view, "then", then, Role.ASKS),
    ]
    answer = _at_most(3, view.answer.sentence, view) if view.answer else []
    if view.narrow:
        rows[1:] = _narrow_pending(view, first, then, most=1 if len(answer) > 1 else 2)
    if view.answer is None:
        return rows[0], rows[1], rows[2]
    role = ANSWER_ROLES.get(view.answer.word, Role.FAINT)
    said: list[Row] = [
        margin_row(view.answer.word if n == 0 else "", Span(line), role=role) for n, line in enumerate(answer)
    ]
    pressing = [row for row in rows[1:] if row]
    if len(said) <= 1:
        return (said or [BLANK])[0], rows[1], rows[2]
    filled = [*said, *pressing[: 3 - len(said)], BLANK, BLANK]
    return filled[0], filled[1], filled[2]


def _at_most(rows: int, said: str, view: View) -> list[str]:
    """A sentence in so many rows; where it needs more, with a sign at the end that it is cut."""
    lines = wrapped(said, width=view.words)
    return lines if len(lines) <= rows else [*lines[: rows - 1], cut(" ".join(lines[rows - 1 :]), view.words)]


def _narrow_pending(view: View, first: Pending | None, then: Pending | None, *, most: int) -> list[Row]:
    """Under 80 columns: the most pressing thing, over both rows if it needs them and they are free."""
    item = first or then
    if item is None:
        return [BLANK, BLANK]
    word, role = ("first", Role.FIRST) if first else ("then", Role.ASKS)
    lines = _at_most(most, item.short, view)
    rows: list[Row] = [
        margin_row(word if n == 0 else "", Span(line, role if first else Role.INK), role=role)
        for n, line in enumerate(lines)
    ]
    if len(rows) == 1 and first and then and len(then.short) <= view.words:
        rows.append(_pending_row(view, "then", then, Role.ASKS))
    return [*rows, BLANK, BLANK][:2]


def foot_row(view: View) -> Row:
    """Which pages ← and → turn to, and the ways to help and emergency."""
    if view.page == "copying":  # letters write there, so only the keys that still act are told
        return right_aligned(
            (Span(" " * WORDS),), [Span("any F key: emergency", Role.FAINT)], width=view.width
        )
    page = view.under or view.page
    here = PARENT.get(page, page)
    place = PAGES.index(here) if here in PAGES else 0
    before = PAGES[place - 1] if place > 0 else None
    after = PAGES[place + 1] if place + 1 < len(PAGES) else None
    here_at, after_at = (49, 79) if view.wide else (28, 43) if not view.narrow else (17, 27)
    row: list[Span] = [Span(" " * WORDS)]
    if before:
        said = "←" if view.narrow else f"← {TITLES[before]}"
        row.append(Span(said, Role.FAINT, act=Act("turn", "-1")))
    row.append(Span(" " * (here_at - width_of(tuple(row)))))
    row.append(Span(TITLES[view.page]))
    row.append(Span(" " * (after_at - width_of(tuple(row)))))
    if after:
        said = "→" if view.narrow else f"{TITLES[after]} →"
        row.append(Span(said, Role.FAINT, act=Act("turn", "1")))
    end = [
        Span("h help", Role.FAINT, act=Act("page", "help")),
        Span("  "),
        Span("e emergency", Role.FAINT, act=Act("page", "emergency")),
    ]
    return right_aligned(tuple(row), end, width=view.width)
