"""The writing line: one plain object that gets every key, in order, and holds the text.

Numbers write. Letters do. Space writes words. The widget only draws what is here, so a burst of keys
that arrives at once comes out whole. Tried the other way: a focused input box lost all but one of the
keys of a burst (focus moves late), and its select-on-focus turned ``-11`` into ``11``.

No clock in here: the time of each key, in seconds of any steady clock, is passed in.
"""

from __future__ import annotations

from logbook.ui.cells import Act
from logbook.ui.keys import ANYWHERE, BOUND, LETTERS_GUARDED, WORDS_BOUND

WORD_GUARD_S = 0.8
"""Two different letters within this are a word; the same twice is once (gloves). ASSUMED from our trials."""
ALT_CHORD_S = 0.05
"""Esc and a letter within this are an Alt chord and are dropped whole. ASSUMED: what terminals send."""

OPENERS = frozenset("0123456789-+.,−–")
READ_ON = {"up": "-1", "down": "1", "pageup": "-3", "pagedown": "3"}
"""Keys that move what is read while a line is open, and by how many rows."""
MOST_CHARACTERS = 8000
"""Longest text held: twice what a line may have to be kept, so that too much is told and not cut off unseen.
Pasted text beyond it is left out. ASSUMED: nobody types that much."""


def pasted(text: str, *, after: str) -> str:
    """What pasted text puts in: a blank for every break, other control characters left out.

    A blank or break at its beginning keeps it apart from what stands before it.
    """
    clean = "".join(c for c in " ".join(text.split()) if c.isprintable())
    apart = clean and text[:1].isspace() and after and not after[-1].isspace()
    return f" {clean}" if apart else clean


