"""The Textual app: a thin shell that feeds keys to the session and paints its rows."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.geometry import Size
from textual.message import Message
from textual.screen import Screen
from textual.timer import Timer

from logbook.errors import LogbookError
from logbook.ui.asking import Desk
from logbook.ui.cells import Act
from logbook.ui.demo_desk import demo_desk
from logbook.ui.line_feeds import BURST_S, LineFeeds
from logbook.ui.looks import Look, look_for, plain_marks_for
from logbook.ui.paint import Sheet
from logbook.ui.session import Session
from logbook.ui.slow import SlowWork
from logbook.ui.view import Answer

if TYPE_CHECKING:
    from logbook.results.app import Track

Demo = Callable[[], AbstractContextManager[Desk]]

RECKON_EVERY_MINUTES = 15
"""How old a forecast may grow before it is reckoned anew without a new line. ASSUMED: rooms move slowly."""


DRAFT_AFTER_S = 1.0
"""A rest this long keeps the half-typed line: no key waits for the disk. ASSUMED: a pause to look up."""

SWITCH_S = 0.0002
"""How long slow work may keep a key waiting at each turn. A key takes three: read, understood, painted."""

TURN_S = 0.1
"""How often it looks whether the other window is through. ASSUMED: nobody notices a tenth of a second."""

QUIT_AFTER_S = 0.3
"""How long q waits: "quarter" begins with it too, and a second letter takes it back."""


class Page(Screen[None]):
    """The only screen. No bindings of Textual's own: every key goes to the writing line, in order."""

    AUTO_FOCUS = None
    BINDINGS: ClassVar[list[BindingType]] = []
    inherit_bindings = False
    CSS = "Page { background: ansi_default; color: ansi_default; }"

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet

    def compose(self) -> ComposeResult:
        """One sheet, and nothing else."""
        yield self._sheet


