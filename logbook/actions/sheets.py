"""Sheets for printing: for a guest, for the weekend, the leaving list, the upkeep record."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from statistics import median
from zoneinfo import ZoneInfo

from logbook.actions import emergency
from logbook.actions.house import house_of
from logbook.actions.lists import list_now
from logbook.actions.standing import usual_turn_down
from logbook.actions.tonight import said_cautions
from logbook.actions.upkeep import house_and_ahead, the_record, when_written
from logbook.care.alarms import alarm_dates
from logbook.care.list_conditions import nest_since
from logbook.errors import BadInputError, NoDescriptionError
from logbook.heat.cautions import RULES, Facts, Scope
from logbook.heat.outcome import COLD_OPEN_MINUTES
from logbook.house import House
from logbook.paper.document import Block, Heading, Lines, Page, Para, Size, Steps, Table
from logbook.paper.text import ROWS, lines_of
from logbook.records import Description
from logbook.results.copying import COPY_CELLS
from logbook.results.sheets import GuestCard
from logbook.store.log import Log
from logbook.wording import sheets as words
from logbook.wording.lists import paper_rows
from logbook.wording.upkeep import record_text

SHEETS = ("guest", "weekend", "leaving", "upkeep")
"""What can be printed by name."""

ON_THE_WALL = ("manual_first",)
"""Standing cautions that go onto the guest sheet word for word; the others are said in its steps."""

WEEKEND_ROWS = 20
"""Rows of a weekend sheet: what fits one sheet with room for a pencil."""


def sheet(log: Log, name: str, *, as_of: datetime) -> Page:
    """One page by its name.

    Raises:
        BadInputError: There is no such sheet.
        NoDescriptionError: The guest sheet needs the description.
    """
    makers: dict[str, Callable[[Log, datetime], Page]] = {
        "guest": _guest,
        "weekend": _weekend,
        "leaving": _leaving,
        "upkeep": _upkeep,
    }
    if name not in makers:
        raise BadInputError(f"There is no sheet '{name}'.\nSheets: {', '.join(SHEETS)}.")
    return makers[name](log, as_of)


def guest_card(log: Log, house: House) -> GuestCard:
    """What the guest sheet is made from.

    Raises:
        NoDescriptionError: Nothing is known of the stove.
    """
    described = house.description
    if described is None:
        raise NoDescriptionError(
            "A sheet for guests needs the stove: its limit, its lever, its least clean air.\n"
            "Describe it first: nightload setup --example"
        )
    stove, zone = described.stove, house.setting.zone
    loads = [load.kg for load in house.burned]
    habit = usual_turn_down(house.entries)
    return GuestCard(
        place=described.site.name,
        written_on=house.as_of.astimezone(ZoneInfo(zone)).date(),
        units=described.units,
        lever_reads=stove.air_lever_reads,
        max_load_kg=stove.max_load_kg,
        usual_load_kg=median(loads) if loads and median(loads) <= stove.max_load_kg else None,
        pieces_kg=described.wood.pieces_kg,
        clean_floor_pct=stove.clean_floor_open_pct,
        clean_floor_assumed=stove.clean_floor_assumed,
        open_minutes=stove.open_minutes,
        usual_air_pct=habit[1] if habit else stove.clean_floor_open_pct,
        usual_minutes=habit[0] if habit else stove.open_minutes,
        cold_minutes=max(COLD_OPEN_MINUTES, stove.open_minutes),
        bed=described.comfort.bed,
        emergency=emergency.written(log, zone=zone).lines,
        cautions=_standing(),
        wrong_now=_wrong_now(house, described),
    )


def _wrong_now(house: House, described: Description) -> tuple[str, ...]:
    """What a guest must know of this day: an alarm past its date, a nest in the cap."""
    dates = alarm_dates(described, [e for e in house.entries if e.matter is not None], as_of=house.as_of)
    today = house.as_of.astimezone(ZoneInfo(house.setting.zone)).date()
    facts = Facts(
        smoke_expired=dates.smoke is not None and dates.smoke <= today,
        co_expired=dates.co is not None and dates.co <= today,
        nest_seen=nest_since(house),
    )
    said = said_cautions(facts, frozenset({Scope.FIRST, Scope.ANSWER}), setting=house.setting)
    return tuple(caution for caution in said if caution not in _standing())


def _guest(log: Log, as_of: datetime) -> Page:
    return guest_page(guest_card(log, house_of(log, as_of=as_of)))


def guest_page(card: GuestCard) -> Page:
    """The guest sheet; the longer the owner's emergency page, the closer it is set.

    First the owner's lines share a paragraph, then the steps share a heading, then the usual load is left
    out. No safety step is, nor any line of the owner's: with more than that it goes onto two sheets.
    """
    lines = tuple(line.strip() for line in card.emergency if line.strip())
    together = (words.lines_together(lines),) if lines else ()
    short = replace(card, usual_load_kg=None)
    for page in (
        _guest_page(card, lines, _steps_apart(card)),
        _guest_page(card, together, _steps_apart(card)),
        _guest_page(card, together, _steps_together(card)),
        _guest_page(short, together, _steps_together(short)),
    ):
        if all(lines_of(page, size=size) <= ROWS[size] for size in Size):
            return page
    return replace(_guest_page(card, lines, _steps_apart(card)), many=True)


def _guest_page(card: GuestCard, own: Sequence[str], steps: tuple[Block, ...]) -> Page:
    title, below = words.guest_title(card)
    return Page(
        title=title,
        below=below,
        blocks=(
            Para(words.OUT_FIRST, strong=True),
            *(map(Para, own) if own else (Para(words.NO_PAGE, strong=True),)),
            Para(words.UNTIL_SAFE),
            *(Para(said, strong=True) for said in card.wrong_now),
            *steps,
        ),
        foot=" ".join(card.cautions),
    )


def _steps_apart(card: GuestCard) -> tuple[Block, ...]:
    return (
        Heading("Before any fire"),
        Steps(words.before_lighting(card)),
        Heading("Lighting a cold stove"),
        Steps(words.lighting(card)),
        Heading("Every load"),
        Steps(words.every_load(card)),
        Heading("For the night"),
        Steps(words.for_the_night(card)),
    )


def _steps_together(card: GuestCard) -> tuple[Block, ...]:
    fire = (*words.lighting(card), *words.every_load(card), *words.for_the_night(card))
    return (
        Heading("Before any fire"),
        Steps(words.before_lighting(card)),
        Heading("Lighting a cold stove, then every load, then the night"),
        Steps(fire),
    )


def _weekend(log: Log, as_of: datetime) -> Page:
    house = house_of(log, as_of=as_of)
    described = house.description
    lever = described.stove.air_lever_reads if described else "open"
    place = f", {described.site.name}" if described and described.site.name else ""
    return Page(
        title=f"Weekend sheet{place}",
        below=words.weekend_below(),
        blocks=(
            Para(
                words.weekend_how(
                    lever, described.wood.pieces_kg if described else (), units=house.setting.units
                )
            ),
            Table(COPY_CELLS, widths=(9, 10, 9, 18, 12, 32), blank=WEEKEND_ROWS),
        ),
        foot=words.WEEKEND_FOOT,
    )


def _leaving(log: Log, as_of: datetime) -> Page:
    house = house_of(log, as_of=as_of)
    answer = list_now(log, "leaving", now=as_of)
    name = house.description.site.name if house.description else ""
    first, *rows = paper_rows(answer, setting=house.setting, name=name)
    lines = tuple(line.text for line in answer.lines)
    around = [words for margin, words in rows if not margin and words.strip()]
    return Page(
        title=first[1],
        blocks=(*(Para(said) for said in around), Steps(lines, boxes=True), Lines(2)),
        foot=" ".join(_standing()),
    )


def _upkeep(log: Log, as_of: datetime) -> Page:
    house, ahead = house_and_ahead(log, as_of=as_of)
    record = the_record(house, ahead=ahead, written=when_written(log, as_of=as_of))
    title, below, *_ = record_text(record, setting=house.setting)
    cells = words.record_cells(record.rows, units=house.setting.units)
    table = Table(words.RECORD_COLUMNS, cells, widths=(13, 20, 30, 10, 8), blank=0 if len(cells) > 12 else 4)
    return Page(title=title, below=below, blocks=(table, Para(words.tests_said(record.rows))), many=True)


def _standing() -> tuple[str, ...]:
    return tuple(rule.sentence for rule in RULES if rule.name in ON_THE_WALL)
