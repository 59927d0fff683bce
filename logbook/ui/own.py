"""What the owner fills in: first evening, description, emergency page, what if. Beside the session."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import TYPE_CHECKING, TypeVar

from logbook.errors import LogbookError
from logbook.results.first_frame import Between, Heard, Kept, Standing
from logbook.ui.form import Form, FormView
from logbook.ui.keys import F_KEYS, WHAT_IF
from logbook.ui.known import one_line
from logbook.ui.view import Answer

if TYPE_CHECKING:
    from logbook.results.app import Blanks
    from logbook.ui.session import Session

Done = TypeVar("Done")

WOKE_WITHIN = timedelta(minutes=30)
"""A reading this soon after waking is the night's."""

NEW_LINE = "list:"
"""What it begins with while a line of a list is written; the line it will stand before follows."""

BLANK, LINE, NEW = "blank:", "line:", "new "
"""What ``WritingLine.changing`` begins with while a blank, or a line of the emergency page, is written; a new
line of the page has ``NEW`` before its place."""


class Own:
    """One session's forms; it acts on the session it was made for."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.form = Form()
        self.first: Blanks | None = None
        self._reckoned: dict[str, str] = {}

    # First evening

    def start_first(self) -> None:
        """Open the first evening, with what was filled in before."""
        desk = self.session.desk
        self.form = Form(texts=dict(desk.first_texts()))
        self._check()
        self.form.go_to("floor")
        self.session.page = "first"
        self._reckon_first()

    def press_first(self, key: str, character: str | None) -> None:
        """A key while the first evening is filled in."""
        session = self.session
        if key in ("ctrl+c", "ctrl+q"):
            self.put_off()
            session.quitting = True
        elif key in F_KEYS or character == "!":
            session.turn_to("emergency")
        elif key == "escape":
            self.put_off()
            session.page = "now"
            session.begin()
            session.answer = Answer("later", "Put off. c, then Enter goes on with it.")
        elif character in ("d", "D") and self._holds_a_number():
            session.wants_demo = True
        else:
            session.answer = None
            self._did(self.form.press(key, character))

    def put_off(self) -> None:
        """Keep what is filled in for later."""
        self._try(lambda: self.session.desk.keep_first_texts(self.form.texts))

    def go_to(self, name: str) -> None:
        """A click on a blank."""
        self.form.go_to(name)
        self._did("left")

    def _holds_a_number(self) -> bool:
        return self.form.blank.name in ("floor", "volume", "limit", "from", "to", "bed", "wake")

    def _did(self, what: str) -> None:
        if what == "last":
            self._keep_first()
        elif what:
            self._check()
            if what == "left":
                self._reckon_first()

    def _check(self) -> None:
        self.first = self.session.desk.first_evening(self.form.texts)
        self.form.take(self.first.blanks)

    def _reckon_first(self) -> None:
        """Ask for the answer so far, if anything changed since."""
        texts = self.form.filled()
        if self.first is not None and self.first.enough and texts != self._reckoned:
            self._reckoned = texts
            desk = self.session.desk
            self.session.known.want("so far", lambda _: desk.so_far(texts))

    def _keep_first(self) -> None:
        self._check()
        wrong = next((b.name for b in self.form.blanks if self.first and b.name in self.first.wrong), None)
        missing = next((b.name for b in self.form.blanks if b.needed and not self.form.text(b.name)), None)
        if wrong or missing:
            self.form.go_to(wrong or missing or "")
            if not wrong:
                self.session.answer = Answer("stop", "This number is needed; the others may stay empty.")
            return
        texts = {name: text for name, text in self.form.filled().items() if text.strip()}
        kept = self._try(lambda: self.session.desk.begin(texts))
        if kept is not None:
            self.session.page = "tonight"
            self.session.said("saved", kept)

    def form_view(self) -> FormView | None:
        """The form as it stands, on its page."""
        if self.session.page != "first" or self.first is None:
            return None
        return FormView(
            blanks=self.form.blanks,
            texts=self.form.filled(),
            at=self.form.blank.name,
            caret=self.form.caret,
            wrong=self.first.wrong,
            enough=self.first.enough,
            walls_said=self.first.walls_said,
        )

    # Lines that are not entries: blanks, the emergency page, what if

    def read(self, text: str) -> Heard | None:
        """What the writing line holds, when it is no entry."""
        changing = self.session.line.changing
        if changing.startswith(BLANK):
            return self.session.desk.read_blank(changing.removeprefix(BLANK), text)
        if changing.startswith(NEW_LINE):
            return self.session.listing.read(text)
        if changing.startswith(LINE):
            said = "Enter keeps it on your emergency page."
            return Heard(text=text, standing=Standing.READS, sentence=said)
        if not changing and text.casefold().startswith(WHAT_IF):
            said = "Enter reckons it on page Cabin. Nothing is kept."
            if not text[len(WHAT_IF) :].strip():
                said = "Such as: what if roof +100mm mineral wool batt, window double"
            return Heard(text=text, standing=Standing.READS, sentence=said, token=WHAT_IF)
        return None

    def keep(self, heard: Heard) -> Kept | None:
        """Keep such a line, or reckon it; None when it is an entry."""
        session, changing = self.session, self.session.line.changing
        if changing.startswith(BLANK):
            session.known.effect = None
            return session.desk.keep_blank(heard)
        if changing.startswith(NEW_LINE):
            return session.listing.keep(heard.text)
        if changing.startswith(LINE):
            return self._keep_line(heard.text, changing.removeprefix(LINE))
        if heard.token == WHAT_IF:
            return self._what_if(heard.text[len(WHAT_IF) :].strip(" :?"))
        return None

    def _keep_line(self, text: str, place: str) -> Kept:
        """A line of the emergency page, changed or new; after a new one the row beneath it is chosen."""
        session = self.session
        lines = list(session.emergency.lines)
        new, at = place.startswith(NEW), int(place.removeprefix(NEW))
        new = new or at >= len(lines)
        lines[at : at if new else at + 1] = [text.rstrip()]
        kept = session.desk.keep_emergency(tuple(lines))
        session.choose_row(at + new)
        return kept

    def _what_if(self, text: str) -> Kept:
        from logbook.ui.pages import cabin  # noqa: PLC0415 - after the first frame

        session, desk = self.session, self.session.desk
        session.turn_to("cabin")
        session.known.troubles.pop("what if", None)
        session.known.want("what if", lambda _: desk.what_if(text))
        session.choose_row(next(n for n, i in enumerate(cabin.items(session.view())) if i.kind == "what if"))
        return Kept(sentence=f"What if {text}: see below. Nothing was changed.")

    def typed(self) -> None:
        """While a blank is written: what it would do."""
        changing, text, desk = self.session.line.changing, self.session.line.text, self.session.desk
        if changing.startswith(BLANK):
            name = changing.removeprefix(BLANK)
            self.session.known.want("effect", lambda _: desk.effect(name, text))

    # Rows of the pages

    def arrived(self, name: str, result: object) -> None:
        """A slow answer came; on page Cabin the chosen row stays the one it is when others come above it."""
        session = self.session
        if session.page != "cabin" or name not in ("cabin", "works"):
            session.known.arrived(name, result)
            return
        from logbook.ui.pages import cabin  # noqa: PLC0415 - after the first frame

        item = cabin.chosen(session.view())
        session.known.arrived(name, result)
        found = cabin.items(session.view())
        if item in found:
            session.choose_row(found.index(item))

    def printed_here(self) -> bool:
        """p where a row says that it prints the emergency page; whether it was one."""
        here = self.session.page == "own page"
        if self.session.page == "cabin":
            from logbook.ui.pages import cabin  # noqa: PLC0415 - after the first frame

            item, lines = cabin.chosen(self.session.view()), self.session.emergency.lines
            here = item is not None and item.kind == "danger" and bool(lines)
        if here:
            self.print_page()
        return here

    def open_row(self) -> bool:
        """Enter on a row of Cabin, the description or the emergency page's lines; whether it was one."""
        session, view = self.session, self.session.view()
        if session.page == "cabin":
            from logbook.ui.pages import cabin  # noqa: PLC0415 - after the first frame

            item = cabin.chosen(view)
            kind = item.kind if item else ""
            if kind == "first":
                self.start_first()
            elif kind == "change" and item is not None and view.works is not None:
                session.known.work = view.works.changes[item.index].name
                session.turn_to("work")
            elif kind == "describe":
                session.turn_to("describe")
            elif kind == "danger":
                session.turn_to("own page")
            elif kind == "what if":
                session.write_in(f"{WHAT_IF} ")
            return True
        if session.page == "describe" and view.blanks:
            blank = view.blanks[min(view.chosen or 0, len(view.blanks) - 1)]
            session.write_in(blank.text, changing=f"{BLANK}{blank.name}")
            return True
        if session.page == "own page":
            at = min(view.chosen or 0, len(session.emergency.lines))
            text = session.emergency.lines[at] if at < len(session.emergency.lines) else ""
            session.write_in(text, changing=f"{LINE}{at}", keeps_empty=True)
            return True
        return False

    def new_line(self) -> bool:
        """Tab on the emergency page's own text: a new line above the chosen one; whether that page stands."""
        session = self.session
        if session.page != "own page":
            return False
        at = min(session.view().chosen or 0, len(session.emergency.lines))
        session.write_in("", changing=f"{LINE}{NEW}{at}", keeps_empty=True)
        return True

    def _span(self) -> Between | None:
        """The stretch or night chosen, to be left out of learning or used again."""
        session, view = self.session, self.session.view()
        if session.page == "nights":
            row = session.nights.chosen(view)
            return Between(start=row.score.bed, end=row.score.wake + WOKE_WITHIN) if row else None
        if session.page == "cabin" and view.cabin is not None:
            from logbook.ui.pages import cabin  # noqa: PLC0415 - after the first frame

            item = cabin.chosen(view)
            if item is not None and item.kind == "stretch":
                return view.cabin.stretches[item.index].span
        return None

    def use_again(self) -> bool:
        """v on a stretch, or on a night that was left out of learning; whether it was one."""
        session, span = self.session, self._span()
        if span is None or (session.page == "nights" and not session.view().is_out(span.start, span.end)):
            return False
        session.said("saved", session.desk.use_again(span))
        return True

    def leave_out(self) -> bool:
        """x on a stretch, a night, a row of the description or the emergency page; whether it was one."""
        session, view = self.session, self.session.view()
        if session.page in ("nights", "cabin"):
            span = self._span()
            if span is not None:
                session.said("saved", session.desk.leave_out(span))
            return span is not None
        if session.page == "describe" and view.blanks:
            blank = view.blanks[min(view.chosen or 0, len(view.blanks) - 1)]
            heard = session.desk.read_blank(blank.name, "")
            if heard.standing is not Standing.READS:
                raise LogbookError(heard.sentence)
            session.said("saved", session.desk.keep_blank(heard))
            return True
        if session.page == "own page":
            lines = list(session.emergency.lines)
            at = min(view.chosen or 0, len(lines))
            if at < len(lines):
                del lines[at]
                session.said("saved", session.desk.keep_emergency(tuple(lines)))
            return True
        return False

    def print_page(self) -> None:
        """p: the emergency page onto paper."""
        kept = self._try(self.session.desk.print_emergency, word="paper")
        if kept is not None:
            self.session.answer = Answer("paper", kept.sentence)

    def _try(self, act: Callable[[], Done], *, word: str = "stop") -> Done | None:
        """What an act gives, or None with the reason said."""
        try:
            return act()
        except LogbookError as error:
            self.session.answer = Answer(word, one_line(error))
            return None
