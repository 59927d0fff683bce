"""Commands about works on the cabin: compare, whatif, experiment."""

from __future__ import annotations

import sys
import time
from argparse import Namespace

from logbook.actions import works
from logbook.actions.nights import nights
from logbook.actions.opening import Place, place_of
from logbook.actions.reckoning import Known, known
from logbook.cli.output import answer, as_of, optional_moment
from logbook.errors import BadInputError
from logbook.wording.works import compare_text, trial_text, whatif_text
from logbook.works_json import compare_json, trial_json, whatif_json

OUTSIDE_C = (-70.0, 40.0)
"""Outdoor temperatures that are taken, °C; beyond them it is a slip. ASSUMED: past any weather on record."""


def compare(asked: Namespace) -> int:
    """Before and after a dated change, or all of them."""
    began = time.perf_counter()
    place, told = _told(asked)
    found = works.compare(told, name=asked.name, cache=place.cache, progress=_progress("change"))
    found = works.timed(found, time.perf_counter() - began)
    return answer(asked, compare_json(found, zone=told.zone), compare_text(found, setting=told.setting))


def whatif(asked: Namespace) -> int:
    """Heat loss, freezing and wood if the cabin were changed."""
    if asked.outside is not None and not OUTSIDE_C[0] <= asked.outside <= OUTSIDE_C[1]:
        raise BadInputError(
            f"--outside {asked.outside:g} °C can't be ({OUTSIDE_C[0]:g} to {OUTSIDE_C[1]:g} °C).\n"
            "Give the outdoor temperature while it cools in °C."
        )
    place, told = _told(asked)
    found = works.whatif(told, steps=asked.steps, outdoor_c=asked.outside, year=asked.year, cache=place.cache)
    return answer(asked, whatif_json(found), whatif_text(found, units=told.setting.units))


def experiment(asked: Namespace) -> int:
    """Nights whose notes hold a word against the others."""
    place, told = _told(asked)
    since = optional_moment(asked.since, zone=told.zone)
    record = nights(told, cache=place.cache, progress=_progress("night"))
    found = works.experiment(record, told, word=asked.word, seek_k=asked.seek, since=since)
    return answer(asked, trial_json(found), trial_text(found, units=told.setting.units))


def _told(asked: Namespace) -> tuple[Place, Known]:
    place = place_of(asked.log)
    with place.open() as log:
        return place, known(log, as_of=as_of(asked, log))


def _progress(what: str) -> works.Progress:
    """How far it is, on a terminal only."""

    def show(done: int, of: int) -> None:
        if sys.stderr.isatty():
            end = "\n" if done + 1 >= of else ""
            print(f"\r{what} {done + 1} of {of} ", end=end, file=sys.stderr, flush=True)

    return show
