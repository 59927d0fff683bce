"""Nightload line by line: the same tasks, words and desk as the app, for a screen reader or a pipe.

A line comes in, sentences go out; nothing is drawn and nothing moves. The words are those of the app's one
table (``keys.py``): a letter that acts at rest acts here as a line of its own.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress

from logbook.errors import LogbookError
from logbook.records import Window
from logbook.results.app import Between, Evening, Heard, Kept, Standing
from logbook.ui.asking import Desk
from logbook.ui.cells import Act
from logbook.ui.keys import BOUND, WHAT_IF, WORDS_BOUND
from logbook.ui.own import WOKE_WITHIN
from logbook.ui.plain_answers import (
    NO_LINES,
    emergency_said,
    help_said,
    letter_act,
    now_said,
    pending_said,
    setting_for,
    tonight_said,
    tried_said,
)
from logbook.ui.plain_blanks import PlainBlanks
from logbook.ui.plain_lines import PlainLines
from logbook.ui.plain_nights import RECKONING, PlainNights
from logbook.ui.plain_words import lines, spoken
from logbook.ui.plain_year import PlainYear

ASIDE = ("aside", "escape")
"""Typed where a question stands, these put the line aside, as Esc does in the app."""

WELCOME = "Nightload, line by line. Type help for the words, emergency for the emergency page, quit to leave."
ONLY_ON_SCREEN = "That is for the screen only."
NOT_DESCRIBED = "Cabin and stove are not described yet. Type first: three numbers, and it answers."
ON_PAPER = (
    "From a sheet, type each row as a line with its day and time, such as: fri 17:40 -2/3 2s air full. "
    "To print: the command nightload sheet writes the sheets, and print here the emergency page."
)

Say = Callable[[str], None]
_NUMBERED = re.compile(r"(night|why|remove|edit|describe|leave out|use|done|skip)\s+(\d+)(?:\s+(.+))?")


class PlainTalk:
    """One sitting, line by line. ``hear`` takes a line; what is said goes to ``say``, a sentence at a time.

    Args:
        desk: What answers.
        say: Takes one sentence.
        others: Further words, each with what says its answer ("leave", "arrive").
    """

    def __init__(
        self, desk: Desk, *, say: Say, others: Mapping[str, Callable[[], Iterable[str]]] | None = None
    ) -> None:
        self.desk = desk
        self.done = False
        self.lost: list[str] = []
        """Lines that were not kept, as typed."""
        self._say = say
        self._others = dict(others or {})
        self._asked: Heard | None = None
        self._offered: Heard | None = None
        self._changing = ""
        self._evening: Evening | None = None
        self._lines = PlainLines(desk, say=say)
        self._nights = PlainNights(desk, say=say)
        self._blanks = PlainBlanks(desk, say=say)
        self._year = PlainYear(desk, say=say)
        self._told_pending: tuple[str, ...] = ()

    def begin(self) -> None:
        """What is said first: how the room stands, what is pending, the line kept from last time."""
        self._tell(WELCOME)
        self._now()
        if self.desk.description() is None:
            self._tell(NOT_DESCRIBED)
        draft = self.desk.draft()
        if draft:
            with suppress(LogbookError):  # a log that can't be written offers it again next time
                self.desk.keep_draft("")
            self._offer(draft, lead="Kept half typed from last time")

    def hear(self, typed: str) -> None:
        """One line, as typed; an empty one is Enter. What the desk refuses is said, never raised."""
        text = " ".join(typed.split())
        try:
            if self._asked is not None:
                self._answer(text)
            elif self._blanks.asking:
                self._to_the_blank(text)
            elif not text:
                self._enter()
            else:
                self._offered = None
                self._word_or_line(text)
        except LogbookError as error:
            if self._asked is None:
                self._changing = ""  # what is typed next is a line of its own
            self.lost += [text] if text else []
            self._tell(f"stop: {error}")

    def end(self) -> None:
        """The end of what is typed: a line with an open question is kept for next time, and said so."""
        self._blanks.put_off()
        waiting = self._asked or self._offered
        if waiting is not None and not self._changing:
            self.desk.keep_draft(waiting.text)
            self.lost.append(waiting.text)
            self._tell(f'Not kept yet: "{waiting.text}". It is offered again next time.')
        self._tell("All else is kept.")

    # Words

    def _word_or_line(self, text: str) -> None:
        word = text.lower().rstrip(".!") or text
        numbered = _NUMBERED.fullmatch(word)
        if word.isdigit() and self._evening is not None and 0 < int(word) <= len(self._evening.lines):
            self._take(int(word))
        elif numbered:
            self._numbered(numbered.group(1), int(numbered.group(2)), text)
        elif word in self._others:
            self._tell(RECKONING)
            self._tell_rows(spoken(row) for row in self._others[word]() if row.strip())
        elif word == "lines":
            self._lines.tell()
        elif word == "more" and self._nights.known:
            self._nights.more()
        elif word == "first":
            self._blanks.first()
        elif word == "describe":
            self._blanks.describe()
        elif word.startswith("add line "):
            self._said("saved", self._year.add(text[len("add line ") :]))
        elif word.startswith("try "):
            self._try(text[4:])
        elif word.startswith(WHAT_IF):
            self._what_if(text[len(WHAT_IF) :].strip(" :?"))
        elif act := WORDS_BOUND.get(word) or letter_act(text):
            self._do(act)
        else:
            self._commit(self.desk.read(text))

    def _to_the_blank(self, text: str) -> None:
        """A line of the first evening; the emergency page and leaving are never out of reach."""
        word = text.casefold()
        if word in ("quit", "q"):
            self._blanks.put_off()
            self._quit()
        elif word in ("!", "emergency"):
            self._emergency()
        else:
            self._blanks.hear(text)

    def _learn(self, number: int, *, without: bool) -> None:
        """Leave a night out of learning, or use it again."""
        row = self._nights.numbered(number)
        if row is not None:
            span = Between(start=row.score.bed, end=row.score.wake + WOKE_WITHIN)
            self._said("saved", self.desk.leave_out(span) if without else self.desk.use_again(span))

    def _numbered(self, word: str, number: int, text: str) -> None:
        if word == "night":
            self._nights.open(number)
        elif word == "describe":
            self._blanks.describe(number, " ".join(text.split(maxsplit=2)[2:]) or None)
        elif word in ("done", "skip"):
            self._tick(number, done=word == "done")
        elif word in ("leave out", "use"):
            self._learn(number, without=word == "leave out")
        elif word == "why":
            if self._evening is None:
                self._tonight()
            self._why(number)
        else:
            self._mend(word, number, text.split(maxsplit=2)[2:])

    def _tick(self, number: int, *, done: bool) -> None:
        kept = self._year.tick(number, done=done)
        if kept is not None:
            self._said("saved", kept)
            self._year.next_said()

    def _turned(self, kept: Kept) -> None:
        self._said("back", kept)
        self._year.forget()

    def doing(self) -> dict[str, Callable[[str], None]]:
        """What each act of the key table does here; those that need a screen are not in it."""
        return {
            "record": lambda words: self._commit(self.desk.read(words)),
            "settle": self._settle,
            "window": lambda _: self._window(),
            "undo": lambda _: self._turned(self.desk.undo()),
            "redo": lambda _: self._turned(self.desk.redo()),
            "rest": lambda _: self._now(),
            "skip": lambda _: self._skip(),
            "quit": lambda _: self._quit(),
            "page": self._page,
            "list": self._year.list,
            "year": self._year.part,
            "print": lambda _: self._tell(self.desk.print_emergency().sentence),
        }

    def _do(self, act: Act) -> None:
        do = self.doing().get(act.name)
        if do is None:
            self._tell(ONLY_ON_SCREEN)
        else:
            do(act.argument)

    def _page(self, page: str) -> None:
        pages: dict[str, Callable[[], None]] = {
            "tonight": self._tonight,
            "nights": self._nights.tell,
            "cabin": self._cabin,
            "now": self._now,
            "year": self._year.page,
            "paper": lambda: self._tell(ON_PAPER),
            "help": lambda: self._tell_rows(help_said(self._others, acts=self.doing())),
            "emergency": self._emergency,
        }
        pages.get(page, lambda: self._tell(f"The page {page.title()} can't be read line by line yet."))()

    def _cabin(self) -> None:
        """How it cools and what is known; works have a command of their own."""
        self._tell(RECKONING)
        page = self.desk.cabin(lambda _: None)
        self._tell_rows(spoken(said) for said in (page.cools, *(said for _, said in page.known), page.stove))

    def _what_if(self, works: str) -> None:
        self._tell(RECKONING)
        self._tell_rows(spoken(said) for said in self.desk.what_if(works).lines)

    def _emergency(self) -> None:
        self._tell_rows(emergency_said(self.desk.emergency()))

    def _quit(self) -> None:
        self.done = True

    # Lines

    def _commit(self, heard: Heard) -> None:
        """Keep what reads, ask what asks, say what is wrong with the rest."""
        if heard.standing is Standing.READS:
            kept = self.desk.edit(self._changing, heard) if self._changing else self.desk.keep(heard)
            self._lines.replaced(self._changing, kept)
            self._asked, self._changing = None, ""  # only now: a full disk must not cost the line
            self._said("saved", kept)
        elif heard.standing is Standing.ASKS:
            self._asked = heard
            self._tell(f"asks: {heard.sentence}", self._how_to_answer(heard))
        else:
            self._asked, self._changing = None, ""
            self.lost.append(heard.text)
            self._tell(f"stop: {heard.sentence}", "Nothing is kept of it.")

    @staticmethod
    def _how_to_answer(heard: Heard) -> str:
        keys = ["Enter alone" if key == "enter" else key for key in heard.answers]
        keys = ["the time", *keys] if heard.free_text else keys
        return f"Answer with {', '.join(keys)}, or aside to put the line aside."

    def _answer(self, text: str) -> None:
        heard = self._asked
        assert heard is not None, "asked for only while a question stands"
        key = text.lower() or "enter"
        if key in heard.answers:
            self._commit(self.desk.answer(heard, key))
        elif key in ASIDE:
            self._asked, self._changing = None, ""
            self.lost.append(heard.text)
            self._tell(f'Put aside, nothing kept: "{heard.text}".')
        elif letter_act(text) == BOUND["exclamation_mark"] or key == "emergency":
            self._emergency()
        elif heard.free_text and (told := self.desk.answer(heard, text)).sentence != heard.sentence:
            self._commit(told)
        else:
            self.lost += [text] if text else []
            self._tell(f'The question still stands; "{text}" is not kept.' if text else "It still stands.")
            self._tell(f"asks: {heard.sentence}", self._how_to_answer(heard))

    def _offer(self, text: str, *, lead: str) -> None:
        """Put a text into the line: Enter keeps it, anything else is a new line."""
        self._offered = self.desk.read(text)
        self._tell(f'{lead}: "{text}". {self._offered.standing.value}: {self._offered.sentence}')
        self._tell("Enter alone keeps it; type anything else to let it go.")

    def _enter(self) -> None:
        """Enter alone keeps the line that is offered; at rest it does nothing."""
        if self._offered is not None:
            self._commit(self._offered)
            self._offered = None
        else:
            self._tell("Nothing is offered. Type a line, or help.")

    def _said(self, word: str, kept: Kept) -> None:
        self._tell(f"{word}: {kept.sentence}")
        self._tell_pending(only_new=True)

    def _settle(self, key: str) -> None:
        item = next((item for item in self.desk.head().pending if item.key == key), None)
        if item is None:
            self._tell(f"Nothing waits that {key} would settle.")
        else:
            self._commit(self.desk.read(item.done))

    def _skip(self) -> None:
        item = next((item for item in self.desk.head().pending if item.skippable), None)
        if item is None:
            self._tell("Nothing waits that could be skipped.")
        else:
            self._said("saved", self.desk.skip(item.name))

    def _window(self) -> None:
        shut = self.desk.head().window is Window.SHUT
        self._commit(self.desk.read("window cracked" if shut else "window shut"))

    def _mend(self, word: str, number: int, rest: list[str]) -> None:
        line = self._lines.numbered(number)
        if line is None:
            return
        if word == "remove":
            self._said("saved", self.desk.remove(line.event_id))
        elif not rest:
            self._tell(f'Line {number} was typed: "{line.typed}". Type edit {number} and the new line.')
        else:
            self._changing = line.event_id
            self._commit(self.desk.read_change(self._changing, rest[0]))

    # Answers

    def _now(self) -> None:
        self._tell(*now_said(self.desk))
        self._tell_pending()
        if not self.desk.latest(1):
            self._tell(NO_LINES)

    def _tonight(self) -> None:
        self._tell_pending()
        self._tell(RECKONING)
        self._evening = self.desk.tonight(lambda _: None)
        self._tell_rows(tonight_said(self._evening, setting=setting_for(self.desk)))

    def _take(self, number: int) -> None:
        assert self._evening is not None, "numbers take a choice only while choices stand"
        text = self._evening.lines[number - 1]
        if text:
            self._offer(text, lead="In the line")
        else:
            self._tell("That choice puts nothing in, so there is nothing to keep.")

    def _why(self, number: int) -> None:
        choices = self._evening.answer.choices if self._evening else ()
        if 0 < number <= len(choices):
            self._tell(*choices[number - 1].reasons)
        else:
            self._tell(f"stop: There are {len(choices)} choices.")

    def _try(self, text: str) -> None:
        tried = self.desk.try_plan(text)
        if tried is None:
            self._tell(f'stop: "{text}" holds no load. Type for example: try 2m air 1/3')
        else:
            self._tell_rows(tried_said(tried, setting=setting_for(self.desk)))

    # Inside

    def _tell_pending(self, *, only_new: bool = False) -> None:
        """What waits, most pressing first; after a line only what was not said before."""
        pending = self.desk.head().pending
        self._tell(*(pending_said(p) for p in pending if not only_new or p.name not in self._told_pending))
        self._told_pending = tuple(item.name for item in pending)

    def _tell(self, *texts: str) -> None:
        """Texts, sentence by sentence."""
        self._tell_rows(lines(texts))

    def _tell_rows(self, rows: Iterable[str]) -> None:
        """Rows as they are: a list's number belongs to all of its row."""
        for row in rows:
            self._say(row)
