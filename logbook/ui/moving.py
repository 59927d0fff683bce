"""Moving about: pages, rows, and the way back. A part of the session."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from typing import TYPE_CHECKING

from logbook.ui.asking import Desk
from logbook.ui.keys import PAGES, PARENT
from logbook.ui.known import Known
from logbook.ui.line import WritingLine
from logbook.ui.nights_acts import NightsActs
from logbook.ui.own import Own
from logbook.ui.screen import row_count
from logbook.ui.view import Answer, View

if TYPE_CHECKING:
    from logbook.ui.listing import Listing


class Moving:
    """Which page stands, which row is chosen; mixed into the session, which has the rest."""

    desk: Desk
    page: str
    answer: Answer | None
    line: WritingLine
    known: Known
    own: Own
    nights: NightsActs
    _came_from: str
    _chosen: dict[str, int | None]
    _unsay: Callable[[], None] | None

    @property
    @abstractmethod
    def listing(self) -> Listing:
        """What lists ask of the session."""

    @abstractmethod
    def view(self) -> View:
        """This moment, frozen."""

    @abstractmethod
    def _open(self) -> None:
        """Open the chosen row."""

    @abstractmethod
    def _read(self) -> None:
        """Read the writing line anew."""

    def turn_to(self, page: str) -> None:
        """Turn to a page by name; to paper not from where the emergency page is printed at once."""
        if page == "paper" and self.own.printed_here():
            self._unsay = None
            return
        before, came_from = self.page, self._came_from
        if page in ("help", "emergency", "grounds") and before not in ("help", "emergency"):
            self._came_from = PARENT.get(before, before) if page != "emergency" else before
        if page == before == "help":
            page = self._came_from
        self.page = page
        if page not in ("emergency", "help") and not self.line.is_open:
            self.answer = None
        self.known.want_page(page, self.desk)
        if page in ("emergency", "own page", "paper", "year part", "work", "grounds"):
            self._chosen[page] = 0

        def unsay() -> None:
            self.page, self._came_from = before, came_from

        self._unsay = unsay

    def _all(self) -> None:
        """Tab: a new line of the emergency page, else tonight's reasons whole; while writing only there."""
        if self.line.is_open and self.page not in ("tonight", "grounds"):
            return
        if not self.own.new_line():
            self.turn_to("grounds" if self.page == "tonight" else "tonight")

    def _turn(self, by: int) -> None:
        if self.page == "list":
            self.page = self.listing.close()
        here = self.page if self.page in PAGES else PARENT.get(self.page, self._came_from)
        place = (PAGES.index(here) if here in PAGES else 0) + by
        if 0 <= place < len(PAGES):
            self.turn_to(PAGES[place])
        elif self.page not in PAGES:
            self.turn_to(here)

    def _rest(self) -> None:
        if self.page in PARENT:
            self.page = PARENT[self.page]
            return
        if self.page in ("help", "emergency"):
            self.page = self._came_from
            return
        if self.page == "list":
            self.page, self.answer = self.listing.close(), None
            return
        if self.page == "nights" and self.nights.close():
            return
        self._chosen["now"] = None
        self.turn_to("now")

    def _move(self, by: int) -> None:
        count = row_count(self.view())
        if not count:
            return
        here = self._chosen.get(self.page)
        if self.page == "nights" and self.nights.looking.opened:
            self.nights.scroll(by, count)
        elif self.page in ("now", "cabin", "year"):
            # Nothing is chosen to begin with; ↑ from the first row lets go again.
            place = (-1 if here is None else here) + by
            self._chosen[self.page] = None if place < 0 else min(place, count - 1)
        else:
            self._chosen[self.page] = min(max(0, (here or 0) + by), count - 1)

    def _choose(self, index: int) -> None:
        if self._chosen.get(self.page) == index:
            self._open()
        elif index < row_count(self.view()):
            self._chosen[self.page] = index

    def choose_row(self, index: int) -> None:
        """Choose a row of the page."""
        self._chosen[self.page] = index

    def _press_in_emergency(self, key: str) -> None:
        """Only Esc leads away; ↑ ↓ move a page longer than the screen."""
        if key == "escape":
            self.page = self._came_from
            if self.answer is not None and self.answer.word == "paper":
                self.answer = None
                if self.line.is_open:
                    self._read()
        elif key == "p":
            self.own.print_page()
        elif key in ("up", "down", "pageup", "pagedown"):
            by = {"up": -1, "down": 1, "pageup": -10, "pagedown": 10}[key]
            count = row_count(self.view())
            self._chosen["emergency"] = min(max(0, (self._chosen.get("emergency") or 0) + by), max(0, count))
