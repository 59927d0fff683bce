"""Year: ash, what is due, wood, what to bring, damp, weather, the season; Enter lays a row open, v: done."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from rich.cells import cell_len

from logbook.results.year import YearPage, YearPart, YearRow
from logbook.ui.cells import BLANK, Act, Role, Row, Span, cut, margin_row, paragraph, spread, wrapped
from logbook.ui.pages.night import said_rows
from logbook.ui.phrases import clock
from logbook.ui.view import View

WAITING = "Reading the year. You can write."
KEYS = "Enter opens a row  v done"
PART_KEYS = "↑ ↓ read on   v done now   Esc back"
GAPS, ROOMY_ROWS = 4, 24
"""Blank rows kept between the parts, from this height on."""

CLOSE = frozenset(("damp", "weather"))
"""Parts of a row each: no blank row before them."""

GAP = re.compile(r"\s{2,}")
"""What stands between the columns of a printed row."""

NAME_COLUMNS, NAME_COLUMNS_NARROW = 20, 14
"""Columns of a row's name, with the blank after it; a longer one takes what it needs."""


def rows(view: View) -> list[Row]:
    """The page's rows under the head."""
    if view.year is None:
        return paragraph("year", view.waiting("year", WAITING), words=view.words, role=Role.FAINT, most=3)
    count = view.height - 7
    shown = shown_rows(view)
    blocks = [_row(view, row, chosen=n == view.chosen, index=n) for n, row in enumerate(shown)]
    gaps = _gaps(shown)
    spare = count - 1 - sum(map(len, blocks))
    out: list[Row] = []
    for n, block in enumerate(blocks):
        if n in gaps and spare > 0:
            out.append(BLANK)
            spare -= 1
        out += block
    return [*spread(out, count=count - 1), _foot(view, view.year, shown)]


def shown_rows(view: View) -> tuple[YearRow, ...]:
    """The rows there is room for: one of every part first, then the parts in turn, most pressing first."""
    if view.year is None:
        return ()
    gaps = min(GAPS, len(_gaps(view.year.rows)))
    room = view.height - 8 - (gaps if view.height >= ROOMY_ROWS else 0)
    parts: dict[str, list[YearRow]] = {}
    for row in view.year.rows:
        parts.setdefault(row.part, []).append(row)
    chosen: set[int] = set()
    full: set[str] = set()  # parts of which a row had no room: what presses less must not stand in its place
    for row in _in_turn(list(parts.values())):
        size = len(_row(view, row, chosen=False, index=0))
        if size > room:
            full.add(row.part)
        elif row.part not in full:
            chosen.add(id(row))
            room -= size
    return tuple(row for row in view.year.rows if id(row) in chosen)


def _in_turn(parts: list[list[YearRow]]) -> Iterator[YearRow]:
    """The first of each, then the second of each, and so on; of what is due two for one of the others."""
    ranked = [(n / (2 if row.part == "due" else 1), row) for part in parts for n, row in enumerate(part)]
    yield from (row for _, row in sorted(ranked, key=lambda one: one[0]))


def _gaps(shown: Iterable[YearRow]) -> set[int]:
    """Where a new part begins."""
    words = [row.part for row in shown]
    return {n for n in range(1, len(words)) if words[n] != words[n - 1] and words[n] not in CLOSE}


def chosen(view: View) -> YearRow | None:
    """The row chosen, on the page or in the part laid open."""
    found: tuple[YearRow, ...] = shown_rows(view)
    if view.page == "year part":
        part = _part(view)
        found = part.blocks if part else ()
        return found[min(max(0, view.chosen or 0), len(found) - 1)] if found else None
    return None if view.chosen is None or not found else found[min(max(0, view.chosen), len(found) - 1)]


def row_count(view: View) -> int:
    """How many rows can be chosen."""
    part = _part(view)
    return len(shown_rows(view)) if view.page == "year" else len(part.blocks) if part else 0


