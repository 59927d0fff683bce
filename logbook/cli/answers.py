"""Commands that answer from the log: fit, tonight, nights."""

from __future__ import annotations

import shutil
import time
from argparse import Namespace
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from logbook.actions.coming_going import what_to_write_down
from logbook.actions.reckoning import Known, forecast_of
from logbook.actions.tonight import Request, answer_with
from logbook.as_json import fit_json, nights_json, tonight_json
from logbook.as_json.journeys import write_down_json
from logbook.cli.arguments import band, clock_time
from logbook.cli.asked import outside_c, progress
from logbook.cli.asked import told as told_of
from logbook.cli.output import answer
from logbook.cli.width import wrapped
from logbook.records import Entry
from logbook.store.bounded import LOGGER_ROWS_LONG


def fit(asked: Namespace) -> int:
    """What was learned of cabin and stove."""
    from logbook.actions.learned import learned  # noqa: PLC0415 - tonight does not need it
    from logbook.wording.answers import fit_text  # noqa: PLC0415 - JSON does not need it

    began = time.perf_counter()
    place, told = told_of(asked)
    found = learned(told, cache=place.cache, seconds=lambda: time.perf_counter() - began)
    return answer(asked, fit_json(found), fit_text(found, units=told.setting.units, zone=told.setting.zone))


def tonight(asked: Namespace) -> int:
    """Tonight's load, or the outcome of exactly the plan given."""
    place, told = told_of(asked)
    request = request_of(asked, told)
    forecast = forecast_of(told, cache=place.cache)
    got = answer_with(forecast, request)
    note = what_to_write_down(forecast, request, got) if request.plan is None else None
    as_json = tonight_json(got.answer, zone=told.zone, from_description_only=got.from_description_only)
    as_json["write_down_next"] = None if note is None else write_down_json(note)
    if asked.json:
        return answer(asked, as_json, ())
    from logbook.cli.evening_page import evening_rows, note_rows  # noqa: PLC0415 - JSON does not need it

    rows = [*evening_rows(got, told, columns=_columns()), *note_rows(note, told, columns=_columns())]
    return answer(asked, as_json, rows)


def nights(asked: Namespace) -> int:
    """What was said before every past night, and what came."""
    from logbook.actions.nights import nights as record  # noqa: PLC0415 - tonight does not need it
    from logbook.actions.works import drift_of  # noqa: PLC0415 - tonight does not need it
    from logbook.as_json.works import drift_json  # noqa: PLC0415 - tonight does not need it
    from logbook.wording.answers import night_text, score_text  # noqa: PLC0415 - tonight does not need it
    from logbook.wording.works import drift_text  # noqa: PLC0415 - tonight does not need it

    place, told = told_of(asked, logger_rows=LOGGER_ROWS_LONG)
    got = record(told, cache=place.cache, progress=progress("night"))
    setting = told.setting
    drifted = drift_of(got, told)
    rows = [
        *score_text(got, units=setting.units),
        *drift_text(drifted, setting=setting),
        *(night_text(n, setting=setting) for n in got.nights),
    ]
    as_json = nights_json(got, zone=told.zone) | {"drift": drift_json(drifted, zone=told.zone)}
    return answer(asked, as_json, wrapped(rows))


def request_of(asked: Namespace, told: Known) -> Request:
    """The question about tonight as its flags put it.

    Raises:
        BadInputError: A flag that can't be.
    """
    return Request(
        as_of=told.as_of,
        night_low_c=outside_c("--night-low", asked.night_low),
        outdoor=_outdoor(asked.outdoor, told) if asked.outdoor is not None else (),
        bed=clock_time(asked.bed) if asked.bed is not None else None,
        wake=clock_time(asked.wake) if asked.wake is not None else None,
        band_c=band(asked.band) if asked.band is not None else None,
        gets_up=None if asked.get_up is None else asked.get_up == "yes",
        plan=None if asked.plan is None else _plan_reader(asked.plan, told),
    )


def _outdoor(file: str, told: Known) -> tuple[tuple[datetime, float], ...]:
    from logbook.actions.files import outdoor_of  # noqa: PLC0415 - only with --outdoor

    return outdoor_of(Path(file), setting=told.setting, as_of=told.as_of)


def _plan_reader(text: str, told: Known) -> Callable[[datetime], Sequence[Entry]]:
    from logbook.entry import read_plan  # noqa: PLC0415 - only with --try

    return lambda start: read_plan(text, start=start, setting=told.setting)


def _columns() -> int:
    return min(shutil.get_terminal_size((80, 24)).columns, 120)
