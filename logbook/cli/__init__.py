"""Commands: arguments in, sentences or JSON out. The one place where errors become exit codes.

Each group of commands is a module that is imported when one of its commands runs: ``tonight`` must answer
within a second and ``note`` sooner, so neither pays for the other.
"""

from __future__ import annotations

import gc
import sys
import warnings
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any

from logbook.cli import streams
from logbook.errors import LogbookError
from logbook.shown import shown

if TYPE_CHECKING:
    from argparse import Namespace

MODULE_OF = {
    **dict.fromkeys(("note", "edit", "remove", "undo", "redo", "change", "events"), "lines"),
    **dict.fromkeys(("fit", "tonight", "nights"), "answers"),
    **dict.fromkeys(("compare", "whatif", "experiment"), "works"),
    **dict.fromkeys(("arrive", "leave", "woke"), "coming_going"),
    **dict.fromkeys(("setup", "import", "export", "backup", "restore", "merge", "check", "salvage"), "files"),
    "conflicts": "conflicts",
    "stays": "stays",
    "damp": "damp",
    "bring": "bring",
    "list": "lists",
    "weather": "weather",
    "due": "upkeep",
    "sheet": "sheet",
    "report": "report",
    "wood": "woodshed",
    "demo": "demo",
    "plain": "plain",
    **dict.fromkeys(("completion", "manual", "licences"), "shipped"),
}
"""Which module of this package has a command; its function has the command's name."""

FUNCTION_OF = {"import": "import_", "list": "list_"}
"""Functions that can't have their command's name: Python has it."""

BETWEEN_SEARCHES = 200_000
"""Things made between two searches for rubbish. ASSUMED: some tens of MB."""

STOPPED = 130
"""Exit code when stopped by Ctrl-C, as shells have it."""


def main(words: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        words: Command-line words without the program's name; None: those of this process.

    Returns:
        The exit code: 0 answered, 1 refused with a reason, 2 bad input, 3 the log could not be used.
    """
    streams.ready()
    try:
        with warnings.catch_warnings():
            _say_warnings()
            code = _run(sys.argv[1:] if words is None else words)
        sys.stdout.flush()
    except LogbookError as error:
        print(shown(str(error)), file=sys.stderr)
        return error.exit_code
    except BrokenPipeError:  # the reader of our output went away, such as `| head`
        streams.leads_nowhere()
        return 0
    except OSError as error:
        if error.filename is not None:
            raise  # about a file, and should have been said as such
        return streams.not_shown(error)
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return STOPPED
    return code


def _run(words: Sequence[str]) -> int:
    if not words and _at_a_terminal():
        return _app(None)  # the app's first frame doesn't wait for a parser with nothing to parse
    from logbook.cli.arguments import parser, sorted_words  # noqa: PLC0415 - as just said
    from logbook.cli.flag_values import settled  # noqa: PLC0415 - it is loaded with the parser

    asked = settled(parser().parse_args(sorted_words(words)))
    if asked.version:
        from logbook.cli.shipped import version  # noqa: PLC0415 - only wanted here

        return version(asked)
    if asked.command is None and not asked.plain:
        if not asked.json and _at_a_terminal():
            return _app(asked.log)
        parser().print_help()
        return 0
    asked.command = asked.command or "plain"
    module = import_module(f"logbook.cli.{MODULE_OF[asked.command]}")
    # A command ends soon, and years of entries are no rubbish: searches among them took a fifth of its time.
    gc.set_threshold(BETWEEN_SEARCHES)
    run: Callable[[Namespace], int] = getattr(module, FUNCTION_OF.get(asked.command, asked.command))
    return run(asked)


def _say_warnings() -> None:
    """Have what the store warns of (a log that can't be written) said once, in its words alone."""
    warnings.simplefilter("always", UserWarning)
    usual, said = warnings.showwarning, set[str]()

    def say(message: Warning | str, category: type[Warning], *where: Any, **more: Any) -> None:
        if not category.__module__.startswith("logbook."):
            usual(message, category, *where, **more)
        elif str(message) not in said:
            said.add(str(message))
            print(shown(str(message)), file=sys.stderr)

    warnings.showwarning = say


def _at_a_terminal() -> bool:
    """Whether somebody can see a screen and press keys."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def _app(log: str | None) -> int:
    gc.disable()  # what is loaded stays: looking it through for rubbish costs 15 ms. The app turns it on
    try:
        from logbook.cli.app import open_app  # noqa: PLC0415 - the app is loaded when it is wanted

        open_app(log)
    finally:
        gc.enable()
    return 0
