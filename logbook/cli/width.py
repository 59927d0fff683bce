"""Rows at the width of the terminal they are read in."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Iterable, Iterator

WIDEST = 120
"""Longest row written, columns. ASSUMED: longer ones are hard to read back to their beginning."""


def wrapped(rows: Iterable[str]) -> Iterator[str]:
    """Rows broken at words; what follows on a row is set in by two."""
    columns = min(shutil.get_terminal_size((80, 24)).columns, WIDEST)
    for row in rows:
        hang = " " * (len(row) - len(row.lstrip(" ")) + 2)
        yield from textwrap.wrap(row, columns, subsequent_indent=hang, break_long_words=False) or [""]
