"""Frozen answers for the app's Year page and its lists: already in words, in the owner's units.

As ``answers.py`` for the night. Small on purpose: the app's first screen may ask for them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

PARTS = ("ash", "due", "wood", "bring", "damp", "weather", "stays")
"""The parts of the Year page that open, by name, in their order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class YearRow:
    """One row of the Year page, or one block of a part laid open.

    ``word`` is its margin word, ``part`` what Enter opens, ``name`` the first column ("" where there is
    none), ``texts`` what it says, a paragraph each. ``line`` is the line of the log that says it was done
    just now, "" where nothing can be said by one key; with ``more`` its end is still to be written.
    """

    word: str
    part: str
    texts: tuple[str, ...]
    name: str = ""
    line: str = ""
    more: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class YearPart:
    """A part laid open: a sentence over it, then its blocks."""

    name: str
    title: str
    blocks: tuple[YearRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YearPage:
    """The whole page as of a time: rows in the order of their parts, and every part laid open."""

    as_of: datetime
    rows: tuple[YearRow, ...]
    parts: tuple[YearPart, ...]

    def part(self, name: str) -> YearPart | None:
        """A part by its name."""
        return next((part for part in self.parts if part.name == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedLine:
    """One line of a list: its name, a time or "skip" for the margin, its words with why it stands there."""

    name: str
    margin: str
    text: str
    is_open: bool
    safety: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A list as it stands. ``above`` is what it depends on, ``below`` what to know besides.

    ``leaves`` says that the place is left after it, so that the cold to come matters. ``token`` is the desk's
    own: it is handed back untouched to tick a line.
    """

    name: str
    as_of: datetime
    since: str
    lines: tuple[ListedLine, ...]
    above: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    leaves: bool = False
    token: object = None

    @property
    def counts(self) -> str:
        """How far it is: "9 lines, 2 done, 1 skipped"."""
        skipped = sum(line.margin == "skip" for line in self.lines)
        done = sum(not line.is_open for line in self.lines) - skipped
        lines = f"{len(self.lines)} {'line' if len(self.lines) == 1 else 'lines'}"
        said = [lines, *([f"{done} done"] if done else []), *([f"{skipped} skipped"] if skipped else [])]
        return ", ".join(said)


@dataclass(frozen=True, slots=True, kw_only=True)
class ListAct:
    """What an act on a list came to: said back, and the list after it. Empty ids: nothing was written.

    ``settles`` says that it settles something the head rows ask for; ``leaves`` as in ``Kept``.
    """

    sentence: str
    listed: Listed
    event_ids: tuple[str, ...] = ()
    settles: bool = False
    leaves: bool = False
