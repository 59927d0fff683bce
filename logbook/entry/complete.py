"""The rest of a word being typed: the owner's own words first."""

from __future__ import annotations

import re

from logbook.entry.words import vocabulary
from logbook.setting import Setting

_LAST_WORD = re.compile(r"[^\W\d_]+$")


def complete(text: str, cursor: int, setting: Setting) -> list[str]:
    """Whole words the word before the cursor may become, likeliest first; none where no word is begun.

    Args:
        text: The line so far.
        cursor: Where the caret stands, in characters from the start.
        setting: The owner's species, places and measures.
    """
    before = text[:cursor]
    match = _LAST_WORD.search(before)
    if match is None or re.search(r"(?:^|\s)note\s", before):
        return []
    begun = match.group().lower()
    pieces = tuple(name for name, _ in setting.weights_kg)
    words = vocabulary(species=setting.species, places=setting.places, pieces=pieces)
    return [word for word in words if word.lower().startswith(begun) and word.lower() != begun]
