"""Cautions on arriving and on leaving: when each applies, what is said, where it is from.

The stove's manual, local codes and licensed practice come before them; what is done in which order is in the
lists (``care``). Sentences may hold ``{cold}`` and ``{hot}``: filled in by whoever words them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from logbook.heat.cautions import COLD_PIPES_OUTDOOR_C, FREEZING_IN_ROOM_C

MAY_BE_SNOWED_IN_C = 3.0
"""Outdoors below this the cap may hold snow or ice, °C. ASSUMED."""


class Where(StrEnum):
    """Which answer a caution stands with."""

    ARRIVE_CAUTION = "arrive_caution"
    LEAVE_CAUTION = "leave_caution"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What the cautions look at. Temperatures °C; ``fire`` is 0 out, 1 coals, 2 wood; chances 0–1.

    ``outdoor_low_c`` is the coldest expected ahead; ``loads`` how many the plan has.
    """

    inside_c: float
    outdoor_low_c: float
    fire: int = 0
    loads: int = 0
    chance_frost: float = 0.0
    chance_too_hot: float = 0.0
    water: str = "none"


@dataclass(frozen=True, slots=True)
class Item:
    """One caution."""

    name: str
    where: Where
    applies: Callable[[Scene], bool]
    sentence: str
    source: str


def _pipes(s: Scene) -> bool:
    return s.water != "none" and s.outdoor_low_c <= COLD_PIPES_OUTDOOR_C


ITEMS: tuple[Item, ...] = (
    Item(
        "snowed_in",
        Where.ARRIVE_CAUTION,
        lambda s: s.outdoor_low_c < MAY_BE_SNOWED_IN_C and s.loads > 0,
        "Snow or ice may close the cap: a blocked flue sends carbon monoxide into the room.",
        "Common practice, no source",
    ),
    Item(
        "frost",
        Where.ARRIVE_CAUTION,
        lambda s: s.chance_frost >= 0.05,
        "Walls may be below freezing, frost first and then drip: bedding stays off them until dry.",
        "Vapour pressure over ice, ASHRAE Handbook of Fundamentals 2017, ch. 1",
    ),
    Item(
        "hot_later",
        Where.ARRIVE_CAUTION,
        lambda s: s.chance_too_hot >= 0.05,
        "It may pass {hot} before the walls are warm: skip the next load then, never the air.",
        "Ceiling of 27 to 28 °C for bedrooms: a review (as reported)",
    ),
    Item(
        "still_burning",
        Where.LEAVE_CAUTION,
        lambda s: s.fire > 0,
        "By the notebook something may still glow in the stove: that is fire. Stay until it is out and "
        "cold, and don't close air or flue to hurry it.",
        "Fire districts (as reported); a damper closed on coals can spill CO (common practice, no source)",
    ),
    Item(
        "room_is_not_pipes",
        Where.LEAVE_CAUTION,
        lambda s: True,
        "These hours are for the air at the thermometer. Pipes and drains lie colder and freeze before the "
        "room does: no hour here keeps them safe.",
        "Common practice; alert at 20 °F outside for uninsulated pipes: Univ. of Illinois (as reported)",
    ),
    Item(
        "drain_now",
        Where.LEAVE_CAUTION,
        _pipes,
        "{cold} or colder is expected outside: uninsulated pipes freeze. Drain them before you go, whatever "
        "the room's hours say.",
        "Alert at 20 °F (−7 °C) outside for uninsulated pipes: Univ. of Illinois (as reported)",
    ),
    Item(
        "water_in",
        Where.LEAVE_CAUTION,
        lambda s: s.water == "in" and s.outdoor_low_c <= FREEZING_IN_ROOM_C and not _pipes(s),
        "Water is in the pipes and frost outside is possible: drain it, or keep it from freezing.",
        "ASSUMED 3 K of margin",
    ),
)


def listed(scene: Scene, where: Where) -> tuple[Item, ...]:
    """The cautions of one answer that apply, in order."""
    return tuple(item for item in ITEMS if item.where is where and item.applies(scene))
