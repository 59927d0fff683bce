"""What was saved of a damaged log, in sentences."""

from __future__ import annotations

from pathlib import Path

from logbook.actions.files import LISTED, Done
from logbook.store.salvage import Salvaged
from logbook.store.salvage import salvage as save


def salvage(damaged: Path, new: Path) -> Done:
    """Save what is whole in a damaged log into a new one.

    Raises:
        LogFileError: It cannot be read, the new one is there already, or nothing of a log was found.
    """
    found = save(damaged, new)
    return Done(said=_said(damaged, new, found), refused=_left_out(found))


def _said(damaged: Path, new: Path, found: Salvaged) -> tuple[str, ...]:
    lost = len(found.left_out) + found.gone
    said = [f"{found.saved} events are in {new}. {damaged} was not changed."]
    if lost:
        said.append(
            f"{lost} events are not: {len(found.left_out)} found but not whole, "
            f"{found.gone} of which nothing was found."
        )
    else:
        said.append(
            "Every event that could be counted is among them; what came after the last can't be known."
        )
    if found.beside is not None:
        said.append(f"What is left of the others can be read in {found.beside}")
    if found.mended:
        said.append(
            f"{found.mended} edits were of an entry or edit that is lost: they stand for it in the new log."
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
    said.append(f"Look at it: nightload --log {new} events. Then put it in place: nightload restore {new}")
    return tuple(said)


def _left_out(found: Salvaged) -> tuple[str, ...]:
    listed = [f"not whole: {what}" for what in found.left_out[:LISTED]]
    if len(found.left_out) > LISTED:
        listed.append(f"and {len(found.left_out) - LISTED} more")
    return tuple(listed)
