"""What each caution is known by in a text, and which words beside carbon monoxide would reassure."""

from __future__ import annotations

import re
from collections.abc import Iterator

PHRASES = {
    "alarms_untested": "Alarms not tested this stay",
    "alarms_tested_cold": "tested in a room colder than they are commonly rated for",
    "smoke_expired": "The smoke alarm is past the replace-by date",
    "co_expired": "The CO alarm is past the replace-by date",
    "nest_in_cap": "nest was seen in the flue cap",
    "air_stands_low": "The air stands at",
    "damper_stands": "The flue damper stands at",
    "fresh_load": "turn its air down only when it burns well",
    "floor_assumed": "The least clean air is assumed",
    "coals_give_co": "Coals give carbon monoxide without smoke",
    "manual_first": "manual, local codes and a licensed sweep come before",
    "damp_wood": "The wood is described as damp",
    "over_limit": "over your stove's limit",
    "overfilled": "does not fit beside what is left in the firebox",
    "beyond_tried": "is far more than this stove has burned",
    "below_floor": "is less than the least clean air",
    "damper_on_coals": "flue damper is closed down",
    "too_hot": "while people sleep",
    "cold_start": "The stove is cold: kindling first",
    "turn_down": "Set a kitchen timer",
    "in_the_night": "It means getting up in the night",
    "freezing": "freezing is possible",
}
"""A piece of each rule's sentence that no other text has."""

FIRST_OF_ALL = frozenset({"alarms_untested", "alarms_tested_cold", "smoke_expired", "co_expired"})
"""What stands before any advice."""

_GAS = re.compile(r"carbon monoxide|\bCO\b|\bcoals?\b|\bembers?\b|\balarms?\b|\bgassed\b", re.IGNORECASE)
_CALM = re.compile(
    r"\bsafe(ly)?\b|\bno (danger|risk|harm|worry|need to worry|cause for)\b|\bharmless\b|\bfine\b|\bokay\b"
    r"|\bok\b"
    r"|\b(don't|do not|nothing to) (worry|fear)\b|\benough air\b|\bnot dangerous\b|\ball clear\b|\bunlikely\b"
    r"|\bcan't hurt\b|\bnothing to fear\b|\bgood enough\b|\bwill wake you\b|\bprotects?\b|\bsecure\b",
    re.IGNORECASE,
)
_TO_TYPE = re.compile(r"write:? +alarms ok|alarms ok", re.IGNORECASE)
"""What the owner types once both alarms have sounded; it tells of the buttons."""

_SENTENCE = re.compile(r"(?<=[.!?;])\s+")


def strings(said: object) -> Iterator[str]:
    """Every text of an answer in JSON."""
    if isinstance(said, str):
        yield said
    elif isinstance(said, dict):
        for part in said.values():
            yield from strings(part)
    elif isinstance(said, list):
        for part in said:
            yield from strings(part)


def reassuring(text: str) -> str | None:
    """The first sentence that names the gas, what gives it or what warns of it, beside a calming word."""
    for sentence in _SENTENCE.split(_TO_TYPE.sub("", text)):
        if _GAS.search(sentence) and _CALM.search(sentence):
            return sentence
    return None
