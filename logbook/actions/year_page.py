"""The Year page: ash, what is due, wood, what to bring, damp, weather, stays; rows, each part laid open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from logbook.actions import stays as stays_acts
from logbook.actions.bring import Asked, bring
from logbook.actions.damp import Asked as DampAsked
from logbook.actions.damp import damp
from logbook.actions.upkeep import what_is_due
from logbook.actions.weather import weather
from logbook.actions.woodshed import wood
from logbook.house import House
from logbook.results.ash import AshState
from logbook.results.supplies import BringAnswer, BringFrom
from logbook.results.upkeep import Ahead, DueAnswer, DueItem, DueState
from logbook.results.year import YearPage, YearPart, YearRow
from logbook.setting import Setting, local_time
from logbook.wording.ash import ash_row_text
from logbook.wording.damp import damp_text
from logbook.wording.due_rows import NEVER, due_short, never_short
from logbook.wording.stays import stay_text, this_weekend_text, year_text
from logbook.wording.supplies import bring_text
from logbook.wording.upkeep import ahead_text, first_text, item_text
from logbook.wording.weather import weather_text
from logbook.wording.woodshed import lasting_text, stack_sentence, stack_text, wood_text
from logbook.wording.year import (
    bring_short,
    damp_short,
    guest_short,
    season_short,
    weather_short,
    weekend_short,
    wood_short,
    wood_to_bring,
)

TESTS = ("smoke alarm test", "co alarm test")
"""Both are one press of two buttons, and one line: alarms ok."""

WITH_DATE = ("smoke alarm", "co alarm")
"""A new one has a date printed on it, which is part of the line."""

STATES = {
    DueState.NOW: "now",
    DueState.DUE: "due",
    DueState.NEXT_STAY: "soon",
    DueState.LATER: "later",
    DueState.NOT_RECORDED: "never",
    DueState.SILENCED: "silent",
    DueState.NO_INTERVAL: "",
}
"""A margin word for how a task stands."""

ASH_HINT = {
    AshState.WAITING: "Once it may be tipped and the bucket is empty, type: ash tipped",
    AshState.WAIT_OVER: "When the bucket is empty, type: ash tipped",
}

BRING_WORDS = (
    ("Bring", "bring"),
    ("Wood", "wood"),
    ("Enough", "there"),
    ("Left undone", "undone"),
    ("Use not known", "use"),
)
"""How a row of the whole answer begins, and its margin word."""

DAMP_WORDS = (
    ("Inside", "air"),
    ("No temperature", "air"),
    ("Likely", "faces"),
    ("The surfaces need", "faces"),
    ("Seen", "seen"),
    ("Breath", "water"),
    ("Air before", "do"),
    ("The room is dry", "do"),
    ("What got wet", "do"),
)
WEATHER_WORDS = (
    ("Ahead: ", "sum"),
    ("Ahead", "ahead"),
    ("No day ahead", "ahead"),
    ("Behind", "behind"),
    ("Degree-days", "count"),
    ("Season", "season"),
    ("Your own", "record"),
    ("Forecast lows", "missed"),
)
"""The same of damp and of the weather."""

BRING_HINT = "Put something on the list: bring mouse traps 2. A level tells your own use: level water 14 L"


def year_page(house: House, *, ahead: tuple[Ahead, ...] = ()) -> YearPage:
    """The page from the log alone: no model is run.

    Args:
        house: The log as the whole year sees it.
        ahead: Upkeep written down for a time to come.
    """
    due, ashes = _due(house, ahead)
    parts = [*ashes, due, _wood(house), _bring(house), _damp(house), _weather(house), _stays(house)]
    rows = [row for found, _ in parts for row in found]
    return YearPage(as_of=house.as_of, rows=tuple(rows), parts=tuple(part for _, part in parts))


_Part = tuple[list[YearRow], YearPart]
"""The rows a part has on the page, and the part laid open."""


def _due(house: House, ahead: tuple[Ahead, ...]) -> tuple[_Part, list[_Part]]:
    """What is due and the ash, made together."""
    setting = house.setting
    answer = what_is_due(house, ahead=ahead)
    items = [item for item in answer.items if item.state is not DueState.SILENCED]
    blocks = [
        YearRow(
            word=STATES[item.state],
            part="due",
            texts=_told(item, setting),
            line=_line(item),
            more=_more(item),
        )
        for item in answer.items
    ]
    blocks += [YearRow(word="ahead", part="due", texts=(ahead_text(one, setting=setting),)) for one in ahead]
    title = "Everything, the most pressing first."
    says = YearRow(word="says", part="due", texts=(first_text(units=setting.units),))
    part = YearPart(name="due", title=title, blocks=(*blocks, says))
    return ([*_due_rows(items, setting)], part), _ash(answer, setting)


def _due_rows(items: Sequence[DueItem], setting: Setting) -> Iterator[YearRow]:
    """In the page's order; both alarm tests are one row where they stand alike, what nobody wrote too."""
    tests = [item for item in items if item.task in TESTS and item.state is DueState.NOW]
    together = len(tests) == len(TESTS) and tests[0].called_for == tests[1].called_for
    unknown = [item for item in items if item.state is DueState.NOT_RECORDED and not _used_since(item)]
    rows = [item for item in items if item not in unknown and not (together and item is tests[1])]
    pressing = [item for item in rows if item.state not in (DueState.LATER, DueState.NO_INTERVAL)]
    for item in pressing:
        yield _due_row(item, setting, name="both alarms" if together and item is tests[0] else item.task)
    if unknown:
        yield YearRow(word="due", part="due", name=NEVER, texts=(never_short(unknown),))
    yield from (_due_row(item, setting, name=item.task) for item in rows if item not in pressing)


