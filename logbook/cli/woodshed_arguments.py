"""Flags of the command about the wood shed. Imports nothing heavy."""

from __future__ import annotations

import argparse
from typing import Any


def woodshed_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """What is left, how dry, for how many nights, and what to split by when."""
    wood = commands.add_parser("wood", help="the wood shed: what is left, how dry, for how many nights")
    wood.add_argument("--as-of", metavar="T", help="answer as if it were then: later records don't exist")
    wood.add_argument(
        "--quick", action="store_true", help="by your own stays alone, without what the cabin loses"
    )
