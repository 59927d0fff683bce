"""The whole log as lines of JSON, one event each: what ``events_in`` makes an equal log of.

The first line says what the file is and how many events follow. Events stand in the order of the log
(counter, device, uuid), so two logs that hold the same give the same file to the last byte. What is not said
is left out. Control signs, line separators and marks that turn the direction of writing are escaped.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterator
from typing import Any

from logbook.errors import LogFileError
from logbook.store.digest import EVENT_NAMES, Held
from logbook.store.rows import ENTRY_COLUMNS, Row

FORMAT = "nightload events"
FORMAT_VERSION = 1
"""Goes up when a file may hold what an older program would not understand."""

YES_OR_NO = ("kindling", "fire_out", "alarms_tested")
"""Columns of an entry kept as 0 and 1, written as true where they are 1."""

_AT_A_TIME = 2_000
"""Events read at a time: a few MB. ASSUMED."""

_EVENTS = (
    "SELECT e.id, v.event, s.event, n.event, e.digest, v.valid_from, v.toml, s.name, s.value,"
    " e.uuid, d.uuid, e.counter, b.uuid, e.act, e.root, e.supersedes, e.target,"
    " e.at_typed, e.zone, e.written_at, e.how, e.line, "
    + ", ".join(f'n."{name}"' for name in ENTRY_COLUMNS)
    + " FROM event AS e JOIN device AS d ON d.id = e.device JOIN batch AS b ON b.id = e.batch"
    " LEFT JOIN entry AS n ON n.event = e.id LEFT JOIN description AS v ON v.event = e.id"
    " LEFT JOIN setting AS s ON s.event = e.id ORDER BY e.counter, d.uuid, e.uuid"
)

_TYPED = (
    "SELECT event, position, name, text, unit FROM typed WHERE event IN (SELECT value FROM json_each(?))"
    " ORDER BY event, position"
)

_UNSEEN = re.compile("[\x7f-\x9f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]")
"""Signs that steer a screen or part lines without being seen; below U+0020 JSON escapes by itself."""


def held_in_order(db: sqlite3.Connection) -> Iterator[Held]:
    """Every event of a log of this format, in the log's order, a stretch in memory at a time."""
    cursor = db.execute(_EVENTS)
    while rows := cursor.fetchmany(_AT_A_TIME):
        typed: dict[int, list[Row]] = {}
        for key, *part in db.execute(_TYPED, (json.dumps([row[0] for row in rows]),)):
            typed.setdefault(key, []).append(tuple(part))
        for row in rows:
            yield Held(
                key=row[0],
                event=row[9:22],
                entry=None if row[3] is None else row[22:],
                typed=tuple(typed.get(row[0], ())),
                description=None if row[1] is None else row[5:7],
                setting=None if row[2] is None else row[7:9],
                digest=row[4],
            )


def header_line(events: int) -> str:
    """The first line of the file."""
    return json.dumps({"format": FORMAT, "version": FORMAT_VERSION, "events": events}) + "\n"


def event_line(held: Held) -> str:
    """One event as a line of JSON, every value as it is."""
    said: dict[str, Any] = {
        name: value for name, value in zip(EVENT_NAMES, held.event, strict=True) if value is not None
    }
    if held.entry is not None:
        said["entry"] = _entry(held.entry)
    if held.typed:
        said["typed"] = [_typed(nth, part) for nth, part in enumerate(held.typed)]
    if held.description is not None:
        since, toml = held.description
        said["description"] = {"toml": toml} if since is None else {"valid_from": since, "toml": toml}
    if held.setting is not None:
        said["setting"] = {"name": held.setting[0], "value": held.setting[1]}
    if held.digest is not None:
        said["digest"] = held.digest.hex()
    return _UNSEEN.sub(lambda sign: f"\\u{ord(sign.group()):04x}", _json(said)) + "\n"


def _entry(row: Row) -> dict[str, Any]:
    """What an entry says, by field; what it does not say is left out."""
    said = {name: value for name, value in zip(ENTRY_COLUMNS, row, strict=True) if value is not None}
    for name in YES_OR_NO:
        if said.pop(name):
            said[name] = True
    if not said["place"]:
        del said["place"]
    if flags := said.pop("flags"):
        said["flags"] = flags.split(" ")
    if "matter" in said:
        said["matter"] = _matter(said["matter"])
    return said


def _typed(nth: int, part: Row) -> dict[str, Any]:
    """A value as typed; its place among them only where that is not its place in the list."""
    position, name, text, unit = part
    said = {"name": name, "text": text, "unit": unit}
    return said if position == nth else {"position": position, **said}


def _matter(text: str) -> object:
    """The matter's JSON as it is inside ours; as text where reading and writing would change it."""
    matter = json.loads(text)
    return matter if matter_text(matter) == text else text


def matter_text(matter: object) -> str:
    """JSON as ``matters_text.matter_text`` writes it."""
    return json.dumps(matter, ensure_ascii=False, allow_nan=False)


def _json(said: dict[str, Any]) -> str:
    try:
        return json.dumps(said, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    except ValueError as error:
        raise LogFileError(
            f"The event {said.get('uuid')} holds a number beyond all measure, never written here.\n"
            "Look through the log: nightload check. What is whole is saved by: nightload salvage LOG NEW.db"
        ) from error
