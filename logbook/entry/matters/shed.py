"""The wood shed: stacks put up, counted again, and metered."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from logbook.entry.asking import enter_or
from logbook.entry.facts import found_number, percent_at
from logbook.entry.limits import refused
from logbook.entry.matters.dates import date_at
from logbook.entry.matters.line import (
    NOT_NAMES,
    MatterLine,
    MatterSaid,
    known_name,
    number_and_unit,
)
from logbook.entry.matters.money import HOUR_WORDS, money_at
from logbook.entry.matters.volumes import UNITS_SAID, WoodAmount, amount_starts, begins_row, wood_amount
from logbook.entry.tokens import number_text
from logbook.entry.understood import ENTER, Answer
from logbook.entry.words import SPECIES
from logbook.matters import Stack, StackCount, StackMoisture
from logbook.records import MOST_MOISTURE_PCT, Basis
from logbook.setting import local_time

LONGEST_NAME = 4
"""Words a stack's name may have. ASSUMED: more is prose."""

_WHERE = frozenset({"at", "in", "by", "under", "behind", "beside", "against", "on"})
_GONE = frozenset({"gone", "empty", "none", "nothing", "finished"})


def read_stack(line: MatterLine) -> MatterSaid | None:
    """Reads "stack birch 0.9 stere split may 2025 at north wall cost 80, 4 h"."""
    placed = _name_and_amount(line, 1)
    if placed is None:
        return _stack_without_amount(line)
    name, amount, end = placed
    stack = Stack(
        name=name,
        species=_species_in(line, name),
        volume_m3=amount.volume_m3,
        mass_kg=amount.mass_kg,
        as_said=amount.as_said,
        loose=amount.loose,
    )
    return _with_details(line, stack, end)


def read_count(line: MatterLine) -> MatterSaid | None:
    """Reads "count birch 0.4 stere", "count birch 0", "count birch gone"."""
    if line.word(2) in _GONE and line.count == 3 and _is_name(line, 1, 2):
        count = StackCount(name=_canonical(line, 1, 2), volume_m3=0.0, as_said="0")
        return MatterSaid(matter=count)
    named = known_name(line, 1, line.setting.stacks)
    bare = line.count - 1
    if bare > 1 and line.word(bare) == "0" and _is_name(line, 1, bare):
        return MatterSaid(matter=StackCount(name=_canonical(line, 1, bare), volume_m3=0.0, as_said="0"))
    placed = _name_and_amount(line, 1)
    if placed is None:
        if named is not None and 1 + named[1] == line.count:
            raise refused("How much is left of it?", f"Type count {named[0]} 0.4 stere.", line.span())
        return None
    name, amount, end = placed
    loose = line.word(end) == "loose"
    return MatterSaid(
        matter=StackCount(
            name=name, volume_m3=amount.volume_m3, mass_kg=amount.mass_kg, as_said=amount.as_said
        ),
        note=line.said(end + loose),
    )


def read_meter(line: MatterLine) -> MatterSaid | None:
    """Reads "meter birch 17 19 21% dry fresh"."""
    named = known_name(line, 1, line.setting.stacks)
    first = (
        1 + named[1]
        if named
        else next(
            (i for i in range(1, line.count) if line.word(i)[:1].isdigit() or line.word(i)[:1] == "-"),
            line.count,
        )
    )
    if not _is_name(line, 1, first):
        return None
    name = named[0] if named else line.name(1, first)
    readings, end = _readings(line, first)
    if not readings:
        if first >= line.count and (named or name in SPECIES):
            raise refused(f"What did the meter say for {name}?", f"Type meter {name} 17 19 21%.", line.span())
        return None
    basis, fresh, end = _basis_and_face(line, end)
    if not line.parted(end) and not (named or _species_in(line, name)):
        return None  # "meter reads 14 kWh"
    if min(readings) < 0.0:
        raise refused(
            f"A moisture of {number_text(min(readings))} % can't be.",
            "Type it as the meter shows it.",
            line.span(),
        )
    settled = _believed(line, readings, basis)
    if settled is None:
        return MatterSaid(matter=None, note=line.said(0), odd=True)
    moisture = StackMoisture(name=name, readings_pct=readings, basis=settled, fresh_face=fresh)
    return MatterSaid(matter=moisture, note=line.said(end))


