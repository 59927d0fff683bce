"""Cabin: how it cools without fire, what is known of it, did works help, what if; the owner's own words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta

from rich.cells import cell_len

from logbook.results.app import Blank, CabinPage, CoolingLine, Stretch
from logbook.ui.cells import BLANK, Act, Role, Row, Span, cut, margin_row, paragraph, spread, wrapped
from logbook.ui.chart import Drawing, Frame, drawn
from logbook.ui.pages.night import said_rows
from logbook.ui.phrases import clock, day, temperature
from logbook.ui.view import View
from logbook.wording.amounts import number_text, temperature_value

WAITING = "Reckoning how it cools. You can write."
NOT_DESCRIBED = "Not described yet. Enter: three numbers, and it answers."
NO_CHANGES = "No work on record yet. When one is done, type: work skirting done"
WHAT_IF_HINT = "Enter, or type: what if roof +100mm mineral wool batt"
WHAT_IF_ROWS, WHAT_IF_LARGE = 2, 8
KNOWN_LEAST = 3
"""Rows kept for what is known when the answer to a what if is read whole."""
OPENS = "Enter: all of it, what it cost, and whether it has paid."
CHANGES_SMALL, CHANGES_LARGE = 2, 6
FLIP = "x leaves a stretch out of learning, v uses it again."
STRETCHES_SMALL, STRETCHES_LARGE = 3, 8
LEAST_CHART = 3
CHART_ROWS, CHART_MOST = 12, 18
"""Rows of the chart on a large window; more where rows would stand empty."""
SPARE_ROWS = 4
"""Rows kept empty then: what is said of a chosen work goes there, and the chart stays as it is."""
NAMES_ROOM = 16
"""Columns kept right of the chart for the names at its line ends."""


@dataclass(frozen=True, slots=True)
class Item:
    """A row that can be chosen: stretch or change by number, what-if, description, emergency page."""

    kind: str
    index: int = 0


def items(view: View) -> tuple[Item, ...]:
    """The rows that can be chosen, from the top."""
    if not view.described:
        return (Item("first"), Item("danger"))
    changes = len(view.works.changes) if view.works else 0
    stretches = len(view.cabin.stretches) if view.cabin else 0
    return (
        *(Item("stretch", n) for n in range(stretches)),
        *(Item("change", n) for n in range(changes)),
        Item("what if"),
        Item("describe"),
        Item("danger"),
    )


def chosen(view: View) -> Item | None:
    """The row chosen, if any."""
    found = items(view)
    if view.chosen is None or not found:
        return None
    return found[min(max(0, view.chosen), len(found) - 1)]


def rows(view: View, *, plain: bool = False) -> list[Row]:
    """The page's rows under the head."""
    if not view.described:
        first = margin_row("first", Span(NOT_DESCRIBED), chosen=_is(view, "first"), act=_act(view, "first"))
        return [first, BLANK, _danger(view)]
    room = view.height - 7
    foot = [*_whats(view), _described(view), _danger(view)]
    changes = _changes(view)
    whole = _whole_change(view)
    room -= len(foot) + len(changes) + len(whole)
    top = _known(view, plain=plain, room=room, taken=len(whole))
    return [*spread(top, count=room), *changes, *whole, *foot]


def _known(view: View, *, plain: bool, room: int, taken: int) -> list[Row]:
    """What is known of it, in ``room`` rows; so many of them were ``taken`` by a chosen work's sentences."""
    page = view.cabin
    if page is None:
        return paragraph("cools", view.waiting("cabin", WAITING), words=view.words, role=Role.FAINT, most=3)
    stale = "cabin" in view.stale
    cools = said_rows(view, word="cools", sentence=page.cools, as_of=page.as_of, stale=stale, most=2)
    told: list[Row] = []
    for word, said in page.known:
        told += paragraph(word, said, words=view.words, most=2)
    if view.works is not None and view.works.narrowed:
        told += paragraph("", view.works.narrowed, words=view.words, role=Role.FAINT, most=2)
    stretches = _stretches(view, page, most=STRETCHES_LARGE if view.large else STRETCHES_SMALL)
    stove = paragraph("stove", page.stove, words=view.words, most=2)
    here = chosen(view)
    if here is not None and here.kind == "stretch" and len(cools + told + stretches) > room:
        told = stretches[: room - len(cools)]  # the row being flipped must be in sight
        return [*cools, *told]
    left = room - len(cools) - len(told) - len(stretches) - len(stove) - 1
    if left >= LEAST_CHART:
        # As if no work were chosen: its sentences take from the empty rows, and the chart stays.
        tall = min(max(CHART_ROWS, left + taken - SPARE_ROWS), left + taken, CHART_MOST)
        gap = [BLANK] if left + taken > tall else []
        chart = _chart(view, page.line, rows=min(tall, left - len(gap)), plain=plain)
        return [*cools, *chart, *gap, *told, *stretches, *stove]
    if left >= 0:  # no room for a chart: older stretches instead of empty rows
        stretches = _stretches(view, page, most=STRETCHES_SMALL + left + 1)
    return [*cools, *told, *stretches, *stove]


