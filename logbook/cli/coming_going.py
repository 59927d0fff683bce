"""Commands for coming, going, and waking in the night: arrive, leave, woke."""

from __future__ import annotations

import shutil
import textwrap
from argparse import Namespace
from collections.abc import Iterable, Iterator

from logbook.actions import coming_going
from logbook.actions.coming_going import Door
from logbook.actions.lists import lists_of
from logbook.actions.tonight import Request
from logbook.as_json.journeys import arrive_json, leave_json, woke_json
from logbook.cli.arguments import band, clock_time
from logbook.cli.asked import inside_c, outside_c, within
from logbook.cli.asked import told as told_of
from logbook.cli.output import answer
from logbook.wording.coming_going import arrive_text, leave_text, woke_text

RH_PCT = (1.0, 100.0)
"""What is taken; beyond it it is a slip. ASSUMED: past any weather, room or hygrometer."""


def arrive(asked: Namespace) -> int:
    """Warm-up in stages, with the list for the door."""
    door = Door(
        outdoor_c=outside_c("--outdoor", asked.outdoor),
        night_low_c=outside_c("--night-low", asked.night_low),
        inside_c=inside_c("--inside", asked.inside),
        rh_pct=within("--rh", asked.rh, RH_PCT, "%"),
        droppings=asked.droppings,
    )
    place, told = told_of(asked)
    with place.open() as log:
        lists = lists_of(log, as_of=told.as_of, read=told.read)
    got = coming_going.arrive(told, door, lists=lists, cache=place.cache)
    return answer(asked, arrive_json(got, zone=told.zone), _wrapped(arrive_text(got, setting=told.setting)))


def leave(asked: Namespace) -> int:
    """Hours until the room is down to each line, with the list for going."""
    door = Door(
        outdoor_c=outside_c("--outdoor", asked.outdoor),
        night_low_c=outside_c("--night-low", asked.night_low),
        inside_c=inside_c("--inside", asked.inside),
        lines_c=tuple(x for x in (inside_c("--line", c) for c in asked.line) if x is not None),
    )
    place, told = told_of(asked)
    with place.open() as log:
        lists = lists_of(log, as_of=told.as_of, read=told.read)
    got = coming_going.leave(told, door, lists=lists, cache=place.cache)
    return answer(asked, leave_json(got, zone=told.zone), _wrapped(leave_text(got, setting=told.setting)))


def woke(asked: Namespace) -> int:
    """Let it burn, open the window, or reload; what each gives by morning."""
    place, told = told_of(asked)
    request = Request(
        as_of=told.as_of,
        night_low_c=outside_c("--night-low", asked.night_low),
        wake=clock_time(asked.wake) if asked.wake else None,
        band_c=band(asked.band) if asked.band else None,
    )
    got = coming_going.woke(told, request, cache=place.cache)
    return answer(asked, woke_json(got, zone=told.zone), _wrapped(woke_text(got, setting=told.setting)))


def _wrapped(rows: Iterable[str]) -> Iterator[str]:
    """Rows at the width of the terminal, what follows on a row set in."""
    columns = min(shutil.get_terminal_size((80, 24)).columns, 120)
    for row in rows:
        hang = " " * (
            len(row) - len(row.lstrip(" ")) + (3 if row.lstrip(" ")[:2].strip(".").isdigit() else 2)
        )
        yield from textwrap.wrap(row, columns, subsequent_indent=hang, break_long_words=False) or [""]
