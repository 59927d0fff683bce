"""What the quick calls ask of the log at every key, read once for every act written.

How old the log is, is asked each time, before anything is read: what was remembered is never older than the
log. What depends on the clock is taken from it anew.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from datetime import datetime, timedelta
from typing import TypeVar

from logbook.actions.setting_now import setting_now
from logbook.records import DatedDescription, Entry, Event
from logbook.setting import Setting
from logbook.store.conflicts import conflicts_about
from logbook.store.connection import explained
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
        self._latest_count = 0
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

    def latest(self, count: int) -> tuple[Event, ...]:
        """The newest events by people, newest first."""
        age = self._age()
        if self._latest is None or self._latest[0] != age or self._latest_count != count:
            self._latest, self._latest_count = (age, self.log.latest(count)), count
            self._in_conflict = None
        return self._latest[1]

    def in_conflict(self, count: int) -> frozenset[str]:
        """Of the ``latest``: versions of entries that another computer changed otherwise, by their events."""
        shown = self.latest(count)
        if self._in_conflict is None:
            with explained(self.log.path):
                found = conflicts_about(self.log.connection, [event.uuid for event in shown])
            self._in_conflict = frozenset(claim.key for c in found for claim in c.claims)
        return self._in_conflict

    def since(self, since: datetime) -> tuple[Entry, ...]:
        """The entries by people from a time on, later than now too, oldest first."""
        age = self._age()
        read = self._recent
        if read is None or read[0] != age or since < read[1][0]:
            further = since - FURTHER_BACK
            found = sorted(self.log.entries(since=further, logger=False), key=lambda e: e.at)
            read = self._recent = (age, (further, tuple(found)))
        entries = read[1][1]
        return entries[bisect_left(entries, since, key=lambda e: e.at) :]

    def matters(self, now: datetime) -> tuple[Entry, ...]:
        """The entries with a matter of which something may be pending, meant for no later than now, oldest
        first; after a line of this window only that line is read."""
        age, before = self._age(), self._matters
        if before is None or before[0] != age:
            added = None
            if before is not None and before[0][0] < age[0] and before[0][1] == age[1]:
                added = lasting_matters_added(self.log, after=before[0][0])
            if before is None or added is None:
                found = lasting_matters(self.log)
            else:
                found = (*before[1], *added)
            before = self._matters = (age, tuple(sorted(found, key=lambda e: e.at)))
        entries = before[1]
        return entries[: bisect_right(entries, now, key=lambda e: e.at)]

    def _age(self) -> Age:
        acts = self.log.acts_written()
        return acts, int(self.log.connection.execute("PRAGMA data_version").fetchone()[0])