def _stretches(view: View, page: CabinPage, *, most: int) -> list[Row]:
    """Hours with no wood burning: which are learned from, which the owner left out."""
    found = page.stretches
    if not found:
        return []
    here = chosen(view)
    at = here.index if here is not None and here.kind == "stretch" else 0
    start = max(0, min(at - most + 1, len(found) - most))
    used = sum(not view.is_out(s.start, s.end) for s in found)
    said = f"{'no wood burning':<{_when_columns(view)}}"
    said += "" if view.narrow else f"{'outside':<9}{'inside':<16}"
    out = [margin_row("", Span(f"{said}{'time':<7}{used} of {len(found)} used", Role.FAINT))]
    for n in range(start, min(start + most, len(found))):
        one = found[n]
        left = view.is_out(one.start, one.end)
        word, role = ("out", Role.FAINT) if left else ("used", Role.INK)
        span = Span(_stretch_said(view, one, left=left), role)
        out.append(margin_row(word, span, chosen=_is(view, "stretch", n), act=_act(view, "stretch", n)))
    return [*out, margin_row("", Span(FLIP, Role.FAINT))]


def _when_columns(view: View) -> int:
    return 26 if view.wide else 20 if view.narrow else 21


def _stretch_said(view: View, one: Stretch, *, left: bool) -> str:
    """One stretch in its columns: when, outside, inside from and to, how long, how it was."""
    units = view.units
    hours = (one.end - one.start) / timedelta(hours=1)
    when = f"{day(one.start, zone=view.zone)} {clock(one.start, zone=view.zone)}"
    lasted = f"{number_text(hours, 1)} h"
    why = "left out" if left else one.why
    if view.wide:
        when = f"{day(one.start, zone=view.zone)} {one.start.astimezone(view.zone):%Y %H:%M}"
    when = f"{when:<{_when_columns(view)}}"
    if view.narrow:
        return cut(f"{when}{lasted:<7}{why}", view.words)
    outside = "not read" if one.outside_c is None else temperature(one.outside_c, units=units)
    start, end = (number_text(temperature_value(c, units=units), 1) for c in (one.from_c, one.to_c))
    inside = f"{start} to {end} °{units.temperature}"
    return cut(f"{when}{outside:<9}{inside:<16}{lasted:<7}{why}", view.words)


def _chart(view: View, line: CoolingLine, *, rows: int, plain: bool) -> list[Row]:
    """The room without fire, hour by hour, and the hours beneath."""
    hours = max(line.hours, default=0.0)
    per_hour = max(1, int((view.words - NAMES_ROOM) / max(hours, 1.0)))
    highs = [v for v in (*line.high_c, *line.low_c) if math.isfinite(v)]
    if not highs:
        return []
    top, bottom = max(highs) + 0.5, min(highs) - 0.5
    frame = Frame(
        start=line.start, hours=hours + NAMES_ROOM / per_hour, columns_per_hour=per_hour, rows=rows,
        top_c=top, step_k=max((top - bottom) / rows, 0.1), zone=view.zone, units=view.units,
    )  # fmt: skip
    at = [line.start + timedelta(hours=h) for h in line.hours]
    drawing = Drawing(
        low=list(zip(at, line.low_c, strict=True)),
        likely=list(zip(at, line.likely_c, strict=True)),
        high=list(zip(at, line.high_c, strict=True)),
        band_c=(line.to_c, line.likely_c[0]),
    )
    lane = [" "] * (frame.columns + 4)
    for hour in range(0, int(hours) + 1, 2):
        said = f"{(line.start + timedelta(hours=hour)).astimezone(view.zone):%H:%M}"[: 5 if view.wide else 2]
        column = hour * per_hour
        lane[column : column + len(said)] = list(said)
    return [*drawn(drawing, frame=frame, plain=plain), margin_row("time", Span("".join(lane), Role.FAINT))]


