"""The shipped upkeep tasks: how often, who says so and how that was reached.

All are the usual cautions. The maker's manual, local code and a licensed sweep come before every interval
here, and the owner may change, add or silence any. "As reported" means that a secondary page quotes the
named body; "common practice" that no source was found.
"""

from __future__ import annotations

from dataclasses import dataclass

from logbook.matters import Sight
from logbook.results.upkeep import Interval

CORD_OF_LIGHT_WOOD_KG = 1000.0
"""A cord (128 ft³ stacked) of a light wood, kg as weighed. Computed: cottonwood 2,272 lb, basswood 1,984 lb
dry in Utah State University Extension's table (read in the primary), 1,031 and 900 kg; rounded between."""

MEASURABLE_MM = 0.0
"""Deposit above which the flue is cleaned, mm: "whenever measurable creosote deposits are found". Source:
NFPA 211 as quoted by a fire department (as reported)."""

SWEEP_AT_MM = 3.0
"""Deposit at which it is swept, mm: 1/8 in. Source: a national body of sweeps (CSIA), as reported."""

ALARM_LIVES_MONTHS = {"smoke alarm": 120, "co alarm": 84}
"""How long alarms last, months: smoke 10 years from manufacture, CO 7 to 10 by model (the shorter). Source:
a fire department quoting NFPA (as reported). The date printed on the alarm decides, nothing else here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One shipped task.

    ``also`` are tasks whose doing counts for this one. ``look_counts``: a look alone is enough.
    ``until_decides``: only a printed date says when. ``called_by``: sights that make it due at once; so does
    a chimney fire, with ``after_chimney_fire``. ``cleared_by``: other tasks after which no such sight calls.
    """

    name: str
    title: str
    interval: Interval
    safety: bool = False
    how: str = ""
    also: tuple[str, ...] = ()
    look_counts: bool = True
    until_decides: bool = False
    called_by: tuple[Sight, ...] = ()
    after_chimney_fire: bool = False
    cleared_by: tuple[str, ...] = ()


def _every(
    months: int | None, source: str, *, kg: float | None = None, burn: float | None = None
) -> Interval:
    return Interval(months=months, kg=kg, burn_days=burn, source=source)


FLUE_SOURCE = (
    "every year: NFPA 211, as reported by a fire department; every cord, here of light wood: common "
    "practice, no source"
)
EXTINGUISHER_SOURCE = "NFPA 10 as described, as reported"
ALARM_SOURCE = "a fire department quoting NFPA, as reported"
PRACTICE = "common practice, no source"

