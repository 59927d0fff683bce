"""What can be said on the command line: commands, flags, and how times and bands are written.

``--log`` and ``--json`` may stand before or after the command, and a line of entry may begin with a minus,
so the words are sorted here before the parser sees them.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from datetime import UTC, datetime, time, tzinfo
from typing import NoReturn

from logbook.cli.coming_going_arguments import coming_going_commands
from logbook.cli.flag_values import celsius
from logbook.cli.lists_arguments import lists_commands
from logbook.cli.report_arguments import report_commands
from logbook.cli.sheet_arguments import sheet_commands
from logbook.cli.shipped_arguments import shipped_commands
from logbook.cli.stays_arguments import stays_commands
from logbook.cli.upkeep_arguments import upkeep_commands
from logbook.cli.woodshed_arguments import woodshed_commands
from logbook.cli.works_arguments import works_commands
from logbook.errors import BadInputError
from logbook.setting import YEARS

LINE_COMMANDS = ("note", "edit")
"""Commands whose words are one line of entry, minus signs and all."""

ANYWHERE = ("--json",)
ANYWHERE_WITH_VALUE = ("--log",)

WITH_VALUE = ("--band", "--try", "--night-low", "--outside", "--outdoor", "--inside", "--line")
"""Flags whose value may begin with a minus: --band -5-10, --night-low -9,5."""

_PLAIN_NEGATIVE = re.compile(r"-\d+|-\d*\.\d+", re.ASCII)
"""What argparse takes for a value by itself."""


_BAND = re.compile(r"(-?\d+(?:\.\d+)?)\s*(?:-|–|to)\s*(-?\d+(?:\.\d+)?)", re.ASCII)

AS_OF = "answer as if it were then: later records don't exist"


class Parser(argparse.ArgumentParser):
    """An argument parser whose complaints are ours: what is wrong, then what to do; exit 2."""

    def error(self, message: str) -> NoReturn:
        """Raise instead of leaving, so that one place turns errors into exit codes."""
        raise BadInputError(f"{message[:1].upper()}{message[1:]}.\nSee: {self.prog} --help")

    def format_help(self) -> str:
        """The help with the command's purpose and examples, which are loaded for it alone."""
        from logbook.cli.told import tell  # noqa: PLC0415 - as just said

        tell(self.prog.split()[-1], self)
        return super().format_help()


def parser() -> Parser:
    """Every command with its help."""
    top = Parser(
        prog="nightload",
        description="Logbook for a small cabin with a wood stove: records the evenings, learns the cabin, "
        "advises tonight's load. Without a command it opens the app.",
        epilog="Exit codes: 0 answered, 1 refused with a reason, 2 bad input, 3 the log could not be read or "
        "written. The log is --log FILE, else NIGHTLOAD_LOG, else this platform's data folder.",
    )
    top.add_argument("--log", metavar="FILE", help="the log to use")
    top.add_argument("--json", action="store_true", help="answer as JSON, SI units")
    top.add_argument("--plain", action="store_true", help="the app line by line, for a screen reader")
    top.add_argument("--version", action="store_true", help="program, log format, heat model")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)
    _log_commands(commands)
    _answer_commands(commands)
    works_commands(commands)
    coming_going_commands(commands)
    lists_commands(commands)
    upkeep_commands(commands)
    woodshed_commands(commands)
    stays_commands(commands)
    sheet_commands(commands)
    report_commands(commands)
    _file_commands(commands)
    shipped_commands(commands)
    return top


