"""The report of a stay or of a season: as text on the screen, or one HTML file to print."""

from __future__ import annotations

from argparse import Namespace
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from logbook.actions.opening import place_of
from logbook.actions.report import Reported, report_season, report_stay, reported
from logbook.actions.report_page import season_page, stay_page
from logbook.as_json import Json
from logbook.as_json.report import season_report_json, stay_report_json
from logbook.cli.asked import progress
from logbook.cli.output import answer, as_of
from logbook.cli.sheet import written_to
from logbook.errors import BadInputError
from logbook.paper.document import Page, Size
from logbook.paper.html import pages_html
from logbook.paper.text import page_text
from logbook.setting import YEARS

LAST = "last"
"""The word for the newest stay or season."""


def report(asked: Namespace) -> int:
    """Tell a stay or a season."""
    if asked.stay is not None and asked.season is not None:
        raise BadInputError("--stay and --season ask for two reports.\nGive one of them.")
    size = Size(asked.size)
    place = place_of(asked.log)
    with place.open() as log:
        seen = reported(
            log,
            as_of=as_of(asked, log),
            cache=place.cache,
            reckon=asked.reckon,
            progress=progress("night"),
        )
    page, as_json = _season(asked, seen) if asked.season is not None else _stay(asked, seen)
    if asked.html:
        path = written_to(Path(asked.html), pages_html([page], size=size))
        said = [f"Written: {path}. Open it in a browser and print it on {size.value.upper()}."]
    else:
        said = [page_text(page, size=size).rstrip("\n")]
    return answer(asked, as_json | {"written": asked.html}, said)


def _stay(asked: Namespace, seen: Reported) -> tuple[Page, Json]:
    found = report_stay(seen, day=_day(asked.stay))
    zone = ZoneInfo(seen.house.setting.zone)
    return stay_page(found, setting=seen.house.setting), stay_report_json(found, zone=zone)


def _season(asked: Namespace, seen: Reported) -> tuple[Page, Json]:
    found = report_season(seen, year=_year(asked.season))
    zone = ZoneInfo(seen.house.setting.zone)
    return season_page(found, setting=seen.house.setting), season_report_json(found, zone=zone)


def _day(text: str | None) -> date | None:
    if text is None or text == LAST:
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise BadInputError(
            f"--stay '{text}' is not a date.\nWrite a day of the stay, such as 2026-01-17, or: --stay last"
        ) from None


def _year(text: str) -> int | None:
    if text == LAST:
        return None
    if not (text.isascii() and text.isdigit() and YEARS[0] <= int(text) <= YEARS[1]):
        raise BadInputError(
            f"--season '{text}' is not a year from {YEARS[0]} to {YEARS[1]}.\n"
            "Give the year it begins in: --season 2025 is July 2025 to June 2026. Without one: the newest."
        )
    return int(text)
