"""How an answer leaves: sentences for people, JSON for programs."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Iterable, Mapping
from datetime import datetime, tzinfo
from typing import Any
from zoneinfo import ZoneInfo

from logbook.actions.time_now import doubt_now, now_of
from logbook.cli.arguments import moment
from logbook.clock_doubt import Doubt, doubt_text
from logbook.errors import beyond_measure
from logbook.records import DatedDescription
from logbook.setting import local_instants
from logbook.shown import shown, shown_json
from logbook.store.log import Log


def answer(asked: Namespace, as_json: Mapping[str, Any], said: Iterable[str]) -> int:
    """Print an answer the way it was asked for; exit code 0."""
    if asked.json:
        print(json_text(as_json))
    else:
        for row in said:
            print(shown(row))
    return 0


def json_text(as_json: Mapping[str, Any]) -> str:
    """JSON for standard output: every sign as it is where the encoding can carry it, else escaped.

    Raises:
        LogFileError: It holds a number without end, which only a damaged log can have brought in.
    """
    encoding = (getattr(sys.stdout, "encoding", None) or "utf-8").lower()
    try:
        text = json.dumps(as_json, ensure_ascii=not encoding.startswith("utf"), allow_nan=False)
    except ValueError as error:
        raise beyond_measure() from error
    return shown_json(text)


def warn(rows: Iterable[str]) -> None:
    """Print to stderr, beside the answer."""
    for row in rows:
        print(shown(row), file=sys.stderr)


def zone_of(versions: Iterable[DatedDescription]) -> ZoneInfo:
    """The site's zone by the newest description; UTC without one."""
    names = [version.description.site.timezone for version in versions]
    return ZoneInfo(names[-1] if names else "UTC")


def as_of(asked: Namespace, log: Log) -> datetime:
    """The time to answer for: as given on the site's clock, else now."""
    if asked.as_of is None:
        return time_now(log)
    return told_moment(asked.as_of, zone=zone_of(log.descriptions()))


def time_now(log: Log) -> datetime:
    """The time it is taken to be; a clock that can't be right is told of beside the answer."""
    doubt = doubt_now(log)
    if doubt is None:
        return log.clock()
    now = now_of(log)
    zone = zone_of(log.descriptions()).key
    warn([f"{doubt_text(doubt, zone=zone)} {_taken(now, doubt)}"])
    return now


def _taken(now: datetime, doubt: Doubt) -> str:
    if now == doubt.newest:
        return "Taken to be the time of that line, so no wait or date is over by it. Check the clock."
    return "Check the clock: no wait is over by it."


def optional_moment(text: str | None, *, zone: tzinfo) -> datetime | None:
    """A time that may be missing."""
    return None if text is None else told_moment(text, zone=zone)


def told_moment(text: str, *, zone: tzinfo) -> datetime:
    """A time as given; where the site's clock showed it twice or never, which was taken is told beside."""
    at = moment(text, zone=zone)
    given = datetime.fromisoformat(text.strip())
    if given.tzinfo is None and isinstance(zone, ZoneInfo):
        came = local_instants(given.date(), given.time(), zone.key)
        taken = at.astimezone(zone).isoformat(timespec="minutes")
        if len(came) > 1:
            other = came[1].astimezone(zone).isoformat(timespec="minutes")
            warn([f"{text.strip()} came twice: the first, {taken}, is taken; the second is {other}."])
        elif not came:
            warn([f"{text.strip()} never came: the clock went forward over it. {taken} is taken."])
    return at
