"""The log as open files: tables in the columns that come in, for another program or for this one.

``notebook.csv`` holds what people wrote, in the order written; ``logger.csv`` what a logging thermometer
wrote; ``history.csv`` every event with what it replaced; ``description.toml`` the newest description.
``nights.csv`` and ``stays.csv``, where there is a description, are made of them by ``actions.summaries``.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime, tzinfo
from io import StringIO
from pathlib import Path
from zoneinfo import ZoneInfo

from logbook.description import description_to_toml
from logbook.errors import LogFileError
from logbook.records import Entry, Event
from logbook.store.log import Log
from logbook.store.matters_text import matter_text
from logbook.store.rows import ENTRY_COLUMNS

OUT_COLUMNS = tuple(
    name
    for field in ENTRY_COLUMNS
    for name in ((field, "air_closed_pct") if field == "air_open_pct" else (field,))
)
"""The columns written: one for each field, the air both ways."""


def table_of(entries: Iterable[Entry], *, zone: str) -> str:
    """Entries as CSV text, in the order given; times on the site's clock with their offset.

    Reading it back gives the same entries.
    """
    tz = ZoneInfo(zone)
    return _csv(OUT_COLUMNS, ([_cell(entry, column, tz) for column in OUT_COLUMNS] for entry in entries))


def history_of(events: Iterable[Event], *, zone: str) -> str:
    """Every event as CSV text: who, when, how, as typed, what it replaced, and its entry."""
    tz = ZoneInfo(zone)
    about = (
        "uuid",
        "device",
        "counter",
        "act",
        "supersedes",
        "batch",
        "written_at",
        "how",
        "at_typed",
        "zone",
        "line",
    )

    def row(event: Event) -> list[str]:
        who = [_text(getattr(event, name), tz) for name in about]
        said = [_cell(event.entry, column, tz) if event.entry else "" for column in OUT_COLUMNS]
        typed = "; ".join(f"{part.name}={part.text} {part.unit}".rstrip() for part in event.typed)
        return [*who, *said, typed]

    return _csv((*about, *OUT_COLUMNS, "typed"), map(row, events))


def export_log(
    log: Log, folder: Path, *, zone: str, more: Mapping[str, str] | None = None
) -> tuple[Path, ...]:
    """Write the log's open files into a folder; files of the same names there are replaced.

    Args:
        log: The log.
        folder: Where to; made if it is not there.
        zone: The site's zone, IANA.
        more: Further tables made from the log, text by file name.

    Raises:
        LogFileError: The folder cannot be written.
    """
    held = log.current_entries()
    people = [event.entry for event in held if event.entry and event.how != "logger"]
    loggers = [event.entry for event in held if event.entry and event.how == "logger"]
    texts = {"notebook.csv": table_of(people, zone=zone), "history.csv": history_of(log.events(), zone=zone)}
    if loggers:
        texts["logger.csv"] = table_of(loggers, zone=zone)
    if versions := log.descriptions():
        texts["description.toml"] = description_to_toml(versions[-1].description)
    texts |= more or {}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            (folder / name).write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        raise LogFileError(
            f"The folder {folder} could not be written: {error.strerror or error}.\n"
            "Name another folder: nightload export DIR."
        ) from error
    return tuple(folder / name for name in texts)


def _csv(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    text = StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()


def _cell(entry: Entry, column: str, zone: tzinfo) -> str:
    if column == "air_closed_pct":
        return "" if entry.air_open_pct is None else _text(100.0 - entry.air_open_pct, zone)
    if column == "kindling" and not entry.kindling:
        # A note that merely mentions kindling would else be read as a cold start.
        return "no" if "kindling" in (entry.note or "").casefold() else ""
    if column == "matter":
        return "" if entry.matter is None else matter_text(entry.matter)
    return _text(getattr(entry, column), zone)


_WRITTEN: dict[type, Callable[..., str]] = {
    bool: lambda value: "yes" if value else "",
    float: lambda value: repr(value).removesuffix(".0"),
    frozenset: lambda value: " ".join(sorted(value)),
}


def _text(value: object, zone: tzinfo) -> str:
    """A value as a cell, nothing rounded away."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        local = value.astimezone(zone)
        return local.isoformat(timespec="auto" if local.second or local.microsecond else "minutes")
    return _WRITTEN.get(type(value), str)(value)
