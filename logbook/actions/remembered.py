"""What the quick calls ask of the log at every key, read once for every act written.

How old the log is, is asked each time, before anything is read: what was remembered is never older than the
log. What depends on the clock is taken from it anew.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import TypeVar

from logbook.actions.setting_now import setting_now
from logbook.records import DatedDescription, Entry, Event
from logbook.setting import Setting
from logbook.store.additions import entries_added, entries_lately
from logbook.store.conflicts import conflicts_about
from logbook.store.connection import explained, times_changed
from logbook.store.log import Log
from logbook.store.long_matters import lasting_matters, lasting_matters_added

Thing = TypeVar("Thing")

FURTHER_BACK = timedelta(days=1)
"""How much further back than asked the newest entries are read; the days before are dropped as the clock goes
on, and read anew when it was put back further than this."""


Age = tuple[int, int]
"""``Log.acts_written``, raised by whatever this window writes; and SQLite's ``data_version``, which changes
when any other connection wrote, be it an older copy put back under the same number of acts."""


Read = tuple[Age, Thing]
"""Something read, and how old the log was then."""

Since = tuple[datetime, tuple[Entry, ...]]
"""Entries in order of their times, and from when on they are all there."""


class Remembered:
    """Reads one log; each thing is kept until something is written. For one thread, as its log is."""

    def __init__(self, log: Log) -> None:
        self.log = log
        self._setting: Read[Setting] | None = None
        self._descriptions: Read[tuple[DatedDescription, ...]] | None = None
        self._recent: Read[Since] | None = None
        self._matters: Read[tuple[Entry, ...]] | None = None
        self._latest: Read[tuple[Event, ...]] | None = None
        self._latest_which: tuple[int, datetime | None] = (0, None)
        self._newest: Read[datetime | None] | None = None
        self._in_conflict: frozenset[str] | None = None
        """Of the latest; looked for anew when they are."""

    def setting(self) -> Setting:
        """What lines are read against; without when the stay began, which hangs on the clock."""
        age = self._age()
        if self._setting is None or self._setting[0] != age:
            self._setting = (age, setting_now(self.log))
        return self._setting[1]

    def descriptions(self) -> tuple[DatedDescription, ...]:
        """The versions of the description that hold."""
        age = self._age()
        if self._descriptions is None or self._descriptions[0] != age:
            self._descriptions = (age, self.log.descriptions())
        return self._descriptions[1]

    def newest_by_people(self) -> datetime | None:
        """The latest time meant of any entry by people."""
        age = self._age()
        if self._newest is None or self._newest[0] != age:
            newest = self.log.latest_entries(1)
            self._newest = (age, newest[0].at if newest else None)
        return self._newest[1]

    def latest(self, count: int, *, since: datetime | None) -> tuple[Event, ...]:
        """The newest events by people from a time on, newest first."""
        age, which = self._age(), (count, since)
        if self._latest is None or self._latest[0] != age or self._latest_which != which:
            self._latest, self._latest_which = (age, self.log.latest(count, since=since)), which
            self._in_conflict = None
        return self._latest[1]

    def in_conflict(self, count: int, *, since: datetime | None) -> frozenset[str]:
        """Of the ``latest``: versions of entries that another computer changed otherwise, by their events."""
        shown = self.latest(count, since=since)
        if self._in_conflict is None:
            with explained(self.log.path):
                found = conflicts_about(self.log.connection, [event.uuid for event in shown])
            self._in_conflict = frozenset(claim.key for c in found for claim in c.claims)
        return self._in_conflict

    def since(self, since: datetime) -> tuple[Entry, ...]:
        """The entries by people from a time on, later than now too, oldest first; after a line of this window
        only that line is read."""
        age = self._age()
        read = self._recent
        if read is None or read[0] != age or since < read[1][0]:
            read = self._recent = (age, self._gone_on(since, age) or self._since_anew(since))
        entries = read[1][1]
        return entries[bisect_left(entries, since, key=lambda e: e.at) :]

    def matters(self, now: datetime) -> tuple[Entry, ...]:
        """The entries with a matter of which something may be pending, meant for no later than now, oldest
        first; after a line of this window only that line is read."""
        age, before = self._age(), self._matters
        if before is None or before[0] != age:
            added = None
            if before is not None and _went_on(before[0], age):
                added = lasting_matters_added(self.log, after=before[0][0])
            if before is None or added is None:
                found = lasting_matters(self.log)
            else:
                found = (*before[1], *added)
            before = self._matters = (age, _by_time(found))
        entries = before[1]
        return entries[: bisect_right(entries, now, key=lambda e: e.at)]

    def _since_anew(self, since: datetime) -> Since:
        further = since - FURTHER_BACK
        return further, _by_time(entries_lately(self.log, since=further, logger=False))

    def _gone_on(self, since: datetime, age: Age) -> Since | None:
        """What was read last with what was added; None where more was done, or it begins too late."""
        if self._recent is None:
            return None
        before, (further, known) = self._recent
        if since < further or not _went_on(before, age):
            return None
        added = entries_added(self.log, after=before[0], since=further)
        return None if added is None else (further, _by_time((*known, *added)))

    def _age(self) -> Age:
        acts = self.log.acts_written()
        with explained(self.log.path):
            return acts, times_changed(self.log.connection)


def _by_time(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    return tuple(sorted(entries, key=lambda e: e.at))


def _went_on(before: Age, now: Age) -> bool:
    """Whether this window, and nobody else, wrote since."""
    return before[0] < now[0] and before[1] == now[1]
