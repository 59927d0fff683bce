"""The lines that come with the lists of a stay: packing, arriving, leaving. Usual cautions only.

The stove's manual, local codes and licensed practice come before them; the owner's own lines stand beside.
"""

from __future__ import annotations

from logbook.care.list_line import Part, Shipped
from logbook.results.lists import Condition

AIR_OUT_MINUTES = 30
"""How long to stay out after opening up where droppings were seen, min. Source: public health advice on
rodents (as reported; page not kept)."""

PRACTICE = "Common practice, no source"
DROPPINGS_ADVICE = "Public health advice on rodents (as reported; page not kept)"
ALARM_TESTS = (
    "Smoke alarms monthly: NFPA as quoted by a fire department (as reported); each stay: common practice"
)

DROPPINGS_TEXT = (
    f"Droppings, before the fire: open door and windows and stay out for {AIR_OUT_MINUTES} minutes. Then "
    "gloves, wet them with disinfectant, wipe up. Never sweep or vacuum them dry."
)
NEST_TEXT = (
    "No fire: a nest was seen in the cap on {nest}. First have it cleared, and the flue looked through, by "
    "somebody equipped for the roof. Then write: nest gone"
)
BUCKET_WAITS_TEXT = (
    "Ash stays in its bucket: filled {filled}, not tipped out before {bucket}. Lid on, outdoors, 3 m (10 ft) "
    "from anything that burns, not on the deck. More ash into it: write ash out, it waits anew."
)
BUCKET_OVER_TEXT = (
    "Ash bucket filled {filled}: the four days ended {bucket}, and embers have lasted longer. Handle it as "
    "live: outdoors, never into a bin or a paper bag. When it is tipped write: ash tipped"
)
ASH_SOURCE = (
    "Lidded can, 10 ft away: a county fire department; embers up to 4 days, elsewhere days or even weeks: "
    "fire districts (as reported)"
)

PACKING: tuple[Shipped, ...] = (
    Shipped(
        key="tell",
        name="somebody knows",
        text="Somebody knows where you are, the way there, and when you will be back.",
        source=PRACTICE,
        safety=True,
    ),
    Shipped(
        key="alarm_batteries",
        name="alarm batteries",
        text="Batteries for both alarms, smoke and CO, of the kind printed in them; a new alarm if one is "
        "past its date.",
        source="Batteries yearly unless sealed; replace by the printed date: NFPA as quoted (as reported)",
        safety=True,
    ),
    Shipped(
        key="droppings_things",
        name="gloves and disinfectant",
        text="Gloves, disinfectant and rags, in case mice have been in.",
        source=DROPPINGS_ADVICE,
        when=(Condition.AWAY,),
    ),
    Shipped(
        key="water_food",
        name="water and food",
        text="Water and food for everyone and one day more; medicines.",
        source="A day more: common practice, no source",
    ),
    Shipped(
        key="light",
        name="lamps and batteries",
        text="Lamps, batteries, matches in a dry tin, and what lights the fire.",
        source=PRACTICE,
    ),
    Shipped(
        key="frost_things",
        name="cold weather things",
        text="Against frost: shovel, grit or chains, sleeping bags for a night without fire, water that "
        "has not frozen.",
        source=PRACTICE,
        when=(Condition.FROST,),
    ),
    Shipped(
        key="guest_things",
        name="bedding for guests",
        text="Bedding for the guests; ask what they can't eat or breathe.",
        source=PRACTICE,
        when=(Condition.GUESTS,),
    ),
    Shipped(
        key="season_things",
        name="first stay things",
        text="First stay of the season: replace-by dates and extinguisher date looked up, flue brush or the "
        "sweep's visit arranged, mouse traps, steel wool.",
        source="Yearly inspection of the chimney: NFPA 211 as quoted by a fire department (as reported)",
        when=(Condition.FIRST_STAY,),
    ),
    Shipped(
        key="paper",
        name="paper and pencil",
        text="The paper sheet and a pencil: the computer stays off until it has warmed and dried.",
        source="Common practice, no source: condensation on cold electronics",
    ),
    Shipped(
        key="keys", name="keys and papers", text="Keys; the stove's manual if it is at home.", source=PRACTICE
    ),
)

