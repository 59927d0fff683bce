"""What is written as it is spoken: "fire went out", "closed the damper", "got up", "lit the stove".

Each stands by itself: beside words that are not read it is part of what they tell, and stays in the note.
"""

from __future__ import annotations

from logbook.entry.facts import Fact, Match, Soft, Tokens
from logbook.entry.tokens import word_at
from logbook.entry.wood import read_wood
from logbook.records import Coals, Mark, Wind, Window
from logbook.setting import Setting

_FIRE_OUT = (
    "fire's out; fire went out; fire has gone out; fire gone out; fire died; fire dead; stove out; "
    "stove is out; stove's out; stove went out; stove cold; stove is cold; stove's cold; stove dead"
)
_LIT = "lit fire; lit stove; lit it; fire lit; stove lit; relit; relit fire; relit stove; relit it"
_SHUT_AIR = "closed air; shut air; closed air off; shut air off; air off"
_OPENED_AIR = "opened air; opened air up; opened air full; air all way open; air right open"
_SHUT_DAMPER = "closed damper; shut damper; closed flue damper; shut flue damper; closed flue; shut flue"

_SPOKEN: tuple[tuple[str, Fact], ...] = (
    (_FIRE_OUT, Fact(name="fire_out", value=True)),
    ("coals gone; coals out; coals dead; coals are out; no embers", Fact(name="coals", value=Coals.NONE)),
    ("few embers; a few embers; a few coals; only few coals", Fact(name="coals", value=Coals.FEW)),
    ("lots of coals; plenty of coals; good bed of coals; many coals", Fact(name="coals", value=Coals.GOOD)),
    ("went to bed; gone to bed; going to bed; off to bed; to bed", Fact(name="mark", value=Mark.BED)),
    ("got up; getting up", Fact(name="mark", value=Mark.WOKE)),
    ("got here", Fact(name="mark", value=Mark.ARRIVED)),
    ("no wind; calm", Fact(name="wind", value=Wind.CALM)),
    ("breezy; a breeze", Fact(name="wind", value=Wind.BREEZE)),
    ("windy; very windy; stormy", Fact(name="wind", value=Wind.STRONG)),
    ("opened window; opened windows", Fact(name="window", value=Window.OPEN)),
    (_SHUT_AIR, Fact(name="air", value=0.0, extra="open")),
    (_OPENED_AIR, Fact(name="air", value=100.0, extra="open")),
    (_SHUT_DAMPER, Fact(name="damper", value=0.0, extra="open")),
    ("opened damper; opened flue damper; opened flue", Fact(name="damper", value=100.0, extra="open")),
    (_LIT, Fact(name="kindling", value=True)),
)
"""Phrases, "the" left out, and what they say."""

_WORDS = {tuple(phrase.split()): fact for phrases, fact in _SPOKEN for phrase in phrases.split(";")}
_LONGEST = max(len(words) for words in _WORDS)


def read_spoken(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """The longest of these phrases, or "lit" before wood."""
    words: list[str] = []
    found: Match | None = None
    for end in range(at, len(tokens)):
        if end > at and tokens[end].parted:
            break
        if (word := tokens[end].word.replace("’", "'")) != "the":
            words.append(word)
        if len(words) > _LONGEST:
            break
        if (fact := _WORDS.get(tuple(words))) is not None:
            found = Match(first=at, last=end + 1, facts=(fact,), soft=Soft.BESIDE_UNREAD)
    lit = word_at(tokens, at) in {"lit", "relit"}
    if found is None and lit and read_wood(tokens, at + 1, setting) is not None:
        return Match(
            first=at, last=at + 1, facts=(Fact(name="kindling", value=True),), soft=Soft.AFTER_UNREAD
        )
    return found
