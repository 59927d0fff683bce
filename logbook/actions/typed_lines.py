"""Lines as the desk reads and keeps them; loaded after the app's first frame, with all that reads a line."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from logbook.actions import lines
from logbook.entry import Understood, answered, clock_set_by, complete, read_line
from logbook.errors import LogbookError
from logbook.records import Entry
from logbook.results.first_frame import Heard, Kept, Standing
from logbook.setting import Setting
from logbook.store.log import Log

_LAST_WORD = re.compile(r"[^\W\d_]+$")


@dataclass(frozen=True, slots=True)
class TypedLines:
    """The desk's lines at one moment; ``now`` is the time it is taken to be."""

    log: Log
    now: datetime

    def read(self, text: str, *, setting: Setting, clock: datetime) -> Heard:
        """What a line says by the computer's clock, without keeping it."""
        setting = lines.with_names(self.log, setting, text)
        return _heard_of(read_line(text, now=clock, setting=setting), setting)

    def read_change(self, event_id: str, text: str, *, setting: Setting) -> Heard:
        """What a line says in the place of another, at that one's time, without keeping it."""
        old, setting = self.log.find(event_id), lines.with_names(self.log, setting, text)
        here = lines.read_in_place_of(old, read_line(text, now=self.now, setting=setting), now=self.now)
        heard = _heard_of(here, setting)
        if heard.standing is not Standing.READS or here.act is not None:
            return heard
        return replace(heard, sentence=lines.said_back(replace(lines.keeping_time(here, old), now=self.now)))

    def answer(self, heard: Heard, key: str) -> Heard:
        """The same line with its question answered."""
        understood = _token(heard)
        return _heard_of(answered(understood, key), understood.setting)

    def keep(self, heard: Heard) -> tuple[Kept, tuple[Entry, ...], timedelta]:
        """Keep a line that reads, or do what it asks for.

        Returns:
            What became of it, the entries kept, and how far it says that the time is ahead of the clock.
        """
        understood = _token(heard)
        if understood.act is not None:
            return _kept(lines.do_act(self.log, understood, now=self.now)), (), timedelta(0)
        kept = _kept(lines.keep(self.log, understood))
        return kept, understood.entries, clock_set_by(understood)

    def edit(self, event_id: str, heard: Heard) -> Kept:
        """Replace a line by another."""
        return _kept(lines.replace_with(self.log, event_id, _token(heard), now=self.now))

    def remove(self, event_id: str) -> Kept:
        """Leave a line out."""
        return _kept(lines.remove(self.log, event_id, now=self.now))

    def undo(self) -> Kept:
        """Take back the last act."""
        return _kept(lines.undo(self.log, now=self.now))

    def redo(self) -> Kept:
        """Bring back what was taken back last."""
        return _kept(lines.redo(self.log, now=self.now))


def _heard_of(understood: Understood, setting: Setting) -> Heard:
    """What was understood of a line, for the app."""
    text = understood.text
    if understood.problem is not None:
        return Heard(
            text=text,
            standing=Standing.STOP,
            sentence=understood.problem.text,
            caret=understood.problem.start,
            token=understood,
        )
    offered = complete(text, len(text), setting)
    rest = _rest_of(text, offered[0]) if offered else ""
    if understood.questions:
        question = understood.questions[0]
        return Heard(
            text=text,
            standing=Standing.ASKS,
            sentence=question.text,
            answers=tuple(a.key for a in question.answers),
            free_text=question.free_text,
            offered=rest,
            token=understood,
        )
    sentence = lines.said_back(understood) if understood.act is None else lines.act_text(understood)
    return Heard(text=text, standing=Standing.READS, sentence=sentence, offered=rest, token=understood)


def _rest_of(text: str, word: str) -> str:
    """What Tab adds: the end of the word begun."""
    begun = _LAST_WORD.search(text)
    return word[len(begun.group()) :] if begun else ""


def _token(heard: Heard) -> Understood:
    if not isinstance(heard.token, Understood):
        raise LogbookError("That line was read by somebody else.\nType it again.")
    return heard.token


def _kept(noted: lines.Noted) -> Kept:
    return Kept(sentence=noted.sentence, event_ids=noted.event_ids)
