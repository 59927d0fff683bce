"""Settling what two sides made of one entry: one of their claims is written anew, and the others have lost.

It is an act like any other, so the next undo takes it back and the question is open again.
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from logbook.errors import BadInputError
from logbook.records import Event, NewEvent
from logbook.store.conflicts import SETTLED, Claim, Conflict, conflict_of, conflicts_in
from logbook.store.connection import connect_for_looking, explained
from logbook.store.log import Log
from logbook.store.schema import SCHEMA_VERSION


def conflicts(log: Log) -> tuple[Conflict, ...]:
    """What is not settled, in the order of the log."""
    with explained(log.path):
        found = conflicts_in(log.connection)
    return tuple(sorted(found, key=lambda conflict: _place(log.version(conflict.root))))


def unsettled_in(path: Path) -> int:
    """How many entries are not settled; the log is only looked at, and an older format has none to tell."""
    with closing(connect_for_looking(path)) as db, explained(path):
        if db.execute("PRAGMA user_version").fetchone()[0] < SCHEMA_VERSION:
            return 0
        return len(conflicts_in(db))


def conflict_named(log: Log, id_prefix: str) -> Conflict:
    """The conflict one of whose events has an identifier, or one that begins so.

    Raises:
        BadInputError: None, or more than one.
    """
    prefix = id_prefix.strip().lower()
    found = [c for c in conflicts(log) if prefix and any(n.startswith(prefix) for n in _names(c))]
    if len(found) != 1:
        which = "More than one unsettled entry has" if found else "No unsettled entry has"
        raise BadInputError(
            f"{which} an identifier that begins with '{prefix}'.\nnightload conflicts lists them."
        )
    return found[0]


def settle(log: Log, conflict: Conflict, claim: Claim) -> None:
    """Go by one claim from now on; the history keeps them all.

    Raises:
        BadInputError: Another window settled it meanwhile.
    """
    chosen = None if claim.says is None else _again(log.version(claim.says))
    with log.writing() as pen:
        if conflict_of(pen.db, conflict.root) != conflict:
            raise BadInputError("That was changed meanwhile.\nLook again: nightload conflicts")
        versions = [c for c in conflict.claims if c.says is not None]
        standing = next((c for c in conflict.claims if c.holds), None)
        taken_back = standing is None or not _is_version(log.version(standing.key))
        if not taken_back:
            assert standing is not None
            pen.supersede(log.version(standing.key), chosen)
        elif chosen is None:
            pen.supersede(log.version(versions[0].key), None)
        else:
            # What was taken back whole can't be edited: it is written anew, and its old versions rest.
            pen.record(chosen)
            pen.remember(SETTLED, " ".join(c.key for c in versions))


def _is_version(event: Event) -> bool:
    return event.act in ("record", "edit", "remove")


def _again(event: Event) -> NewEvent:
    """What an event said, to be written once more."""
    assert event.entry is not None
    return NewEvent(
        entry=event.entry,
        at_typed=event.at_typed,
        zone=event.zone,
        how=event.how,
        typed=event.typed,
        line=event.line,
    )


def _names(conflict: Conflict) -> tuple[str, ...]:
    return (conflict.root, *(c.key for c in conflict.claims), *(c.says for c in conflict.claims if c.says))


def _place(event: Event) -> tuple[int, str, str]:
    return event.counter, event.device, event.uuid
