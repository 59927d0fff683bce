"""When a list's round began, what was ticked in it, and what comes back from the last leaving."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from logbook.care.list_conditions import began_in_month, is_north
from logbook.care.stays import SEASON_BEGINS_MONTH
from logbook.errors import BadInputError
from logbook.house import House, StayLived
from logbook.matters import Seen, Sight, Tick, folded
from logbook.results.lists import ListLine, ListName

LEFT_LATELY = timedelta(hours=24)
"""So long after leaving the leaving list is still that of the stay that is over. The contract's figure for a
stay that is over."""

ARRIVING_LASTS = timedelta(hours=6)
"""So long after the first line of a stay its arriving list is shown unasked. ASSUMED: until it is warm."""

WORDS_FOR: dict[ListName, tuple[str, ...]] = {
    ListName.PACKING: ("packing", "pack", "packed"),
    ListName.ARRIVING: ("arriving", "arrive", "arrival", "coming"),
    ListName.LEAVING: ("leaving", "leave", "going"),
    ListName.SPRING: ("spring", "opening"),
    ListName.AUTUMN: ("autumn", "fall", "closing", "winter"),
}
"""What the lists may be called."""

_ITEM = re.compile(r"(bring|buy|get|take|pack|fetch|replace|new)\b", re.IGNORECASE)
"""A line that begins so is something to carry."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """What was last said of a line in a round."""

    line: str
    at: datetime
    done: bool


def list_named(text: str) -> ListName:
    """The list meant by a word.

    Raises:
        BadInputError: There is none of that name.
    """
    word = folded(text)
    for name, words in WORDS_FOR.items():
        if word in words:
            return name
    raise BadInputError(
        f"There is no list '{text}'.\nThe lists are: {', '.join(str(name) for name in ListName)}"
    )


def usual_list(house: House) -> ListName:
    """The list that is wanted at the moment: packing at home, arriving in the first hours, then leaving.

    Droppings or a nest seen begin no stay; long after the last one they are seen from the door all the same.
    """
    if house.stay is None:
        seen = [at for at, one in house.of(Seen) if one.sight in (Sight.DROPPINGS, Sight.NEST)]
        since = house.as_of - ARRIVING_LASTS
        if house.last_left is not None:
            since = max(since, house.last_left + LEFT_LATELY)
        return ListName.ARRIVING if seen and since < seen[-1] <= house.as_of else ListName.PACKING
    return ListName.ARRIVING if house.as_of - house.stay.start < ARRIVING_LASTS else ListName.LEAVING


def round_began(name: ListName, house: House) -> datetime | None:
    """Since when ticks count; None from the beginning.

    Packing and arriving: since the last stay ended. Leaving: since this stay began, for a day after it too.
    Spring and autumn: since the half of the year began in which their season lies.
    """
    if name in (ListName.SPRING, ListName.AUTUMN):
        north = is_north(house)
        return began_in_month(house, SEASON_BEGINS_MONTH[north if name is ListName.AUTUMN else not north])
    if name is not ListName.LEAVING:
        return house.last_left
    stay = house.stay or _left_lately(house)
    return stay.start if stay else house.last_left


def ticks(
    name: ListName, house: House, *, since: datetime | None, until: datetime | None = None
) -> tuple[Ticked, ...]:
    """The last word on every line ticked in a round, in the order of its time."""
    last: dict[str, Ticked] = {}
    for at, tick in house.of(Tick):
        mine = name in _lists_meant(tick.list_name)
        if mine and (since is None or at >= since) and (until is None or at <= until):
            last[tick.line.casefold()] = Ticked(line=tick.line, at=at, done=tick.done)
    return tuple(sorted(last.values(), key=lambda t: t.at))


def skipped_on_leaving(house: House) -> tuple[Ticked, ...]:
    """What was left for the next time on the last leaving."""
    over = [stay for stay in house.stays if not stay.going_on]
    if not over:
        return ()
    until = house.stay.start if house.stay else house.as_of
    until = min(until, over[-1].end + LEFT_LATELY)
    found = ticks(ListName.LEAVING, house, since=over[-1].start, until=until)
    return tuple(tick for tick in found if not tick.done)


def is_item(text: str) -> bool:
    """Whether a line is about something to carry, by its first word."""
    return _ITEM.match(text.strip()) is not None


def line_meant(words: str, lines: Sequence[ListLine]) -> ListLine | None:
    """The line somebody means: by its name, its text, or words only it has; None if that is not sure."""
    said = folded(words)
    exact = [line for line in lines if said in _names(line)]
    return _only(exact) or _only([line for line in lines if _has(line, said.split())])


def _names(line: ListLine) -> tuple[str, ...]:
    return line.name.casefold(), line.text.casefold(), line.key


def _has(line: ListLine, words: Sequence[str]) -> bool:
    """Words by their beginning, and not a number alone: "0" must not tick the line that says 10 ft."""
    if not any(sign.isalpha() for word in words for sign in word):
        return False
    text = f"{line.name} {line.text}".casefold()
    return all(re.search(rf"(?<!\w){re.escape(word)}", text) for word in words)


def _only(found: Sequence[ListLine]) -> ListLine | None:
    return found[0] if len(found) == 1 else None


def _left_lately(house: House) -> StayLived | None:
    stay = house.stays[-1] if house.stays else None
    return stay if stay and house.as_of - stay.end <= LEFT_LATELY else None


def _lists_meant(word: str) -> tuple[ListName, ...]:
    said = word.casefold().strip()
    return tuple(name for name, words in WORDS_FOR.items() if said in words)
