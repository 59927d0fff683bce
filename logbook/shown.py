"""What a person typed, as a terminal may show it: no sign in it moves the cursor or turns the words round.

Logs keep what was typed, and other logs are merged in; a note must not be able to hide or rewrite a caution.
Commands pass everything through here, the app every span of its pages.
"""

from __future__ import annotations

import re

KEPT = frozenset("\n\f")
"""Our own: ends of rows, and of sheets."""

CONTROLS = frozenset(map(chr, (*range(0x20), *range(0x7F, 0xA0)))) - KEPT
"""C0, DEL and C1: escape sequences begin with one of them. Source: ECMA-48, from memory."""

TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that turn the direction of what follows. Source: Unicode Standard Annex 9, from memory."""

BREAKING = frozenset("\u2028\u2029\ufff9\ufffa\ufffb")
"""Ends of lines and notes between lines, which some terminals follow. Source: Unicode, from memory."""

HALVES = frozenset(map(chr, range(0xD800, 0xE000)))
"""Half signs, which no encoding carries."""

INSTEAD = "\ufffd"  # replacement character, Unicode

MOST_MARKS = 8
"""So many marks are shown on one letter; more would cover the rows above. ASSUMED: twice any script's."""

_MARK = (
    "[\u0300-\u036f\u0483-\u0489\u0591-\u05bd\u064b-\u065f\u0e34-\u0e3a\u0e47-\u0e4e"
    "\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff\ufe20-\ufe2f]"
)
"""Marks that stand on a letter: Latin, Cyrillic, Hebrew, Arabic, Thai, all. Source: Unicode, from memory."""
_HEAP = re.compile(f"({_MARK}{{{MOST_MARKS}}}){_MARK}+")

_SHOWN = str.maketrans(dict.fromkeys(CONTROLS | TURNING | BREAKING | HALVES, INSTEAD))
_IN_A_ROW = _SHOWN | str.maketrans(dict.fromkeys("\n\f\t\r\v", " "))
_AS_JSON = str.maketrans({sign: f"\\u{ord(sign):04x}" for sign in CONTROLS | TURNING | BREAKING | HALVES})


def shown(text: str) -> str:
    """The text with every such sign replaced, and no letter under a heap of marks."""
    if text.isascii() and text.isprintable():
        return text
    return _thinned(text.translate(_SHOWN))


def shown_in_row(text: str) -> str:
    """The same for a part of one row: an end of line in it is a blank."""
    if text.isascii() and text.isprintable():
        return text
    return _thinned(text.translate(_IN_A_ROW))


def shown_json(text: str) -> str:
    """JSON whose strings hold such signs escaped, so that no value changes."""
    return text.translate(_AS_JSON)


def _thinned(text: str) -> str:
    """Without the marks beyond the eighth on one letter."""
    return _HEAP.sub(r"\1", text)
