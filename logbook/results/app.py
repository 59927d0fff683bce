"""Answers already put into words for whoever shows them: the app's pages, and nothing heavier.

``results.night`` has the bare answers; these carry them with their sentences, whole, in the owner's units
and words (air both ways, every number with its unit). Times are aware. ``actions`` makes them, ``ui``
wraps them to the width at hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING

from logbook.records import Window

if TYPE_CHECKING:
    from logbook.results.night import Choice, NightScore, TonightAnswer


class Standing(StrEnum):
    """How a typed line stands; also the word in its margin."""

    READS = "reads"
    """Understood; Enter keeps it."""
    ASKS = "asks"
    """Understood, with a question open; a letter or Enter answers it."""
    STOP = "stop"
    """Not understood, or impossible; Enter does not keep it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What the desk makes of a line as typed so far.

    ``sentence`` is what was understood, or the question, or what is wrong and what to type instead.
    ``answers`` are the keys that answer a question ("o", "c", "enter"), in the order offered; with
    ``free_text`` a time typed answers it too.
    ``caret`` is where in the text the trouble starts, if it is known.
    ``offered`` is the rest of a word that Tab would take ("ch" after "bir").
    ``token`` is the desk's own: the app hands it back untouched.
    """

    text: str
    standing: Standing
    sentence: str
    answers: tuple[str, ...] = ()
    free_text: bool = False
    caret: int | None = None
    offered: str = ""
    token: object = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What was kept, said back: "21:41 out −11 °C, in 18.0 °C". Empty ids: nothing new was kept.

    ``leaves``: somebody left by it, and a copy of the log is to be made.
    """

    sentence: str
    event_ids: tuple[str, ...] = ()
    leaves: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the log as the Now page lists it, newest first.

    ``sentence`` has no time in it; ``typed`` is what goes back into the writing line to change it.
    """

    event_id: str
    at: datetime
    sentence: str
    typed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pending:
    """Something that waits to be done, most pressing first in ``Head.pending``.

    ``short`` fits 71 characters, ``long`` 111; both end with the keys that settle it.
    ``key`` is "k" (alarms tested), "d" (air turned down) or "" (nothing to press);
    pressing it keeps the line ``done``. ``skippable``: x skips it, by ``Desk.skip(name)``.
    ``first``: it stands in the row ``first`` rather than ``then`` (an alarm, the clock).
    """

    name: str
    short: str
    long: str
    key: str = ""
    done: str = ""
    skippable: bool = False
    first: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The two top rows and what is pending.

    ``inside`` and ``outside`` are the last readings as (said, at): ("19.5 °C", 21:30), or None.
    ``fire`` is the second row: "2 M at 20:55, air 1/2 open (1/2 closed) since then, window shut".
    ``stay`` says how long the stay has run and what of it is not listed: "since arriving at 15:10".
    """

    place: str
    inside: tuple[str, datetime] | None
    outside: tuple[str, datetime] | None
    fire: str
    pending: tuple[Pending, ...] = ()
    window: Window = Window.SHUT
    stay: str = ""
    stay_lines: int = 0
    ready_lines: str = ""
    """What the empty writing line says in place of the hint, if anything."""


@dataclass(frozen=True, slots=True)
class Burning:
    """A stretch of time in which wood burns, or only coals glow (carbon monoxide hours)."""

    start: datetime
    end: datetime
    coals_only: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """What was measured and done, for the chart, in order of time.

    ``loads`` are (at, "2M"); ``air`` (at, per cent open); ``windows`` the changes.
    """

    inside_c: tuple[tuple[datetime, float], ...] = ()
    outside_c: tuple[tuple[datetime, float], ...] = ()
    loads: tuple[tuple[datetime, str], ...] = ()
    air_open_pct: tuple[tuple[datetime, float], ...] = ()
    windows: tuple[tuple[datetime, Window], ...] = ()
    burning: tuple[Burning, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """What is expected around a choice: outdoors (at, °C), and what would burn when. May be empty."""

    outside_c: tuple[tuple[datetime, float], ...] = ()
    burning: tuple[Burning, ...] = ()


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
    ahead: Ahead = Ahead()
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
    """What would come of the plan being typed, and what the chart needs beside it."""

    choice: Choice
    ahead: Ahead = Ahead()


@dataclass(frozen=True, slots=True, kw_only=True)
class NightRow:
    """One past night: ``wood`` in pieces ("2 M", "no fire").

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

    past: Past = Past()
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
class EmergencyPage:
    """The owner's own words, line by line, and when they were last checked; no lines: not written yet."""

    lines: tuple[str, ...] = ()
    checked: str = ""


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
class Between:
    """From one time to another, both included: what is left out of learning."""

    start: datetime
    end: datetime

    def leaves_out(self, other: Between) -> bool:
        """Whether the middle of another lies in this one."""
        return self.start <= other.start + (other.end - other.start) / 2 <= self.end


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
