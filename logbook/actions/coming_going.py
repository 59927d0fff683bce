"""Arriving, leaving, awake in the night, and what to write down next: from the log to an answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

import numpy as np

from logbook.actions.damp import Asked as AirAsked
from logbook.actions.damp import damp
from logbook.actions.just_left import as_if_there, found_out_for_a_day
from logbook.actions.lists import Lists, left_out_texts, open_texts
from logbook.actions.reckoning import Cache, Known, NightForecast, forecast_of
from logbook.actions.tonight import (
    Answered,
    Request,
    alarm_facts,
    fit_doubts,
    general_facts,
    nest_seen,
    night_of_request,
    said_low_c,
    standing_cautions,
    window_taken,
    worded,
)
from logbook.care.ash import ash_clock, ash_not_before, ash_waits_until
from logbook.care.list_conditions import ListFacts, coldest_told_c
from logbook.heat.arrival import HUMIDITY_READ_WITHIN, Arrival, steps_to_look, warm_up
from logbook.heat.branch import fewer
from logbook.heat.cautions import COLD_PIPES_OUTDOOR_C, TOO_HOT_C
from logbook.heat.coming_going_cautions import Scene, Where, listed
from logbook.heat.just_read import held
from logbook.heat.leaving import HORIZON_H, USUAL_LINES_C, leave_now
from logbook.heat.next_reading import Asked, write_down_next
from logbook.heat.night import Base, Evening, current_stay, fire_now, prepare_night
from logbook.heat.notebook import Said
from logbook.heat.outcome import Question, said_out
from logbook.heat.outdoors_ahead import OutdoorAhead, Told, outdoors_ahead, tonight_ahead
from logbook.heat.past_nights import at_local, past_nights
from logbook.heat.versions import stove_since
from logbook.heat.weather import STEP
from logbook.heat.woken import woken
from logbook.house import House
from logbook.records import Entry
from logbook.results.ash import AshState
from logbook.results.damp import Airing
from logbook.results.journeys import ArriveAnswer, AwakeChoice, LeaveAnswer, WokeAnswer, WriteDownNext
from logbook.results.lists import ListName
from logbook.results.night import Range
from logbook.setting import Setting
from logbook.wording import temperature_text
from logbook.wording.ash import ash_text

JUST_READ = timedelta(minutes=30)
"""An outdoor reading this fresh need not be made again. ASSUMED."""

NIGHT_READING = time(2, 0)
"""When a reading in the night would be made, local time."""

SHORTEST_NIGHT = timedelta(hours=2)
"""With waking nearer than this nothing is asked for any more. ASSUMED."""

NARROWING_EVERY = 2
"""What to write down next is reckoned with every second draw: gains are good to 3 in 100 all the same."""


@dataclass(frozen=True, kw_only=True)
class Door:
    """What is said at the door, beyond the log; None where the log or the calendar decides. °C, %."""

    outdoor_c: float | None = None
    inside_c: float | None = None
    night_low_c: float | None = None
    rh_pct: float | None = None
    droppings: bool = False
    lines_c: tuple[float, ...] = ()


def arrive(told: Known, door: Door, *, lists: Lists, cache: Cache | None = None) -> ArriveAnswer:
    """Warm-up in stages from now, with the loads that get there and the list for the door."""
    forecast = forecast_of(told, cache=cache)
    told = _with_door(told, door)
    rng = np.random.default_rng(forecast.seed)
    asked, guessed = _arrival(told, door)
    base = _base(forecast, told, rng)
    got = warm_up(base, asked, rng=rng)
    course_c = asked.outdoor.course_c
    scene = Scene(
        inside_c=got.inside_c,
        outdoor_low_c=float(course_c.min()),
        fire=fire_now(base.fire.fresh_kg + base.fire.wood_kg, base.fire.char_kg),
        loads=len(got.loads),
        chance_frost=got.chance_frost,
        chance_too_hot=got.chance_too_hot,
        water=told.description.cabin.water,
    )
    facts = ListFacts(
        inside_c=got.inside_c,
        outdoor_low_c=scene.outdoor_low_c,
        fire=scene.fire,
        fire_planned=bool(got.loads),
        lit_anew=any(load.kindling for load in got.loads),
        droppings=door.droppings,
    )
    todo = lists.answer(ListName.ARRIVING, facts)
    return ArriveAnswer(
        as_of=told.as_of,
        inside_c=got.inside_c,
        outdoor_c=float(course_c[0]),
        band_c=asked.band_c,
        loads=got.loads,
        stages=got.stages,
        peak_c=got.peak_c,
        dew_point_c=got.dew_point_c,
        no_wood=got.no_wood,
        checklist=open_texts(todo),
        cautions=(
            *_standing_cautions(told, burns=bool(got.loads) or scene.fire > 0, burns_now=scene.fire > 0),
            *caution_texts(scene, Where.ARRIVE_CAUTION, setting=told.setting),
            *_ash_standing(told),
        ),
        assumed=(
            *_assumed_at_the_door(told, forecast, guessed=guessed, rh_read=asked.rh_pct is not None),
            *left_out_texts(todo),
        ),
    )


def _arrival(told: Known, door: Door) -> tuple[Arrival, bool]:
    """What warming up is reckoned from, and whether the weather in it is guessed."""
    bed, wake = night_of_request(told, Request(as_of=told.as_of))
    outdoor, guessed = _outdoors(told, door, steps=steps_to_look(as_of=told.as_of, wake=wake))
    asked = Arrival(
        as_of=told.as_of,
        bed=bed,
        wake=wake,
        band_c=told.description.comfort.band_c,
        description=told.description,
        outdoor=outdoor,
        loads_kg=_loads_of_this_stove(told),
        airs_used_pct=[e.air_open_pct for e in _in_order(told) if e.air_open_pct is not None],
        rh_pct=_humidity_pct(told, door),
        flue_blocked=nest_seen(told) is not None,
        said_out=said_out(_in_order(told)),
    )
    return asked, guessed


def leave(told: Known, door: Door, *, lists: Lists, cache: Cache | None = None) -> LeaveAnswer:
    """Hours until the room is down to each line with no more wood, and the list for going."""
    forecast = forecast_of(told, cache=cache)
    told = _with_door(as_if_there(told), door)
    rng = np.random.default_rng(forecast.seed)
    if (
        door.night_low_c is None and door.outdoor_c is None
    ):  # it is asked of days: the coldest night told counts
        door = replace(door, night_low_c=coldest_told_c(lists.house))
    outdoor, guessed = _outdoors(told, door, steps=round(HORIZON_H * timedelta(hours=1) / STEP))
    got = leave_now(
        _base(forecast, told, rng), outdoor=outdoor, lines_c=(*USUAL_LINES_C, *door.lines_c), rng=rng
    )
    got = replace(got, fire=0) if found_out_for_a_day(told) else got
    scene = Scene(
        inside_c=got.inside_c,
        outdoor_low_c=got.outdoor_low_c,
        fire=got.fire,
        water=told.description.cabin.water,
    )
    setting = told.setting
    facts = ListFacts(
        inside_c=got.inside_c,
        # A guess that it stays above freezing takes no line off the list: the log and the month decide.
        outdoor_low_c=None if guessed and got.outdoor_low_c > 0.0 else got.outdoor_low_c,
        fire=got.fire,
        ash_not_before=ash_waits_until(told.as_of),
    )
    todo = lists.answer(ListName.LEAVING, facts)
    return LeaveAnswer(
        as_of=told.as_of,
        inside_c=got.inside_c,
        outdoor_low_c=got.outdoor_low_c,
        lines=got.lines,
        fire=("out", "coals", "wood")[got.fire],
        ash_not_before=ash_not_before(_all(told), as_of=told.as_of),
        checklist=open_texts(todo),
        cautions=(
            *caution_texts(scene, Where.LEAVE_CAUTION, setting=setting),
            *_ash_standing(told),
            *_standing_cautions(told, burns=got.fire > 0, burns_now=got.fire > 0, alarms=False),
        ),
        assumed=(
            *_assumed_at_the_door(told, forecast, guessed=guessed, rh_read=True),
            *left_out_texts(todo),
        ),
        airing=_airing(lists.house, door),
    )


def _airing(house: House, door: Door) -> Airing | None:
    """What is left to air before the room cools; None with nothing left, or without a humidity read."""
    asked = AirAsked(
        inside_c=door.inside_c, outdoor_c=door.outdoor_c, rh_pct=door.rh_pct, night_low_c=door.night_low_c
    )
    found = damp(house, asked).airing
    return found if found is not None and found.air_changes > 0.0 else None


def woke(told: Known, request: Request, *, cache: Cache | None = None) -> WokeAnswer:
    """Awake now: let it burn, open the window, reload; what each gives by morning, best first."""
    forecast = forecast_of(told, cache=cache)
    bed, wake = night_of_request(told, request)
    comfort = told.description.comfort
    now = told.as_of
    ordered = tuple(_in_order(told))
    question = Question(
        night=Evening(
            as_of=now,
            bed=min(bed, now - timedelta(hours=1)),  # judged from now on, not from an hour later
            wake=wake,
            night_low_c=said_low_c(told, request),
            outdoor=request.outdoor,
        ),
        band_c=request.band_c or comfort.band_c,
        gets_up=True,
        descriptions=told.descriptions,
        entries=ordered,
        nights=past_nights(ordered, comfort=comfort, zone=told.zone, until=now),
        forecast=forecast,
        flue_blocked=nest_seen(told) is not None,
    )
    got = woken(question)
    setting = told.setting
    choices = tuple(
        AwakeChoice(kind=kind, choice=worded(out, setting=setting, as_of=now))
        for kind, out in zip(got.kinds, got.outcomes, strict=True)
    )
    first = choices[0].choice
    return WokeAnswer(
        as_of=now,
        wake=wake,
        band_c=question.band_c,
        inside_c=Range(first.indoor_p05_c[0], first.indoor_p50_c[0], first.indoor_p95_c[0]),
        choices=choices,
        cautions=_standing_cautions(
            told,
            burns=any(o.facts.burns for o in got.outcomes),
            burns_now=any(o.facts.burns_now for o in got.outcomes),
        ),
        assumed=window_taken(told),
    )


def what_to_write_down(forecast: NightForecast, request: Request, got: Answered) -> WriteDownNext | None:
    """The observation that would narrow tonight's range most; None when the night is nearly over.

    Args:
        forecast: What is learned.
        request: What was asked.
        got: The answer to it: its first choice is taken as done.
    """
    told, night = forecast.told, got.night
    if night.wake - night.as_of < SHORTEST_NIGHT:
        return None
    base = fewer(forecast.base(night), NARROWING_EVERY)
    d = told.description
    gets_up = d.comfort.gets_up if request.gets_up is None else request.gets_up
    fresh = any(e.outdoor_c is not None and night.bed - e.at <= JUST_READ for e in told.recent)
    asked = Asked(
        plan=got.outcomes[0].plan,
        bed=night.bed,
        outdoor=tonight_ahead(base, entries=told.recent, evening=night),
        people=float(d.comfort.people),
        night_reading_at=_night_reading_at(night, told),
        outdoor_known=fresh,
        counted=bool(d.wood.pieces_kg),
        up_at_night=gets_up or night.as_of > night.bed,
        water_in=d.cabin.water == "in",
    )
    return write_down_next(base, asked, rng=np.random.default_rng(forecast.seed + 2))


def caution_texts(scene: Scene, where: Where, *, setting: Setting) -> tuple[str, ...]:
    """The cautions of one answer in sentences, their numbers in the owner's units."""
    cold, hot = (
        temperature_text(c, units=setting.units, decimals=0) for c in (COLD_PIPES_OUTDOOR_C, TOO_HOT_C)
    )
    return tuple(item.sentence.format(cold=cold, hot=hot) for item in listed(scene, where))


