"""A list: a line each in the owner's order, in the margin when it was done; below, what to know on going."""

from __future__ import annotations

from rich.cells import cell_len

from logbook.results.year import Listed, ListedLine
from logbook.ui.cells import BLANK, Act, Role, Row, Span, margin_row, paragraph, spread, wrapped
from logbook.ui.pages import going
from logbook.ui.view import View

WAITING = "Reading the list. You can write."
EMPTY = "No line stands in this list now. Enter adds one."
KEYS = "v done  x not this time  Enter adds a line"
KEYS_NARROW = "v done  x not now  Enter adds one"
NOTHING_LEFT = "Nothing left"

LEAST_LINES = 8
"""Rows kept for the lines themselves before anything is pinned beneath them."""

WORDS = {"packing": "pack", "arriving": "arrive", "leaving": "leave", "spring": "spring", "autumn": "autumn"}
"""The list's name in the margin."""


def rows(view: View) -> list[Row]:
    """The page's rows under the head."""
    listed = view.listed
    if listed is None:
        word = WORDS.get(view.list_asked, "list")
        said = view.waiting("list", WAITING)
        return paragraph(word, said, words=view.words, role=Role.FAINT, most=3)
    top = _top(view, listed)
    room = view.height - 7 - len(top)
    blocks = _blocks(view, listed)
    whole = view.going is not None and sum(map(len, blocks)) <= room
    pinned = [] if whole else _pinned(view, listed, most=max(0, room - LEAST_LINES))
    return [*top, *_window(view, blocks, count=room - len(pinned)), *pinned]


def row_count(view: View) -> int:
    """The lines, then what stands below them: the arrows go through both."""
    return len(_blocks(view, view.listed)) if view.listed is not None else 0


def chosen_at(view: View) -> int:
    """Which block is chosen."""
    return min(max(0, view.chosen or 0), max(0, row_count(view) - 1))


def _top(view: View, listed: Listed) -> list[Row]:
    """How far it is, the keys, and what the list depends on today."""
    open_ones = any(line.is_open for line in listed.lines)
    said = listed.counts if open_ones or not listed.lines else f"{NOTHING_LEFT}: {listed.counts}"
    since = f" {listed.since}" if view.wide and listed.since else ""
    word = WORDS.get(listed.name, listed.name)
    keys = KEYS_NARROW if view.narrow else KEYS
    lead = f"{said}{since}.  "
    if cell_len(lead) + cell_len(keys) <= view.words:
        out = [margin_row(word, Span(lead), Span(keys, Role.FAINT))]
    else:
        out = [margin_row(word, Span(f"{said}{since}.")), margin_row("", Span(keys, Role.FAINT))]
    for said in listed.above:
        out += paragraph("", said, words=view.words, role=Role.FAINT)
    return out


def _blocks(view: View, listed: Listed) -> list[list[Row]]:
    """Every line with all its words, then every paragraph below the list."""
    here = view.chosen or 0
    blocks = [_line(view, line, index=n, chosen=n == here) for n, line in enumerate(listed.lines)]
    if not blocks:
        blocks = [[margin_row("", Span(EMPTY, Role.FAINT))]]
    below = [paragraph("", said, words=view.words, role=Role.FAINT) for said in listed.below]
    if listed.leaves and view.going is not None:
        below += [
            [BLANK, *block] if n == 0 else block for n, block in enumerate(going.blocks(view, view.going))
        ]
    return [*blocks, *below]


def _line(view: View, line: ListedLine, *, index: int, chosen: bool) -> list[Row]:
    role = Role.INK if line.is_open else Role.FAINT
    act = Act("choose", str(index))
    return [
        margin_row(line.margin if n == 0 else "", Span(piece, role), chosen=chosen and n == 0, act=act)
        for n, piece in enumerate(wrapped(line.text, width=view.words) or [""])
    ]


def _window(view: View, blocks: list[list[Row]], *, count: int) -> list[Row]:
    """As many whole blocks as fit around the chosen one, and how many are not shown."""
    if sum(map(len, blocks)) <= count:
        return spread((row for block in blocks for row in block), count=count)
    here = min(max(0, view.chosen or 0), len(blocks) - 1)
    room = count - 1
    start = here
    taken = len(blocks[here])
    ahead = len(blocks[here + 1]) if here + 1 < len(blocks) else 0  # the next is in sight where it can be
    while start > 0 and taken + ahead + len(blocks[start - 1]) <= room:
        start -= 1
        taken += len(blocks[start])
    shown: list[Row] = []
    end = start
    while end < len(blocks) and (end == here or len(shown) + len(blocks[end]) <= room):
        shown += blocks[end]
        end += 1
    left = [f"{start} above" if start else "", f"{len(blocks) - end} more below" if end < len(blocks) else ""]
    more = margin_row("", Span(f"({', '.join(part for part in left if part)}: ↑ ↓)", Role.FAINT))
    return [*spread(shown, count=room), more]


def _pinned(view: View, listed: Listed, *, most: int) -> list[Row]:
    """On leaving: when it freezes, and the first caution, as far as there is room for them whole."""
    if not listed.leaves:
        return []
    if view.going is None:
        return paragraph("freeze", view.waiting("going", going.WAITING), words=view.words, role=Role.FAINT,
                         most=2)[:most]  # fmt: skip
    out = going.freeze_rows(view, view.going)
    if len(out) > most:
        return []
    care = going.care_rows(view, view.going)
    return [*out, *care] if len(out) + len(care) <= most else out
