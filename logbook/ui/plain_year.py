"""Lists and the year line by line: a list with its numbers, a line ticked by number, a part of the year."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from logbook.errors import LogbookError
from logbook.results.app import Going, Kept
from logbook.results.year import Listed, ListedLine, YearPage
from logbook.ui.asking import Desk
from logbook.ui.plain_nights import RECKONING
from logbook.ui.plain_words import lines, spoken

HOW = "done 1 ticks line 1, skip 1 leaves it for the next time, add line and words puts one in."
READING = "Reading the year."


class PlainYear:
    """Holds the list read last: its numbers are the ones that are ticked."""

    def __init__(self, desk: Desk, *, say: Callable[[str], None]) -> None:
        self._desk = desk
        self._say = say
        self._listed: Listed | None = None

    def list(self, name: str) -> None:
        """A list by its name, with numbers; one that is left by with how the room falls."""
        self._listed = listed = self._desk.listing(name, lambda _: None)
        self._tell(listed_said(listed))
        if listed.leaves:
            self._say(RECKONING)
            try:
                going = self._desk.going(lambda _: None)
            except LogbookError as error:  # the list stands all the same
                self._tell(lines((str(error),)))
            else:
                self._tell(going_said(going))

    def tick(self, number: int, *, done: bool) -> Kept | None:
        """A line done or skipped by its number; what is still open is said by ``next_said``."""
        listed = self._the_list()
        if not 0 < number <= len(listed.lines):
            self._say(f"stop: {listed.name} has {len(listed.lines)} lines; list reads them.")
            return None
        act = self._desk.tick(listed, listed.lines[number - 1].name, done=done)
        self._listed = act.listed
        return Kept(sentence=act.sentence, event_ids=act.event_ids)

    def add(self, words: str) -> Kept:
        """A line of the owner's own at the end of the list."""
        act = self._desk.add_to_list(self._the_list(), words, before="")
        self._listed = act.listed
        return Kept(sentence=act.sentence, event_ids=act.event_ids)

    def forget(self) -> None:
        """Something was taken back or brought back: the list is read anew when it is asked for."""
        if self._listed is not None:
            self._listed = self._desk.listing(self._listed.name, lambda _: None)

    def next_said(self) -> None:
        """The first line still open."""
        listed = self._the_list()
        found = next((n for n, line in enumerate(listed.lines, start=1) if line.is_open), None)
        if found is None:
            self._say(f"{listed.name}: nothing left, {listed.counts}.")
        else:
            self._say(spoken(f"next: {found}: {listed.lines[found - 1].text}"))

    def page(self) -> None:
        """The Year page, row by row."""
        self._tell(year_said(self._year()))

    def part(self, name: str) -> None:
        """A part of the year, whole."""
        part = self._year().part(name)
        if part is not None:
            texts = (text for block in part.blocks for text in block.texts)
            self._tell([*lines((part.title,)), *(spoken(text) for text in texts if text.strip())])

    def _year(self) -> YearPage:
        self._say(READING)
        return self._desk.year(lambda _: None)

    def _the_list(self) -> Listed:
        if self._listed is None:
            self._listed = self._desk.listing("", lambda _: None)
        return self._listed

    def _tell(self, rows: Iterable[str]) -> None:
        for row in rows:
            self._say(row)


def listed_said(listed: Listed) -> Iterator[str]:
    """The list: how far it is, what it depends on, every line with its number."""
    yield spoken(f"{listed.name}: {listed.counts} {listed.since}".strip() + ".")
    yield from lines(listed.above)
    for n, line in enumerate(listed.lines, start=1):
        yield spoken(f"{n}{_state(line)}: {line.text}")
    yield from lines((*listed.below, HOW))


def _state(line: ListedLine) -> str:
    if line.is_open:
        return ""
    return ", skipped" if line.margin == "skip" else f", done {line.margin}"


def going_said(going: Going) -> Iterator[str]:
    """How the room falls, what to heed."""
    yield from lines((*(said for _, said in going.known), *going.cautions, *going.assumed))


def year_said(page: YearPage) -> Iterator[str]:
    """Every row of the page with its margin word."""
    for row in page.rows:
        name = f"{row.name}, " if row.name else ""
        yield spoken(f"{row.word}: {name}{' '.join(row.texts)}")
