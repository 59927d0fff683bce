"""The log as open files: tables in the columns that come in, for another program or for this one.

``notebook.csv`` holds what people wrote, in the order written; ``logger.csv`` what a logging thermometer
wrote; ``history.csv`` every event with what it replaced; ``description.toml`` the newest description;
``events.jsonl`` all of it, to be read back (``events_in``). ``nights.csv`` and ``stays.csv``, where there is
a description, are made of them by ``actions.summaries``. ``DICTIONARY.md`` says what each column means.

Rows go from the file to the files a few at a time: a million of them need no more memory than a thousand.
"""

from __future__ import annotations

import csv
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import tzinfo
from io import StringIO
from pathlib import Path
from typing import TextIO
from zoneinfo import ZoneInfo

from logbook.description import description_to_toml
from logbook.records import Entry
from logbook.setting import on_clock
from logbook.store import queries
from logbook.store.columns import guarded
from logbook.store.connection import explained
from logbook.store.dictionary_out import dictionary_files
from logbook.store.digest import EVENT_NAMES, Held
from logbook.store.events_out import event_line, header_line, held_in_order
from logbook.store.folders import put_into
from logbook.store.log import Log
from logbook.store.rows import ENTRY_COLUMNS, Row, entry_values, time_from

EVENTS_FILE = "events.jsonl"
"""The whole log; the one file of a folder that is needed to make an equal one."""

OUT_COLUMNS = tuple(
    name
    for field in ENTRY_COLUMNS
    for name in ((field, "air_closed_pct") if field == "air_open_pct" else (field,))
)
"""The columns written: one for each field, the air both ways."""

HISTORY_ABOUT = (
    *("uuid", "device", "counter", "act", "supersedes", "batch"),
    *("written_at", "how", "at_typed", "zone", "line"),
)
"""What ``history.csv`` says of an event before its entry; after it comes ``typed``."""

SOMETIMES = ("logger.csv", "description.toml", "nights.csv", "stays.csv")
"""Files not every log has; one left from an earlier export is taken away, it would tell of another log."""

TOLD_EVERY = 50_000
"""Rows between two words on how far it is."""

_AT, _RESET_AT, _NOTE, _KINDLING, _AIR = map(
    ENTRY_COLUMNS.index, ("at", "reset_at", "note", "kindling", "air_open_pct")
)
_YES_OR_NO = tuple(map(ENTRY_COLUMNS.index, ("kindling", "fire_out", "alarms_tested")))
_WORDS = tuple(map(ENTRY_COLUMNS.index, ("place", "pieces", "species", "change", "note", "matter")))

_HOLDING = queries.ENTRIES_HOLDING + " AND {} " + queries.IN_WRITTEN_ORDER
_PEOPLE, _LOGGERS = "e.how <> 'logger'", "e.how = 'logger'"


def table_of(entries: Iterable[Entry], *, zone: str) -> str:
    """Entries as CSV text, in the order given; times on the site's clock with their offset.

    Reading it back gives the same entries.
    """
    text = StringIO(newline="")
    _write_table(text, map(entry_values, entries), zone=ZoneInfo(zone))
    return text.getvalue()


def export_log(
    log: Log,
    folder: Path,
    *,
    zone: str,
    more: Mapping[str, str] | None = None,
    told: Callable[[int, int], None] = lambda done, of: None,
) -> tuple[Path, ...]:
    """Write the log's open files into a folder; files of the same names there are replaced, all or none.

    Args:
        log: The log.
        folder: Where to; made if it is not there.
        zone: The site's zone, IANA.
        more: Further tables made from the log, text by file name.
        told: Told now and then how many events of how many are out.

    Raises:
        LogFileError: The folder cannot be written, or the log not be read; the folder is as it was.
    """
    texts = {**dictionary_files(), **(more or {})}
    if versions := log.descriptions():
        texts["description.toml"] = description_to_toml(versions[-1].description)
    with _one_moment(log) as db:
        count = db.execute("SELECT count(*) FROM event").fetchone()[0]
        loggers = db.execute("SELECT 1 FROM event WHERE how = 'logger' LIMIT 1").fetchone()
        tables = {"notebook.csv": _PEOPLE, **({"logger.csv": _LOGGERS} if loggers else {})}
        names = (*tables, "history.csv", EVENTS_FILE, *texts)
        with put_into(folder, names, ours=SOMETIMES) as files:
            for name, who in tables.items():
                _write_table(files[name], db.execute(_HOLDING.format(who)), zone=ZoneInfo(zone))
            events = _counted(held_in_order(db), count, told)
            _write_events(files["history.csv"], files[EVENTS_FILE], events, count, zone=ZoneInfo(zone))
            for name, text in texts.items():
                files[name].write(text)
    return tuple(folder / name for name in names)


