"""Flags of stays. Light: no other command pays for it."""

from __future__ import annotations

import argparse
from typing import Any

AS_OF = "answer as if it were then: later records don't exist"


def stays_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """Stays with their guest book, seasons, this weekend in other years."""
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
