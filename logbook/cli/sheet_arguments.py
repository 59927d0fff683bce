"""Flags of sheet. Light: no other command pays for it."""

from __future__ import annotations

import argparse
from typing import Any


def sheet_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """Paper."""
    sheet = commands.add_parser("sheet", help="pages to print: guest, weekend, leaving, upkeep")
    sheet.add_argument(
        "names",
        nargs="*",
        metavar="NAME",
        help="guest (for the wall), weekend (to fill in), leaving (the list), upkeep (the dated record); "
        "without one: guest and weekend",
    )
    sheet.add_argument("--html", metavar="FILE", help="write one file to print from a browser")
    sheet.add_argument("--size", choices=("a4", "letter"), default="a4", help="the paper; A4 without it")
    sheet.add_argument("--as-of", metavar="T", help="as it would have been then: later records don't exist")
