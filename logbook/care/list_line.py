"""What a shipped line of a list is, and the safety order its part gives it.

``PRECEDES`` is a partial order of parts, kept whatever order the owner likes: a line waits until every line
whose part precedes its own has been placed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from logbook.results.lists import Condition, ListName


class Part(StrEnum):
    """What a line is about, as far as its order matters."""

    AIR_OUT_DROPPINGS = "air out droppings"
    LOOK = "look"
    """At the cap, for droppings, at the stove: whatever must be known before a fire."""
    ALARMS = "alarms"
    WARM_FLUE = "warm flue"
    LIGHT = "light"
    ONCE_WARM = "once warm"
    """Alarms again, water on: only when the fire has warmed the place."""
    FIRE = "fire"
    """About the fire, and free to stand before water: last wood, coals."""
    FIRE_OUT = "fire out"
    DRAIN = "drain"
    LET_COLD_IN = "let cold in"
    """Airing, antifreeze, shutting off: what follows draining."""
    GO = "go"
    FREE = "free"


_FIRE_COMES = frozenset({Part.WARM_FLUE, Part.LIGHT, Part.ONCE_WARM})

PRECEDES: dict[Part, frozenset[Part]] = {
    Part.AIR_OUT_DROPPINGS: frozenset(Part) - {Part.AIR_OUT_DROPPINGS},
    Part.LOOK: _FIRE_COMES,
    Part.ALARMS: _FIRE_COMES,
    Part.WARM_FLUE: frozenset({Part.LIGHT, Part.ONCE_WARM}),
    Part.LIGHT: frozenset({Part.ONCE_WARM}),
    Part.FIRE_OUT: frozenset({Part.GO}),
    Part.FIRE: frozenset({Part.GO}),
    Part.DRAIN: frozenset({Part.LET_COLD_IN, Part.GO}),
}
"""Which parts come before which. Droppings aired before anything done inside; cap, alarms and warm-up before
the fire; alarms again and water after it; water drained before the cold is let in."""

IN_FROST: dict[Part, frozenset[Part]] = {
    Part.DRAIN: frozenset({Part.LET_COLD_IN, Part.GO, Part.FREE}),
}
"""With frost ahead draining comes before all but the fire: a stove that heats water must not run dry."""

_LIGHTING = re.compile(
    r"\b(light|lit|start|make|lay|build|set)\b.*\b(fire|stove)\b|\b(fire|stove)\b.*\b(lit|going|burning)\b"
    r"|\bkindling\b|\bfirst (load|wood|fire)\b|\b(fire|stove) on\b",
    re.IGNORECASE,
)
_WATER_ON = re.compile(
    r"\b(water|pump|boiler|taps?)\b.*\bon\b|\bturn on\b.*\bwater\b|\b(fill|prime)\b.*\b(pump|pipes?|tank)\b",
    re.I,
)
_FIRE = re.compile(r"\b(fire|stove|wood|coals?|embers?)\b", re.IGNORECASE)
_DRAIN = re.compile(r"\bdrain(ed|ing)?\b|\bwater (off|out)\b", re.IGNORECASE)
_AIRING = re.compile(r"\bair(ed|ing)? (it|the|out)\b|\bantifreeze\b|\bopen\b.*\bwindows?\b", re.IGNORECASE)
_GOING = re.compile(r"\block(ed)?\b|\bdrive\b|\bgo home\b|\bleave\b|\bwrite\b.*\bleft\b", re.IGNORECASE)

_OF_ARRIVING = ((_LIGHTING, Part.LIGHT), (_WATER_ON, Part.ONCE_WARM))
_OF_GOING = ((_DRAIN, Part.DRAIN), (_AIRING, Part.LET_COLD_IN), (_GOING, Part.GO), (_FIRE, Part.FIRE))


def part_of_words(text: str, list_name: ListName) -> Part:
    """The part an owner's own line plays, by its words. A guess: it moves a line, never hides one."""
    table = _OF_GOING if list_name in (ListName.LEAVING, ListName.AUTUMN) else _OF_ARRIVING
    return next((part for pattern, part in table if pattern.search(text)), Part.FREE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shipped:
    """A line that comes with the program. ``name`` is what its tick is kept under: never change it.

    It stands when all of ``when`` hold and none of ``unless``. ``source`` says who says so; the stove's
    manual, local codes and licensed practice come before it.
    """

    key: str
    name: str
    text: str
    source: str
    safety: bool = False
    when: tuple[Condition, ...] = ()
    unless: tuple[Condition, ...] = ()
    part: Part = Part.FREE

    def stands(self, holding: frozenset[Condition]) -> bool:
        """Whether it belongs in the list while these conditions hold."""
        return holding.issuperset(self.when) and holding.isdisjoint(self.unless)
