"""First evening: sentences with blanks on one screen; what is answered sharpens with each blank filled."""

from __future__ import annotations

from logbook.results.app import Blank
from logbook.ui.cells import BLANK, Act, Role, Row, Span, margin_row, paragraph, right_aligned, spread
from logbook.ui.form import FormView
from logbook.ui.phrases import clock
from logbook.ui.view import View

ROWS = (
    ("units",),
    ("floor",),
    ("volume",),
    ("limit",),
    (),
    ("lever",),
    ("least air",),
    ("leak",),
    ("walls",),
    ("pieces",),
    ("from", "to", "bed", "wake"),
)
"""The sentences, by the blanks in them; an empty one is a gap."""
WIDTHS = {"walls": 40, "pieces": 26, "from": 3, "to": 3, "bed": 6, "wake": 6}
USUAL_WIDTH = 6
TITLE = "First evening. Three numbers, then it answers. The rest can wait."
BEFORE_ENOUGH = "After the three numbers the first answer stands here."
WAITING = "Reckoning from the description alone."
NEXT = "Enter or Tab: next. ↑ back. Enter on the last keeps it all. Esc: later."
DEMO = "d, in a number: the demo first, an invented cabin. q comes back here."


def rows(view: View) -> list[Row]:
    """The whole screen."""
    form = view.form
    if form is None:
        return []
    title = margin_row(clock(view.now, zone=view.zone), Span(TITLE))
    out: list[Row] = [title]
    for names in ROWS:
        out.append(_sentence(view, form, names) if names else BLANK)
    out += spread(_said(view, form), count=2)
    out += [*_so_far(view), BLANK]
    keep = "Enter on this last one keeps it all." if form.at == form.blanks[-1].name else NEXT
    out += paragraph("next", keep, words=view.words, role=Role.FAINT)
    out += [
        row if n else margin_row("look", *row[1:], act=Act("demo"))
        for n, row in enumerate(paragraph("look", DEMO, words=view.words, role=Role.FAINT))
    ]
    foot = right_aligned(
        (Span("        Nothing leaves this computer.", Role.FAINT),),
        [Span("any F key: emergency", Role.FAINT, act=Act("page", "emergency"))],
        width=view.width,
    )
    return [*spread(out, count=view.height - 1), foot]


def _sentence(view: View, form: FormView, names: tuple[str, ...]) -> Row:
    blanks = [blank for name in names for blank in form.blanks if blank.name == name]
    if not blanks:
        return BLANK
    here = form.at in names
    word = "units" if names == ("units",) else "must" if blanks[0].needed else "may"
    spans: list[Span] = []
    for n, blank in enumerate(blanks):
        lead = f"{' ' if n else ''}{blank.before}{' ' if blank.before else ''}"
        if names == ("units",):
            lead = ""
        spans.append(Span(lead, Role.INK))
        spans += choice_spans(form, blank) if blank.choices else blank_spans(form, blank)
        if blank.after:
            spans.append(Span(f" {blank.after}"))
    return margin_row(word, *spans, chosen=here)


def choice_spans(form: FormView, blank: Blank) -> list[Span]:
    """The words to choose from; the chosen one has ``>`` before it."""
    picked = form.texts.get(blank.name, "")
    here = form.at == blank.name
    out = []
    for word in blank.choices:
        chosen = word == picked
        role = Role.MEASURED if chosen else Role.INK if here else Role.FAINT
        out.append(Span(f"{'>' if chosen else ' '} {word}   ", role, act=Act("blank", blank.name)))
    if here:
        out.append(Span("← →", Role.FAINT))
    return out


def blank_spans(form: FormView, blank: Blank) -> list[Span]:
    """One blank in brackets, the caret in it while it is filled in; ``?`` after one not understood."""
    text = form.texts.get(blank.name, "")
    act = Act("blank", blank.name)
    here, bad = form.at == blank.name, blank.name in form.wrong
    width = max(WIDTHS.get(blank.name, USUAL_WIDTH), 1)
    role = Role.STOP if bad else Role.MEASURED if here else Role.INK
    edge = Role.MEASURED if here else Role.FAINT
    mark = [Span("?", Role.STOP)] if bad else []
    if not here:
        shown = Span(text[:width].ljust(width), role, act=act)
        return [Span("[", edge, act=act), shown, Span("]", edge), *mark]
    start = max(0, form.caret - width + 1) if len(text) >= width else 0
    part = text[start : start + width].ljust(width)
    at = min(form.caret - start, width - 1)
    return [
        Span("[", edge), Span(part[:at], role), Span(part[at : at + 1], role, caret=True),
        Span(part[at + 1 :], role), Span("]", edge), *mark,
    ]  # fmt: skip


def _said(view: View, form: FormView) -> list[Row]:
    """Why this blank is asked, or what is wrong in it."""
    if view.answer is not None and view.answer.word in ("stop", "saved"):
        role = Role.STOP if view.answer.word == "stop" else Role.SAVED
        return paragraph(view.answer.word, view.answer.sentence, words=view.words, role=role, most=2)
    wrong = form.wrong.get(form.at)
    if wrong:
        return paragraph("stop", wrong, words=view.words, role=Role.STOP, most=2)
    blank = next((b for b in form.blanks if b.name == form.at), None)
    why = blank.why if blank else ""
    if form.at == "walls" and form.walls_said:
        why = f"{why} {form.walls_said}"
    return paragraph("why", why, words=view.words, role=Role.FAINT, most=2)


def _so_far(view: View) -> list[Row]:
    """What the description alone says already; five rows, so that nothing below moves."""
    form = view.form
    found = view.so_far
    if found is None:
        waiting = WAITING if form is not None and form.enough else BEFORE_ENOUGH
        said = view.trouble("so far") or waiting
        return spread(paragraph("so far", said, words=view.words, role=Role.FAINT, most=5), count=5)
    old = Role.FAINT if "so far" in view.stale else Role.INK
    out = paragraph("so far", found.cools, words=view.words, role=old, most=2)
    out += paragraph("", found.evening, words=view.words, role=old, most=2)
    out += paragraph("", found.note, words=view.words, role=Role.FAINT, most=1)
    return spread(out, count=5)
