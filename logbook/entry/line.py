"""One typed line to the record it means; what is unread is kept as a note."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from logbook.entry.acts import read_act, read_change
from logbook.entry.asking import Asker, enter_or
from logbook.entry.clock import moment_of
from logbook.entry.figures import clock_in_figures, day_in_figures, numbers_in_notes
from logbook.entry.limits import refused
from logbook.entry.matters import may_tell_matter, names_supply
from logbook.entry.parts import Parts, parts_of
from logbook.entry.phrases import is_spoken_clock
from logbook.entry.reading import LineRead, read_facts
from logbook.entry.settle import Settled, asked_about, main_place, settle
from logbook.entry.tokens import number_text
from logbook.entry.understood import ENTER, Answer, RefusedError, Understood
from logbook.entry.when import Timing, clock_now, kept_by_doubtful_clock, when
from logbook.records import Entry, Flag, Mark, Typed
from logbook.setting import Setting

if TYPE_CHECKING:
    from logbook.entry.matters.reading import MatterRead

NO_ANSWERS: Mapping[str, str] = MappingProxyType({})
_STRANGE = (
    "stone stones st oz ounce ounces g gram grams t ton tons tonne tonnes cwt cord cords litre litres liter "
    "liters l m3 ft3"
)
_STRANGE_UNITS = frozenset(_STRANGE.split())
"""Weights and volumes owners may think in and this line does not take."""

LONGEST_LINE = 4000
"""Characters read of one line; the app stops at 2000. ASSUMED: fifty times a long entry."""

_ODD_PIECE = re.compile(r"\d{1,2}[a-z]{1,2}", re.ASCII)
_ORDINAL = re.compile(r"\d+(?:st|nd|rd|th)", re.ASCII)
_ODD_UNIT = re.compile(r"[+-]?\d[\d./%]*[a-z][\w./%]*", re.ASCII)
_NEEDS_MORE = {
    "load": ("How much wood went in?", "Type load 4M or load 4 kg."),
    "air": ("Where does the air stand?", "Type air 1/4, air 60% or air shut."),
    "damper": ("Where does the damper stand?", "Type damper 1/2 or damper 60%."),
    "heater": ("How strong is the heater?", "Type heater 1500 W or heater off."),
}


def read_line(
    text: str, *, now: datetime, setting: Setting, answers: Mapping[str, str] = NO_ANSWERS
) -> Understood:
    """What one typed line means. Never raises for what is typed: a refusal is in ``problem``.

    Args:
        text: The line.
        now: The clock; aware.
        setting: What the line is read against.
        answers: Keys already pressed in answer to questions, by question kind.
    """
    empty = Understood(
        text=text, now=now, setting=setting, zone=setting.zone, answered=tuple(sorted(answers.items()))
    )
    if not text.strip():
        return empty
    try:
        if len(text) > LONGEST_LINE:
            raise refused(
                f"A line of {len(text)} characters is too long (at most {LONGEST_LINE}).",
                "Split it into several.",
                (LONGEST_LINE, len(text)),
            )
        asker = Asker(answers)
        act = read_act(text, asker, now=now, setting=setting)
        if act is not None:
            return replace(empty, act=act, questions=tuple(asker.questions))
        return _record(empty, asker)
    except RefusedError as stop:
        return replace(empty, problem=stop.problem)


def answered(understood: Understood, key: str) -> Understood:
    """The line read again with its first open question answered by a key, or by a typed time."""
    if not understood.questions:
        return understood
    kind = understood.questions[0].kind
    answers = dict(understood.answered) | {kind: key}
    return read_line(understood.text, now=understood.now, setting=understood.setting, answers=answers)


def _record(empty: Understood, asker: Asker) -> Understood:
    setting = empty.setting
    now = clock_now(empty.now, asker, setting=setting)
    read = _by_the_clock(empty, asker, now=now)
    if read.entry is not None and kept_by_doubtful_clock(empty.now, asker, setting=setting):
        read = replace(read, entry=replace(read.entry, flags=read.entry.flags | {Flag.ODD_VALUE}))
    return read


def _by_the_clock(empty: Understood, asker: Asker, *, now: datetime) -> Understood:
    setting, text = empty.setting, empty.text
    if not may_tell_matter(text) and not names_supply(text, setting.supplies):
        return _night(empty, text, asker, now=now)
    from logbook.entry.matters.beside import read_beside  # noqa: PLC0415 - most lines are of the night alone
    from logbook.entry.matters.reading import read_matter  # noqa: PLC0415 - as above

    matter = read_matter(text, asker, now=now, setting=setting)
    if matter is not None:
        return _matter(empty, matter, asker)
    beside = read_beside(text, now=now, setting=setting)
    if beside is None:
        return _night(empty, text, asker, now=now)
    return _with_beside(_night(empty, beside[1], asker, now=now), beside[0])


def _with_beside(night: Understood, read: MatterRead) -> Understood:
    """A line of the night with the matter told after it."""
    assert night.entry is not None, "a line of the night is a record or refused"
    note = "; ".join(part for part in (night.entry.note, read.note) if part)
    return replace(
        night,
        entry=replace(night.entry, matter=read.matter, note=note or None),
        typed=(*night.typed, Typed("matter", read.said, "")),
        left_over="; ".join(part for part in (night.left_over, read.note) if part),
    )


def _night(empty: Understood, text: str, asker: Asker, *, now: datetime) -> Understood:
    """What a line tells of the night; ``text`` is blank where it told something else."""
    setting = empty.setting
    read = read_facts(text, setting=setting)
    parts = parts_of(read, setting=setting)
    _one_time(parts)
    _dangling_day(read, parts, asker)
    _spoken_clock(read, parts, asker)
    clock_in_figures(read, parts, asker)
    _marks_in_prose(read, parts, asker)
    numbers_in_notes(read, parts, asker)
    _strange_unit(read, parts, asker, setting=setting)
    change = _change(text, parts)
    timing = when(parts, asker, now=now, setting=setting, is_change=change is not None)
    done = settle(parts, asker, setting=setting, now=now, always_open=False)
    if parts.since is not None and parts.since_said is not None:
        reset = moment_of(parts.since, now=timing.at, not_after=timing.at, zone=setting.zone)
        done.keep("reset_at", reset.at, parts.since_said)
    left_over = _left_over(text, parts)
    if change is not None:
        done.typed.append(Typed("change", left_over, ""))
        left_over = ""
    else:
        _odd_words(read, parts, asker, setting=setting)
    _says_something(done, parts, left_over, change)
    place, others = main_place(done)
    note = _note(text, parts, left_over)
    entry = _entry(timing, done, place=place, note=note, change=change)
    entry = asked_about(entry, asker, setting=setting)
    more = (Entry(at=timing.at, indoor_c=value, place=name) for name, value in others)
    return replace(
        empty,
        entry=entry,
        more=tuple(asked_about(other, asker, setting=setting) for other in more),
        typed=tuple(done.typed),
        at_typed=timing.typed,
        questions=tuple(asker.questions),
        left_over=left_over,
        learned=tuple(asker.learned),
    )


def _matter(empty: Understood, read: MatterRead, asker: Asker) -> Understood:
    """A line that tells a matter; what it leaves unread is its note."""
    entry = Entry(
        at=read.timing.at,
        matter=read.matter,
        note=read.note or None,
        flags=frozenset({Flag.ODD_VALUE} if read.odd else ()),
    )
    return replace(
        empty,
        entry=entry,
        typed=(Typed("matter", read.said, ""),) if read.said else (),
        at_typed=read.timing.typed,
        questions=tuple(asker.questions),
        left_over=read.note,
        learned=tuple(asker.learned),
    )


def _entry(timing: Timing, done: Settled, *, place: str, note: str | None, change: str | None) -> Entry:
    # The names are those of Entry's fields, checked one by one where each was settled.
    values: dict[str, Any] = dict(done.values)
    return Entry(at=timing.at, place=place, note=note, change=change, flags=frozenset(done.flags), **values)


def _says_something(done: Settled, parts: Parts, left_over: str, change: str | None) -> None:
    """A time, the word note or signs alone are no record.

    Raises:
        RefusedError: saying what is missing.
    """
    said = parts.phrase_text
    if (
        done.values
        or done.places
        or left_over
        or change
        or _note("", parts, "")
        or parts.note_from is not None
    ):
        return
    if parts.phrase is None:
        raise refused("That says nothing.", "Type what happened, for example 4M.", (0, 0))
    start = parts.phrase.start
    raise refused(
        f"{said} and nothing else.",
        f"Type what happened then, for example {said} 4M.",
        (start, start + len(said)),
    )


def _one_time(parts: Parts) -> None:
    """A line is one moment: what a second time belongs to can't be told.

    Raises:
        RefusedError: naming both times.
    """
    second = parts.second_time
    if second is not None and parts.records_something:
        raise refused(
            f"Two times in one line: {parts.phrase_text} and {second.text}.",
            "Type a line for each.",
            second.span,
        )


def _marks_in_prose(read: LineRead, parts: Parts, asker: Asker) -> None:
    """Asks about "bed is damp": a word that marks a moment, straight before unread words."""
    if "mark" not in parts.simple:
        return
    value, _, text, span = parts.simple["mark"]
    index = next((i for i, token in enumerate(read.tokens) if token.end == span[1]), -2) + 1
    if value not in {Mark.BED, Mark.LEFT} or index not in read.unread or read.tokens[index].parted:
        return
    means = "going to bed now" if value is Mark.BED else "leaving the cabin"
    key = asker.ask(
        "mark",
        f'"{text} {read.tokens[index].text}": Enter means {means}, k keeps it as a note.',
        enter_or("k", enter=means, other="a note"),
    )
    if key == "k":
        parts.unread.append(span)
        del parts.simple["mark"]


def _dangling_day(read: LineRead, parts: Parts, asker: Asker) -> None:
    """Asks about "fri 4m": a day without a time, since the record would land on now; or one in figures."""
    day_in_figures(read, parts, asker)
    day = parts.dangling_day
    if day is None or not parts.records_something:
        return
    clock = {"morning": "7:30", "afternoon": "15:30"}.get(day.text.split()[-1].lower(), "22:30")
    asker.ask(
        "day",
        f'"{day.text}" has no time. Enter takes the line as now, with it as a note; '
        f"or type it like {day.text} {clock}.",
        (Answer(key=ENTER, means="now, with a note"),),
    )


def _spoken_clock(read: LineRead, parts: Parts, asker: Asker) -> None:
    """Asks about "bed at half past nine": it is left unread, and the record would land on now."""
    at = next((index for index in read.unread if is_spoken_clock(read.tokens, index)), None)
    if at is None or not parts.records_something or parts.phrase is not None:
        return
    said = " ".join(token.text for token in read.tokens[at : at + 3])
    asker.ask(
        "day",
        f'"{said}" does not say which half of the day. Enter takes the line as now, with it as a note; '
        "or type it like 21:30.",
        (Answer(key=ENTER, means="now, with a note"),),
    )


def _strange_unit(read: LineRead, parts: Parts, asker: Asker, *, setting: Setting) -> None:
    """Asks about "load 5 stone": the number would be kept in a unit that was not meant."""
    for said in parts.masses:
        index = next((i for i, token in enumerate(read.tokens) if token.start >= said.span[1]), None)
        if said.unit or index not in read.unread or index is None:
            continue
        token = read.tokens[index]
        if token.word in _STRANGE_UNITS and not token.parted:
            kept = f"{number_text(said.value)} {setting.units.mass}"
            asker.ask(
                "mass_unit",
                f'"{token.text}" is no weight known here (kg, lb). Enter keeps {kept}, with it as a note.',
                (Answer(key=ENTER, means=kept),),
            )


def _change(text: str, parts: Parts) -> str | None:
    """A change of cabin or stove, when that is all the line says besides a time."""
    if parts.records_something or parts.note_from is not None:
        return None
    return read_change(_left_over(text, parts))


def _left_over(text: str, parts: Parts) -> str:
    """The unread words as typed, in order; neighbours stay together."""
    spans = sorted(parts.unread)
    runs: list[list[int]] = []
    for start, end in spans:
        between = text[runs[-1][1] : start] if runs else ""
        if runs and not between.strip(" \t,;"):
            runs[-1][1] = max(runs[-1][1], end)
        elif not runs or start >= runs[-1][1]:
            runs.append([start, end])
    return "; ".join(text[start:end].strip(" \t,;") for start, end in runs)


def _note(text: str, parts: Parts, left_over: str) -> str | None:
    said = text[parts.note_from :].strip()[len("note") :].strip(" :\t") if parts.note_from is not None else ""
    return "; ".join(part for part in (left_over, said) if part) or None


def _odd_words(read: LineRead, parts: Parts, asker: Asker, *, setting: Setting) -> None:
    """Unread words that were plainly meant: "4x", "65k", "load" with nothing after it."""
    for index in read.unread:
        token = read.tokens[index]
        alone = index - 1 not in read.unread or token.parted
        last = index + 1 not in read.unread or read.tokens[index + 1].parted
        if alone and last and token.word in _NEEDS_MORE:
            wrong, instead = _NEEDS_MORE[token.word]
            raise refused(wrong, instead, (token.start, token.end))
        if not alone or _ORDINAL.fullmatch(token.word):
            continue
        names = ", ".join(name for name, _ in setting.weights_kg)
        if _ODD_PIECE.fullmatch(token.word) and names:
            text = f'"{token.text}" is not a piece size. Yours are {names}. As a note? Enter.'
        elif _ODD_UNIT.fullmatch(token.word):
            text = f'"{token.text}" has no unit known here (°C, °F, kg, lb, %, W). As a note? Enter.'
        else:
            continue
        asker.ask("odd_word", text, (Answer(key=ENTER, means="kept as a note"),))
        return
