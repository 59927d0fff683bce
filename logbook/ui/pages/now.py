"""Now: what is going on, and what follows if nobody acts."""

from __future__ import annotations

from collections.abc import Iterator

from logbook.ui.cells import BLANK, Act, Role, Row, Span, margin_row, paragraph, wrapped
from logbook.ui.known import LINES_LISTED
from logbook.ui.pages.night import night_rows, said_rows
from logbook.ui.phrases import clock
from logbook.ui.view import View

EMPTY = "No lines yet. Try -5/12, outside then inside."
WAITING = "Reckoning what follows if nothing more goes in. You can write now."


def rows(view: View, *, plain: bool = False) -> list[Row]:
    """The page's rows under the head."""
    said = expect_rows(view)
    spare = 1 - len(said)  # a long sentence takes from the list, never from the chart
    listed = list_rows(view, count=list_count(view) + spare)
    gap = [BLANK] if view.large else []
    return [*said, *listed, *gap, *_chart(view, plain=plain)]


def list_count(view: View) -> int:
    """How many lines of the stay are shown."""
    return 9 if view.large else 4


def expect_rows(view: View) -> list[Row]:
    """What follows if nothing more goes in; while it is reckoned anew the old sentence says of when it is."""
    trouble = view.trouble("expect")
    if view.expect is None or (trouble and "expect" not in view.stale):
        return paragraph("expect", trouble or WAITING, words=view.words, role=Role.FAINT, most=3)
    expect = view.expect
    return said_rows(
        view,
        word="expect",
        sentence=expect.long if view.wide else expect.short,
        as_of=expect.as_of,
        stale="expect" in view.stale,
        most=3,
    )


def first_shown(view: View, *, count: int) -> int:
    """Index of the first line shown, so that the chosen one is among them whole."""
    start = chosen = view.chosen or 0
    left = count - len(list(_line_rows(view, chosen)))
    while start > 0 and (left := left - len(list(_line_rows(view, start - 1)))) >= 0:
        start -= 1
    return start


def list_rows(view: View, *, count: int) -> list[Row]:
    """The newest lines, and what is not shown."""
    if not view.latest:
        empty = [margin_row("", Span(EMPTY, Role.FAINT)), *[BLANK] * count]
        return empty[: count + 1]
    start = first_shown(view, count=count)
    got: list[Row] = []
    shown = 0
    for index in range(start, len(view.latest)):
        line = list(_line_rows(view, index))
        if len(got) + len(line) > count and got:
            break
        got += line[:count]
        shown += 1
    got += [BLANK] * (count - len(got))
    return [*got, _more(view, shown)]


def _line_rows(view: View, index: int) -> Iterator[Row]:
    line = view.latest[index]
    chosen = index == view.chosen
    act = Act("choose", str(index))
    for n, piece in enumerate(wrapped(line.sentence, width=view.words) or [""]):
        when = clock(line.at, zone=view.zone) if n == 0 else ""
        yield margin_row(when, Span(piece), chosen=chosen and n == 0, act=act)


def _more(view: View, shown: int) -> Row:
    left = max(view.head.stay_lines, len(view.latest)) - shown
    if view.narrow:
        said = f"{left} more; ↓ Enter changes one" if left else "↓ Enter opens one to change it"
    elif left and len(view.latest) >= LINES_LISTED and not view.head.stay_lines:
        said = f"{left} more, the newest {len(view.latest)} lines; ↓ Enter opens one to change it"
    elif left:
        count = "1 more line" if left == 1 else f"{left} more lines"
        since = f" {view.head.stay}" if view.head.stay else ""
        said = f"{count}{since}; ↓ Enter opens one to change it"
    else:
        said = "all lines of this stay are shown; ↓ Enter opens one to change it"
    return margin_row("", Span(said, Role.FAINT))


def _chart(view: View, *, plain: bool) -> list[Row]:
    expect = view.expect
    if expect is None:
        return []
    choices = [expect.choice]
    if view.evening is not None:
        choices += view.evening.answer.choices
    return night_rows(
        view,
        choice=expect.choice,
        ahead=expect.ahead,
        band_c=expect.band_c,
        bed=expect.bed,
        wake=expect.wake,
        choices=choices,
        plain=plain,
    )
