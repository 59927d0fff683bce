"""The stay's lines by number, line by line: a number means the line it was read with."""

from __future__ import annotations

from collections.abc import Callable

from logbook.results.first_frame import Kept, Line
from logbook.ui.asking import Desk
from logbook.ui.phrases import clock
from logbook.ui.plain_answers import NO_LINES
from logbook.ui.plain_words import lines, spoken

LINES_READ = 20
"""Lines that "lines" reads."""
LOOKED_THROUGH = 200
"""Lines looked through for one that was read. ASSUMED: nobody writes more between reading and mending."""


class PlainLines:
    """Lines as they were read last; what is written since does not move their numbers."""

    def __init__(self, desk: Desk, *, say: Callable[[str], None]) -> None:
        self._desk, self._say = desk, say
        self._read: list[str] = []

    def tell(self) -> None:
        """Reads them, the newest first."""
        latest = self._desk.latest(LINES_READ)
        self._read = [line.event_id for line in latest]
        for said in () if latest else lines((NO_LINES,)):
            self._say(said)
        for n, line in enumerate(latest, start=1):
            self._say(spoken(f"{n}: {clock(line.at, zone=self._desk.zone())} {line.sentence}"))

    def numbered(self, number: int) -> Line | None:
        """The line of a number; None, said so, where there is none. Before they were read: as they stand."""
        latest = {line.event_id: line for line in self._desk.latest(LOOKED_THROUGH)}
        read = self._read or list(latest)[:LINES_READ]
        if not 0 < number <= len(read):
            self._say(f"stop: There is no line {number}; lines reads the {len(read)} there are.")
            return None
        found = latest.get(read[number - 1])
        if found is None:
            self._say(f"stop: Line {number} is not there any more as it was read; lines reads them anew.")
        return found

    def replaced(self, event_id: str, kept: Kept) -> None:
        """A line was put in the place of another: it has its number."""
        if event_id in self._read and kept.event_ids:
            self._read[self._read.index(event_id)] = kept.event_ids[-1]
