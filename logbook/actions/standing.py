"""How things stand: the head rows, what is pending, what was measured and done. Quick, no model."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median
from zoneinfo import ZoneInfo

from logbook.clock_doubt import Doubt, doubt_of, doubt_text
from logbook.heat.stay_rows import rows_by_stay
from logbook.records import MAIN_PLACE, Coals, Description, Entry, Window
from logbook.results.first_frame import Head, Past, Pending
from logbook.setting import Setting
from logbook.wording import air_text, day_text, temperature_text, time_text
from logbook.wording.amounts import bundle_text

STAY_OVER = timedelta(hours=24)
"""A stay whose newest line is older than this is over. The contract's figure for advice."""

WIDE_OPEN_PCT = 45.0
"""Air recorded with a load at or above this still waits to be turned down, per cent open. ASSUMED."""

TURN_DOWN_WITHIN = timedelta(hours=3)
"""A load this long ago is burning down: nothing is asked about its air any more. ASSUMED."""

MAY_BE_TOO_COLD_C = 10.0
"""Below this in a stay its alarm test is looked at more closely, °C: well above what alarms are rated for."""

SKIPPED = "turn-down skipped"
"""The note that says an owner left the air as it was on purpose."""


def stay_start(entries: Sequence[Entry], *, now: datetime) -> datetime | None:
    """When the stay going on began; None when nobody is there."""
    told, _ = rows_by_stay(entries, until=now)
    if not told or now - told[-1][-1].at > STAY_OVER:
        return None
    return told[-1][0].at


def head(
    entries: Sequence[Entry],
    description: Description | None,
    *,
    setting: Setting,
    now: datetime,
    clock: datetime | None = None,
    matters: Sequence[Entry] | None = (),
    overdue: Sequence[Pending] = (),
) -> Head:
    """The two top rows and what is pending.

    Args:
        entries: The recent entries, any order.
        description: The one in force, if any.
        setting: Units and zone.
        now: The time it is taken to be.
        clock: What the computer says; None where ``now`` is a time asked for.
        matters: The entries with a matter, from the beginning of the log: ash and alarms go far back. None
            where they were not read yet: then no alarm's date is told, for a newer one may be written there.
        overdue: Upkeep that is, told when nothing more pressing stands.
    """
    ordered = sorted(entries, key=lambda e: e.at)
    start = stay_start(entries, now=now)
    here = [e for e in ordered if start is not None and e.at >= start]
    inside = next((e for e in reversed(ordered) if e.indoor_c is not None and e.place == MAIN_PLACE), None)
    outside = next((e for e in reversed(ordered) if e.outdoor_c is not None), None)
    return Head(
        place=description.site.name if description else "",
        inside=_reading(inside.indoor_c if inside else None, inside, setting, decimals=1),
        outside=_reading(outside.outdoor_c if outside else None, outside, setting, decimals=0),
        fire=fire_text(here, setting=setting),
        pending=(
            *pending(here, ordered, description, setting=setting, now=now, clock=clock, matters=matters),
            *overdue,
        ),
        window=next((e.window for e in reversed(here) if e.window is not None), Window.SHUT),
        stay=_since(start, setting=setting, now=now) if start else "",
        stay_lines=len(here),
    )


def _since(start: datetime, *, setting: Setting, now: datetime) -> str:
    """ "since 17:55", with the day when it was not today."""
    zone = ZoneInfo(setting.zone)
    today = start.astimezone(zone).date() == now.astimezone(zone).date()
    day = "" if today else f"{day_text(start, zone=setting.zone)} "
    return f"since {day}{time_text(start, zone=setting.zone)}"


def fire_text(here: Sequence[Entry], *, setting: Setting) -> str:
    """The fire as it was left: "2 M at 20:55, air 1/2 open (1/2 closed) since then, window shut"."""
    load = next((e for e in reversed(here) if e.load_kg), None)
    out = next((e for e in reversed(here) if e.fire_out or e.coals is Coals.NONE), None)
    air = next((e for e in reversed(here) if e.air_open_pct is not None), None)
    window = next((e.window for e in reversed(here) if e.window is not None), Window.SHUT)
    parts = ["not lit yet"]
    if load is not None and load.load_kg:
        size = bundle_text(load.pieces or "", load.load_kg, units=setting.units)
        parts = [f"{size} at {time_text(load.at, zone=setting.zone)}"]
    if out is not None and out is not load and (load is None or out.at >= load.at):
        parts = [f"{'out' if out.fire_out else 'no coals'} at {time_text(out.at, zone=setting.zone)}"]
        load = None
    if air is not None and air.air_open_pct is not None:
        same = load is not None and abs(air.at - load.at) < timedelta(minutes=1)
        since = "since then" if same else f"since {time_text(air.at, zone=setting.zone)}"
        parts.append(f"air {air_text(air.air_open_pct)} {since}")
    return ", ".join([*parts, f"window {window}"])


