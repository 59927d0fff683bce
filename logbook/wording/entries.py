"""A record said back in one sentence, as it will be kept; what is said can be typed again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta

from logbook import cautions
from logbook.records import Entry, Mark
from logbook.setting import Setting, local_instants, local_time, night_of
from logbook.wording.amounts import (
    WEEKDAYS,
    air_text,
    day_text,
    mass_text,
    number_text,
    pieces_text,
    reading_text,
    time_text,
)

YEAR_AFTER = timedelta(days=300)
"""Older records are said with their year, so that a day and month can't be taken for the last ones."""

HAPPENING = timedelta(minutes=15)
"""A record this fresh needs no day. ASSUMED."""

EVENING_HOUR = 18
"""From this local hour on a record of another day is said with its night. ASSUMED."""

USUAL_WAKE = time(6, 30)
"""Local time before which it still is night, where not known. ASSUMED, as in the description."""

MARK_WORDS = {
    Mark.ARRIVED: "arrived",
    Mark.BED: "bed",
    Mark.WOKE: "woke",
    Mark.LEFT: "left",
}


def sentence(entry: Entry, setting: Setting, *, now: datetime) -> str:
    """The whole record in one sentence, its time first.

    "21:41 out −11 °C, in 18.0 °C, 4 M 6.4 kg, air 1/4 open (3/4 closed)" for this evening;
    "Fri 16 Jan 23:00, night of Fri 16: out −9 °C" for another day's.

    Args:
        entry: The record.
        setting: The owner's units and zone.
        now: The clock, to tell this evening from others.
    """
    when = when_text(entry.at, zone=setting.zone, now=now, wake=setting.usual_wake)
    if entry.alarms_tested and said(entry, setting) == ALARMS_SAID:
        return f"Alarms tested {when.removesuffix(':')}, smoke and CO both sounded"
    return f"{when} {said(entry, setting) or 'nothing recorded'}"


ALARMS_SAID = "alarms tested"


def sentence_of(entries: tuple[Entry, ...], setting: Setting, *, now: datetime) -> str:
    """All records of one line in one sentence; they share their time."""
    if not entries:
        return ""
    rest = [said(entry, setting) for entry in entries[1:]]
    return ", ".join([sentence(entries[0], setting, now=now), *rest])


def said(entry: Entry, setting: Setting) -> str:
    """The record without its time: the line of a list."""
    return ", ".join(
        part
        for parts in (_read(entry, setting), _done(entry, setting), _told(entry, setting), _noted(entry))
        for part in parts
    )


def when_text(at: datetime, *, zone: str, now: datetime, wake: time = USUAL_WAKE) -> str:
    """The time a record begins with, and the night it belongs to where that could be mistaken.

    Today after waking it is the clock time alone; in the small hours the evening that names the night is
    said too, unless it is happening now; another day's record has its date.
    """
    here, there = local_time(now, zone), local_time(at, zone)
    clock = time_text(at, zone=zone) + which_text(at, zone=zone)
    same_day = here.date() == there.date()
    night = night_of(at, zone)
    small_hours = there.time() < wake
    if same_day and (not small_hours or abs(now - at) < HAPPENING):
        return clock
    by_night = small_hours or there.hour >= EVENING_HOUR
    of = f", night of {WEEKDAYS[night.weekday()]} {night.day}" if by_night else ""
    if same_day:
        day = WEEKDAYS[there.weekday()]
    else:
        day = day_text(at, zone=zone, year=abs(now - at) > YEAR_AFTER)
    return f"{day} {clock}{of}:"


def which_text(at: datetime, *, zone: str) -> str:
    """Which of two it was, where the clock was put back over a time: " (second)"; else nothing."""
    local = local_time(at, zone)
    came = local_instants(local.date(), local.replace(fold=0, tzinfo=None).time(), zone)
    if len(came) < 2:
        return ""
    return " (first)" if at == came[0] else " (second)"


def air_caution(entry: Entry, setting: Setting) -> str | None:
    """What stands after a record whose air is below the cleanest low setting; a fact and a limit."""
    floor = setting.clean_floor_open_pct
    if floor is None or entry.air_open_pct is None or entry.air_open_pct >= floor - 0.5 or entry.fire_out:
        return None
    return cautions.LEAST_AIR.sentence.format(floor=air_text(floor))


