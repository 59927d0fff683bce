"""Lists in words: why a line stands there, the page, the sheet for printing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from logbook.results.lists import Condition, ListAnswer, ListLine, ListName, Why, WhyKind
from logbook.setting import Setting, local_time
from logbook.wording.amounts import day_text, temperature_text, time_text

TITLES = {
    ListName.PACKING: "Packing",
    ListName.ARRIVING: "Arriving",
    ListName.LEAVING: "Leaving",
    ListName.SPRING: "Spring: opening",
    ListName.AUTUMN: "Autumn: closing for the winter",
}

CONDITION_WORDS = {
    Condition.FROST: "frost ahead",
    Condition.FROST_INSIDE: "below freezing inside",
    Condition.COLD_ROOM: "the room is or was too cold for the alarms",
    Condition.DROPPINGS: "droppings seen",
    Condition.AWAY: "more than a month away",
    Condition.FIRST_STAY: "first stay of the season",
    Condition.GUESTS: "guests",
    Condition.PIPES: "pipes",
    Condition.WATER: "water in the pipes",
    Condition.NEST: "nest seen in the cap",
    Condition.COALS: "wood or coals may still glow",
    Condition.ASH: "ash in the bucket",
    Condition.ASH_WAITS: "ash not four days old",
    Condition.FIRE_PLANNED: "a fire is planned",
    Condition.COLD_STOVE: "the stove is cold",
}

_COMING = (Condition.AWAY, Condition.FIRST_STAY, Condition.GUESTS)

SAID_ON_TOP: dict[ListName, tuple[Condition, ...]] = {
    ListName.PACKING: (Condition.FROST, *_COMING),
    ListName.ARRIVING: (Condition.DROPPINGS, Condition.NEST, Condition.FROST, Condition.COALS, *_COMING),
    ListName.LEAVING: (Condition.COALS, Condition.FROST),
    ListName.SPRING: (Condition.DROPPINGS, Condition.NEST),
    ListName.AUTUMN: (Condition.COALS, Condition.FROST),
}
"""Conditions said above each list: they decide what stands in it, and where."""

DEFERS = "Usual cautions: your stove's manual, local codes and licensed practice come before them."

NOT_KNOWN = "not known"

Row = tuple[str, str]
"""A word or time for the margin, and the words beside it."""


def worded(answer: ListAnswer, *, setting: Setting) -> ListAnswer:
    """The answer with its texts filled in, in the owner's units, and each line's reasons in words."""
    return replace(
        answer,
        lines=tuple(
            replace(
                line, text=line_text(line.key, line.text, answer, setting), why=_why(line, answer, setting)
            )
            for line in answer.lines
        ),
        left_out=tuple(
            replace(line, text=line_text(line.key, line.text, answer, setting)) for line in answer.left_out
        ),
    )


def line_text(key: str, text: str, answer: ListAnswer, setting: Setting) -> str:
    """A line with its numbers filled in; the owner's own text is left as it is."""
    if not key:
        return text
    blanks = {
        "{alarms}": temperature_text(answer.alarms_rated_from_c, units=setting.units, decimals=0),
        "{ash}": _moment(answer.ash_not_before, setting),
        "{filled}": _moment(answer.bucket_filled, setting),
        "{bucket}": _moment(answer.bucket_not_before, setting),
        "{nest}": NOT_KNOWN if answer.nest_seen is None else day_text(answer.nest_seen, zone=setting.zone),
    }
    for blank, words in blanks.items():
        text = text.replace(blank, words)
    return text


def list_rows(answer: ListAnswer, *, setting: Setting) -> tuple[Row, ...]:
    """The list as rows of a margin and words; what it depends on above, what was left out below."""
    done = sum(line.done_at is not None for line in answer.lines)
    skipped = sum(line.skipped_at is not None for line in answer.lines)
    count = f"{len(answer.lines)} {'line' if len(answer.lines) == 1 else 'lines'}"
    rows = [(str(answer.name), f"{count}, {done} done, {skipped} skipped{_since(answer, setting)}.")]
    rows += [("", sentence) for sentence in _on_top(answer, setting)]
    for n, (margin, text) in enumerate(line_rows(answer, setting=setting), start=1):
        rows.append((margin, f"{n:>2} {text}"))
    rows += [("", sentence) for sentence in _below(answer)]
    return tuple(rows)


def line_rows(answer: ListAnswer, *, setting: Setting) -> tuple[Row, ...]:
    """The lines alone: the time or "skip" for the margin, the words with what is not said above the list."""
    rows = []
    for line in answer.lines:
        why = _why(line, answer, setting, besides=SAID_ON_TOP[answer.name])
        rows.append((_margin(line, answer, setting), f"{line.text} ({why})" if why else line.text))
    return tuple(rows)


def around_text(answer: ListAnswer, *, setting: Setting) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """Since when the round is, what the list depends on (said above it), what to know besides (below)."""
    return (
        _since(answer, setting).strip(),
        tuple(_on_top(answer, setting)),
        tuple(_below(answer, on_paper=True)),
    )