def pending(
    here: Sequence[Entry],
    ordered: Sequence[Entry],
    description: Description | None,
    *,
    setting: Setting,
    now: datetime,
    clock: datetime | None = None,
    matters: Sequence[Entry] | None = (),
) -> tuple[Pending, ...]:
    """What waits to be done, the most pressing first."""
    newest = setting.newest_at or (ordered[-1].at if ordered else None)
    doubt = doubt_of(clock or now, newest)
    found = [
        _clock(doubt, setting=setting),
        _alarms(here, setting=setting),
        *(_expired(description, matters, now=now, zone=setting.zone) if matters is not None else ()),
        _turn_down(here, ordered, description, setting=setting, now=now),
        _ash((*ordered, *(matters or ())), setting=setting, now=now, doubted=bool(clock and doubt)),
    ]
    return tuple(p for p in found if p is not None)


def past(entries: Sequence[Entry], since: datetime, *, setting: Setting) -> Past:
    """What was measured and done since a time, in order, for the chart."""
    ordered = sorted((e for e in entries if e.at >= since), key=lambda e: e.at)
    return Past(
        inside_c=tuple(
            (e.at, e.indoor_c) for e in ordered if e.indoor_c is not None and e.place == MAIN_PLACE
        ),
        outside_c=tuple((e.at, e.outdoor_c) for e in ordered if e.outdoor_c is not None),
        loads=tuple(
            (e.at, bundle_text(e.pieces or "", e.load_kg, units=setting.units).replace(" ", ""))
            for e in ordered
            if e.load_kg
        ),
        air_open_pct=tuple((e.at, e.air_open_pct) for e in ordered if e.air_open_pct is not None),
        windows=tuple((e.at, e.window) for e in ordered if e.window is not None),
    )


def usual_turn_down(ordered: Sequence[Entry]) -> tuple[float, float] | None:
    """How long after a load this owner turns the air down, min, and to what, per cent open.

    The middle of every pair of a load and a bare air row that follows it within the hour.
    """
    minutes, settings = [], []
    for load, after in pairwise(ordered):
        wait = (after.at - load.at) / timedelta(minutes=1)
        bare = after.air_open_pct is not None and not after.load_kg
        if load.load_kg and bare and 2 <= wait <= 60 and (after.air_open_pct or 0) <= WIDE_OPEN_PCT:
            minutes.append(wait)
            settings.append(after.air_open_pct or 0.0)
    return (median(minutes), median(settings)) if minutes else None


def _reading(
    value_c: float | None, entry: Entry | None, setting: Setting, *, decimals: int
) -> tuple[str, datetime] | None:
    if value_c is None or entry is None:
        return None
    digits = 0 if setting.units.temperature == "F" else decimals
    return temperature_text(value_c, units=setting.units, decimals=digits), entry.at


def _clock(doubt: Doubt | None, *, setting: Setting) -> Pending | None:
    if doubt is None:
        return None
    said = doubt_text(doubt, zone=setting.zone)
    return Pending(name="clock", short=said, long=f"{said} Set the clock, or type the time.", first=True)


def _alarms(here: Sequence[Entry], *, setting: Setting) -> Pending | None:
    """The test at the door, and one more once it is warm where that was colder than alarms are rated for."""
    if any(e.alarms_tested for e in here):
        return _alarms_again(here, setting=setting)
    return Pending(
        name="alarms",
        short="Alarms not tested this stay. Press both test buttons. Both sounded: k",
        long="Alarms not tested this stay. Press the test button on both, smoke and CO. "
        "When both have sounded, press k.",
        key="k",
        done="alarms ok",
        first=True,
    )


