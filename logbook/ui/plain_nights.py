"""Past nights line by line: the score, the nights in their number, one of them with its lines."""

from __future__ import annotations

import re
from collections.abc import Callable

from logbook.results.app import NightRow, Track
from logbook.ui.asking import Desk
from logbook.ui.own import WOKE_WITHIN
from logbook.ui.phrases import clock
from logbook.ui.plain_answers import NO_NIGHTS, night_title
from logbook.ui.plain_words import lines, spoken

NIGHTS_AT_ONCE = 8
"""Nights told before ``more`` is asked for: about what one listens to in a go. ASSUMED."""

RECKONING = "Reckoning; this can take a minute."


class PlainNights:
    """Holds the track record as last reckoned, and how far it was read."""

    def __init__(self, desk: Desk, *, say: Callable[[str], None]) -> None:
        self._desk = desk
        self._say = say
        self._track: Track | None = None
        self._told = 0

    @property
    def known(self) -> bool:
        """Whether the record was reckoned in this sitting."""
        return self._track is not None

    def tell(self) -> None:
        """Reckon the record, say its score and the newest nights."""
        self._say(RECKONING)
        self._track = self._desk.nights(lambda at: self._progress(at) if isinstance(at, str) else None)
        self._told = 0
        for said in lines(self._track.score if self._track.rows else (NO_NIGHTS,)):
            self._say(said)
        self.more()

    def more(self) -> None:
        """The next nights of the record."""
        rows = self._track.rows if self._track else ()
        start = self._told
        self._told = min(len(rows), start + NIGHTS_AT_ONCE)
        for n in range(start, self._told):
            self._say(spoken(f"{n + 1}: {night_title(rows[n], desk=self._desk)}. {self._notes(rows[n])}"))
        left = len(rows) - self._told
        if left:
            self._say(f"{left} older nights; more reads on.")
        elif rows and start == self._told:
            self._say("These were all nights.")

    def open(self, number: int) -> None:
        """One night, with its lines."""
        row = self.numbered(number)
        if row is None:
            return
        for said in lines((f"{night_title(row, desk=self._desk)}.", self._notes(row))):
            self._say(said)
        zone = self._desk.zone()
        for line in self._desk.night(row.score.bed, row.score.wake).lines:
            self._say(spoken(f"{clock(line.at, zone=zone)} {line.sentence}"))

    def numbered(self, number: int) -> NightRow | None:
        """A night by its number; None, said so, where there is none. Reckons the record if need be."""
        if self._track is None:
            self.tell()
        rows = self._track.rows if self._track else ()
        if not 0 < number <= len(rows):
            self._say(f"stop: There are {len(rows)} nights.")
            return None
        return rows[number - 1]

    def _notes(self, row: NightRow) -> str:
        middle = row.score.bed + (row.score.wake + WOKE_WITHIN - row.score.bed) / 2
        out = any(span.start <= middle <= span.end for span in self._desk.left_out())
        return " ".join((*row.notes, *(("Left out of learning.",) if out else ())))

    def _progress(self, said: str) -> None:
        """Every tenth step is said: silence for a minute would be worse, each step a torrent."""
        step = re.search(r"\d+", said)
        if step is not None and int(step.group()) % 10 == 0:
            self._say(spoken(f"{said}."))
