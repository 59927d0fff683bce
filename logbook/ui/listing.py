"""What keys do on a list: choose, tick, skip, add words; the list lies over whatever page was there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logbook.results.app import Heard, Kept, Standing
from logbook.ui.own import NEW_LINE
from logbook.ui.pages.listing import chosen_at
from logbook.ui.view import Answer

if TYPE_CHECKING:
    from logbook.results.year import Listed
    from logbook.ui.session import Session

PAGE = "list"


class Listing:
    """One session's lists; it acts on the session it was made for."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.came_from = "now"

    def open(self, name: str) -> None:
        """Open a list by name; without one that of coming or going, whichever is at hand."""
        session = self.session
        if session.page != PAGE:
            self.came_from = session.page if session.page != "help" else "now"
        if session.known.list_asked != name:
            session.known.list_asked, session.known.listed = name, None
        session.turn_to(PAGE)
        self._choose(session.known.listed)

    def close(self) -> str:
        """The page the list was opened from."""
        return self.came_from

    def arrived(self, listed: Listed) -> None:
        """A list came from the worker: the same line stays chosen wherever it stands now."""
        session, old = self.session, self.session.known.listed
        name = self._name(old)
        session.known.listed = listed
        name = _opened_again(old, listed) or name
        found = next((n for n, line in enumerate(listed.lines) if line.name == name), None)
        if found is not None:
            session.choose_row(found)
        elif old is None or name:
            self._choose(listed)
        known = session.known
        if listed.leaves and "going" not in known.asked and (known.going is None or "going" in known.stale):
            known.want("going", session.desk.going)  # the cold to come belongs to it

    def done(self) -> None:
        """v: done, now; the next line still open is chosen."""
        self._tick(done=True)

    def skip(self) -> None:
        """x: not this time."""
        self._tick(done=False)

    def write(self) -> None:
        """Enter: words for a new line, before the one chosen."""
        listed = self.session.known.listed
        if listed is not None:
            self.session.write_in("", changing=f"{NEW_LINE}{self._name(listed)}")

    open_row = write

    def read(self, text: str) -> Heard:
        """What the words of a new line would come to."""
        listed = self.session.known.listed
        said = f"Enter puts it into {listed.name if listed else 'the list'}. Esc: not."
        return Heard(text=text, standing=Standing.READS, sentence=said)

    def keep(self, text: str) -> Kept:
        """Put a new line into the list."""
        session, listed = self.session, self.session.known.listed
        assert listed is not None, "words are written for a list that stands"
        before = session.line.changing.removeprefix(NEW_LINE)
        act = session.desk.add_to_list(listed, text, before=before)
        session.known.listed = act.listed
        words = " ".join(text.split())
        found = next((n for n, line in enumerate(act.listed.lines) if line.name == words), None)
        if found is not None:
            session.choose_row(found)
        return Kept(sentence=act.sentence, event_ids=act.event_ids)

    def _tick(self, *, done: bool) -> None:
        session, listed = self.session, self.session.known.listed
        name = self._name(listed)
        if listed is None or not name:
            session.answer = Answer("list", "Choose a line of the list first: ↑ ↓.")
            return
        act = session.desk.tick(listed, name, done=done)
        session.known.listed = act.listed
        at = next((n for n, line in enumerate(act.listed.lines) if line.name == name), 0)
        open_ones = [n for n, line in enumerate(act.listed.lines) if line.is_open]
        after = [n for n in open_ones if n > at]
        session.choose_row((after or open_ones or [at])[0])
        session.ticked(act)

    def _choose(self, listed: Listed | None) -> None:
        """The first line still open."""
        lines = listed.lines if listed else ()
        self.session.choose_row(next((n for n, line in enumerate(lines) if line.is_open), 0))

    def _name(self, listed: Listed | None) -> str:
        """The line chosen; "" below the list or where none stands."""
        at = chosen_at(self.session.view())
        return listed.lines[at].name if listed is not None and at < len(listed.lines) else ""


def _opened_again(old: Listed | None, new: Listed) -> str:
    """The line that was done or skipped and is not any more: what u took back is the one to go on with."""
    closed = {line.name for line in old.lines if not line.is_open} if old is not None else set()
    return next((line.name for line in new.lines if line.is_open and line.name in closed), "")
