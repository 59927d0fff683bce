"""The questions asked of the log file, as SQL; ``schema`` has the tables they are about.

Short names used throughout: ``e`` the event, ``d`` its device, ``b`` its batch, ``n`` its entry, ``r`` the
first event of a chain of edits (whose place in the order an edited entry keeps), ``o`` the device of ``r``.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from logbook.store.rows import ENTRY_COLUMNS, time_text

_ENTRY = ", ".join(f'n."{name}"' for name in ENTRY_COLUMNS)
_WHO = " LEFT JOIN device AS d ON d.id = e.device LEFT JOIN batch AS b ON b.id = e.batch"
"""Left joins, though neither is ever missing: SQLite skips those whose columns a question does not use."""

_EVENT = (
    "SELECT e.id, e.uuid, d.uuid, e.counter, e.at_typed, e.zone, e.written_at, e.how, b.uuid,"
    f" coalesce(e.supersedes, e.target), e.line, e.act, {_ENTRY}"
)
"""The columns ``rows.event_from`` reads."""

_GONE = "WITH gone AS MATERIALIZED (SELECT batch FROM undone) "
"""What was taken back, found once for a question that asks three times: a long log has thousands of undos."""


def _not_gone(batch: str) -> str:
    """Whether an act was not taken back, for a question of many rows that begins with ``_GONE``."""
    return f"{batch} NOT IN (SELECT batch FROM gone)"


def stands(batch: str) -> str:
    """The same for a question of few rows: by the last undo or redo of that act alone, as in ``undone``."""
    return (
        "'undo' IS NOT (SELECT turn.act FROM batch AS turned JOIN event AS turn ON turn.target = turned.uuid"
        f" JOIN device AS by ON by.id = turn.device WHERE turned.id = {batch}"
        " ORDER BY turn.counter DESC, by.uuid DESC, turn.uuid DESC LIMIT 1)"
    )


def _holding(stands: Callable[[str], str]) -> str:
    """Keeps the entries that hold now: neither they nor the first of their chain were taken back, and no
    later edit or removal of that chain holds. More conditions may follow.
    """
    # From the entry to the rest, in that order (CROSS JOIN): left to itself, SQLite begins with the events
    # and looks at all 300,000 of a long log to find the newest one (1.1 s against 1 ms). Most entries were
    # never edited, have no ``root`` and need no look-up of ``r`` (320,000: 2.5 s with it, 1.5 without).
    return f"""
    FROM entry AS n CROSS JOIN event AS e ON e.id = n.event{_WHO}
    LEFT JOIN event AS r ON r.uuid = e.root
    LEFT JOIN device AS o ON o.id = coalesce(r.device, e.device)
    WHERE {stands("e.batch")}
      AND {stands("coalesce(r.batch, e.batch)")}
      AND NOT EXISTS (
        SELECT 1 FROM event AS later JOIN device AS l ON l.id = later.device
        WHERE later.root = coalesce(e.root, e.uuid) AND {stands("later.batch")}
          AND (later.counter, l.uuid, later.uuid) > (e.counter, d.uuid, e.uuid))
"""


_HOLDS, _FEW_HOLD = _holding(_not_gone), _holding(stands)

EVENTS_HOLDING = _GONE + _EVENT + _HOLDS
ENTRIES_HOLDING = f"{_GONE}SELECT {_ENTRY}{_HOLDS}"

FEW_EVENTS_HOLDING = _EVENT + _FEW_HOLD
FEW_ENTRIES_HOLDING = f"SELECT {_ENTRY}{_FEW_HOLD}"
FEW_TIMES_HOLDING = f"SELECT n.at{_FEW_HOLD}"
"""The same for questions that look at some hundred rows, such as the newest: what was taken back in the rest
of a long log is not gone through."""

FIRST_WRITTEN = f"{_GONE}SELECT min(e.written_at){_HOLDS}"
WRITTEN_HOLDING = f"{_GONE}SELECT e.written_at, {_ENTRY}{_HOLDS}"
"""When an entry that holds was written, an edited one as it stands now, before the entry's columns."""