def _due_row(item: DueItem, setting: Setting, *, name: str) -> YearRow:
    said = due_short(item, units=setting.units)
    return YearRow(word="due", part="due", name=name, texts=(said,), line=_line(item), more=_more(item))


def _used_since(item: DueItem) -> bool:
    """Whether it is of the stove's own, and the stove was used for longer than its interval."""
    return item.log_longer and item.safety and bool(item.interval.kg or item.interval.burn_days)


def _told(item: DueItem, setting: Setting) -> tuple[str, ...]:
    return tuple(text.removeprefix("! ") for text in item_text(item, setting=setting))


def _line(item: DueItem) -> str:
    """The line that says it was done just now."""
    if item.task in TESTS:
        return "alarms ok"
    return f"replaced {item.task} until " if item.task in WITH_DATE else f"did {item.task}"


def _more(item: DueItem) -> bool:
    return item.task in WITH_DATE


def _ash(answer: DueAnswer, setting: Setting) -> list[_Part]:
    """The ash in its bucket; no part where none stands. One key never says that ash was tipped."""
    if answer.ash is None:
        return []
    row = YearRow(word="ash", part="ash", texts=(ash_row_text(answer.ash, setting=setting),))
    hint = ASH_HINT.get(answer.ash.state)
    whole = YearRow(word="ash", part="ash", texts=(answer.ash_sentence,))
    blocks = (whole, *([YearRow(word="then", part="ash", texts=(hint,))] if hint else []))
    return [([row], YearPart(name="ash", title="The ash and its clock.", blocks=blocks))]


def _wood(house: House) -> _Part:
    """How long it lasts, each stack; by own stays alone, as no model is run here."""
    setting = house.setting
    answer = wood(house)
    today = local_time(house.as_of, setting.zone).date()
    if not answer.stacks:
        row = YearRow(word="wood", part="wood", texts=wood_text(answer, setting=setting))
        lasting = [
            YearRow(word="", part="wood", texts=(said,)) for said in lasting_text(answer, setting=setting)
        ]
        return [row], YearPart(name="wood", title="The wood shed.", blocks=(row, *lasting))
    lasts = lasting_text(answer, setting=setting)
    stacks = [
        YearRow(word="stack", part="wood", texts=stack_text(stack, today=today, setting=setting))
        for stack in answer.stacks
    ]
    rows = [
        *(YearRow(word="wood", part="wood", texts=(said,)) for said in wood_short(answer, setting=setting)),
        *(
            YearRow(word="wood", part="wood", texts=(stack_sentence(s, setting=setting),))
            for s in answer.stacks
        ),
    ]
    blocks = [
        *(YearRow(word="" if n else "lasts", part="wood", texts=(said,)) for n, said in enumerate(lasts)),
        *stacks,
        *(
            YearRow(word="" if n else "assumed", part="wood", texts=(said,))
            for n, said in enumerate(answer.assumed)
        ),
    ]
    return rows, YearPart(name="wood", title="The wood shed, stack by stack.", blocks=tuple(blocks))


