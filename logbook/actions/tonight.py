"""Tonight's load: the question put together from log and request, the answer put into words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

from logbook.actions.reckoning import Cache, Known, NightForecast, forecast_of
from logbook.care.alarms import alarm_dates, alarm_tests
from logbook.heat.cautions import TOO_HOT_C, Facts, Scope, applying
from logbook.heat.evening import advise, try_plan
from logbook.heat.night import Evening, current_stay
from logbook.heat.outcome import (
    WOOD,
    Outcome,
    Question,
    open_minutes,
    said_out,
    written_air_pct,
    written_damper_pct,
)
from logbook.heat.past_nights import night_span, past_nights
from logbook.heat.wood import pile_dry_share
from logbook.records import Coals, Entry, Mark, Window
from logbook.results.lists import CO_ALARM_C
from logbook.results.night import Choice, TonightAnswer
from logbook.setting import Setting, night_of
from logbook.wording import air_text, mass_text, number_text, temperature_text, time_text
from logbook.wording.amounts import bundle_text, day_text
from logbook.wording.answers import advice_text, outcome_text, reasons_text
from logbook.wording.doubts import doubts_text

BED_MARK_WITHIN = timedelta(hours=4)
"""A bed mark this long before the usual hour, or any later one, is tonight's bed. ASSUMED."""

ARRIVAL_BEFORE_BED = timedelta(hours=5)
"""With nothing on record for a day, people are taken to arrive this long before bed. ASSUMED."""

WIDE_OPEN_PCT, SOON = 75.0, timedelta(minutes=30)
"""Air this far open over a fire is turned down before long: a plan that leaves it longer says so. ASSUMED."""

STILL_BURNS = timedelta(hours=3)
"""Wood put in this short a time ago is cautioned about as burning, even where the reckoning has it out or
never caught. ASSUMED, on the safe side."""


@dataclass(frozen=True, kw_only=True)
class Request:
    """What was asked, beyond the log: None and empty where the description or the log decides.

    ``plan`` makes the steps to try from the time they begin (now, or the arrival); without it choices are
    ranked.
    """

    as_of: datetime
    night_low_c: float | None = None
    outdoor: tuple[tuple[datetime, float], ...] = ()
    bed: time | None = None
    wake: time | None = None
    band_c: tuple[float, float] | None = None
    gets_up: bool | None = None
    plan: Callable[[datetime], Sequence[Entry]] | None = None


@dataclass(frozen=True, kw_only=True)
class Answered:
    """The answer with what a chart needs beside it; ``outcomes`` are parallel to the choices."""

    answer: TonightAnswer
    outcomes: tuple[Outcome, ...]
    outdoor_c: tuple[tuple[datetime, float], ...]
    from_description_only: bool
    night: Evening


def tonight(told: Known, request: Request, *, cache: Cache | None = None) -> Answered:
    """Ranked choices for the night, or the outcome of exactly the plan given."""
    return answer_with(forecast_of(told, cache=cache), request)


def answer_with(forecast: NightForecast, request: Request) -> Answered:
    """The same with a forecast already at hand."""
    told = forecast.told
    question, arriving = _question(forecast, request)
    if request.plan is None:
        outcomes = advise(question)
    else:
        outcomes = (try_plan(question, tuple(request.plan(question.night.as_of))),)
    first = outcomes[0]
    told_assumed = _assumed(told, question, forecast, first, arriving=arriving, ranked=request.plan is None)
    setting = told.setting
    base = TonightAnswer(
        as_of=request.as_of,
        bed=question.night.bed,
        wake=question.night.wake,
        band_c=question.band_c,
        choices=tuple(
            _with_air_till_then(
                worded(o, setting=setting, as_of=request.as_of), o, written_air_pct(question.entries), setting
            )
            for o in outcomes
        ),
        advice="",
        cautions=_general_cautions(forecast, outcomes),
        assumed=told_assumed,
        before_advice=len(applying(_alarms_of(forecast), scopes=frozenset({Scope.FIRST}))),
        wood_burns=first.burning[0] == WOOD and not said_out(question.entries),
    )
    low = min(first.outdoor_c, default=None)
    if request.plan is None:
        said = advice_text(base, setting=setting, outdoor_low_c=low)
    else:
        said = f"As given: {outcome_text(base.choices[0], base, setting=setting)}"
    return Answered(
        answer=replace(base, advice=said),
        outcomes=outcomes,
        outdoor_c=tuple(zip(first.choice.hours, first.outdoor_c, strict=True)),
        from_description_only=not forecast.posterior.readings,
        night=question.night,
    )


