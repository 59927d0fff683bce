"""Rows to the terminal: the one widget of the app."""

from __future__ import annotations

from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from logbook.ui.cells import Role, Row, Span
from logbook.ui.looks import LAMPLIGHT, LOOKS, Look


@lru_cache(maxsize=256)
def style_of(look_name: str, role: Role, tint: bool, caret: bool) -> Style:
    """The terminal style of a role in a look."""
    look = next(look for look in LOOKS if look.name == look_name)
    ink = look.inks[role]
    ground = (look.tint if tint else look.paper) or "default"
    colour = ink.colour or "default"
    if caret and look.full_colour:
        colour, ground = ground, colour
    return Style(
        color=colour,
        bgcolor=ground,
        bold=ink.bold,
        dim=ink.dim,
        underline=ink.underline,
        reverse=caret and not look.full_colour,
    )


def strip_of(row: Row, look: Look) -> Strip:
    """One row as Textual draws it."""
    return Strip([Segment(s.text, style_of(look.name, s.role, s.tint, s.caret)) for s in row if s.text])


class Sheet(Widget):
    """The whole screen as rows of spans. It takes no focus and holds no text of its own."""

    DEFAULT_CSS = "Sheet { width: 100%; height: 100%; background: ansi_default; }"

    class Clicked(Message):
        """The mouse was clicked on a span."""

        def __init__(self, span: Span) -> None:
            super().__init__()
            self.span = span

    class Wheeled(Message):
        """The wheel was turned: -1 up, 1 down."""

        def __init__(self, by: int) -> None:
            super().__init__()
            self.by = by

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[Row] = []
        self._look = LAMPLIGHT

    def show(self, rows: list[Row], look: Look) -> None:
        """Draw rows; only those that differ are painted."""
        before, before_look = self._rows, self._look
        self._rows, self._look = rows, look
        if look is not before_look or len(before) != len(rows):
            self.refresh()
            return
        changed = [y for y, (old, new) in enumerate(zip(before, rows, strict=True)) if old != new]
        if changed:
            self.refresh(*(Region(0, y, self.size.width, 1) for y in changed))

    def render_line(self, y: int) -> Strip:
        """Textual asks for one line at a time."""
        if y >= len(self._rows):
            return Strip([Segment(" " * self.size.width, style_of(self._look.name, Role.INK, False, False))])
        return strip_of(self._rows[y], self._look)

    def on_click(self, event: events.Click) -> None:
        """A click does what the span under it says."""
        if event.y >= len(self._rows):
            return
        left = event.x
        for span in self._rows[event.y]:
            left -= Segment(span.text).cell_length
            if left < 0:
                if span.act:
                    self.post_message(self.Clicked(span))
                return

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        """Up by one row."""
        event.stop()
        self.post_message(self.Wheeled(-1))

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        """Down by one row."""
        event.stop()
        self.post_message(self.Wheeled(1))
