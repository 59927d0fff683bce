"""What the line-by-line way says of each answer: rows to be said, from the desk's own sentences."""

from __future__ import annotations

from collections.abc import Collection, Container, Iterator
from dataclasses import replace

from logbook.records import Description
from logbook.results.app import EmergencyPage, Evening, NightRow, Pending, Tried
from logbook.setting import Setting, setting_of
from logbook.ui.asking import Desk
from logbook.ui.cells import Act
from logbook.ui.keys import BOUND, KEYS
from logbook.ui.pages import emergency
from logbook.ui.phrases import air, clock, day, temperature
from logbook.ui.plain_words import lines, spoken
from logbook.wording.amounts import range_text
from logbook.wording.answers import do_text, how_text, outcome_text

NO_LINES = "No lines yet. Try -5/12, outside then inside."
NO_NIGHTS = "No night told beforehand yet. The first comes after one evening and one morning reading."

WORDS_HERE = (
    ("lines", "reads this stay's lines, numbered"),
    ("edit 2 -9/18", "puts another line in the place of line 2; remove 2 leaves it out"),
    ("why 1", "after tonight: what choice 1 rests on"),
    ("1", "after tonight: choice 1 becomes the line; Enter alone keeps it"),
    ("try 2m air 1/3", "what would come of that load; nothing is kept"),
    ("what if window double", "what would come of that work on the cabin; nothing is kept"),
    ("night 1", "after nights: that night's lines; more: older nights"),
    ("leave out 1", "leaves night 1 out of learning; use 1 uses it again"),
    ("done 1", "after a list: ticks its line 1; skip 1 leaves it for the next time"),
    ("add line gas off", "after a list: puts a line of your own into it"),
    ("first", "the first evening: three numbers, then it answers"),
    ("describe", "reads the description by number; describe 2 30 puts 30 into blank 2"),
)
"""Words that exist only line by line: on the screen an arrow key does it."""


def setting_for(desk: Desk) -> Setting:
    """The owner's units and zone, for wording."""
    description = desk.description()
    base = setting_of(description) if isinstance(description, Description) else Setting()
    return replace(base, zone=getattr(desk.zone(), "key", base.zone))


def now_said(desk: Desk) -> Iterator[str]:
    """The head rows of the app, a sentence each."""
    head, zone, now = desk.head(), desk.zone(), desk.now()
    yield f"{head.place or 'No place named'}, {day(now, zone=zone)} {clock(now, zone=zone)}."
    for word, reading in (("inside", head.inside), ("outside", head.outside)):
        if reading is None:
            yield f"{word} not read yet."
        else:
            yield f"{word} {reading[0]}, {day(reading[1], zone=zone)} {clock(reading[1], zone=zone)}."
    yield f"fire: {head.fire}."


def pending_said(item: Pending) -> str:
    """One thing that waits, with its margin word and the keys that settle it."""
    return f"{'first' if item.first else 'then'}: {item.long}"


def tonight_said(evening: Evening, *, setting: Setting) -> Iterator[str]:
    """The advice, then the choices by number with what each comes to and its cautions.

    An alarm untested or expired stands before all of it.
    """
    answer = evening.answer
    first, then = answer.cautions[: answer.before_advice], answer.cautions[answer.before_advice :]
    yield from lines((*first, answer.advice, how_text(answer.choices[0]), *then))
    for n, choice in enumerate(answer.choices, start=1):
        untried = " UNTRIED here." if choice.untried else ""
        yield spoken(f"{n}: {do_text(choice, setting=setting)}.{untried}")
        yield spoken(outcome_text(choice, answer, setting=setting))
        yield from lines(choice.cautions)
    yield from lines(answer.assumed)
    yield "A number takes a choice, why and a number tells what it rests on."


def tried_said(tried: Tried, *, setting: Setting) -> Iterator[str]:
    """What would come of a plan, under the cautions that stand tonight; nothing is kept of it."""
    choice, units = tried.choice, setting.units
    untried = " UNTRIED here." if choice.untried else ""
    yield spoken(f"tried: {do_text(choice, setting=setting)}.{untried}")
    yield spoken(
        f"At waking {range_text(choice.indoor_at_wake_c, units=units)}; "
        f"peak {range_text(choice.indoor_max_c, units=units, likely=False)}."
    )
    yield from lines((*tried.cautions, *choice.cautions))
    yield "Nothing is kept of it."


def letter_act(text: str) -> Act | None:
    """What a letter or sign alone does, as at rest in the app."""
    letter = {"!": "exclamation_mark", "?": "question_mark"}.get(text, text.lower())
    return BOUND.get(letter) if len(text) == 1 else None


def night_title(row: NightRow, *, desk: Desk) -> str:
    """A past night in one piece: evening, wood, air both ways, what was woken to."""
    said = "" if row.score.air_open_pct is None else f", air {air(row.score.air_open_pct)}"
    woke, units = row.score.observed_at_wake_c, setting_for(desk).units
    decimals = 0 if units.temperature == "F" else 1
    came = (
        "nobody read it in the morning"
        if woke is None
        else f"woke to {temperature(woke, units=units, decimals=decimals)}"
    )
    return f"{day(row.score.bed, zone=desk.zone())}: {row.wood}{said}; {came}"


def emergency_said(page: EmergencyPage) -> Iterator[str]:
    """The owner's own words, as written; never put into other words."""
    yield from (line.strip() for line in page.lines or emergency.EMPTY if line.strip())


def help_said(others: Collection[str], *, acts: Container[str]) -> Iterator[str]:
    """The words of the writing line, then what does something, from the app's one table.

    Args:
        others: Commands that answer here too.
        acts: Acts of the key table that mean something without a screen.
    """
    from logbook.entry.words import WORDS  # noqa: PLC0415 - only help needs the table

    yield "What a line may hold."
    for word in WORDS:
        yield spoken(f"{word.word}: {word.meaning}. {word.help}".rstrip())
    yield "Words and letters that do something, each a line of its own."
    for key in KEYS:
        if key.act is not None and key.act.name in acts:
            words = (word for word in key.words if word not in others)
            typed = [*words, *(name for name in key.keys if len(name) == 1)]
            does = f"reads {key.says}" if key.group == "pages" else key.says
            yield from ([spoken(f"{' or '.join(typed)}: {does}.")] if typed else [])
    yield from (spoken(f"{word}: {says}.") for word, says in WORDS_HERE)
    yield from (f"{other}: as the command of that name." for other in others)
