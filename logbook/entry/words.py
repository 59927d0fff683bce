"""The words of the entry line: what they mean, one table for help, README and completion."""

from __future__ import annotations

from dataclasses import dataclass

LABELS = {
    "temp": "indoor_c",
    "temperature": "indoor_c",
    "room": "indoor_c",
    "in": "indoor_c",
    "inside": "indoor_c",
    "indoor": "indoor_c",
    "indoors": "indoor_c",
    "out": "outdoor_c",
    "outside": "outdoor_c",
    "outdoor": "outdoor_c",
    "outdoors": "outdoor_c",
    "low": "low_c",
    "min": "low_c",
    "high": "high_c",
    "max": "high_c",
    "forecast": "forecast_low_c",
    "tonight": "forecast_low_c",
}
"""Words before a temperature, and the field they name."""

_PLACES = (
    "attic bathroom bedroom bunk bunks cellar ceiling corner downstairs floor hall kitchen loft porch shed "
    "upstairs"
)
PLACES = frozenset(_PLACES.split())
"""Places a second thermometer may hang, known before the owner names one."""

SIZES = {"small": "S", "medium": "M", "large": "L", "big": "L"}
"""Sizes in full, for owners whose pieces go by these letters."""

_SPECIES = (
    "alder apple ash aspen beech birch cedar cherry chestnut cottonwood elm eucalyptus fir hawthorn hazel "
    "hemlock hickory hornbeam juniper larch lime linden locust madrone manuka maple mesquite mixed oak pine "
    "plum poplar rata rimu robinia rowan spruce sycamore tamarack walnut willow hardwood softwood"
)
SPECIES = frozenset(_SPECIES.split())
"""Kinds of firewood known by name. Names only: what each gives off is the heat model's business."""


@dataclass(frozen=True, slots=True)
class Word:
    """A row of the word table: what is typed, what it means, and a sentence of help."""

    word: str
    meaning: str
    help: str


