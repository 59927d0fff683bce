"""What several computers made of one setting, or of the description, apart from each other.

Each is kept with the names of those it was written over: the newest its writer knew of. Those nobody wrote
over are the sides; more than one, and somebody did not know of another. What was written by a version of
before names none and is taken to know all before it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

from logbook.store.conflicts import SETTLED
from logbook.store.queries import stands

OVER = "over"
"""First word of a setting's line, and the name under ``typed`` of a description's: identifiers follow."""

DESCRIBED = "description"
"""Stands for the description where a setting's name is asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One of the newest: its event and its value (a description's text)."""

    uuid: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """What holds stands last. ``base`` is the newest value all were written over, None without one."""

    name: str
    sides: tuple[Side, ...]
    base: str | None

    @property
    def differ(self) -> bool:
        """Whether there is something to tell."""
        return len({side.value for side in self.sides}) > 1


@dataclass(frozen=True, slots=True)
class _Written:
    uuid: str
    value: str
    over: frozenset[str]
    stands: bool


_SETTING = (
    f"SELECT e.uuid, s.value, e.line, {stands('e.batch')}"
    " FROM setting AS s JOIN event AS e ON e.id = s.event JOIN device AS d ON d.id = e.device"
    " WHERE s.name = ? ORDER BY e.counter, d.uuid, e.uuid"
)
_DESCRIPTION = (
    "SELECT e.uuid, v.toml,"
    " coalesce((SELECT t.text FROM typed AS t WHERE t.event = e.id AND t.name = ?), ''),"
    f" {stands('e.batch')}"
    " FROM description AS v JOIN event AS e ON e.id = v.event JOIN device AS d ON d.id = e.device"
    " ORDER BY e.counter, d.uuid, e.uuid"
)


def sides_of(db: sqlite3.Connection, name: str) -> Sides:
    """The sides of one setting, or of the description; one at most where everybody knew of the others."""
    written = _written(db, name)
    by_uuid = {one.uuid: one for one in written}
    known: set[str] = set()
    newest = []
    for one in reversed(written):
        if one.stands and one.uuid not in known:
            newest.append(one)
        if one.stands or one.uuid in known:
            known |= one.over
    sides = tuple(Side(uuid=one.uuid, value=one.value) for one in reversed(newest))
    return Sides(name=name, sides=sides, base=_base(newest, by_uuid, written))


def written_over(db: sqlite3.Connection, name: str) -> str:
    """What a new value is kept with: it knows of all sides there are."""
    return " ".join([OVER, *(side.uuid for side in sides_of(db, name).sides)])


def told_apart(db: sqlite3.Connection) -> tuple[Sides, ...]:
    """Every setting, and the description, whose sides differ; by name."""
    names = [row[0] for row in db.execute("SELECT DISTINCT name FROM setting ORDER BY name")]
    found = (sides_of(db, name) for name in (DESCRIBED, *names) if name != SETTLED)
    return tuple(sides for sides in found if sides.differ)


def _written(db: sqlite3.Connection, name: str) -> list[_Written]:
    described = name == DESCRIBED
    rows = db.execute(_DESCRIPTION if described else _SETTING, (OVER if described else name,))
    written: list[_Written] = []
    for uuid, value, over, holds in rows:
        word, _, names = over.partition(" ")
        knew = frozenset(names.split()) if word == OVER else frozenset(one.uuid for one in written)
        written.append(_Written(uuid, value, knew, bool(holds)))
    return written


def _base(
    newest: Sequence[_Written], by_uuid: dict[str, _Written], written: Sequence[_Written]
) -> str | None:
    """The newest that all sides were written over."""
    common: set[str] | None = None
    for one in newest:
        below = _below(one, by_uuid)
        common = below if common is None else common & below
    return next((one.value for one in reversed(written) if one.stands and one.uuid in (common or ())), None)


def _below(one: _Written, by_uuid: dict[str, _Written]) -> set[str]:
    found: set[str] = set()
    todo = [one]
    while todo:
        for uuid in todo.pop().over - found:
            if uuid in by_uuid:
                found.add(uuid)
                todo.append(by_uuid[uuid])
    return found
