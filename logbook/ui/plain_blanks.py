"""First evening and description line by line: one sentence with its blank at a time, and why it is asked.

The first evening is a talk of its own, each line an answer, until ``later`` or the last blank. The
description is changed by numbered lines, as the log's own are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from logbook.results.app import Blank, Blanks, Standing
from logbook.ui.asking import Desk
from logbook.ui.form import begun_with
from logbook.ui.plain_words import lines, spoken

HOW = (
    "Enter alone: as it stands. why: why it is asked. back: the one before. later: put it off. done: keep it."
)
LATER = "Put off, kept as filled in. first goes on with it."
EMPTY = "empty"
"""Typed for a blank, it empties it."""


class PlainBlanks:
    """Holds the first evening as far as it is filled in."""

    def __init__(self, desk: Desk, *, say: Callable[[str], None]) -> None:
        self._desk = desk
        self._say = say
        self._texts: dict[str, str] = {}
        self._form: Blanks | None = None
        self._at = 0
        self._said_so_far: dict[str, str] = {}

    @property
    def asking(self) -> bool:
        """Whether the first evening is going on: every line is an answer."""
        return self._form is not None

    # First evening

    def first(self) -> None:
        """Begin the first evening, or go on with it."""
        if self._desk.description() is not None:
            self._tell(("It is described already. describe reads it, describe 2 30 changes blank 2.",))
            return
        self._texts = dict(self._desk.first_texts())
        self._form = self._desk.first_evening(self._texts)
        names = [blank.name for blank in self._form.blanks]
        open_ones = [n for n, b in enumerate(self._form.blanks) if b.needed and not self._text(b)]
        self._at = open_ones[0] if open_ones else names.index("floor")
        needed = sum(blank.needed for blank in self._form.blanks)
        self._tell((f"First evening: {needed} numbers are needed, the rest may stay as it stands. {HOW}",))
        self._ask()

    def hear(self, text: str) -> None:
        """An answer to the blank that is asked, or one of the words that move about."""
        assert self._form is not None, "asked only while the first evening goes on"
        word = text.casefold()
        blank = self._form.blanks[self._at]
        if word == "later":
            self.put_off()
            self._tell((LATER,))
        elif word == "back":
            self._go(self._at - 1)
        elif word == "why":
            self._tell((blank.why,))
            self._ask()
        elif word == "done":
            self._keep()
        elif not text:
            self._next()
        else:
            self._fill(blank, text)

    def put_off(self) -> None:
        """Keep what is filled in for later."""
        if self._form is not None:
            self._desk.keep_first_texts(self._texts)
            self._form = None

    def _fill(self, blank: Blank, text: str) -> None:
        if text.casefold() == EMPTY:
            self._texts.pop(blank.name, None)
        else:
            self._texts[blank.name] = _picked(blank, text)
        self._form = self._desk.first_evening(self._texts)
        wrong = self._form.wrong.get(blank.name)
        if wrong:
            self._tell((f"stop: {wrong}",))
            self._ask()
            return
        self._desk.keep_first_texts(self._texts)
        self._so_far()
        self._next()

    def _so_far(self) -> None:
        """What is answered already, once the numbers are enough and whenever they change."""
        assert self._form is not None, "as above"
        needed = {b.name: self._text(b) for b in self._form.blanks if b.needed}
        if self._form.enough and needed != self._said_so_far:
            self._said_so_far = needed
            got = self._desk.so_far({b.name: self._text(b) for b in self._form.blanks})
            if got is not None:
                self._tell((f"so far: {got.cools}", got.evening, got.note))

    def _next(self) -> None:
        assert self._form is not None, "as above"
        if self._at == len(self._form.blanks) - 1:
            self._keep()
        else:
            self._go(self._at + 1)

    def _go(self, to: int) -> None:
        assert self._form is not None, "as above"
        self._at = min(max(0, to), len(self._form.blanks) - 1)
        self._ask()

    def _keep(self) -> None:
        assert self._form is not None, "as above"
        form = self._form
        for n, blank in enumerate(form.blanks):
            missing = blank.needed and not self._text(blank)
            if missing or blank.name in form.wrong:
                why = form.wrong.get(blank.name) or "This number is needed; the others may stay empty."
                self._tell((f"stop: {why}",))
                self._go(n)
                return
        texts = {b.name: self._text(b) for b in form.blanks if self._text(b).strip()}
        kept = self._desk.begin(texts)
        self._form = None
        self._tell((f"saved: {kept.sentence}", "Type tonight for the first suggestion."))

    def _ask(self) -> None:
        assert self._form is not None, "as above"
        blank = self._form.blanks[self._at]
        word = "must" if blank.needed else "may"
        self._say(spoken(f"{word}: {_sentence(blank, self._text(blank))}"))
        if blank.choices:
            self._say(spoken(f"One of: {', '.join(blank.choices)}."))

    def _text(self, blank: Blank) -> str:
        return self._texts.get(blank.name, blank.text)

    # Description

    def describe(self, number: int | None = None, text: str | None = None) -> None:
        """The description's blanks by number; one of them, why it is asked; or another value for it."""
        blanks = self._desk.blanks()
        if not blanks:
            self._tell(("Nothing is described yet. first: three numbers, and it answers.",))
        elif number is None:
            for n, blank in enumerate(blanks, start=1):
                self._say(spoken(f"{n}: {_sentence(blank, blank.text)}"))
            self._tell(("describe 2 tells why blank 2 is asked; describe 2 30 puts 30 into it.",))
        elif not 0 < number <= len(blanks):
            self._say(f"stop: There are {len(blanks)} blanks; describe reads them.")
        elif text is None:
            self._why(blanks[number - 1], number)
        else:
            self._change(blanks[number - 1], text)

    def _why(self, blank: Blank, number: int) -> None:
        self._say(spoken(_sentence(blank, blank.text)))
        self._tell((blank.why,))
        if blank.choices:
            self._say(spoken(f"One of: {', '.join(blank.choices)}."))
        self._say(
            f"describe {number} and a value changes it from now on; describe {number} {EMPTY} empties it."
        )

    def _change(self, blank: Blank, text: str) -> None:
        heard = self._desk.read_blank(blank.name, "" if text.casefold() == EMPTY else _picked(blank, text))
        if heard.standing is not Standing.READS:
            self._tell((f"stop: {heard.sentence}", "Nothing was changed."))
            return
        effect = self._desk.effect(blank.name, heard.text)
        kept = self._desk.keep_blank(heard)
        self._tell((f"saved: {kept.sentence}", *((effect.sentence,) if effect and effect.sentence else ())))

    def _tell(self, texts: Iterable[str]) -> None:
        for said in lines(texts):
            self._say(said)


def _picked(blank: Blank, text: str) -> str:
    """What was typed; where there are words to choose from, the one it begins or one of its words does."""
    if not blank.choices or text in blank.choices:
        return text
    same = [choice for choice in blank.choices if choice.casefold().startswith(text.casefold())]
    return same[0] if len(same) == 1 else begun_with(text, blank.choices) or text


def _sentence(blank: Blank, text: str) -> str:
    """The sentence with what stands in its blank."""
    said = " ".join(part for part in (blank.before, text or "(empty)", blank.after) if part)
    return said if said.endswith((".", "?")) else f"{said}."