WORDS = (
    Word(
        "-12/18",
        "outside/inside",
        "Outside first. A space does for the stroke: -12 18. One number is inside.",
    ),
    Word("in 17.5, out -9", "inside, outside", "Any order; a unit counts where it is typed: in 64F."),
    Word("in loft 19", "another thermometer", "A place named once is known: loft 19."),
    Word("low 9, high 24", "min/max thermometer", "Lowest and highest since it was last reset."),
    Word("tonight -13", "tonight's forecast low outside", "Also: forecast -13."),
    Word("4m, 3M 1L, 2s", "wood by pieces", "Counts and your own sizes, in small or capital letters."),
    Word("4.2kg birch, 9 lb", "wood by weight", "As weighed. The kind of wood may follow."),
    Word("half a box", "wood by your own measure", "After you said once: box = 22 splits, or box = 19 kg."),
    Word("kindling", "small stuff for a cold start", "Type it with the first load of a dead stove."),
    Word("moisture 18% wet", "wood moisture", "Per cent of the wet wood (wet) or of the dry wood (dry)."),
    Word("same", "the last load and air again", "Key j does the same."),
    Word(
        "air 1/4", "stove air", "Also 25%, quarter, full; add open or closed if it isn't as your lever reads."
    ),
    Word("1/4", "stove air", "After wood or readings a plain fraction is the air."),
    Word("damper 50%", "flue damper, open", "Per cent or fraction open; add closed to turn it round."),
    Word("window cracked", "window", "shut, cracked or open."),
    Word("coals few", "what still glows", "none, few or good."),
    Word("fire out", "the fire is out", "No flame and no coals."),
    Word("heater 1500 W", "heat from anything but the stove", "Until the next: heater off."),
    Word("rh 55%", "relative humidity inside", ""),
    Word("wind strong", "wind", "calm, breeze or strong."),
    Word("arrived, bed, woke, left", "moments of a stay", "Each stands for the time of the line."),
    Word("alarms ok", "smoke and CO alarms tested", "Both test buttons pressed, both sounded."),
    Word("lever rescaled", "a change", "Also: thermometer moved, new gasket, work skirting done."),
    Word(
        "ash out, bucket by the shed",
        "ash out of the stove",
        "Said back with the time before which it may not be tipped; then ash tipped, compost.",
    ),
    Word(
        "swept flue 2 mm by J",
        "upkeep done",
        "Also did gutters, battery smoke alarm, replaced co alarm until may 2033; photo a.jpg; words.",
    ),
    Word("looked at door rope, checked cap", "upkeep only looked at", "What you found may follow."),
    Word(
        "every 365 days flue or 500 kg",
        "how often you want upkeep",
        "Days, kg burned or burn days, whichever comes first; says manual p. 14. Or never gutters.",
    ),
    Word(
        "stack birch 0.9 stere split may 2025",
        "a stack of wood",
        "Also 1/2 cord, rack 40 cm, 2 m x 1.2 m x 40 cm, 500 kg, loose; at north wall, cost 80, 4 h.",
    ),
    Word("count birch 0.4 stere", "what is left of a stack", "Holds from its time on; the past stays."),
    Word(
        "meter birch 17 19 21% dry fresh",
        "moisture of a stack",
        "Each reading; wet or dry; fresh for a face split just then, outside for an old one.",
    ),
    Word("level water 14 L, level gas 40 %", "how much there is", "Any supply, any unit; half and full too."),
    Word("brought water 20 L", "carried in", "Also brought 20 L of water."),
    Word("bring mouse traps 2", "to bring next time", "With or without a number. Then: got mouse traps."),
    Word(
        "done leaving: water drained, skip leaving: roof vent",
        "a line of a list",
        "skip leaves it for the next time.",
    ),
    Word("people K J, people 3", "who is there", "Initials or names, or how many."),
    Word("purpose roof work", "what the stay is for", ""),
    Word("guest book: Snow to the sills.", "a line for the guest book", ""),
    Word(
        "cost skirting 240 31 h on floor",
        "money and hours of a work",
        "Named as its dated change; your own money.",
    ),
    Word(
        "droppings drawer, sweating windows, nest in cap",
        "something seen",
        "Also frost, mould, leak, splash, with a place. When it is over: leak at flashing gone, traps gone.",
    ),
    Word(
        "weather sat -8 -2 strong clear",
        "a day's weather",
        "Low and high; wind, sky. As it was: weather was 16 jan -9 -2.",
    ),
    Word("note ...", "anything else", "What can't be read is kept as a note as well."),
    Word("23:10, 7am, -2h", "time", "Without one it is now. A time still to come means the last one past."),
    Word("last night 11, fri 7:30pm", "day and time", "Also yesterday 22:00, 16 jan 22:30."),
    Word("band 15-21", "the wanted band", "What the room should stay between at night."),
    Word("box = 22 splits", "a measure of your own", "Or box = 19 kg from 9 jan, for past loads too."),
    Word("undo, redo", "take back, bring back", "Whatever the last thing was."),
)
"""The word table, in the order help shows it."""

_PAGES = (
    "now tonight nights cabin year help emergency leave coming going paper look quit "
    "due wood bring damp weather"
)
PAGES = frozenset(_PAGES.split())
"""Words that, alone on the line, open a page or do what its key does."""

_COMPLETIONS = (
    "air alarms arrived bed birch closed coals cracked damper fire forecast full good half heater high in "
    "inside kindling last left lever load low moisture none note open out outside quarter redo rh same shut "
    "strong third thermometer tonight undo wind window woke yesterday "
    "ash battery bring brought checked cleaned cost count did done droppings every frost got guest leak "
    "level looked meter mould nest never people purpose replaced skip splash stack sweating swept tipped "
    "traps weather "
    "cord days kg mm mouse rack says split stere until"
)


def vocabulary(*, species: str, places: tuple[str, ...], pieces: tuple[str, ...]) -> tuple[str, ...]:
    """Every word that may be offered: the owner's own first, then the grammar's, then kinds of wood."""
    own = [word for word in (species, *places, *pieces) if len(word) > 1]
    return tuple(dict.fromkeys([*own, *_COMPLETIONS.split(), *sorted(SPECIES)]))
