"""Flags of arrive, leave and woke. Light: no other command pays for it."""

from __future__ import annotations

import argparse
from typing import Any

from logbook.cli.flag_values import celsius, number

AS_OF = "answer as if it were then: later records don't exist"
OUTDOOR = "temperature outside now, °C, or °F: 20F"
NIGHT_LOW = "low of the nights ahead, °C, or °F: 20F"
INSIDE = "temperature inside now, °C, or °F: 50F, where it is not written down"


def coming_going_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """Coming, going, and awake in the night."""
    arrive = commands.add_parser("arrive", help="the list for the door, and how long it takes to get warm")
    arrive.add_argument("--as-of", metavar="T", help=AS_OF)
    arrive.add_argument("--outdoor", metavar="C", type=celsius, help=OUTDOOR)
    arrive.add_argument("--night-low", metavar="C", type=celsius, help=NIGHT_LOW)
    arrive.add_argument("--inside", metavar="C", type=celsius, help=INSIDE)
    arrive.add_argument("--rh", metavar="PCT", type=number, help="relative humidity inside now, %%")
    arrive.add_argument("--droppings", action="store_true", help="droppings were seen: airing comes first")
    leave = commands.add_parser("leave", help="the list for going, and how long until the room is cold")
    leave.add_argument("--as-of", metavar="T", help=AS_OF)
    leave.add_argument("--outdoor", metavar="C", type=celsius, help=OUTDOOR)
    leave.add_argument("--night-low", metavar="C", type=celsius, help=NIGHT_LOW)
    leave.add_argument("--inside", metavar="C", type=celsius, help=INSIDE)
    leave.add_argument(
        "--line",
        metavar="C",
        type=celsius,
        action="append",
        default=[],
        help="one more line to wait for, °C or 40F",
    )
    woke = commands.add_parser("woke", help="awake in the night: let it burn, window, or a little more wood")
    woke.add_argument("--as-of", metavar="T", help=AS_OF)
    woke.add_argument(
        "--night-low", metavar="C", type=celsius, help="forecast low of the night, °C, or °F: 20F"
    )
    woke.add_argument("--wake", metavar="HH:MM", help="when the night ends")
    woke.add_argument("--band", metavar="LO-HI", help="wanted temperatures, °C, such as 16-22")
