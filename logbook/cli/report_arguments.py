"""Flags of report. Light: no other command pays for it."""

from __future__ import annotations

import argparse
from typing import Any


def report_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """A stay or a season told."""
    report = commands.add_parser("report", help="a stay or a season told, with charts, to read or to print")
    report.add_argument(
        "--stay", metavar="DATE", help="the stay this day lies in, or: last; the last one without a flag"
    )
    report.add_argument(
        "--season",
        nargs="?",
        const="last",
        metavar="YYYY",
        help="the season that begins in this year: 2025 is July 2025 to June 2026; without one the newest",
    )
    report.add_argument(
        "--reckon",
        action="store_true",
        help="make the forecasts of past nights that were not reckoned before: a second or two each",
    )
    report.add_argument("--html", metavar="FILE", help="write one file to print from a browser")
    report.add_argument("--size", choices=("a4", "letter"), default="a4", help="the paper; A4 without it")
    report.add_argument("--as-of", metavar="T", help="as it would have been then: later records don't exist")
