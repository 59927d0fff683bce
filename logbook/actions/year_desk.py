"""The desk's part for the whole year: the Year page, the lists and their ticks. No model is fitted here.

``desk.AppDesk`` builds on it. The log as the whole year sees it takes 0.1 to 0.2 s to make on a long log: a
slow call makes it and it is kept until the log changes. Ticks are quick: they go by the list made already.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from logbook.actions.opening import Place
from logbook.errors import LogbookError
from logbook.setting import local_time

if TYPE_CHECKING:
    from logbook.actions.lists import Lists
    from logbook.records import Entry
    from logbook.results.app import Pending
    from logbook.results.lists import ListAnswer, ListName
    from logbook.results.upkeep import Ahead
    from logbook.results.year import ListAct, Listed, YearPage
    from logbook.setting import Setting
    from logbook.store.log import Log

KEPT_FOR = timedelta(minutes=15)
"""How long what was made of an unchanged log serves: the time goes on, and what is pending with it."""


@dataclass(frozen=True, slots=True)
class _Made:
    """What was made of the log, and of which log."""

    acts: int
    at: datetime
    lists: Lists
    ahead: tuple[Ahead, ...]


@dataclass(frozen=True, slots=True)
class _ListToken:
    """What a list shown was made from."""

    lists: Lists
    answer: ListAnswer


class YearDesk:
    """Mixed into the desk."""

    place: Place
    _made: _Made | None = None
    _overdue: tuple[object, tuple[Pending, ...]] | None = None

    @abstractmethod
    def now(self) -> datetime:
        """The time it is, aware."""

    @abstractmethod
    def machine_time(self) -> datetime:
        """What the clock says."""

    @abstractmethod
    def _log(self) -> Log:
        """The log, on the screen's thread."""

    @abstractmethod
    def _left_by_list(self, listed: Listed) -> bool:
        """Whether a list was ticked to its end by which one leaves."""

    def overdue(self, matters: Sequence[Entry], *, setting: Setting, now: datetime) -> tuple[Pending, ...]:
        """An overdue task for the head rows; looked for anew when upkeep was written, and every day."""
        from logbook.actions import standing_upkeep  # noqa: PLC0415 - after the first frame

        told = standing_upkeep.of_upkeep(matters, now=now)
        key = (told, local_time(now, setting.zone).date(), setting.units)
        if self._overdue is None or self._overdue[0] != key:
            self._overdue = key, standing_upkeep.overdue(told, setting=setting, now=now)
        return self._overdue[1]

    # Slow

    def year(self, progress: Callable[[str], None]) -> YearPage:
        """Slow: the Year page, every part of it laid open too."""
        from logbook.actions.year_page import year_page  # noqa: PLC0415 - when it is turned to

        progress("reading the year")
        made = self._make()
        return year_page(made.lists.house, ahead=made.ahead)

    def listing(self, name: str, progress: Callable[[str], None]) -> Listed:
        """Slow: a list as it stands; without a name the one wanted at the moment, and no packing at the door.

        Raises:
            LogbookError: There is no such list.
        """
        from logbook.care.list_rounds import list_named  # noqa: PLC0415 - when it is turned to

        progress("reading the lists")
        lists = self._make().lists
        return listed(lists, lists.answer(list_named(name) if name else at_the_door(lists)))

    # Quick

    def tick(self, list_: Listed, line: str, *, done: bool) -> ListAct:
        """A line of a list done, or left for the next time; undo takes it back."""
        from logbook.actions.lists import ALARM_LINES, tick_line  # noqa: PLC0415 - with the first list
        from logbook.results.year import ListAct  # noqa: PLC0415 - likewise

        token, now = _token(list_), self.now()
        meant = next(one for one in token.answer.lines if one.name == line)
        zone = token.lists.setting.zone
        noted = tick_line(self._log(), token.answer, meant, done=done, now=now, zone=zone)
        lists = self._gone_on(token.lists, noted.event_ids, now=now)
        shown = listed(lists, lists.answer(token.answer.name))
        return ListAct(
            sentence=noted.sentence,
            listed=shown,
            event_ids=noted.event_ids,
            settles=done and meant.key in ALARM_LINES,
            leaves=bool(noted.event_ids) and self._left_by_list(shown),
        )

    def add_to_list(self, list_: Listed, text: str, *, before: str) -> ListAct:
        """A line of the owner's own put into a list before another ("": at its end); undo takes it out.

        Raises:
            LogbookError: It has no words, or stands there already.
        """
        from logbook.actions.lists import put_line, setting_name  # noqa: PLC0415 - with the first list
        from logbook.results.year import ListAct  # noqa: PLC0415 - likewise
        from logbook.wording.lists import placed_text  # noqa: PLC0415 - likewise

        token = _token(list_)
        name, words = token.answer.name, " ".join(text.split())
        try:
            put_line(self._log(), token.answer, words, before=before or None)
        except LogbookError:
            if not before:
                raise
            put_line(self._log(), token.answer, words)  # that line stands there for this round only
        kept = self._log().setting(setting_name(name)) or ""
        lists = replace(token.lists, kept={**token.lists.kept, name: kept})
        answer = lists.answer(name)
        found = next((n, one) for n, one in enumerate(answer.lines, start=1) if one.name == words)
        said = placed_text(found[1], found[0], wanted=None).rstrip(".")
        return ListAct(sentence=f"{said}. u takes it out.", listed=listed(lists, answer), event_ids=(words,))

    # Inside

    def _make(self) -> _Made:
        """The log as the whole year sees it; what was made last, as long as the log is the same."""
        from logbook.actions.lists import lists_of  # noqa: PLC0415 - when it is turned to
        from logbook.actions.upkeep import written_ahead  # noqa: PLC0415 - likewise

        now, made = self.now(), self._made
        with self.place.open(create=True, now=self.machine_time) as log:  # the worker's own
            acts = log.acts_written()
            if made is not None and made.acts == acts and timedelta(0) <= now - made.at < KEPT_FOR:
                return made
            made = _Made(acts, now, lists_of(log, as_of=now), written_ahead(log, as_of=now))
        self._made = made
        return made

    def _gone_on(self, lists: Lists, event_ids: tuple[str, ...], *, now: datetime) -> Lists:
        """The same with what was written just now: what stays were lived is left to the next slow look."""
        from logbook.house import Told  # noqa: PLC0415 - with the first list

        new = [entry for i in event_ids if (entry := self._log().find(i).entry) is not None]
        house = lists.house
        told = tuple(Told(at=e.at, matter=e.matter, note=e.note or "") for e in new if e.matter)
        house = replace(house, as_of=now, entries=(*house.entries, *new), told=(*house.told, *told))
        return replace(lists, house=house)


