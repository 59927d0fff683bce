"""A day in figures alone: which of them is the month differs from land to land, so it is asked about."""

from __future__ import annotations

import re

from logbook.entry.asking import Asker
from logbook.entry.parts import Parts
from logbook.entry.phrases import MONTHS
from logbook.entry.reading import LineRead
from logbook.entry.understood import ENTER, Answer

_WHOLE = re.compile(r"(\d{1,2})[/.](\d{1,2})[/.](?:\d{4}|\d{2})|\d{4}/(\d{1,2})/(\d{1,2})", re.ASCII)
_SHORT = re.compile(r"(\d{1,2})/(\d{1,2})|(\d{1,2})\.(\d{1,2})\.", re.ASCII)
"""With a stroke only where it was read as nothing else: "5/17 18:00" is outside and inside."""


def day_in_figures(read: LineRead, parts: Parts, asker: Asker) -> None:
    """Asks about "16/1 18:00 in 17", which was kept as of today, and "16.1. 18:00 in 17": 16.1 °C outside.

    Two figures alone may be anything: they count before everything else, or beside a clock time.
    """
    phrase = parts.phrase
    if not parts.records_something or (phrase is not None and phrase.names_day):
        return
    by_place = (parts.first, parts.second, parts.lone, *(said for _, said in parts.temperatures))
    numbers = {said.span for said in by_place if said is not None}
    for i, token in enumerate(read.tokens):
        beside = phrase is not None and (i == 0 or 0 <= phrase.start - token.end <= 2)
        match = _WHOLE.fullmatch(token.text) or (_SHORT.fullmatch(token.text) if beside else None)
        span = token.start, token.end
        dotted = span in numbers and "/" not in token.text
        if match is None or not (span in parts.unread or dotted):
            continue
        first, second = (int(part) for part in match.groups() if part)
        month_first = second > 12 or token.text[:4].isdigit()
        day, month = (second, first) if month_first else (first, second)
        if 1 <= month <= 12 and 1 <= day <= 31:
            asker.ask(
                "day",
                f'"{token.text}" may be a day. Enter takes it as none and the line as of today; or type it '
                f"like {day} {MONTHS[month - 1]}.",
                (Answer(key=ENTER, means="today"),),
            )
            return