def paper_rows(answer: ListAnswer, *, setting: Setting, name: str = "") -> tuple[Row, ...]:
    """The list for printing: a blank for the time before each line, or the time it was done."""
    day = day_text(answer.as_of, zone=setting.zone, year=True)
    rows = [("", "   ".join(part for part in (TITLES[answer.name], name, day) if part)), ("", "")]
    rows += [("", sentence) for sentence in _on_top(answer, setting)]
    rows.append(("time", "Write the time beside what is done; a line left empty was not done."))
    for n, line in enumerate(answer.lines, start=1):
        time = time_text(line.done_at, zone=setting.zone) if line.done_at else "__:__"
        rows.append((time, f"{n:>2} {line.text}"))
    return (*rows, *(("", sentence) for sentence in _below(answer, on_paper=True)))


def ticked_text(
    line: ListLine, *, name: ListName, done: bool, at: datetime, waiting: list[str], zone: str
) -> str:
    """What a tick is said back with.

    ``waiting`` names lines not ticked yet that come before this one for safety's sake.
    """
    clock = time_text(at, zone=zone)
    if done:
        before = f" Not ticked, and meant to come before it: {', '.join(waiting)}." if waiting else ""
        return f"Done {clock}: {line.name}.{before}"
    later = " It comes first on the list when you come back." if name is ListName.LEAVING else ""
    safety = " This line is there for safety." if line.safety else ""
    return f"Skipped {clock}: {line.name}.{later}{safety}"


def placed_text(line: ListLine, n: int, *, wanted: int | None) -> str:
    """Where a line that was added or moved stands now, and what keeps it from where it was wanted."""
    if wanted is None or n == wanted:
        return f"Line {n}: {line.text}"
    if n > wanted and line.before:
        return f"Line {n}, not {wanted}: for safety it stays after: {line.before[-1]}. {line.text}"
    return f"Line {n} for now, not {wanted}: what holds today decides; your order is kept. {line.text}"


def _on_top(answer: ListAnswer, setting: Setting) -> Iterator[str]:
    said = [_condition(c, answer, setting) for c in SAID_ON_TOP[answer.name] if c in answer.conditions]
    if said:
        together = "; ".join(said)
        yield f"{together[:1].upper()}{together[1:]}."
    if answer.ash_live_until is not None and answer.name is not ListName.PACKING:
        until = _moment(answer.ash_live_until, setting)
        yield f"Ash was tipped before its time: take it as live until {until}, and look at where it lies."
    if answer.unreadable:
        yield "Your own list could not be read: this is the shipped one. A newer version may have written it."


def _below(answer: ListAnswer, *, on_paper: bool = False) -> Iterator[str]:
    out = [line.name for line in answer.left_out if line.applies]
    if out:
        back = "" if on_paper else f' Back in: --back "{out[0]}"'
        yield f"Left out by you: {', '.join(out)}.{back}"
    yield DEFERS


def _since(answer: ListAnswer, setting: Setting) -> str:
    if answer.since is None:
        return ""
    return f" since {day_text(answer.since, zone=setting.zone)} {time_text(answer.since, zone=setting.zone)}"


def _margin(line: ListLine, answer: ListAnswer, setting: Setting) -> str:
    if line.skipped_at is not None:
        return "skip"
    if line.done_at is None:
        return ""
    zone = setting.zone
    same_day = local_time(line.done_at, zone).date() == local_time(answer.as_of, zone).date()
    return time_text(line.done_at, zone=zone) if same_day else day_text(line.done_at, zone=zone)[4:]


def _why(line: ListLine, answer: ListAnswer, setting: Setting, *, besides: Iterable[Condition] = ()) -> str:
    """The reasons of a line; conditions in ``besides`` are said elsewhere."""
    hidden = {str(condition) for condition in besides}
    shown = [why for why in line.whys if why.kind is not WhyKind.CONDITION or why.what not in hidden]
    said = [_reason(why, answer, setting) for why in shown if why.kind is not WhyKind.WAITS]
    waits = [why.what for why in line.whys if why.kind is WhyKind.WAITS]
    if waits:
        said.append(f"for safety after: {line.before[-1] if line.before else waits[-1]}")
    return "; ".join(said)


def _reason(why: Why, answer: ListAnswer, setting: Setting) -> str:
    if why.kind is WhyKind.CONDITION:
        return _condition(Condition(why.what), answer, setting)
    day = "" if why.at is None else day_text(why.at, zone=setting.zone)
    return f"skipped on {day}" if why.kind is WhyKind.RETURNED else f"on the bring list since {day}"


def _condition(condition: Condition, answer: ListAnswer, setting: Setting) -> str:
    words = CONDITION_WORDS[condition]
    if condition is Condition.FROST:
        if answer.outdoor_low_c is None:
            return "frost possible, the low of the nights is not known"
        return f"{words}, {temperature_text(answer.outdoor_low_c, units=setting.units, decimals=0)} outside"
    if condition is Condition.AWAY and answer.last_left is not None:
        return f"{words}, since {day_text(answer.last_left, zone=setting.zone)}"
    return words


def _moment(at: datetime | None, setting: Setting) -> str:
    if at is None:
        return NOT_KNOWN
    return f"{day_text(at, zone=setting.zone)} {time_text(at, zone=setting.zone)}"
