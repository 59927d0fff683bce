"""A page as plain text, for any printer and any screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest
from textwrap import wrap

from logbook.errors import BadInputError
from logbook.paper.document import Block, Drawing, Heading, Lines, Page, Para, Size, Steps, Table

COLUMNS = {Size.A4: 84, Size.LETTER: 86}
UNBROKEN = "\u00a0"
"""A space at which no row ends; printed as any other."""

ROWS = {Size.A4: 66, Size.LETTER: 62}
"""What a sheet takes at 12 characters and 6.3 lines to the inch, with margins of 15 mm. From memory of the
usual print settings; a printer that takes fewer breaks the page, it loses nothing."""

BLANK_ROW = 2
"""Lines a row to be filled in by hand takes: a pencil needs 8 mm."""


def page_text(page: Page, *, size: Size = Size.A4) -> str:
    """The page as text.

    Raises:
        BadInputError: It must fit one sheet and does not: with how many lines it has.
    """
    rows = list(_rows(page, COLUMNS[size]))
    if not page.many and len(rows) > ROWS[size]:
        raise BadInputError(
            f"'{page.title}' has {len(rows)} lines; a sheet of {size.value.upper()} takes {ROWS[size]}.\n"
            "Shorten what is your own on it, or print it as HTML: there the letters can be made smaller."
        )
    return "\n".join(rows).replace(UNBROKEN, " ") + "\n"


def lines_of(page: Page, *, size: Size = Size.A4) -> int:
    """How many lines the page has as text."""
    return sum(1 for _ in _rows(page, COLUMNS[size]))


def _rows(page: Page, columns: int) -> Iterator[str]:
    yield page.title.upper()
    if page.below:
        yield from wrap(page.below, columns)
    for block in page.blocks:
        yield ""
        yield from (row.rstrip() for row in _block(block, columns))
    if page.foot:
        yield ""
        yield from wrap(page.foot, columns)


def _block(block: Block, columns: int) -> Iterator[str]:
    match block:
        case Heading(text):
            yield text
            yield "-" * len(text)
        case Para(text, strong):
            mark = "!  " if strong else ""
            yield from wrap(mark + text, columns, subsequent_indent=" " * len(mark))
        case Steps(items, boxes):
            for number, item in enumerate(items, start=1):
                mark = "[ ] " if boxes else f"{number:>2}. "
                yield from wrap(item, columns, initial_indent=mark, subsequent_indent=" " * len(mark))
        case Table():
            yield from _table(block, columns)
        case Drawing(text, message):
            yield from wrap(message, columns)
            yield from (row[:columns] for row in text.splitlines())
        case Lines(count):
            for _ in range(count):
                yield ""
                yield "_" * columns


def _table(table: Table, columns: int) -> Iterator[str]:
    widths = _widths(table, columns)
    yield from _cells(table.head, widths)
    yield "  ".join("-" * width for width in widths)
    for row in table.rows:
        yield from _cells(row, widths)
    for _ in range(table.blank):
        yield from [""] * (BLANK_ROW - 1)
        yield "  ".join("_" * width for width in widths)


def _widths(table: Table, columns: int) -> tuple[int, ...]:
    """Columns shared out as asked for, or by the longest cell of each."""
    count = len(table.head)
    room = columns - 2 * (count - 1)
    asked: Sequence[float] = table.widths or [
        max(len(row[n]) for row in (table.head, *table.rows) if n < len(row)) or 1 for n in range(count)
    ]
    if not table.widths and sum(asked) <= room:
        return tuple(int(width) for width in asked)
    share = [max(3, int(room * width / sum(asked))) for width in asked]
    share[share.index(max(share))] -= max(0, sum(share) - room)
    return tuple(share)


def _cells(row: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    wrapped = [wrap(cell, width) or [""] for cell, width in zip(row, widths, strict=False)]
    for parts in zip_longest(*wrapped, fillvalue=""):
        yield "  ".join(part.ljust(width) for part, width in zip(parts, widths, strict=False))
