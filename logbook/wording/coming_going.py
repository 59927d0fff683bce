"""Arriving, leaving, awake in the night, what to write down next: answers in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from logbook.records import OwnUnits
from logbook.results.journeys import (
    ArriveAnswer,
    Awake,
    AwakeChoice,
    LeaveAnswer,
    Note,
    NoWood,
    Reached,
    WokeAnswer,
    WriteDownNext,
)
from logbook.results.lists import ListName
from logbook.results.night import PlannedLoad
from logbook.setting import Setting, local_time
from logbook.wording.amounts import (
    air_text,
    chance_text,
    day_text,
    difference_text,
    hours_text,
    mass_text,
    number_text,
    range_text,
    temperature_text,
    time_text,
)
from logbook.wording.answers import band_text, do_text, load_text
from logbook.wording.damp import airing_text

STAGE_WORDS = {
    "air": "Air",
    "things": "Things and bed",
    "dry": "Walls dry",
}

ALREADY_H = 0.05
"""Reached within three minutes is "already"."""

AWAKE_WORDS = {
    Awake.LET: "Let it burn",
    Awake.WINDOW: "Window",
    Awake.RELOAD: "Reload",
}

OUT_WORDS = "Leave it out"
"""Of a stove that would have to be lit anew."""

NO_WOOD_WORDS = {
    NoWood.NOT_NEEDED: "No wood is needed.",
    NoWood.FULL: "No wood now: none fits beside what still burns. Ask again when it has burned down.",
    NoWood.NEST: "No wood now: a nest was seen in the cap of the flue. No fire while it is in there.",
    NoWood.TOO_HOT: (
        "No wood now: any more may make the room too hot once it has burned through. Write down what the "
        "room reads and ask again in half an hour."
    ),
    NoWood.NO_GAIN: (
        "No wood now: no load that was tried brings the room nearer to what you want. Write down what it "
        "reads and ask again in half an hour."
    ),
}

NOTE_WORDS = {
    Note.OUTDOOR_AT_BED: "the temperature outside at bed",
    Note.LOAD_MASS: "what the load weighs, on a scale",
    Note.READING_AT_2: "the room at two, if you are up",
    Note.COALS_AT_WAKING: "the coals at waking: none, few or good",
    Note.NIGHT_WITHOUT_FIRE: "one night without fire",
    Note.HEATER_EVENING: "an evening with an electric heater of known power",
}


def arrive_text(answer: ArriveAnswer, *, setting: Setting) -> tuple[str, ...]:
    """The list for the door, the loads, the stages, what is assumed; a sentence each."""
    units = setting.units
    rows = [f"! {caution}" for caution in answer.cautions]
    rows += ["", "In this order:", *_numbered(answer.checklist, name=ListName.ARRIVING)]
    inside = temperature_text(answer.inside_c, units=units, decimals=0)
    outside = temperature_text(answer.outdoor_c, units=units, decimals=0)
    rows += ["", f"From {inside} inside, {outside} outside, with this wood:"]
    rows += [arrival_load_text(load, setting=setting) for load in answer.loads]
    if answer.no_wood is not None:
        rows.append(NO_WOOD_WORDS[answer.no_wood])
    rows += [stage_text(stage, at=answer.as_of, setting=setting) for stage in answer.stages]
    rows.append(f"Warmest on the way: {range_text(answer.peak_c, units=units)}.")
    if answer.assumed:
        rows += ["", *answer.assumed]
    return tuple(rows)


def _numbered(items: Sequence[str], *, name: ListName) -> list[str]:
    """Open lines of a list in the order of the moment: what is done is left out and coals move one, so their
    numbers are not those of the list command."""
    rows = [f"{n}. {item}" for n, item in enumerate(items, start=1)]
    return [*rows, f'Done? Tick it by its words: nightload list {name} --done "…"'] if rows else rows


def arrival_load_text(load: PlannedLoad, *, setting: Setting) -> str:
    """One load of the way: "18:45 2 M (3.2 kg), wide open about 12 min, then 3/4 open (1/4 closed)"."""
    lit = ", on kindling" if load.kindling else ""
    wood = load_text(load, units=setting.units)
    return (
        f"  {time_text(load.at, zone=setting.zone)}  {wood}{lit}, wide open about "
        f"{number_text(load.open_minutes)} min, then {air_text(load.air_open_pct)}"
    )


def stage_text(stage: Reached, *, at: datetime, setting: Setting) -> str:
    """One stage: "Air 16 °C: in 1.5–6.3 h, likely 2.7 h (19:30 to 00:20)."."""
    name = STAGE_WORDS.get(stage.name, stage.name)
    line = (
        "" if stage.line_c is None else f" {temperature_text(stage.line_c, units=setting.units, decimals=0)}"
    )
    ends = clock_span_text(stage, at=at, setting=setting)
    return f"{name}{line}: {reached_text(stage)}{ends}."


def reached_text(stage: Reached) -> str:
    """Hours with their range: "in 1.5 h to 6.3 h, likely 2.7 h"; "at once to 15 h, likely 4 h"; "already"."""
    if stage.hours is None:
        return f"in more than {hours_text(stage.more_than_h or 0.0)}, if at all"
    low, likely, high = stage.hours.p05, stage.hours.p50, stage.hours.p95
    if high <= ALREADY_H:
        return "already"
    end = "more than " if _beyond(high, stage) else ""
    middle = "more than " if _beyond(likely, stage) else ""
    first = "at once" if low <= ALREADY_H else f"in {hours_text(low)}"
    usual = "at once" if likely <= ALREADY_H else f"{middle}{hours_text(likely)}"
    return f"{first} to {end}{hours_text(high)}, likely {usual}"


def clock_span_text(stage: Reached, *, at: datetime, setting: Setting) -> str:
    """The same on the site's clock, in brackets; nothing for what is past or beyond the horizon."""
    if stage.hours is None or stage.more_than_h is not None or stage.hours.p95 <= ALREADY_H:
        return ""
    ends = [at + timedelta(hours=h) for h in (stage.hours.p05, stage.hours.p95)]
    first = _moment_text(ends[0], at=at, setting=setting)
    return f" ({first} to {_moment_text(ends[1], at=ends[0], setting=setting)})"


