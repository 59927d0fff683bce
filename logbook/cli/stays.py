"""The command about stays: the list with its guest book, the season's page, this weekend in other years."""

from __future__ import annotations

from argparse import Namespace
from zoneinfo import ZoneInfo

from logbook.actions import stays as acts
from logbook.as_json.stays import stays_json, this_weekend_json, years_json
from logbook.cli.asked import house_asked
from logbook.cli.output import answer
from logbook.cli.width import wrapped
from logbook.errors import BadInputError
from logbook.setting import YEARS
from logbook.wording.stays import stays_text, this_weekend_text, years_text


def stays(asked: Namespace) -> int:
    """All stays, or a season's page, or this weekend in other years."""
    if asked.year is not None and asked.this_weekend:
        raise BadInputError("--year and --this-weekend ask for two pages.\nGive one of them.")
    house = house_asked(asked)
    zone, setting = ZoneInfo(house.setting.zone), house.setting
    if asked.year is not None:
        found = acts.years(house, year=_year(asked.year))
        return answer(
            asked, years_json(found, zone=zone), wrapped(years_text(found.seasons, setting=setting))
        )
    if asked.this_weekend:
        near = acts.this_weekend(house)
        return answer(
            asked, this_weekend_json(near, zone=zone), wrapped(this_weekend_text(near, setting=setting))
        )
    every = acts.stays(house)
    return answer(asked, stays_json(every, zone=zone), wrapped(stays_text(every, setting=setting)))


def _year(text: str) -> int | None:
    if text == "all":
        return None
    if not (text.isascii() and text.isdigit() and YEARS[0] <= int(text) <= YEARS[1]):
        raise BadInputError(
            f"--year '{text}' is not a year from {YEARS[0]} to {YEARS[1]}.\n"
            "Give the year a season begins in: --year 2025 is July 2025 to June 2026. Without one: all."
        )
    return int(text)
