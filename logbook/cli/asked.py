"""What several answering commands begin with: the log as of a time, a value that can be, how far it is."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Callable

from logbook.actions.house import house_of
from logbook.actions.opening import Place, place_of
from logbook.actions.reckoning import Known, known
from logbook.cli.flag_values import taken_as_celsius
from logbook.cli.output import as_of, warn
from logbook.entry.limits import OUTDOOR_C
from logbook.errors import BadInputError
from logbook.house import House
from logbook.setting import Setting
from logbook.store.bounded import LOGGER_ROWS

INDOOR_C = (-40.0, 60.0)
"""What a room may be for a question, °C: nobody is asked here whether a hotter one is meant."""


def told(asked: Namespace, *, logger_rows: int = LOGGER_ROWS) -> tuple[Place, Known]:
    """Where the log asked for lies, and what it tells as of the time asked for; a logger's newest rows."""
    place = place_of(asked.log)
    with place.open() as log:
        found = known(log, as_of=as_of(asked, log), logger_rows=logger_rows)
    say_degrees(asked, found.setting)
    return place, found


def house_asked(asked: Namespace) -> House:
    """The log as the whole year sees it, as of the time asked for; it needs no description."""
    with place_of(asked.log).open() as log:
        house = house_of(log, as_of=as_of(asked, log))
    say_degrees(asked, house.setting)
    return house


def say_degrees(asked: Namespace, setting: Setting) -> None:
    """Tell beside the answer how a bare temperature was taken, where the owner counts in °F."""
    warn(taken_as_celsius(asked, temperature=setting.units.temperature))


def outside_c(flag: str, value: float | None) -> float | None:
    """A temperature outside, °C, within what a line may hold.

    Raises:
        BadInputError: It can't be.
    """
    return within(flag, value, OUTDOOR_C, "°C")


def inside_c(flag: str, value: float | None) -> float | None:
    """A temperature inside, likewise."""
    return within(flag, value, INDOOR_C, "°C")


def within(flag: str, value: float | None, limits: tuple[float, float], unit: str) -> float | None:
    """The value, when it can be.

    Raises:
        BadInputError: It can't.
    """
    if value is not None and not limits[0] <= value <= limits[1]:
        raise BadInputError(
            f"{flag} {value:g} {unit} can't be ({limits[0]:g} to {limits[1]:g} {unit}).\n"
            f"Read it again and give it in {unit}{' or °F, as 70F' if unit == '°C' else ''}."
        )
    return value


def progress(what: str) -> Callable[[int, int], None]:
    """Shows how many are done and of how many, on a terminal only."""

    def show(done: int, of: int) -> None:
        if sys.stderr.isatty():
            end = "\n" if done + 1 >= of else ""
            print(f"\r{what} {done + 1} of {of} ", end=end, file=sys.stderr, flush=True)

    return show
