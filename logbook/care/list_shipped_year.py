"""The lines that come with the lists of the year: spring (opening) and autumn (closing for the winter).

The stove's manual, local codes and licensed practice come before them; the owner's own lines stand beside.
"""

from __future__ import annotations

from logbook.care.list_line import Part, Shipped
from logbook.care.list_shipped_stay import (
    ASH_SOURCE,
    BUCKET_OVER_TEXT,
    BUCKET_WAITS_TEXT,
    DROPPINGS_ADVICE,
    DROPPINGS_TEXT,
    NEST_TEXT,
    PRACTICE,
)
from logbook.results.lists import Condition

INSPECTORS = "Home inspectors' advice (as reported)"

_BUCKETS: tuple[Shipped, ...] = (
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
)

_NEST = Shipped(
    key="nest",
    name="nest in the cap",
    text=NEST_TEXT,
    source="Common practice, no source: a blocked flue sends carbon monoxide into the room",
    safety=True,
    when=(Condition.NEST,),
    part=Part.LOOK,
)

SPRING: tuple[Shipped, ...] = (
    Shipped(
        key="droppings",
        name="droppings aired",
        text=DROPPINGS_TEXT,
        source=DROPPINGS_ADVICE,
        safety=True,
        when=(Condition.DROPPINGS,),
        part=Part.AIR_OUT_DROPPINGS,
    ),
    _NEST,
    Shipped(
        key="roof",
        name="roof and chimney looked at",
        text="Roof and chimney looked at from the ground, after the winter: cap, flashing, sheets, trees.",
        source="Each season, in spring for the winter's damage: a checklist (as reported)",
        safety=True,
        part=Part.LOOK,
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
        key="alarms",
        name="alarms looked after",
        text="Both alarms tested, batteries new unless sealed, replace-by dates read.",
        source="Test monthly, batteries yearly, smoke alarms 10 years, CO by the printed date: NFPA as "
        "quoted (as reported)",
        safety=True,
        part=Part.ALARMS,
    ),
    Shipped(
        key="flue",
        name="flue inspected",
        text="Flue inspected, and swept where there is deposit; door seal, firebricks and baffle looked at.",
        source="At least once a year: NFPA 211 as quoted by a fire department (as reported)",
        safety=True,
        part=Part.LOOK,
    ),
    *_BUCKETS,
    Shipped(
        key="extinguisher",
        name="extinguisher",
        text="Extinguisher: gauge, pin, date on it; maintained yearly by who may.",
        source="Monthly look, yearly maintenance: NFPA 10 as described (as reported)",
        safety=True,
    ),
    Shipped(
        key="gas",
        name="gas fittings",
        text="Gas hoses and fittings: cracks, dates; leaks looked for with soapy water, never with a flame; "
        "work on them is for who is licensed.",
        source=PRACTICE,
        safety=True,
    ),
    Shipped(
        key="water",
        name="water filled",
        text="Water: drain cocks shut, filled slowly, every joint looked at; first water to the ground; "
        "drink only what you know to be good.",
        source=PRACTICE,
        when=(Condition.PIPES,),
        part=Part.ONCE_WARM,
    ),
    Shipped(
        key="gutters",
        name="gutters cleared",
        text="Gutters cleared before the spring rain; the ladder footed and held.",
        source=f"Once a year at least, twice with trees: {INSPECTORS}",
    ),
    Shipped(
        key="posts",
        name="posts and piers",
        text="Posts and piers probed at the ground line with an awl; floor level; skirting and its "
        "vents clear.",
        source="Decay above about 20–30 % moisture, at the ground line: from memory of forest products texts",
    ),
    Shipped(
        key="walls",
        name="walls and floor looked at",
        text="Walls, floor and bedding looked at for wet, mould and splash; written down by place.",
        source=PRACTICE,
    ),
    Shipped(
        key="mice",
        name="mouse holes closed",
        text="Holes closed with steel wool and caulk: a mouse passes where a thumb tip (21 mm) does.",
        source="A nickel-size hole (about 21 mm), steel wool and caulk: CDC, as quoted",
    ),
    Shipped(
        key="wood",
        name="wood for next winter",
        text="Wood for the next winter split, stacked off the ground, top covered, its date written down.",
        source=PRACTICE,
    ),
)

AUTUMN: tuple[Shipped, ...] = (
    _NEST,
    Shipped(
        key="flue",
        name="flue ready for winter",
        text="Flue inspected, and swept where there is deposit, before the cold; cap whole and clear.",
        source="At least once a year: NFPA 211 as quoted by a fire department (as reported)",
        safety=True,
        part=Part.FIRE,
    ),
    Shipped(
        key="fire_out",
        name="fire out",
        text="The fire is out, felt cold, the stove door latched; air and flue left open. Coals are fire.",
        source="Charcoal fire releases CO and must vent: article of the trade (as reported)",
        safety=True,
        part=Part.FIRE_OUT,
    ),
    *_BUCKETS,
    Shipped(
        key="drain",
        name="water drained",
        text="Water drained at the lowest points before the frost: pipes, pump, heater, cistern; taps left "
        "open. A stove that heats water: its manual says when.",
        source="Alert at 20 °F (−7 °C) outside for uninsulated pipes: Univ. of Illinois (as reported); "
        "before the first frost: common practice, no source",
        safety=True,
        when=(Condition.PIPES,),
        part=Part.DRAIN,
    ),
    Shipped(
        key="traps",
        name="traps filled",
        text="Traps emptied or filled with antifreeze meant for drinking-water pipes, never the car's.",
        source=PRACTICE,
        when=(Condition.PIPES,),
        part=Part.LET_COLD_IN,
    ),
    Shipped(
        key="gutters",
        name="gutters cleared",
        text="Gutters cleared after the leaves are down; the ladder footed and held.",
        source=f"Once a year at least, twice with trees: {INSPECTORS}",
    ),
    Shipped(
        key="outside",
        name="outside made fast",
        text="Roof, shutters, trees near the cabin, skirting: fast, dry, and clear for the snow.",
        source="Roof each season: a checklist (as reported)",
    ),
    Shipped(
        key="mice",
        name="mouse holes closed",
        text="Food out or in tins; holes closed with steel wool, 6 mm (1/4 in) mesh over vents.",
        source="Steel wool and caulk: CDC, as quoted; mesh: from memory",
    ),
    Shipped(
        key="wood",
        name="wood for the first night",
        text="Dry wood and kindling for the first night inside; the stack's top covered; what is left "
        "counted.",
        source=PRACTICE,
    ),
    Shipped(
        key="damp",
        name="bedding up",
        text="Bedding off the floor and off the walls, cupboards ajar, aired while it is still warm.",
        source=PRACTICE,
        part=Part.LET_COLD_IN,
    ),
    Shipped(
        key="gas",
        name="gas and batteries",
        text="Gas shut at the bottle, batteries charged and disconnected or taken home.",
        source=PRACTICE,
        safety=True,
        part=Part.LET_COLD_IN,
    ),
    Shipped(
        key="write",
        name="written down",
        text="Write down levels, wood left, what to bring in spring, then: left",
        source="This program's own lists start from it",
        part=Part.GO,
    ),
)
