"""Bringing a table into the log: what is new goes in as one batch, what is there already does not."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, fields
from datetime import datetime

from logbook.errors import TableError
from logbook.records import Entry, Flag, NewEvent
from logbook.setting import Setting
from logbook.store.log import Log
from logbook.store.rows import Row, entry_values
from logbook.store.tables_in import Remark, TableRead, read_table

_SHOWN = 20
"""How many refused rows an error lists; the rest are counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportReport:
    """What an import did, or with ``preview`` would do.

    ``read`` rows = ``added`` + ``duplicates`` + refused. ``by_logger`` counts the added rows a logging
    thermometer wrote. ``kinds`` counts what was added, by field: (("indoor_c", 120), ...).
    ``first_at`` and ``last_at`` span what the table holds, new or not. ``batch`` takes it back whole.
    """

    read: int
    added: int
    duplicates: int
    refused: tuple[Remark, ...]
    flagged: tuple[Remark, ...]
    remarks: tuple[str, ...]
    by_logger: int
    kinds: tuple[tuple[str, int], ...]
    first_at: datetime | None
    last_at: datetime | None
    batch: str | None
    preview: bool


def import_table(
    log: Log,
    data: bytes,
    *,
    setting: Setting,
    now: datetime,
    strict: bool = False,
    preview: bool = False,
) -> ImportReport:
    """Bring the rows of a table into the log as one act.

    A row with the ``at`` and the values of one the log has, or had before it was edited or removed by
    hand, is a duplicate and stays out.

    Args:
        log: Where to.
        data: The table's bytes.
        setting: What the rows are read against; ``newest_at`` is taken from the log.
        now: The clock.
        strict: All rows or none.
        preview: Change nothing, say what would be done.

    Raises:
        TableError: The table cannot be read, no row of it can, or with ``strict`` one cannot.
        LogFileError: Nothing was kept.
    """
    table = read_table(data, setting=setting, now=max(filter(None, (now, log.newest_at()))))
    if table.refused and (strict or not table.new):
        raise TableError(_refusals(table, strict=strict))
    new = _not_there_yet(log, table)
    batch = None
    if new and not preview:
        with log.writing() as pen:  # one act; a million events written need not be held
            for _, item in new:
                pen.record(item)
            batch = pen.batch
    lines = {line for line, _ in new}
    times = [item.entry.at for _, item in table.new]
    return ImportReport(
        read=table.rows,
        added=len(new),
        duplicates=len(table.new) - len(new),
        refused=table.refused,
        flagged=tuple(remark for remark in table.flagged if remark.line in lines),
        remarks=table.remarks,
        by_logger=sum(Flag.LOGGER in item.entry.flags for _, item in new),
        kinds=_kinds([item.entry for _, item in new]),
        first_at=min(times, default=None),
        last_at=max(times, default=None),
        batch=batch,
        preview=preview,
    )


def _not_there_yet(log: Log, table: TableRead) -> list[tuple[int, NewEvent]]:
    if not table.new:
        return []
    times = [item.entry.at for _, item in table.new]
    seen = {_likeness(row) for row in log.ever_said(min(times), max(times))}
    fresh: list[tuple[int, NewEvent]] = []
    for line, item in table.new:
        likeness = _likeness(entry_values(item.entry))
        if likeness not in seen:
            seen.add(likeness)
            fresh.append((line, item))
    return fresh


def _likeness(row: Row) -> Row:
    """What makes two rows the same: everything but the flags, which stand last."""
    return row[:-1]


def _kinds(entries: list[Entry]) -> tuple[tuple[str, int], ...]:
    counted: Counter[str] = Counter()
    for entry in entries:
        for field in fields(entry):
            value = getattr(entry, field.name)
            if field.name not in ("at", "place", "flags") and value is not None and value is not False:
                counted[field.name] += 1
    return tuple(counted.most_common())


def _refusals(table: TableRead, *, strict: bool) -> str:
    listed = [f"line {remark.line}: {remark.text}" for remark in table.refused[:_SHOWN]]
    if len(table.refused) > _SHOWN:
        listed.append(f"and {len(table.refused) - _SHOWN} more")
    if strict:
        head = f"{len(table.refused)} of {table.rows} rows cannot be read, so none went in (--strict):"
        tail = "Correct them, or import without --strict: the other rows go in."
    else:
        head = f"None of the {table.rows} rows could be read:"
        tail = "Correct them and import again; nothing was changed."
    return "\n".join([head, *listed, tail])
