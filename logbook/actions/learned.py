"""What was learned of cabin and stove, as an answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from logbook.actions.reckoning import Cache, Known, posterior_of
from logbook.heat.fit import summary
from logbook.results.night import FitAnswer


def learned(told: Known, *, cache: Cache | None = None, seconds: Callable[[], float]) -> FitAnswer:
    """Heat loss, time constant, heat capacity and the stove, with how long it took.

    Args:
        told: The log as of a time.
        cache: Where what was learned is kept.
        seconds: Seconds since the question was asked.
    """
    found = summary(posterior_of(told, cache=cache))
    return replace(found, seconds=seconds())
