"""What comes with the program and is only printed: completions, man page, licences, version. Light."""

from __future__ import annotations

import csv
from argparse import Namespace
from importlib.resources import files

from logbook.cli.output import answer


def completion(asked: Namespace) -> int:
    """Print the completion for one shell, as ``scripts/made.py`` made it."""
    return _printed(asked, f"shell/nightload.{asked.shell}")


def manual(asked: Namespace) -> int:
    """Print the man page, as ``scripts/made.py`` made it."""
    return _printed(asked, "shell/nightload.1")


def licences(asked: Namespace) -> int:
    """Print the libraries this program stands on; with ``--all`` those that build and test it too."""
    rows = [
        row for row in csv.DictReader(_text("licences.csv").splitlines()) if asked.all or row["for"] == "run"
    ]
    columns = list(rows[0])
    widths = {name: max(len(name), *(len(row[name]) for row in rows)) for name in columns[:-1]}
    lines = [
        "  ".join([*(row[name].ljust(width) for name, width in widths.items()), row[columns[-1]]]).rstrip()
        for row in ({name: name for name in columns}, *rows)
    ]
    return answer(asked, {"libraries": rows}, ["Nightload itself: MIT.", *lines])


def version(asked: Namespace) -> int:
    """Print the program's version, the log's format and the heat model's version."""
    from importlib.metadata import version as installed  # noqa: PLC0415 - slow to load, only wanted here

    from logbook.heat.fit import MODEL_VERSION  # noqa: PLC0415 - brings numpy along
    from logbook.store.schema import SCHEMA_VERSION  # noqa: PLC0415 - as above

    program = installed("nightload")
    told = {"program": program, "log_format": SCHEMA_VERSION, "heat_model": MODEL_VERSION}
    line = f"nightload {program}, log format {SCHEMA_VERSION}, heat model {MODEL_VERSION}"
    return answer(asked, told, [line])


def _printed(asked: Namespace, name: str) -> int:
    """The text as it is, tabs and all: it is written for a program, not a person."""
    text = _text(name)
    if asked.json:
        return answer(asked, {"text": text}, [])
    print(text, end="")
    return 0


def _text(name: str) -> str:
    return (files("logbook") / name).read_text(encoding="utf-8")