def line_cautions(entry: Entry, setting: Setting) -> tuple[str, ...]:
    """What stands after a record that tells of something dangerous: too little air, a damper closed, a load
    over the limit, ash taken out, a note of an alarm or of smoke. What was done is recorded all the same."""
    said = [air_caution(entry, setting)]
    damper, limit = entry.flue_damper_open_pct, setting.max_load_kg
    if damper is not None and damper < 99.5 and not entry.fire_out:
        said.append(cautions.DAMPER_TYPED.sentence)
    if limit is not None and entry.load_kg is not None and entry.load_kg > limit:
        load, most = (mass_text(kg, units=setting.units) for kg in (entry.load_kg, limit))
        said.append(cautions.LIMIT_TYPED.sentence.format(load=load, limit=most))
    if entry.note and cautions.tells_of_danger(entry.note):
        said.append(cautions.DANGER_TYPED.sentence)
    if entry.matter is not None:
        from logbook.matters import Ash, AshAct  # noqa: PLC0415 - most records tell none

        if isinstance(entry.matter, Ash) and entry.matter.act is AshAct.TAKEN_OUT:
            said.append(cautions.BUCKET.sentence)
    return tuple(text for text in said if text)


def _read(entry: Entry, setting: Setting) -> Iterator[str]:
    """What was read off: outside, inside, the lows and highs."""
    units = setting.units
    if entry.outdoor_c is not None:
        yield f"out {reading_text(entry.outdoor_c, units=units, decimals=0)}"
    if entry.indoor_c is not None:
        where = f"in {entry.place}" if entry.place else "in"
        decimals = 0 if units.temperature == "F" else 1
        yield f"{where} {reading_text(entry.indoor_c, units=units, decimals=decimals)}"
    for name, value in (("low", entry.low_c), ("high", entry.high_c)):
        if value is not None:
            yield f"{name} {reading_text(value, units=units, decimals=0)}"
    if entry.reset_at is not None:
        at, zone = entry.reset_at, setting.zone
        yield f"since {day_text(at, zone=zone)} {time_text(at, zone=zone)}"
    if entry.forecast_low_c is not None:
        yield f"forecast low {reading_text(entry.forecast_low_c, units=units, decimals=0)}"
    if entry.rh_pct is not None:
        yield f"humidity {number_text(entry.rh_pct)} %"
    if entry.wind is not None:
        yield f"wind {entry.wind}"


def _done(entry: Entry, setting: Setting) -> Iterator[str]:
    """What was done: wood, air, damper, window, and what glows."""
    wood = wood_text(entry, setting)
    if wood:
        yield wood
    if entry.kindling:
        yield "kindling"
    if entry.moisture_pct is not None:
        yield f"moisture {number_text(entry.moisture_pct)} % {entry.moisture_basis or ''}".rstrip()
    if entry.air_open_pct is not None:
        yield f"air {air_text(entry.air_open_pct)}"
    if entry.flue_damper_open_pct is not None:
        yield f"damper {air_text(entry.flue_damper_open_pct)}"
    if entry.window is not None:
        yield f"window {entry.window}"
    if entry.coals is not None:
        yield f"coals {entry.coals}"
    if entry.fire_out:
        yield "fire out"
    if entry.other_heat_w is not None:
        yield "heater off" if entry.other_heat_w == 0.0 else f"heater {number_text(entry.other_heat_w)} W"


def _told(entry: Entry, setting: Setting) -> Iterator[str]:
    """What it says besides the night."""
    if entry.matter is not None:
        from logbook.wording.matters import matter_text  # noqa: PLC0415 - most records tell none

        yield matter_text(entry.matter, setting, at=entry.at)


def wood_text(entry: Entry, setting: Setting) -> str:
    """The wood of a record: "4 M 6.4 kg birch"; empty when none went in."""
    parts = []
    if entry.pieces:
        parts.append(pieces_text(entry.pieces))
    if entry.load_kg is not None:
        parts.append(mass_text(entry.load_kg, units=setting.units))
    if entry.species:
        parts.append(entry.species)
    return " ".join(parts)


def _noted(entry: Entry) -> Iterator[str]:
    """Marks, tests, changes and the note."""
    if entry.mark is not None:
        yield MARK_WORDS[entry.mark]
    if entry.alarms_tested:
        yield ALARMS_SAID
    if entry.change:
        yield f"change: {entry.change}"
    if entry.note:
        yield f"note {entry.note}"
