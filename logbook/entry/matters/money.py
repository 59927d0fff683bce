"""Money and hours: in the owner's own money, whatever sign stands beside it."""

from __future__ import annotations

import re

from logbook.entry.facts import MOST_NUMBER
from logbook.entry.limits import refused
from logbook.entry.matters.line import MatterLine
from logbook.entry.tokens import number_text

HOUR_WORDS = frozenset({"h", "hr", "hrs", "hour", "hours"})

_SIGNS = "€$£¥"
_CURRENCY = "eur euro euros usd dollar dollars gbp quid chf nok sek dkk kr cad aud nzd pln czk"
CURRENCIES = frozenset([*_CURRENCY.split(), *_SIGNS])
"""Words and signs beside a sum. The sum is kept, the currency is the owner's own."""

_SUM = re.compile(rf"([+-]?)[{_SIGNS}]?([+-]?)(\d[\d.,'’]*)[{_SIGNS}]?(?:[.,]?-)?", re.ASCII)
_GROUPED = re.compile(r"\d{1,3}(?:[.,'’]\d{3})+", re.ASCII)


def money_at(line: MatterLine, at: int) -> tuple[float, int] | None:
    """A sum of money and the words it takes: 240, €18.50, 18,50 €, 1,240.

    A group of three figures after a point or comma is thousands: no sum of money has tenths of a cent.

    Raises:
        RefusedError: for less than nothing.
    """
    first = at + 1 if line.word(at) in CURRENCIES else at
    if first >= line.count:
        return None
    # As typed: the plain word has its decimal comma made a point already.
    match = _SUM.fullmatch(line.tokens[first].text.rstrip(".,;:!?"))
    if match is None:
        return None
    figures = match.group(3).rstrip(".,")
    try:
        value = float(_plain(figures))
    except ValueError:
        return None
    if value >= MOST_NUMBER:
        return None
    if "-" in match.group(1) + match.group(2):
        raise refused(
            f"A cost of {number_text(-value)} can't be.",
            "Type what it took, 0 for nothing.",
            line.span(first, first + 1),
        )
    taken = first + 1 - at
    if line.word(at + taken) in CURRENCIES:
        taken += 1
    return value, taken


def _plain(figures: str) -> str:
    if _GROUPED.fullmatch(figures):
        return re.sub(r"[.,'’]", "", figures)
    figures = re.sub(r"['’]", "", figures)
    last = max(figures.rfind("."), figures.rfind(","))
    if last < 0:
        return figures
    whole = re.sub(r"[.,]", "", figures[:last])
    return f"{whole}.{figures[last + 1 :]}"
