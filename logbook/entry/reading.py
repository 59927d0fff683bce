"""A line read word by word into facts, with what is left unread; nothing is put together or doubted here."""

from __future__ import annotations

from dataclasses import dataclass

from logbook.entry.air import read_air, read_bare_air, read_pair
from logbook.entry.facts import Fact, Match, Reader, Soft, Tokens, lasts, percent_at, temperature_at
from logbook.entry.readers import (
    read_label,
    read_note,
    read_percent_label,
    read_since,
    read_time,
    read_words,
)
from logbook.entry.spoken import read_spoken
from logbook.entry.tokens import tokens_of, word_at
from logbook.entry.wood import LAYING, read_species, read_wood
from logbook.entry.words import PLACES
from logbook.setting import Setting

WOOD_FACTS = frozenset({"wood_mass", "wood_pieces", "unweighed", "same"})


@dataclass(frozen=True, slots=True)
class LineRead:
    """The text, its tokens, the matches in order, and the places of the tokens no match took."""

    text: str
    tokens: Tokens
    matches: tuple[Match, ...]
    unread: tuple[int, ...]

    def said(self, match: Match) -> str:
        """The text of a match as typed."""
        return self.text[self.tokens[match.first].start : self.tokens[match.last - 1].end]

    def span(self, match: Match) -> tuple[int, int]:
        """Where a match stands in the text."""
        return self.tokens[match.first].start, self.tokens[match.last - 1].end

    def has(self, names: frozenset[str]) -> bool:
        """Whether any fact of these names was read."""
        return any(fact.name in names for match in self.matches for fact in match.facts)


_LABELS_AFTER = {
    "in": "indoor_c",
    "inside": "indoor_c",
    "out": "outdoor_c",
    "outside": "outdoor_c",
    "tonight": "forecast_low_c",
}


def _label_belongs_before(tokens: Tokens, at: int) -> bool:
    """Whether a label goes with the number before it: "18 in", "18 in -9 out", but not "18 in 17 out -9"."""
    following = temperature_at(tokens, at + 1)
    if following is None:
        return True
    if not tokens[at].parted and tokens[at + 1].parted and tokens[at + 1].start == tokens[at].end + 2:
        return True  # a comma and a blank: "17 inside, 3 below outside" was 3 inside and 17 outside
    next_label = at + 1 + following[2]
    return word_at(tokens, next_label) in _LABELS_AFTER and temperature_at(tokens, next_label + 1) is None


def _read_number(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """A number with nothing to say what it is: a temperature, by its place in the line."""
    found = temperature_at(tokens, at)
    if found is None:
        return None
    value, unit, taken = found
    if not unit and lasts(tokens, at + taken):
        return None
    label = _LABELS_AFTER.get(word_at(tokens, at + taken))
    if label == "indoor_c" and not unit and any(word_at(tokens, i) in LAYING for i in (at - 1, at - 2)):
        return None  # "put 3 in" was 3 °C inside
    if label == "outdoor_c" and not unit and word_at(tokens, at - 1) in {"took", "taken", "take"}:
        return None  # "took 1 out" was 1 °C outside
    if label and _label_belongs_before(tokens, at + taken):
        last, place = at + taken + 1, ""
        known = PLACES | {name.lower() for name in setting.places}
        skip = 1 if word_at(tokens, last) == "the" else 0
        if label == "indoor_c" and word_at(tokens, last + skip) in known:
            place, last = word_at(tokens, last + skip), last + skip + 1
        # "droppings 3 in drawer" is a sentence: words on both sides, and no degrees.
        soft = Soft.NEVER if unit else Soft.AMID_UNREAD
        fact = Fact(name=label, value=value, unit=unit, extra=place)
        return Match(first=at, last=last, facts=(fact,), soft=soft)
    return Match(
        first=at,
        last=at + taken,
        facts=(Fact(name="bare", value=value, unit=unit),),
        soft=Soft.NEVER if unit else Soft.AFTER_UNREAD,
    )


_READERS: tuple[Reader, ...] = (
    read_note,
    read_since,
    read_time,
    read_label,
    read_percent_label,
    read_air,
    read_spoken,
    read_words,
    read_wood,
    read_bare_air,
    read_species,
    read_pair,
    _read_number,
)
"""In order of trust: what is unmistakable first, bare numbers last."""


def read_facts(text: str, *, setting: Setting) -> LineRead:
    """Read a line into facts.

    Raises:
        RefusedError: for a clock time that cannot be one.
    """
    tokens = tokens_of(text)
    matches: list[Match] = []
    unread: set[int] = set()
    at = 0
    while at < len(tokens):
        found = next((m for reader in _READERS if (m := reader(tokens, at, setting))), None)
        if found is None:
            unread.add(at)
            at += 1
        else:
            matches.append(found)
            at = found.last
    _give_way(tokens, matches, unread)
    return LineRead(text=text, tokens=tokens, matches=tuple(matches), unread=tuple(sorted(unread)))


def _give_way(tokens: Tokens, matches: list[Match], unread: set[int]) -> None:
    """Hands soft matches beside unread words, and species without wood, over to the note."""
    while True:
        going = next((m for m in matches if _gives_way(m, tokens, matches, unread)), None)
        if going is None:
            return
        matches.remove(going)
        unread.update(range(going.first, going.last))


def _is_named_air(match: Match, tokens: Tokens) -> bool:
    words = {tokens[i].word for i in range(match.first, match.last)}
    return match.facts[0].name == "air" and "air" in words


def _is_bare_air(match: Match, tokens: Tokens) -> bool:
    """A percentage and nothing else: air only as long as nothing else on the line is called air."""
    percent = percent_at(tokens, match.first, sign_needed=True)
    return match.facts[0].name == "air" and percent is not None and not _is_named_air(match, tokens)


def _gives_way(match: Match, tokens: Tokens, matches: list[Match], unread: set[int]) -> bool:
    if any(fact.name == "species" for fact in match.facts):
        wood = [m for m in matches if any(fact.name in WOOD_FACTS for fact in m.facts)]
        only_after = tokens[match.first].word == "ash"
        return not wood or (only_after and all(m.last != match.first for m in wood))
    if any(fact.name == "alarms_tested" for fact in match.facts):
        # "alarms tested, CO dead" must not count as tested.
        return bool(unread)
    if any(fact.name == "since" for fact in match.facts):
        return not any(fact.name in {"low_c", "high_c"} for m in matches for fact in m.facts)
    if _is_bare_air(match, tokens) and any(_is_named_air(other, tokens) for other in matches):
        return True  # "birch 20% air 1/4": the 20 % is something else
    if match.soft is Soft.NEVER:
        return False
    before = match.first - 1 in unread and not tokens[match.first].parted
    after = match.last in unread and not tokens[match.last].parted
    if match.soft is Soft.AMID_UNREAD:
        return before and after
    return before or (after and match.soft is Soft.BESIDE_UNREAD)
