"""Commands for coming, going, and waking in the night: arrive, leave, woke."""

from __future__ import annotations

import shutil
import textwrap
from argparse import Namespace
from collections.abc import Iterable, Iterator

from logbook.actions import coming_going
from logbook.actions.coming_going import Door
from logbook.actions.opening import Place, place_of
from logbook.actions.reckoning import Known, known
from logbook.actions.tonight import Request
from logbook.cli.arguments import band, clock_time
from logbook.cli.output import answer, as_of
from logbook.errors import BadInputError
from logbook.journeys_json import arrive_json, leave_json, woke_json
from logbook.wording.coming_going import arrive_text, leave_text, woke_text

OUTSIDE_C = (-70.0, 45.0)
INSIDE_C = (-60.0, 60.0)
RH_PCT = (1.0, 100.0)
"""What is taken; beyond it it is a slip. ASSUMED: past any weather, room or hygrometer."""


def arrive(asked: Namespace) -> int:
    """Warm-up in stages, with the list for the door."""
    door = Door(
        outdoor_c=_within("--outdoor", asked.outdoor, OUTSIDE_C, "°C"),
        night_low_c=_within("--night-low", asked.night_low, OUTSIDE_C, "°C"),
        inside_c=_within("--inside", asked.inside, INSIDE_C, "°C"),
        rh_pct=_within("--rh", asked.rh, RH_PCT, "%"),
        droppings=asked.droppings,
    )
    place, told = _told(asked)
    got = coming_going.arrive(told, door, cache=place.cache)
    return answer(asked, arrive_json(got, zone=told.zone), _wrapped(arrive_text(got, setting=told.setting)))


def leave(asked: Namespace) -> int:
    """Hours until the room is down to each line, with the list for going."""
    door = Door(
        outdoor_c=_within("--outdoor", asked.outdoor, OUTSIDE_C, "°C"),
        night_low_c=_within("--night-low", asked.night_low, OUTSIDE_C, "°C"),
        inside_c=_within("--inside", asked.inside, INSIDE_C, "°C"),
        lines_c=tuple(x for x in (_within("--line", c, INSIDE_C, "°C") for c in asked.line) if x is not None),
    )
    place, told = _told(asked)
    got = coming_going.leave(told, door, cache=place.cache)
    return answer(asked, leave_json(got, zone=told.zone), _wrapped(leave_text(got, setting=told.setting)))


def woke(asked: Namespace) -> int:
    """Let it burn, open the window, or reload; what each gives by morning."""
    place, told = _told(asked)
    request = Request(
        as_of=told.as_of,
        night_low_c=_within("--night-low", asked.night_low, OUTSIDE_C, "°C"),
        wake=clock_time(asked.wake) if asked.wake else None,
        band_c=band(asked.band) if asked.band else None,
    )
    got = coming_going.woke(told, request, cache=place.cache)
    return answer(asked, woke_json(got, zone=told.zone), _wrapped(woke_text(got, setting=told.setting)))


def _told(asked: Namespace) -> tuple[Place, Known]:
    place = place_of(asked.log)
    with place.open() as log:
        return place, known(log, as_of=as_of(asked, log))


def _within(flag: str, value: float | None, limits: tuple[float, float], unit: str) -> float | None:
    """The value, when it can be.

    Raises:
        BadInputError: It can't.
    """
    if value is not None and not limits[0] <= value <= limits[1]:
        raise BadInputError(
            f"{flag} {value:g} {unit} can't be ({limits[0]:g} to {limits[1]:g} {unit}).\n"
            f"Read it again and give it in {unit}."
        )
    return value


def _wrapped(rows: Iterable[str]) -> Iterator[str]:
    """Rows at the width of the terminal, what follows on a row set in."""
    columns = min(shutil.get_terminal_size((80, 24)).columns, 120)
    for row in rows:
        hang = " " * (
            len(row) - len(row.lstrip(" ")) + (3 if row.lstrip(" ")[:2].strip(".").isdigit() else 2)
        )
        yield from textwrap.wrap(row, columns, subsequent_indent=hang, break_long_words=False) or [""]
