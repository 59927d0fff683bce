"""Readings that fit nothing: said wherever something would have been learned from them."""

from __future__ import annotations

import math

LOOK_FOR = (
    "Look for inside and outside swapped, a wrong unit, loads not written down, a clock far off, a "
    "thermometer that stands still or stands by the stove, rows of another place, or works on the cabin that "
    "were not written down."
)


TYPED_TWICE = (
    "The same loads and readings stand in the log twice, some hours or days apart: which of them are at the "
    "right time can't be told, and what is doubtful was not learned from. Remove the copy that is wrong."
)


def doubts_text(
    *, set_aside: int, stays: int, widened: bool, typed_twice: int = 0, doubt: float = 1.0
) -> tuple[str, ...]:
    """What is to be said of a fit: stays that were set aside, readings that miss by more than their errors,
    draws that count too little; nothing of a sound one.

    Args:
        set_aside: Stays not learned from: they fit neither the others nor the description, or come twice.
        stays: Stays learned from.
        widened: Whether few draws fit.
        typed_twice: Those of ``set_aside`` that stand in the log twice.
        doubt: By how much the errors of the readings were too small, as a variance; 1 or more.
    """
    said = [TYPED_TWICE] if typed_twice else []
    set_aside -= typed_twice
    if set_aside and not stays:
        which = (
            "The readings don't" if set_aside == 1 else f"The readings of the last {set_aside} stays don't"
        )
        said.append(
            f"{which} fit what is described, nor one another: nothing is learned from them, and the ranges "
            f"are as wide as before any reading. {LOOK_FOR}"
        )
    elif set_aside:
        which = "1 stay fits" if set_aside == 1 else f"{set_aside} stays fit"
        said.append(f"{which} neither the others nor what is described, and was not learned from. {LOOK_FOR}")
    wider_pct = round(100.0 * (math.sqrt(doubt) - 1.0))
    if wider_pct:
        said.append(
            "The readings fit one another less well than their errors allow: what is learned from them is "
            f"taken as {wider_pct} % less sure. {LOOK_FOR}"
        )
    if widened:
        said.append("Few draws fit these readings well: the ranges were widened.")
    return tuple(said)
