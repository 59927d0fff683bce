"""The completion for zsh: what its own ``_arguments`` is told of each command."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from making.typed import Command, Flag, Place, Value

HEAD = """\
#compdef nightload
# What zsh offers for nightload when Tab is pressed. Made by scripts/made.py from its own arguments.
# Installed with the program; otherwise:  nightload completion zsh > DIR/_nightload, with DIR in $fpath

_nightload() {
  local curcontext="$curcontext" state line
  local -a commands
  typeset -A opt_args
"""


def for_zsh(commands: Sequence[Command]) -> str:
    """The whole file."""
    return HEAD + "\n".join((*_commands(commands), *_top(commands[0]), *_each(commands[1:]), TAIL))


TAIL = """\
      esac
      ;;
  esac
}

if [[ $funcstack[1] == _nightload ]]; then
  _nightload "$@"
else
  compdef _nightload nightload
fi
"""
"""Read at the first Tab from a folder of functions, or by ``source``."""


def _commands(commands: Sequence[Command]) -> Iterator[str]:
    yield "  commands=("
    for one in commands:
        if one.name:
            yield f"    {_quoted(f'{one.name}:{one.says}')}"
    yield "  )"


def _top(program: Command) -> Iterator[str]:
    yield "  _arguments -C \\"
    for text in (text for flag in program.flags for text in _flag(flag)):
        yield f"    {_quoted(text)} \\"
    yield "    '(-)1:command:->command' \\"
    yield "    '(-)*::argument:->argument'"  # behind the command its own flags hold
    yield "  case $state in"
    yield "    command) _describe -t commands command commands ;;"
    yield "    argument)"
    yield "      case $words[1] in"


def _each(commands: Sequence[Command]) -> Iterator[str]:
    for one in commands:
        said = [text for flag in one.flags for text in _flag(flag)]
        said += [_place(place, at) for at, place in enumerate(one.places, 1)]
        yield f"        {one.name})"
        yield "          _arguments \\"
        yield " \\\n".join(f"            {_quoted(text)}" for text in said)
        yield "          ;;"


def _flag(flag: Flag) -> list[str]:
    """One for each of its names."""
    says = re.sub(r"([\[\]\\])", r"\\\1", flag.says)
    # A value that may be left out is not told: zsh takes the flag behind it for one.
    values = "" if flag.optional else "".join(f":{_value(value)}" for value in flag.values)
    alone = "(- : *)" if "--help" in flag.names else ""
    return [f"{alone}{'*' * flag.again}{name}[{says}]{values}" for name in flag.names]


def _place(place: Place, at: int) -> str:
    where = "*" if place.on else f"{at}:" if place.optional else f"{at}"
    return f"{where}:{_value(place.value)}"


def _value(value: Value) -> str:
    """Its name and what is offered for it."""
    name = re.sub(r'[":;]+', " ", value.name).strip()  # a ":" in it would part what is run from what is said
    if value.words:
        return f"{name}:({' '.join(value.words)})"
    if value.files:  # with the folders on the way to them
        return f"{name}:_files"
    return f"{name}:_files -/" if value.folders else f"{name}:()"  # no word, and flags stay on offer


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "'\\''") + "'"
