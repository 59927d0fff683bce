"""The words a line that tells a matter begins with; apart from the readers, which load when one is met."""

from __future__ import annotations

from logbook.entry.tokens import tokens_of

_FIRST = (
    "ash ashes took tipped dumped emptied filled swept did changed cleaned replaced looked checked inspected "
    "battery batteries every never stack stacked count meter level brought bring got done skip skipped "
    "people purpose guest guestbook cost droppings dropping sweating condensation frost mould mold leak "
    "splash nest mouse traps trap weather"
)
FIRST_WORDS = frozenset(_FIRST.split())
"""First words; the table of readers has the same, which a test holds them to."""

LOOKED_AT = 400
"""Characters within which such a word stands. ASSUMED: lines of the night have 100."""


def may_tell_matter(text: str) -> bool:
    """Whether a line has a matter's word in it: cheap, and no more than likely."""
    return any(token.word in FIRST_WORDS for token in tokens_of(text[:LOOKED_AT]))