def at_the_door(lists: Lists) -> ListName:
    """The list g opens: arriving at the door and in a stay's first hours, then leaving."""
    from logbook.care.list_rounds import usual_list  # noqa: PLC0415 - when it is turned to
    from logbook.results.lists import ListName  # noqa: PLC0415 - likewise

    name = usual_list(lists.house)
    return ListName.ARRIVING if name is ListName.PACKING else name


def listed(lists: Lists, answer: ListAnswer) -> Listed:
    """A list for the app."""
    from logbook.results.lists import ListName  # noqa: PLC0415 - when it is turned to
    from logbook.results.year import Listed, ListedLine  # noqa: PLC0415 - likewise
    from logbook.wording.lists import around_text, line_rows  # noqa: PLC0415 - likewise

    since, above, below = around_text(answer, setting=lists.setting)
    rows = line_rows(answer, setting=lists.setting)
    return Listed(
        name=str(answer.name),
        as_of=answer.as_of,
        since=since,
        lines=tuple(
            ListedLine(name=line.name, margin=margin, text=text, is_open=line.is_open, safety=line.safety)
            for line, (margin, text) in zip(answer.lines, rows, strict=True)
        ),
        above=above,
        below=below,
        leaves=answer.name in (ListName.LEAVING, ListName.AUTUMN),
        token=_ListToken(lists, answer),
    )


def _token(list_: Listed) -> _ListToken:
    if not isinstance(list_.token, _ListToken):
        raise LogbookError("That list was made by somebody else.\nOpen it again.")
    return list_.token