def worded(out: Outcome, *, setting: Setting, as_of: datetime) -> Choice:
    """A choice with its reasons and cautions in words, its pieces as the owner says them."""
    loads = tuple(
        replace(load, pieces=bundle_text(load.pieces, load.kg, units=setting.units))
        for load in out.choice.loads
    )
    choice = replace(out.choice, loads=loads)
    return replace(
        choice,
        reasons=reasons_text(out.why, setting=setting, as_of=as_of),
        cautions=said_cautions(out.facts, frozenset({Scope.CHOICE}), setting=setting),
    )


def _with_air_till_then(choice: Choice, out: Outcome, stands: float | None, setting: Setting) -> Choice:
    """The choice, and that until its first load the air stays wide open, where a fire burns under it."""
    first = next((load.at for load in choice.loads), None)
    wide = stands is not None and stands >= WIDE_OPEN_PCT > choice.air_open_pct
    if first is None or not wide or not out.burning[0] or first - choice.hours[0] < SOON:
        return choice
    until = time_text(first, zone=setting.zone)
    said = f"Reckoned with the air {air_text(stands or 0.0)}, as it stands, until {until}."
    return replace(choice, reasons=(*choice.reasons, said))


def said_cautions(facts: Facts, scopes: frozenset[Scope], *, setting: Setting) -> tuple[str, ...]:
    """The rules that apply, their numbers filled in, in the owner's units."""
    units = setting.units
    numbers = {
        "floor": air_text(facts.clean_floor_pct),
        "air": air_text(facts.least_air_pct or 0.0),
        "damper": air_text(facts.least_damper_pct or 0.0),
        "air_stands": air_text(facts.standing_air_pct or 0.0),
        "damper_stands": air_text(facts.standing_damper_pct or 0.0),
        "load": mass_text(facts.biggest_load_kg, units=units),
        "limit": mass_text(min(facts.max_load_kg, 1e6), units=units),
        "tried": mass_text(facts.tried_cap_kg or 0.0, units=units),
        "over": mass_text(max(facts.overfilled_kg, 0.0), units=units),
        "hot": temperature_text(TOO_HOT_C, units=units, decimals=0),
        "minutes": number_text(facts.open_minutes),
        "loaded_at": time_text(facts.fresh_load_at, zone=setting.zone) if facts.fresh_load_at else "",
        "nest_day": day_text(facts.nest_seen, zone=setting.zone) if facts.nest_seen else "",
    }
    return tuple(rule.sentence.format(**numbers) for rule in applying(facts, scopes=scopes))


def alarm_facts(told: Known) -> Facts:
    """The alarms as they stand: tested in this stay, and not past their dates."""
    alarms = alarm_dates(told.description, told.matters, as_of=told.as_of)
    today = told.as_of.astimezone(told.zone).date()
    stay = current_stay(told.recent, as_of=told.as_of)
    here = () if stay is None else [e for e in told.entries if e.at >= stay.start]
    tests = alarm_tests(here, rated_from_c=CO_ALARM_C[0])
    return Facts(
        alarms_tested=tests.tested_at is not None,
        alarms_tested_cold=tests.again,
        smoke_expired=alarms.smoke is not None and alarms.smoke <= today,
        co_expired=alarms.co is not None and alarms.co <= today,
    )


def standing_cautions(told: Known, facts: Facts, *, alarms: bool = True) -> tuple[str, ...]:
    """What is said with an answer as a whole: the alarms first, then a nest in the cap, then the rest."""
    scopes = frozenset({Scope.FIRST, Scope.ANSWER} if alarms else {Scope.ANSWER})
    ordered = sorted(told.entries, key=lambda e: e.at)
    stands = replace(
        facts,
        nest_seen=nest_seen(told),
        standing_air_pct=written_air_pct(ordered),
        standing_damper_pct=written_damper_pct(ordered),
    )
    return said_cautions(stands, scopes, setting=told.setting)