TASKS: tuple[Task, ...] = (
    Task(
        name="smoke alarm",
        title="smoke alarm replaced",
        interval=_every(
            None, "the date printed on it decides; 10 years from manufacture as a rule: " + ALARM_SOURCE
        ),
        safety=True,
        until_decides=True,
        look_counts=False,
        how="Read the date on its back and write it: replaced smoke alarm until may 2033",
    ),
    Task(
        name="co alarm",
        title="CO alarm replaced",
        interval=_every(None, "the date printed on it decides; 7 to 10 years by model: " + ALARM_SOURCE),
        safety=True,
        until_decides=True,
        look_counts=False,
        how="Read the date on its back and write it: replaced co alarm until may 2033",
    ),
    Task(
        name="smoke alarm test",
        title="smoke alarm tested",
        interval=_every(1, ALARM_SOURCE),
        safety=True,
        how="Its button, in every stay, and again once the room is warm: alarms ok",
    ),
    Task(
        name="co alarm test",
        title="CO alarm tested",
        interval=_every(1, ALARM_SOURCE),
        safety=True,
        how="Its button, in every stay, and again once the room is warm: alarms ok",
    ),
    Task(
        name="smoke alarm battery",
        title="smoke alarm battery",
        interval=_every(12, "unless sealed for the life of the alarm; " + ALARM_SOURCE),
        safety=True,
        look_counts=False,
    ),
    Task(
        name="co alarm battery",
        title="CO alarm battery",
        interval=_every(12, "unless sealed for the life of the alarm; " + ALARM_SOURCE),
        safety=True,
        look_counts=False,
    ),
    Task(
        name="flue",
        title="flue and chimney inspected, swept where it needs it",
        interval=_every(12, FLUE_SOURCE, kg=CORD_OF_LIGHT_WOOD_KG),
        safety=True,
        look_counts=False,
        after_chimney_fire=True,
        how="Swept at any measurable deposit (NFPA 211's wording, as reported), at the latest at 3 mm "
        "(1/8 in; a body of sweeps, as reported): swept flue 2 mm. Inspected and clean: did flue 0 mm",
    ),
    Task(
        name="flue look",
        title="flue and connector looked at in season",
        interval=_every(
            None,
            "twice a month of use, as a town's fire prevention page has it, as reported",
            burn=15,
        ),
        safety=True,
        also=("flue",),
        how="Look up the flue and along the pipe, stove cold: looked at flue 1 mm",
    ),
    Task(
        name="cap",
        title="flue cap and screen",
        interval=_every(12, PRACTICE),
        safety=True,
        called_by=(Sight.NEST,),
        after_chimney_fire=True,
        cleared_by=("flue",),
        how="Nest, soot, rust, snow; look before the first fire of autumn",
    ),
    Task(
        name="door rope",
        title="door rope (gasket), paper test",
        interval=_every(12, "and every second month of use; a text on wood heat, as reported", burn=60),
        safety=True,
        how="Stove cold: a note shut in the door slides out easily at some point: adjust the latch, then a "
        "new rope by the manual",
    ),
    Task(
        name="baffle",
        title="baffle and firebrick",
        interval=_every(12, "for cracks and warping; a trade note, as reported"),
        safety=True,
    ),
    Task(
        name="extinguisher",
        title="extinguisher looked at",
        interval=_every(1, EXTINGUISHER_SOURCE),
        safety=True,
        also=("extinguisher service", "extinguisher inside", "extinguisher pressure test"),
        how="In its place, gauge in the green, pin and seal there",
    ),
    Task(
        name="extinguisher service",
        title="extinguisher maintenance",
        interval=_every(12, EXTINGUISHER_SOURCE),
        safety=True,
        look_counts=False,
        also=("extinguisher inside", "extinguisher pressure test"),
    ),
    Task(
        name="extinguisher inside",
        title="extinguisher opened and examined",
        interval=_every(72, "stored-pressure dry chemical; " + EXTINGUISHER_SOURCE),
        safety=True,
        look_counts=False,
        also=("extinguisher pressure test",),
    ),
    Task(
        name="extinguisher pressure test",
        title="extinguisher pressure-tested; one that can't be refilled is replaced",
        interval=_every(144, EXTINGUISHER_SOURCE),
        safety=True,
        look_counts=False,
    ),
    Task(
        name="roof",
        title="roof looked over",
        interval=_every(3, "each season, in spring for winter's damage; a checklist, as reported"),
        called_by=(Sight.LEAK,),
    ),
    Task(
        name="gutters",
        title="gutters cleaned",
        interval=_every(6, "where trees stand near, else every year; inspectors, as reported"),
        look_counts=False,
        how="After the leaves are down and before the rain of spring",
    ),
    Task(
        name="posts",
        title="posts and piers probed",
        interval=_every(12, "with an awl at the ground line; a forest products laboratory, from memory"),
    ),
    Task(
        name="skirting vents",
        title="skirting vents clear",
        interval=_every(12, PRACTICE),
        how="Open and free of leaves and nests; screens whole",
    ),
    Task(
        name="paint",
        title="paint and sealing looked over",
        interval=_every(12, PRACTICE),
        how="Finishes last: paint 10–20 years, solid stain 6–15, semitransparent 4–8, water repellent 1–3 "
        "(Wood Handbook, Table 16-5, read in the primary)",
    ),
    Task(
        name="splash",
        title="water splash at the foot of the walls",
        interval=_every(12, PRACTICE),
        called_by=(Sight.SPLASH,),
        how="Earth or moss on the lowest boards: gravel, a gutter, the ground lower",
    ),
    Task(
        name="rodents",
        title="holes closed against rodents",
        interval=_every(12, "in autumn; common practice, no source"),
        called_by=(Sight.DROPPINGS,),
        how="A mouse passes a hole of about 21 mm (public health advice, as reported): steel wool and "
        "sealant, 6 mm mesh (from memory)",
    ),
    Task(
        name="toilet",
        title="toilet emptied or moved",
        interval=_every(12, PRACTICE),
        how="Local code decides where and how",
    ),
    Task(
        name="grey water",
        title="grey water drain looked at",
        interval=_every(12, PRACTICE),
        how="Local code decides where and how",
    ),
    Task(name="lamps", title="lamps, wicks and mantles", interval=_every(12, PRACTICE)),
    Task(
        name="hand pump",
        title="hand pump: leathers, drain-back, bolts",
        interval=_every(12, PRACTICE),
    ),
)
"""In the order they are told among equals."""

TASK_OF: dict[str, Task] = {task.name: task for task in TASKS}
