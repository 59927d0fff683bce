"""A list as it stands: the shipped and the owner's lines, what holds, the safety order, what was ticked.

Usual cautions: the stove's manual, local codes and licensed practice come before them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from logbook.care.bring import asked_for
from logbook.care.list_conditions import ListFacts, holding
from logbook.care.list_line import Part, Shipped, part_of_words
from logbook.care.list_order import ordered, precedes, urgent_first
from logbook.care.list_own import OwnLine, lines_of
from logbook.care.list_rounds import is_item, line_meant, round_began, skipped_on_leaving, ticks
from logbook.care.list_shipped_stay import ARRIVING, LEAVING, PACKING
from logbook.care.list_shipped_year import AUTUMN, SPRING
from logbook.errors import LogbookError
from logbook.house import House
from logbook.matters import Bring
from logbook.records import MAIN_PLACE, Mark
from logbook.results.lists import (
    CO_ALARM_C,
    Condition,
    LeftOut,
    ListAnswer,
    ListLine,
    ListName,
    Why,
    WhyKind,
)

SHIPPED: dict[ListName, tuple[Shipped, ...]] = {
    ListName.PACKING: PACKING,
    ListName.ARRIVING: ARRIVING,
    ListName.LEAVING: LEAVING,
    ListName.SPRING: SPRING,
    ListName.AUTUMN: AUTUMN,
}
"""The lists as they come with the program."""

GO_WITHOUT_SAYING = frozenset(
    {Condition.FIRE_PLANNED, Condition.COLD_STOVE, Condition.PIPES, Condition.WATER, Condition.ASH_WAITS}
)
"""Conditions not given as a reason: the line says so itself, or it is how the cabin is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Candidate:
    """A line about to be placed. ``ident`` is what it is kept under in the owner's list, "" if in none."""

    line: ListLine
    part: Part


def round_of(
    name: ListName, house: House, facts: ListFacts | None = None, *, kept: str | None = None
) -> ListAnswer:
    """One list as it stands.

    Args:
        name: Which list.
        house: The log as the whole year sees it.
        facts: What is known besides; None: the log alone.
        kept: The owner's own list as it is kept; None: the shipped one.
    """
    held = holding(house, facts or ListFacts())
    own, unreadable = _own(name, kept)
    since = round_began(name, house)
    said = frozenset(tick.line.casefold() for tick in ticks(name, house, since=since))
    listed = _candidates(name, own, held.conditions, ticked=said)
    returned = _returned(name, house, listed)
    again = {candidate.line.name.casefold() for candidate in returned}
    listed = [c for c in listed if c.line.name.casefold() not in again]  # two of a name: a tick fits neither
    listed = [*returned, *_to_bring(name, house, since, listed), *listed]
    lines = _ticked(_in_order(listed, held.conditions), name, house, since)
    return ListAnswer(
        name=name,
        as_of=house.as_of,
        since=since,
        lines=tuple(lines),
        conditions=tuple(c for c in Condition if c in held.conditions),
        left_out=_left_out(name, own, held.conditions),
        unreadable=unreadable,
        outdoor_low_c=held.facts.outdoor_low_c,
        alarms_rated_from_c=CO_ALARM_C[0],
        last_left=house.last_left,
        ash_not_before=held.facts.ash_not_before,
        bucket_filled=held.bucket_filled,
        bucket_not_before=held.bucket_not_before,
        ash_live_until=held.ash_live_until,
        nest_seen=held.nest_seen,
    )


def own_lines(name: ListName, kept: str | None) -> tuple[OwnLine, ...]:
    """Every line of a list in the owner's order, those left out and those that don't apply now too.

    Raises:
        LogbookError: What is kept can't be read.
    """
    return lines_of(kept, SHIPPED[name])


def _own(name: ListName, kept: str | None) -> tuple[tuple[OwnLine, ...], bool]:
    try:
        return own_lines(name, kept), False
    except LogbookError:
        return own_lines(name, None), True  # the safety lines must stand whatever became of the owner's


def _candidates(
    name: ListName, own: Sequence[OwnLine], conditions: frozenset[Condition], *, ticked: frozenset[str]
) -> list[_Candidate]:
    """The lines that apply, in the owner's order, with their parts; a line once ``ticked`` stays."""
    shipped = {line.key: line for line in SHIPPED[name]}
    applying = {line.name for line in SHIPPED[name] if line.stands(conditions)}
    found = []
    for kept in own:
        ours = shipped.get(kept.key)
        called = ours.name if ours else kept.text
        stays = called.casefold() in ticked and called not in applying
        stands = ours.stands(conditions) if ours else conditions.issuperset(kept.when)
        if kept.out or not (stands or stays):
            continue
        line = ListLine(
            key=kept.key,
            name=called,
            text=ours.text if ours else kept.text,
            safety=ours.safety if ours else False,
            source=ours.source if ours else "",
            conditions=ours.when if ours else kept.when,
        )
        whys = tuple(
            Why(kind=WhyKind.CONDITION, what=str(c)) for c in line.conditions if c not in GO_WITHOUT_SAYING
        )
        part = ours.part if ours else part_of_words(kept.text, name)
        found.append(_Candidate(line=replace(line, whys=whys), part=part))
    return found


