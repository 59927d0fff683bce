"""From the bytes of a table to its rows, each with its line number; what is damaged costs one row only.

The standard library's ``csv`` reads each row. pandas would be shorter, but it numbers records, not lines,
drops or joins damaged rows without saying which, and costs 200 ms before the first row.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from logbook.errors import TableError

_DELIMITERS = (",", ";", "\t")
_OURS = ("air_open_pct", "air_closed_pct", "alarms_tested", "flags")
"""Columns that only a table written by this program has all of."""
_LONGEST_ROW = 40
"""A quoted note may run over this many lines. ASSUMED; keeps one stray quote from eating the file."""


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
    lines = list(io.StringIO(_decoded(data), newline=""))
    at = 0
    delimiter, ours = "", False
    while at < len(lines):
        if not lines[at].strip() or lines[at].lstrip("\ufeff \t").startswith("#"):
            at += 1
            continue
        if not delimiter:
            delimiter = max(_DELIMITERS, key=lines[at].count)
            ours = all(name in lines[at] for name in _OURS)
        taken, cells = _row_at(lines, at, delimiter, whole=ours)
        yield RawRow(at + 1, "".join(lines[at : at + taken]).rstrip("\r\n"), cells)
        at += taken
    if not delimiter:
        raise TableError(
            "The table is empty.\nIts first line must name the columns, such as at,indoor_c,outdoor_c."
        )


def _decoded(data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    if b"\x00" in data[:4096].partition(b"\n")[0]:  # further down it is a sign somebody typed
        raise TableError("The file is not a table of text.\nSave the sheet as CSV (comma-separated) first.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _row_at(
    lines: Sequence[str], at: int, delimiter: str, *, whole: bool
) -> tuple[int, tuple[str, ...] | None]:
    """How many lines the row beginning at ``at`` takes, and its cells.

    A quote left open runs on into the following lines only while those cannot be rows themselves; in a
    ``whole`` table, one of ours, every quote is closed, and a line of a note may look like a row.
    """
    for taken in range(1, _LONGEST_ROW + 1):
        try:
            found = list(csv.reader(lines[at : at + taken], delimiter=delimiter, strict=True))
        except csv.Error as error:
            left_open = "unexpected end" in str(error)
        else:
            return (taken, tuple(cell.strip() for cell in found[0])) if len(found) == 1 else (1, None)
        follows = at + taken
        if not left_open or follows >= len(lines) or (not whole and _begins_with_time(lines[follows])):
            break
    return 1, None


def _begins_with_time(line: str) -> bool:
    return line[:4].isdigit() and line[4:5] == "-"
