"""The parts of one line put together: temperatures by place in the line, wood, air, and the rest."""

from __future__ import annotations

from dataclasses import dataclass, field

from logbook.entry.facts import Fact, FactValue, Match
from logbook.entry.limits import SIDES, refused
from logbook.entry.phrases import TimePhrase
from logbook.entry.reading import WOOD_FACTS, LineRead
from logbook.setting import Setting

Span = tuple[int, int]

FRACTION_BOTTOMS = frozenset({2, 3, 4, 5, 6, 8, 10})
"""Denominators a lever position is written with; 3/14 is outside/inside. ASSUMED."""

USUAL_BOTTOMS = frozenset({2, 3, 4})
"""Denominators that alone on a line mean the lever first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A value with the words it came from. ``unit`` is the one typed, "" when none was."""

    value: float
    unit: str
    text: str
    span: Span
    extra: str = ""


@dataclass(slots=True, kw_only=True)
class Parts:
    """What the facts of one line come to, before doubts are asked and units settled.

    ``first`` and ``second`` are numbers without a label, outside and inside by their place.
    ``fraction`` is a stroke that may be the air or two temperatures.
    ``simple`` are the fields that need no unit: window, coals, marks and the like.
    """

    temperatures: list[tuple[str, Said]] = field(default_factory=list)
    first: Said | None = None
    second: Said | None = None
    pair_text: str = ""
    lone: Said | None = None
    fraction: tuple[Said, Said] | None = None
    air: Said | None = None
    damper: Said | None = None
    masses: list[Said] = field(default_factory=list)
    pieces: list[Said] = field(default_factory=list)
    simple: dict[str, tuple[FactValue, str, str, Span]] = field(default_factory=dict)
    phrase: TimePhrase | None = None
    phrase_text: str = ""
    second_time: Said | None = None
    since: TimePhrase | None = None
    since_said: Said | None = None
    dangling_day: Said | None = None
    same: Said | None = None
    note_from: int | None = None
    unread: list[Span] = field(default_factory=list)

    @property
    def has_readings(self) -> bool:
        """Whether both an outside and an inside value were read by place or label."""
        names = {name for name, _ in self.temperatures}
        return self.second is not None or {"indoor_c", "outdoor_c"} <= names

    @property
    def temperatures_taken(self) -> bool:
        """Whether inside or outside of the main thermometers was named with a label."""
        return any(name in {"indoor_c", "outdoor_c"} and not said.extra for name, said in self.temperatures)

    @property
    def records_something(self) -> bool:
        """Whether anything but a note or a time was read."""
        return bool(
            self.temperatures
            or self.second
            or self.lone
            or self.first
            or self.fraction
            or self.air
            or self.damper
            or self.masses
            or self.pieces
            or self.simple
            or self.same
        )


def parts_of(read: LineRead, *, setting: Setting) -> Parts:
    """Puts the facts of a line in their places. What has no place any more is handed back as unread.

    Raises:
        RefusedError: for wood counted in something that has no weight.
    """
    parts = Parts()
    bare: list[Said] = []
    pairs: list[tuple[Said, Said]] = []
    for match in read.matches:
        for fact in match.facts:
            said = _said(fact, match, read)
            if fact.name == "bare":
                bare.append(said)
            elif fact.name == "pair" and isinstance(fact.value, tuple):
                left = Said(value=fact.value[0], unit=fact.unit, text=said.text, span=said.span)
                right = Said(value=fact.value[1], unit=fact.extra, text=said.text, span=said.span)
                pairs.append((left, right))
            else:
                _place(fact, said, parts)
    tokens = read.tokens
    parts.unread += [(tokens[i].start, tokens[i].end) for i in read.unread]
    has_wood = read.has(WOOD_FACTS)
    _place_pairs(pairs, parts, has_wood=has_wood, bare=bool(bare))
    _place_bare(bare, parts)
    _settle_day(parts)
    return parts


def _said(fact: Fact, match: Match, read: LineRead) -> Said:
    number = float(fact.value) if isinstance(fact.value, int | float) else 0.0
    return Said(value=number, unit=fact.unit, text=read.said(match), span=read.span(match), extra=fact.extra)


def _place(fact: Fact, said: Said, parts: Parts) -> None:
    """Puts a fact in its place; where that is taken, its words are handed back as unread."""
    taken = False
    if fact.name == "note":
        parts.note_from = said.span[0]
    elif isinstance(fact.value, TimePhrase):
        taken = not _place_time(fact.name, fact.value, said, parts)
    elif fact.name in SIDES:
        taken = any((name, had.extra) == (fact.name, fact.extra) for name, had in parts.temperatures)
        if not taken:
            parts.temperatures.append((fact.name, said))
    elif fact.name == "unweighed":
        word = fact.unit
        raise refused(f'"{word}" has no weight yet.', f"Type: 1 {word} = {_example_kg(word)} kg", said.span)
    elif fact.name in {"wood_mass", "wood_pieces"}:
        (parts.masses if fact.name == "wood_mass" else parts.pieces).append(said)
    elif fact.name in {"air", "damper", "same"}:
        taken = getattr(parts, fact.name) is not None
        if not taken:
            setattr(parts, fact.name, said)
    else:
        taken = fact.name in parts.simple
        parts.simple.setdefault(fact.name, (fact.value, fact.unit, said.text, said.span))
    if taken:
        parts.unread.append(said.span)