def nest_seen(told: Known) -> datetime | None:
    """When a nest that still stands in the cap of the flue was last seen; None without one."""
    if not told.matters:
        return None
    from logbook.care.list_conditions import nest_since  # noqa: PLC0415 - most first screens need no matters
    from logbook.house import House, Told  # noqa: PLC0415 - likewise

    matters = sorted(told.matters, key=lambda e: e.at)
    house = House(
        as_of=told.as_of,
        setting=told.setting,
        description=told.description,
        told=tuple(Told(at=e.at, matter=e.matter) for e in matters if e.at <= told.as_of),
    )
    return nest_since(house)


def night_of_request(told: Known, request: Request) -> tuple[datetime, datetime]:
    """Bed and waking of the night asked about; a bed mark already made counts before the usual hour."""
    comfort = told.description.comfort
    bed, wake = night_span(
        request.as_of, bed=request.bed or comfort.bed, wake=request.wake or comfort.wake, zone=told.zone
    )
    if request.bed is None:
        marks = [
            e.at
            for e in told.entries
            if e.mark is Mark.BED and bed - BED_MARK_WITHIN <= e.at <= request.as_of
        ]
        bed = marks[-1] if marks else bed
    return bed, wake


def said_low_c(told: Known, request: Request) -> float | None:
    """The night's forecast low: as asked, else the newest that was logged or typed as that day's weather."""
    if request.night_low_c is not None:
        return request.night_low_c
    return low_said(told, at=request.as_of, bed=night_of_request(told, request)[0])


def low_said(told: Known, *, at: datetime, bed: datetime) -> float | None:
    """The low said by then for the night of a bed: logged within a day, or typed for the day it follows."""
    logged = [(e.at, e.forecast_low_c) for e in told.entries if e.forecast_low_c is not None]
    if not logged and not told.weather:
        return None
    from logbook.care.weather_by_hand import newest_low_c  # noqa: PLC0415 - many evenings need none

    return newest_low_c(logged, told.weather, at=at, night=night_of(bed, told.setting.zone))


def _question(forecast: NightForecast, request: Request) -> tuple[Question, bool]:
    told = forecast.told
    comfort = told.description.comfort
    bed, wake = night_of_request(told, request)
    arriving = forecast.once(
        f"arriving at {request.as_of}", lambda: current_stay(told.recent, as_of=request.as_of) is None
    )
    begins = request.as_of
    if arriving:
        begins = max(request.as_of, bed - ARRIVAL_BEFORE_BED)
    night = Evening(
        as_of=begins,
        bed=bed,
        wake=wake,
        night_low_c=said_low_c(told, request),
        outdoor=request.outdoor,
    )
    ordered = forecast.once("ordered", lambda: tuple(sorted(told.entries, key=lambda e: e.at)))
    return Question(
        night=night,
        band_c=request.band_c or comfort.band_c,
        gets_up=comfort.gets_up if request.gets_up is None else request.gets_up,
        descriptions=told.descriptions,
        entries=ordered,
        nights=forecast.once(
            f"nights until {request.as_of}",
            lambda: past_nights(ordered, comfort=comfort, zone=told.zone, until=request.as_of),
        ),
        forecast=forecast,
        flue_blocked=nest_seen(told) is not None,
    ), arriving


def _alarms_of(forecast: NightForecast) -> Facts:
    return forecast.once("alarms", lambda: alarm_facts(forecast.told))


def _general_cautions(forecast: NightForecast, outcomes: Sequence[Outcome]) -> tuple[str, ...]:
    told = forecast.told
    facts = general_facts(
        told,
        _alarms_of(forecast),
        burns=any(o.facts.burns for o in outcomes),
        burns_now=any(o.facts.burns_now for o in outcomes),
    )
    return standing_cautions(told, replace(facts, floor_assumed=told.description.stove.clean_floor_assumed))


