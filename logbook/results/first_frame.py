"""What the app's first frame and its writing line show, already put into words; ``results.app`` has the rest.

A module of its own because every class costs the first frame a third of a millisecond.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from logbook.records import Window


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
class EmergencyPage:
    """The owner's own words, line by line, and when they were last checked; no lines: not written yet."""

    lines: tuple[str, ...] = ()
    checked: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """From one time to another, both included: what is left out of learning."""

    start: datetime
    end: datetime

    def leaves_out(self, other: Between) -> bool:
        """Whether the middle of another lies in this one."""
        return self.start <= other.start + (other.end - other.start) / 2 <= self.end
