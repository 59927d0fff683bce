"""A line that may hold a matter: its words without time and note, and what it is read against."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime

from logbook.entry.asking import Asker
from logbook.entry.facts import Tokens, found_number, fraction_of
from logbook.entry.tokens import word_at
from logbook.matters import Matter
from logbook.setting import Setting

SPOKEN = {
    "a": 1.0,
    "an": 1.0,
    "one": 1.0,
    "two": 2.0,
    "three": 3.0,
    "four": 4.0,
    "half": 0.5,
    "quarter": 0.25,
}
"""Numbers as words, in front of what is counted."""

_ARTICLES = frozenset({"a", "an"})
_PARTS = frozenset({"half", "quarter"})
_AND_A_PART = frozenset(("and", "a", part) for part in _PARTS)

MOST_AND_A_HALF = 20.0
"""From this on "and a half" makes no one number: "cost 240 and a half hour" is a sum and time. ASSUMED."""

_PROSE = (
    "i we you he she it they me us him her them this that these those my our his their what who when why how "
    "a an of in at on for into from is was were are be been has have had not no nothing everything something "
    "some any all more less again so too very here there to back up down away off out and but or if as about "
    "over by with than will would can could should must may might came went fell got made"
)
NOT_NAMES = frozenset(_PROSE.split())
"""Words no thing's name begins with: the line is prose then, and stays a note."""

_EDGES = " \t,;:"
_ENDS = " \t,;:.!?"


@dataclass(frozen=True, slots=True, kw_only=True)
class MatterSaid:
    """What a line came to: the matter, the words left for the note, and whether an odd value was kept.

    ``matter`` is None where the owner insists on a value that can't be: then all of it is in the note.
    """

    matter: Matter | None
    note: str = ""
    odd: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MatterLine:
    """The words of a line: ``tokens`` without its time and note; ``at`` is its moment, UTC."""

    text: str
    tokens: Tokens
    setting: Setting
    asker: Asker
    at: datetime

    @property
    def count(self) -> int:
        """How many words there are."""
        return len(self.tokens)

    def word(self, index: int) -> str:
        """The plain word at a place, an empty one outside of the line; without the signs around it."""
        return word_at(self.tokens, index) if index >= 0 else ""

    def words(self, first: int, last: int | None = None) -> tuple[str, ...]:
        """Plain words from one place to another (excluded)."""
        return tuple(token.word for token in self.tokens[first:last])

    def said(self, first: int, last: int | None = None) -> str:
        """The text as typed from one word to another (excluded), without separators at its ends."""
        end = self.count if last is None else last
        if first >= end:
            return ""
        return self.text[self.tokens[first].start : self.tokens[end - 1].end].strip(_EDGES)

    def name(self, first: int, last: int | None = None) -> str:
        """A thing's name as typed, in small letters but for short words in capitals ("AA")."""
        said = " ".join(self.said(first, last).split()).strip(_ENDS)
        capitals = said.isupper() and len(said) > 4
        return " ".join(
            w if w.isupper() and len(w) <= 3 and not capitals else w.lower() for w in said.split()
        )

    def parted(self, index: int) -> bool:
        """Whether a separator, or the end of the line, stands before a word."""
        return index >= self.count or self.tokens[index].parted

    def span(self, first: int = 0, last: int | None = None) -> tuple[int, int]:
        """Where words stand in the text."""
        end = self.count if last is None else max(last, first + 1)
        return self.tokens[first].start, self.tokens[min(end, self.count) - 1].end

    def without(self, first: int) -> MatterLine:
        """The line up to a word."""
        return replace(self, tokens=self.tokens[:first])


def number_at(line: MatterLine, at: int) -> tuple[float, int] | None:
    """A number in front of what is counted, and the words it takes.

    Such as 2, 1/2, 1 1/2, two, a half, half of a, one and a half.
    """
    if (part := _part_at(line, at)) is not None:
        return part
    number = found_number(line.word(at))
    beside = fraction_of(line.word(at + 1)) if number is not None else None
    number = SPOKEN.get(line.word(at)) if number is None else number
    if number is None:
        return None
    if beside and beside[0] < beside[1] and number >= 0 and number.is_integer():
        return number + beside[0] / beside[1], 2
    if line.words(at + 1, at + 4) in _AND_A_PART and number < MOST_AND_A_HALF:
        return number + SPOKEN[line.word(at + 3)], 4
    return number, 1


def _part_at(line: MatterLine, at: int) -> tuple[float, int] | None:
    """A part of one: 1/2, half, a quarter, half of a."""
    first = at + (line.word(at) in _ARTICLES)
    if (part := fraction_of(line.word(first))) is not None:
        return part[0] / part[1], first + 1 - at
    if line.word(first) not in _PARTS:
        return None
    after = first + 1 + (line.word(first + 1) == "of")
    after += line.word(after) in _ARTICLES
    return SPOKEN[line.word(first)], after - at


_ATTACHED = re.compile(r"([+-]?(?:\d+(?:\.\d+)?|\.\d+))([^\d\s.+/-].*)", re.ASCII)


def number_and_unit(line: MatterLine, at: int) -> tuple[float, str, int] | None:
    """A number with the word after it, joined ("14L") or apart ("14 L"): value, word, and words taken.

    The word is empty, and not taken, where none follows or punctuation stands before it.
    """
    match = _ATTACHED.fullmatch(line.word(at))
    if match is not None:
        value = found_number(match.group(1))
        return None if value is None else (value, match.group(2), 1)
    found = number_at(line, at)
    if found is None:
        return None
    after = at + found[1]
    if line.parted(after):
        return found[0], "", found[1]
    return found[0], line.word(after), found[1] + 1


def has_number(line: MatterLine, first: int = 0) -> bool:
    """Whether any word from a place on holds a digit."""
    return any(any(c.isdigit() for c in word) for word in line.words(first))


def known_name(line: MatterLine, at: int, names: tuple[str, ...]) -> tuple[str, int] | None:
    """The longest of the owner's names that stands at a place, and the words it takes."""
    for name in sorted(names, key=lambda n: -len(n.split())):
        parts = tuple(name.lower().split())
        if parts and line.words(at, at + len(parts)) == parts:
            return name, len(parts)
    return None