BY_PEOPLE = " AND n.flags <> 'logger' AND n.flags <> 'logger odd_value'"
"""Leaves out what a logging thermometer wrote."""

WITH_MATTER = " AND n.matter IS NOT NULL"
"""Keeps what says something besides the night."""

OF_UPKEEP = " AND (n.matter IS NOT NULL OR n.alarms_tested OR n.change IS NOT NULL)"
"""Keeps what may tell upkeep: matters, alarms tested, things changed."""

COUNTED_IN = " AND n.pieces LIKE '%' || ? || '%'"
"""Keeps what was counted in a word, or in one it is a part of; small and capital letters are the same."""

_FIRST = "coalesce(r.counter, e.counter)", "o.uuid", "coalesce(e.root, e.uuid)"
"""Where the first event of a chain stands."""

NEWEST_SAID_NOW = (
    "SELECT e.id, n.at FROM event AS e JOIN entry AS n ON n.event = e.id"
    " WHERE e.id > (SELECT max(id) FROM event) - 500"
    " AND e.act = 'record' AND e.how = 'typed' AND e.at_typed = '' AND n.matter IS NULL"
    f" AND e.device = (SELECT id FROM device WHERE uuid = ?) AND {stands('e.batch')}"
    " ORDER BY e.id DESC LIMIT 1"
)
"""What was written last on a device as of its clock, with no time said. Further back than 500 events no line
is looked for: an import of a million rows would be read through."""

NEWEST_SINCE_WRITING = (
    "SELECT max(n.at) FROM event AS e JOIN entry AS n ON n.event = e.id"
    f" WHERE e.id >= ? AND e.act = 'record' AND {stands('e.batch')}"
)
"""The latest time meant of all that was written since an event."""

IN_WRITTEN_ORDER = " ORDER BY " + ", ".join(_FIRST)
OLDEST_FIRST = " ORDER BY n.at, " + ", ".join(_FIRST)
NEWEST_FIRST = " ORDER BY n.at DESC, " + ", ".join(f"{part} DESC" for part in _FIRST) + " LIMIT ?"

OF_CHAIN = " AND n.event IN (SELECT id FROM event WHERE uuid = ? UNION SELECT id FROM event WHERE root = ?)"
"""After EVENTS_HOLDING: the one that holds of a chain of edits, by the identifier of its first event."""

_EVER_SAID = (
    f"{_GONE}SELECT {_ENTRY} FROM entry AS n CROSS JOIN event AS e ON e.id = n.event"
    " LEFT JOIN event AS r ON r.uuid = e.root"
    " WHERE e.batch NOT IN (SELECT batch FROM gone)"
    " AND coalesce(r.batch, e.batch) NOT IN (SELECT batch FROM gone)"
)
EVER_SAID = f"{_EVER_SAID} AND n.at BETWEEN ? AND ?"
"""Entries that hold or held until they were edited or removed by hand; not what was undone."""

EVER_SAID_AT = f"{_EVER_SAID} AND n.at IN "
"""The same of single times, to be listed in brackets."""

_HISTORY = f"{_EVENT} FROM event AS e{_WHO} LEFT JOIN entry AS n ON n.event = e.id"

EVERYTHING = f"{_HISTORY} WHERE e.written_at >= ? ORDER BY e.counter, d.uuid, e.uuid"
"""The whole history since a time written."""

ONE_EVENT = f"{_HISTORY} WHERE e.uuid = ?"

OF_BATCH = f"{_HISTORY} WHERE b.uuid = ? ORDER BY e.counter, e.uuid"
"""What one act wrote."""

CHAINS_BY_PREFIX = (
    "SELECT DISTINCT coalesce(root, uuid) FROM event"
    " WHERE uuid >= ? AND uuid < ? AND act IN ('record', 'edit') LIMIT 3"
)

