"""One invented year of an invented cabin, as its owner types it: from an empty log to the next summer.

Every line goes in by keys through the app's session; nothing is built in code. The cabin stands in a
zone that changes its clocks (25 October 2026 and 28 March 2027 lie inside stays).
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.ui.cells import text_of
from logbook.ui.session import Session

ZONE = "Europe/Stockholm"
"""Clocks go back on 25 October 2026 at 3:00 and forward on 28 March 2027 at 2:00 (EU rules; tz database)."""


ENTER_AGAIN = " ↵"
"""At a line's end: the app asks, and Enter once more takes its first reading."""


class Owner:
    """Somebody at the keys: a session on a real log, a clock that is moved, slow work done when asked for."""

    def __init__(self, log: Path, when: str) -> None:
        self.desk = AppDesk(Place(log), at=moment(when))
        self.session = Session(self.desk)
        self._steady = 0.0

    def at(self, when: str) -> Owner:
        """The clock shows this local time."""
        self.desk.at = moment(when)
        return self

    def live(self, lines: tuple[tuple[str, str], ...]) -> list[str]:
        """Type each line, or press its one letter, at its time; the answer row after each."""
        answers = []
        for when, what in lines:
            self.at(when)
            if len(what) == 1:
                self.session.tick()  # the app has noticed what waits by now
                self.press("escape", "escape", what)
            elif what[:2] in ("v ", "x "):
                self.tick(what[0], what[2:])
            else:
                self.write(what.removesuffix(ENTER_AGAIN))
            if what.endswith(ENTER_AGAIN):
                assert self.said().startswith("asks "), f"{what} was not asked about: {self.said()}"
                self.press("enter")
            answers.append(self.said())
        return answers

    def fill_in(self, row: str, text: str) -> str:
        """On the description's page: find the row, empty its blank, type; the answer row."""
        self._choose(row)
        self.press("enter")
        self.press(*["backspace"] * len(self.session.line.text), *text, "enter", gap=0.05)
        return self.said()

    def _choose(self, row: str) -> None:
        """Down to the row that holds these words."""
        for _ in range(60):
            if any(line.startswith(">") and row in line for line in self.screen().splitlines()):
                return
            self.press("down")
        raise AssertionError(f"no row {row!r} in\n{self.screen()}")

    def describe(self, first_evening: str, blanks: tuple[tuple[str, str], ...]) -> None:
        """The first page filled in, then more of the description on page Cabin."""
        self.press(*({"\t": "tab", "\r": "enter"}.get(sign, sign) for sign in first_evening), gap=0.1)
        self.press("c")
        self._choose("28 m²")
        self.press("enter")
        for row, text in blanks:
            assert self.fill_in(row, text).startswith("saved "), self.said()
        self.press("escape", "escape")

    def press(self, *keys: str, gap: float = 1.0) -> Owner:
        """Keys, one after the other."""
        named = {" ": "space", "!": "exclamation_mark"}
        for key in keys:
            self._steady += gap
            self.session.press(named.get(key, key), key if len(key) == 1 else None, self._steady)
        return self

    def write(self, line: str) -> str:
        """Space, the words, Enter; the answer row."""
        assert not self.session.line.is_open, f"{self.session.line.text!r} stands unanswered"
        self.press("escape", "escape").press(" ", *line, "enter", gap=0.05)
        return self.said()

    def said(self) -> str:
        """The answer row: its margin word and its sentence."""
        answer = self.session.answer
        return f"{answer.word} {answer.sentence}" if answer else ""

    def work(self, *wanted: str) -> Owner:
        """Do the slow work that waits, or only the parts wanted: no night is reckoned for a list."""
        for name, job in self.session.take_jobs():
            if not wanted or name in wanted:
                self.session.arrived(name, job(lambda said: None))
        return self

    def tick(self, key: str, listed: str) -> str:
        """On a list's page, opened by its word, down to the row with these words, and the key."""
        name, row = listed.split(": ", 1)
        self.write(name)
        self.work("list")._choose(row)
        return self.press(key).said()

    def screen(self) -> str:
        """The screen as it stands."""
        return "\n".join(text_of(row).rstrip() for row in self.session.rows())


def moment(when: str) -> datetime:
    """A local time at the cabin, "2026-10-23 17:00"; the first of the two on the night clocks go back."""
    return datetime.fromisoformat(when).replace(tzinfo=ZoneInfo(ZONE)).astimezone(UTC)
