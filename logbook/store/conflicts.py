"""What two sides made of one entry, apart from each other, and which of it holds.

Every edit and removal names the version it replaced, so the versions of an entry are a tree; where two of its
ends still stand, or one stands on a version that was taken back, somebody did not know of the other. That
follows from the events alone, so every log that has them says the same, before and after further merges.
Who changes such an entry, or says that it is right as it is, settles it: the setting ``settled`` of that act
names the ends that lost, and taking the act back opens the question again.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from logbook.store.rows import ENTRY_COLUMNS, Row

SETTLED = "settled"
"""Setting: the keys of claims that lost, set apart by blanks. Each such event counts, not the last alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """What one side says of an entry.

    Attributes:
        key: The event that says it: a version, or the undo that took one back.
        says: The version whose entry is meant; None: there shall be none.
        holds: Whether the log goes by it.
    """

    key: str
    says: str | None
    holds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """An entry with more than one claim, by its first event; what holds first, then newest first."""

    root: str
    claims: tuple[Claim, ...]


@dataclass(frozen=True, slots=True)
class _Version:
    """One version: what it replaced, whether it leaves the entry out, what took it back if anything did,
    and on which device."""

    uuid: str
    replaces: str | None
    removes: bool
    taken_back_by: str | None
    taken_back_on: str | None


_CHANGED = (
    "SELECT root FROM event WHERE root IS NOT NULL GROUP BY root HAVING count(*) > 1"
    " UNION SELECT c.root FROM event AS c JOIN event AS r ON r.uuid = c.root"
    " WHERE r.batch IN (SELECT batch FROM undone)"
)
"""Entries that may have more than one claim: changed more than once, or changed and taken back."""

_LAST_TURN = (
    "CASE WHEN e.batch IN (SELECT batch FROM undone) THEN"
    " (SELECT {} FROM event AS u JOIN device AS l ON l.id = u.device WHERE u.target = b.uuid"
    "  ORDER BY u.counter DESC, l.uuid DESC, u.uuid DESC LIMIT 1) END"
)

_VERSIONS = (
    "SELECT e.uuid, e.supersedes, e.act = 'remove',"
    f" {_LAST_TURN.format('u.uuid')}, {_LAST_TURN.format('l.uuid')}"
    " FROM event AS e JOIN device AS d ON d.id = e.device JOIN batch AS b ON b.id = e.batch"
    " WHERE e.uuid = ?1 OR e.root = ?1 ORDER BY e.counter, d.uuid, e.uuid"
)

_SETTLED = (
    "SELECT s.value FROM setting AS s JOIN event AS e ON e.id = s.event"
    f" WHERE s.name = '{SETTLED}' AND e.batch NOT IN (SELECT batch FROM undone)"
)

_SAYS = "SELECT {} FROM entry WHERE event = (SELECT id FROM event WHERE uuid = ?)".format(
    ", ".join(f'"{name}"' for name in ENTRY_COLUMNS)
)


def conflicts_in(db: sqlite3.Connection) -> tuple[Conflict, ...]:
    """Every entry whose claims differ and were not settled, in the order of their first events' uuids."""
    settled = _settled(db)
    found = (_conflict(db, root, settled) for (root,) in db.execute(_CHANGED + " ORDER BY 1").fetchall())
    return tuple(conflict for conflict in found if conflict is not None)


def conflict_of(db: sqlite3.Connection, root: str) -> Conflict | None:
    """The conflict about one entry, by its first event; quick."""
    return _conflict(db, root, _settled(db))


def other_claims(db: sqlite3.Connection, *, root: str, but: str) -> tuple[str, ...]:
    """The claims of an entry besides one; most entries were never changed, and cost one look."""
    if db.execute("SELECT 1 FROM event WHERE root = ? LIMIT 1", (root,)).fetchone() is None:
        return ()
    conflict = conflict_of(db, root)
    return tuple(claim.key for claim in conflict.claims if claim.key != but) if conflict else ()


def _settled(db: sqlite3.Connection) -> frozenset[str]:
    return frozenset(key for (value,) in db.execute(_SETTLED) for key in value.split())


def _conflict(db: sqlite3.Connection, root: str, settled: frozenset[str]) -> Conflict | None:
    versions = [_Version(*row) for row in db.execute(_VERSIONS, (root,))]
    claims = [claim for claim in claims_of(versions) if claim.key not in settled][::-1]
    contents = {None if claim.says is None else _content(db, claim.says) for claim in claims}
    if len(contents) < 2:
        return None
    claims.sort(key=lambda claim: not claim.holds)
    return Conflict(root=root, claims=tuple(claims))


def _content(db: sqlite3.Connection, uuid: str) -> Row | None:
    found: Row | None = db.execute(_SAYS, (uuid,)).fetchone()
    return found


def claims_of(versions: Sequence[_Version]) -> Iterator[Claim]:
    """What the sides say, oldest first.

    Args:
        versions: Of one entry, in the order of the log, the first one first.
    """
    by_uuid = {version.uuid: version for version in versions}
    built_on: set[str] = set()  # versions with one above them that stands
    for version in reversed(versions):
        if version.replaces and (version.taken_back_by is None or version.uuid in built_on):
            built_on.add(version.replaces)
    first = versions[0]
    standing = [version for version in versions if version.taken_back_by is None]
    holding = first.taken_back_by or (standing[-1].uuid if standing else None)
    told = set()
    for version in versions:
        if version.taken_back_by is None:
            key, says = version.uuid, None if version.removes else version.uuid
            is_claim = version.uuid not in built_on
        else:
            key, says = version.taken_back_by, _below(version, by_uuid, first)
            is_claim = version.uuid in built_on or _went_back_to_a_lost_one(version, by_uuid)
        if is_claim and key not in told:
            told.add(key)
            yield Claim(key=key, says=says, holds=key == holding)


def _went_back_to_a_lost_one(version: _Version, by_uuid: dict[str, _Version]) -> bool:
    """Whether one device took this version back, and another the one it replaced: they may not have known.

    Each device takes back its own acts only, so that one person's steps back are on one device.
    """
    below = by_uuid.get(version.replaces or "")
    return (
        below is not None and below.taken_back_by is not None and below.taken_back_on != version.taken_back_on
    )


def _below(version: _Version, by_uuid: dict[str, _Version], first: _Version) -> str | None:
    """What was left when a version was taken back: the nearest before it that was not taken back there."""
    if first.taken_back_by is not None:
        return None
    below = version
    while below.replaces is not None:
        below = by_uuid[below.replaces]
        if below.taken_back_by is None or below.taken_back_on != version.taken_back_on:
            return None if below.removes else below.uuid
    return None
