"""Values as they stand on a command line: numbers, and words of terminals that are not UTF-8. Light."""

from __future__ import annotations

import argparse
import re

_HALVES = re.compile("[\ud800-\udc7f\udd00-\udfff]")
"""Half of a sign that takes two, as Windows may hand over; it stands for no byte."""


def number(text: str) -> float:
    """A number of a flag, with a decimal point or comma.

    Raises:
        ArgumentTypeError: It is none.
    """
    try:
        return float(text.strip().replace(",", ".").replace("−", "-"))
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is not a number") from None


def readable(word: str) -> str:
    """A word whose bytes are no UTF-8, taken as Latin-1, the commonest other; any other word as it is.

    Python hands such bytes over as lone surrogates, which no log can keep.
    """
    try:
        word.encode("utf-8")
    except UnicodeEncodeError:
        whole = _HALVES.sub("?", word)
        return whole.encode("utf-8", "surrogateescape").decode("latin-1")
    return word
