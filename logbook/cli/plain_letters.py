"""Output where not every sign can be shown: a minus stays a minus, so that no number loses its sign."""

from __future__ import annotations

import codecs

NAME = "nightload-plain"
"""Name of the error handler, for ``stream.reconfigure(errors=NAME)`` after ``register()``."""

LIKE = {"−": "-", "–": "-", "—": "-", "°": "", "→": "->", "²": "2", "³": "3", "·": ".", "…": "...", "’": "'"}
LIKE |= {"▆": "=", "\u00a0": " "}
LIKE |= dict.fromkeys("─━", "-") | dict.fromkeys("│┃", "|") | dict.fromkeys("┌┐└┘├┤┬┴┼", "+")
"""What stands for a sign that can't be shown; anything else becomes a question mark."""


def register() -> None:
    """Make the handler known."""
    codecs.register_error(NAME, _plain)


def _plain(error: UnicodeError) -> tuple[str | bytes, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(LIKE.get(sign, "?") for sign in error.object[error.start : error.end]), error.end
