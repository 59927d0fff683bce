"""Readings that fit nothing: said wherever something would have been learned from them."""

from __future__ import annotations

LOOK_FOR = (
    "Look for inside and outside swapped, a wrong unit, loads not written down, a clock far off, or a "
    "thermometer that stands still."
)


def doubts_text(*, set_aside: int, stays: int, widened: bool) -> tuple[str, ...]:
    """What is to be said of a fit: stays that were set aside, draws that count too little; nothing of a sound
    one.

    Args:
        set_aside: Stays not learned from, since they fit neither the others nor the description.
        stays: Stays learned from.
        widened: Whether few draws fit.
    """
    said = []
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
    if widened:
        said.append("Few draws fit these readings well: the ranges were widened.")
    return tuple(said)