def _log_commands(commands: argparse._SubParsersAction[Parser]) -> None:
    """What goes into the log, and mending it."""
    setup = commands.add_parser("setup", help="make a log, or a new version of its description")
    setup.add_argument("file", nargs="?", metavar="FILE.toml", help="the description")
    setup.add_argument("--from", dest="since", metavar="DATE", help="from when it holds; otherwise from now")
    setup.add_argument("--example", action="store_true", help="print a commented example")
    note = commands.add_parser("note", help="record one line: -12/18 4.2kg birch air 1/4")
    note.add_argument("line", nargs="*", metavar="LINE", help="the line, quoted or not")
    note.add_argument("--yes", action="store_true", help="keep it unasked: amounts as typed, else as assumed")
    events = commands.add_parser("events", help="list what was recorded, with identifiers")
    events.add_argument("--since", metavar="T", help="from this time on")
    edit = commands.add_parser("edit", help="put another line in the place of an entry")
    edit.add_argument("line", nargs="+", metavar="ID LINE", help="identifier or its beginning, then the line")
    edit.add_argument("--yes", action="store_true", help="keep it unasked: amounts as typed, else as assumed")
    remove = commands.add_parser("remove", help="leave an entry out")
    remove.add_argument("id", metavar="ID", help="identifier of the entry, or its beginning")
    commands.add_parser("undo", help="take back the last act, whatever it was")
    commands.add_parser("redo", help="bring back what was taken back last")
    change = commands.add_parser("change", help="record a dated change to cabin or stove")
    change.add_argument("name", metavar="NAME", help="what was changed, such as: skirting")
    change.add_argument("--from", dest="since", metavar="DATE", help="since when; otherwise from now")
    bring = commands.add_parser("import", help="bring in the rows of a CSV file, or an export")
    bring.add_argument("file", metavar="FILE.csv", help="the table, or a folder that export wrote")
    bring.add_argument("--preview", action="store_true", help="change nothing, say what would be done")
    bring.add_argument("--strict", action="store_true", help="all rows or none")


def _answer_commands(commands: argparse._SubParsersAction[Parser]) -> None:
    """What the log answers."""
    fit = commands.add_parser("fit", help="heat loss, time constant, heat capacity, stove")
    fit.add_argument("--as-of", metavar="T", help=AS_OF)
    tonight = commands.add_parser("tonight", help="tonight's load, air and range")
    tonight.add_argument("--as-of", metavar="T", help=AS_OF)
    tonight.add_argument(
        "--night-low", metavar="C", type=celsius, help="forecast low of the night, °C, or °F: 20F"
    )
    tonight.add_argument("--outdoor", metavar="FILE.csv", help="outdoor temperatures ahead: at,outdoor_c")
    tonight.add_argument("--bed", metavar="HH:MM", help="when the night begins")
    tonight.add_argument("--wake", metavar="HH:MM", help="when it ends")
    tonight.add_argument("--band", metavar="LO-HI", help="wanted temperatures, °C, such as 16-22")
    tonight.add_argument("--get-up", choices=("yes", "no"), help="whether you get up for a second load")
    tonight.add_argument(
        "--try",
        dest="plan",
        metavar='"LINE; LINE"',
        help="what comes of exactly this plan; a step without a time is now, air is per cent open",
    )
    nights = commands.add_parser("nights", help="what was said before each night, and what came")
    nights.add_argument("--as-of", metavar="T", help=AS_OF)


def _file_commands(commands: argparse._SubParsersAction[Parser]) -> None:
    """Copies, other logs, the demo."""
    export = commands.add_parser("export", help="write the log as open files")
    export.add_argument("folder", metavar="DIR", help="where to")
    backup = commands.add_parser("backup", help="write a dated copy of the log")
    backup.add_argument("folder", nargs="?", metavar="DIR", help="where to; otherwise beside the log")
    restore = commands.add_parser("restore", help="put a copy in the place of the log")
    restore.add_argument("file", nargs="?", metavar="FILE", help="the copy; without it, those there are")
    merge = commands.add_parser("merge", help="bring in what another log has and this one lacks")
    merge.add_argument("file", metavar="FILE", help="the other log")
    merge.add_argument("--yes", action="store_true", help="though they look like the logs of two cabins")
    both = commands.add_parser("conflicts", help="what two computers made of one entry, and settling it")
    both.add_argument("id", nargs="?", metavar="ID", help="the entry")
    both.add_argument("number", nargs="?", type=int, metavar="N", help="which of its sides holds from now on")
    commands.add_parser("check", help="look through the whole log for damage")
    saved = commands.add_parser("salvage", help="save what is whole in a damaged log into a new one")
    saved.add_argument("damaged", metavar="DAMAGED", help="the damaged log; it is not changed")
    saved.add_argument("new", metavar="NEW.db", help="the new log; never over another file")
    demo = commands.add_parser("demo", help="the app on a fresh copy of an invented log")
    demo.add_argument("--write", metavar="FILE", help="just write that copy")
    commands.add_parser("plain", help="the app line by line, for a screen reader or a pipe")
    demo.add_argument("--plain", dest="plain_demo", action="store_true", help="line by line")
    demo.add_argument("--tonight", action="store_true", help="just answer for its last evening")


