"""What enters and leaves the log as files: descriptions, tables, copies, other logs."""

from __future__ import annotations

import os
import stat
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from io import FileIO
from pathlib import Path

from logbook.actions.machine import setting_here
from logbook.actions.reckoning import Cache, known
from logbook.actions.safe_copies import copy_before
from logbook.actions.setting_now import LEVER, setting_now
from logbook.actions.time_now import in_force_from
from logbook.description import describe_changes, parse_description
from logbook.entry.unlikely import DRY_WOOD_PCT
from logbook.errors import BadInputError, DescriptionError, LogFileError, NewerLogError, TableError
from logbook.records import Description
from logbook.results.copies import LaidCopy, MadeCopy
from logbook.setting import Setting
from logbook.store import copies, soundness
from logbook.store.bounded import LOGGER_ROWS_LONG
from logbook.store.dated_copies import dated_copies, events_in
from logbook.store.importing import ImportReport, import_table
from logbook.store.log import Log
from logbook.store.raw_out import export_raw
from logbook.store.tables_in import Remark, read_table
from logbook.store.tables_out import export_log
from logbook.wording import day_text, mass_text, time_text
from logbook.wording.amounts import how_many
from logbook.wording.copies import copies_text, earlier_copies_said, kept_before_text

MOST_BYTES = 256 * 1024**2
"""The largest file read, bytes. ASSUMED: a million rows of a logger are 60 MB; a disk image is no table."""

LISTED = 20
"""How many refused or flagged rows are printed; the rest are counted."""

MANY_ROWS = 100
"""From so many rows on, a copy of the log is made before they come in. ASSUMED: nobody types more at once."""

END_OF_DAYS = datetime.max.replace(tzinfo=UTC)
"""A forecast's rows lie ahead: none of them is in the future here."""

FORECAST_REACH = timedelta(hours=1), timedelta(hours=30)
"""How long before and after now a row of ``--outdoor`` tells of the night ahead. ASSUMED: asked in the
morning, waking is a day and a quarter ahead at most; a row of the last hour still stands for now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What was done, in sentences; what went wrong with parts of it, by line."""

    said: tuple[str, ...]
    refused: tuple[str, ...] = ()


def read_bytes(path: Path) -> bytes:
    """A file the owner named, or what a pipe brings.

    Raises:
        BadInputError: It can't be read; it has no end; nobody writes into the pipe.
    """
    try:
        with FileIO(path, opener=_without_waiting) as file:
            kind = os.fstat(file.fileno()).st_mode
            if not stat.S_ISREG(kind) and not stat.S_ISFIFO(kind):
                raise BadInputError(f"{path} is no file that can be read to its end.\nName a file.")
            begun = file.read(1)  # None where a pipe has a writer who has not written yet
            if stat.S_ISFIFO(kind):
                if begun == b"":
                    raise BadInputError(f"Nobody writes into the pipe {path}.\nName a file.")
                os.set_blocking(file.fileno(), True)
            found = (begun or b"") + _up_to(file, MOST_BYTES)
    except OSError as error:
        raise BadInputError(
            f"The file {path} can't be read: {error.strerror or error}.\nCheck the name and the folder."
        ) from error
    if len(found) > MOST_BYTES:
        raise BadInputError(
            f"{path} is larger than {MOST_BYTES // 1024**2} MB, more than can be read in one go.\n"
            "Part it into several files, each with the first line."
        )
    return found


def _without_waiting(name: str, flags: int) -> int:
    """Opens a pipe whether or not somebody writes into it yet; other files don't know the difference."""
    return os.open(name, flags | getattr(os, "O_NONBLOCK", 0))


def _up_to(file: FileIO, most: int) -> bytes:
    """What is left of a file, and a byte more than ``most`` at the very most."""
    parts, left = [], most
    while left >= 0 and (part := file.read(min(left + 1, 1024 * 1024))):
        parts.append(part)
        left -= len(part)
    return b"".join(parts)


def read_description(path: Path, *, machine_zone: str) -> tuple[Description, str]:
    """A description file, with its text.

    Raises:
        BadInputError: It can't be read, or not be used.
    """
    try:
        text = read_bytes(path).decode("utf-8")
    except UnicodeDecodeError as error:
        raise DescriptionError(f"{path} is not UTF-8 text.\nSave it as UTF-8 and try again.") from error
    return parse_description(text, machine_zone=machine_zone), text


