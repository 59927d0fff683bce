"""Completions for bash, zsh and fish, written by shtab from the program's own parser.

They are files that lie there, so that pressing Tab starts no Python: on an old laptop that takes a second.
"""

from __future__ import annotations

import argparse
import re

import shtab

from logbook.actions.sheets import SHEETS
from logbook.cli.arguments import parser
from logbook.cli.shipped_arguments import SHELLS
from logbook.results.lists import ListName

WORDS = {("list", "name"): tuple(ListName), ("sheet", "names"): SHEETS}
"""Words a command takes that its parser leaves to the command, which answers a wrong one better."""

ANYWHERE = ("log", "json")
"""Flags of the program that its commands take as well."""


FOR_A_SHELL = re.compile(r"[\":;]+")
"""What zsh takes for its own in the name of a value: HH:MM would run a command MM, which shtab lets pass."""


def completions() -> dict[str, str]:
    """The text for each shell."""
    return {shell: as_text(shtab.complete(completable(), shell=shell)) for shell in SHELLS}


def completable() -> argparse.ArgumentParser:
    """The program's parser with all that may be completed: words, files, folders, flags at both places."""
    top = parser()
    for command, one in commands_of(top).items():
        for action in one._actions:
            dress(command, action)
        one.description = None  # its short help, which is one row
        one.add_argument("--log", metavar="FILE", help="the log to use").complete = shtab.FILE
        one.add_argument("--json", action="store_true", help="answer as JSON, SI units")
    for action in top._actions:
        dress("", action)
    return top


def dress(command: str, action: argparse.Action) -> None:
    """Say what an argument's value is, where it is a word of a list, a file or a folder."""
    if words := WORDS.get((command, action.dest)):
        action.choices = words
        return
    names = action.metavar if isinstance(action.metavar, str) else ""
    action.metavar = FOR_A_SHELL.sub(" ", names).strip() or action.metavar
    if names.startswith("FILE"):
        action.complete = shtab.FILE
    elif names == "DIR":
        action.complete = shtab.DIRECTORY


def commands_of(top: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    """The commands of a parser by name."""
    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            return dict(action.choices)
    raise AssertionError("the parser has no commands")


def as_text(made: str) -> str:
    """What shtab made with one line end at the end and no blanks before line ends."""
    made = re.sub(r"\\(?=[^\x00-\x7f])", "", made)  # "°" needs no escape and would be shown with it
    return "\n".join(line.rstrip() for line in made.strip().splitlines()) + "\n"
