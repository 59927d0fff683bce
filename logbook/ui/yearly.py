"""What keys do on the Year page: open a row, say that it is done, come back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logbook.ui.cells import Act
from logbook.ui.pages import year
from logbook.ui.view import Answer

if TYPE_CHECKING:
    from logbook.ui.session import Session

PAGE, PART = "year", "year part"

NO_SKIP = "x leaves nothing out here. Not asked for any more: never gutters"
NO_KEY = "No one key says that. Type it as a line; Enter opens the row whole."


class Yearly:
    """One session's Year page; it acts on the session it was made for."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._wanted = ""

    def open(self, part: str) -> None:
        """Turn to the page; with a part's name to its first row there, or to it laid open."""
        session = self.session
        self._wanted = part
        session.turn_to(PAGE)
        if part:
            self.place(part)

    def place(self, part: str) -> None:
        """Choose the first row of a part, if the page has come; one there is no room for is laid open."""
        shown = year.shown_rows(self.session.view())
        found = next((n for n, row in enumerate(shown) if row.part == part), None)
        if found is not None:
            self.session.choose_row(found)
            self._wanted = ""
        elif (known := self.session.known).year is not None and known.year.part(part) is not None:
            self._wanted = ""
            known.year_part = part
            self.session.turn_to(PART)
            self.session.choose_row(0)

    def arrived(self) -> None:
        """The page came: a word that asked for a part of it is heeded now."""
        if self.session.page == PAGE and self._wanted:
            self.place(self._wanted)

    def open_row(self) -> None:
        """Enter: the chosen row's part laid open, at the same thing; laid open already, nothing more."""
        session, view = self.session, self.session.view()
        row = year.chosen(view)
        if session.page != PAGE or row is None or view.year is None:
            return
        part = view.year.part(row.part)
        if part is None:
            return
        session.known.year_part = row.part
        session.turn_to(PART)
        same = (n for n, block in enumerate(part.blocks) if row.line and block.line == row.line)
        session.choose_row(next(same, 0))

    def done(self) -> None:
        """v: done now; what still has to be written is left to the writing line."""
        row = year.chosen(self.session.view())
        if row is None or not row.line:
            self.session.answer = Answer("year", NO_KEY if row else "Choose a row first: ↓.")
        elif row.more:
            self.session.write_in(row.line)
        else:
            self.session.do(Act("record", row.line))

    def skip(self) -> None:
        """x: nothing of the year is skipped by a key."""
        self.session.answer = Answer("year", NO_SKIP)
