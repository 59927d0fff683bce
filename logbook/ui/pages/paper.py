"""Paper: what can be done with it; and a weekend being copied in, row by row, as it stands on the sheet."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size

from logbook.results.app import Standing
from logbook.results.copying import COPY_CELLS, SheetRow
from logbook.ui.cells import BLANK, Act, Role, Row, Span, cut, margin_row, paragraph, spread, wrapped
from logbook.ui.copying import DATE, NOTE, CopyView
from logbook.ui.view import View

WIDTHS = (8, 10, 10, 8, 23)
WIDTHS_WIDE = (8, 10, 10, 16, 25)
WIDTHS_NARROW = (7, 8, 8, 8, 10)
"""Columns of each cell but the note, which has the rest; the last blank of each sets it apart."""

DATE_COLUMNS = 12
KEYS = "Tab next; i w a n straight there. Enter, if empty: as above. ↓ ends row"
KEYS_NARROW = "Tab next. Enter: as above. ↓ ends the row."
DONE = "Enter keeps all {count} rows at once. u takes them back. Esc: later."
BEGIN = "1740 is 17:40; a time that runs back begins the next day. Esc: later."
WRONG = "{wrong} can't be read yet, and nothing is kept before. Enter goes there."
WRONG_NARROW = "{wrong} can't be read yet. Enter goes there."


def choice_rows(view: View) -> list[Row]:
    """What can be done with paper."""
    out: list[Row] = []
    here = min(max(0, view.chosen or 0), len(view.paper) - 1)
    for n, (_, said) in enumerate(view.paper):
        act = Act("choose", str(n))
        for line, piece in enumerate(wrapped(said, width=view.words)):
            word = "paper" if n == line == 0 else ""
            out.append(margin_row(word, Span(piece), chosen=n == here and line == 0, act=act))
    return [*out, BLANK, *paragraph("keys", "↑ ↓ choose, Enter does it. Esc: back.", words=view.words,
                                    role=Role.FAINT)]  # fmt: skip


def copy_rows(view: View) -> list[Row]:
    """The sheet's rows around the one being written, with why a row can't be read beneath it."""
    copy = view.copy
    if copy is None:
        return []
    count = view.height - 7
    foot = _foot(view, copy)
    blocks = [_block(view, copy, n) for n in range(len(copy.cells))]
    room = count - 2 - len(foot)
    start = 0
    while start < max(copy.row, 0) and sum(map(len, blocks[start : max(copy.row, 0) + 1])) > room:
        start += 1
    body = spread((row for block in blocks[start:] for row in block), count=room)
    return [_title(view, copy), _titles(view), *body, *foot]


def _title(view: View, copy: CopyView) -> Row:
    """The date, and how many rows are typed."""
    typed = [row for row in copy.read.rows if row.standing is not None]
    wrong = sum(row.standing is Standing.STOP for row in typed)
    count = f"{len(typed)} row{'' if len(typed) == 1 else 's'}"
    unread = "not read" if view.narrow else "can't be read yet"
    count += f", {wrong} {unread}" if wrong else ""
    here = copy.row == DATE
    cell = _written(copy.date, copy.caret, DATE_COLUMNS) if here else [Span(copy.date)]
    day = f" ({copy.read.day})" if copy.read.day and not here else ""
    act = Act("cell", f"{DATE},0")
    return margin_row(
        "paper",
        Span("Begins ", Role.FAINT),
        *cell,
        Span(f"{day}   {count}" if typed else day, Role.FAINT),
        chosen=here,
        act=act,
    )


def _widths(view: View) -> tuple[int, ...]:
    widths = WIDTHS_WIDE if view.wide else WIDTHS_NARROW if view.narrow else WIDTHS
    return (*widths, max(8, view.words - sum(widths)))


def _titles(view: View) -> Row:
    said = "".join(f"{name:<{size}}" for name, size in zip(COPY_CELLS, _widths(view), strict=True))
    return margin_row("", Span(said, Role.FAINT))


def _block(view: View, copy: CopyView, index: int) -> list[Row]:
    """A row, and beneath it why it is not read yet (the one being written says so in the head)."""
    read = copy.read.rows[index] if index < len(copy.read.rows) else None
    here = index == copy.row
    spans = _cells(view, copy, index, read)
    troubled = read is not None and read.standing in (Standing.STOP, Standing.ASKS)
    word = read.standing.value if troubled and read and read.standing else _day(read)
    role = {"stop": Role.STOP, "asks": Role.ASKS}.get(word, Role.FAINT)
    out = [margin_row(word, *spans, role=role, chosen=here)]
    if troubled and not here and read is not None:
        out.append(margin_row("", Span(cut(read.sentence, view.words), role)))
    return out


def _day(read: SheetRow | None) -> str:
    """The day in the margin's six columns: "Fri  5"."""
    if read is None or not read.day:
        return ""
    weekday, number, *_ = read.day.split()
    return f"{weekday} {number:>2}"


