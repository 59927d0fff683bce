"""Flags of the command about upkeep. Imports nothing heavy."""

from __future__ import annotations

import argparse
from typing import Any


def upkeep_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """What is due, and the record."""
    due = commands.add_parser("due", help="upkeep that is due, the ash's date, and the upkeep record")
    due.add_argument("--all", action="store_true", help="every task, with its interval and source")
    due.add_argument(
        "--record", action="store_true", help="the dated record, to print for an insurer or buyer"
    )
    due.add_argument("--as-of", metavar="T", help="answer as if it were then: later records don't exist")
