"""Readings that fit nothing: said wherever something would have been learned from them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime

from logbook.wording.amounts import days_text

LOOK_FOR = (
    "Look for inside and outside swapped, a wrong unit, loads not written down, a clock far off, a "
    "thermometer that stands still or stands by the stove, rows of another place, or works on the cabin that "
    "were not written down."
)


def doubts_text(
    *,
    aside: Sequence[datetime],
    twice: Sequence[datetime],
    copied: Sequence[datetime] = (),
    stays: int,
    widened: bool,
    doubt: float,
    zone: str,
) -> tuple[str, ...]:
    """What is to be said of a fit: stays that were set aside, readings that miss by more than their errors,
    draws that count too little; nothing of a sound one.

    Args:
        aside: When the stays began that fit neither the others nor the description.
        twice: The same of stays that stand in the log twice.
        copied: The same of stays of which rows stand there twice at the same time.
        stays: Stays learned from.
        widened: Whether few draws fit.
        doubt: By how much the errors of the readings were too small, as a variance; 1 or more.
        zone: The site's time zone.
    """
    said = []
    if twice:
        said.append(_twice_text(twice, zone, left=bool(stays or aside)))
    if copied:
        said.append(
            f"Loads and readings stand in the log twice at the same times ({days_text(copied, zone=zone)}): "
            "counted once here, but twice as wood burned until one of each is removed (events, remove)."
        )
    if aside:
        said.append(f"{_aside_text(aside, zone) if stays else _all_aside_text(len(aside))} {LOOK_FOR}")
    wider_pct = round(100.0 * (math.sqrt(doubt) - 1.0))
    if wider_pct and aside:
        said.append(f"What is learned from the others is taken as {wider_pct} % less sure.")
    elif wider_pct:
        said.append(
            "The readings fit one another less well than their errors allow: what is learned from them is "
            f"taken as {wider_pct} % less sure. {LOOK_FOR}"
        )
    if widened:
        said.append("Few draws fit these readings well: the ranges were widened.")
    return tuple(said)


def _twice_text(twice: Sequence[datetime], zone: str, *, left: bool) -> str:
    """``left``: there are other stays."""
    wide = "" if left else " Until then the ranges are as wide as before any reading."
    return (
        f"The same loads and readings stand in the log twice ({days_text(twice, zone=zone)}), some hours or "
        "days apart: what can't be told to be at the right time was not learned from. Remove the copy that "
        f"is wrong.{wide}"
    )


def _aside_text(aside: Sequence[datetime], zone: str) -> str:
    days = f"({days_text(aside, zone=zone)})"
    one = len(aside) == 1
    which, were = (f"1 stay {days} fits", "was") if one else (f"{len(aside)} stays {days} fit", "were")
    return f"{which} neither the others nor what is described, and {were} not learned from."


def _all_aside_text(count: int) -> str:
    which = "The readings don't" if count == 1 else f"The readings of the last {count} stays don't"
    return (
        f"{which} fit what is described, nor one another: nothing is learned from them, and the ranges "
        "are as wide as before any reading."
    )
