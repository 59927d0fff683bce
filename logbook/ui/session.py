"""The app without a terminal: keys in, acts on the desk, rows of styled text out.

``app.py`` feeds it keys and paints its rows; tests can do the same without either.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar, cast

from logbook.errors import LogbookError
from logbook.records import Window
from logbook.results.first_frame import EmergencyPage, Heard
from logbook.ui.asking import Desk
from logbook.ui.cells import Act, Row
from logbook.ui.keeping import BESIDE_THE_NIGHT, COPY, TICKED, Keeping
from logbook.ui.known import REPORT, Job, Known, one_line
from logbook.ui.line import WritingLine
from logbook.ui.looks import LAMPLIGHT, LOOKS, Look
from logbook.ui.moving import Moving
from logbook.ui.nights_acts import NightsActs
from logbook.ui.own import LINE, NEW_LINE, Own
from logbook.ui.screen import CABIN_PAGES, leap_rows, screen_rows
from logbook.ui.turns import Turns
from logbook.ui.view import Answer, View, Writing

if TYPE_CHECKING:
    from logbook.results.year import Listed, YearPage
    from logbook.ui.listing import Listing
    from logbook.ui.paper import Paper
    from logbook.ui.yearly import Yearly

Answered = TypeVar("Answered")


class Session(Keeping, Moving):
    """One sitting at the app. Not thread-safe: only the screen's thread may call it."""

    def __init__(self, desk: Desk, *, look: Look = LAMPLIGHT, plain: bool = False) -> None:
        self.desk = desk
        self.look = look
        self.plain = plain
        self.line = WritingLine()
        self.page = "now"
        self.answer: Answer | None = None
        self.quitting = False
        self.width, self.height = 80, 24
        self._came_from = "now"
        self._chosen: dict[str, int | None] = {}
        self._heard: Heard | None = None
        self._unsay: Callable[[], None] | None = None
        self.emergency = EmergencyPage()
        self.wants_demo = False
        self.known = Known()
        self.nights = NightsActs(desk)
        self.own = Own(self)
        self._paper: Paper | None = None
        self._listing: Listing | None = None
        self._yearly: Yearly | None = None
        self.turns = Turns(self)
        self._refresh()
        if not self.known.described:
            self._asked(self.own.start_first)
        draft = self._drafted = self._asked(desk.draft) or ""
        if draft:
            self.line.open_with(draft)
            self._read()
        if trouble := self._asked(desk.only_read):
            self.answer = Answer("stop", trouble)

    @property
    def paper(self) -> Paper:
        """What paper asks of the session; made when it is first turned to."""
        if self._paper is None:
            from logbook.ui.paper import Paper  # noqa: PLC0415 - after the first frame

            self._paper = Paper(self)
        return self._paper

    @property
    def listing(self) -> Listing:
        """What lists ask of the session; made when one is first turned to."""
        if self._listing is None:
            from logbook.ui.listing import Listing  # noqa: PLC0415 - after the first frame

            self._listing = Listing(self)
        return self._listing

    @property
    def yearly(self) -> Yearly:
        """What the Year page asks of the session; made when it is first turned to."""
        if self._yearly is None:
            from logbook.ui.yearly import Yearly  # noqa: PLC0415 - after the first frame

            self._yearly = Yearly(self)
        return self._yearly

    # What the terminal asks of it

    def press(self, key: str, character: str | None, at: float) -> None:
        """One key, at a time in seconds of a steady clock."""
        if self.page == "emergency" and key not in ("ctrl+c", "ctrl+q"):
            self._press_in_emergency(key)
            return
        if self.page == "first":
            self.own.press_first(key, character)
            return
        if self.page == "copying":
            self.paper.press(key, character)
            return
        if character == "!" and self.line.is_open and self.line.changing.startswith(LINE):
            self.paste("!")  # on the page it would lead to, it is a sign like any other
            return
        if not self.line.is_open and self._asked(self.desk.is_stale):
            self._refresh(elsewhere=True)
        for act in self.line.press(key, character, at):
            self.do(act)

    def paste(self, text: str) -> None:
        """Text pasted by the terminal."""
        if self.page == "first":
            self.own.form.paste(text)
        elif self.page == "copying":
            self.paper.paste(text)
        elif self.page != "emergency":
            for act in self.line.paste(text):
                self.do(act)

    def do(self, act: Act) -> None:
        """Do one act; what the desk refuses is said in the answer row."""
        try:
            self._acts()[act.name](act.argument)
        except LogbookError as error:
            self._unsay = None
            self.answer = Answer("stop", one_line(error))

    def rows(self) -> list[Row]:
        """The screen as it stands: exactly ``height`` rows."""
        return screen_rows(self.view(), plain=self.plain)

    def view(self) -> View:
        """This moment, frozen."""
        known = self.known
        return View(
            width=self.width,
            height=self.height,
            now=self.desk.now(),
            zone=known.zone,
            page=self.page,
            head=known.head,
            units=known.units,
            writing=Writing(
                is_open=self.line.is_open,
                text=self.line.text,
                caret=self.line.caret,
                changing=bool(self.line.changing),
                word=self.line.word or ("add" if self.line.changing.startswith(NEW_LINE) else ""),
                offered=self.line.offered,
            ),
            answer=self.answer,
            latest=known.latest,
            past=known.past,
            expect=known.expect,
            evening=known.evening,
            tried=known.tried,
            track=known.track,
            emergency=self.emergency,
            form=self.own.form_view(),
            paper=self.paper.choices() if self.page == "paper" else (),
            copy=self.paper.view() if self.page == "copying" else None,
            so_far=known.so_far,
            described=known.described,
            cabin=known.cabin,
            works=known.works,
            work=known.work,
            going=known.going,
            year=known.year,
            year_part=known.year_part,
            listed=known.listed,
            under=self.listing.came_from if self.page == "list" else "",
            list_asked=known.list_asked,
            what_if=known.what_if,
            blanks=known.blanks() if self.page in CABIN_PAGES else (),
            left_out=known.left_out,
            effect=known.effect,
            last_night=known.last_night,
            looking=self.nights.looking,
            chosen=self._chosen.get("tonight" if self.page == "grounds" else self.page),
            scrolled=self._chosen.get("grounds") or 0,
            stale=frozenset(known.stale),
            troubles=tuple(known.troubles.items()),
            progress=tuple(known.progress.items()),
        )

    def take_jobs(self) -> list[tuple[str, Job]]:
        """Slow work to be done now, by name; a later job of a name replaces an earlier one."""
        return self.known.take_jobs()

    def reckon(self) -> None:
        """Ask for the slow answers anew; the old ones stay meanwhile, and say of when they are."""
        self.known.want_page(self.page, self.desk, anew=True)  # what is looked at comes first
        self.known.want("expect", self.desk.expect)
        self.known.want("tonight", self.desk.tonight)
        if self.known.morning(self.desk.now()):
            self.known.want("last night", lambda _: self.desk.last_night())

    def arrived(self, name: str, result: object) -> None:
        """A slow answer came; a tried plan only counts while its line is open."""
        self.own.arrived(name, result if name != "try" or self.line.is_open else None)
        if name == TICKED:
            self._refresh()
        elif name == COPY and result and not self.line.is_open:
            self.answer = Answer(COPY, str(result))
        elif name.startswith(REPORT):
            self.paper.written(result)
        elif name == "list":
            self.listing.arrived(cast("Listed", result))
        elif name == "year":
            self.known.year = cast("YearPage", result)
            self.yearly.arrived()

    def failed(self, name: str, said: str) -> None:
        """A slow answer could not be given; ``said`` is why and what to do."""
        if name.startswith(REPORT):
            self.known.arrived(name, None)
            self.paper.not_written(said)
        else:
            self.known.failed(name, said)

    def tick(self) -> None:
        """A minute has passed: what is pending may have changed."""
        self._refresh(elsewhere=bool(self._asked(self.desk.is_stale)))
        self._say_told()

    def begin(self) -> None:
        """After the first frame: what it went without, what reads a line, then the slow answers."""
        if self.page != "first":
            self.tick()
            self._asked(lambda: self.desk.read(""))
            self.reckon()

    def keep_draft(self) -> None:
        """Keep the half-typed line for next time, if it changed; a power cut need not cost it."""
        if self._paper is not None:
            self._paper.keep_draft()
        text = self.line.written if self.line.is_open and not self.line.changing else ""
        if text != self._drafted and self._asked(self.desk.is_free):
            self._drafted = text
            self._asked(lambda: self.desk.keep_draft(text))

    def close(self) -> None:
        """All is kept but the half-typed line: keep it too."""
        self.keep_draft()

    # Acts

    def _acts(self) -> dict[str, Callable[[str], None]]:
        return {
            "typed": lambda _: self._typed(),
            "closed": lambda _: self._closed(),
            "keep": lambda _: self._keep(),
            "answer": self._answered,
            "telling": lambda _: None,
            "record": self._record,
            "settle": self._settle,
            "window": lambda _: self._record(
                "window shut" if self.known.head.window is not Window.SHUT else "window cracked"
            ),
            "undo": lambda _: self._back(self.desk.undo, self.desk.redo),
            "redo": lambda _: self._back(self.desk.redo, self.desk.undo),
            "unsay": lambda _: self._take_back_letter(),
            "page": self.turn_to,
            "list": self._to_list,
            "year": self._to_year,
            "turn": lambda by: self._turn(int(by)),
            "rest": lambda _: self._rest(),
            "move": lambda by: self._move(int(by)),
            "read on": lambda by: self._move(int(by)) if self.page == "grounds" else None,
            "leap": lambda by: self._move(int(by) * leap_rows(self.view())),
            "choose": lambda index: self._choose(int(index)),
            "open": lambda _: self._open(),
            "all": lambda _: self._all(),
            "skip": lambda _: self._skip(),
            "look": lambda _: self._next_look(),
            "print": lambda _: self.own.print_page(),
            "demo": lambda _: setattr(self, "wants_demo", True),
            "blank": self.own.go_to,
            "cell": self._to_cell,
            "mark": lambda _: self._use_or_mark(),
            "filter": lambda which: self._on_nights(lambda view: self.nights.step(which, view)),
            "quit": lambda _: self._quit(),
            "write": lambda _: self._write(),
        }

    def _closed(self) -> None:
        """The line is closed: what had to wait for it is said."""
        super()._closed()
        self._say_told()

    def _say_told(self) -> None:
        if self._paper is not None:
            self._paper.say_told()

    def _use_or_mark(self) -> None:
        """v: done, on a list and of the year; what was left out is used again; on the Nights page a mark."""
        if self.page in BESIDE_THE_NIGHT:
            self._unsay = None
            self.beside_the_night.done()
        elif self.own.use_again():
            self._unsay = self._undo_quietly
        else:
            self._on_nights(self.nights.mark)

    @property
    def beside_the_night(self) -> Listing | Yearly:
        """What has the keys of rows on the page: a list or the Year page."""
        return self.listing if self.page == "list" else self.yearly

    def _to_list(self, name: str) -> None:
        self.listing.open(name)

    def _to_year(self, part: str) -> None:
        self.yearly.open(part)

    def _to_cell(self, place: str) -> None:
        if self.page == "copying":
            self.paper.go_to(place)

    def _on_nights(self, act: Callable[[View], None]) -> None:
        """An act of the Nights page's own; a second letter takes it back."""
        if self.page == "nights":
            self._unsay = self.nights.put_back()
            act(self.view())

    def _open(self) -> None:
        """Enter at rest: a line to change it, a choice to write its load; nothing chosen, nothing done."""
        if self.line.is_open or self.own.open_row():
            return
        if self.page in BESIDE_THE_NIGHT:
            self.beside_the_night.open_row()
        elif self.page == "paper":
            self.paper.open(self._chosen.get("paper") or 0)
        elif self.page == "nights":
            self.nights.open(self.view())
        elif self.page == "now":
            chosen = self._chosen.get("now")
            if chosen is not None and chosen < len(self.known.latest):
                line = self.known.latest[chosen]
                self.line.open_with(line.typed, changing=line.event_id)
                self._read()
        elif self.page == "tonight" and self.known.evening is not None:
            index = self._chosen.get("tonight") or 0
            lines = self.known.evening.lines
            if index < len(lines) and lines[index]:
                self.line.open_with(lines[index])
                self._read()

    def _next_look(self) -> None:
        before = self.look
        self.look = LOOKS[(LOOKS.index(before) + 1) % len(LOOKS)]
        self.desk.keep_look(self.look.name)
        self.answer = Answer("look", f"Now {self.look.title}. l: the next.")

        def unsay() -> None:
            self.look = before
            self.desk.keep_look(before.name)

        self._unsay = unsay

    def _quit(self) -> None:
        self.quitting = True
        self._unsay = None

    def _refresh(self, *, elsewhere: bool = False) -> None:
        """Ask anew. The line chosen stays chosen wherever it stands now; left out ``elsewhere``, none is."""
        self.emergency = self._asked(self.desk.emergency) or EmergencyPage()
        chosen, before = self._chosen.get("now"), self.known.latest
        trouble = self.known.refresh(self.desk)
        if trouble:
            self.answer = Answer("stop", trouble)
        if chosen is not None and chosen < len(before):
            ids = [line.event_id for line in self.known.latest]
            if before[chosen].event_id in ids:
                chosen = ids.index(before[chosen].event_id)
            elif elsewhere:
                chosen = None
        self._chosen["now"] = chosen if chosen is not None and chosen < len(self.known.latest) else None
        if elsewhere and self.known.latest != before:
            self.reckon()  # else what follows stood there as if nothing had been written

    def _asked(self, ask: Callable[[], Answered]) -> Answered | None:
        """The answer, or None with the reason said."""
        try:
            return ask()
        except LogbookError as error:
            self.answer = Answer("stop", one_line(error))
            return None