def _readings(line: MatterLine, at: int) -> tuple[tuple[float, ...], int]:
    """Percentages one after another: "17 19 21%", "17, 19", "17/19"."""
    found: list[float] = []
    while at < line.count:
        parts = line.word(at).replace("%", "").split("/")
        numbers = [number for part in parts if (number := found_number(part)) is not None]
        if len(parts) > 1 and len(numbers) == len(parts):
            found += numbers
            at += 1 + (line.word(at + 1) == "%")
            continue
        if line.word(at) == "and":
            at += 1
        percent = percent_at(line.tokens, at)
        if percent is None:
            break
        found.append(percent[0])
        at += percent[1]
    return tuple(found), at


def _basis_and_face(line: MatterLine, at: int) -> tuple[Basis | None, bool | None, int]:
    basis, fresh = None, None
    while at < line.count:
        word = line.word(at)
        if word in {"wet", "dry"} and basis is None:
            basis = Basis(word)
            at += 2 if line.word(at + 1) == "basis" else 1
        elif word in {"fresh", "outside", "outer"} and fresh is None:
            fresh = word == "fresh"
            at += 2 if line.word(at + 1) in {"face", "faces", "split"} else 1
        else:
            break
    return basis, fresh, at


def _believed(line: MatterLine, readings: tuple[float, ...], basis: Basis | None) -> Basis | None:
    """The basis the readings can be on; asked where they can't be on the one said, None for a note."""
    most, usual = max(readings), basis or line.setting.moisture_basis
    if most <= MOST_MOISTURE_PCT[usual]:
        return usual
    shown = f"{number_text(most)} %"
    limits = (
        f"at most {MOST_MOISTURE_PCT[Basis.WET]:.0f} % of the wet wood or "
        f"{MOST_MOISTURE_PCT[Basis.DRY]:.0f} % of the dry"
    )
    if most <= MOST_MOISTURE_PCT[Basis.DRY]:
        key = line.asker.ask(
            "moisture",
            f"{shown} of the wet wood can't be ({limits}). Enter takes it of the dry wood, n keeps a note.",
            enter_or("n", enter="of the dry wood", other="a note"),
        )
        return Basis.DRY if key == ENTER else None
    line.asker.ask(
        "moisture",
        f"{shown} can't be wood ({limits}). Enter keeps it all as a note; or type it again.",
        (Answer(key=ENTER, means="a note"),),
    )
    return None


def _name_and_amount(line: MatterLine, at: int) -> tuple[str, WoodAmount, int] | None:
    """The name, the amount and where they end: "birch 0.9 stere" or "0.9 stere birch"."""
    known = known_name(line, at, line.setting.stacks)
    if known is not None and (found := wood_amount(line, at + known[1])):
        return known[0], found[0], at + known[1] + found[1]
    if amount_starts(line, at):
        return _amount_first(line, at)
    first = next((i for i in range(at, line.count) if amount_starts(line, i)), None)
    if first is None or not _is_name(line, at, first):
        return None
    found = wood_amount(line, first)
    name = _canonical(line, at, first)
    if found is None:
        if name not in line.setting.stacks and not _species_in(line, name):
            return None
        unit = number_and_unit(line, first)
        said = f'"{unit[1]}" is no measure of wood known here.' if unit and unit[1] else "How much of it?"
        raise refused(said, f"Type it like {UNITS_SAID}.", line.span(first))
    return name, found[0], first + found[1]


def _amount_first(line: MatterLine, at: int) -> tuple[str, WoodAmount, int] | None:
    if begins_row(line, at) and not line.word(at + 1)[:1].isdigit():
        return None  # "stack row fell"
    found = wood_amount(line, at)
    if found is None:
        return None
    start = at + found[1] + (line.word(at + found[1]) == "of")
    end = start
    while (
        end < line.count and end - start < LONGEST_NAME and not line.parted(end) and not _is_detail(line, end)
    ):
        end += 1
    if end == start and not line.parted(start):
        raise refused(  # "stack 2 stere split birch" was kept as a stack named "split"
            f'"{line.word(start)}" is no name of a stack.',
            "Type its name first: stack birch 2 stere split may 2025.",
            line.span(start, start + 1),
        )
    if not _is_name(line, start, end):
        return None
    return _canonical(line, start, end), found[0], end