def sorted_words(words: Sequence[str]) -> list[str]:
    """Command-line words so that the parser takes them right.

    ``--log FILE`` and ``--json`` go to the front wherever they stand; the line of ``note`` and ``edit``
    goes behind ``--``, so that it may begin with a minus; a value that begins with one is tied to its flag.
    """
    front, rest = _taken_out(words)
    rest = _with_values(rest)
    at = next((i for i, word in enumerate(rest) if not word.startswith("-")), None)
    if at is None or rest[at] not in LINE_COMMANDS:
        return [*front, *rest]
    flags = [word for word in rest[at + 1 :] if word in ("--yes", "--help", "-h")]
    line = [word for word in rest[at + 1 :] if word not in (*flags, "--")]
    return [*front, *rest[: at + 1], *flags, "--", *line]


def _with_values(words: Sequence[str]) -> list[str]:
    """``--band -5-10`` as ``--band=-5-10``; the line of ``note`` and ``edit`` is left as typed."""
    out: list[str] = []
    for word in words:
        begins = word.startswith("-") and not word.startswith("--") and not _PLAIN_NEGATIVE.fullmatch(word)
        if begins and out and out[-1] in WITH_VALUE and not set(out) & set(LINE_COMMANDS):
            out[-1] = f"{out[-1]}={word}"
        else:
            out.append(word)
    return out


def _taken_out(words: Sequence[str]) -> tuple[list[str], list[str]]:
    front: list[str] = []
    rest: list[str] = []
    left = list(words)
    while left:
        word = left.pop(0)
        if word == "--":
            rest += [word, *left]
            break
        if word in ANYWHERE or word.startswith(tuple(f"{name}=" for name in ANYWHERE_WITH_VALUE)):
            front.append(word)
        elif word in ANYWHERE_WITH_VALUE:
            front += [word, *left[:1]]
            left = left[1:]
        else:
            rest.append(word)
    return front, rest


def moment(text: str, *, zone: tzinfo) -> datetime:
    """An ISO time in UTC; without an offset it is the site's local time, without a clock its midnight.

    Raises:
        BadInputError: It is no time.
    """
    try:
        at = datetime.fromisoformat(text.strip())
    except ValueError:
        raise BadInputError(
            f"'{text}' is not a time.\nWrite it as 2026-01-16T21:40, or as a date: 2026-01-16"
        ) from None
    if not YEARS[0] <= at.year <= YEARS[1]:
        raise BadInputError(
            f"'{text}' is not in the years from {YEARS[0]} to {YEARS[1]}.\nWrite it as 2026-01-16T21:40"
        )
    return (at if at.tzinfo else at.replace(tzinfo=zone)).astimezone(UTC)


def clock_time(text: str) -> time:
    """A local clock time, HH:MM.

    Raises:
        BadInputError: It is none.
    """
    hours, _, minutes = text.strip().partition(":")
    try:
        return time(int(hours), int(minutes or 0))
    except ValueError:
        raise BadInputError(f"'{text}' is not a clock time.\nWrite it as 22:30") from None


def band(text: str) -> tuple[float, float]:
    """A band of temperatures in °C, such as 16-22.

    Raises:
        BadInputError: It is none, or the wrong way round.
    """
    match = _BAND.fullmatch(text.strip().replace("−", "-").replace(",", "."))
    if match is None:
        raise BadInputError(f"'{text}' is not a band.\nWrite the lower one first: --band 16-22")
    found = float(match.group(1)), float(match.group(2))
    if not -10.0 <= found[0] < found[1] <= 45.0:
        raise BadInputError(
            f"A band from {found[0]:g} to {found[1]:g} °C can't be (−10 to 45 °C).\n"
            "Write the lower one first: --band 16-22"
        )
    return found