def _alarms_again(here: Sequence[Entry], *, setting: Setting) -> Pending | None:
    if not any(e.indoor_c is not None and e.indoor_c < MAY_BE_TOO_COLD_C for e in here):
        return None
    from logbook.care.alarms import alarm_tests  # noqa: PLC0415 - only a cold stay pays for it
    from logbook.results.lists import CO_ALARM_C  # noqa: PLC0415 - likewise

    tests = alarm_tests(here, rated_from_c=CO_ALARM_C[0])
    if not tests.again or tests.inside_c is None:
        return None
    cold, limit = (
        temperature_text(c, units=setting.units, decimals=0) for c in (tests.inside_c, CO_ALARM_C[0])
    )
    return Pending(
        name="alarms",
        short=f"Alarms were tested at {cold}; it is warm now. Press both again: k",
        long=f"Alarms were tested at {cold}, and are commonly rated from {limit}. It is warm now: press both "
        "again, then k.",
        key="k",
        done="alarms ok",
        first=True,
    )


def _expired(
    description: Description | None, matters: Sequence[Entry], *, now: datetime, zone: str
) -> list[Pending]:
    alarms = description.alarms if description else None
    smoke, co = (alarms.smoke_expires, alarms.co_expires) if alarms else (None, None)
    if matters:
        from logbook.care.alarms import alarm_dates  # noqa: PLC0415 - only a log with matters pays for it

        dates = alarm_dates(description, matters, as_of=now)
        smoke, co = dates.smoke, dates.co
    today = now.astimezone(ZoneInfo(zone)).date()
    return [
        Pending(
            name=f"{name} alarm",
            short=f"The {name} alarm is past its date, {day:%Y-%m-%d}. Replace it.",
            long=f"The {name} alarm is past the replace-by date printed on it, {day:%Y-%m-%d}. Replace it.",
            first=True,
        )
        for name, day in (("smoke", smoke), ("CO", co))
        if day is not None and day <= today
    ]


def _ash(entries: Sequence[Entry], *, setting: Setting, now: datetime, doubted: bool) -> Pending | None:
    """The bucket that stands, or ash tipped before its time."""
    if not any(e.matter is not None or "ash" in (e.note or "").casefold() for e in entries):
        return None
    from logbook.care.ash import ash_clock  # noqa: PLC0415 - only a log with matters pays for it
    from logbook.wording.ash import ash_row_text, ash_short_text  # noqa: PLC0415 - likewise

    clock = ash_clock(entries, as_of=now, doubted=doubted)
    if clock is None:
        return None
    return Pending(
        name="ash",
        short=ash_short_text(clock, setting=setting),
        long=ash_row_text(clock, setting=setting),
    )


def _turn_down(
    here: Sequence[Entry],
    ordered: Sequence[Entry],
    description: Description | None,
    *,
    setting: Setting,
    now: datetime,
) -> Pending | None:
    """The air waits to be turned down after a load with it wide open, or without a word on it.

    Until it is time the row tells when, and to set a kitchen timer: a closed laptop can't ring.
    """
    load = next((e for e in reversed(here) if e.load_kg), None)
    if load is None or description is None or not timedelta(0) <= now - load.at <= TURN_DOWN_WITHIN:
        return None
    after = [e for e in here if e.at >= load.at and e is not load]
    settled = load.air_open_pct is not None and load.air_open_pct < WIDE_OPEN_PCT
    if settled or any(e.air_open_pct is not None or e.fire_out or e.note == SKIPPED for e in after):
        return None
    stove = description.stove
    habit = usual_turn_down(ordered)
    minutes, usual = habit or (stove.open_minutes, stove.clean_floor_open_pct)
    usual = max(usual, stove.clean_floor_open_pct)
    as_usual, due, when = (", as usual", "Usual", "You usually do it") if habit else ("", "Due", "It is due")
    waited = (now - load.at) / timedelta(minutes=1)
    if waited < minutes:
        at = time_text(load.at + timedelta(minutes=minutes), zone=setting.zone)
        short = f"Air to {air_text(usual)} at {at}. Set a timer. d done, x skip"
        long = (
            f"Air down to {air_text(usual)} at {at}{as_usual}. Set a kitchen timer: this can't ring."
            "   d done   x skip"
        )
    else:
        short = f"Air to {air_text(usual)}? {due} at {minutes:.0f} min, now {waited:.0f}. d done, x skip"
        long = (
            f"Air down to {air_text(usual)}? {when} {minutes:.0f} min after a load, now it is "
            f"{waited:.0f} min.   d done   x skip"
        )
    return Pending(
        name="turn-down",
        short=short,
        long=long,
        key="d",
        done=f"air {usual:.0f}% open",
        skippable=True,
    )