def wood_put_in(told: Known) -> bool:
    """Whether wood was written down within ``STILL_BURNS`` and nothing since says that all is out."""
    rows = [e for e in told.entries if told.as_of - STILL_BURNS <= e.at <= told.as_of]
    last = max((e.at for e in rows if e.load_kg), default=None)
    return last is not None and not any(
        e.at >= last and not e.load_kg and (e.fire_out or e.coals is Coals.NONE) for e in rows
    )


def fresh_load(told: Known) -> Entry | None:
    """The load that went in so short a time ago that it hardly burns well, unless its air was set since."""
    rows = [e for e in sorted(told.entries, key=lambda e: e.at) if e.at <= told.as_of]
    n = next((n for n in reversed(range(len(rows))) if rows[n].load_kg), None)
    if n is None or any(e.air_open_pct is not None or e.fire_out for e in rows[n + 1 :]):
        return None
    minutes = open_minutes(told.description, kindling=rows[n].kindling)
    return rows[n] if told.as_of - rows[n].at < timedelta(minutes=minutes) else None


def window_now(told: Known) -> Window:
    """The window as it stands in this stay, by the log; shut where nobody is there or nothing was written."""
    stay = current_stay(told.recent, as_of=told.as_of)
    rows = [] if stay is None else [e for e in told.entries if stay.start <= e.at <= told.as_of]
    return next((e.window for e in sorted(rows, key=lambda e: e.at)[::-1] if e.window), Window.SHUT)


def window_taken(told: Known) -> tuple[str, ...]:
    """That a window is to be shut first, where it stands otherwise by the log."""
    stands = window_now(told)
    if stands is Window.SHUT:
        return ()
    said = "where nothing is said of it, it is taken as shut from now on"
    return (f"The window is {stands} by the log: {said}.",)


def general_facts(told: Known, alarms: Facts, *, burns: bool, burns_now: bool) -> Facts:
    """What the rules of an answer as a whole look at; the floor is said to be assumed only over a fire."""
    description = told.description
    put_in = wood_put_in(told)  # whatever the reckoning makes of it
    burns, burns_now = burns or put_in, burns_now or put_in
    fresh = fresh_load(told)
    return replace(
        alarms,
        floor_assumed=description.stove.clean_floor_assumed and burns,
        clean_floor_pct=description.stove.clean_floor_open_pct,
        moisture_wet_pct=100.0 * (1.0 - pile_dry_share(description.wood)),
        burns=burns,
        burns_now=burns_now,
        fresh_load_at=fresh.at if fresh else None,
        open_minutes=open_minutes(description, kindling=fresh is not None and fresh.kindling),
    )


def fit_doubts(forecast: NightForecast) -> tuple[str, ...]:
    """What is to be said of readings that don't fit."""
    found = forecast.posterior
    return doubts_text(
        aside=found.aside,
        twice=found.twice,
        copied=found.copied,
        stays=found.stays,
        widened=found.widened,
        doubt=found.doubt,
        zone=forecast.told.setting.zone,
    )


def _assumed(
    told: Known, question: Question, forecast: NightForecast, first: Outcome, *, arriving: bool, ranked: bool
) -> tuple[str, ...]:
    """What the answer takes for granted, a sentence each."""
    description, zone = told.description, told.setting.zone
    said = []
    if not forecast.posterior.readings and not forecast.posterior.set_aside:
        said.append("From the description alone, no reading yet: the ranges are wide.")
    if arriving:
        at = time_text(question.night.as_of, zone=zone)
        said.append(f"Nothing was written in the last 24 h: taken as arriving at {at} to a cold stove.")
    if first.outdoor_guessed:
        said.append(
            "Tonight's low is guessed from the last readings and the time of year. Type  tonight -13  in the "
            "log, or give --night-low, if you know it."
        )
    if first.choice.window is Window.SHUT or ranked:
        said += window_taken(told)
    if description.site.timezone_assumed:
        said.append(f"Time zone {description.site.timezone}: this machine's (assumed).")
    if description.wood.moisture_assumed:
        said.append(f"Wood at {number_text(description.wood.moisture_pct)} % moisture (assumed).")
    said += fit_doubts(forecast)
    return tuple(said)
