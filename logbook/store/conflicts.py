"""What two sides made of one entry, apart from each other, and which of it holds.

Every edit and removal names the version it replaced, so the versions of an entry are a tree; where two of its
ends still stand, or one stands on a version that was taken back, somebody did not know of the other. That
follows from the events alone, so every log that has them says the same, before and after further merges.
Who changes such an entry, or says that it is right as it is, settles it: the setting ``settled`` of that act
names the ends that lost, and taking the act back opens the question again.

What must be true of every log: whatever a device last made of an entry either holds, or is a claim, or was
written over, taken back or settled by someone who had it before them. From that follows:

- A device takes back its own acts only, so all that a step back is known to leave is what that device had
  below it: the nearest older version it did not take back itself; or a version of another device that stood
  beside it, which the undo names. Others may have taken that one back too; they did not know of each other
  unless the later undo names the earlier one (``knowing``).
- One undo may take back versions of many entries. It is a claim about each, and settling one entry settles
  none of the others: what lost is told by event and entry (``of``), never by event alone.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from logbook.records import Act, Event
from logbook.store.queries import stands
from logbook.store.rows import ENTRY_COLUMNS, Row

SETTLED = "settled"
"""Setting: the keys of claims that lost, set apart by blanks. Each such event counts, not the last alone."""

OF = "of"
"""First word of the line of a ``settled`` setting; the first event of the entry follows."""

KNOWING = "knowing"
"""First word of an undo's line: the undos of other versions of its entries that were known to it follow, and
the other versions that stood."""


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
    on which device, and which other undos that one knew of."""

    uuid: str
    replaces: str | None
    removes: bool
    taken_back_by: str | None
    taken_back_on: str | None
    taken_back_knowing: frozenset[str]


_CHANGED = (
    "SELECT root FROM event WHERE root IS NOT NULL GROUP BY root HAVING count(*) > 1"
    " UNION SELECT c.root FROM event AS c JOIN event AS r ON r.uuid = c.root"
    " WHERE r.batch IN (SELECT batch FROM undone)"
)
"""Entries that may have more than one claim: changed more than once, or changed and taken back."""

_CHANGED_OF = (
    "SELECT DISTINCT coalesce(e.root, e.uuid) FROM event AS e"
    " WHERE e.uuid IN (SELECT value FROM json_each(?))"
    " AND (e.root IS NOT NULL OR EXISTS (SELECT 1 FROM event AS c WHERE c.root = e.uuid)) ORDER BY 1"
)
"""Of some events, the entries that were ever changed."""

_LAST_TURN = (
    f"CASE WHEN NOT {stands('e.batch')} THEN"
    " (SELECT {} FROM event AS u JOIN device AS l ON l.id = u.device WHERE u.target = b.uuid"
    "  ORDER BY u.counter DESC, l.uuid DESC, u.uuid DESC LIMIT 1) END"
)

_VERSIONS = (
    "SELECT e.uuid, e.supersedes, e.act = 'remove',"
    f" {_LAST_TURN.format('u.uuid')}, {_LAST_TURN.format('l.uuid')}, {_LAST_TURN.format('u.line')}"
    " FROM event AS e JOIN device AS d ON d.id = e.device JOIN batch AS b ON b.id = e.batch"
    " WHERE e.uuid = ? OR e.root = ? ORDER BY e.counter, d.uuid, e.uuid"
)

_SETTLED = (
    "SELECT s.value, e.line, p.root FROM setting AS s JOIN event AS e ON e.id = s.event"
    # What was written by a version of before has no line, and stands straight after the edit it belongs to.
    " LEFT JOIN event AS p ON p.batch = e.batch AND p.counter = e.counter - 1"
    f" WHERE s.name = '{SETTLED}' AND {stands('e.batch')}"
)

_NEAR = (
    "WITH near (root) AS (SELECT DISTINCT coalesce(e.root, e.uuid) FROM event AS e"
    " JOIN batch AS b ON b.id = e.batch WHERE b.uuid = ? AND e.act IN ('record', 'edit', 'remove'))"
)
"""The entries an act is about."""

_STANDING_NEAR = (
    f"{_NEAR} SELECT e.uuid FROM near CROSS JOIN event AS e ON e.root = near.root"
    f" JOIN batch AS b ON b.id = e.batch WHERE b.uuid <> ? AND {stands('e.batch')} ORDER BY e.uuid"
)

_TAKEN_BACK_NEAR = (
    f"{_NEAR},"
    " acts (id) AS (SELECT e.batch FROM near JOIN event AS e ON e.uuid = near.root"
    "  UNION SELECT e.batch FROM near JOIN event AS e ON e.root = near.root)"
    # From the few acts to their undos: left to itself, SQLite reads a long log's every event by its name.
    " SELECT u.uuid FROM acts CROSS JOIN batch AS b ON b.id = acts.id"
    " CROSS JOIN event AS u INDEXED BY event_target ON u.target = b.uuid"
    " WHERE u.act = 'undo' AND b.uuid <> ? ORDER BY u.uuid"
)

