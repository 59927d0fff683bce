"""Everything a page needs to draw itself, in one frozen value; and the sizes it is drawn in."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from logbook.records import OwnUnits
from logbook.results.first_frame import Between, EmergencyPage, Head, Line, Past
from logbook.ui.form import FormView
from logbook.ui.looking import Looking

if TYPE_CHECKING:
    from logbook.results.app import (
        Blank,
        CabinPage,
        Effect,
        Evening,
        Expect,
        Going,
        SoFar,
        Track,
        Tried,
        WhatIf,
        Works,
    )
    from logbook.results.year import Listed, YearPage
    from logbook.ui.copying import CopyView

SMALLEST = (60, 20)
"""Columns and rows below which only the head is drawn; it still takes lines."""
LARGE_ROWS = 40
WIDE_COLUMNS = 120
NARROW_BELOW = 80


@dataclass(frozen=True, slots=True)
class Answer:
    """What the answer row says, and its margin word ("reads", "saved", "back", "asks", "stop")."""

    word: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Writing:
    """The writing line as it stands. ``caret`` counts characters."""

    is_open: bool = False
    text: str = ""
    caret: int = 0
    changing: bool = False
    word: str = ""
    """Its margin word, where that is neither "write" nor "change"."""
    offered: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """One moment of the app. ``stale`` names the answers that are being reckoned anew."""

    width: int
    height: int
    now: datetime
    zone: tzinfo
    page: str
    head: Head
    units: OwnUnits = field(default_factory=OwnUnits)
    writing: Writing = Writing()
    answer: Answer | None = None
    latest: tuple[Line, ...] = ()
    past: Past = field(default_factory=Past)
    expect: Expect | None = None
    evening: Evening | None = None
    tried: Tried | None = None
    track: Track | None = None
    emergency: EmergencyPage = field(default_factory=EmergencyPage)
    form: FormView | None = None
    so_far: SoFar | None = None
    described: bool = True
    cabin: CabinPage | None = None
    works: Works | None = None
    work: str = ""
    """The work on the cabin laid open, by its name."""
    going: Going | None = None
    under: str = ""
    """The page a list lies over."""
    year: YearPage | None = None
    year_part: str = ""
    """The part of the Year page laid open."""
    listed: Listed | None = None
    list_asked: str = ""
    """The list asked for by name; "" for that of coming or going."""
    what_if: WhatIf | None = None
    blanks: tuple[Blank, ...] = ()
    left_out: tuple[Between, ...] = ()
    """What is not learned from."""
    paper: tuple[tuple[str, str], ...] = ()
    """What can be done with paper: (name, a sentence)."""
    copy: CopyView | None = None
    """The sheet being copied in."""
    effect: Effect | None = None
    last_night: str = ""
    """In the morning: what was said for last night, and what came."""

    looking: Looking = field(default_factory=Looking)
    """How the Nights page is looked at."""
    chosen: int | None = None
    scrolled: int = 0
    """Rows that the whole reasons of a choice are moved by."""
    stale: frozenset[str] = frozenset()
    troubles: tuple[tuple[str, str], ...] = ()
    """Why an answer is not there: (name, what the desk said)."""

    progress: tuple[tuple[str, str], ...] = ()
    """What slow work is at, for those that have no answer yet: (name, a few words)."""

    @property
    def small(self) -> bool:
        """Below the size at which a page fits."""
        return self.width < SMALLEST[0] or self.height < SMALLEST[1]

    @property
    def narrow(self) -> bool:
        """Under 80 columns: shorter words."""
        return self.width < NARROW_BELOW

    @property
    def wide(self) -> bool:
        """From 120 columns: the long sentences and the wide chart."""
        return self.width >= WIDE_COLUMNS

    @property
    def large(self) -> bool:
        """From 40 rows: the tall chart and the long lists."""
        return self.height >= LARGE_ROWS

    @property
    def words(self) -> int:
        """Columns for words: right of the margin, one kept free at the edge."""
        return self.width - 9

    def is_out(self, start: datetime, end: datetime) -> bool:
        """Whether the readings of this time are left out of learning."""
        middle = start + (end - start) / 2
        return any(span.start <= middle <= span.end for span in self.left_out)

    def waiting(self, name: str, said: str) -> str:
        """What to say while the first answer of that name is awaited."""
        at = dict(self.progress).get(name, "")
        return self.trouble(name) or (f"{said} Now: {at}." if at else said)

    def trouble(self, name: str) -> str:
        """Why the answer of that name is not there, or nothing."""
        return dict(self.troubles).get(name, "")
