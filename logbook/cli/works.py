"""Commands about works on the cabin: compare, whatif, experiment."""

from __future__ import annotations

import time
from argparse import Namespace

from logbook.actions import works
from logbook.actions.improvements import paid_for, refuse_undated
from logbook.actions.nights import nights
from logbook.as_json.works import compare_json, trial_json, whatif_json
from logbook.cli.asked import house_asked, outside_c, progress
from logbook.cli.asked import told as told_of
from logbook.cli.output import answer, optional_moment
from logbook.cli.width import wrapped
from logbook.store.bounded import LOGGER_ROWS_LONG
from logbook.wording.works import compare_text, trial_text, whatif_text


def compare(asked: Namespace) -> int:
    """Before and after a dated change, or all of them; what each cost, and when it has paid for itself."""
    began = time.perf_counter()
    place, told = told_of(asked, logger_rows=LOGGER_ROWS_LONG)
    house = house_asked(asked)
    refuse_undated(house, name=asked.name)
    found = works.compare(told, name=asked.name, cache=place.cache, progress=progress("change"))
    found = works.timed(found, time.perf_counter() - began)
    paid = paid_for(house, compared=found.changes, name=asked.name)
    return answer(
        asked,
        compare_json(found, zone=told.zone, paid=paid),
        wrapped(compare_text(found, setting=told.setting, paid=paid)),
    )


def whatif(asked: Namespace) -> int:
    """Heat loss, freezing and wood if the cabin were changed."""
    outside = outside_c("--outside", asked.outside)
    place, told = told_of(asked)
    found = works.whatif(told, steps=asked.steps, outdoor_c=outside, year=asked.year, cache=place.cache)
    return answer(asked, whatif_json(found), wrapped(whatif_text(found, units=told.setting.units)))


def experiment(asked: Namespace) -> int:
    """Nights whose notes hold a word against the others."""
    place, told = told_of(asked, logger_rows=LOGGER_ROWS_LONG)
    since = optional_moment(asked.since, zone=told.zone)
    record = nights(told, cache=place.cache, progress=progress("night"))
    found = works.experiment(record, told, word=asked.word, seek_k=asked.seek, since=since)
    return answer(asked, trial_json(found), wrapped(trial_text(found, units=told.setting.units)))