@contextmanager
def _one_moment(log: Log) -> Iterator[sqlite3.Connection]:
    """The log as it stands now, whatever other windows write meanwhile."""
    with explained(log.path):
        log.connection.execute("BEGIN")
        try:
            yield log.connection
        finally:
            if log.connection.in_transaction:
                log.connection.execute("COMMIT")


def _counted(events: Iterator[Held], of: int, told: Callable[[int, int], None]) -> Iterator[Held]:
    for done, held in enumerate(events):
        if done and done % TOLD_EVERY == 0:
            told(done, of)
        yield held


def _write_table(file: TextIO, rows: Iterable[Row], *, zone: tzinfo) -> None:
    write = _row_writer(file)
    write(OUT_COLUMNS)
    for row in rows:
        write(_cells(row, zone))


def _write_events(
    history: TextIO, lines: TextIO, events: Iterable[Held], count: int, *, zone: tzinfo
) -> None:
    """Both files that hold every event, in one going through."""
    row = _history_writer(history)
    lines.write(header_line(count))
    for held in events:
        lines.write(event_line(held))
        said = dict(zip(EVENT_NAMES, held.event, strict=True))
        said["supersedes"] = said["supersedes"] or said["target"]
        about = tuple(said[name] for name in HISTORY_ABOUT)
        typed = [part[1:] for part in held.typed]
        row(_history_cells(about, said["written_at"], held.entry, typed, zone=zone))


def _history_writer(file: TextIO) -> Callable[[Sequence[str]], object]:
    write = _row_writer(file)
    write((*HISTORY_ABOUT, *OUT_COLUMNS, "typed"))
    return write


def _row_writer(file: TextIO) -> Callable[[Sequence[str]], object]:
    """Writes a row; one with a bare carriage return in quotes, which ``csv`` leaves out: it would end the row
    for a reader, and what follows it in a note would be a row of its own."""
    plain = csv.writer(file, lineterminator="\n").writerow
    quoted = csv.writer(file, lineterminator="\n", quoting=csv.QUOTE_ALL).writerow
    return lambda row: (quoted if "\r" in "".join(row) else plain)(row)


def _history_cells(
    about: Row, written_at: str, entry: Row | None, typed: Sequence[Row], *, zone: tzinfo
) -> list[str]:
    who = ["" if value is None else guarded(str(value)) for value in about]
    who[HISTORY_ABOUT.index("written_at")] = _clock(written_at, zone)
    said = [""] * len(OUT_COLUMNS) if entry is None else _cells(entry, zone)
    as_typed = "; ".join(f"{name}={text} {unit}".rstrip() for name, text, unit in typed)
    return [*who, *said, guarded(as_typed)]


def _cells(row: Row, zone: tzinfo) -> list[str]:
    """The cells of OUT_COLUMNS for values of ENTRY_COLUMNS, nothing rounded away."""
    cells = [
        "" if value is None else value if isinstance(value, str) else repr(value).removesuffix(".0")
        for value in row
    ]
    cells[_AT] = _clock(row[_AT], zone)
    if row[_RESET_AT] is not None:
        cells[_RESET_AT] = _clock(row[_RESET_AT], zone)
    for column in _YES_OR_NO:
        cells[column] = "yes" if row[column] else ""
    if not row[_KINDLING] and row[_NOTE] and "kindling" in row[_NOTE].casefold():
        # A note that merely mentions kindling would else be read as a cold start.
        cells[_KINDLING] = "no"
    for column in _WORDS:
        if cells[column]:
            cells[column] = guarded(cells[column])
    cells.insert(_AIR + 1, "" if row[_AIR] is None else _number(100.0 - row[_AIR]))
    return cells


def _number(value: float) -> str:
    return repr(float(value)).removesuffix(".0")


def _clock(text: str, zone: tzinfo) -> str:
    """A time of the log on the site's clock, with its offset."""
    local = on_clock(time_from(text), zone)
    return local.isoformat(timespec="auto" if local.second or local.microsecond else "minutes")
