"""What the desk last said: quick answers at once, slow ones when they come, the old ones meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta, tzinfo
from functools import cache
from typing import TYPE_CHECKING

from logbook.errors import LogbookError
from logbook.records import OwnUnits
from logbook.results.first_frame import Between, Burning, Head, Line, Past
from logbook.ui.asking import Desk
from logbook.ui.pages.night import night_start

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

Progress = Callable[["str | Track"], None]
Job = Callable[[Progress], object]

WHILE_TYPING = frozenset(("try", "effect"))
"""Answers to a line not yet kept: nothing stands stale meanwhile, and failing is no matter."""

REPORT = "report "
"""So begin the names of reports being written: none is shown on a page, so each says what became of it."""

NOON = 12

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
        self.described = True
        self._blanks: Callable[[], tuple[Blank, ...]] = tuple
        self.left_out: tuple[Between, ...] = ()
        self.so_far: SoFar | None = None
        self.cabin: CabinPage | None = None
        self.works: Works | None = None
        self.work = ""
        self.going: Going | None = None
        self.year: YearPage | None = None
        self.year_part = ""
        self.listed: Listed | None = None
        self.list_asked = ""
        self.what_if: WhatIf | None = None
        self.effect: Effect | None = None
        self.last_night = ""
        self._burned: tuple[Burning, ...] = ()
        self.stale: set[str] = set()
        self.asked: set[str] = set()
        """Slow answers asked for and not come yet."""
        self.troubles: dict[str, str] = {}
        self.progress: dict[str, str] = {}
        self._jobs: list[tuple[str, Job]] = []
        self._wished: dict[str, int] = {}
        self._told: dict[str, int] = {}
        """Of each answer, by number: the newest wish, and the one the answer that came is of."""

    def refresh(self, desk: Desk) -> str:
        """Ask for the quick answers anew. What cannot be read stays as it was, and why is returned."""
        try:
            description = desk.description()
            self.units = description.units if description else OwnUnits()
            self.described = description is not None
            self._blanks = cache(desk.blanks)
            self.left_out = desk.left_out()
            self.zone = desk.zone()
            self.head = desk.head()
            self.latest = desk.latest(LINES_LISTED)
            start = night_start(desk.now(), zone=self.zone)
            self.past = replace(desk.past(start - PAST_BEFORE_CHART), burning=self._burned)
        except LogbookError as error:
            return one_line(error)
        return ""

    def blanks(self) -> tuple[Blank, ...]:
        """What stands in the description's blanks; asked for by the page that shows them, not at first."""
        try:
            return self._blanks()
        except LogbookError:  # the description was refused since: the head says so
            return ()

    def want(self, name: str, job: Job) -> None:
        """Ask for a slow answer; an earlier wish of that name that still waits is replaced."""
        self.asked.add(name)
        wish = self._outdated(name)
        if name not in WHILE_TYPING:
            self.stale.add(name)

        def numbered(progress: Progress) -> object:
            result = job(progress)
            self._told[name] = wish
            return result

        self._jobs = [(n, j) for n, j in self._jobs if n != name] + [(name, numbered)]

    def _outdated(self, name: str) -> int:
        """From now on what comes of an earlier wish is old; the number of the next one."""
        self._wished[name] = self._wished.get(name, 0) + 1
        return self._wished[name]

    def want_page(self, page: str, desk: Desk, *, anew: bool = False) -> None:
        """Ask for what a page shows, if it is not there or ``anew``; what other pages show grows old then."""
        shown: dict[str, tuple[tuple[str, Job, object], ...]] = {
            "nights": (("nights", desk.nights, self.track),),
            "cabin": (("cabin", desk.cabin, self.cabin), ("works", desk.works, self.works)),
            "list": (("list", lambda progress: desk.listing(self.list_asked, progress), self.listed),),
            "list to leave by": (("going", desk.going, self.going),),
            "year": (("year", desk.year, self.year),),
        }
        page = {"year part": "year", "work": "cabin"}.get(page, page)
        if page == "list" and self.listed is not None and self.listed.leaves:
            shown["list"] += shown.pop("list to leave by")
        for owner, parts in shown.items():
            for name, job, known in parts:
                if owner == page and (anew or known is None or name in self.stale):
                    self.want(name, job)
                elif anew and (known is not None or name in self.asked):
                    self._outdated(name)
                    self.stale.add(name)

    def morning(self, now: datetime) -> bool:
        """Whether last night's score is worth saying: in the morning, while somebody is there."""
        return self.described and 4 <= now.astimezone(self.zone).hour < NOON and bool(self.head.stay)

    def take_jobs(self) -> list[tuple[str, Job]]:
        """The wishes since last time."""
        jobs, self._jobs = self._jobs, []
        return jobs

    def arrived(self, name: str, result: object) -> None:
        """A slow answer came; one that was overtaken by a newer wish is shown, but as the old one it is."""
        from logbook.results import app as page  # noqa: PLC0415 - after the first frame

        if self._told.get(name) == self._wished.get(name):
            self.stale.discard(name)
            self.asked.discard(name)
        self.troubles.pop(name, None)
        self.progress.pop(name, None)
        if isinstance(result, page.Expect):
            self.expect = result
            self._burned = result.burned
            self.past = replace(self.past, burning=result.burned)
        elif isinstance(result, page.Evening):
            self.evening = result
        elif isinstance(result, page.Track):
            self.track = result
        elif isinstance(result, page.CabinPage):
            self.cabin = result
        elif isinstance(result, page.Works):
            self.works = result
        elif isinstance(result, page.Going):
            self.going = result
        elif isinstance(result, page.LastNight):
            self.last_night = result.sentence
        else:
            self._arrived_small(name, result)

    def heard(self, name: str, at: str | Track) -> None:
        """What slow work is at, or the part of its answer that is there; a whole one stays meanwhile."""
        if isinstance(at, str):
            self.progress[name] = at
        elif self.track is None or self.track.missing:
            self.track = at

    def _arrived_small(self, name: str, result: object) -> None:
        from logbook.results import app as page  # noqa: PLC0415 - as above

        if name == "try":
            self.tried = result if isinstance(result, page.Tried) else None
        elif name == "effect":
            self.effect = result if isinstance(result, page.Effect) else None
        elif name == "so far":
            self.so_far = result if isinstance(result, page.SoFar) else None
        elif name == "what if":
            self.what_if = result if isinstance(result, page.WhatIf) else None

    def failed(self, name: str, said: str) -> None:
        """A slow answer could not be given; ``said`` is why and what to do."""
        self.stale.discard(name)
        self.asked.discard(name)
        if name in WHILE_TYPING:
            self._arrived_small(name, None)
        elif name == "last night":
            self.last_night = ""
        else:
            self.troubles[name] = one_line(said)