class WritingLine:
    """Text, caret, and what each key means. ``press`` answers with the acts to do, in order."""

    def __init__(self) -> None:
        self.text = ""
        self.caret = 0
        self.is_open = False
        self.changing = ""
        """The id of the line being changed, or empty when a new one is written."""
        self.keeps_empty = False
        self.question: tuple[str, ...] = ()
        """The keys that answer the question that stands, if one does."""
        self.aside: str | None = None
        """The text whose question is being answered by a time typed in its place; else None."""
        self._told_keys: tuple[str, ...] = ()
        self._takes_time = False
        self.offered = ""
        self._last_text = ""
        self._letter = ""
        self._letter_at = float("-inf")
        self._escape_at = float("-inf")

    def press(self, key: str, character: str | None, at: float) -> tuple[Act, ...]:
        """What this key means.

        Args:
            key: The key's name ("a", "left", "f5", "alt+t").
            character: What it would write, or None.
            at: When it came, s.
        """
        if key in ANYWHERE:
            self._letter = ""
            return (BOUND[key],)
        if "+" in key and key != "+" and not key.startswith("shift+"):
            return ()  # a chord: never an act, never text (Alt-t carries the character t)
        letter = self._as_letter(character)
        if letter and at - self._escape_at < ALT_CHORD_S:
            return ()
        if key == "escape":
            self._escape_at = at
        if self.question:
            return self._answer(key, letter, character)
        if self.aside is not None:
            return self._tell(key, character)
        if self.is_open:
            return self._write(key, character)
        return self._rest(key, character, letter, at)

    def open_with(self, text: str, *, changing: str = "", keeps_empty: bool = False) -> None:
        """Open the line with a text, caret at its end.

        ``changing`` is the id of the line it replaces; ``keeps_empty``: an empty one is kept too, as a gap.
        """
        self.is_open = True
        self.text = text[:MOST_CHARACTERS]
        self.caret = len(self.text)
        self.changing = changing
        self.keeps_empty = keeps_empty
        self.question, self.aside = (), None
        self.offered = ""

    def paste(self, text: str) -> tuple[Act, ...]:
        """Put pasted text in at the caret."""
        clean = pasted(text, after=self.text[: self.caret] if self.is_open else "")
        if not clean:
            return ()
        if not self.is_open:
            self.open_with("")
        self.question = ()
        self._insert(clean)
        if self.aside is not None:
            return (Act("telling"),)
        return (Act("typed"),)

    def close(self) -> None:
        """Close the line; ↑ in an empty line brings its text back."""
        if self.written.strip():
            self._last_text = self.written
        self.is_open = False
        self.text = ""
        self.caret = 0
        self.changing = ""
        self.keeps_empty = False
        self.question, self.aside = (), None
        self.offered = ""

    def ask(self, answers: tuple[str, ...], *, takes_time: bool = False) -> None:
        """A question stands: the next key answers it, Esc goes back to the text.

        ``takes_time``: any other letter, digit or sign begins a time that answers it, such as "fri 18:00";
        Enter ends it, Esc goes back to the question.
        """
        self.question = answers
        self._takes_time = takes_time

    @property
    def written(self) -> str:
        """The line itself, also while a time is typed in its place."""
        return self.text if self.aside is None else self.aside

    @property
    def word(self) -> str:
        """What stands before the line while it holds something else; else empty."""
        return "" if self.aside is None else "time"

    def forget_letter(self) -> None:
        """Forget the last letter: what it did can no longer be the start of a word (it was refused)."""
        self._letter = ""

    @staticmethod
    def _as_letter(character: str | None) -> str:
        return character.lower() if character and len(character) == 1 and character.isalpha() else ""

    def _answer(self, key: str, letter: str, character: str | None) -> tuple[Act, ...]:
        pressed = letter or ("enter" if key == "enter" else key)
        if pressed in self.question:
            self.question = ()
            return (Act("answer", pressed),)
        if key in ("escape", "left", "right", "backspace", "home", "end"):
            self.question = ()
            return (Act("typed"),)
        if self._takes_time and character and (character.isalnum() or character in OPENERS):
            self.aside, self._told_keys, self.question = self.text, self.question, ()
            self.text, self.caret = character, 1
            return (Act("telling"),)
        return ()

    def _tell(self, key: str, character: str | None) -> tuple[Act, ...]:
        """A key while a time is typed in answer to a question."""
        if key == "enter":
            told = self.text.strip()
            self._back_from_telling()
            return (Act("answer", told),)
        if key == "escape":
            self.text = ""
        elif not self._move_or_erase(key) and character and character.isprintable():
            self._insert(character)
        if not self.text.strip():
            self._back_from_telling()
        return (Act("telling"),)

    def _back_from_telling(self) -> None:
        """The line again, its question standing."""
        self.text, self.aside, self.question = self.aside or "", None, self._told_keys
        self.caret = len(self.text)

    def _rest(self, key: str, character: str | None, letter: str, at: float) -> tuple[Act, ...]:
        if character == " " or key == "space":
            self.open_with("")
            self._letter = ""
            return (Act("typed"),)
        if character and character in OPENERS:
            self.open_with(character)
            self._letter = ""
            return (Act("typed"),)
        if letter:
            return self._letter_at_rest(letter, character or letter, at)
        self._letter = ""
        act = BOUND.get(key)
        return (act,) if act else ()

    def _letter_at_rest(self, letter: str, character: str, at: float) -> tuple[Act, ...]:
        before, since = self._letter, at - self._letter_at
        self._letter, self._letter_at = letter, at
        if before and since < WORD_GUARD_S:
            if letter == before:
                return ()
            if before not in BOUND or before in LETTERS_GUARDED:
                self._letter = ""
                self.open_with(before + character)
                return (Act("unsay"), Act("typed")) if before in BOUND else (Act("typed"),)
        act = BOUND.get(letter)
        return (act,) if act else ()

    def _write(self, key: str, character: str | None) -> tuple[Act, ...]:
        if key == "enter":
            return self._enter()
        if key == "escape":
            self.close()
            return (Act("closed"),)
        if key == "tab":
            if not self.offered:
                return (Act("all"),)
            self._insert(self.offered)
            self.offered = ""
        elif key == "up" and not self.text and self._last_text:
            self._insert(self._last_text)
        elif key in READ_ON:
            return (Act("read on", READ_ON[key]),)
        elif not self._move_or_erase(key):
            if not character or not character.isprintable():
                return ()
            self._insert(character)
        return (Act("typed"),)

    def _enter(self) -> tuple[Act, ...]:
        said = self.text.strip().lower()
        if not said and not self.keeps_empty:
            self.close()
            return (Act("closed"),)
        if said in WORDS_BOUND and not self.changing:
            self.close()
            return (Act("closed"), WORDS_BOUND[said])
        return (Act("keep"),)

    def _move_or_erase(self, key: str) -> bool:
        """Move the caret or take a character away; False when the key is none of these."""
        if key == "left":
            self.caret = max(0, self.caret - 1)
        elif key == "right":
            self.caret = min(len(self.text), self.caret + 1)
        elif key == "home":
            self.caret = 0
        elif key == "end":
            self.caret = len(self.text)
        elif key == "backspace":
            if self.caret:
                self.text = self.text[: self.caret - 1] + self.text[self.caret :]
                self.caret -= 1
        elif key == "delete":
            self.text = self.text[: self.caret] + self.text[self.caret + 1 :]
        else:
            return False
        return True

    def _insert(self, piece: str) -> None:
        room = MOST_CHARACTERS - len(self.text)
        piece = piece[: max(0, room)]
        self.text = self.text[: self.caret] + piece + self.text[self.caret :]
        self.caret += len(piece)
