"""What a person typed, as a terminal may show it: no sign in it moves the cursor or turns the words round.

Logs keep what was typed, and other logs are merged in; a note must not be able to hide or rewrite a caution.
"""

from __future__ import annotations

KEPT = frozenset("\n\f")
"""Our own: ends of rows, and of sheets."""

CONTROLS = frozenset(map(chr, (*range(0x20), *range(0x7F, 0xA0)))) - KEPT
"""C0, DEL and C1: escape sequences begin with one of them. Source: ECMA-48, from memory."""

TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that turn the direction of what follows. Source: Unicode Standard Annex 9, from memory."""

INSTEAD = "\ufffd"  # replacement character, Unicode

_SHOWN = str.maketrans(dict.fromkeys(CONTROLS | TURNING, INSTEAD))
_AS_JSON = str.maketrans({sign: f"\\u{ord(sign):04x}" for sign in CONTROLS | TURNING})


def shown(text: str) -> str:
    """The text with every such sign replaced."""
    return text.translate(_SHOWN)


def shown_json(text: str) -> str:
    """JSON whose strings hold such signs escaped, so that no value changes."""
    return text.translate(_AS_JSON)
