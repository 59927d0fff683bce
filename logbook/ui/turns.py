"""Taking turns with another window that writes the log, such as a long import.

A key that may write is put by, with all that come after it, until the other is through: nothing freezes, no
key is lost or overtakes another, and nobody is told to try again. The emergency page never waits.
"""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from logbook.errors import LogbookError
from logbook.ui.keys import ANYWHERE
from logbook.ui.line import OPENERS, WORD_GUARD_S
from logbook.ui.view import Answer

if TYPE_CHECKING:
    from logbook.ui.session import Session

WAITS = Answer("waits", "Another window is writing the log. What you press is kept and done after it.")

READS_ONLY = frozenset(
    ("e", "h", "escape", "space", "up", "down", "left", "right", "pageup", "pagedown", "home", "end")
)
"""Keys that at rest only show something else, or begin a line, as the signs of ``OPENERS`` do."""

FORMS = ("first", "copying")
"""Pages with a form of their own: there any key may keep a part of it."""


class Turns:
    """What the terminal brings, in order; for one session."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._put_by: deque[tuple[str, str | None, float]] = deque()

    @property
    def waiting(self) -> bool:
        """Whether keys are put by: then ``go_on`` is to be called again soon."""
        return bool(self._put_by)

    def press(self, key: str, character: str | None, at: float) -> None:
        """One key; put by when it may write and another window does."""
        if key in ANYWHERE or self._session.page == "emergency" or self._asks_for_help(key, at):
            self._session.press(key, character, at)
        else:
            self._put_by.append((key, character, at))
            self.go_on()

    def paste(self, text: str) -> None:
        """Pasted text, as a key of its own."""
        self._put_by.append(("", text, 0.0))
        self.go_on()

    def go_on(self) -> None:
        """Do what was put by, as far as the other window lets it."""
        session = self._session
        while self._put_by and session.page != "emergency":
            key, character, at = self._put_by[0]
            if self._may_write(key, character) and not self._is_free():
                session.answer = WAITS
                return
            if session.answer is WAITS:
                session.answer = None
            self._put_by.popleft()
            if key:
                session.press(key, character, at)
            else:
                session.paste(character or "")

    def _asks_for_help(self, key: str, at: float) -> bool:
        """e at rest, not as a letter of a word whose beginning waits."""
        session = self._session
        at_rest = not session.line.is_open and session.page not in FORMS
        return key == "e" and at_rest and (not self._put_by or at - self._put_by[-1][2] > WORD_GUARD_S)

    def _is_free(self) -> bool:
        try:
            return self._session.desk.is_free()
        except LogbookError:
            return True  # there is no log to wait for: that is for the key itself to tell

    def _may_write(self, key: str, character: str | None) -> bool:
        session = self._session
        if not key:
            return False
        if session.page in FORMS or session.line.question:
            return True
        if session.line.is_open:
            return key == "enter"
        return key not in READS_ONLY and character not in OPENERS