def _night_reading_at(night: Evening, told: Known) -> datetime:
    """02:00 of the morning that is woken to, or half way when that is past."""
    at = at_local(night.wake.astimezone(told.zone).date(), NIGHT_READING, told.zone)
    halfway = night.as_of + (night.wake - night.as_of) / 2
    return at if night.as_of + timedelta(hours=1) <= at < night.wake else halfway


def _with_door(told: Known, door: Door) -> Known:
    """The log with what is read at the door, as a row of this moment; it is not kept."""
    if door.inside_c is None and door.outdoor_c is None:
        return told
    row = Entry(at=told.as_of, indoor_c=door.inside_c, outdoor_c=door.outdoor_c)
    return replace(told, entries=(*told.entries, row))


def _base(forecast: NightForecast, told: Known, rng: np.random.Generator) -> Base:
    """The stay so far for every draw, held by what was just read in the room or at the door."""
    now = told.as_of
    base = prepare_night(
        posterior=forecast.posterior,
        descriptions=told.descriptions,
        entries=told.recent,
        evening=Evening(as_of=now, bed=now, wake=now + timedelta(hours=1)),
        rng=rng,
    )
    return held(base, rng=rng)


def _outdoors(told: Known, door: Door, *, steps: int) -> tuple[OutdoorAhead, bool]:
    """The weather ahead: as said at the door, else a logged low, else the last reading, else the calendar."""
    low = door.night_low_c
    if low is None and door.outdoor_c is None:
        low = said_low_c(told, Request(as_of=told.as_of))
    readings: Sequence[Said] = [Said(e.at, e.outdoor_c) for e in told.recent if e.outdoor_c is not None]
    return outdoors_ahead(
        Told(outdoor_c=door.outdoor_c if low is None else None, night_low_c=low),
        readings=sorted(readings, key=lambda s: s.at),
        as_of=told.as_of,
        steps=steps,
        site=told.description.site,
    )