def _example_kg(word: str) -> str:
    return {"S": "0.8", "M": "1.6", "L": "2.8"}.get(word, "19" if word.startswith("box") else "1.5")


def _place_time(name: str, phrase: TimePhrase, said: Said, parts: Parts) -> bool:
    """Takes a phrase of time if there is none yet, or joins it to the one there is."""
    if name == "since":
        free = parts.since is None
        if free:
            parts.since, parts.since_said = phrase, said
        return free
    joined = phrase if parts.phrase is None else _joined(parts.phrase, phrase)
    if joined is None:
        parts.second_time = said
        return False
    parts.phrase, parts.phrase_text = joined, f"{parts.phrase_text} {said.text}".strip()
    return True


def _joined(first: TimePhrase, second: TimePhrase) -> TimePhrase | None:
    """A day here and a clock time there, when neither says what the other does."""
    if first.shift or second.shift or first.iso or second.iso:
        return None
    if (first.names_day and second.names_day) or (first.clock and second.clock):
        return None
    day, clock = (first, second) if first.names_day else (second, first)
    return TimePhrase(
        days_back=day.days_back,
        weekday=day.weekday,
        day=day.day,
        month=day.month,
        year=day.year,
        part=day.part,
        clock=clock.clock or day.clock,
        start=min(first.start, second.start),
        end=max(first.end, second.end),
    )


def _settle_day(parts: Parts) -> None:
    """A day without a clock time is no time: it goes to the note, after being asked about."""
    phrase = parts.phrase
    if phrase is None or phrase.is_complete:
        return
    parts.dangling_day = Said(value=0.0, unit="", text=parts.phrase_text, span=(phrase.start, phrase.end))
    parts.unread.append((phrase.start, phrase.end))
    parts.phrase, parts.phrase_text = None, ""


def _is_fraction(left: Said, right: Said) -> bool:
    """Whether a pair is written like a lever position: two plain whole numbers."""
    whole = all(said.value.is_integer() and not said.unit for said in (left, right))
    return whole and right.value in FRACTION_BOTTOMS and not set(left.text) & set("+-−–.,°")


def _place_pairs(pairs: list[tuple[Said, Said]], parts: Parts, *, has_wood: bool, bare: bool) -> None:
    """The first pair that can't be the air is outside/inside; a fraction beside it is the air."""
    fractions = [pair for pair in pairs if _is_fraction(*pair)]
    plain = [pair for pair in pairs if not _is_fraction(*pair)]
    readings_known = bool(plain) or bare or parts.has_readings
    if not readings_known and len(fractions) > 1:
        plain.append(fractions.pop(0))
        readings_known = True
    for index, (left, right) in enumerate(plain):
        if index or parts.temperatures_taken:
            parts.unread.append(left.span)
        else:
            parts.first, parts.second, parts.pair_text = left, right, left.text
    for left, right in fractions:
        if parts.air is not None or parts.fraction is not None:
            if parts.air is not None and parts.first is None and not parts.temperatures_taken:
                parts.first, parts.second, parts.pair_text = left, right, left.text
            else:
                parts.unread.append(left.span)
            continue
        wood_before = any(said.span < left.span for said in parts.masses + parts.pieces)
        if readings_known or wood_before:
            parts.air = position_of(left, right)
        else:
            _place_leading(left, right, parts, has_wood=has_wood)


def position_of(top: Said, bottom: Said) -> Said:
    """A fraction as a lever position, per cent."""
    return Said(value=100.0 * top.value / bottom.value, unit="", text=top.text, span=top.span)


def _place_leading(left: Said, right: Said, parts: Parts, *, has_wood: bool) -> None:
    """A fraction with no wood or reading before it: 1/4 is the lever, 12/8 a mild day, 4/10 may be either."""
    usual = right.value in USUAL_BOTTOMS and left.value <= right.value
    if usual and has_wood:
        parts.air = position_of(left, right)
    elif usual or (has_wood and left.value <= right.value):
        parts.fraction = left, right
    else:
        parts.first, parts.second, parts.pair_text = left, right, left.text


def _place_bare(bare: list[Said], parts: Parts) -> None:
    """Two numbers are outside and inside; one is inside, or outside when it is below zero."""
    names = {name for name, said in parts.temperatures if not said.extra}
    if parts.first is not None:
        parts.unread += [said.span for said in bare]
        return
    if len(bare) >= 2 and not names:
        parts.first, parts.second = bare[0], bare[1]
        parts.pair_text = f"{bare[0].text} {bare[1].text}"
        parts.unread += [said.span for said in bare[2:]]
        return
    for said in bare:
        if "indoor_c" in names and "outdoor_c" not in names:
            parts.temperatures.append(("outdoor_c", said))
            names.add("outdoor_c")
        elif "outdoor_c" in names and "indoor_c" not in names:
            parts.temperatures.append(("indoor_c", said))
            names.add("indoor_c")
        elif parts.lone is None and not names & {"indoor_c", "outdoor_c"}:
            parts.lone = said
        else:
            parts.unread.append(said.span)
