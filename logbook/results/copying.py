"""A paper weekend being copied in: as typed, and as read row by row, in words.

The desk (``actions``) reads it, ``ui`` shows it.
"""

from __future__ import annotations

from dataclasses import dataclass

from logbook.results.app import Standing

COPY_CELLS = ("time", "outside", "inside", "wood", "air", "note")
"""The columns of a sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A paper weekend as typed: its date, rows of six cells (``COPY_CELLS``), and answers to questions.

    ``answers`` are (line, question kind, key), by the line a row makes, so that a changed row asks anew.
    """

    date: str = ""
    rows: tuple[tuple[str, ...], ...] = ()
    answers: tuple[tuple[str, str, str], ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing was typed but perhaps its date."""
        return not any(cell.strip() for row in self.rows for cell in row)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One row of a sheet as read: cells in the owner's words, and a sentence as for a line.

    ``day`` stands where a day begins. ``standing`` is None for a row with nothing in it.
    """

    cells: tuple[str, ...]
    standing: Standing | None = None
    sentence: str = ""
    day: str = ""
    line: str = ""
    asked: str = ""
    """The kind of the question that is open."""
    answers: tuple[str, ...] = ()
    """The keys that answer it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRead:
    """What a sheet says, row by row; ``token`` is the desk's own."""

    day: str
    """The first day, "Fri 5 Dec 2025", or empty while there is none."""
    usual: str = ""
    """The day most sheets begin, to be typed as the date: the last Friday."""
    trouble: str = ""
    """What is wrong with the date."""
    rows: tuple[SheetRow, ...] = ()
    token: object = None