_SAYS = "SELECT {} FROM entry WHERE event = (SELECT id FROM event WHERE uuid = ?)".format(
    ", ".join(f'"{name}"' for name in ENTRY_COLUMNS)
)


def conflicts_in(db: sqlite3.Connection) -> tuple[Conflict, ...]:
    """Every entry whose claims differ and were not settled, in the order of their first events' uuids."""
    settled = _settled(db)
    found = (_conflict(db, root, settled) for (root,) in db.execute(_CHANGED + " ORDER BY 1").fetchall())
    return tuple(conflict for conflict in found if conflict is not None)


def conflicts_about(db: sqlite3.Connection, uuids: Sequence[str]) -> tuple[Conflict, ...]:
    """Those of the entries some events are of; a long log's others are not gone through."""
    roots = db.execute(_CHANGED_OF, (json.dumps(list(uuids)),)).fetchall()
    settled = _settled(db) if roots else frozenset()
    found = (_conflict(db, root, settled) for (root,) in roots)
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


def settles(event: Event) -> bool:
    """Whether an event says which claims about an entry have lost."""
    return event.act is Act.SETTING and event.line.startswith(f"{OF} ")


def knowing(db: sqlite3.Connection, batch: str) -> str:
    """The line of an undo that takes an act back: which undos of the same entries it knows of, and which
    other versions of them stand."""
    asked = (_TAKEN_BACK_NEAR, _STANDING_NEAR)
    return " ".join([KNOWING, *(uuid for sql in asked for (uuid,) in db.execute(sql, (batch, batch)))])


def _settled(db: sqlite3.Connection) -> frozenset[tuple[str, str]]:
    """What lost, each as the first event of its entry and the key of the claim; "" stands for any entry."""
    found: set[tuple[str, str]] = set()
    for value, line, root_before in db.execute(_SETTLED):
        word, _, root = line.partition(" ")
        found |= {(root if word == OF else root_before or "", key) for key in value.split()}
    return frozenset(found)


def _conflict(db: sqlite3.Connection, root: str, settled: frozenset[tuple[str, str]]) -> Conflict | None:
    versions = [
        _Version(uuid, replaces, bool(removes), by, on, _named(line))
        for uuid, replaces, removes, by, on, line in db.execute(_VERSIONS, (root, root))
    ]
    lost = {key for entry, key in settled if entry in (root, "")}
    claims = [claim for claim in claims_of(versions) if claim.key not in lost][::-1]
    contents = {None if claim.says is None else _content(db, claim.says) for claim in claims}
    if len(contents) < 2:
        return None
    claims.sort(key=lambda claim: not claim.holds)
    return Conflict(root=root, claims=tuple(claims))


def _named(line: str | None) -> frozenset[str]:
    """The undos an undo's line names; a version of before wrote none."""
    word, _, names = (line or "").partition(" ")
    return frozenset(names.split()) if word == KNOWING else frozenset()


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
            key, beside = version.taken_back_by, _lost_beside(version, versions)
            says = _below(version, by_uuid) if beside is None else None if beside.removes else beside.uuid
            is_claim = beside is not None or (
                key == holding or version.uuid in built_on or _went_back_to_a_lost_one(version, by_uuid)
            )
        if is_claim and key not in told:
            told.add(key)
            yield Claim(key=key, says=says, holds=key == holding)


def _went_back_to_a_lost_one(version: _Version, by_uuid: dict[str, _Version]) -> bool:
    """Whether one device took this version back, and another the one it replaced, neither knowing of it.

    One device takes back its own acts only: one person's steps back are all on one device.
    """
    below = by_uuid.get(version.replaces or "")
    return (
        below is not None
        and below.taken_back_by is not None
        and below.taken_back_on != version.taken_back_on
        and below.taken_back_by not in version.taken_back_knowing
        and version.taken_back_by not in below.taken_back_knowing
    )


def _lost_beside(version: _Version, versions: Sequence[_Version]) -> _Version | None:
    """What held on its device once a version was taken back, if another device took that back unknown to it.

    After a merge a version of another device may hold in its place, which is not the one it replaced. Where a
    later one held all along, taking this one back changed nothing.
    """
    known = (other for other in reversed(versions) if other.uuid in version.taken_back_knowing)
    held = next(known, None)
    if held is None or held.taken_back_on in (None, version.taken_back_on):
        return None
    if versions.index(held) > versions.index(version):
        return None
    return None if version.taken_back_by in held.taken_back_knowing else held


def _below(version: _Version, by_uuid: dict[str, _Version]) -> str | None:
    """What was left on its device when a version was taken back: the nearest before it that was not taken
    back there."""
    below = version
    while below.replaces is not None:
        below = by_uuid[below.replaces]
        if below.taken_back_by is None or below.taken_back_on != version.taken_back_on:
            return None if below.removes else below.uuid
    return None
