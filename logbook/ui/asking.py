"""What the app asks of the rest: the ``Desk``.

``logbook.actions`` has the real one, tests have a small fake. The app decides nothing: it shows what
the desk says (``logbook.results.app``).

Two kinds of calls. *Quick* ones run on the screen's own thread and must answer in a few milliseconds;
they must not load a heavy library. *Slow* ones run in one worker thread, one after the other, while
quick ones go on in the screen's thread: a desk keeps one database connection per thread.
``progress`` of ``nights`` may raise, to stop it while something else waits or its page was left: the desk
lets that through, and what it has reckoned so far is best kept for the next time.
Any call may raise ``LogbookError``: the app shows its text, in full, as a refusal.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Protocol

from logbook.records import Description
from logbook.results.first_frame import Between, EmergencyPage, Head, Heard, Kept, Line, Past

if TYPE_CHECKING:
    from logbook.results.app import (
        Blank,
        Blanks,
        CabinPage,
        Effect,
        Evening,
        Expect,
        Going,
        LastNight,
        NightLived,
        SoFar,
        Track,
        Tried,
        WhatIf,
        Works,
    )
    from logbook.results.copying import Sheet, SheetRead
    from logbook.results.year import ListAct, Listed, YearPage


class Desk(Protocol):
    """Everything the app can ask for."""

    # Quick: the screen's own thread, a few milliseconds, nothing heavy loaded.

    def now(self) -> datetime:
        """The time it is, aware."""

    def only_read(self) -> str:
        """That nothing can be saved, in a sentence; empty where the log can be written."""

    def zone(self) -> tzinfo:
        """The cabin's time zone."""

    def description(self) -> Description | None:
        """The description that holds now, or None when there is none yet."""

    def head(self) -> Head:
        """The head rows as they stand."""

    def latest(self, count: int) -> tuple[Line, ...]:
        """The newest lines of this stay (or of the last one), newest first."""

    def past(self, since: datetime) -> Past:
        """What was measured and done since a time."""

    # Hook for the Nights page and the line-by-line way: one night opened.
    def night(self, bed: datetime, wake: datetime) -> NightLived:
        """What the log has of one past night, from some hours before bed to some after waking."""

    def read(self, text: str) -> Heard:
        """What a line says, without keeping it. Never raises for what is typed."""

    def read_change(self, event_id: str, text: str) -> Heard:
        """What a line says in the place of another. Raises LogbookError where that one is gone."""

    def answer(self, heard: Heard, key: str) -> Heard:
        """The same line with its question answered by a key of ``heard.answers``."""

    def keep(self, heard: Heard) -> Kept:
        """Keep a line that reads; one fsync, then its sentence."""

    def edit(self, event_id: str, heard: Heard) -> Kept:
        """Replace a line by another; undo brings the old one back."""

    def remove(self, event_id: str) -> Kept:
        """Leave a line out; undo brings it back."""

    def undo(self) -> Kept:
        """Take back the last act, whatever it was. Raises LogbookError when there is none."""

    def redo(self) -> Kept:
        """Bring back what was taken back last. Raises LogbookError when there is none."""

    def skip(self, name: str) -> Kept:
        """Skip a pending thing; undo brings it back."""

    def emergency(self) -> EmergencyPage:
        """The owner's emergency page."""

    def keep_emergency(self, page_lines: tuple[str, ...]) -> Kept:
        """Keep the emergency page anew; undo brings the old one back."""

    def print_emergency(self) -> Kept:
        """Write the emergency page as a text file, and say where."""

    def print_sheet(self, name: str) -> Kept:
        """Write a sheet as an HTML file, and say where. Raises LogbookError when it can't be."""

    def sheet_draft(self) -> Sheet:
        """The paper weekend being copied in when it was last put aside."""

    def keep_sheet_draft(self, sheet: Sheet) -> None:
        """Keep a half-copied sheet for next time (an empty one forgets it)."""

    def read_sheet(self, sheet: Sheet) -> SheetRead:
        """What a sheet says, row by row, without keeping it. Never raises for what is typed."""

    def keep_sheet(self, read: SheetRead) -> Kept:
        """Keep all rows of a sheet as one act. Raises LogbookError when one can't be, or all are there."""

    def tick(self, list_: Listed, line: str, *, done: bool) -> ListAct:
        """A line of a list done, or left for the next time; undo takes it back."""

    def add_to_list(self, list_: Listed, text: str, *, before: str) -> ListAct:
        """A line put into a list before another ("": at its end). Raises LogbookError when it can't be."""

    def left_out(self) -> tuple[Between, ...]:
        """What is left out of learning."""

    def leave_out(self, span: Between) -> Kept:
        """Learn without the room's readings of a span; undo takes it back."""

    def use_again(self, span: Between) -> Kept:
        """Learn from a span's readings again. Raises LogbookError if it is in use."""

    def blanks(self) -> tuple[Blank, ...]:
        """The description's blanks with what stands in them."""

    def read_blank(self, name: str, text: str) -> Heard:
        """What a blank would hold, without keeping it. Never raises for what is typed."""

    def keep_blank(self, heard: Heard) -> Kept:
        """Keep a blank that reads, from now on; undo brings the old value back."""

    def first_texts(self) -> Mapping[str, str]:
        """What was filled in before the first evening was put off."""

    def keep_first_texts(self, texts: Mapping[str, str]) -> None:
        """Keep what is filled in so far for later."""

    def first_evening(self, texts: Mapping[str, str]) -> Blanks:
        """The first evening's blanks, what is wrong in them, whether it is enough."""

    def begin(self, texts: Mapping[str, str]) -> Kept:
        """Keep the first description. Raises LogbookError when a blank is wrong or missing."""

    def is_free(self) -> bool:
        """Whether no other window is writing the log at this moment."""

    def is_stale(self) -> bool:
        """Whether another window wrote since this was last asked."""

    def draft(self) -> str:
        """The half-typed line kept when the app was last closed."""

    def keep_draft(self, text: str) -> None:
        """Keep a half-typed line for next time ("" forgets it)."""

    def look(self) -> str:
        """The name of the look kept from last time, or ""."""

    def keep_look(self, name: str) -> None:
        """Keep the look for next time."""

    # Slow: one worker thread.

    def copy_by_itself(self) -> str:
        """A dated copy of the log if anything is new; a sentence on where it is, or why there is none."""

    def print_report(self, name: str, progress: Callable[[str], None]) -> Kept:
        """Write a report as an HTML file, and say where. Raises LogbookError when it can't be."""

    def expect(self, progress: Callable[[str], None]) -> Expect:
        """What follows if nothing more goes in. ``progress`` takes a few words on what is being done."""

    def tonight(self, progress: Callable[[str], None]) -> Evening:
        """The ranked choices for tonight."""

    def try_plan(self, text: str) -> Tried | None:
        """What would come of a plan as typed; under 100 ms once ``tonight`` has answered.

        None when the text holds no plan.
        """

    def nights(self, progress: Callable[[str | Track], None]) -> Track:
        """The track record; ``progress`` also gets it as it grows, the newest nights first."""

    def last_night(self) -> LastNight:
        """In the morning: what was said for last night, and what came."""

    def so_far(self, texts: Mapping[str, str]) -> SoFar | None:
        """What the description alone says already; None while it is not enough."""

    def cabin(self, progress: Callable[[str], None]) -> CabinPage:
        """How the cabin cools and what is known of it."""

    def going(self, progress: Callable[[str], None]) -> Going:
        """How long the room keeps with no more wood, and what to heed before leaving."""

    def year(self, progress: Callable[[str], None]) -> YearPage:
        """The Year page, every part of it laid open too."""

    def listing(self, name: str, progress: Callable[[str], None]) -> Listed:
        """A list as it stands; without a name that of coming or going, whichever is at hand."""

    def works(self, progress: Callable[[str], None]) -> Works:
        """Did the dated changes help, and how the range narrowed."""

    def what_if(self, text: str) -> WhatIf:
        """What would come of works typed in words. Raises LogbookError for what can't be read."""

    def effect(self, name: str, text: str) -> Effect | None:
        """What another value in a blank does to what is believed before any reading."""
