"""Flags of list. Light: no other command pays for it."""

from __future__ import annotations

import argparse
from typing import Any

from logbook.cli.flag_values import celsius

AS_OF = "answer as if it were then: later records don't exist"

USAGE = """nightload list [LIST] [--done LINE | --skip LINE | --out LINE |
                      --back LINE | --add TEXT | --move N M | --paper] [options]"""
"""By hand: Python 3.11 and 3.12 don't break a row of choices."""


def lists_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """Packing, arriving, leaving, spring, autumn."""
    lists = commands.add_parser(
        "list",
        help="packing, arriving, leaving, spring, autumn: your lines, your order",
        usage=USAGE,
    )
    lists.add_argument("name", nargs="?", metavar="LIST", help="which; otherwise the one wanted now")
    act = lists.add_mutually_exclusive_group()
    act.add_argument("--done", metavar="LINE", help="a line is done: its number, name or words")
    act.add_argument("--skip", metavar="LINE", help="not this time; from leaving it comes back on arriving")
    act.add_argument("--add", metavar="TEXT", help="a line of your own")
    act.add_argument("--out", metavar="LINE", help="leave a line out for good")
    act.add_argument("--back", metavar="LINE", help="bring back a line you left out")
    act.add_argument("--move", nargs=2, metavar=("N", "M"), help="line N to the place of line M")
    act.add_argument("--paper", action="store_true", help="a plain page to print")
    lists.add_argument("--before", metavar="LINE", help="with --add: before this line; otherwise at the end")
    lists.add_argument(
        "--when",
        metavar="CONDITION",
        action="append",
        default=[],
        help="with --add: only with frost, frost inside, droppings, away (a month), first stay, guests, "
        "water, nest, coals, ash",
    )
    lists.add_argument("--droppings", action="store_true", help="droppings were seen: airing comes first")
    lists.add_argument("--guests", action="store_true", help="guests are coming or there")
    lists.add_argument(
        "--night-low", metavar="C", type=celsius, help="low of the nights ahead, °C, or °F: 20F"
    )
    lists.add_argument("--as-of", metavar="T", help=AS_OF)
