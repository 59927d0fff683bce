"""Flags of completion, manual and licences. Light: no other command pays for it."""

from __future__ import annotations

import argparse
from typing import Any

SHELLS = ("bash", "zsh", "fish")


def shipped_commands(commands: argparse._SubParsersAction[Any]) -> None:
    """What comes with the program and is only printed."""
    completion = commands.add_parser("completion", help="completion of commands and flags for a shell")
    completion.add_argument("shell", choices=SHELLS, help="which shell: bash, zsh or fish")
    commands.add_parser("manual", help="the man page")
    licences = commands.add_parser("licences", help="the libraries it stands on, with their licences")
    licences.add_argument("--all", action="store_true", help="also those that only build and test it")