class NightloadApp(App[None]):
    """Nightload in a terminal."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = []
    TITLE = "Nightload"

    class Came(Message):
        """A slow answer came, or could not be given."""

        def __init__(self, session: Session, name: str, result: object, trouble: str = "") -> None:
            super().__init__()
            self.session = session
            self.name, self.result, self.trouble = name, result, trouble

    class Heard(Message):
        """What the slow work is at, in a few words or as the part of its answer that is there."""

        def __init__(self, session: Session, name: str, said: str | Track) -> None:
            super().__init__()
            self.session = session
            self.name, self.said = name, said

    def __init__(self, desk: Desk, *, look: Look, plain: bool = False, demo: Demo = demo_desk) -> None:
        super().__init__(ansi_color=not look.full_colour)
        self.session = Session(desk, look=look, plain=plain)
        self._slow = self._slow_work(self.session)
        self._own: tuple[Session, SlowWork] | None = None
        self._demo_of = demo
        self._demo: AbstractContextManager[Desk] | None = None
        self._sheet = Sheet()
        self._window: Size | None = None
        """The size last told; ``size`` still holds the one before when that is heard."""
        self._minutes = 0
        self._drafting: Timer | None = None
        self._feeds = LineFeeds(self._press, writing=lambda: self.session.line.is_open)
        self._burst: Timer | None = None
        self._taking_turns = False

    def get_default_screen(self) -> Screen[None]:
        """The app's own screen."""
        return Page(self._sheet)

    def on_mount(self) -> None:
        """Paint first; the slow answers are asked for after the first frame."""
        self.call_after_refresh(self._begin)
        self.set_timer(self._to_next_minute(), self._minute)

    def _begin(self) -> None:
        if not gc.isenabled():  # as the command leaves it till now
            gc.freeze()  # what is loaded by now stays to the end: no search for rubbish goes through it
            gc.enable()
        self.session.begin()
        self.repaint()

    def _open_demo(self) -> None:
        """Another sitting, on the demo; the owner's waits as it is until q."""
        self.session.wants_demo = False
        self._demo = self._demo_of()
        try:
            desk = self._demo.__enter__()
        except LogbookError as error:
            self._demo = None
            self.session.answer = Answer("stop", " ".join(str(error).split()))
            return
        self._own = (self.session, self._slow)
        self.session = Session(desk, look=self._own[0].look, plain=self._own[0].plain)
        self.session.width, self.session.height = self._own[0].width, self._own[0].height
        self.session.answer = Answer("demo", "An invented cabin's last evening. q goes back to your own.")
        self._slow = self._slow_work(self.session)
        self.session.reckon()
        self.repaint()

    def _close_demo(self) -> None:
        assert self._own is not None
        self._slow.end()
        self.session.close()
        if self._demo is not None:
            self._demo.__exit__(None, None, None)
        (self.session, self._slow), self._own, self._demo = self._own, None, None
        self.repaint()

    def repaint(self) -> None:
        """Show the session as it stands, and start the slow work it asks for."""
        for name, job in self.session.take_jobs():
            self._slow.add(name, job)
        if self.session.wants_demo:
            self._open_demo()
        if self.session.quitting:
            self.set_timer(QUIT_AFTER_S, self._leave_if_meant)
        if self.session.turns.waiting and not self._taking_turns:
            self._taking_turns = True
            self.set_timer(TURN_S, self._take_turn)
        look = self.session.look
        if self.ansi_color != (not look.full_colour):
            self.ansi_color = not look.full_colour
        self.session.width, self.session.height = self._window or self.size
        self._sheet.show(self.session.rows(), look)

    def on_key(self, event: events.Key) -> None:
        """Every key, in order."""
        event.stop()
        event.prevent_default()
        # With the time when it came, however late it is heard.
        self._feeds.press(event.key, event.character, event.time)
        if self._burst is not None:
            self._burst.stop()
        self._burst = self.set_timer(BURST_S, self._burst_over) if self._feeds.holding else None
        if self._drafting is not None:
            self._drafting.stop()
        self._drafting = self.set_timer(DRAFT_AFTER_S, self.session.keep_draft)
        self.repaint()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text goes into the writing line."""
        event.stop()
        self._feeds.over()
        self.session.turns.paste(event.text)
        self.repaint()

    def on_resize(self, event: events.Resize) -> None:
        """Same place, new size."""
        self._window = event.size
        self.repaint()

    def on_sheet_clicked(self, event: Sheet.Clicked) -> None:
        """The mouse does what a key would."""
        if event.span.act is not None and not self.session.turns.waiting:
            self.session.do(event.span.act)
            self.repaint()

    def on_sheet_wheeled(self, event: Sheet.Wheeled) -> None:
        """The wheel chooses rows."""
        self.session.do(Act("move", str(event.by)))
        self.repaint()

    def on_nightload_app_came(self, event: Came) -> None:
        """A slow answer: the page changes in place."""
        if event.trouble:
            event.session.failed(event.name, event.trouble)
        else:
            event.session.arrived(event.name, event.result)
        self.repaint()

    def on_nightload_app_heard(self, event: Heard) -> None:
        """Said where the first answer is awaited; nothing moves while an old one stands."""
        event.session.known.heard(event.name, event.said)
        self.repaint()

    def _press(self, key: str, character: str | None, at: float) -> None:
        self.session.turns.press(key, character, at)

    def _burst_over(self) -> None:
        self._feeds.over()
        self.repaint()

    def _take_turn(self) -> None:
        self._taking_turns = False
        self.session.turns.go_on()
        self.repaint()

    async def action_quit(self) -> None:
        """Closing asks nothing; a half-typed line is kept."""
        self._leave()

    def _leave_if_meant(self) -> None:
        if self.session.quitting:
            self._leave()

    def _leave(self) -> None:
        if self._own is not None:
            self._close_demo()
            return
        self._slow.end()
        self.session.close()
        self.exit()

    def _slow_work(self, session: Session) -> SlowWork:
        """A worker for one sitting: what comes of it goes to that sitting, whichever is on the screen."""
        return SlowWork(
            done=lambda name, result: self._post(self.Came(session, name, result)),
            failed=lambda name, said: self._post(self.Came(session, name, None, said)),
            progress=lambda name, said: self._post(self.Heard(session, name, said)),
            wanted=lambda name: name != "nights" or session.page == "nights",
        )

    def _post(self, message: Message) -> None:
        self.post_message(message)

    def _to_next_minute(self) -> float:
        now = self.session.desk.now()
        return 60.05 - now.second - now.microsecond / 1e6

    def _minute(self) -> None:
        self._minutes += 1
        self.session.tick()
        if self._minutes % RECKON_EVERY_MINUTES == 0:
            self.session.reckon()
        self.repaint()
        self.set_timer(self._to_next_minute(), self._minute)


def run(desk: Desk, *, look: str | None = None) -> None:
    """Open the app on a desk and stay until the owner quits.

    Args:
        desk: What answers.
        look: "lamplight", "snow", "sixteen" or "none"; otherwise the one kept from last time.
            NO_COLOR, set to anything, wins over both.
    """
    chosen = look_for(os.environ, asked=look or desk.look() or None)
    plain = plain_marks_for(os.environ, encoding=sys.stdout.encoding or "")
    sys.setswitchinterval(SWITCH_S)
    NightloadApp(desk, look=chosen, plain=plain).run()
