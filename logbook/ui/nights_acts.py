"""What keys do on the Nights page: open a night, mark one to put beside another, filter, scroll, close."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from logbook.ui.asking import Desk
from logbook.ui.looking import Looking, Opened, by_words, shown, stepped
from logbook.ui.view import View

if TYPE_CHECKING:
    from logbook.results.app import NightRow


class NightsActs:
    """Holds how the page is looked at; the session asks it, and puts ``looking`` into each view."""

    def __init__(self, desk: Desk) -> None:
        self.looking = Looking()
        self._desk = desk

    def put_back(self) -> Callable[[], None]:
        """What brings the page back to how it is now."""
        before = self.looking

        def back() -> None:
            self.looking = before

        return back

    def open(self, view: View) -> None:
        """The chosen night laid open; beside the marked one, if another is marked."""
        row = self.chosen(view)
        if row is None or self.looking.opened:
            return
        marked = self._marked(view)
        pair = [marked, row] if marked is not None and marked is not row else [row]
        opened = tuple(Opened(one, self._desk.night(one.score.bed, one.score.wake)) for one in pair)
        self.looking = replace(self.looking, opened=opened, scroll=0)

    def mark(self, view: View) -> None:
        """Mark the chosen night; with another marked already, both are laid open; its own mark goes."""
        row, marked = self.chosen(view), self._marked(view)
        if row is None or self.looking.opened:
            return
        if marked is None:
            self.looking = replace(self.looking, marked=row.score.bed)
        elif marked is row:
            self.looking = replace(self.looking, marked=None)
        else:
            self.open(view)

    def step(self, which: str, view: View) -> None:
        """The next step of a filter: "wood", "cold" or "year"."""
        if view.track is not None and not self.looking.opened:
            self.looking = stepped(self.looking, which, view.track, zone=view.zone)

    def words(self, text: str, view: View) -> bool:
        """Take a typed filter; False when the line is none."""
        found = by_words(self.looking, text, units=view.units)
        if found is not None:
            self.looking = replace(found, opened=())
        return found is not None

    def scroll(self, by: int, most: int) -> None:
        """Move the lines of an open night."""
        self.looking = replace(self.looking, scroll=min(max(0, self.looking.scroll + by), most))

    def close(self) -> bool:
        """Close what is open, and forget the mark; False when nothing was."""
        was_open = bool(self.looking.opened)
        if was_open:
            self.looking = replace(self.looking, opened=(), marked=None, scroll=0)
        return was_open

    def chosen(self, view: View) -> NightRow | None:
        """The night looked at, if any."""
        rows = shown(view.track, self.looking, zone=view.zone) if view.track is not None else ()
        return rows[min(max(0, view.chosen or 0), len(rows) - 1)] if rows else None

    def _marked(self, view: View) -> NightRow | None:
        rows = view.track.rows if view.track is not None else ()
        return next((row for row in rows if row.score.bed == self.looking.marked), None)