def _row(view: View, row: YearRow, *, chosen: bool, index: int) -> list[Row]:
    """One row: its name in a column, what it says beside it, wrapped there."""
    act = Act("choose", str(index))
    lead = _first_of_word(view, row)
    columns = NAME_COLUMNS_NARROW if view.narrow else NAME_COLUMNS
    name = row.name.ljust(columns - 1) + " " if row.name else ""
    room = view.words - cell_len(name)
    pieces = wrapped(" ".join(row.texts), width=room)
    out = []
    for n, piece in enumerate(pieces or [""]):
        lead_name = Span(name if n == 0 else " " * cell_len(name))
        said = Span(piece, Role.FAINT if row.name else Role.INK)
        out.append(margin_row(lead if n == 0 else "", lead_name, said, chosen=chosen and n == 0, act=act))
    return out


def _first_of_word(view: View, row: YearRow) -> str:
    """The margin word stands at the first of its rows alone."""
    first = next((other for other in view.year.rows if other.word == row.word), row) if view.year else row
    return row.word if first is row else ""


def _foot(view: View, page: YearPage, shown: tuple[YearRow, ...]) -> Row:
    """The keys, and of what there is more than is shown; why the page could not be made anew comes first."""
    trouble = view.trouble("year")
    if trouble and "year" not in view.stale:
        said = f"{clock(page.as_of, zone=view.zone)}: {trouble}"
        return margin_row("as of", Span(cut(said, view.words), Role.STOP))
    left = {part.name: sum(r.part == part.name and r not in shown for r in page.rows) for part in page.parts}
    more = ", ".join(f"{count} {name}" for name, count in left.items() if count)
    said = f"{KEYS}  not shown: {more}" if more else KEYS
    if cell_len(said) > view.words:  # a narrow screen, or a long year: how many, if not of what
        said = f"{KEYS}  not shown: {sum(left.values())} more"
    return margin_row("", Span(said, Role.FAINT))


def part_rows(view: View) -> list[Row]:
    """A part laid open: its title, then its blocks around the chosen one."""
    part = _part(view)
    if view.year is None or part is None:
        return paragraph("year", view.waiting("year", WAITING), words=view.words, role=Role.FAINT, most=3)
    stale = "year" in view.stale
    top = said_rows(view, word=part.name, sentence=part.title, as_of=view.year.as_of, stale=stale, most=2)
    count = view.height - 7 - len(top) - 1
    blocks = [_block(view, row, chosen=n == _at(view, part), index=n) for n, row in enumerate(part.blocks)]
    start = _at(view, part)
    taken = len(blocks[start]) if blocks else 0
    while start > 0 and taken + len(blocks[start - 1]) <= max(count // 2, len(blocks[_at(view, part)])):
        start -= 1
        taken += len(blocks[start])
    while start > 0 and sum(map(len, blocks[start - 1 :])) <= count:
        start -= 1
    body = spread((row for block in blocks[start:] for row in block), count=count)
    return [*top, *body, margin_row("", Span(PART_KEYS, Role.FAINT))]


def _part(view: View) -> YearPart | None:
    return view.year.part(view.year_part) if view.year is not None else None


def _at(view: View, part: YearPart) -> int:
    return min(max(0, view.chosen or 0), max(0, len(part.blocks) - 1))


def _block(view: View, row: YearRow, *, chosen: bool, index: int) -> list[Row]:
    """One block: its first sentence in ink, the rest set in below it, faint."""
    act = Act("choose", str(index))
    out: list[Row] = []
    for n, text in enumerate(row.texts):
        indent = "" if n == 0 else "  "
        for piece in _pieces(text.strip() if n else text, width=view.words - len(indent)):
            role = Role.INK if n == 0 else Role.FAINT
            word = row.word if not out else ""
            out.append(margin_row(word, Span(indent + piece, role), chosen=chosen and not out, act=act))
    return out


def _pieces(text: str, *, width: int) -> list[str]:
    """A printed row in lines: its indent and its columns stay; what has no room beside them goes beneath."""
    lines = wrapped(text, width=width)
    body = text.strip()
    lead = text[: text.find(body)] if body else ""
    if lines == [text] or not body or "\n" in text:
        return lines
    kept = [gap.start() for gap in GAP.finditer(body) if cell_len(lead + body[: gap.start()]) <= width]
    if not kept:
        return [lead + piece for piece in wrapped(body, width=width - len(lead))]
    rest = wrapped(body[kept[-1] :].strip(), width=width - len(lead) - 2)
    return [lead + body[: kept[-1]], *(f"{lead}  {piece}" for piece in rest)]
