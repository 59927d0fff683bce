"""Sentences with blanks: one pure object that gets every key, in order, and holds what was filled in.

Tab, ↓ and Enter go to the next blank, ↑ to the one before. A blank with words to choose from takes ← →, the
space bar, or the first letter of a word. No clock, no terminal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from logbook.results.app import Blank

MOST_CHARACTERS = 200
"""Longest text of a blank. ASSUMED: layers of a wall take about 80."""


@dataclass
class Form:
    """Blanks in order, the one being filled in, and what each holds."""

    blanks: tuple[Blank, ...] = ()
    texts: dict[str, str] = field(default_factory=dict)
    at: int = 0
    caret: int = 0

    @property
    def blank(self) -> Blank:
        """The blank being filled in."""
        return self.blanks[self.at]

    def text(self, name: str) -> str:
        """What stands in a blank: as filled in, else what it begins with."""
        return self.texts.get(name, next((b.text for b in self.blanks if b.name == name), ""))

    def filled(self) -> dict[str, str]:
        """Every blank's text by name."""
        return {blank.name: self.text(blank.name) for blank in self.blanks}

    def take(self, blanks: tuple[Blank, ...]) -> None:
        """The same blanks with other words around them, as after another choice of units."""
        self.blanks = blanks
        self.at = min(self.at, max(0, len(blanks) - 1))

    def go(self, to: int) -> None:
        """To another blank, the caret at its end."""
        self.at = min(max(0, to), len(self.blanks) - 1)
        self.caret = len(self.text(self.blank.name))

    def go_to(self, name: str) -> None:
        """To a blank by name."""
        self.go(next((n for n, blank in enumerate(self.blanks) if blank.name == name), self.at))

    def press(self, key: str, character: str | None) -> str:
        """One key: "left" when a blank was left, "last" on Enter in the last one, "typed", or ""."""
        if key == "enter" and self.at == len(self.blanks) - 1:
            return "last"
        if key in ("enter", "tab", "down"):
            self.go(self.at + 1)
            return "left"
        if key in ("up", "shift+tab"):
            self.go(self.at - 1)
            return "left"
        if self.blank.choices:
            return self._choose(key, character)
        return self._write(key, character)

    def paste(self, text: str) -> None:
        """Put text in at the caret; breaks become blanks."""
        clean = "".join(c for c in " ".join(text.split()) if c.isprintable())
        if not self.blank.choices:
            self._insert(clean)

    def _choose(self, key: str, character: str | None) -> str:
        words, name = self.blank.choices, self.blank.name
        here = words.index(self.text(name)) if self.text(name) in words else -1
        if key in ("right", "space") or character == " ":
            self.texts[name] = words[(here + 1) % len(words)]
        elif key == "left":
            self.texts[name] = words[(here - 1) % len(words)] if here >= 0 else words[-1]
        elif key in ("backspace", "delete"):
            self.texts.pop(name, None)
        else:
            picked = begun_with(character, words)
            if picked is None:
                return ""
            self.texts[name] = picked
        return "left"

    def _write(self, key: str, character: str | None) -> str:
        text = self.text(self.blank.name)
        if key in ("left", "right", "home", "end"):
            to = {"left": self.caret - 1, "right": self.caret + 1, "home": 0, "end": len(text)}[key]
            self.caret = min(max(0, to), len(text))
            return ""
        if key == "backspace" and self.caret:
            self.texts[self.blank.name] = text[: self.caret - 1] + text[self.caret :]
            self.caret -= 1
        elif key == "delete":
            self.texts[self.blank.name] = text[: self.caret] + text[self.caret + 1 :]
        elif character and character.isprintable() and key != "backspace":
            self._insert(character)
        else:
            return ""
        return "typed"

    def _insert(self, piece: str) -> None:
        text = self.text(self.blank.name)
        piece = piece[: max(0, MOST_CHARACTERS - len(text))]
        self.texts[self.blank.name] = text[: self.caret] + piece + text[self.caret :]
        self.caret += len(piece)


def begun_with(character: str | None, words: tuple[str, ...]) -> str | None:
    """The choice with a word that begins with a letter; capitals first, they tell the choices apart."""
    if not character or not character.isalpha():
        return None
    for sign in (character.upper(), character.lower()):
        for choice in words:
            if any(word.lstrip("°").startswith(sign) for word in choice.split()):
                return choice
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormView:
    """A form at one moment, for a page to draw."""

    blanks: tuple[Blank, ...]
    texts: Mapping[str, str]
    at: str
    caret: int
    wrong: Mapping[str, str]
    enough: bool
    walls_said: str = ""