def _moment_text(moment: datetime, *, at: datetime, setting: Setting) -> str:
    clock = time_text(moment, zone=setting.zone)
    same = local_time(moment, setting.zone).date() == local_time(at, setting.zone).date()
    return clock if same else f"{day_text(moment, zone=setting.zone)} {clock}"


def _beyond(hours: float, stage: Reached) -> bool:
    return stage.more_than_h is not None and hours >= stage.more_than_h - 1e-6


def leave_text(answer: LeaveAnswer, *, setting: Setting) -> tuple[str, ...]:
    """Cautions, the lines with their hours, the list for going."""
    units = setting.units
    rows = [f"! {caution}" for caution in answer.cautions]
    inside = temperature_text(answer.inside_c, units=units, decimals=0)
    outside = temperature_text(answer.outdoor_low_c, units=units, decimals=0)
    rows += ["", f"With no more wood, from {inside} inside, down to {outside} outside, the room falls to:"]
    rows += [f"  {line_text(line, at=answer.as_of, setting=setting)}" for line in answer.lines]
    if answer.airing is not None:
        rows += ["", *airing_text(answer.airing, units=units)]
    rows += ["", "Before you go:", *_numbered(answer.checklist, name=ListName.LEAVING)]
    if answer.assumed:
        rows += ["", *answer.assumed]
    return tuple(rows)


def line_text(line: Reached, *, at: datetime, setting: Setting) -> str:
    """One line the room falls to: "5 °C in 6.1 h to 15 h, likely 9.0 h (20:00 to 05:00)."."""
    cold = temperature_text(line.line_c or 0.0, units=setting.units, decimals=0)
    return f"{cold} {reached_text(line)}{clock_span_text(line, at=at, setting=setting)}."


def woke_text(answer: WokeAnswer, *, setting: Setting) -> tuple[str, ...]:
    """What can be done now, the best first."""
    units = setting.units
    now = time_text(answer.as_of, zone=setting.zone)
    rows = [f"! {caution}" for caution in answer.cautions]
    rows.append(f"{now}, inside {range_text(answer.inside_c, units=units)}. By {_wake(answer, setting)}:")
    for n, choice in enumerate(answer.choices, start=1):
        rows.append(f"{n}. {awake_choice_text(choice, answer, setting=setting)}")
        rows += [f"   ! {caution}" for caution in choice.choice.cautions]
    if answer.assumed:
        rows += ["", *answer.assumed]
    return tuple(rows)


def awake_choice_text(one: AwakeChoice, answer: WokeAnswer, *, setting: Setting) -> str:
    """One of the three: what to do, the morning, the peak, the chance of the band, the wood."""
    units = setting.units
    c = one.choice
    do = do_text(c, setting=setting)
    cold = any(load.kindling for other in answer.choices for load in other.choice.loads)
    what = OUT_WORDS if cold and one.kind is Awake.LET else AWAKE_WORDS[one.kind]
    return (
        f"{what}. {do}: {range_text(c.indoor_at_wake_c, units=units)}; "
        f"peak {range_text(c.indoor_max_c, units=units, likely=False)}; "
        f"{band_text(answer.band_c, units=units)} from now on: {chance_text(c.chance_in_band)}; "
        f"wood {mass_text(c.wood_kg, units=units)}."
    )


def _wake(answer: WokeAnswer, setting: Setting) -> str:
    return time_text(answer.wake, zone=setting.zone)


def write_down_text(found: WriteDownNext, *, units: OwnUnits) -> str:
    """One sentence: what to write down and what it would gain; what it would gain if they were up."""
    said = []
    if found.best_tonight is not None:
        said.append(_gain(found.best_tonight, found, tonight=True, units=units))
    elif found.best_next is not None:
        said.append(_gain(found.best_next, found, tonight=False, units=units))
    else:
        said.append(
            "Nothing cheap that you could write down tonight would narrow the range by more than 1 in 20."
        )
    at_2 = next((n for n in found.tonight if n.note is Note.READING_AT_2), None)
    if at_2 is not None and found.best_tonight is not Note.READING_AT_2 and at_2.narrower >= 0.1:
        left, whole = (difference_text(k, units=units) for k in (at_2.width_k, found.tonight_width_k))
        said.append(f"Should you be up at two: a reading then leaves {left} of {whole}.")
    return " ".join(said)


def _gain(note: Note, found: WriteDownNext, *, tonight: bool, units: OwnUnits) -> str:
    among = found.tonight if tonight else found.next_nights
    (one,) = [n for n in among if n.note is note]
    before = found.tonight_width_k if tonight else found.next_width_k
    which = "tonight's range at waking" if tonight else "the range of nights like this one"
    return (
        f"Worth writing down: {NOTE_WORDS[note]}. It would narrow {which} from "
        f"{difference_text(before, units=units)} wide to about {difference_text(one.width_k, units=units)}."
    )