def _is(view: View, kind: str, index: int = 0) -> bool:
    return chosen(view) == Item(kind, index)


def _act(view: View, kind: str, index: int = 0) -> Act:
    return Act("choose", str(items(view).index(Item(kind, index))))


def _changes(view: View) -> list[Row]:
    """Did it help: a row each, and the chosen one whole beneath."""
    works = view.works
    if works is None:
        said = view.waiting("works", "Comparing nights before and after each change.")
        return [margin_row("helped?", Span(cut(said, view.words), Role.FAINT))]
    if not works.changes:
        return [margin_row("helped?", Span(cut(works.said or NO_CHANGES, view.words), Role.FAINT))]
    most = CHANGES_LARGE if view.large else CHANGES_SMALL
    here = chosen(view)
    at = here.index if here is not None and here.kind == "change" else 0
    start = max(0, min(at - most + 1, len(works.changes) - most))
    out: list[Row] = []
    for n in range(start, min(start + most, len(works.changes))):
        change = works.changes[n]
        said = f"{change.name}: {change.verdict}"
        if change.loss:
            said = f"{said} ({change.loss})" if not view.wide else f"{said}. Heat loss {change.loss}"
        row = cut(said, view.words)
        word = "helped?" if n == start else ""
        out.append(margin_row(word, Span(row), chosen=_is(view, "change", n), act=_act(view, "change", n)))
    return out


def _whole_change(view: View) -> list[Row]:
    """All that is said of the chosen work."""
    here, works = chosen(view), view.works
    if works is None or here is None or here.kind != "change":
        return []
    said = " ".join(works.changes[here.index].whole[1:])
    lines, most = wrapped(said, width=view.words) if said else [], 6 if view.large else 2
    if len(lines) > most:
        lines = [*lines[: most - 1], cut(" ".join(lines[most - 1 :]), view.words)]
    return [
        *(margin_row("", Span(line, Role.FAINT)) for line in lines),
        margin_row("", Span(OPENS, Role.FAINT)),
    ]


def _whats(view: View) -> list[Row]:
    """What if: the question, and what came of the last one."""
    act, here = _act(view, "what if"), _is(view, "what if")
    trouble = view.trouble("what if")
    if "what if" in view.stale:
        said, role = "Reckoning.", Role.FAINT
    elif trouble:
        said, role = trouble, Role.STOP
    elif view.what_if is None:
        said, role = WHAT_IF_HINT, Role.FAINT
    else:
        said, role = " ".join(view.what_if.lines), Role.INK
    lines = wrapped(said, width=view.words)
    most = WHAT_IF_LARGE if view.large else WHAT_IF_ROWS
    if here:  # the one place where it is read: nothing of it is cut while it is chosen
        most = max(most, view.height - 7 - KNOWN_LEAST - len(_changes(view)) - 2)
    if len(lines) > most:
        lines = [*lines[: most - 1], wrapped(lines[most - 1], width=view.words - 2)[0] + " …"]
    return [
        margin_row("what if" if n == 0 else "", Span(line, role), chosen=here and n == 0, act=act)
        for n, line in enumerate(lines)
    ]


def _described(view: View) -> Row:
    told = {blank.name: blank for blank in view.blanks}
    parts = [
        f"{told[name].text} {told[name].after.split()[0]}" for name in ("floor", "volume") if name in told
    ]
    count = sum(1 for name in told if name.startswith("part ")) - 1
    if count > 0:
        whole = "" if view.narrow else " of the outside"
        parts.append(f"{count} part{'s' if count > 1 else ''}{whole}")
    said = f"{', '.join(parts)}. Enter opens it."
    return margin_row("is", Span(said), chosen=_is(view, "describe"), act=_act(view, "describe"))


def _danger(view: View) -> Row:
    page = view.emergency
    count = len(page.lines)
    if count:
        lines = f"{count} line{'s' if count > 1 else ''}"
        tries = [
            f"Emergency page, {lines} of {page.checked}. Enter changes it, p prints it.",
            f"Emergency page of {page.checked}. Enter changes it, p prints it.",
            "Emergency page. Enter changes it, p prints it.",
        ]
    else:
        tries = [
            "Emergency page: not written yet. Enter writes it, in your own words.",
            "Emergency page: not written. Enter writes it.",
        ]
    said = next((one for one in tries if cell_len(one) <= view.words), tries[-1])
    word = "danger"
    return margin_row(word, Span(cut(said, view.words)), chosen=_is(view, "danger"), act=_act(view, "danger"))


