"""Help: the keys from their one table, lines to copy, how to read the chart."""

from __future__ import annotations

from logbook.ui.cells import BLANK, Act, Role, Row, Span, margin_row, paragraph, right_aligned, width_of
from logbook.ui.keys import GROUPS, KEYS
from logbook.ui.view import View

LINES = (
    ("-11/18 4m 1/4", "outside, inside, 4 M pieces, air 1/4 open"),
    ("last night 11 out -9", "fri 7:30pm 2m 1l", "-2h window cracked"),
    ("7am low 9 coals few", "heater 1500 W", "fire out"),
    ("note mouse behind the wood box", "bed", "woke", "alarms ok"),
)
CHART = (
    "● reading  thick line between readings  thin line likely  dots: range",
    "┄ wanted band  ╎ now  time dotted from bed to waking  ? not done yet",
    "━ wood burning  ╍ coals only: CO, so keep the air and the flue open",
)
WHAT_DOES = "Numbers write. Letters do. Space writes words."
RANGES = "13–20 °C: of 10 nights told so about 9 end inside. Score: page Nights."


def rows(view: View) -> list[Row]:
    """The whole screen; on a small one ↑ ↓ move it."""
    lines = _lines(view)
    start = min(max(0, view.chosen or 0), max(0, len(lines) - view.height + 1))
    return [_top(view, whole=len(lines) < view.height), *lines[start:]]


def scroll_rows(view: View) -> int:
    """How many rows the page can be moved by, and one: the first counts."""
    return max(0, len(_lines(view)) - view.height + 1) + 1


def _lines(view: View) -> list[Row]:
    out: list[Row] = [BLANK]
    for group in GROUPS:
        out += _group(view, group)
    out.append(BLANK)
    for n, examples in enumerate(LINES):
        out += _flow(
            view,
            "lines" if n == 0 else "",
            [[Span(said, _example_role(n, m))] for m, said in enumerate(examples)],
        )
    out.append(BLANK)
    for n, line in enumerate(CHART):
        out += paragraph("chart" if n == 0 else "", line, words=view.words)
    return [*out, *paragraph("ranges", RANGES, words=view.words)]


def _example_role(row: int, place: int) -> Role:
    """In the first row the second text tells what the first means."""
    return Role.FAINT if row == 0 and place else Role.INK


def _top(view: View, *, whole: bool) -> Row:
    """What does what, in a sentence; how the page is moved and closed."""
    said = "Numbers write. Letters do. Space: words." if view.narrow else WHAT_DOES
    row = margin_row("help", Span(said))
    keys = "Esc" if view.narrow else "Esc closes"
    told = keys if whole else f"↑ ↓ {keys}" if view.narrow else f"↑ ↓ more, {keys}"
    return right_aligned(row, [Span(told, Role.FAINT, act=Act("rest"))], width=view.width)


def _group(view: View, group: str) -> list[Row]:
    """The keys of one group."""
    entries = [
        [Span(key.shown, Role.MEASURED, act=key.act), Span(f" {key.says}", act=key.act)]
        for key in KEYS
        if key.group == group
    ]
    return _flow(view, group, entries)


def _flow(view: View, word: str, entries: list[list[Span]]) -> list[Row]:
    """Entries after one another, three blanks between, as many to a row as fit."""
    out: list[Row] = []
    spans: list[Span] = []
    for entry in entries:
        lead = [Span("   ")] if spans else []
        if spans and width_of((*spans, *lead, *entry)) > view.words:
            out.append(margin_row(word if not out else "", *spans))
            spans, lead = [], []
        spans += [*lead, *entry]
    if width_of(tuple(spans)) > view.words:
        return [*out, *paragraph(word if not out else "", "".join(s.text for s in spans), words=view.words)]
    return [*out, margin_row(word if not out else "", *spans)]
