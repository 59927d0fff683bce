"""The man page, from the program's own parser: commands, flags, units, examples, exit codes.

Roff by hand, since libraries for it format by argparse, whose words differ from one Python to the next:
the page must be the same whichever made it.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator

from logbook.cli.arguments import parser
from logbook.cli.told import TOLD
from making.completions import commands_of

HEAD = """.\\" Made by scripts/made.py from the program's own help.
.TH NIGHTLOAD 1 "" "Nightload" "User Commands"
.SH NAME
nightload \\- logbook for a small cabin with a wood stove
.SH SYNOPSIS
.B nightload
[\\fB\\-\\-log\\fR \\fIFILE\\fR] [\\fB\\-\\-json\\fR] [\\fICOMMAND\\fR ...]
"""

TAIL = """.SH EXIT STATUS
.TP
0
answered
.TP
1
refused with a reason
.TP
2
bad input
.TP
3
the log could not be read or written
.SH ENVIRONMENT
.TP
NIGHTLOAD_LOG
the log to use where \\-\\-log names none
.TP
NO_COLOR
any value: no colour in the app
.SH FILES
The log is one SQLite file in this platform's data folder; on Linux
.IR ~/.local/share/nightload/ .
Learned figures lie in the cache folder and may be thrown away.
.SH SAFETY
Your stove's manual, local codes and licensed sweeps come before anything this program says.
It cannot ring, smell or see: use alarms.
"""


def man_page() -> str:
    """The whole page as roff."""
    top = parser()
    rows = [
        HEAD,
        ".SH DESCRIPTION\n",
        plain(str(top.description)),
        "\n.SH OPTIONS\n",
        *options(top),
        ".SH COMMANDS\n",
    ]
    for name, command in commands_of(top).items():
        rows += section(name, command)
    return "".join([*rows, TAIL])


def section(name: str, command: argparse.ArgumentParser) -> Iterator[str]:
    """One command: how it is written, its purpose, its flags, its examples."""
    told = TOLD[name]
    yield f".SS nightload {plain(usage(name, command))}\n{plain(told.purpose)}\n"
    yield from options(command)
    yield ".PP\n.nf\n"
    yield from (f".RS\n{plain(example)}\n.RE\n" for example in told.examples)
    yield ".fi\n"


def usage(name: str, command: argparse.ArgumentParser) -> str:
    """The command with its words, flags left to the list below."""
    words = [value_of(action) for action in command._actions if not action.option_strings]
    return (
        " ".join([name, "[options]", *words])
        if len(command._actions) > 1 + len(words)
        else " ".join([name, *words])
    )


def options(command: argparse.ArgumentParser) -> Iterator[str]:
    """Each argument with its help, but the list of commands."""
    for action in command._actions:
        if isinstance(action, argparse._SubParsersAction):
            continue
        names = ", ".join(f"\\fB{plain(one)}\\fR" for one in action.option_strings)
        value = value_of(action)
        shown = " ".join(one for one in (names, f"\\fI{plain(value)}\\fR" if value else "") if one)
        yield f".TP\n{shown}\n{plain(str(action.help).replace('%%', '%'))}\n"


def value_of(action: argparse.Action) -> str:
    """What stands for the argument's value; empty for a flag without one."""
    if action.nargs == 0:
        return ""
    if action.choices:
        name = "|".join(map(str, action.choices))
    else:
        name = (
            " ".join(action.metavar) if isinstance(action.metavar, tuple) else action.metavar or action.dest
        )
    if action.nargs in ("?", "*"):
        return f"[{name}]" if action.nargs == "?" else f"[{name} ...]"
    return f"{name} ..." if action.nargs == "+" else name


def plain(text: str) -> str:
    """Text that roff prints as it is: hyphens to copy, quotes, backslashes, no control lines."""
    text = text.replace("\\", "\\e").replace("-", "\\-")
    text = text.replace("'", "\\(aq").replace("~", "\\(ti").replace("^", "\\(ha")
    text = "".join(sign if sign.isascii() else f"\\[u{ord(sign):04X}]" for sign in text)
    return re.sub(r"^([.'])", r"\\&\1", text, flags=re.MULTILINE)