def describe_rows(view: View) -> list[Row]:
    """The description, a sentence with its blank a row; why it is asked, and what another value would do."""
    at = min(max(0, view.chosen or 0), max(0, len(view.blanks) - 1))
    if not view.blanks:
        return paragraph("is", NOT_DESCRIBED, words=view.words)
    below = _below(view, at)
    count = view.height - 7 - len(below)
    start = max(0, min(at - count // 2, len(view.blanks) - count))
    out: list[Row] = []
    for n in range(start, min(start + count, len(view.blanks))):
        blank = view.blanks[n]
        word = "part" if blank.name.startswith("part ") else "must" if blank.needed else "may"
        spans = _blank_said(blank, columns=view.words, role=Role.MEASURED if n == at else Role.INK)
        out.append(margin_row(word, *spans, chosen=n == at, act=Act("choose", str(n))))
    return [*spread(out, count=count), *below]


def _blank_said(blank: Blank, *, columns: int, role: Role) -> list[Span]:
    """A sentence with its blank; what is in brackets after it goes first when it is long."""
    before = f"{blank.before} " if blank.before else ""
    after = f" {blank.after}" if blank.after else ""
    text = blank.text or "  "
    if cell_len(before + text + after) + 2 > columns:
        after = after.partition(" (")[0]
    text = cut(text, max(4, columns - 2 - cell_len(before + after)))
    after = cut(after, max(2, columns - 2 - cell_len(before + text)))
    return [Span(before), Span("[", Role.FAINT), Span(text, role), Span("]", Role.FAINT), Span(after)]


def _below(view: View, at: int) -> list[Row]:
    """Three rows: why, and what it does."""
    blank = view.blanks[at]
    one_of = f"One of: {', '.join(blank.choices)}." if blank.choices else ""
    why = wrapped(f"{blank.why} {one_of}".strip(), width=view.words)
    if len(why) > 2 and one_of:
        why = wrapped(one_of, width=view.words)
    if len(why) > 2:
        why = [why[0], cut(" ".join(why[1:]), view.words)]
    does = "Enter changes it from now on, x empties it. Esc: back."
    if view.narrow:
        does = "Enter changes it, x empties it. Esc: back."
    if view.effect:
        does = view.effect.sentence
    lines = [margin_row("why" if n == 0 else "", Span(line, Role.FAINT)) for n, line in enumerate(why)]
    return [*spread(lines, count=2), margin_row("does", Span(cut(does, view.words)))]


OWN_PAGE_SAYS = (
    "Out, everybody; call from outside: where to meet, whom to call and from where there is signal, "
    "what to say about the place, your stove manual's own steps. Nothing clever."
)
OWN_PAGE_SAYS_NARROW = (
    "Out, everybody; call from outside: where to meet, whom to call, where there is signal, what to say, "
    "your manual's own steps. Nothing clever."
)
OWN_PAGE_KEYS = "Enter changes one, Tab adds one above it, x takes it out. Esc: back."
OWN_PAGE_KEYS_NARROW = "Enter changes, Tab adds above, x takes out. Esc."


def danger_rows(view: View) -> list[Row]:
    """The emergency page's lines, to be changed one by one; the last row adds one."""
    lines = [*view.emergency.lines, None]
    at = min(max(0, view.chosen or 0), len(lines) - 1)
    count = view.height - 7 - 4
    texts = [*view.emergency.lines, "add a line"]
    pieces = [wrapped(text, width=view.words) or [""] for text in texts]
    if sum(map(len, pieces)) > count:  # a long page: a row each
        pieces = [[cut(text, view.words)] for text in texts]
    start = max(0, min(at - count + 1, len(lines) - count))
    out: list[Row] = []
    for n in range(start, min(start + count, len(lines))):
        word = "more" if lines[n] is None else f"line {n + 1}" if n < 9 else f"{n + 1}"
        role, act = Role.FAINT if lines[n] is None else Role.INK, Act("choose", str(n))
        out += [
            margin_row(word if k == 0 else "", Span(piece, role), chosen=n == at and k == 0, act=act)
            for k, piece in enumerate(pieces[n])
        ]
    says = OWN_PAGE_SAYS_NARROW if view.narrow else OWN_PAGE_SAYS
    keys = OWN_PAGE_KEYS_NARROW if view.narrow else OWN_PAGE_KEYS
    return [
        *spread(out, count=count),
        *spread(paragraph("say", says, words=view.words, role=Role.FAINT, most=3), count=3),
        *paragraph("keys", keys, words=view.words, role=Role.FAINT, most=1),
    ]
