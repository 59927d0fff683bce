"""A paper weekend being copied in: one pure object that gets every key, in order, and holds the cells.

Tab goes to the next cell, Enter on an empty one repeats the cell above and goes on, ↓ ends a row. Where only
figures are written, the first letter of a column further on goes straight to it. Nothing is read here, and
nothing of the terminal is known.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from logbook.results.copying import COPY_CELLS, Sheet, SheetRead
from logbook.ui.line import pasted

DATE = -1
"""The row of the date, above the sheet's own."""
NOTE = len(COPY_CELLS) - 1
MOST_CHARACTERS = 2000
"""Longest text of a cell: a row must fit into the longest line that is kept. ASSUMED: a very long note."""
FIGURES = 3
"""The first columns take figures only, so a letter there can mean a column."""
LETTERS = {name[0]: column for column, name in enumerate(COPY_CELLS) if column >= FIGURES - 1}
"""i inside, w wood, a air, n note."""
MOST_ROWS = 200
"""Longest sheet. ASSUMED: a fortnight at every half hour awake takes fewer."""


def empty_row() -> list[str]:
    """A row with nothing in it."""
    return [""] * len(COPY_CELLS)


@dataclass
class CopyForm:
    """The cells, and where the next character goes."""

    date: str = ""
    cells: list[list[str]] = field(default_factory=lambda: [empty_row()])
    answers: list[tuple[str, str, str]] = field(default_factory=list)
    row: int = DATE
    column: int = 0
    caret: int = 0
    offered: str = ""
    """The rest of a word begun in the note, that → takes."""
    usual_date: str = ""
    """What Enter takes for a date that is left empty."""

    @classmethod
    def of(cls, sheet: Sheet) -> CopyForm:
        """A form that goes on with a sheet, at a new row beneath what is typed."""
        form = cls(
            date=sheet.date,
            cells=[list(row) for row in sheet.rows] or [empty_row()],
            answers=list(sheet.answers),
        )
        if not form.date:
            form.go(DATE, 0)
            return form
        if not form.is_blank(len(form.cells) - 1):
            form.cells.append(empty_row())
        form.go(len(form.cells) - 1, 0)
        return form

    def sheet(self) -> Sheet:
        """What is typed so far; empty rows at the end are no rows."""
        count = len(self.cells)
        while count and self.is_blank(count - 1):
            count -= 1
        rows = tuple(tuple(row) for row in self.cells[:count])
        return Sheet(date=self.date, rows=rows, answers=tuple(self.answers))

    @property
    def text(self) -> str:
        """What stands in the cell."""
        return self.date if self.row == DATE else self.cells[self.row][self.column]

    def is_blank(self, row: int) -> bool:
        """Whether nothing stands in a row."""
        return not any(cell.strip() for cell in self.cells[row])

    @property
    def at_the_end(self) -> bool:
        """Whether Enter here would keep the sheet: the first cell of an empty row."""
        return self.row != DATE and self.column == 0 and self.is_blank(self.row)

    def go(self, row: int, column: int) -> None:
        """To another cell, the caret at its end."""
        self.row = min(max(DATE, row), len(self.cells) - 1)
        self.column = 0 if self.row == DATE else min(max(0, column), NOTE)
        self.caret = len(self.text)

    def press(self, key: str, character: str | None) -> str:
        """One key: "keep" when the sheet is done, "typed" when a cell changed, else "moved" or ""."""
        if key == "enter":
            return self._enter()
        if key == "right" and self.offered and self.caret == len(self.text):
            return self._insert(self.offered)
        if key in ("tab", "shift+tab"):
            self._next() if key == "tab" else self._before()
        elif key == "down":
            self._down()
        elif key in ("up", "pageup", "pagedown"):
            self.go(self.row + {"up": -1, "pageup": -10, "pagedown": 10}[key], self.column)
        elif not self._moved_in_text(key):
            return self._write(key, character)
        return "moved"

    def paste(self, text: str) -> str:
        """Put text in at the caret; breaks become blanks."""
        return self._insert(pasted(text, after=self.text[: self.caret]))

    def answer(self, line: str, kind: str, key: str) -> None:
        """Remember the answer to what a row asked."""
        self.answers = [kept for kept in self.answers if kept[:2] != (line, kind)] + [(line, kind, key)]

    def _enter(self) -> str:
        if self.at_the_end:
            return "keep"
        if self.row == DATE and not self.date.strip():
            self.date = self.usual_date
            self._next()
            return "typed"
        above = self.cells[self.row - 1][self.column] if self.row > 0 else ""
        repeats = self.row != DATE and not self.text and bool(above)
        if repeats:
            self.cells[self.row][self.column] = above
        self._next()
        return "typed" if repeats else "moved"

    def _next(self) -> None:
        if self.row == DATE:
            self.go(0, 0)
        elif self.column < NOTE:
            self.go(self.row, self.column + 1)
        else:
            self._end_row()

    def _before(self) -> None:
        if self.column > 0:
            self.go(self.row, self.column - 1)
        elif self.row > 0:
            self.go(self.row - 1, NOTE)
        else:
            self.go(DATE, 0)

    def _down(self) -> None:
        """↓ ends the row being written; among rows already written it goes straight down."""
        if self.row + 1 < len(self.cells) and not self.is_blank(self.row + 1):
            self.go(self.row + 1, self.column)
        else:
            self._end_row()

    def _end_row(self) -> None:
        if self.row == DATE:
            self.go(0, 0)
            return
        if self.row == len(self.cells) - 1 and not self.is_blank(self.row) and len(self.cells) < MOST_ROWS:
            self.cells.append(empty_row())
        self.go(self.row + 1, 0) if self.row + 1 < len(self.cells) else self.go(self.row, 0)

    def _moved_in_text(self, key: str) -> bool:
        """← → within a cell, and on to the next one at its ends."""
        if key in ("home", "end"):
            self.caret = 0 if key == "home" else len(self.text)
        elif key == "left" and self.caret == 0:
            self._before()
        elif key == "right" and self.caret == len(self.text):
            if self.row == DATE or self.column < NOTE:
                self._next()
        elif key in ("left", "right"):
            self.caret += 1 if key == "right" else -1
        else:
            return False
        return True

    def _write(self, key: str, character: str | None) -> str:
        text = self.text
        if key == "backspace":
            if not self.caret:
                return ""
            self._put(text[: self.caret - 1] + text[self.caret :])
            self.caret -= 1
        elif key == "delete":
            self._put(text[: self.caret] + text[self.caret + 1 :])
        elif character and character.isprintable():
            column = self._straight_to(character.lower())
            if column is None:
                return self._insert(character)
            self.go(self.row, column)
            return "moved"
        else:
            return ""
        return "typed"

    def _straight_to(self, letter: str) -> int | None:
        """The column a letter goes to. Not from an empty time ("fri 2000"), and a there belongs to 7am."""
        if self.row == DATE or self.column >= FIGURES:
            return None
        if self.column == 0 and (letter == "a" or not self.text.rstrip()[-1:].isdigit()):
            return None
        column = LETTERS.get(letter)
        return column if column is not None and column > self.column else None

    def _insert(self, piece: str) -> str:
        text = self.text
        piece = piece[: max(0, MOST_CHARACTERS - len(text))]
        self._put(text[: self.caret] + piece + text[self.caret :])
        self.caret += len(piece)
        return "typed"

    def _put(self, text: str) -> None:
        if self.row == DATE:
            self.date = text
        else:
            self.cells[self.row][self.column] = text


@dataclass(frozen=True, slots=True, kw_only=True)
class CopyView:
    """A sheet being copied, at one moment, for the page to draw."""

    date: str
    cells: tuple[tuple[str, ...], ...]
    read: SheetRead
    row: int
    column: int
    caret: int
    asking: bool
    offered: str
    at_the_end: bool
