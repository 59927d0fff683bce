"""Readings left out of learning: stretches and nights the owner knows are no good (a window stood open).

Nothing is taken from the log. Which spans are left out is a setting, kept as an event like any other, so undo
takes it back; the fit is given the entries without the room's readings of those spans. The evening going on,
the list of nights and every page still have them.
"""

from __future__ import annotations

import json
from abc import abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta, tzinfo
from typing import TYPE_CHECKING

from logbook.errors import LogbookError
from logbook.records import MAIN_PLACE, Entry, Flag
from logbook.results.first_frame import Between, Kept
from logbook.store.connection import explained
from logbook.wording import day_text

if TYPE_CHECKING:
    from logbook.store.log import Log

LEFT_OUT = "left_out"
"""Setting: a JSON list of [start, end], UTC."""


ODD_LOAD_REACH = timedelta(hours=24)
"""For so long after a load kept though it is seldom true the room teaches nothing. ASSUMED."""

HOT_TONIGHT_C = 28.0
"""A room above this is hot, °C: the most the advice allows in sleep."""


def left_out(log: Log) -> tuple[Between, ...]:
    """The spans left out, oldest first; none when what is kept can't be read.

    Where two computers changed the list apart from each other, what either left out is left out, and what
    either took back into use is in use.
    """
    if log.setting(LEFT_OUT) is None:
        return ()
    from logbook.store.sides import sides_of  # noqa: PLC0415 - after the app's first frame where none is

    with explained(log.path):
        told = sides_of(log.connection, LEFT_OUT)
    base = _spans(told.base)
    lists = [_spans(side.value) for side in told.sides]
    gone = {span for span in base if any(span not in one for one in lists)}
    return tuple(sorted(set().union(*lists) - gone, key=lambda s: (s.start, s.end)))


def _spans(kept: str | None) -> frozenset[Between]:
    try:
        found = [
            Between(start=datetime.fromisoformat(start), end=datetime.fromisoformat(end))
            for start, end in json.loads(kept or "[]")
        ]
    except (ValueError, TypeError, RecursionError):
        return frozenset()  # spoilt: learning from all readings is the honest default
    return frozenset(s for s in found if s.start.tzinfo and s.end.tzinfo)


def text_of(spans: Sequence[Between]) -> str:
    """The spans as they are kept."""
    return json.dumps([[s.start.isoformat(), s.end.isoformat()] for s in spans])


def with_span(spans: Sequence[Between], span: Between) -> tuple[Between, ...]:
    """The spans with one more."""
    return tuple(sorted({*spans, span}, key=lambda s: s.start))


def without_span(spans: Sequence[Between], span: Between) -> tuple[Between, ...]:
    """The spans without those that leave this one out."""
    return tuple(s for s in spans if not s.leaves_out(span))


def learned_from(entries: Sequence[Entry], spans: Sequence[Between]) -> tuple[Entry, ...]:
    """The entries without the room's readings of the spans; loads, air, windows and outdoors stay.

    Nothing is learned of temperatures kept though they are seldom true, nor of the day after such a load.

    Args:
        entries: As written.
        spans: Left out, both ends included.
    """
    after_odd = [(e.at, e.at + ODD_LOAD_REACH) for e in entries if e.load_kg and Flag.ODD_VALUE in e.flags]
    left = [(s.start, s.end) for s in spans] + after_odd
    known = [_without_odd(e) for e in entries]
    return tuple(_unread(e) if any(start <= e.at <= end for start, end in left) else e for e in known)


def _without_odd(entry: Entry) -> Entry:
    """Without the temperatures of a line its owner kept though they are seldom true."""
    return replace(_unread(entry), outdoor_c=None) if Flag.ODD_VALUE in entry.flags else entry


def believed_tonight(entry: Entry) -> Entry:
    """What the evening goes by of such a line: a hot room is believed, so that no fire is added to it; a cold
    one, or one that was never read so, is not."""
    hot = entry.indoor_c is not None and entry.indoor_c > HOT_TONIGHT_C
    return entry if hot else _without_odd(entry)


def _unread(entry: Entry) -> Entry:
    if entry.place != MAIN_PLACE:
        return entry
    return replace(entry, indoor_c=None, low_c=None, high_c=None, reset_at=None)


class LeftOutDesk:
    """The desk's part; mixed into it. All quick."""

    @abstractmethod
    def zone(self) -> tzinfo:
        """The cabin's time zone."""

    @abstractmethod
    def _log(self) -> Log:
        """The log, on the screen's thread."""

    def left_out(self) -> tuple[Between, ...]:
        """What is left out of learning."""
        return left_out(self._log())

    def leave_out(self, span: Between) -> Kept:
        """Learn without the room's readings of a span from now on; undo takes it back."""
        spans = self.left_out()
        if any(s.leaves_out(span) for s in spans):
            raise LogbookError(f"{self._said(span)} is left out already.\nv uses it again.")
        self._log().set_setting(LEFT_OUT, text_of(with_span(spans, span)))
        return Kept(sentence=f"Left out of learning: {self._said(span)}. v uses it again.")

    def use_again(self, span: Between) -> Kept:
        """Learn from a span's readings again."""
        spans = self.left_out()
        kept = without_span(spans, span)
        if kept == spans:
            raise LogbookError(f"{self._said(span)} is in use.\nx leaves it out of learning.")
        self._log().set_setting(LEFT_OUT, text_of(kept))
        return Kept(sentence=f"Learned from again: {self._said(span)}.")

    def turned(self, turn: Callable[[], Kept]) -> Kept:
        """Undo or redo, and what it changed here said in words."""
        before = self.left_out()
        kept = turn()
        after = self.left_out()
        for span in before:
            if span not in after:
                return replace(kept, sentence=f"Learned from again: {self._said(span)}.")
        for span in after:
            if span not in before:
                return replace(kept, sentence=f"Left out of learning again: {self._said(span)}.")
        return kept

    def _said(self, span: Between) -> str:
        start, end = (at.astimezone(self.zone()) for at in (span.start, span.end))
        day = day_text(start, zone=getattr(self.zone(), "key", "UTC"))
        return f"{day} {start:%H:%M} to {end:%H:%M}"
