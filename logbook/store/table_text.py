"""From the bytes of a table to its rows, each with its line number; what is damaged costs one row only.

The standard library's ``csv`` reads each row. pandas would be shorter, but it numbers records, not lines,
drops or joins damaged rows without saying which, and costs 200 ms before the first row.
"""

from __future__ import annotations

import csv
import re
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from logbook.errors import TableError

_DELIMITERS = (",", ";", "\t")
_OURS = ("air_open_pct", "air_closed_pct", "alarms_tested", "flags")
"""Columns that only a table written by this program has all of."""
_LONGEST_ROW = 40
"""A quoted note may run over this many lines. ASSUMED; keeps one stray quote from eating the file."""

_PLAIN = 100_000
"""A line without a quote and shorter than this is cut at its delimiters, which is all ``csv`` would do; that
refuses cells longer than 131,072 signs (docs.python.org, "csv.field_size_limit"; from memory)."""

_LINE = re.compile(r"[^\r\n]*(?:\r\n?|\n)|[^\r\n]+")


@dataclass(frozen=True, slots=True)
class RawRow:
    """One row: the line it begins on (the first line is 1), its text, its cells; None when damaged."""

    line: int
    text: str
    cells: tuple[str, ...] | None


def table_rows(data: bytes) -> Iterator[RawRow]:
    """The rows of a table, the header first; blank lines and lines that begin with # are left out.

    UTF-8 or UTF-16 (by its mark), else Windows-1252. Cells parted by comma, semicolon or tab,
    whichever the header has most of.

    Raises:
        TableError: The file is empty, or no text at all.
    """
    lines = enumerate(_lines_of(_decoded(data)), start=1)
    ahead: deque[tuple[int, str]] = deque()
    delimiter, ours = "", False
    while (found := ahead.popleft() if ahead else next(lines, None)) is not None:
        number, line = found
        if not line.strip() or line.lstrip("\ufeff \t").startswith("#"):
            continue
        if not delimiter:
            delimiter = max(_DELIMITERS, key=line.count)
            ours = all(name in line for name in _OURS)
        if '"' not in line and len(line) < _PLAIN:
            yield RawRow(number, text := line.rstrip("\r\n"), _trimmed(text.split(delimiter)))
            continue
        ahead.extend(islice(lines, _LONGEST_ROW - len(ahead)))
        here = [line, *(text for _, text in ahead)]
        taken, cells = _row_at(here, delimiter, whole=ours)
        for _ in range(taken - 1):
            ahead.popleft()
        yield RawRow(number, "".join(here[:taken]).rstrip("\r\n"), cells)
    if not delimiter:
        raise TableError(
            "The table is empty.\nIts first line must name the columns, such as at,indoor_c,outdoor_c."
        )


def _lines_of(text: str) -> Iterator[str]:
    """The lines with their ends, one by one: all of a logger's years at once would take a lot of memory."""
    return (found.group() for found in _LINE.finditer(text))


def _trimmed(cells: Sequence[str]) -> tuple[str, ...]:
    return tuple([cell.strip() for cell in cells])


def _decoded(data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    if b"\x00" in data[:4096].partition(b"\n")[0]:  # further down it is a sign somebody typed
        raise TableError("The file is not a table of text.\nSave the sheet as CSV (comma-separated) first.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _row_at(lines: Sequence[str], delimiter: str, *, whole: bool) -> tuple[int, tuple[str, ...] | None]:
    """How many lines the row that begins with the first one takes, and its cells.

    A quote left open runs on into the following lines only while those cannot be rows themselves; in a
    ``whole`` table, one of ours, every quote is closed, and a line of a note may look like a row.
    """
    for taken in range(1, _LONGEST_ROW + 1):
        try:
            found = list(csv.reader(lines[:taken], delimiter=delimiter, strict=True))
        except csv.Error as error:
            left_open = "unexpected end" in str(error)
        else:
            return (taken, _trimmed(found[0])) if len(found) == 1 else (1, None)
        if not left_open or taken >= len(lines) or (not whole and _begins_with_time(lines[taken])):
            break
    return 1, None


def _begins_with_time(line: str) -> bool:
    return line[:4].isdigit() and line[4:5] == "-"
