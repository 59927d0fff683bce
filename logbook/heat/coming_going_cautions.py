"""What is looked after on arriving and on leaving, in order: when it applies, what is said, where it is from.

Usual cautions only. The stove's manual, local codes and licensed practice come before them; the owner's own
list comes beside them. Sentences may hold ``{ash}``, ``{cold}``, ``{alarms}``, ``{line}``: filled in by
whoever words them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from logbook.heat.cautions import COLD_PIPES_OUTDOOR_C, FREEZING_IN_ROOM_C

CO_ALARM_C = (4.0, 38.0)
"""Room temperatures CO alarms are commonly rated for, °C. As reported; the leaflet of the alarm decides."""

AIR_OUT_MINUTES = 30
"""How long to stay out after opening up where droppings were seen, min. Source: public health advice on
rodents (as reported; page not kept)."""

MAY_BE_SNOWED_IN_C = 3.0
"""Outdoors below this the cap may hold snow or ice, °C. ASSUMED."""


class Where(StrEnum):
    """Which list an item stands in."""

    ARRIVE = "arrive"
    ARRIVE_CAUTION = "arrive_caution"
    LEAVE = "leave"
    LEAVE_CAUTION = "leave_caution"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What the items look at. Temperatures °C; ``fire`` is 0 out, 1 coals, 2 wood; chances 0–1.

    ``outdoor_low_c`` is the coldest expected ahead; ``loads`` how many the plan has.
    """

    inside_c: float
    outdoor_low_c: float
    fire: int = 0
    loads: int = 0
    droppings: bool = False
    chance_frost: float = 0.0
    chance_too_hot: float = 0.0
    water: str = "none"


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a list."""

    name: str
    where: Where
    applies: Callable[[Scene], bool]
    sentence: str
    source: str


def _pipes(s: Scene) -> bool:
    return s.water != "none" and s.outdoor_low_c <= COLD_PIPES_OUTDOOR_C


ITEMS: tuple[Item, ...] = (
    Item(
        "cap",
        Where.ARRIVE,
        lambda s: True,
        "Look at the chimney top from the ground: cap clear of snow, ice and nests, or no fire.",
        "Common practice, no source: owners report caps snowed in, iced and nested",
    ),
    Item(
        "droppings",
        Where.ARRIVE,
        lambda s: s.droppings,
        f"Droppings, before the fire: open door and windows and stay out for {AIR_OUT_MINUTES} minutes. Then "
        "gloves, wet them with disinfectant, wipe up. Never sweep or vacuum them dry.",
        "Public health advice on rodents (as reported; page not kept)",
    ),
    Item(
        "alarms_at_the_door",
        Where.ARRIVE,
        lambda s: True,
        "Test both alarms at the door, smoke and CO, before the fire. Then write: alarms ok",
        "Smoke alarms monthly: NFPA as quoted by a fire department (as reported); each stay: common practice",
    ),
    Item(
        "look_for_droppings",
        Where.ARRIVE,
        lambda s: not s.droppings,
        "Look for droppings before you stir up dust. Seen: say so (note droppings), the order changes.",
        "Public health advice on rodents (as reported; page not kept)",
    ),
    Item(
        "stove",
        Where.ARRIVE,
        lambda s: s.loads > 0,
        "Stove: nothing on or near it, ash as deep as its manual says, door seals, flue damper open.",
        "Common practice, no source; distances are the manual's",
    ),
    Item(
        "cold_flue",
        Where.ARRIVE,
        lambda s: s.loads > 0 and s.fire == 0,
        "The flue is cold and may draw backwards: a window ajar, air wide open, a twist of paper or a "
        "handful of kindling first. Smoke into the room: no wood on it, open up, let it go out.",
        "US EPA 456/F-10-003 (Burn Wise): heat the flue before adding; window ajar: a manual, as reported",
    ),
    Item(
        "alarms_again",
        Where.ARRIVE,
        lambda s: s.inside_c < CO_ALARM_C[0] + 2.0,
        "Test the alarms again once the room is over {alarms}: CO alarms are commonly rated from about "
        "there, so a frozen one may stay silent while the stove smokes most.",
        "Rated for about 4–38 °C (as reported); the alarm's leaflet decides",
    ),
    Item(
        "water",
        Where.ARRIVE,
        lambda s: s.water != "none",
        "Water stays off until the pipes' own places are well above freezing, not only the room; then look "
        "for leaks.",
        "Common practice, no source",
    ),
    Item(
        "read",
        Where.ARRIVE,
        lambda s: True,
        "Read inside and outside at the door and an hour after lighting: it is the best start for tonight.",
        "This program's own forecasts start from it",
    ),
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
        "Walls are below freezing and may frost first, then drip: bedding stays off them until dry.",
        "Vapour pressure over ice, ASHRAE Handbook of Fundamentals 2017, ch. 1",
    ),
    Item(
        "hot_later",
        Where.ARRIVE_CAUTION,
        lambda s: s.chance_too_hot >= 0.05,
        "It may pass 28 °C before the walls are warm: skip the next load then, never the air.",
        "Ceiling of 27 to 28 °C for bedrooms: a review (as reported)",
    ),
    Item(
        "fire_out",
        Where.LEAVE,
        lambda s: True,
        "The fire is out, felt cold, the stove door latched; air and flue left open. Coals are fire.",
        "Charcoal fire releases CO and must vent: article of the trade (as reported)",
    ),
    Item(
        "drain",
        Where.LEAVE,
        lambda s: s.water == "in",
        "Water drained, taps left open, traps and heater too.",
        "Common practice, no source",
    ),
    Item(
        "ash",
        Where.LEAVE,
        lambda s: True,
        "Ash taken out today: metal bucket with a lid, outdoors, 3 m (10 ft) from anything that burns, not "
        "on the deck. Write the day on it; not tipped out before {ash}.",
        "Lidded can, 10 ft away: a county fire department; embers up to 4 days: fire districts (as reported)",
    ),
    Item(
        "air_out",
        Where.LEAVE,
        lambda s: True,
        "Air the place while it is warm: the stay's moisture condenses as it cools. Then shut the windows.",
        "Common practice, no source",
    ),
    Item(
        "shut_off",
        Where.LEAVE,
        lambda s: True,
        "Gas, lamps and batteries off; food away from mice; kindling and dry wood laid ready inside.",
        "Common practice, no source",
    ),
    Item(
        "write",
        Where.LEAVE,
        lambda s: True,
        "Write down inside, outside, wood left and what to bring, then: left",
        "This program's own forecasts and lists start from it",
    ),
    Item(
        "still_burning",
        Where.LEAVE_CAUTION,
        lambda s: s.fire > 0,
        "By the notebook something still glows in the stove: that is fire. Stay until it is out and cold, "
        "and don't close air or flue to hurry it.",
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
    """The items of one list that apply, in order; droppings seen come before anything that makes a fire."""
    return tuple(item for item in ITEMS if item.where is where and item.applies(scene))