ARRIVING: tuple[Shipped, ...] = (
    Shipped(
        key="droppings",
        name="droppings aired",
        text=DROPPINGS_TEXT,
        source=DROPPINGS_ADVICE,
        safety=True,
        when=(Condition.DROPPINGS,),
        part=Part.AIR_OUT_DROPPINGS,
    ),
    Shipped(
        key="away",
        name="looked over from outside",
        text="More than a month away: look it over from outside first, roof, chimney, walls, trees. Gas "
        "smelled at the door: no flame, no switch; stay out and call the supplier or the emergency number.",
        source=PRACTICE,
        safety=True,
        when=(Condition.AWAY,),
        part=Part.LOOK,
    ),
    Shipped(
        key="nest",
        name="nest in the cap",
        text=NEST_TEXT,
        source="Common practice, no source: a blocked flue sends carbon monoxide into the room",
        safety=True,
        when=(Condition.NEST,),
        part=Part.LOOK,
    ),
    Shipped(
        key="cap",
        name="chimney cap",
        text="Look at the chimney top from the ground: cap clear of snow, ice and nests, or no fire.",
        source="Common practice, no source: owners report caps snowed in, iced and nested",
        safety=True,
        part=Part.LOOK,
    ),
    Shipped(
        key="alarms_at_the_door",
        name="alarms at the door",
        text="Test both alarms at the door, smoke and CO, before the fire. Then write: alarms ok",
        source=ALARM_TESTS,
        safety=True,
        part=Part.ALARMS,
    ),
    Shipped(
        key="look_for_droppings",
        name="look for droppings",
        text="Look for droppings before you stir up dust. Seen: say so (droppings), the order changes.",
        source=DROPPINGS_ADVICE,
        safety=True,
        unless=(Condition.DROPPINGS,),
        part=Part.LOOK,
    ),
    Shipped(
        key="first_fire",
        name="first fire of the season",
        text="First fire of the season: the flue inspected, and swept if it needs it, since the last one; "
        "door seal, glass and firebricks whole. If not, that comes first.",
        source="Yearly: NFPA 211 as quoted by a fire department (as reported); seal and bricks: shop notes",
        safety=True,
        when=(Condition.FIRST_STAY, Condition.FIRE_PLANNED),
        part=Part.LOOK,
    ),
    Shipped(
        key="stove",
        name="stove ready",
        text="Stove: nothing on or near it, ash as deep as its manual says, door seals, flue damper open.",
        source="Common practice, no source; distances are the manual's",
        safety=True,
        when=(Condition.FIRE_PLANNED,),
        part=Part.LOOK,
    ),
    Shipped(
        key="cold_flue",
        name="flue warmed",
        text="The flue is cold and may draw backwards: a window ajar, air wide open, a twist of paper or a "
        "handful of kindling first. Smoke into the room: no wood on it, open up, let it go out.",
        source="US EPA 456/F-10-003 (Burn Wise): heat the flue before adding; window ajar: a manual, as "
        "reported",
        safety=True,
        when=(Condition.FIRE_PLANNED, Condition.COLD_STOVE),
        part=Part.WARM_FLUE,
    ),
    Shipped(
        key="light",
        name="fire lit",
        text="Then the fire, as the manual lights it: air wide open until it burns well, somebody beside it.",
        source="US EPA 456/F-10-003 (Burn Wise): full air until it burns strongly",
        safety=True,
        when=(Condition.FIRE_PLANNED, Condition.COLD_STOVE),
        part=Part.LIGHT,
    ),
    Shipped(
        key="alarms_again",
        name="alarms again, warm",
        text="Test the alarms again once the room is over {alarms}: CO alarms are commonly rated from about "
        "there, so a frozen one may stay silent while the stove smokes most.",
        source="Rated for about 4–38 °C (as reported); the alarm's leaflet decides",
        safety=True,
        when=(Condition.COLD_ROOM,),
        part=Part.ONCE_WARM,
    ),
    Shipped(
        key="guests",
        name="guests shown",
        text="Guests: show them the emergency page, both alarms, two ways out, and the stove: nobody shuts "
        "its air or the flue on wood or coals.",
        source=PRACTICE,
        safety=True,
        when=(Condition.GUESTS,),
    ),
    Shipped(
        key="water",
        name="water on",
        text="Water stays off until the pipes' own places are well above freezing, not only the room; then "
        "look for leaks.",
        source=PRACTICE,
        when=(Condition.PIPES,),
        part=Part.ONCE_WARM,
    ),
    Shipped(
        key="bucket_waits",
        name="ash bucket",
        text=BUCKET_WAITS_TEXT,
        source=ASH_SOURCE,
        safety=True,
        when=(Condition.ASH, Condition.ASH_WAITS),
    ),
    Shipped(
        key="bucket_over",
        name="ash bucket",
        text=BUCKET_OVER_TEXT,
        source=ASH_SOURCE,
        safety=True,
        when=(Condition.ASH,),
        unless=(Condition.ASH_WAITS,),
    ),
    Shipped(
        key="read",
        name="read at the door",
        text="Read inside and outside at the door and an hour after lighting: it is the best start for "
        "tonight.",
        source="This program's own forecasts start from it",
    ),
)

