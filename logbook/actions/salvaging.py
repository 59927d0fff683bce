"""What was saved of a damaged log, in sentences."""

from __future__ import annotations

import shlex
from pathlib import Path

from logbook.actions.files import LISTED, Done
from logbook.store.salvage import Salvaged
from logbook.store.salvage import salvage as save
from logbook.wording.amounts import how_many


def salvage(damaged: Path, new: Path) -> Done:
    """Save what is whole in a damaged log into a new one.

    Raises:
        LogFileError: It cannot be read, the new one is there already, or nothing of a log was found.
    """
    found = save(damaged, new)
    return Done(said=_said(damaged, new, found), refused=_left_out(found))


def _said(damaged: Path, new: Path, found: Salvaged) -> tuple[str, ...]:
    lost = len(found.left_out) + found.gone
    said = [f"{_events_are(found.saved)} in {new}. {damaged} was not changed."]
    if lost:
        said.append(
            f"{_events_are(lost)} not: {len(found.left_out)} found but not whole, or with nothing left to "
            f"act on; {found.gone} of which nothing was found."
        )
    else:
        said.append(
            "Every event that could be counted is among them; what came after the last can't be known."
        )
    if found.beside is not None:
        said.append(f"What is left of the others can be read in {found.beside}")
    if found.mended:
        said.append(
            "1 edit was of an entry or edit that is lost: it stands for it there."
            if found.mended == 1
            else f"{found.mended} edits were of entries or edits that are lost: they stand for them there."
        )
    if found.nameless:
        said.append(
            f"{found.nameless} of those in it can't be proved to be as they were: the name of the act or the "
            "machine they belong to is lost. Look at them."
        )
    if not found.proved:
        said.append(
            "This log is of a format without digests: a changed letter or number inside a row can't be told."
        )
    typed = shlex.quote(str(new))
    said.append(
        f"Look at it: nightload --log {typed} events. Then put it in place: nightload restore {typed}"
    )
    return tuple(said)


def _events_are(count: int) -> str:
    return f"{how_many(count, 'event')} {'is' if count == 1 else 'are'}"


def _left_out(found: Salvaged) -> tuple[str, ...]:
    listed = [f"left out: {what}" for what in found.left_out[:LISTED]]
    if len(found.left_out) > LISTED:
        listed.append(f"and {len(found.left_out) - LISTED} more")
    return tuple(listed)
