"""A matter told beside the night: "woke, ash out", "-12/18, people K J"."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime

from logbook.entry.asking import Asker
from logbook.entry.matters.heads import FIRST_WORDS
from logbook.entry.matters.reading import MatterRead, read_matter
from logbook.entry.matters.seen import SIGHTS
from logbook.entry.tokens import tokens_of
from logbook.entry.understood import RefusedError
from logbook.setting import Setting

_PART = re.compile(r"(?:\([^()]*\)|[^,;(]|,(?=\d)|\()+")
"""What stands between separators; a decimal comma and what is in brackets don't part."""

_SHORT = frozenset({"ash", "ashes", "took", "tipped", "dumped", *SIGHTS})
"""What these begin ends at the next separator; what others begin goes on to the end of the line."""


def read_beside(text: str, *, now: datetime, setting: Setting) -> tuple[MatterRead, str] | None:
    """The matter told after the first part of a line, and the line with blanks in its place.

    Only what is read without a doubt: anything that would be asked about or refused stays in the note.
    """
    noted = next((token.start for token in tokens_of(text) if token.word == "note"), len(text))
    for start, end in _later_parts(text):
        if noted < start:
            return None
        tokens = tokens_of(text[start:end])
        if not tokens or tokens[0].word not in FIRST_WORDS:
            continue
        last = end if tokens[0].word in _SHORT else len(text)
        asker = Asker({})
        try:
            read = read_matter(text[start:last], asker, now=now, setting=setting)
        except RefusedError:
            continue
        if read is None or read.matter is None or asker.questions or read.timing.typed:
            continue
        return read, text[:start] + " " * (last - start) + text[last:]
    return None


def _later_parts(text: str) -> Iterator[tuple[int, int]]:
    found = list(_PART.finditer(text))
    for part in found[1:]:
        yield part.start(), part.end()
