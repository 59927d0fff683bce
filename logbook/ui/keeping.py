"""What is written: read while it is typed, asked, kept, taken back. A part of the session."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING

from logbook.errors import LogbookError
from logbook.results.first_frame import Heard, Kept, Standing
from logbook.ui.asking import Desk
from logbook.ui.keys import WHAT_IF, act_said
from logbook.ui.known import Known
from logbook.ui.line import WritingLine
from logbook.ui.nights_acts import NightsActs
from logbook.ui.own import Own
from logbook.ui.view import Answer, View

if TYPE_CHECKING:
    from logbook.results.year import ListAct
    from logbook.ui.listing import Listing
    from logbook.ui.yearly import Yearly

TICKED = "ticked"
"""What is asked for after a tick, for the quick answers to be read anew once it has come."""

COPY = "copy"
"""The slow job that copies the log on leaving."""

BESIDE_THE_NIGHT = ("list", "year", "year part")
"""Pages whose rows are things to do: v does one, x not this time."""


class Keeping:
    """The writing line and what becomes of it; mixed into the session, which has the rest."""

    desk: Desk
    page: str
    answer: Answer | None
    quitting: bool
    line: WritingLine
    known: Known
    own: Own
    nights: NightsActs
    _came_from: str
    _chosen: dict[str, int | None]
    _heard: Heard | None
    _unsay: Callable[[], None] | None

    @property
    @abstractmethod
    def beside_the_night(self) -> Listing | Yearly:
        """What has the keys of rows on a list or the Year page."""

    @abstractmethod
    def view(self) -> View:
        """This moment, frozen."""

    @abstractmethod
    def reckon(self) -> None:
        """Ask for the slow answers anew."""

    @abstractmethod
    def keep_draft(self) -> None:
        """Keep the half-typed line for next time."""

    @abstractmethod
    def _refresh(self, *, elsewhere: bool = False) -> None:
        """Ask for the quick answers anew."""

    def _typed(self) -> None:
        if self.page in ("help", "grounds"):
            self.page = self._came_from
        self._read()
        if self.page == "tonight" and self.line.text.strip() and not self.line.changing:
            text = self.line.text
            self.known.want("try", lambda _: self.desk.try_plan(text))
        else:
            self.known.tried = None
            self.own.typed()

    def _read(self) -> None:
        if not self.line.text.strip():
            self._heard, self.answer, self.line.offered = None, None, ""
            return
        self._heard = self.own.read(self.line.text) or self._read_entry(self.line.text)
        self.line.offered = self._heard.offered
        does = "" if self.line.changing else act_said(self.line.text.strip().lower())
        self.answer = Answer(self._heard.standing.value, does or self._heard.sentence)

    def _read_entry(self, text: str) -> Heard:
        if self.line.changing:
            with suppress(LogbookError):  # gone meanwhile: that is told when it is to be kept
                return self.desk.read_change(self.line.changing, text)
        return self.desk.read(text)

    def _closed(self) -> None:
        self._heard = None
        self.answer = None
        self.known.tried = self.known.effect = None

    def _keep(self) -> None:
        if self.page == "nights" and self.nights.words(self.line.text, self.view()):
            self.line.close()
            self._closed()
            return
        if self.line.keeps_empty and not self.line.text.strip():
            self._heard = self.own.read("")
        elif self._heard is None or self._heard.text != self.line.text:
            self._read()
        if self._heard is not None:
            self._commit(self._heard)

    def _answered(self, key: str) -> None:
        asked = self._heard
        if asked is None:
            return
        heard = self.desk.answer(asked, key)
        self._commit(heard)
        if heard.standing is Standing.ASKS and heard.sentence == asked.sentence:
            self.answer = Answer(heard.standing.value, f'"{key}" is no time that can be. {heard.sentence}')

    def _commit(self, heard: Heard) -> None:
        """Keep what reads; ask what asks; leave what does not in the line, caret at the trouble."""
        self._heard = heard
        if heard.standing is Standing.READS:
            changing = self.line.changing
            kept = self.own.keep(heard)
            if kept is None:
                kept = self.desk.edit(changing, heard) if changing else self.desk.keep(heard)
            self.line.close()
            self.keep_draft()  # a line that is kept must not be offered again
            self._heard = None
            self.known.tried = None
            self.said("saved" if heard.token != WHAT_IF else "what if", kept)
            return
        if not self.line.is_open:
            self.line.open_with(heard.text)
        self.answer = Answer(heard.standing.value, heard.sentence)
        if heard.standing is Standing.ASKS:
            self.line.ask(heard.answers, takes_time=heard.free_text)
        elif heard.caret is not None:
            self.line.caret = min(max(0, heard.caret), len(self.line.text))

    def said(self, word: str, kept: Kept) -> None:
        """Say what was kept, and reckon what follows from it."""
        self.answer = Answer(word, kept.sentence)
        self._refresh()
        self.reckon()
        if kept.leaves:
            self._copy()

    def _copy(self) -> None:
        self.known.want(COPY, lambda _: self.desk.copy_by_itself())

    def ticked(self, act: ListAct) -> None:
        """Say what a tick wrote; the night is not reckoned anew for it."""
        self.answer = Answer("saved", act.sentence)
        self._unsay = self._undo_quietly if act.event_ids else None
        if act.leaves:
            self._copy()
        if act.settles:
            self._refresh()
        else:
            self.known.want(TICKED, lambda _: None)  # the lines of the stay are read anew after the paint

    def _record(self, words: str) -> None:
        self._unsay = None
        self._commit(self.desk.read(words))
        if not self.line.is_open:
            self._unsay = self._undo_quietly
        else:
            # A question stands in the line now: the letter was no word's beginning.
            self.line.forget_letter()

    def _settle(self, key: str) -> None:
        item = next((item for item in self.known.head.pending if item.key == key), None)
        self._unsay = None
        if item is None:
            self.answer = Answer("none", f"Nothing waits that {key} would settle.")
        else:
            self._record(item.done)

    def _skip(self) -> None:
        self._unsay = None
        if self.page in BESIDE_THE_NIGHT:
            self.beside_the_night.skip()
            return
        if self.own.leave_out():
            self._unsay = self._undo_quietly
            return
        chosen = self._chosen.get("now")
        if self.page == "now" and chosen is not None and chosen < len(self.known.latest):
            self.said("saved", self.desk.remove(self.known.latest[chosen].event_id))
        else:
            item = next((item for item in self.known.head.pending if item.skippable), None)
            if item is None:
                return
            self.said("saved", self.desk.skip(item.name))
        self._unsay = self._undo_quietly

    def _back(self, act: Callable[[], Kept], contrary: Callable[[], Kept]) -> None:
        self._unsay = None
        self.said("back", act())

        def unsay() -> None:
            contrary()
            self._refresh()

        self._unsay = unsay

    def _undo_quietly(self) -> None:
        self.desk.undo()
        self._refresh()
        self.reckon()

    def _take_back_letter(self) -> None:
        unsay, self._unsay = self._unsay, None
        self.quitting = False
        if unsay is not None:
            unsay()

    def write_in(self, text: str, *, changing: str = "", keeps_empty: bool = False) -> None:
        """Open the writing line with a text, to be changed."""
        self.line.open_with(text, changing=changing, keeps_empty=keeps_empty)
        self._read()

    def _write(self) -> None:
        if not self.line.is_open:
            self.line.open_with("")
            self.answer = None
