"""Stays, seasons and this weekend in other years: from the log to an answer. No model is run."""

from __future__ import annotations

from logbook.care.stays import stays_answer, this_weekend_answer, years_answer
from logbook.house import House
from logbook.results.stays import StaysAnswer, ThisWeekendAnswer, YearsAnswer


def stays(house: House) -> StaysAnswer:
    """Every stay in figures, oldest first."""
    return stays_answer(house)


def years(house: House, *, year: int | None = None) -> YearsAnswer:
    """Every season on a page, or the one that begins in a year."""
    return years_answer(house, year=year)


def this_weekend(house: House) -> ThisWeekendAnswer:
    """Stays around this weekend in other years."""
    return this_weekend_answer(house)
