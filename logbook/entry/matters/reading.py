"""From a typed line to the matter it tells, or to nothing where it tells none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from logbook.entry.asking import Asker
from logbook.entry.matters.ash import read_ash
from logbook.entry.matters.heads import names_supply
from logbook.entry.matters.line import MatterLine, MatterSaid
from logbook.entry.matters.lists import read_tick
from logbook.entry.matters.people import read_guest_book, read_people, read_purpose
from logbook.entry.matters.rules import read_never, read_rule
from logbook.entry.matters.seen import SIGHTS, read_sight, read_traps
from logbook.entry.matters.shed import read_count, read_meter, read_stack
from logbook.entry.matters.supplies import read_bring, read_brought, read_got, read_level, read_supply
from logbook.entry.matters.timing import TimedWords, leading_time, matter_time, time_after
from logbook.entry.matters.upkeep import DONE, LOOKED, read_battery, read_upkeep
from logbook.entry.matters.weather import read_weather
from logbook.entry.matters.works import read_cost
from logbook.entry.tokens import Token, tokens_of, word_at
from logbook.entry.understood import RefusedError
from logbook.entry.when import Timing
from logbook.matters import Matter
from logbook.setting import Setting


@dataclass(frozen=True, slots=True, kw_only=True)
class MatterRead:
    """A matter with its time, the note beside it and the words that said it.

    ``matter`` is None for a value that can't be and was kept all the same: then ``note`` has all of it.
    ``odd`` says that an unlikely value was kept.
    """

    matter: Matter | None
    note: str
    odd: bool
    timing: Timing
    said: str


Reader = Callable[[MatterLine], MatterSaid | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """How a line with this first word is read.

    ``whole``: what follows is text as it stands, with no note or time at its end. ``may_end_timed``: a
    time may stand after the first word.
    """

    reader: Reader
    whole: bool = False
    may_end_timed: bool = True


def _heads() -> dict[str, Head]:
    heads = {word: Head(reader=read_upkeep) for word in (*DONE, *LOOKED)}
    heads |= {word: Head(reader=read_sight) for word in SIGHTS}
    heads |= dict.fromkeys(
        ("ash", "ashes", "took", "tipped", "dumped", "emptied", "filled"), Head(reader=read_ash)
    )
    heads |= dict.fromkeys(("battery", "batteries"), Head(reader=read_battery))
    heads |= dict.fromkeys(("stack", "stacked"), Head(reader=read_stack))
    heads |= dict.fromkeys(("done", "skip", "skipped"), Head(reader=read_tick, whole=True))
    heads |= dict.fromkeys(("guest", "guestbook"), Head(reader=read_guest_book, whole=True))
    heads |= dict.fromkeys(("traps", "trap"), Head(reader=read_traps))
    heads |= {
        "every": Head(reader=read_rule, may_end_timed=False),
        "never": Head(reader=read_never),
        "count": Head(reader=read_count),
        "meter": Head(reader=read_meter),
        "level": Head(reader=read_level),
        "brought": Head(reader=read_brought),
        "bring": Head(reader=read_bring, may_end_timed=False),
        "got": Head(reader=read_got),
        "people": Head(reader=read_people),
        "purpose": Head(reader=read_purpose, may_end_timed=False),
        "cost": Head(reader=read_cost),
        "mouse": Head(reader=lambda line: read_sight(line) or read_traps(line)),
        "weather": Head(reader=read_weather, may_end_timed=False),
    }
    return heads


HEADS = _heads()
"""How a line is read, by its first word."""


_BEFORE_NOUN = frozenset({"a", "the", "no", "my", "this", "took", "of"})
"""Words after which "note" is a thing: "holds a note of paper"."""


def read_matter(text: str, asker: Asker, *, now: datetime, setting: Setting) -> MatterRead | None:
    """What a line says besides the night, or None where it is no such line.

    Args:
        text: The line.
        asker: Answers had; questions are left in it only where a matter was read.
        now: The clock, as far as the owner doesn't know better.
        setting: What the line is read against.

    Raises:
        RefusedError: for an amount or date that can't be, with what to type.
    """
    tokens = tokens_of(text)
    timed = TimedWords(tokens=tokens)
    if tokens and tokens[0].word not in HEADS:
        try:
            timed = leading_time(tokens, text)
        except RefusedError:
            return None  # the line as a whole says it better
    head = HEADS.get(word_at(timed.tokens, 0))
    if head is None and names_supply(text, setting.supplies):
        head = Head(reader=read_supply, may_end_timed=False)
    if head is None:
        return None
    asked, learned = len(asker.questions), len(asker.learned)
    found = _read(text, timed, head, asker, now=now, setting=setting)
    if found is None:
        del asker.questions[asked:]
        del asker.learned[learned:]
    return found


def _read(
    text: str, timed: TimedWords, head: Head, asker: Asker, *, now: datetime, setting: Setting
) -> MatterRead | None:
    words, beside = (timed.tokens, "") if head.whole else _without_note(text, timed.tokens)
    day_alone = timed.phrase if timed.phrase is not None and not timed.phrase.is_complete else None
    if head.reader is read_weather and day_alone is not None:
        timed = TimedWords(tokens=timed.tokens)
    elif timed.phrase is None and head.may_end_timed and not head.whole:
        timed = time_after(words, text)
        words = timed.tokens
    ends = head.reader is read_ash  # the safe end of a day without a time
    timing, ahead = matter_time(timed, asker, now=now, setting=setting, day_ends=ends)
    line = MatterLine(text=text, tokens=words, setting=setting, asker=asker, at=timing.at)
    said = read_weather(line, day_alone) if head.reader is read_weather else head.reader(line)
    if said is None:
        return None
    note = "; ".join(part for part in (said.note.rstrip(" ,;"), beside) if part)
    return MatterRead(
        matter=said.matter,
        note=note,
        odd=said.odd or ahead,
        timing=timing,
        said=_typed(text, words, said),
    )


def _typed(text: str, words: tuple[Token, ...], said: MatterSaid) -> str:
    """The words the matter came from, as typed."""
    return text[words[0].start :].strip() if said.matter is not None else ""


def _without_note(text: str, tokens: tuple[Token, ...]) -> tuple[tuple[Token, ...], str]:
    """The words before "note", and what stands after it."""
    for at in range(1, len(tokens) - 1):
        noun = tokens[at - 1].word in _BEFORE_NOUN and not tokens[at].parted
        if tokens[at].word == "note" and not noun:
            return tokens[:at], text[tokens[at].end :].strip(" :\t,;")
    return tokens, ""