def _humidity_pct(told: Known, door: Door) -> float | None:
    if door.rh_pct is not None:
        return door.rh_pct
    read = [
        e.rh_pct for e in told.entries if e.rh_pct is not None and told.as_of - e.at <= HUMIDITY_READ_WITHIN
    ]
    return read[-1] if read else None


def _loads_of_this_stove(told: Known) -> tuple[float, ...]:
    since = stove_since(told.descriptions, told.as_of)
    return tuple(e.load_kg for e in told.entries if e.load_kg and (since is None or e.at >= since))


def _in_order(told: Known) -> list[Entry]:
    return sorted(told.entries, key=lambda e: e.at)


def _all(told: Known) -> tuple[Entry, ...]:
    """The night's entries and those that tell of ash; one that does both is there twice, which is no harm."""
    return (*told.entries, *told.matters)


def _ash_standing(told: Known) -> tuple[str, ...]:
    """Ash that went in hot or was tipped too early; the list tells of any other bucket."""
    clock = ash_clock(_all(told), as_of=told.as_of)
    if clock is None or clock.state is AshState.WAIT_OVER:
        return ()
    if clock.fire_at is None and clock.state is AshState.WAITING:
        return ()
    return (ash_text(clock, setting=told.setting),)


def _standing_cautions(told: Known, *, burns: bool, burns_now: bool, alarms: bool = True) -> tuple[str, ...]:
    facts = general_facts(told, alarm_facts(told), burns=burns, burns_now=burns_now)
    return standing_cautions(told, facts, alarms=alarms)


def _assumed_at_the_door(
    told: Known, forecast: NightForecast, *, guessed: bool, rh_read: bool
) -> tuple[str, ...]:
    """What the answer takes for granted, a sentence each."""
    said = []
    stay = current_stay(told.recent, as_of=told.as_of)
    if stay is None or not stay.readings:
        said.append(
            "Inside is not read: taken near the temperature outside. Give --inside, or write it down."
        )
    if guessed:
        said.append(
            "The weather ahead is guessed from the last reading and the time of year. Give --night-low or "
            "--outdoor if you know it."
        )
    if not rh_read:
        said.append(
            "The room's humidity is assumed, as usual for a winter house in use; a hygrometer reading "
            "(rh 70) is better. Cooking and wet clothes add to it."
        )
    if not forecast.posterior.readings:
        said.append("From the description alone, no reading yet: the ranges are wide.")
    said += (*window_taken(told), *fit_doubts(forecast))
    return tuple(said)