# From the few descriptions to their events: left to itself, SQLite looks at every event there is.
DESCRIPTIONS = (
    "SELECT e.uuid, v.valid_from, v.toml FROM description AS v CROSS JOIN event AS e ON e.id = v.event"
    f" CROSS JOIN device AS d ON d.id = e.device WHERE {stands('e.batch')}"
    " ORDER BY v.valid_from IS NOT NULL, v.valid_from, e.counter, d.uuid, e.uuid"
)

SETTING = (
    "SELECT s.value FROM setting AS s JOIN event AS e ON e.id = s.event JOIN device AS d ON d.id = e.device"
    f" WHERE s.name = ? AND {stands('e.batch')}"
    " ORDER BY e.counter DESC, d.uuid DESC, e.uuid DESC LIMIT 1"
)

_ACTS = "('record', 'edit', 'remove', 'describe')"
"""What can be taken back. A remembered setting goes with the line it was learned from, not alone."""

_OWN_PAGE = (
    "(SELECT event FROM setting WHERE name IN ('emergency', 'left_out', 'own_words') OR name LIKE 'list %')"
)
"""The emergency page, what is left out of learning, the owner's measures and lists are settings, but changing
one is an act of its own."""

_THIS_DEVICE = "e.device = (SELECT id FROM device WHERE uuid = ?)"

LAST_STANDING = (
    # By the index from the newest on: with two in the order, SQLite would else sort all of them first.
    "SELECT b.uuid FROM event AS e INDEXED BY event_counter LEFT JOIN batch AS b ON b.id = e.batch"
    f" WHERE {_THIS_DEVICE} AND (e.act IN {_ACTS} OR e.id IN {_OWN_PAGE})"
    f" AND {stands('e.batch')}"
    # Without its first description a log can say nothing at all: that one stays.
    " AND e.id <> coalesce((SELECT v.event FROM description AS v JOIN event AS x ON x.id = v.event"
    " JOIN device AS y ON y.id = x.device ORDER BY x.counter, y.uuid, x.uuid LIMIT 1), 0)"
    " ORDER BY e.counter DESC, e.uuid DESC LIMIT 1"
)
"""The batch undo takes back: the last act of one device that still stands."""
NO_UNDO = (
    "Nothing this device wrote is left to take back.\n"
    "To leave out one entry: nightload remove ID, or x on its row in the app."
)

LAST_TAKEN_BACK = (
    "SELECT e.target FROM event AS e INDEXED BY event_target"
    f" WHERE e.target IS NOT NULL AND {_THIS_DEVICE} AND e.act = 'undo' AND NOT "
    + stands("(SELECT id FROM batch WHERE uuid = e.target)")
    + " AND e.counter > coalesce((SELECT max(x.counter) FROM event AS x"
    f" WHERE x.device = e.device AND (x.act IN {_ACTS} OR x.id IN {_OWN_PAGE})), 0)"
    " ORDER BY e.counter DESC, e.uuid DESC LIMIT 1"
)
"""The batch redo brings back: the last one a device took back, if it has written nothing since."""
NO_REDO = "Nothing was taken back since the last line.\nTake something back first; bringing back undoes that."

TYPED_BETWEEN = (
    "SELECT event, name, text, unit FROM typed WHERE event BETWEEN ? AND ? ORDER BY event, position"
)
TYPED_OF = "SELECT event, name, text, unit FROM typed WHERE event = ? ORDER BY position"


def between(since: datetime | None, until: datetime | None, *, logger: bool) -> tuple[str, list[str]]:
    """Conditions on the time meant and on who wrote, for the end of a WHERE, and their values."""
    where = "" if logger else BY_PEOPLE
    values: list[str] = []
    for moment, test in ((since, " AND n.at >= ?"), (until, " AND n.at <= ?")):
        if moment is not None:
            where += test
            values.append(time_text(moment))
    return where, values
