"""What the desk last said: quick answers at once, slow ones when they come, the old ones meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, timedelta, tzinfo

from logbook.answers import Evening, Expect, Head, Line, Past, Track, Tried
from logbook.errors import LogbookError
from logbook.records import OwnUnits
from logbook.ui.asking import Desk
from logbook.ui.pages.night import night_start

Progress = Callable[[str], None]
Job = Callable[[Progress], object]

LINES_LISTED = 200
"""How many lines of a stay the Now page can reach; a long stay has about 40."""
PAST_BEFORE_CHART = timedelta(hours=12)
"""How far before the chart the air setting that still stands is looked for."""


def one_line(said: object) -> str:
    """An error's text in one line: what is wrong, then what to do."""
    return " ".join(str(said).split())


class Known:
    """Answers and, by name, which are being reckoned anew and which could not be given."""

    def __init__(self) -> None:
        self.zone: tzinfo = UTC
        self.units = OwnUnits()
        self.head = Head(place="", inside=None, outside=None, fire="")
        self.latest: tuple[Line, ...] = ()
        self.past = Past()
        self.expect: Expect | None = None
        self.evening: Evening | None = None
        self.track: Track | None = None
        self.tried: Tried | None = None
        self.stale: set[str] = set()
        self.troubles: dict[str, str] = {}
        self.progress: dict[str, str] = {}
        self._jobs: list[tuple[str, Job]] = []

    def refresh(self, desk: Desk) -> str:
        """Ask for the quick answers anew. What cannot be read stays as it was, and why is returned."""
        try:
            description = desk.description()
            self.units = description.units if description else OwnUnits()
            self.zone = desk.zone()
            self.head = desk.head()
            self.latest = desk.latest(LINES_LISTED)
            start = night_start(desk.now(), zone=self.zone)
            self.past = desk.past(start - PAST_BEFORE_CHART)
        except LogbookError as error:
            return one_line(error)
        return ""

    def want(self, name: str, job: Job) -> None:
        """Ask for a slow answer; an earlier wish of that name that still waits is replaced."""
        if name != "try":
            self.stale.add(name)
        self._jobs = [(n, j) for n, j in self._jobs if n != name] + [(name, job)]

    def take_jobs(self) -> list[tuple[str, Job]]:
        """The wishes since last time."""
        jobs, self._jobs = self._jobs, []
        return jobs

    def arrived(self, name: str, result: object) -> None:
        """A slow answer came."""
        self.stale.discard(name)
        self.troubles.pop(name, None)
        self.progress.pop(name, None)
        if isinstance(result, Expect):
            self.expect = result
        elif isinstance(result, Evening):
            self.evening = result
        elif isinstance(result, Track):
            self.track = result
        elif name == "try":
            self.tried = result if isinstance(result, Tried) else None

    def failed(self, name: str, said: str) -> None:
        """A slow answer could not be given; ``said`` is why and what to do."""
        self.stale.discard(name)
        if name == "try":
            self.tried = None
        else:
            self.troubles[name] = one_line(said)
