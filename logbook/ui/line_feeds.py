"""Enter as a line feed: what a terminal makes of it until the app has taken it over.

Keys pressed while the app opens wait in the terminal, Enter among them as a line feed: it does what Enter
does. Several lines pasted in that moment come the same way, without the marks a terminal puts around pasted
text later: lines that come at once stand in the writing line as one, to be looked at.
"""

from __future__ import annotations

from collections.abc import Callable

from logbook.ui.keys import ANYWHERE

LINE_FEED = "ctrl+j"
"""What the terminal library calls a line feed."""

BURST_S = 0.1
"""How long a line feed waits for more of its burst. ASSUMED: no hand writes two letters within it."""

Press = Callable[[str, "str | None", float], None]


class LineFeeds:
    """Stands before the keys of one sitting. ``press`` passes them on by ``do``, in order."""

    def __init__(self, do: Press, *, writing: Callable[[], bool]) -> None:
        self._do, self._writing = do, writing
        self._held: list[tuple[str, str | None, float]] = []

    @property
    def holding(self) -> bool:
        """Whether a line feed waits: then ``over`` is to be called ``BURST_S`` after the last key."""
        return bool(self._held)

    def press(self, key: str, character: str | None, at: float) -> None:
        """One key; held while it may be of a burst that began with a line feed."""
        if key in ANYWHERE:
            self.over()
        feed = key == LINE_FEED
        if feed:
            key, character = "enter", "\r"
        if self._held or (feed and self._writing()):
            self._held.append((key, character, at))
        else:
            self._do(key, character, at)

    def over(self) -> None:
        """The burst is over: do what was held, lines that came at once as one line."""
        held, self._held = self._held, []
        several = _of_several_lines(held)
        for n, (key, character, at) in enumerate(held):
            if key != "enter" or not several:
                self._do(key, character, at)
            elif n + 1 < len(held) and held[n + 1][0] != "enter":
                self._do("space", " ", at)


def _of_several_lines(held: list[tuple[str, str | None, float]]) -> bool:
    """Whether more than a single letter, and nothing but text, follows the first line feed."""
    letters = sum(1 for key, character, _ in held if key != "enter" and character and character.isprintable())
    return letters > 1 and letters == sum(key != "enter" for key, _, _ in held)
