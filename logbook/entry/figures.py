"""Figures that may be something else: a day, whose month differs from land to land; a time; or a count."""

from __future__ import annotations

import re

from logbook.entry.asking import Asker, enter_or
from logbook.entry.parts import Parts, Said, Span
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
    numbers = _numbers(parts)
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


def _numbers(parts: Parts) -> frozenset[Span]:
    """Where numbers stand that were read as temperatures."""
    by_place = (parts.first, parts.second, parts.lone, *(said for _, said in parts.temperatures))
    return frozenset(said.span for said in by_place if said is not None)


_CLOCK = re.compile(r"([01]?\d|2[0-3])\.([0-5]\d)", re.ASCII)
"""A clock time as much of Europe writes it; no thermometer here shows hundredths."""


def clock_in_figures(read: LineRead, parts: Parts, asker: Asker) -> None:
    """Asks about "19.30 in 18", where 19.3 °C outside and now is as likely meant as half past seven."""
    if not parts.records_something or parts.phrase is not None or len(read.tokens) == 1:
        return
    numbers = _numbers(parts)
    spans = [(token.start, token.end) for token in read.tokens]
    for i, token in enumerate(read.tokens):
        priced = i > 0 and spans[i - 1] in parts.unread and read.tokens[i - 1].word != "at"  # "paid 12.50"
        match = _CLOCK.fullmatch(token.word)
        if match is not None and (spans[i] in numbers or (spans[i] in parts.unread and not priced)):
            asker.ask(
                "day",
                f'"{token.text}" may be a time. Enter takes it as none and the line as now; or type it '
                f"like {match[1]}:{match[2]}.",
                (Answer(key=ENTER, means="now"),),
            )
            return


_COUNT = re.compile(r"[1-9]", re.ASCII)
"""Figures that may count something beside other values; a larger one is rather a temperature. ASSUMED."""


def numbers_in_notes(read: LineRead, parts: Parts, asker: Asker) -> None:
    """Asks about "3 mice": a number straight before unread words, alone on the line, or small and whole."""
    lone = parts.lone
    alone = not (parts.temperatures or parts.simple or parts.pieces or parts.masses)
    if lone is not None and not lone.unit and (alone or _COUNT.fullmatch(lone.text)):
        whole = read.text.strip() if alone else ""
        side = "out" if lone.value < 0 else "in"
        if _is_count(read, lone, asker, key="i", side=side, whole=whole):
            parts.unread.append(lone.span)
            parts.lone = None
    for name, said in tuple(parts.temperatures):  # "4 people, in 18" was 4 °C outside
        side = "out" if name == "outdoor_c" else "in"
        if _COUNT.fullmatch(said.text) and _is_count(read, said, asker, key=side[0], side=side):
            parts.unread.append(said.span)
            parts.temperatures.remove((name, said))


def _is_count(read: LineRead, said: Said, asker: Asker, *, key: str, side: str, whole: str = "") -> bool:
    """Whether a number is no temperature, by its owner; Enter means so."""
    index = next((i for i, token in enumerate(read.tokens) if token.start == said.span[0]), None)
    if index is None or index + 1 not in read.unread or read.tokens[index + 1].parted:
        return False
    words = whole or f"{said.text} {read.tokens[index + 1].text}"
    what = "keeps it all as a note" if whole else "keeps that as a note"
    answers = enter_or(key, enter="a note", other=f"{side} {said.text}")
    text = f'"{words}": Enter {what}, {key} means {side} {said.text}.'
    return asker.ask("number", text, answers) == ENTER
