"""A log made again of the lines ``events_out`` wrote: every event as it was, or a sentence and nothing.

A line that was changed since it was written does not get in: its digest no longer fits.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any, NoReturn

from logbook.description import parse_description
from logbook.errors import LogbookError, LogFileError
from logbook.store.connection import connect, transaction
from logbook.store.digest import EVENT_NAMES, Held, digest_of
from logbook.store.events_out import FORMAT, FORMAT_VERSION, YES_OR_NO, matter_text
from logbook.store.rows import ENTRY_COLUMNS, Row, entry_from, time_from, time_text

LONGEST_LINE = 50_000_000
"""Longest line read, signs. ASSUMED: a pasted book fits; a file that is one endless line does not fill the
memory."""

TOLD_EVERY = 50_000
"""Events between two words on how far it is."""

_KEYS = frozenset({*EVENT_NAMES, "entry", "typed", "description", "setting", "digest"})
_TYPED_KEYS = frozenset({"position", "name", "text", "unit"})
_NUMBERS = frozenset(name for name in ENTRY_COLUMNS if name.endswith(("_c", "_kg", "_pct", "_w")))

_INSERT_EVENT = (
    "INSERT INTO event (id, uuid, device, counter, batch, act, root, supersedes, target,"
    " at_typed, zone, written_at, how, line, digest) VALUES (?" + ", ?" * 14 + ")"
)
_INSERT_ENTRY = (
    "INSERT INTO entry (event, "
    + ", ".join(f'"{name}"' for name in ENTRY_COLUMNS)
    + f") VALUES (?{', ?' * len(ENTRY_COLUMNS)})"
)


class _OddError(Exception):
    """Why a line cannot be an event; becomes the reason nothing was read."""


def log_of_lines(
    source: Path, target: Path, *, told: Callable[[int, int], None] = lambda done, of: None
) -> int:
    """Make a log at ``target`` of the events in ``source``; the log is whole or not there.

    Args:
        source: A file ``events_out`` wrote.
        target: Where to; there must be nothing yet.
        told: Told now and then how many events of how many are in.

    Returns:
        How many events it holds.

    Raises:
        LogFileError: It cannot be read, is none of ours, of a newer format, cut short or changed by hand.
    """
    try:
        with source.open(encoding="utf-8", newline="\n") as file, closing(connect(target, create=True)) as db:
            lines = iter(lambda: file.readline(LONGEST_LINE), "")
            expected = _expected(next(lines, ""), source)
            with transaction(db, target):
                return _written(db, lines, source=source, expected=expected, told=told)
    except OSError as error:
        raise LogFileError(
            f"{source} could not be read: {error.strerror or error}.\nCheck the name and the folder."
        ) from error
    except UnicodeDecodeError as error:
        raise LogFileError(f"{source} is not UTF-8 text: it is damaged.\n{_TRY_AGAIN}") from error


_TRY_AGAIN = "Nothing was brought in. Export the log again, or try another copy of the folder."


def _expected(header: str, source: Path) -> int:
    """How many events the first line promises."""
    try:
        said = json.loads(header)
        ours, version, events = said["format"] == FORMAT, said["version"], said["events"]
    except (ValueError, KeyError, TypeError, RecursionError):
        ours, version, events = False, 0, 0
    if not ours or not isinstance(events, int) or not isinstance(version, int):
        raise LogFileError(
            f"{source} does not begin as an export's file of events does.\n"
            "Name the folder that  nightload export DIR  wrote."
        )
    if version > FORMAT_VERSION:
        raise LogFileError(
            f"{source} was written by a newer version of this program (format {version}, "
            f"known here up to {FORMAT_VERSION}).\nNothing was brought in. Use the newer version."
        )
    return events


def _written(
    db: sqlite3.Connection,
    lines: Iterator[str],
    *,
    source: Path,
    expected: int,
    told: Callable[[int, int], None],
) -> int:
    db.execute("PRAGMA defer_foreign_keys = ON")
    keys: dict[str, dict[str, int]] = {"device": {}, "batch": {}}
    count = 0
    for line in lines:
        try:
            held = event_of(line, key=count + 1)
            _insert(db, held, keys)
        except (_OddError, sqlite3.IntegrityError) as error:
            _refuse(source, count + 2, str(error))
        except (OverflowError, UnicodeEncodeError):  # 20 figures; half a sign
            _refuse(source, count + 2, "it holds a value that no log can keep")
        count += 1
        if count % TOLD_EVERY == 0:
            told(count, expected)
    if count != expected:
        raise LogFileError(
            f"{source} has {count} of the {expected} events its first line tells of: it was cut short.\n"
            f"{_TRY_AGAIN}"
        )
    if missing := db.execute("PRAGMA foreign_key_check").fetchone():
        raise LogFileError(
            f"{source}: event {missing[1]} refers to one that is not in the file.\n{_TRY_AGAIN}"
        )
    return count


def _refuse(source: Path, line: int, why: str) -> NoReturn:
    raise LogFileError(f"{source}, line {line}: {why.rstrip('.')}.\n{_TRY_AGAIN}")


def _insert(db: sqlite3.Connection, held: Held, keys: dict[str, dict[str, int]]) -> None:
    uuid, device, counter, batch, *rest = held.event
    row = (held.key, uuid, _key(db, keys, "device", device), counter, _key(db, keys, "batch", batch))
    db.execute(_INSERT_EVENT, (*row, *rest, held.digest))
    if held.entry is not None:
        db.execute(_INSERT_ENTRY, (held.key, *held.entry))
    for part in held.typed:
        db.execute("INSERT INTO typed VALUES (?, ?, ?, ?, ?)", (held.key, *part))
    if held.description is not None:
        db.execute("INSERT INTO description VALUES (?, ?, ?)", (held.key, *held.description))
    if held.setting is not None:
        db.execute("INSERT INTO setting VALUES (?, ?, ?)", (held.key, *held.setting))


def _key(db: sqlite3.Connection, keys: dict[str, dict[str, int]], table: str, uuid: str) -> int:
    known = keys[table]
    if uuid not in known:
        known[uuid] = len(known) + 1
        db.execute(f"INSERT INTO {table} VALUES (?, ?)", (known[uuid], uuid))
    return known[uuid]


def event_of(line: str, *, key: int) -> Held:
    """The event in a line, checked as far as the program that reads the log relies on it.

    Raises:
        _OddError: It is no event of ours, or was changed since it was written.
    """
    try:
        said = json.loads(line)
    except (ValueError, RecursionError) as error:
        raise _OddError("not a whole line of JSON") from error
    if not line.endswith("\n"):
        raise _OddError("the line is cut short")
    _only(said, _KEYS, "an event")
    event = tuple(said.get(name) for name in EVENT_NAMES)
    for name, value in zip(EVENT_NAMES, event, strict=True):
        kind = int if name == "counter" else str
        if type(value) is not kind and not (value is None and name in ("root", "supersedes", "target")):
            raise _OddError(f"'{name}' is {value!r:.60}")
    _time(said["written_at"])
    held = Held(
        key=key,
        digest=None,
        event=event,
        entry=_entry(said["entry"]) if "entry" in said else None,
        typed=tuple(_typed(nth, part) for nth, part in enumerate(_list(said.get("typed", [])))),
        description=_description(said["description"]) if "description" in said else None,
        setting=_setting(said["setting"]) if "setting" in said else None,
    )
    digest = digest_of(
        event, entry=held.entry, typed=held.typed, description=held.description, setting=held.setting
    )
    if said.get("digest", digest.hex()) != digest.hex():
        raise _OddError("what the line says does not fit its digest: it was changed since it was written")
    return Held(
        key=key,
        digest=digest,
        event=event,
        entry=held.entry,
        typed=held.typed,
        description=held.description,
        setting=held.setting,
    )


def _only(said: object, known: frozenset[str], what: str) -> None:
    if not isinstance(said, dict):
        raise _OddError(f"{what} is {said!r:.60}")
    unknown = sorted(said.keys() - known)
    if unknown:
        raise _OddError(
            f"{what} has '{unknown[0]}', which is not known here; a newer version may have written it"
        )


def _list(said: object) -> list[Any]:
    if not isinstance(said, list):
        raise _OddError(f"a list is {said!r:.60}")
    return said


def _time(text: object) -> None:
    """A time as the log keeps it: UTC, to the microsecond, one width."""
    try:
        kept = isinstance(text, str) and time_text(time_from(text)) == text
    except (ValueError, OverflowError, LogbookError):
        kept = False
    if not kept:
        raise _OddError(f"{text!r:.60} is not a time in UTC to the microsecond")


def _entry(said: Any) -> Row:
    """The values of ENTRY_COLUMNS for what an entry says."""
    _only(said, frozenset(ENTRY_COLUMNS), "an entry")
    whole = {"place": "", **said, "flags": " ".join(map(str, _list(said.get("flags", []))))}
    for name in YES_OR_NO:
        if not isinstance(said.get(name, False), bool):
            raise _OddError(f"'{name}' is {said[name]!r:.60}")
        whole[name] = int(said.get(name, False))
    row: list[object] = []
    for name in ENTRY_COLUMNS:
        value = whole.get(name)
        if name == "matter" and value is not None:
            value = value if isinstance(value, str) else matter_text(value)
        elif name in _NUMBERS and value is not None:
            value = _number(name, value)
        elif name not in YES_OR_NO and value is not None and not isinstance(value, str):
            raise _OddError(f"'{name}' is {value!r:.60}")
        row.append(value)
    _time(whole.get("at"))
    if whole.get("reset_at") is not None:
        _time(whole["reset_at"])
    try:
        entry_from(tuple(row))
    except (ValueError, LogbookError) as error:
        raise _OddError(" ".join(str(error).split())) from error
    return tuple(row)


def _number(name: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _OddError(f"'{name}' is {value!r:.60}")
    try:
        number = float(value)
    except OverflowError:
        number = float("inf")
    if number - number != 0.0:
        raise _OddError(f"'{name}' is {number}, which is not a number to keep")
    return number


def _typed(nth: int, said: Any) -> Row:
    _only(said, _TYPED_KEYS, "a value as typed")
    row = (said.get("position", nth), said.get("name"), said.get("text"), said.get("unit"))
    if type(row[0]) is not int or not all(isinstance(part, str) for part in row[1:]):
        raise _OddError(f"a value as typed is {said!r:.60}")
    return row


def _description(said: Any) -> Row:
    _only(said, frozenset({"valid_from", "toml"}), "a description")
    if said.get("valid_from") is not None:
        _time(said["valid_from"])
    if not isinstance(said.get("toml"), str):
        raise _OddError(f"a description is {said!r:.60}")
    try:
        parse_description(said["toml"], machine_zone="UTC")
    except LogbookError as error:
        raise _OddError(" ".join(str(error).split())) from error
    return said.get("valid_from"), said["toml"]


def _setting(said: Mapping[str, Any]) -> Row:
    _only(said, frozenset({"name", "value"}), "a setting")
    if not all(isinstance(said.get(name), str) for name in ("name", "value")):
        raise _OddError(f"a setting is {said!r:.60}")
    return said["name"], said["value"]
