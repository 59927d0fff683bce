"""The night's answers for the app: with their sentences, and what a chart needs beside them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import groupby

from logbook.actions.nights import Progress, ToldNight, answer_of, score, told_nights
from logbook.actions.reckoning import Cache, Known, NightForecast
from logbook.actions.tonight import Answered, Request, answer_with, window_now
from logbook.actions.works import drift_of
from logbook.heat.night import Evening as Night
from logbook.heat.night import what_burns
from logbook.heat.outcome import Outcome
from logbook.heat.past_nights import PastNight, past_nights
from logbook.heat.weather import STEP
from logbook.records import Entry, Window
from logbook.results.app import Ahead, Burning, Evening, Expect, NightRow, Track, Tried
from logbook.results.night import Choice, Range
from logbook.setting import Setting
from logbook.wording import range_text, temperature_text, time_text
from logbook.wording.amounts import bundle_text
from logbook.wording.answers import (
    advice_short_text,
    last_night_text,
    score_text,
    verdict_text,
)
from logbook.wording.works import drift_short_text

SHORT, LONG = 71, 111
"""Characters a row of words has on a small and on a large window."""

STILL_RISING = timedelta(minutes=20)
"""A likely peak sooner than this is no peak to tell: the room is at it. ASSUMED: a step and a little."""

LAST_NIGHT_WITHIN = timedelta(hours=12)
"""How long after waking last night's score is still told. ASSUMED: until the next evening."""

COALS, WOOD = 1, 2
"""What ``Outcome.burning`` says while something burns."""


def evening(forecast: NightForecast) -> Evening:
    """The ranked choices with what the chart needs."""
    got = answer_with(forecast, Request(as_of=forecast.told.as_of))
    return Evening(
        answer=got.answer,
        ahead=tuple(ahead_of(o) for o in got.outcomes),
        lines=tuple(line_for(c) for c in got.answer.choices),
        short=advice_short_text(got.answer, setting=forecast.told.setting),
    )


def tried(forecast: NightForecast, plan: Callable[[datetime], Sequence[Entry]]) -> Tried:
    """What comes of a plan."""
    got = answer_with(forecast, Request(as_of=forecast.told.as_of, plan=plan))
    answer = got.answer
    return Tried(choice=answer.choices[0], ahead=ahead_of(got.outcomes[0]), cautions=answer.cautions)


def expect(forecast: NightForecast) -> Expect:
    """What follows if nothing more goes in, and nobody touches the window."""
    stands = window_now(forecast.told)
    as_it_is = () if stands is Window.SHUT else (Entry(at=forecast.told.as_of, window=stands),)
    got = answer_with(forecast, Request(as_of=forecast.told.as_of, plan=lambda _: as_it_is))
    answer, choice = got.answer, got.answer.choices[0]
    short, long = _expect_texts(got, setting=forecast.told.setting)
    return Expect(
        as_of=answer.as_of,
        bed=answer.bed,
        wake=answer.wake,
        band_c=answer.band_c,
        choice=choice,
        short=short,
        long=long,
        ahead=ahead_of(got.outcomes[0]),
        burned=burned(forecast, got.night, glows=got.outcomes[0].burning[0] > 0),
    )


def burned(forecast: NightForecast, night: Night, *, glows: bool) -> tuple[Burning, ...]:
    """What burned in this stay up to now, by the likeliest stove and the loads written.

    Args:
        forecast: What is known and learned.
        night: The night asked about.
        glows: Whether something may glow now: then it has glowed since the likeliest stove had it out.
    """
    base = forecast.base(night, rough=True)
    fire = base.mode_sim.burn
    times, states = [], []
    for step in range(base.now + 1 if base.now else 0):
        at = min(step, len(fire.wood_kg) - 1)
        times.append(base.scenario.start + step * STEP)
        states.append(int(what_burns(fire.wood_kg[at, 0, 0], fire.char_kg[at, 0, 0])))
    last = max((n for n, state in enumerate(states) if state), default=len(states))
    if glows:
        states[last + 1 :] = [COALS] * len(states[last + 1 :])
    return burning(times, states)


def last_night(told: Known, *, cache: Cache | None) -> str:
    """What was said for last night and what came, when somebody read it on waking; else nothing."""
    lived = past_nights(
        tuple(sorted(told.entries, key=lambda e: e.at)),
        comfort=told.description.comfort,
        zone=told.zone,
        until=told.as_of,
    )
    if not lived or told.as_of - lived[-1].wake > LAST_NIGHT_WITHIN or lived[-1].woke_c is None:
        return ""
    found = score(told.before(lived[-1].bed), lived[-1], cache=cache)
    return last_night_text(found, units=told.setting.units)


def track(
    told: Known,
    *,
    cache: Cache | None,
    progress: Progress,
    so_far: Callable[[Track], None] = lambda some: None,
) -> Track:
    """The track record, the newest night first; ``so_far`` gets it as it grows."""
    lived = told_nights(
        told,
        cache=cache,
        progress=progress,
        so_far=lambda done, of: so_far(_track(told, done, missing=of - len(done))),
    )
    drifted = drift_short_text(drift_of(answer_of(tuple(t.score for t in lived)), told), setting=told.setting)
    whole = _track(told, lived)
    return replace(whole, score=(*drifted, *whole.score))