LEAVING: tuple[Shipped, ...] = (
    Shipped(
        key="fire_out",
        name="fire out",
        text="The fire is out, felt cold, the stove door latched; air and flue left open. Coals are fire.",
        source="Charcoal fire releases CO and must vent: article of the trade (as reported)",
        safety=True,
        part=Part.FIRE_OUT,
    ),
    Shipped(
        key="drain",
        name="water drained",
        text="Water drained, taps left open, traps and heater too. A stove that heats water: its manual says "
        "when.",
        source=PRACTICE,
        safety=True,
        when=(Condition.WATER,),
        part=Part.DRAIN,
    ),
    Shipped(
        key="bucket_waits",
        name="ash bucket",
        text=BUCKET_WAITS_TEXT,
        source=ASH_SOURCE,
        safety=True,
        when=(Condition.ASH, Condition.ASH_WAITS),
        part=Part.FIRE,
    ),
    Shipped(
        key="bucket_over",
        name="ash bucket",
        text=BUCKET_OVER_TEXT,
        source=ASH_SOURCE,
        safety=True,
        when=(Condition.ASH,),
        unless=(Condition.ASH_WAITS,),
        part=Part.FIRE,
    ),
    Shipped(
        key="ash",
        name="ash of today",
        text="Ash taken out today: metal bucket with a lid, outdoors, 3 m (10 ft) from anything that burns, "
        "not on the deck. Write the day on it; not tipped out before {ash}.",
        source=ASH_SOURCE,
        safety=True,
        unless=(Condition.ASH_WAITS,),
        part=Part.FIRE,
    ),
    Shipped(
        key="air_out",
        name="aired",
        text="Air the place while it is warm: the stay's moisture condenses as it cools. Then shut the "
        "windows.",
        source=PRACTICE,
        part=Part.LET_COLD_IN,
    ),
    Shipped(
        key="shut_off",
        name="gas, lamps and batteries off",
        text="Gas, lamps and batteries off; food away from mice; kindling and dry wood laid ready inside.",
        source=PRACTICE,
        part=Part.LET_COLD_IN,
    ),
    Shipped(
        key="frost_left",
        name="nothing that bursts",
        text="Against frost: nothing that bursts or spoils stays behind: bottles, tins, paint.",
        source=PRACTICE,
        when=(Condition.FROST,),
    ),
    Shipped(
        key="write",
        name="written down",
        text="Write down inside, outside, wood left and what to bring, then: left",
        source="This program's own forecasts and lists start from it",
        part=Part.GO,
    ),
)
