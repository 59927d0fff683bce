"""Sentences for the ear and the finger: one to a line, signs said as words, nothing drawn.

Screen readers pass over a minus before a number more often than not, and "−9" heard as "9" is a different
night; so below zero is said as a word.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

_END = re.compile(r"(?<!^\d\.)(?<=[.?!])\s+(?=[A-Z0-9\"“])")
_RANGE = re.compile(r"(?<=\d)–(?=\d)")
_MINUS = re.compile(r"−(?=\d)")
_SIGNS = str.maketrans({"−": "-", "–": "-", "—": "-", "…": "...", "“": '"', "”": '"', "’": "'", "·": ","})


def spoken(text: str) -> str:
    """The text as it is said aloud: "−9 °C" is "minus 9 °C", "13–20 °C" is "13 to 20 °C"."""
    flat = " ".join(text.split())
    if flat.startswith("! "):
        flat = f"caution: {flat[2:]}"
    return _MINUS.sub("minus ", _RANGE.sub(" to ", flat)).translate(_SIGNS)


def sentences(text: str) -> Iterator[str]:
    """The sentences of a text, spoken, one by one. "16 Jan. 2 M" is two; "1.5 kg" stays whole."""
    yield from (piece for piece in _END.split(spoken(text)) if piece)


def lines(texts: Iterable[str]) -> Iterator[str]:
    """Every sentence of several texts."""
    for text in texts:
        yield from sentences(text)
