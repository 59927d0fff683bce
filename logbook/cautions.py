"""Standing cautions: sentences that hold whatever is reckoned, on paper, beside the ash, after a line typed.

Each stands here once, with its source; whoever words a page takes it from here. The rules that depend on an
evening's forecast are in ``heat.cautions``, those of coming and going in ``heat.coming_going_cautions``;
``heat.every_caution`` has all of them in one table. None replaces the stove's manual, local codes or
licensed practice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Standing:
    """One caution. ``sentence`` may hold ``{floor}``, ``{said}``, ``{load}`` and ``{limit}``: filled in by
    whoever words it, in the owner's units."""

    name: str
    sentence: str
    source: str


ALARM_SOUNDS = Standing(
    "alarm_sounds",
    "Alarm sounds, or headache, sick, dizzy, hard to wake: everybody out, whatever the stove is doing. "
    "Call from outside. Roaring in the flue, pipe glowing, sparks at the cap: everybody out, and call.",
    "Out first, call from outside: fire districts (as reported). It names no cure, for there is none to be "
    "tried by a guest",
)
UNTIL_SAFE = Standing(
    "until_the_fire_service",
    "Nobody goes back in until the fire service says the air is safe.",
    "Fire districts (as reported)",
)
TEST_BOTH = Standing(
    "test_both_alarms",
    "Press the test button on both alarms, smoke and CO. Both must sound. In a frozen cabin press them "
    "again when it is warm: most are made for about 4 to 38 °C (40 to 100 °F).",
    "NFPA as quoted by a fire department; rated for about 4–38 °C (as reported); the alarm's leaflet decides",
)
DROPPINGS_OR_NEST = Standing(
    "droppings_or_nest",
    "Droppings, or a nest at the cap? No fire. Open up, stay out 30 minutes, wet what you find, never "
    "sweep it dry; and ask.",
    "US CDC on cleaning up after rodents (as reported); a blocked flue spills carbon monoxide (common "
    "practice)",
)
DAMPER_OPEN = Standing(
    "damper_open",
    "Flue damper, if there is one: open. A cold flue can run backwards: a window a little open until it "
    "draws.",
    "US EPA 456/F-10-003 (Burn Wise); window ajar: a manual, as reported",
)
NEVER_BELOW_FLOOR = Standing(
    "never_below_floor",
    "Never below {floor}{said} while wood or coals glow: it smoulders, soots the flue and gives carbon "
    "monoxide.",
    "US EPA 456/F-10-003 (Burn Wise): smouldering means more air is needed",
)
NEVER_COOL_BY_AIR = Standing(
    "never_cool_by_air",
    "Too warm? Put in less next time, and open a window. Never shut the air to cool the room.",
    "US EPA 456/F-10-003 (Burn Wise): smouldering means more air is needed",
)
COALS_ALL_NIGHT = Standing(
    "coals_all_night",
    "Coals give carbon monoxide without smoke, hours after the last flame: air and flue stay open until "
    "the stove is cold. Never close a damper on coals.",
    "Charcoal fire releases CO and must vent: article of the trade (as reported)",
)
ASH_STAYS = Standing(
    "ash_stays",
    "Leave the ash in the stove. If it must come out: lidded metal bucket, outdoors, on the ground, 3 m "
    "(10 ft) from walls; it stays live for days.",
    "Fire districts: lidded metal, 10 ft away, four days (as reported)",
)
NOTHING_NEAR = Standing(
    "nothing_near",
    "Hot stove: nothing that burns within 1 m (3 ft) of it, no clothes above it, no child alone with it.",
    "Three feet: NFPA as quoted by a fire department (as reported)",
)
BUCKET = Standing(
    "bucket",
    "Lid on, outdoors, 3 m (10 ft) from anything that burns: live ash gives off carbon monoxide.",
    "Fire districts: lidded metal, 10 ft away (as reported); embers are charcoal: article of the trade",
)
ASH_AS_LIVE = Standing(
    "ash_as_live",
    "Embers have lived longer: handle it as live, and when the bucket is empty write it: ash tipped.",
    "Fires from ash days old: fire districts (as reported)",
)
ASH_WENT_IN_HOT = Standing(
    "ash_went_in_hot",
    "Advice is to wait 24 h after the last fire (as reported).",
    "A fire safety handout's wait before ash is taken out (as reported)",
)
LEAST_AIR = Standing(
    "least_air",
    "{floor} is the least clean air on your lever: not lower while wood or coals glow.",
    "US EPA 456/F-10-003 (Burn Wise): smouldering means more air is needed",
)
DAMPER_TYPED = Standing(
    "damper_typed",
    "A damper closed on wood or coals can spill carbon monoxide into the room: leave it open while anything "
    "glows.",
    "Common practice, no source: a damper closed on coals can spill CO",
)
LIMIT_TYPED = Standing(
    "limit_typed",
    "{load} is over your stove's limit of {limit}.",
    "The stove's manual, as given by the owner",
)

DANGER_TYPED = Standing(
    "danger_typed",
    "If that is now: everybody out, whatever the stove is doing, and call from outside.",
    "Out first, call from outside: fire districts (as reported)",
)

_SIGNS = (
    r"\b(?:alarm|detector)s?\b.{0,20}\b(?:went|go(?:es|ing|ne)?) off\b",
    r"\b(?:alarm|detector)s?\b.{0,20}\b(?:sound(?:s|ed|ing)|rang|ringing|beep(?:s|ed|ing))\b",
    r"\bsmok(?:e|y)\b.{0,12}\b(?:in|inside|into|smell|room|cabin)\b",
    r"\b(?:full of|smell(?:s|ed|ing)?(?: of)?) smoke\b",
    r"\b(?:chimney|flue) (?:fire|roar(?:s|ed|ing)?)\b",
    r"\broar(?:s|ed|ing)? in the (?:flue|pipe|chimney)\b",
    r"\bpipe\b.{0,10}\b(?:glow(?:s|ed|ing)?|red)\b",
    r"\b(?:dizzy|headaches?|nausea|nauseous|faint(?:ed)?|carbon monoxide)\b",
)
_SIGN = re.compile("|".join(_SIGNS), re.IGNORECASE)


def tells_of_danger(note: str) -> bool:
    """Whether a note tells of what ``DANGER_TYPED`` is about: better once too often. Words are ASSUMED."""
    return _SIGN.search(note) is not None


STANDING: tuple[Standing, ...] = (
    ALARM_SOUNDS,
    UNTIL_SAFE,
    TEST_BOTH,
    DROPPINGS_OR_NEST,
    DAMPER_OPEN,
    NEVER_BELOW_FLOOR,
    NEVER_COOL_BY_AIR,
    COALS_ALL_NIGHT,
    ASH_STAYS,
    NOTHING_NEAR,
    BUCKET,
    ASH_AS_LIVE,
    ASH_WENT_IN_HOT,
    LEAST_AIR,
    DAMPER_TYPED,
    LIMIT_TYPED,
    DANGER_TYPED,
)
