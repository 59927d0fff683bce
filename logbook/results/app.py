"""Answers already put into words for whoever shows them: the app's pages, and nothing heavier.

``results.night`` has the bare answers; these carry them with their sentences, whole, in the owner's units
and words (air both ways, every number with its unit). Times are aware. ``actions`` makes them, ``ui``
wraps them to the width at hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from logbook.results.first_frame import (
    Ahead,
    Between,
    Burning,
    EmergencyPage,
    Head,
    Heard,
    Kept,
    Line,
    Past,
    Pending,
    Standing,
)

if TYPE_CHECKING:
    from logbook.results.night import Choice, NightScore, TonightAnswer

__all__ = [
    "Ahead",
    "Between",
    "Blank",
    "Blanks",
    "Burning",
    "CabinPage",
    "CoolingLine",
    "Effect",
    "EmergencyPage",
    "Evening",
    "Expect",
    "Going",
    "Head",
    "Heard",
    "Helped",
    "Kept",
    "LastNight",
    "Line",
    "NightLived",
    "NightRow",
    "Past",
    "Pending",
    "SoFar",
    "Standing",
    "Stretch",
    "Track",
    "Tried",
    "WhatIf",
    "Works",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Expect:
    """What follows if nothing more goes in.

    ``short`` fits 71 characters, ``long`` 111.
    """

    as_of: datetime
    bed: datetime
    wake: datetime
    band_c: tuple[float, float]
    choice: Choice
    short: str
    long: str
    ahead: Ahead = field(default_factory=Ahead)
    burned: tuple[Burning, ...] = ()
    """What burned before now, as the model has it from the loads written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LastNight:
    """In the morning: what was said for last night and what came; empty when there is nothing to say."""

    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Evening:
    """Tonight's answer with what the chart needs beside it; ``ahead`` is parallel to the choices.

    ``lines`` are what Enter puts into the writing line for each choice ("1M air 1/3", "" for no fire).
    """

    answer: TonightAnswer
    ahead: tuple[Ahead, ...] = ()
    lines: tuple[str, ...] = ()
    short: str = ""
    """The advice in one row of 71 characters, the choices standing beneath it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What would come of the plan being typed, what the chart needs beside it, and the cautions that hold for
    the answer as a whole."""

    choice: Choice
    ahead: Ahead = field(default_factory=Ahead)
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NightRow:
    """One past night: ``wood`` near bed in pieces ("2 M", "no wood").

    ``notes`` are sentences about it; the first says the range and what came.
    ``foreseen`` is the range as said at bed, (at, 5 %, 50 %, 95 %) in °C, and ``burning`` what was to
    burn when; both empty when they are not kept.
    """

    score: NightScore
    wood: str
    notes: tuple[str, ...] = ()
    outdoor_low_c: float | None = None
    foreseen: tuple[tuple[datetime, float, float, float], ...] = ()
    burning: tuple[Burning, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NightLived:
    """What the log has of one past night: its measurements and deeds for a chart, its lines, oldest first."""

    past: Past = field(default_factory=Past)
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """The past nights, newest first, and the score in sentences.

    ``missing`` older nights are still being reckoned; the score is of those that are there.
    """

    rows: tuple[NightRow, ...]
    score: tuple[str, ...]
    band_c: tuple[float, float]
    missing: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """One blank of the description: what stands in it, the words around it, why it is asked."""

    name: str
    text: str
    before: str
    why: str
    after: str = ""
    choices: tuple[str, ...] = ()
    needed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Blanks:
    """The first evening's blanks as filled in so far: what is wrong by name, and whether it is enough."""

    blanks: tuple[Blank, ...]
    wrong: Mapping[str, str]
    enough: bool
    walls_said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoFar:
    """What the description alone says already, a sentence each; ``evening`` is the first suggestion."""

    cools: str
    evening: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What changing one blank does, a sentence."""

    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingLine:
    """The room without fire: hours from ``start``, °C low, likely and high, at a steady ``outdoor_c``."""

    start: datetime
    hours: tuple[float, ...]
    low_c: tuple[float, ...]
    likely_c: tuple[float, ...]
    high_c: tuple[float, ...]
    outdoor_c: float
    to_c: float
    """The line whose crossing is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Hours with no wood burning, the room read at both ends, °C.

    ``why`` is "steady", "coals at first", or what stood open ("window cracked").
    """

    start: datetime
    end: datetime
    outside_c: float | None
    from_c: float
    to_c: float
    why: str

    @property
    def span(self) -> Between:
        """When it was."""
        return Between(start=self.start, end=self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class CabinPage:
    """What is known of cabin and stove, in sentences by margin word; ``short`` fits 71 characters a row."""

    as_of: datetime
    cools: str
    line: CoolingLine
    known: tuple[tuple[str, str], ...]
    stove: str
    stretches: tuple[Stretch, ...] = ()
    """Hours with no wood burning, newest first, those left out of learning too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """What to know before leaving: sentences by margin word, cautions, the list's open lines in order."""

    as_of: datetime
    known: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...] = ()
    checklist: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Helped:
    """One dated change: ("8 Nov 2025 skirting", "11 % less to 2 % more", "can't tell yet"), and it whole.

    ``paid`` says what it cost and when it has paid for itself, or why that can't be told.
    """

    name: str
    loss: str
    verdict: str
    whole: tuple[str, ...] = ()
    paid: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Works:
    """Did it help: the dated changes, or why there is nothing to compare; how the range narrowed."""

    changes: tuple[Helped, ...]
    said: str = ""
    narrowed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """What would come of works on the cabin, sentence by sentence; ``text`` as typed."""

    text: str
    lines: tuple[str, ...]
