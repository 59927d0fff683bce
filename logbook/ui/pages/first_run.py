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
WALLS_NARROW = 24
USUAL_WIDTH = 6
TITLE = "First evening. Three numbers, then it answers. The rest can wait."
TITLE_NARROW = "First evening. Three numbers, then it answers."
SHORT = {"to": "to", "bed": "bed", "wake": "up"}
"""Under 80 columns what stands before a blank that shares its row."""
SO_FAR_ROWS, SO_FAR_LEAST = 5, 2
BEFORE_ENOUGH = "After the three numbers the first answer stands here."
WAITING = "Reckoning from the description alone."
NEXT = "Enter or Tab: next. ↑ back. Enter on the last keeps it all. Esc: later."
DEMO = "d, in a number: the demo first, an invented cabin. q comes back here."


def rows(view: View) -> list[Row]:
    """The whole screen."""
    form = view.form
    if form is None:
        return []
    title = margin_row(clock(view.now, zone=view.zone), Span(TITLE_NARROW if view.narrow else TITLE))
    out: list[Row] = [title]
    for names in ROWS:
        out.append(_sentence(view, form, names) if names else BLANK)
    out += spread(_said(view, form), count=2)
    last = form.at == form.blanks[-1].name
    keep = "Enter on this last one keeps it all." if last else NEXT
    nexts = paragraph("next", keep, words=view.words, role=Role.FAINT)
    # On a low window what the description says already gives way: how to go on must stand there.
    room = view.height - 1 - len(out) - len(paragraph("next", NEXT, words=view.words))
    out += _so_far(view, count=min(SO_FAR_ROWS, max(SO_FAR_LEAST, room)))
    out += [BLANK, *nexts] if room > SO_FAR_ROWS else nexts
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
        before = SHORT.get(blank.name, blank.before) if view.narrow else blank.before
        lead = f"{' ' if n else ''}{before}{' ' if before else ''}"
        if names == ("units",):
            lead = ""
        spans.append(Span(lead, Role.INK))
        apart = "" if view.narrow and names != ("units",) else "  "
        spans += choice_spans(form, blank, apart=apart) if blank.choices else blank_spans(view, form, blank)
        after = _after(view, blank)
        if after:
            spans.append(Span(f" {after}"))
    return margin_row(word, *spans, chosen=here)


def _after(view: View, blank: Blank) -> str:
    """What stands after a blank; under 80 columns without what explains it, and one unit for both limits."""
    if not view.narrow:
        return blank.after
    return "" if blank.name == "from" else blank.after.partition(" (")[0].removesuffix(" at once")


def choice_spans(form: FormView, blank: Blank, *, apart: str = "  ") -> list[Span]:
    """The words to choose from; the chosen one has ``>`` before it."""
    picked = form.texts.get(blank.name, "")
    here = form.at == blank.name
    out = []
    for word in blank.choices:
        chosen = word == picked
        role = Role.MEASURED if chosen else Role.INK if here else Role.FAINT
        out.append(Span(f"{'>' if chosen else ' '} {word} {apart}", role, act=Act("blank", blank.name)))
    if here:
        out.append(Span("← →", Role.FAINT))
    return out


def blank_spans(view: View, form: FormView, blank: Blank) -> list[Span]:
    """One blank in brackets, the caret in it while it is filled in; ``?`` after one not understood."""
    text = form.texts.get(blank.name, "")
    act = Act("blank", blank.name)
    here, bad = form.at == blank.name, blank.name in form.wrong
    width = max(WIDTHS.get(blank.name, USUAL_WIDTH), 1)
    width = min(width, WALLS_NARROW) if view.narrow and blank.name == "walls" else width
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


def _so_far(view: View, *, count: int) -> list[Row]:
    """What the description alone says already; as many rows whatever it says, so that nothing below moves."""
    form = view.form
    found = view.so_far
    if found is None:
        waiting = WAITING if form is not None and form.enough else BEFORE_ENOUGH
        said = view.trouble("so far") or waiting
        return spread(paragraph("so far", said, words=view.words, role=Role.FAINT, most=5), count=count)
    old = Role.FAINT if "so far" in view.stale else Role.INK
    out: list[Row] = []
    for said, role, most in ((found.cools, old, 2), (found.evening, old, 2), (found.note, Role.FAINT, 1)):
        more = paragraph("" if out else "so far", said, words=view.words, role=role, most=most)
        if not out or len(out) + len(more) <= count:  # whole, or not at all: "−8 to" is no range
            out += more
    return spread(out, count=count)