def _cells(view: View, copy: CopyView, index: int, read: SheetRow | None) -> list[Span]:
    here = index == copy.row
    typed = copy.cells[index]
    shown = read.cells if read is not None and not here else typed
    out: list[Span] = []
    for column, size in enumerate(_widths(view)):
        act = Act("cell", f"{index},{column}")
        room = size - (1 if column < NOTE else 0)
        if here and column == copy.column:
            spans = _written(typed[column], copy.caret, room, offered=copy.offered)
        elif here:
            spans = [Span(_filled(typed[column], room), Role.INK if typed[column] else Role.FAINT)]
        else:
            spans = [Span(_fit(_short(shown[column], column, view), room))]
        out += [Span(s.text, s.role, act=act, caret=s.caret) for s in spans]
        if column < NOTE:
            out.append(Span(" ", act=act))
    return out


def _short(text: str, column: int, view: View) -> str:
    """Air stands both ways; under 80 columns only in the answer row, where the row is read."""
    return text.partition(" (")[0] if view.narrow and column == COPY_CELLS.index("air") else text


def _fit(text: str, room: int) -> str:
    return set_cell_size(text, room) if cell_len(text) <= room else set_cell_size(text, room - 1) + "…"


def _filled(text: str, room: int) -> str:
    """A cell to be written in: what stands in it, and a line for what may come."""
    return _fit(text, room) if cell_len(text) >= room else f"{text}{'_' * (room - 1 - cell_len(text))} "


def _written(text: str, caret: int, room: int, *, offered: str = "") -> list[Span]:
    """The cell with the caret, moved along when its text is longer than its room."""
    start = max(0, caret - room + 1)
    shown = text[start : start + room]
    at = caret - start
    under = shown[at : at + 1] or offered[:1] or "_"
    rest = shown[at + 1 :]
    left = max(0, room - 1 - max(len(shown), at + 1))
    fill = offered[1 : left + 1].ljust(left, "_") if offered else "_" * left
    spans = [Span(shown[:at], Role.MEASURED), Span(under, Role.MEASURED, caret=True)]
    spans += [Span(rest, Role.MEASURED), Span(fill, Role.FAINT)]
    used = sum(cell_len(span.text) for span in spans)
    return [*spans, Span(" " * max(0, room - used))]


def _foot(view: View, copy: CopyView) -> list[Row]:
    typed = sum(row.standing is not None for row in copy.read.rows)
    wrong = sum(row.standing is Standing.STOP for row in copy.read.rows)
    if copy.asking:
        said = "The key told answers, for this sheet. Esc goes back to the cells."
    elif copy.at_the_end and wrong:
        said = (WRONG_NARROW if view.narrow else WRONG).format(wrong=f"{wrong} row{'s' if wrong > 1 else ''}")
    elif copy.at_the_end and typed:
        said = DONE.format(count=typed) if typed > 1 else "Enter keeps this row. Esc: later."
    elif copy.row == DATE:
        said = BEGIN if not view.narrow else "1740 is 17:40; a time that runs back: next day."
    else:
        said = KEYS_NARROW if view.narrow else KEYS
    return paragraph("keys", said, words=view.words, role=Role.FAINT, most=1)