def _bring(house: House) -> _Part:
    """What to carry; what is on the owner's list is ticked off by v."""
    setting = house.setting
    answer = bring(house, Asked(), told=None)
    got = {item.item: _got(item.source, item.item) for item in answer.items}
    rows = [
        YearRow(word="bring", part="bring", name=what, texts=(why,), line=got[item.item])
        for item, what, why in bring_short(answer, setting=setting)
    ]
    wood_said = wood_to_bring(answer, units=setting.units)
    if wood_said:
        rows.append(YearRow(word="bring", part="bring", name="wood", texts=(wood_said,)))
    if not rows:
        rows.append(YearRow(word="bring", part="bring", texts=("Nothing on the list.",)))
    return rows, YearPart(
        name="bring", title=_for_whom(answer, setting), blocks=_bring_blocks(answer, setting)
    )


def _bring_blocks(answer: BringAnswer, setting: Setting) -> tuple[YearRow, ...]:
    """The whole answer, row by row; rows of the list can be ticked off."""
    got = {item.item: _got(item.source, item.item) for item in answer.items}
    blocks = []
    for said in bring_text(answer, setting=setting)[1:]:
        if answer.wood is None and said.startswith("Wood: "):
            continue  # what the cabin loses is not asked here: the command does
        line = next((line for item, line in got.items() if said.startswith(f"  {item}")), "")
        word = next((word for begins, word in BRING_WORDS if said.startswith(begins)), "")
        blocks.append(YearRow(word=word, part="bring", texts=(said.strip(),), line=line))
    return (*blocks, YearRow(word="write", part="bring", texts=(BRING_HINT,)))


def _for_whom(answer: BringAnswer, setting: Setting) -> str:
    return bring_text(answer, setting=setting)[0]


def _got(source: BringFrom, item: str) -> str:
    """The line that says a thing of the owner's list is there."""
    return f"got {item}" if source in (BringFrom.LIST, BringFrom.LEFT_NOTE) else ""


def _damp(house: House) -> _Part:
    """Where it is likely wet, as the command says it; no model is run."""
    answer, setting = damp(house, DampAsked()), house.setting
    row = YearRow(word="damp", part="damp", texts=(damp_short(answer, setting=setting),))
    blocks = _as_printed("damp", damp_text(answer, setting=setting), DAMP_WORDS)
    return [row], YearPart(name="damp", title="The room's air, its faces, what was seen.", blocks=blocks)


def _weather(house: House) -> _Part:
    """The days typed and read, as the command says them."""
    answer, setting = weather(house), house.setting
    row = YearRow(word="weather", part="weather", texts=(weather_short(answer, setting=setting),))
    blocks = _as_printed("weather", weather_text(answer, setting=setting), WEATHER_WORDS)
    return [row], YearPart(name="weather", title="Weather by hand: typed and read.", blocks=blocks)


def _as_printed(part: str, rows: Sequence[str], words: Sequence[tuple[str, str]]) -> tuple[YearRow, ...]:
    """A command's rows as they are, each with its margin word where it begins something."""
    return tuple(
        YearRow(word=next((word for begins, word in words if said.startswith(begins)), ""),
                part=part, texts=(said,))
        for said in rows
    )  # fmt: skip


def _stays(house: House) -> _Part:
    """The season, this weekend in other years, the guest book; laid open also every stay."""
    setting = house.setting
    seasons = stays_acts.years(house).seasons
    near = stays_acts.this_weekend(house)
    every = stays_acts.stays(house).stays
    rows = [YearRow(word="season", part="stays", texts=(season_short(seasons, setting=setting),))]
    weekend, guest = weekend_short(near, setting=setting), guest_short(seasons, setting=setting)
    rows += [YearRow(word="before", part="stays", texts=(weekend,))] if weekend else []
    rows += [YearRow(word="guests", part="stays", texts=(guest,))] if guest else []
    blocks = [
        *(
            YearRow(word="season", part="stays", texts=tuple(year_text(p, setting=setting)))
            for p in reversed(seasons)
        ),
        YearRow(word="before", part="stays", texts=this_weekend_text(near, setting=setting)),
        *(
            YearRow(word="stay", part="stays", texts=tuple(stay_text(s, setting=setting)))
            for s in reversed(every)
        ),
    ]
    title = "Seasons, this weekend in other years, every stay."
    return rows, YearPart(name="stays", title=title, blocks=tuple(blocks))
