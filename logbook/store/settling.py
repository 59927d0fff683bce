"""Settling what two sides made of one entry: one of their claims is written anew, and the others have lost.

It is an act like any other, so the next undo takes it back and the question is open again.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from logbook.description import parse_description
from logbook.errors import BadInputError
from logbook.records import Event, NewEvent
from logbook.store.conflicts import Claim, Conflict, conflict_of, conflicts_in
from logbook.store.connection import connect_for_looking, explained
from logbook.store.log import Log
from logbook.store.schema import SCHEMA_VERSION
from logbook.store.sides import DESCRIBED, Side, Sides, told_apart

NOT_TOLD = ("left_out", "emergency_checked")
"""Settings whose sides are no matter: of the one ``actions.left_out`` joins them, the other is a date."""


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
        return len(conflicts_in(db)) + len(_settings_apart(db))


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
        versions = [(c.key, c.says) for c in conflict.claims if c.says is not None]
        standing = next((c for c in conflict.claims if c.holds), None)
        taken_back = standing is None or not _is_version(log.version(standing.key))
        if not taken_back:
            assert standing is not None
            pen.supersede(log.version(standing.key), chosen)
        elif chosen is None:
            pen.supersede(log.version(versions[0][1]), None)
        else:
            # What was taken back whole can't be edited: it is written anew, and its old versions rest.
            pen.record(chosen)
            pen.settle(conflict.root, [key for key, _ in versions])


def settings_apart(log: Log) -> tuple[Sides, ...]:
    """Settings, and the description, that computers changed apart from each other."""
    with explained(log.path):
        return _settings_apart(log.connection)


def _settings_apart(db: sqlite3.Connection) -> tuple[Sides, ...]:
    return tuple(sides for sides in told_apart(db) if sides.name not in NOT_TOLD)


def setting_named(log: Log, id_prefix: str) -> Sides | None:
    """The one of which a side has an identifier that begins so; None where none or more than one does."""
    prefix = id_prefix.strip().lower()
    found = [
        sides
        for sides in settings_apart(log)
        if prefix and any(side.uuid.startswith(prefix) for side in sides.sides)
    ]
    return found[0] if len(found) == 1 else None


def settle_setting(log: Log, sides: Sides, chosen: Side) -> None:
    """Keep one side anew: whoever writes it knows of all of them. A description holds from now on."""
    if sides.name != DESCRIBED:
        log.set_setting(sides.name, chosen.value)
        return
    since = max((d.valid_from for d in log.descriptions() if d.valid_from), default=log.clock())
    described = parse_description(chosen.value, machine_zone="UTC")
    log.add_description(described, max(since, log.clock()))


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
