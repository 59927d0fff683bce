"""The matters that stay pending however long ago they were written, without reading a long log's others.

In thirty years lists are ticked and supplies counted tens of thousands of times; none of that waits for
anything. Ash, upkeep and what was seen do.
"""

from __future__ import annotations

from logbook.records import Entry
from logbook.store import queries
from logbook.store.additions import only_added
from logbook.store.connection import explained
from logbook.store.log import Log
from logbook.store.rows import entry_from
from logbook.store.unreadable import read_all

OVER_WITH_THE_DAY = (
    *("tick", "level", "brought", "bring", "stay", "weather"),
    *("stack", "stack count", "stack moisture", "improvement"),
)
"""Kinds of matter of which nothing stays pending, as the log writes them."""

_BEGINS = '{"kind": "'

# What a line says besides counts too: a note about ash, wood laid in, coals seen.
_LASTING = (
    f" AND NOT (n.matter LIKE '{_BEGINS}%'"
    f" AND substr(n.matter, {len(_BEGINS) + 1}, instr(substr(n.matter, {len(_BEGINS) + 1}), '\"') - 1)"
    f" IN ({', '.join(map(repr, OVER_WITH_THE_DAY))})"
    " AND n.note IS NULL AND n.load_kg IS NULL AND n.coals IS NULL AND NOT n.kindling AND NOT n.fire_out)"
)
_ALL = queries.ENTRIES_HOLDING + queries.WITH_MATTER + _LASTING + queries.OLDEST_FIRST
# By the events added, not by the index of all matters: the plus keeps SQLite from that.
_ADDED = queries.FEW_ENTRIES_HOLDING + " AND n.event > ? AND +n.matter IS NOT NULL" + _LASTING
_ADDED += queries.OLDEST_FIRST


def lasting_matters(log: Log) -> tuple[Entry, ...]:
    """The entries with a matter of which something may be pending, by the time meant."""
    with explained(log.path):
        return read_all(log.connection, entry_from, log.connection.execute(_ALL))


def lasting_matters_added(log: Log, *, after: int) -> tuple[Entry, ...] | None:
    """Those written since the log was ``after`` acts old (``Log.acts_written``).

    None where more was done than to add: then what stood before may not stand any more.
    """
    if not only_added(log, after=after):
        return None
    with explained(log.path):
        return read_all(log.connection, entry_from, log.connection.execute(_ADDED, (after,)))