def _returned(name: ListName, house: House, listed: Sequence[_Candidate]) -> list[_Candidate]:
    """What was skipped on leaving: first on arriving, and in packing if it is something to carry; a line of
    that name in the list itself comes first instead."""
    carried = {bring.item.casefold() for _, bring in house.of(Bring)}
    found = []
    for tick in skipped_on_leaving(house):
        there = next((c for c in listed if c.line.name.casefold() == tick.line.casefold()), None)
        item = is_item(tick.line) or any(word in tick.line.casefold() for word in carried)
        if name is ListName.ARRIVING or (name is ListName.PACKING and item and there is None):
            own = ListLine(key="", name=tick.line, text=tick.line, safety=False)
            line, part = (there.line, there.part) if there else (own, part_of_words(tick.line, name))
            whys = (Why(kind=WhyKind.RETURNED, at=tick.at), *line.whys)
            line = replace(line, text=f"Skipped when leaving: {line.text}", whys=whys)
            found.append(_Candidate(line=line, part=part))
    return found


def _to_bring(
    name: ListName, house: House, since: datetime | None, listed: Sequence[_Candidate]
) -> list[_Candidate]:
    """What the bring list holds, in the packing list; what was got in this round stands as done."""
    if name is not ListName.PACKING:
        return []
    told = asked_for(house)
    last = {bring.item.casefold(): (at, bring) for at, bring in told}
    asked = {bring.item.casefold(): (at, bring) for at, bring in told if not bring.got}
    names = {candidate.line.name.casefold() for candidate in listed}
    found = []
    for item, (at, bring) in asked.items():
        got_at, newest = last[item]
        if item in names or (newest.got and since is not None and got_at < since):
            continue
        amount = "" if bring.amount is None else f" {bring.amount:g} {bring.unit}".rstrip()
        line = ListLine(
            key="",
            name=bring.item,
            text=f"{bring.item}{amount}",
            safety=False,
            done_at=got_at if newest.got else None,
            whys=(Why(kind=WhyKind.TO_BRING, at=at),),
        )
        found.append(_Candidate(line=line, part=Part.FREE))
    return found


def _in_order(listed: Sequence[_Candidate], conditions: frozenset[Condition]) -> list[ListLine]:
    """The lines in the owner's order as far as safety allows, each with what it waited for."""
    wanted = [each for each, _ in urgent_first(listed, [c.part for c in listed], conditions)]
    parts = [candidate.part for candidate in wanted]
    found: list[ListLine] = []
    done: list[_Candidate] = []
    for place in ordered(parts, conditions):
        line, part = wanted[place.index].line, wanted[place.index].part
        before = tuple(c.line.name for c in done if c.line.safety and precedes(c.part, part, conditions))
        waits = tuple(
            Why(kind=WhyKind.WAITS, what=wanted[i].line.name)
            for i in place.waited_for
            if wanted[i].line.safety
        )
        found.append(replace(line, before=before, whys=(*line.whys, *waits)))
        done.append(wanted[place.index])
    return found


def _ticked(
    lines: Sequence[ListLine], name: ListName, house: House, since: datetime | None
) -> list[ListLine]:
    """The lines with the times they were done or skipped in this round."""
    found = [_by_itself(line, name, house, since) for line in lines]
    for tick in ticks(name, house, since=since):
        done, skipped = (tick.at, None) if tick.done else (None, tick.at)
        meant = line_meant(tick.line, found)
        if meant is not None:
            found[found.index(meant)] = replace(meant, done_at=done, skipped_at=skipped)
        else:  # nothing said is lost: what is on no list stands at its end
            own = ListLine(key="", name=tick.line, text=tick.line, safety=False)
            found.append(replace(own, done_at=done, skipped_at=skipped))
    return found


_ANSWERED = ("alarms_at_the_door", "alarms_again", "read", "write")
"""Lines the log answers by itself."""


def _by_itself(line: ListLine, name: ListName, house: House, since: datetime | None) -> ListLine:
    """A line the log answers by itself: alarms tested, read at the door, left."""
    if line.key not in _ANSWERED:
        return line
    here = [e for e in house.between(since, house.as_of) if since is None or e.at > since]
    if line.key == "alarms_at_the_door":
        at = next((e.at for e in here if e.alarms_tested), None)
    elif line.key == "alarms_again":
        read = [e.at for e in here if e.place == MAIN_PLACE and (e.indoor_c or -99.0) >= CO_ALARM_C[0]]
        at = next((e.at for e in here if e.alarms_tested and any(t <= e.at for t in read)), None)
    elif line.key == "read":
        at = next((e.at for e in here if e.indoor_c is not None and e.outdoor_c is not None), None)
    elif line.key == "write" and name is ListName.LEAVING:
        at = next((e.at for e in here if e.mark is Mark.LEFT), None)
    else:
        return line
    return replace(line, done_at=at)


def _left_out(
    name: ListName, own: Sequence[OwnLine], conditions: frozenset[Condition]
) -> tuple[LeftOut, ...]:
    shipped = {line.key: line for line in SHIPPED[name]}
    return tuple(
        LeftOut(
            key=line.key,
            name=shipped[line.key].name,
            text=shipped[line.key].text,
            safety=shipped[line.key].safety,
            applies=shipped[line.key].stands(conditions),
        )
        for line in own
        if line.out and line.key in shipped
    )
