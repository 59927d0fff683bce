"""Commands about files: setup, import, export, backup, restore, merge, check."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from zoneinfo import ZoneInfo

from logbook.actions import files
from logbook.actions.machine import machine_zone, setting_here
from logbook.actions.opening import clock, place_of
from logbook.actions.reading_back import is_export, read_back
from logbook.cli.output import answer, optional_moment, time_now, warn, zone_of
from logbook.cli.progress import Progress
from logbook.description import example_toml
from logbook.errors import BadInputError, LogFileError, NewerLogError
from logbook.store.settling import unsettled_in
from logbook.wording.amounts import how_many
from logbook.wording.conflicts import count_text


def setup(asked: Namespace) -> int:
    """Make a log or a new version of its description, or print an example."""
    if asked.example:
        print(example_toml(), end="")
        return 0
    if asked.file is None:
        raise BadInputError(
            "No description file was named.\n"
            "Print an example with  nightload setup --example > cabin.toml , change it, then  "
            "nightload setup cabin.toml"
        )
    now = clock()
    described, text = files.read_description(Path(asked.file), machine_zone=machine_zone(now))
    since = optional_moment(asked.since, zone=ZoneInfo(described.site.timezone))
    with place_of(asked.log).open(create=True) as log:
        return _done(asked, files.setup(log, described, text, since=since, now=time_now(log)))


def import_(asked: Namespace) -> int:
    """Bring in a table, or read an export back; what was refused goes to stderr by line."""
    if is_export(Path(asked.file)):
        return _read_back(asked)
    place = place_of(asked.log)
    with place.open(create=True) as log:
        report, done = files.bring_in(
            log,
            Path(asked.file),
            now=clock(),
            strict=asked.strict,
            preview=asked.preview,
            told=Progress("import", "rows"),
            copy_into=place.copies,
        )
    warn(done.refused)
    counts = {
        "read": report.read,
        "added": report.added,
        "duplicates": report.duplicates,
        "refused": [{"line": r.line, "why": r.text} for r in report.refused],
        "flagged": [{"line": r.line, "why": r.text} for r in report.flagged],
        "preview": report.preview,
        "batch": report.batch,
    }
    return answer(asked, counts, done.said)


def export(asked: Namespace) -> int:
    """Write the log as open files."""
    place = place_of(asked.log)
    try:
        with place.open() as log:
            return _done(
                asked,
                files.export(
                    log,
                    Path(asked.folder),
                    now=time_now(log),
                    cache=place.cache,
                    told=Progress("export", "events"),
                ),
            )
    except NewerLogError as newer:
        return _done(asked, files.export_newer(place.path, Path(asked.folder), newer=newer))


def _read_back(asked: Namespace) -> int:
    place = place_of(asked.log)
    with place.open(create=True) as log:
        told = Progress("import", "events")
        found = read_back(
            log, Path(asked.file), preview=asked.preview, told=told, copy_into=place.copies, now=clock()
        )
    warn([found.copy.trouble] if found.copy and found.copy.trouble else [])
    counts = {
        "events": found.events,
        "added": found.added,
        "duplicates": found.events - found.added,
        "preview": found.preview,
    }
    return answer(asked, counts, found.said)


def backup(asked: Namespace) -> int:
    """Write a dated copy of the log."""
    place = place_of(asked.log)
    folder = Path(asked.folder) if asked.folder else place.copies
    with place.open() as log:
        done, earlier = files.backup(log, folder, now=time_now(log))
    return answer(asked, {"said": list(done.said), "earlier": [str(path) for path in earlier]}, done.said)


def restore(asked: Namespace) -> int:
    """Put a copy in the place of the log; without one named, list those there are."""
    place = place_of(asked.log)
    if asked.file is not None:
        return _done(asked, files.restore(place.path, Path(asked.file), now=clock()))
    from logbook.as_json import time_json  # noqa: PLC0415 - only for this list

    here = setting_here()
    done, found = files.copies_there(place.path, place.copies, setting=here)
    zone = ZoneInfo(here.zone)
    rows = [{"at": time_json(c.at, zone=zone), "path": str(c.path), "events": c.events} for c in found]
    return answer(asked, {"said": list(done.said), "copies": rows}, done.said)


def merge(asked: Namespace) -> int:
    """Bring in every event of another log."""
    from logbook.actions import joining  # noqa: PLC0415 - no other command needs them
    from logbook.as_json.conflicts import conflicts_json, settings_json  # noqa: PLC0415 - as above

    place = place_of(asked.log)
    with place.open(create=True) as log:
        got = joining.merge(log, Path(asked.file), copies=place.copies, now=clock(), yes=asked.yes)
        zone = zone_of(log.descriptions())
    warn(got.troubles)
    told = {
        "said": list(got.said),
        "new": got.new,
        "copy": None if got.copy is None else str(got.copy),
        "conflicts": conflicts_json(got.conflicts, zone=zone),
        "settings": settings_json(got.settings, zone=zone),
    }
    return answer(asked, told, got.said)


def check(asked: Namespace) -> int:
    """Look through the whole log; exit 3 when it is damaged."""
    path = place_of(asked.log).path
    found = files.check(path)
    if not found.sound:
        raise LogFileError(
            "\n".join(
                [
                    f"The log {path} is damaged: {how_many(len(found.problems), 'problem')}.",
                    *found.problems,
                    "Copy the file aside first, then bring back a copy: nightload restore lists them.",
                    "Without one, save what is whole into a new log: nightload salvage DAMAGED NEW.db",
                ]
            )
        )
    unsettled = unsettled_in(path)
    counts = {
        "sound": True,
        "events": found.events,
        "entries": found.entries,
        "descriptions": found.descriptions,
        "unsettled": unsettled,
    }
    entries = how_many(found.entries, "entry", "entries")
    versions = how_many(found.descriptions, "description")
    said = f"Sound: {how_many(found.events, 'event')}, {entries}, {versions}."
    return answer(asked, counts, [said, *([count_text(unsettled)] if unsettled else [])])


def salvage(asked: Namespace) -> int:
    """Save what is whole in a damaged log into a new one."""
    from logbook.actions.salvaging import salvage as save  # noqa: PLC0415 - no other command needs it

    return _done(asked, save(Path(asked.damaged), Path(asked.new)))


def _done(asked: Namespace, done: files.Done) -> int:
    warn(done.refused)
    return answer(asked, {"said": list(done.said)}, done.said)