def _is_name(line: MatterLine, first: int, last: int) -> bool:
    words = line.words(first, last)
    return (
        0 < len(words) <= LONGEST_NAME
        and words[0] not in NOT_NAMES
        and not any(line.parted(i) for i in range(first + 1, last))
    )


def _canonical(line: MatterLine, first: int, last: int) -> str:
    known = known_name(line, first, line.setting.stacks)
    if known is not None and first + known[1] == last:
        return known[0]
    return line.name(first, last)


def _species_in(line: MatterLine, name: str) -> str:
    own = line.setting.species.lower()
    return next((word for word in name.lower().split() if word in SPECIES or word == own), "")


def _stack_without_amount(line: MatterLine) -> MatterSaid | None:
    """Asks about "stack birch at the wall": a stack of which nothing is known yet, or prose."""
    known = known_name(line, 1, line.setting.stacks)
    taken = known[1] if known else int(line.word(1) in SPECIES | {line.setting.species.lower()})
    if not taken or not line.word(1):
        return None
    name = known[0] if known else line.name(1, 2)
    key = line.asker.ask(
        "amount",
        f"How much {name}? Type it like {UNITS_SAID}. Enter keeps the stack without, n as a note.",
        enter_or("n", enter="a stack of unknown size", other="a note"),
    )
    if key != ENTER:
        return None
    return _with_details(line, Stack(name=name, species=_species_in(line, name)), 1 + taken)


def _is_detail(line: MatterLine, at: int) -> bool:
    return line.word(at) in _WHERE | {"split", "loose", "cost", "stacked"} or _hours(line, at) is not None


def _hours(line: MatterLine, at: int) -> tuple[float, int] | None:
    found = number_and_unit(line, at)
    if found is None or found[1] not in HOUR_WORDS:
        return None
    return found[0], found[2]


def _with_details(line: MatterLine, stack: Stack, at: int) -> MatterSaid:
    """The stack with what follows its amount: loose, when split, where, cost, hours; the rest is a note."""
    left: list[tuple[int, int]] = []
    while at < line.count:
        word = line.word(at)
        if word in {"loose", "stacked"}:
            stack, at = replace(stack, loose=word == "loose"), at + 1
        elif word == "split" and (dated := date_at(line, at + 1, needs_year=False)):
            _not_ahead(line, at, dated[1], dated[0])
            stack, at = replace(stack, split_on=dated[0]), at + 1 + dated[1]
        elif word == "cost" and (money := money_at(line, at + 1)):
            stack, at = replace(stack, money=money[0]), at + 1 + money[1]
        elif found := _hours(line, at):
            stack, at = replace(stack, hours=found[0]), at + found[1]
        elif word in _WHERE and not stack.where and at + 1 < line.count:
            end = _end_of_place(line, at + 1)
            first = at + 1 if word in {"at", "in", "on"} else at
            stack, at = replace(stack, where=line.said(first, end)), end
        else:
            left.append((at, at + 1))
            at += 1
    return MatterSaid(matter=stack, note=joined(line, left))


def _end_of_place(line: MatterLine, at: int) -> int:
    end = at + 1
    while not line.parted(end) and not _ends_place(line, end):
        end += 1
    return end


def _ends_place(line: MatterLine, at: int) -> bool:
    return line.word(at) in {"split", "loose", "cost"} or _hours(line, at) is not None


def _not_ahead(line: MatterLine, at: int, taken: int, day: date) -> None:
    today = local_time(line.at, line.setting.zone).date()
    if day > today:
        line.asker.ask(
            "split",
            f"{line.said(at, at + 1 + taken)} is still to come. Enter keeps it so; or type it again.",
            (Answer(key=ENTER, means="kept as typed"),),
        )


def joined(line: MatterLine, spans: list[tuple[int, int]]) -> str:
    """Words left over, neighbours together, as the note keeps them."""
    runs: list[tuple[int, int]] = []
    for first, last in spans:
        if runs and runs[-1][1] == first and not line.parted(first):
            runs[-1] = runs[-1][0], last
        else:
            runs.append((first, last))
    return "; ".join(line.said(first, last) for first, last in runs)
