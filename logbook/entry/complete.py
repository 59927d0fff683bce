"""The rest of a word being typed: the owner's own words first."""

from __future__ import annotations

import re

from logbook.entry.matters.heads import FIRST_WORDS
from logbook.entry.tokens import tokens_of
from logbook.entry.words import SPECIES, vocabulary
from logbook.setting import Setting

_LAST_WORD = re.compile(r"[^\W\d_]+$")
_PROSE = re.compile(r"(?:^|\s)(?:note|purpose|guest\s?book:?)\s", re.IGNORECASE)
"""After these words everything is text."""

_NUMBER_BEFORE = re.compile(r"[\d½¼¾⅓⅔]\s*$")
_UNITS = frozenset({"c", "f", "h", "kg", "l", "lb", "m", "w"})
"""After a number these are its unit, whole as they are: "1500 W" is not the wind."""

_WOOD = frozenset({"stack", "stacked", "count", "meter"})
_SUPPLIES = frozenset({"level", "brought", "bring", "got"})
_LISTS = frozenset({"done", "skip", "skipped"})
_UPKEEP = frozenset(
    {"swept", "did", "cleaned", "replaced", "looked", "checked", "inspected", "battery", "every", "never"}
)


def complete(text: str, cursor: int, setting: Setting) -> list[str]:
    """Whole words the word before the cursor may become, likeliest first; none where no word is begun.

    Args:
        text: The line so far.
        cursor: Where the caret stands, in characters from the start.
        setting: The owner's species, places and measures, and the names the log knows.
    """
    before = text[:cursor]
    match = _LAST_WORD.search(before)
    if match is None or _PROSE.search(before):
        return []
    begun = match.group().lower()
    pieces = tuple(name for name, _ in setting.weights_kg)
    if begun in _UNITS | {name.lower() for name in pieces} and _NUMBER_BEFORE.search(before[: match.start()]):
        return []
    words = vocabulary(species=setting.species, places=setting.places, pieces=pieces)
    meant = dict.fromkeys((*_names(before[: match.start()], setting), *words))
    return [word for word in meant if word.lower().startswith(begun) and word.lower() != begun]


def _names(before: str, setting: Setting) -> tuple[str, ...]:
    """Names that may follow the words before, the next word of one begun first; none for the night."""
    head = next((t.word for t in tokens_of(before) if t.word in FIRST_WORDS), "")
    names: tuple[str, ...] = ()
    if head in _WOOD:
        names = (*setting.stacks, setting.species, *sorted(SPECIES))
    elif head in _SUPPLIES:
        names = (*setting.to_bring, *setting.supplies)
    elif head in _LISTS:
        names = (*setting.lists, "packing", "arriving", "leaving", "spring", "autumn")
    elif head in _UPKEEP:
        names = tuple(name for name, _ in setting.tasks)
    going_on = [
        parts[n]
        for parts in (name.split() for name in names)
        for n in range(1, len(parts))
        if before.lower().split()[-n:] == [part.lower() for part in parts[:n]]
    ]
    return (*going_on, *names)