def setup(log: Log, description: Description, text: str, *, since: datetime | None, now: datetime) -> Done:
    """Keep a description: the first one holds always, a later one from ``since`` or from now on."""
    versions = log.descriptions()
    if versions and versions[-1].description == description:
        return Done(said=("The description is the same as before: nothing was added.",))
    from_time = (since or in_force_from(log, now)) if versions else None
    log.add_description(description, from_time, source=text)
    remember_lever(log, text)
    said = [f"{log.path}: {'a new version of the description' if versions else 'a new log'}."]
    if versions and from_time is not None:
        zone = description.site.timezone
        said = [
            f"Holds from {day_text(from_time, zone=zone, year=True)} {time_text(from_time, zone=zone)} on."
        ]
        said += describe_changes(versions[-1].description, description)
    return Done(said=(*said, *_assumed(description)))


def remember_lever(log: Log, text: str) -> None:
    """Which way the lever reads, if a description's text says it: nobody is asked again."""
    lever = tomllib.loads(text.removeprefix("\ufeff")).get("stove", {}).get("air_lever_reads")
    if isinstance(lever, str) and lever != log.setting(LEVER):
        log.set_setting(LEVER, lever)


def _assumed(description: Description) -> list[str]:
    """What the description leaves open, and what is taken instead."""
    said = []
    stove, wood = description.stove, description.wood
    if stove.clean_floor_assumed:
        said.append(
            f"stove.clean_floor_open_pct is not given: {stove.clean_floor_open_pct:.0f} is assumed until you "
            "look it up in the stove's manual."
        )
    if description.site.timezone_assumed:
        said.append(f"site.timezone is not given: this machine's, {description.site.timezone}, is taken.")
    if wood.moisture_assumed:
        said.append(f"wood.moisture_pct is not given: {wood.moisture_pct:.0f} % is assumed.")
    if wood.moisture_pct < DRY_WOOD_PCT[wood.moisture_basis]:
        said.append(
            f"wood.moisture_pct is {wood.moisture_pct:g} %: drier than out of a kiln. It is kept as given; "
            "measure inside a piece split just now."
        )
    if not wood.pieces_kg:
        said.append("wood.pieces_kg is not given: loads are told in " + mass_unit(description) + ".")
    if not description.cabin.surfaces:
        said.append("No surfaces are described: the heat loss starts from a wide guess.")
    return said


def mass_unit(description: Description) -> str:
    """The owner's unit of mass."""
    return mass_text(1.0, units=description.units).split()[-1]


def bring_in(
    log: Log,
    path: Path,
    *,
    now: datetime,
    strict: bool = False,
    preview: bool = False,
    told: Callable[[int, int], None] = lambda _done, _of: None,
    copy_into: Path | None = None,
) -> tuple[ImportReport, Done]:
    """Bring a table's rows into the log as one batch; what was refused is told by line, and to ``told`` how
    many rows are done. Before many rows, a dated copy of the log goes into the folder ``copy_into``.

    Raises:
        TableError: The table can't be read, no row of it can, or with ``strict`` one can't.
    """
    setting = setting_now(log) if log.descriptions() else setting_here()
    kept: list[MadeCopy] = []

    def before(rows: int) -> None:
        if copy_into is not None and rows >= MANY_ROWS:
            kept.append(copy_before(log, copy_into, now=now))

    report = import_table(
        log, read_bytes(path), setting=setting, now=now, strict=strict, preview=preview, told=told,
        before=before,
    )  # fmt: skip
    said, refused = _import_said(report, setting), _listed(report.refused)
    copied = tuple(kept_before_text(copy.path) for copy in kept if copy.path is not None)
    troubles = tuple(copy.trouble for copy in kept if copy.trouble)
    return report, Done(said=(*said, *copied), refused=(*refused, *troubles))


def _import_said(report: ImportReport, setting: Setting) -> tuple[str, ...]:
    verb = "Would bring in" if report.preview else "Brought in"
    said = []
    if report.added:
        kinds = ", ".join(f"{count} {name}" for name, count in report.kinds)
        said.append(f"{verb} {report.added} of {report.read} rows: {kinds}.")
    else:
        said.append(f"Nothing new: {report.duplicates} of {report.read} rows are in the log already.")
    if report.added and report.duplicates:
        are, add = ("is", "adds") if report.duplicates == 1 else ("are", "add")
        said.append(f"{how_many(report.duplicates, 'row')} {are} in the log already and {add} nothing.")
    if report.first_at and report.last_at:
        first, last = (_moment_text(at, setting) for at in (report.first_at, report.last_at))
        said.append(f"From {first} to {last}.")
    if report.by_logger:
        looks = "looks" if report.by_logger == 1 else "look"
        said.append(f"{how_many(report.by_logger, 'row')} {looks} like a logging thermometer's.")
    said += report.remarks
    said += [f"kept, flagged: {row}" for row in _listed(report.flagged)]
    if report.added and not report.preview:
        said.append("nightload undo takes the whole batch back.")
    return tuple(said)


