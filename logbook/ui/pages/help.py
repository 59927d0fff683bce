"""Help: the keys from their one table, lines to copy, how to read the chart."""

from __future__ import annotations

from logbook.ui.cells import BLANK, MARGIN, Act, Role, Row, Span, margin_row, right_aligned, width_of
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
RANGES = "13–20 °C: of 10 nights told so about 9 end inside. Score: page Nights."


def rows(view: View) -> list[Row]:
    """The whole screen."""
    out: list[Row] = [_top(view), BLANK]
    for group in GROUPS:
        out += _group(view, group)
    out.append(BLANK)
    out += [_examples(n, examples) for n, examples in enumerate(LINES)]
    out.append(BLANK)
    out += [margin_row("chart" if n == 0 else "", Span(line)) for n, line in enumerate(CHART)]
    out.append(margin_row("ranges", Span(RANGES)))
    return out


def _top(view: View) -> Row:
    row = margin_row("help", Span("Numbers write. Letters do. Space writes words."))
    return right_aligned(row, [Span("Esc closes", Role.FAINT, act=Act("rest"))], width=view.width)


def _examples(place: int, examples: tuple[str, ...]) -> Row:
    spans: list[Span] = []
    for n, said in enumerate(examples):
        # In the first row the second text tells what the first means.
        role = Role.FAINT if place == 0 and n else Role.INK
        spans += [Span(said, role), Span("   ")]
    return margin_row("lines" if place == 0 else "", *spans[:-1])


def _group(view: View, group: str) -> list[Row]:
    """The keys of one group, as many to a row as fit."""
    out: list[Row] = []
    spans: list[Span] = []
    room = view.width - 1
    for key in (key for key in KEYS if key.group == group):
        entry = [Span(key.shown, Role.MEASURED, act=key.act), Span(f" {key.says}", act=key.act)]
        lead = [Span("   ")] if spans else []
        if MARGIN + 1 + width_of((*spans, *lead, *entry)) > room and spans:
            out.append(margin_row(group if not out else "", *spans))
            spans, lead = [], []
        spans += [*lead, *entry]
    out.append(margin_row(group if not out else "", *spans))
    return out
