"""The words a line that tells a matter begins with; apart from the readers, which load when one is met."""

from __future__ import annotations

import re
from collections.abc import Iterable

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


_NIGHT = (
    "air load loaded damper flue window low high min max out outside inside room temp coals fire heater "
    "tonight forecast last yesterday today woke bed left arrived put lit loft same kindling note band"
)
_OF_THE_NIGHT = frozenset(_NIGHT.split())
_WORD_AND_AMOUNT = re.compile(r"\s*(?:[\d:]+\s+)?([^\W\d_]{3,})\b.*(?:\d|half|full|empty|quarter)")


def may_name_supply(text: str) -> bool:
    """Whether a line may be of a supply and how much of it: cheap, for the names of the log to be read."""
    found = _WORD_AND_AMOUNT.match(text[:LOOKED_AT].casefold())
    return found is not None and found[1] not in _OF_THE_NIGHT


def names_supply(text: str, supplies: Iterable[str]) -> bool:
    """Whether a line names one of the log's supplies, likewise."""
    said = text[:LOOKED_AT].casefold()
    return any(name.casefold() in said for name in supplies)
