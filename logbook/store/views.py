"""The log for any SQLite tool: what holds now in views with plain names and units, and a view about them.

Frozen with format 3: another wording is a further migration. Each view and column has its sentence in
``about``.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator

_HOLDS = """
    FROM entry AS n CROSS JOIN event AS e ON e.id = n.event
    JOIN device AS d ON d.id = e.device LEFT JOIN event AS r ON r.uuid = e.root
    WHERE e.batch NOT IN (SELECT batch FROM undone)
      AND coalesce(r.batch, e.batch) NOT IN (SELECT batch FROM undone)
      AND NOT EXISTS (
        SELECT 1 FROM event AS later JOIN device AS l ON l.id = later.device
        WHERE later.root = coalesce(e.root, e.uuid) AND later.batch NOT IN (SELECT batch FROM undone)
          AND (later.counter, l.uuid, later.uuid) > (e.counter, d.uuid, e.uuid))"""

_AT = ("at_utc", "n.at", "the time it is about, UTC")
_ID = ("id", "e.uuid", "the identifier of the event, as in the view events")

_READINGS = (
    _AT,
    ("place", "n.place", "which thermometer; empty for the main one"),
    ("indoor_c", "n.indoor_c", "temperature there, °C"),
    ("outdoor_c", "n.outdoor_c", "temperature outside, °C"),
    ("lowest_c", "n.low_c", "lowest since the thermometer was reset, °C"),
    ("highest_c", "n.high_c", "highest since the thermometer was reset, °C"),
    ("reset_at_utc", "n.reset_at", "when the thermometer was reset, UTC"),
    ("humidity_pct", "n.rh_pct", "relative humidity, per cent"),
    ("forecast_low_c", "n.forecast_low_c", "lowest forecast for the night, °C"),
    ("wind", "n.wind", "calm, breeze or strong, as felt at the door"),
    ("load_kg", "n.load_kg", "wood laid in, kg as weighed"),
    ("air_open_pct", "n.air_open_pct", "air lever, per cent open"),
    ("flue_damper_open_pct", "n.flue_damper_open_pct", "flue damper, per cent open"),
    ("window", 'n."window"', "shut, cracked or open"),
    ("coals", "n.coals", "none, few or good"),
    ("fire_out", "n.fire_out", "1 where the fire was out"),
    ("other_heat_w", "n.other_heat_w", "heat from anything but the stove, W"),
    ("mark", "n.mark", "arrived, bed, woke or left"),
    ("alarms_tested", "n.alarms_tested", "1 where the alarms were tested"),
    ("change", "n.change", "what was changed about the cabin"),
    ("note", "n.note", "what could not be read as anything else"),
    ("matter_json", "n.matter", "what it says besides the night, as JSON"),
    ("flags", "n.flags", "over_limit, odd_value, logger"),
    ("as_typed", "e.line", "the whole line as it was typed"),
    _ID,
)

_LOADS = (
    _AT,
    ("load_kg", "n.load_kg", "wood laid in, kg as weighed"),
    ("pieces", "n.pieces", "the pieces as counted"),
    ("species", "n.species", "species of wood"),
    ("moisture_pct", "n.moisture_pct", "water in it, per cent on the basis beside"),
    ("moisture_basis", "n.moisture_basis", "wet or dry: what the moisture is a share of"),
    ("kindling", "n.kindling", "1 where small stuff was lit for a cold start"),
    ("air_open_pct", "n.air_open_pct", "air lever, per cent open"),
    _ID,
)


def _said(name: str) -> str:
    return f"json_extract(n.matter, '$.{name}')"


_UPKEEP = (
    _AT,
    ("task", _said("task"), "what was done or looked at"),
    ("finding", _said("finding"), "what was found"),
    ("deposit_mm", _said("deposit_mm"), "soot found before it was swept, mm"),
    ("until_day", _said("until"), "a date printed on the thing itself"),
    ("by", _said("by"), "who did it"),
    ("only_looked", f"coalesce({_said('only_looked')}, 0)", "1 where it was left as it was"),
    _ID,
)

_DESCRIPTIONS = (
    ("valid_from_utc", "v.valid_from", "since when it holds, UTC; empty: always"),
    ("written_at_utc", "e.written_at", "when it was written, UTC"),
    ("toml", "v.toml", "the description of cabin, stove and wood"),
    ("own_file", "e.line", "the owner's own file with its remarks"),
    _ID,
)

_EVENTS = (
    ("id", "e.uuid", "identifier"),
    ("device", "d.uuid", "which machine wrote it"),
    ("counter", "e.counter", "order of writing: by counter, device, id"),
    ("act", "e.act", "record, edit, remove, undo, redo, describe or setting"),
    ("written_at_utc", "e.written_at", "when it was written, UTC"),
    ("how", "e.how", "typed, imported, paper or logger"),
    ("as_typed", "e.line", "the whole line as it was typed"),
    ("instead_of", "e.supersedes", "the event an edit or a removal takes the place of"),
    ("first_of_them", "e.root", "the first event of that chain of edits"),
    ("batch", "b.uuid", "events of one act share it: a line, an import"),
    ("takes_back", "e.target", "the batch an undo takes back, a redo brings back"),
    ("at_utc", "n.at", "the time its entry is about, UTC"),
)

_EVENTS_FROM = """
    FROM event AS e JOIN device AS d ON d.id = e.device JOIN batch AS b ON b.id = e.batch
    LEFT JOIN entry AS n ON n.event = e.id ORDER BY e.counter, d.uuid, e.uuid"""

_PLAIN = (
    ("readings", "every entry that holds now, by the time it is about", _READINGS, _HOLDS + " ORDER BY n.at"),
    ("wood_loads", "wood laid into the stove", _LOADS, _HOLDS + " AND n.load_kg IS NOT NULL ORDER BY n.at"),
    ("upkeep", "upkeep done and looked at", _UPKEEP,
     _HOLDS + " AND json_extract(n.matter, '$.kind') = 'upkeep' ORDER BY n.at"),
    ("descriptions", "versions of the description that hold", _DESCRIPTIONS, """
    FROM description AS v JOIN event AS e ON e.id = v.event JOIN device AS d ON d.id = e.device
    WHERE e.batch NOT IN (SELECT batch FROM undone)
    ORDER BY v.valid_from IS NOT NULL, v.valid_from, e.counter, d.uuid, e.uuid"""),
    ("events", "all that was ever written; nothing is changed or deleted, later events supersede", _EVENTS,
     _EVENTS_FROM),
)  # fmt: skip
"""Name, what it is, columns (name, expression, what it is), and where from."""

_OURS = (
    ("info", "what this file keeps for itself: its device, half-typed lines"),
    ("event", "the table behind events; digest is BLAKE2b of all the event says, against damage"),
    ("entry", "the table behind readings, with entries that no longer hold too"),
    ("typed", "values as they were typed, with the unit they were in"),
    ("description", "the table behind descriptions"),
    (
        "setting",
        "what was learned about the household, such as which way the lever reads; the last one holds",
    ),
    ("about", "these sentences"),
    ("undone", "batches that are taken back"),
)


def _about() -> Iterator[tuple[str, str, str]]:
    yield "", "", "A logbook of a cabin. Read the views; write only by the program, which keeps digests."
    for name, what, columns, _ in _PLAIN:
        yield name, "", what
        yield from ((name, column, says) for column, _, says in columns)
    yield from ((name, "", what) for name, what in _OURS)


ABOUT = tuple(_about())
"""The rows of the table ``about``: view or table, column, and what it is."""


def explain(db: sqlite3.Connection) -> None:
    """Write the table ``about``: a table, since a view's text would be read at every opening."""
    db.executemany("INSERT INTO about VALUES (?, ?, ?)", ABOUT)


VIEWS: tuple[str | Callable[[sqlite3.Connection], object], ...] = (
    *(
        f"CREATE VIEW {name} AS SELECT\n    "
        + ",\n    ".join(f'{said} AS "{column}"' for column, said, _ in columns)
        + source
        for name, _, columns, source in _PLAIN
    ),
    'CREATE TABLE about (name TEXT NOT NULL, "column" TEXT NOT NULL, says TEXT NOT NULL) STRICT',
    explain,
)
"""What makes them."""
