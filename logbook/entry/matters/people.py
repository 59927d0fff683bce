"""Who is there, what for, and the guest book: "people K J", "purpose roof work", "guest book: Snow."."""

from __future__ import annotations

import re
from dataclasses import replace

from logbook.entry.asking import enter_or
from logbook.entry.facts import found_number
from logbook.entry.limits import refused
from logbook.entry.matters.line import SPOKEN, MatterLine, MatterSaid
from logbook.entry.tokens import number_text
from logbook.entry.understood import ENTER
from logbook.matters import StaySaid

MANY_PEOPLE = 30
"""More in a small cabin are asked about. ASSUMED."""

LONGEST_INITIALS = 2
"""Letters that pass for initials when written small. ASSUMED."""

_AND = frozenset({"and", "&", "+"})
_SMALL_WORDS = frozenset(
    [
        "in",
        "on",
        "at",
        "to",
        "up",
        "by",
        "my",
        "we",
        "he",
        "is",
        "it",
        "no",
        "so",
        "of",
        "or",
        "as",
        "if",
        "us",
        "me",
        "am",
        "be",
        "do",
        "go",
        "an",
    ]
)
_GUEST_BOOK = re.compile(r"guest\s?book(?P<colon>\s*:)?\s*(?P<said>.*)", re.IGNORECASE | re.DOTALL)


def read_people(line: MatterLine) -> MatterSaid | None:
    """Reads "people K J", "people: Anna, Ben and K", "people 3"; a purpose or guest line may follow."""
    colon = line.text[line.tokens[0].end - 1 : line.tokens[0].end] == ":" or line.parted(1)
    if line.count < 2:
        return None
    number = found_number(line.word(1))
    if number is None and line.word(1) in SPOKEN.keys() - {"a", "an", "half", "quarter"}:
        number = SPOKEN[line.word(1)]
    if number is not None:
        if line.count > 2 and not line.parted(2) and not _goes_on(line, 2):
            return None  # "people 3 houses down were loud"
        if not _believed(line, number):
            return None
        return _with_more(line, StaySaid(count=int(number)), 2)
    people, at = _names(line, 1, colon=colon)
    if not people or (not line.parted(at) and not _goes_on(line, at)):
        return None
    return _with_more(line, StaySaid(people=people), at)


def read_purpose(line: MatterLine) -> MatterSaid | None:
    """Reads "purpose roof work"."""
    if line.count < 2 or (line.word(1) in {"of", "is", "was"} and not line.parted(1)):
        return None
    return _with_more(line, StaySaid(), 0)


def read_guest_book(line: MatterLine) -> MatterSaid | None:
    """Reads "guest book: Snow to the sills."; without the colon the line begins with a capital."""
    if line.word(0) == "guest" and line.word(1) != "book":
        return None
    match = _GUEST_BOOK.fullmatch(line.text[line.tokens[0].start :])
    if match is None or not match["said"].strip():
        return None
    if not match["colon"] and not match["said"].lstrip("\"'“„«")[:1].isupper():
        return None
    return MatterSaid(matter=StaySaid(guest_book=match["said"].strip()))


def _names(line: MatterLine, at: int, *, colon: bool) -> tuple[tuple[str, ...], int]:
    shouted = line.text.isupper()
    found: list[str] = []
    while at < line.count:
        word = line.word(at)
        if word in _AND and at + 1 < line.count and _is_name(line, at + 1, colon=colon, shouted=shouted):
            at += 1
        if not _is_name(line, at, colon=colon, shouted=shouted) or _goes_on(line, at):
            break
        found += [name for name in re.split(r"[+&/]", line.said(at, at + 1).strip(".!?:+&")) if name]
        at += 1
    return tuple(found), at


def _is_name(line: MatterLine, at: int, *, colon: bool, shouted: bool) -> bool:
    said, word = line.said(at, at + 1), line.word(at)
    if not said[:1].isalpha() or (word in _SMALL_WORDS and not said[:1].isupper()):
        return False
    if len(word) <= LONGEST_INITIALS or colon:
        return True
    return said[:1].isupper() and not shouted


def _goes_on(line: MatterLine, at: int) -> bool:
    """Whether a purpose or a guest line begins here."""
    return line.word(at) in {"purpose", "guestbook"} or line.words(at, at + 2) == ("guest", "book")


def _with_more(line: MatterLine, said: StaySaid, at: int) -> MatterSaid:
    """What follows the people: a purpose, a line for the guest book, or words for the note."""
    if line.word(at) == "purpose" and at + 1 < line.count:
        end = next((i for i in range(at + 2, line.count) if line.parted(i) and _goes_on(line, i)), line.count)
        said, at = replace(said, purpose=line.said(at + 1, end)), end
    if at < line.count and _goes_on(line, at):
        match = _GUEST_BOOK.fullmatch(line.text[line.tokens[at].start :])
        if match is not None and match["said"].strip():
            return MatterSaid(matter=replace(said, guest_book=match["said"].strip()))
    return MatterSaid(matter=said, note=line.said(at))


def _believed(line: MatterLine, number: float) -> bool:
    if number < 0 or not number.is_integer():
        raise refused(
            f"{number_text(number)} people can't be.", "Type people 3, or people K J.", line.span(1, 2)
        )
    if 0 < number <= MANY_PEOPLE:
        return True
    key = line.asker.ask(
        "people",
        f"{number_text(number)} people? Enter keeps it so, n keeps the line as a note.",
        enter_or("n", enter=f"{number_text(number)} people", other="a note"),
    )
    return key == ENTER
