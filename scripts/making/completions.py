"""Completions for bash, zsh and fish, from the program's own parser.

They are files that lie there, so that pressing Tab starts no Python: on an old laptop that takes a second.
Our own few lines for each shell and no generator's, whose text would come under its licence beside ours.
"""

from __future__ import annotations

import argparse

from logbook.actions.sheets import SHEETS
from logbook.cli.arguments import parser
from logbook.results.lists import ListName
from making.in_bash import for_bash
from making.in_fish import for_fish
from making.in_zsh import for_zsh
from making.typed import Command, Flag, Place, Value

WORDS = {("list", "name"): tuple(ListName), ("sheet", "names"): SHEETS}
"""Words a command takes that its parser leaves to the command, which answers a wrong one better."""

FILES_BY_NAME = {("salvage", "damaged"), ("salvage", "new")}
"""Files whose name for the help says more than FILE."""

ANYWHERE = (
    Flag(names=("--log",), says="the log to use", values=(Value("FILE", files=True),)),
    Flag(names=("--json",), says="answer as JSON, SI units"),
)
"""Flags of the program that its commands take as well."""


def completions() -> dict[str, str]:
    """The text for each shell."""
    commands = typed()
    return {"bash": for_bash(commands), "zsh": for_zsh(commands), "fish": for_fish(commands)}


def typed() -> list[Command]:
    """The program itself, under an empty name, then each command: what may be typed behind it."""
    top = parser()
    found = [Command(name="", says="", flags=flags_of("", top), places=())]
    says = {
        one.dest: one.help or ""
        for action in top._actions
        if isinstance(action, argparse._SubParsersAction)
        for one in action._choices_actions
    }
    for name, one in commands_of(top).items():
        flags = (*flags_of(name, one), *ANYWHERE)
        found.append(Command(name=name, says=says[name], flags=flags, places=places_of(name, one)))
    return found


def commands_of(top: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    """The commands of a parser by name."""
    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            return dict(action.choices)
    raise AssertionError("the parser has no commands")


def flags_of(command: str, one: argparse.ArgumentParser) -> tuple[Flag, ...]:
    """What begins with a dash."""
    return tuple(
        Flag(
            names=tuple(action.option_strings),
            says=action.help or "",
            values=values_of(command, action),
            optional=action.nargs == argparse.OPTIONAL,
            again=isinstance(action, argparse._AppendAction),
        )
        for action in one._actions
        if action.option_strings
    )


def places_of(command: str, one: argparse.ArgumentParser) -> tuple[Place, ...]:
    """What does not begin with a dash, in its order; the choice of a command left out."""
    return tuple(
        Place(
            value=values_of(command, action)[0],
            optional=action.nargs in (argparse.OPTIONAL, argparse.ZERO_OR_MORE),
            on=action.nargs in (argparse.ZERO_OR_MORE, argparse.ONE_OR_MORE),
        )
        for action in one._actions
        if not action.option_strings
    )


def values_of(command: str, action: argparse.Action) -> tuple[Value, ...]:
    """What is typed behind a flag, or at a place: nothing, one, or as many as its parser asks for."""
    if action.nargs == 0:
        return ()
    names = action.metavar if isinstance(action.metavar, tuple) else (action.metavar or action.dest,)
    words = WORDS.get((command, action.dest)) or tuple(map(str, action.choices or ()))
    return tuple(
        Value(
            name,
            words=words,
            files=name.startswith("FILE") or (command, action.dest) in FILES_BY_NAME,
            folders=name == "DIR" or (command, action.dest) == ("import", "file"),
        )
        for name in names
    )