def _track(told: Known, lived: Sequence[ToldNight], *, missing: int = 0) -> Track:
    setting = told.setting
    score = score_text(answer_of(tuple(t.score for t in lived)), units=setting.units)
    if missing:
        more = "1 more night is" if missing == 1 else f"{missing} more nights are"
        score = (f"{more} still being reckoned.", *score)
    return Track(
        rows=tuple(_night_row(t, setting=setting) for t in reversed(lived)),
        score=tuple(score),
        band_c=told.description.comfort.band_c,
        missing=missing,
    )


def _night_row(lived: ToldNight, *, setting: Setting) -> NightRow:
    score, units = lived.score, setting.units
    said = f"Said {range_text(score.predicted_at_wake_c, units=units)}: {verdict_text(score, units=units)}."
    times = [f.at for f in lived.foreseen]
    return NightRow(
        score=score,
        wood=_wood(lived.night, setting=setting),
        notes=(said, *_notes(lived.night)),
        outdoor_low_c=lived.night.outdoor_low_c,
        foreseen=tuple((f.at, f.inside_c.p05, f.inside_c.p50, f.inside_c.p95) for f in lived.foreseen),
        burning=burning(times, [f.fire for f in lived.foreseen]),
    )


def ahead_of(out: Outcome) -> Ahead:
    """Outdoors and what burns when, for the chart."""
    hours = out.choice.hours
    return Ahead(
        outside_c=tuple(zip(hours, out.outdoor_c, strict=True)),
        burning=burning(hours, out.burning),
    )


def burning(hours: Sequence[datetime], states: Sequence[int]) -> tuple[Burning, ...]:
    """Stretches in which wood burns, or only coals glow."""
    found = []
    for state, stretch in groupby(range(len(hours)), key=lambda i: states[i]):
        at = list(stretch)
        if state in (COALS, WOOD):
            end = min(at[-1] + 1, len(hours) - 1)
            found.append(Burning(hours[at[0]], hours[end], coals_only=state == COALS))
    return tuple(found)


def line_for(choice: Choice) -> str:
    """What a choice puts into the writing line: its first load; empty for no fire."""
    if not choice.loads:
        return ""
    first = choice.loads[0]
    window = "" if choice.window is Window.SHUT else f" window {choice.window}"
    return f"{first.pieces} air {first.air_open_pct:.0f}% open{window}"


def _expect_texts(got: Answered, *, setting: Setting) -> tuple[str, str]:
    answer, choice, units = got.answer, got.answer.choices[0], setting.units
    wake_at = time_text(answer.wake, zone=setting.zone)
    woke = range_text(choice.indoor_at_wake_c, units=units, likely=False)
    top = max(range(len(choice.hours)), key=lambda n: choice.indoor_p50_c[n])
    likely = temperature_text(choice.indoor_at_wake_c.p50, units=units, decimals=0)
    floor_c = answer.band_c[0]
    below = next((at for at, c in _after(choice, top) if c < floor_c), None)
    when = ""
    if below is not None and choice.indoor_p50_c[top] >= floor_c:
        floor = temperature_text(floor_c, units=units, decimals=0)
        when = f"below {floor} from {time_text(below, zone=setting.zone)}, "
    window = "" if choice.window is Window.SHUT else f", window {choice.window}"
    lead = f"If nothing more goes in{window}: "
    if choice.hours[top] - answer.as_of < STILL_RISING:  # the room is as warm now as it will be
        rest = f"cooling, {when}{woke} at {wake_at}."
        long = f"{lead}cooling from now on, {when}{woke} (likely {likely}) at {wake_at}."
    else:
        found = Range(choice.indoor_p05_c[top], choice.indoor_p50_c[top], choice.indoor_p95_c[top])
        peak = range_text(found, units=units, likely=False)
        near = time_text(choice.hours[top], zone=setting.zone)
        rest = f"peak {peak} near {near}, {woke} at {wake_at}."
        long = f"{lead}peak {peak} near {near}, {when}{woke} (likely {likely}) at {wake_at}."
    few = "Nothing more" if choice.window is Window.SHUT else f"Window {choice.window}"
    short = _fitting(SHORT, lead + rest, f"Nothing more{window}: {rest}", f"{few}: {rest}")
    return short, _fitting(LONG, long, lead + rest)


def _after(choice: Choice, first: int) -> list[tuple[datetime, float]]:
    """The likely course from one of its times on."""
    return list(zip(choice.hours[first:], choice.indoor_p50_c[first:], strict=True))


def _fitting(most: int, *sayings: str) -> str:
    """The first saying that fits, else the last."""
    return next((said for said in sayings if len(said) <= most), sayings[-1])


def _wood(night: PastNight, *, setting: Setting) -> str:
    if not night.load_kg:
        return "no wood"
    return bundle_text(night.pieces, night.load_kg, units=setting.units)


def _notes(night: PastNight) -> tuple[str, ...]:
    found = []
    if night.inferred:
        found.append("Bed and waking were not marked: inferred.")
    if night.loads_after:
        found.append("Wood went in again in the night; the range was for the evening's plan.")
    if night.window is not Window.SHUT:
        found.append(f"Window {night.window}.")
    return tuple(found)
