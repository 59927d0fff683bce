"""Flags of the commands about works on the cabin: compare, whatif, experiment. Imports nothing heavy."""

from __future__ import annotations

import argparse
from typing import Any

from logbook.cli.flag_values import celsius, number

AS_OF = "answer as if it were then: later records don't exist"


def works_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """Did a change help, what if, trials of nights."""
    compare = commands.add_parser("compare", help="before and after a dated change: did it help")
    compare.add_argument("name", nargs="?", metavar="NAME", help="the change; otherwise all of them")
    compare.add_argument("--as-of", metavar="T", help=AS_OF)
    whatif = commands.add_parser("whatif", help="heat loss, freezing and wood if the cabin were changed")
    whatif.add_argument(
        "steps",
        nargs="+",
        metavar="STEP",
        help='"roof +100mm mineral wool batt", "window double", "window S double", "door u 1.2", '
        '"leakiness tight", "load limit 5kg"',
    )
    whatif.add_argument(
        "--outside", metavar="C", type=celsius, help="outdoors while it cools, °C, or °F: 20F; otherwise −5"
    )
    whatif.add_argument(
        "--year", metavar='"12 MEANS"', help="monthly means of a typical year, °C, January first"
    )
    whatif.add_argument("--as-of", metavar="T", help=AS_OF)
    experiment = commands.add_parser(
        "experiment", help="nights one way, nights the other, by a word in notes"
    )
    experiment.add_argument("word", metavar="WORD", help="a word your notes use on such nights: curtain")
    experiment.add_argument("--seek", metavar="K", type=number, default=1.0, help="difference sought, °C; 1")
    experiment.add_argument("--since", metavar="T", help="leave out nights before this")
    experiment.add_argument("--as-of", metavar="T", help=AS_OF)
