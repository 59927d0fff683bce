"""The owner's emergency page: kept in the log, changed line by line, written out for paper as it is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from textwrap import wrap

from logbook.actions.opening import Place
from logbook.errors import LogFileError
from logbook.results.first_frame import EmergencyPage
from logbook.store.log import Log
from logbook.store.whole import write_whole
from logbook.wording import day_text

PAGE, CHECKED = "emergency", "emergency_checked"
"""Settings: the page's text, and the time it was last changed."""

UNREADABLE = "on a day that can't be read"

PAPER_COLUMNS = 78


def written(log: Log, *, zone: str) -> EmergencyPage:
    """The page as far as it is written."""
    text, checked = log.setting(PAGE), log.setting(CHECKED)
    said = _day(checked, zone=zone) if checked else ""
    return EmergencyPage(lines=tuple(text.splitlines()) if text else (), checked=said)


def _day(checked: str, *, zone: str) -> str:
    """The page is shown whatever became of its date."""
    try:
        return day_text(datetime.fromisoformat(checked), zone=zone, year=True)
    except (ValueError, OverflowError):
        return UNREADABLE


def keep(log: Log, lines: Sequence[str], *, now: datetime) -> None:
    """Keep the page anew, whole; one act, so that undo brings the old one back."""
    clean = [line.replace("\n", " ").rstrip() for line in lines]
    while clean and not clean[-1]:
        clean.pop()
    log.add((), learned=((PAGE, "\n".join(clean)), (CHECKED, now.isoformat())))


def write_out(page: EmergencyPage, place: Place, *, name: str) -> Path:
    """Write the page as plain text beside the log, for printing; an older one is written over.

    Raises:
        LogFileError: It can't be written.
    """
    path = place.path.parent / f"{place.path.stem} emergency page.txt"
    title = f"EMERGENCY   {name}".rstrip()
    rows = [title, f"last changed {page.checked}" if page.checked else "", ""]
    for line in page.lines:
        indent = " " * (len(line) - len(line.lstrip()))
        rows += wrap(line.strip(), PAPER_COLUMNS, initial_indent=indent, subsequent_indent=indent) or [""]
    try:
        write_whole(path, "\n".join(rows) + "\n")
    except OSError as error:
        raise LogFileError(
            f"The page can't be written to {path}: {error.strerror or error}.\nCopy it by hand; it is short."
        ) from error
    return path
