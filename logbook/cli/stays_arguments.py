"""Flags of stays, weather, bring and damp. Light: no other command pays for it."""

from __future__ import annotations

import argparse
from typing import Any

from logbook.cli.flag_values import celsius, number

AS_OF = "answer as if it were then: later records don't exist"


def stays_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """What stays were like, and what the next one takes."""
    _lived(commands)
    _ahead(commands)


def _lived(commands: argparse._SubParsersAction[Any]) -> None:
    stays = commands.add_parser("stays", help="stays with people, wood, coldest dawn and guest book")
    stays.add_argument(
        "--year",
        nargs="?",
        const="all",
        metavar="YYYY",
        help="a page for each season, or for the one that begins in this year",
    )
    stays.add_argument("--this-weekend", action="store_true", help="this weekend in other years")
    stays.add_argument("--as-of", metavar="T", help=AS_OF)
    weather = commands.add_parser("weather", help="days typed and read outside, with degree-days")
    weather.add_argument("--base", metavar="C", type=celsius, help="base of the degree-days, °C or 50F; 15.5")
    weather.add_argument("--days", metavar="N", type=int, default=14, help="days behind, one by one; 14")
    weather.add_argument("--as-of", metavar="T", help=AS_OF)


def _ahead(commands: argparse._SubParsersAction[Any]) -> None:
    bring = commands.add_parser("bring", help="what to bring, for so many people and nights")
    bring.add_argument("--people", metavar="N", type=int, help="how many go; otherwise as usual")
    bring.add_argument("--nights", metavar="M", type=int, help="how many nights; otherwise as usual")
    bring.add_argument(
        "--night-low", metavar="C", type=celsius, help="forecast low of the nights, °C, or °F: 20F"
    )
    bring.add_argument("--as-of", metavar="T", help=AS_OF)
    damp = commands.add_parser("damp", help="where it is likely to be wet, and how long to air")
    damp.add_argument("--inside", metavar="C", type=celsius, help="temperature inside now, °C, or °F: 60F")
    damp.add_argument("--rh", metavar="PCT", type=number, help="relative humidity inside now, %%")
    damp.add_argument("--outdoor", metavar="C", type=celsius, help="temperature outside now, °C, or °F: 20F")
    damp.add_argument(
        "--night-low", metavar="C", type=celsius, help="low of the nights ahead, °C, or °F: 20F"
    )
    damp.add_argument("--as-of", metavar="T", help=AS_OF)
