"""Standard streams as a shell may hand them over: closed, full, or with an encoding that lacks a sign."""

from __future__ import annotations

import os
import sys
from io import TextIOWrapper

from logbook.cli import plain_letters

NOT_SHOWN = 3
"""Exit code when the answer could not be written."""


def ready() -> None:
    """Make every stream usable: a closed one leads nowhere, a sign it can't show is said in others."""
    plain_letters.register()
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:  # closed by who started us: >&-
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115, PTH123 - for good
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=plain_letters.NAME)  # a terminal that can't show "−" shows "-"


def leads_nowhere() -> None:
    """What is still to be written to standard output is dropped: there is nobody to read it, or no room."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def not_shown(error: OSError) -> int:
    """Say that the answer could not be written; the exit code."""
    leads_nowhere()
    try:
        print(
            f"The answer could not be written: {error.strerror or error}.\n"
            "What was asked was done all the same; see what is kept with: nightload events",
            file=sys.stderr,
        )
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stderr.fileno())
    return NOT_SHOWN
