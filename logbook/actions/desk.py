"""What the app talks to: the log, the lines and the answers behind the quick and slow calls of ``ui.asking``.

The heat model is imported by the slow calls only, so the first screen does not pay for it. Quick calls share
one connection; a slow call, made in a worker thread, opens and closes its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta, tzinfo
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from logbook.actions import standing
from logbook.actions.file_desk import FileDesk
from logbook.actions.left_out import LeftOutDesk
from logbook.actions.opening import Place, clock, place_of
from logbook.actions.own_desk import OwnPages
from logbook.actions.paper_desk import PaperDesk
from logbook.actions.remembered import Remembered
from logbook.actions.setting_now import setting_now
from logbook.actions.year_desk import YearDesk
from logbook.clock_doubt import taken_for_now
from logbook.errors import EntryError, NoDescriptionError
from logbook.records import Description, Entry, Event, How, NewEvent
from logbook.results.first_frame import Head, Heard, Kept, Line, Past
from logbook.setting import Setting
from logbook.store.additions import entries_lately, newest_act
from logbook.store.gone import kept_and_replaced
from logbook.store.log import Log
from logbook.wording import said

if TYPE_CHECKING:
    from logbook.actions.reckoning import Known, NightForecast
    from logbook.actions.typed_lines import TypedLines
    from logbook.results.app import Evening, Expect, LastNight, NightLived, Track, Tried

RECENT = timedelta(days=60)
"""How far back the quick calls look; habits of turning down come from here too."""

STAY_REACH = timedelta(days=14)
"""How far back the stay going on may have begun, for reading lines."""

NIGHT_BEFORE, NIGHT_AFTER = timedelta(hours=5), timedelta(hours=3)
"""How far around a past night its lines belong to it; twice that before it for the air that still stood."""

NOT_DESCRIBED = (
    "Cabin and stove are not described yet.\nc, then Enter: three numbers, and it answers. Lines are kept."
)

DRAFT, LOOK = "draft", "look"

DIFFERS = "(nightload conflicts) "
"""Before a line that two computers changed apart from each other: what to type to see both and settle it."""


@dataclass
class AppDesk(OwnPages, PaperDesk, LeftOutDesk, FileDesk, YearDesk):
    """The app's desk on one log. ``at`` makes the clock stand, as the demo's does."""

    place: Place
    at: datetime | None = None
    _open: Log | None = None
    _remembered: Remembered | None = None
    _forecast: NightForecast | None = None
    _read_last: tuple[object, Known] | None = None
    """What the slow calls read last, all of the log, with its newest act and the minute."""
    _said_in: Setting = field(default_factory=Setting)
    _headed: bool = False
    _told: timedelta = timedelta(0)
    """How far the owner said the time is ahead of the computer's clock; for as long as the app is open."""
    _held: timedelta = timedelta(0)
    """How far the newest record is ahead of a clock that can't be right."""

    # Quick

    def now(self) -> datetime:
        """The time it is taken to be, aware: the clock's, unless that can't be right."""
        return self.machine_time() + self._held

    def machine_time(self) -> datetime:
        """What the clock says, or its owner of it."""
        return self.at or clock() + self._told

    def _look_at_clock(self) -> None:
        """Takes it to be no earlier than the newest record; once a minute, and with every line."""
        if self.at is not None:
            return  # an evening asked for by name: later lines are later
        clock_says = self.machine_time()
        self._held = taken_for_now(clock_says, self._remembers().setting().newest_at) - clock_says

    def zone(self) -> tzinfo:
        """The cabin's time zone."""
        return ZoneInfo(self._setting().zone)

    def description(self) -> Description | None:
        """The description that holds now."""
        versions = self._remembers().descriptions()
        return versions[-1].description if versions else None

    def head(self) -> Head:
        """The head rows as they stand."""
        self._look_at_clock()
        now = self.now()
        setting = self._setting()
        # The first frame goes without: it would pay for the modules. They stand there an instant later.
        matters = self._remembers().matters(now) if self._headed else None
        overdue = self.overdue(matters, setting=setting, now=now) if matters is not None else ()
        self._headed = True
        return standing.head(
            self._recent(),
            self.description(),
            setting=setting,
            now=now,
            clock=None if self.at else self.machine_time(),
            matters=matters,
            overdue=overdue,
        )

    def latest(self, count: int) -> tuple[Line, ...]:
        """The newest lines of this stay, or of the last one, newest first."""
        remembered, setting = self._remembers(), self._setting()
        start = standing.stay_start(self._recent(), now=self.now())
        if start is None and (newest := remembered.newest_by_people()) is not None:
            start = standing.stay_start(self._recent(), now=newest)
        differ = remembered.in_conflict(count, since=start)
        return tuple(
            _line(event, event.entry, setting, differs=event.uuid in differ)
            for event in remembered.latest(count, since=start)
            if event.entry is not None
        )

    def past(self, since: datetime) -> Past:
        """What was measured and done since a time."""
        return standing.past(entries_lately(self._log(), since=since), since, setting=self._setting())

    # Hook for the Nights page and the line-by-line way (ui.asking): one night opened.
    def night(self, bed: datetime, wake: datetime) -> NightLived:
        """What the log has of one past night, from some hours before bed to some after waking."""
        from logbook.results.app import NightLived  # noqa: PLC0415 - after the app's first frame

        since, until = bed - NIGHT_BEFORE, wake + NIGHT_AFTER
        setting = self._setting()
        events = sorted(
            self._log().current_entries(since=since, until=until, logger=False),
            key=lambda e: e.entry.at if e.entry else e.written_at,
        )
        entries = self._log().entries(as_of=until, since=since - NIGHT_BEFORE)
        return NightLived(
            past=standing.past(entries, since - NIGHT_BEFORE, setting=setting),
            lines=tuple(_line(e, e.entry, setting) for e in events if e.entry is not None),
        )

    def read(self, text: str) -> Heard:
        """What a line says, without keeping it."""
        return self._typed_lines().read(text, setting=self._setting(), clock=self.machine_time())

    def read_change(self, event_id: str, text: str) -> Heard:
        """What a line says in the place of another, without keeping it."""
        return self._typed_lines().read_change(event_id, text, setting=self._setting())

    def answer(self, heard: Heard, key: str) -> Heard:
        """The same line with its question answered."""
        return self._typed_lines().answer(heard, key)

    def keep(self, heard: Heard) -> Kept:
        """Keep a line that reads, or do what it asks for."""
        kept, entries, ahead = self._typed_lines().keep(heard)
        if not entries:
            return kept
        self._told += ahead
        self._look_at_clock()
        return replace(kept, leaves=self._left_by(entries))

    def edit(self, event_id: str, heard: Heard) -> Kept:
        """Replace a line by another."""
        self._refuse_if_changed(event_id)
        return self._typed_lines().edit(event_id, heard)

    def remove(self, event_id: str) -> Kept:
        """Leave a line out."""
        self._refuse_if_changed(event_id)
        return self._typed_lines().remove(event_id)

    def undo(self) -> Kept:
        """Take back the last act."""
        return self.turned(self._typed_lines().undo)

    def redo(self) -> Kept:
        """Bring back what was taken back last."""
        return self.turned(self._typed_lines().redo)

    def skip(self, name: str) -> Kept:
        """Skip the turn-down: a note says so, and undo takes it back."""
        entry = Entry(at=self.now(), note=standing.SKIPPED)
        kept = self._log().add([NewEvent(entry=entry, zone=self._setting().zone, line=f"note {entry.note}")])
        return Kept(sentence=f"Skipped: {name}.", event_ids=tuple(e.uuid for e in kept))

    def draft(self) -> str:
        """The half-typed line kept from last time."""
        return self._log().kept_here(DRAFT) or ""

    def keep_draft(self, text: str) -> None:
        """Keep a half-typed line for next time."""
        self._log().keep_here(DRAFT, text)

    def look(self) -> str:
        """The look kept from last time."""
        return self._log().kept_here(LOOK) or ""

    def keep_look(self, name: str) -> None:
        """Keep the look for next time."""
        self._log().keep_here(LOOK, name)

    # Slow

    def expect(self, progress: Callable[[str], None]) -> Expect:
        """What follows if nothing more goes in."""
        from logbook.actions.night_answers import expect  # noqa: PLC0415 - the model loads here

        return expect(self._reckoned(progress))

    def tonight(self, progress: Callable[[str], None]) -> Evening:
        """The ranked choices for tonight."""
        from logbook.actions.night_answers import evening  # noqa: PLC0415 - the model loads here

        return evening(self._reckoned(progress))

    def last_night(self) -> LastNight:
        """In the morning: what was said for last night, and what came."""
        from logbook.actions.night_answers import last_night  # noqa: PLC0415 - the model loads here
        from logbook.results.app import LastNight  # noqa: PLC0415 - with it

        return LastNight(sentence=last_night(self._known(), cache=self.place.cache))

    def try_plan(self, text: str) -> Tried | None:
        """What would come of the line being typed, as of the last answer; None when it holds no plan."""
        from logbook.actions.night_answers import tried  # noqa: PLC0415 - the model loads here
        from logbook.entry import read_plan  # noqa: PLC0415 - with it

        forecast = self._forecast or self._reckoned(lambda _: None)
        setting = self._said_in
        try:
            read_plan(text, start=forecast.told.as_of, setting=setting)
        except EntryError:
            return None
        return tried(forecast, lambda start: read_plan(text, start=start, setting=setting))

    def nights(self, progress: Callable[[str | Track], None]) -> Track:
        """The track record; ``progress`` also gets it as it grows, the newest nights first."""
        from logbook.actions.night_answers import track  # noqa: PLC0415 - the model loads here

        return track(
            self._known(),
            cache=self.place.cache,
            progress=lambda done, of: progress(f"night {done + 1} of {of}"),
            so_far=progress,
        )

    # Inside

    def close(self) -> None:
        """Close the log."""
        if self._open is not None:
            self._open.close()

    def _log(self) -> Log:
        if self._open is not None and kept_and_replaced(self._open.connection, self.place.path):
            self._open.close()  # it was said where the old one is kept: from now on the one there now
            self._open = None
        if self._open is None:
            self._open = self._own_log()
        return self._open

    def _own_log(self) -> Log:
        # A log that was taken away while it was open is not begun anew behind the owner's back.
        return self.place.open(create=self._open is None, now=self.machine_time)

    def _typed_lines(self) -> TypedLines:
        from logbook.actions.typed_lines import TypedLines  # noqa: PLC0415 - the parser: not for the first frame

        return TypedLines(self._log(), self.now())

    def _setting(self) -> Setting:
        now = self.now()
        recent = [e for e in self._recent() if e.at >= now - STAY_REACH]
        return replace(self._remembers().setting(), stay_began=standing.stay_start(recent, now=now))

    def _recent(self) -> tuple[Entry, ...]:
        return self._remembers().since(self.now() - RECENT)

    def _remembers(self) -> Remembered:
        log = self._log()
        if self._remembered is None or self._remembered.log is not log:
            self._remembered = Remembered(log)
        return self._remembered

    def _known(self) -> Known:
        from logbook.actions.reckoning import known  # noqa: PLC0415 - after the app's first frame

        with self._own_log() as log:
            self._said_in = setting_now(log)
            if not log.descriptions():
                raise NoDescriptionError(NOT_DESCRIBED)
            now = self.now()
            age = newest_act(log), now.replace(second=0, microsecond=0)
            if self._read_last is None or self._read_last[0] != age:
                self._read_last = None  # before the next is read: they are large
                self._read_last = age, known(log, as_of=now)
            return self._read_last[1]

    def _reckoned(self, progress: Callable[[str], None]) -> NightForecast:
        """The forecast for the log as it is now; kept while neither the log nor the minute changes."""
        from logbook.actions.reckoning import forecast_of  # noqa: PLC0415 - the model loads here

        told = self._known()
        if self._forecast is None or self._forecast.told is not told:
            progress("learning from the readings")
            self._forecast = forecast_of(told, cache=self.place.cache)
        return self._forecast


@contextmanager
def desk_for(log: str | None, *, at: datetime | None = None) -> Iterator[AppDesk]:
    """A desk on a log, closed when done.

    Raises:
        LogFileError: The log can't be read or written.
    """
    desk = AppDesk(place_of(log), at=at)
    desk.description()  # open it before there is a screen to spoil
    try:
        yield desk
    finally:
        desk.close()


def _line(event: Event, entry: Entry, setting: Setting, *, differs: bool = False) -> Line:
    """An entry as a page lists it; ``differs`` where another computer says otherwise."""
    sentence = f"{DIFFERS}{said(entry, setting)}" if differs else said(entry, setting)
    return Line(event_id=event.uuid, at=entry.at, sentence=sentence, typed=_typed(event, setting))


def _typed(event: Event, setting: Setting) -> str:
    """What goes back into the writing line: the line as typed, or for an imported row what it says."""
    typed = event.line if event.how is How.TYPED else ""
    return typed or (said(event.entry, setting) if event.entry else "")