def _listed(remarks: tuple[Remark, ...]) -> tuple[str, ...]:
    said = [f"line {remark.line}: {remark.text}" for remark in remarks[:LISTED]]
    if len(remarks) > LISTED:
        said.append(f"and {len(remarks) - LISTED} more")
    return tuple(said)


def outdoor_of(path: Path, *, setting: Setting, as_of: datetime) -> tuple[tuple[datetime, float], ...]:
    """Outdoor temperatures of a night from a table with ``at`` and ``outdoor_c``, in order of time.

    Raises:
        TableError: No row of it can be used, or one of them can't, or none lies in the night ahead.
    """
    table = read_table(read_bytes(path), setting=setting, now=END_OF_DAYS)
    if table.refused:
        raise TableError("\n".join([f"{path}: some rows can't be used.", *_listed(table.refused)]))
    found = {new.entry.at: new.entry.outdoor_c for _, new in table.new if new.entry.outdoor_c is not None}
    if not found:
        raise TableError(f"{path} has no outdoor temperature.\nIts columns are at and outdoor_c.")
    rows = tuple(sorted((at, c) for at, c in found.items()))
    if not any(as_of - FORECAST_REACH[0] <= at <= as_of + FORECAST_REACH[1] for at, _ in rows):
        first, last, now = (_moment_text(at, setting) for at in (rows[0][0], rows[-1][0], as_of))
        raise TableError(
            f"{path} goes from {first} to {last}: none of it lies in the night after {now}.\n"
            "Get the forecast anew, or leave --outdoor out."
        )
    return rows


def _moment_text(at: datetime, setting: Setting) -> str:
    return f"{day_text(at, zone=setting.zone, year=True)} {time_text(at, zone=setting.zone)}"


def backup(log: Log, folder: Path, *, now: datetime) -> tuple[Done, tuple[Path, ...]]:
    """Write a dated copy of the log; also those of earlier that lie beside it, newest first."""
    earlier = tuple(copy.path for copy in reversed(dated_copies(log.path, folder)))
    made = copies.back_up(log, folder, now=now)
    return Done(said=(f"Copied to {made}", *earlier_copies_said([path.name for path in earlier]))), earlier


def restore(path: Path, copy: Path, *, now: datetime) -> Done:
    """Put a copy in the place of the log; the log as it was stays beside it."""
    aside = copies.restore(path, copy, now=now)
    said = [f"{path} is now what {copy} was."]
    if aside is not None:
        said.append(f"The log as it was is kept as {aside}")
    return Done(said=tuple(said))


def copies_there(path: Path, folder: Path, *, setting: Setting) -> tuple[Done, tuple[LaidCopy, ...]]:
    """The dated copies of a log, newest first; the log itself is not opened: it may be damaged.

    Raises:
        LogFileError: There is none.
    """
    found = tuple(
        LaidCopy(at=copy.at, path=copy.path, events=events_in(copy.path))
        for copy in reversed(dated_copies(path, folder))
    )
    if not found:
        raise LogFileError(
            f"No copy of {path} lies in {folder}.\n"
            "Name one that lies elsewhere: nightload restore FILE. Without any, save what is whole in a "
            "damaged log into a new one: nightload salvage DAMAGED NEW.db"
        )
    return Done(said=tuple(copies_text(path, found, setting=setting))), found


def export(
    log: Log,
    folder: Path,
    *,
    now: datetime,
    cache: Cache | None = None,
    told: Callable[[int, int], None] = lambda done, of: None,
) -> Done:
    """Write the log as open files; with a description also what each night and each stay came to.

    Raises:
        LogFileError: The folder cannot be written.
    """
    versions = log.descriptions()
    zone = versions[-1].description.site.timezone if versions else "UTC"
    tables = {}
    if versions:
        from logbook.actions.summaries import summary_tables  # noqa: PLC0415 - heavy; only an export needs it

        tables = summary_tables(known(log, as_of=now, logger_rows=LOGGER_ROWS_LONG), cache=cache)
    return Done(said=tuple(str(path) for path in export_log(log, folder, zone=zone, more=tables, told=told)))


def export_newer(path: Path, folder: Path, *, newer: NewerLogError) -> Done:
    """Write the tables of a newer version's log as they are, read only, and say so.

    Raises:
        LogFileError: It can't be read, or the folder not be written.
    """
    written, refused = export_raw(path, folder)
    what = str(newer).partition("\n")[0]
    said = (what, "Its tables, as they are, understood by no part of this program:", *map(str, written))
    return Done(said=said, refused=refused)


check: Callable[[Path], soundness.Soundness] = soundness.check
"""Look through a whole log without changing it."""
