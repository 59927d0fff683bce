"""Answers in words: what to do, what it comes to, what it rests on, and how the forecasts have done."""

from __future__ import annotations

from datetime import datetime, timedelta

from logbook.records import OwnUnits, Window
from logbook.results.night import (
    Choice,
    FitAnswer,
    LikeNight,
    NightsAnswer,
    NightScore,
    PlannedLoad,
    TonightAnswer,
    Untried,
    Why,
)
from logbook.setting import Setting, night_of
from logbook.wording.amounts import (
    MONTHS,
    WEEKDAYS,
    air_text,
    bundle_text,
    chance_text,
    difference_text,
    mass_text,
    number_text,
    pieces_text,
    range_text,
    span_text,
    temperature_text,
    time_text,
)
from logbook.wording.doubts import doubts_text

HOLDS = 0.5
"""A choice that stays in the band in half of the nights is said to hold it. ASSUMED: an even chance."""

HARDLY = 0.095
"""Below this a chance is said as less than one in ten, and is no help to choose by."""

WORTH_SAYING_K = 0.3
"""A change at waking below this is not told, K: the pages show whole degrees."""

LONG_AGO = timedelta(days=183)
"""A night further back is told with its year."""

UNTRIED_WORDS = {
    Untried.NO_NIGHTS: "no night is on record yet",
    Untried.FIRST_LOAD: "a load for the night",
    Untried.BIGGER_LOAD: "a load this big",
    Untried.LESS_AIR: "so little air after a load",
    Untried.MORE_AIR: "so much air after a load",
    Untried.LOAD_IN_THE_NIGHT: "a load in the middle of the night",
    Untried.WINDOW_CRACKED: "a night with the window cracked",
    Untried.NO_FIRE: "a night with no wood near bed",
}


def load_text(load: PlannedLoad, *, units: OwnUnits) -> str:
    """One load in the owner's pieces and its mass: "1 M 1 L (4.4 kg)"; the mass alone without pieces."""
    mass = mass_text(load.kg, units=units)
    return f"{pieces_text(load.pieces)} ({mass})" if load.pieces and load.pieces != mass else mass


def do_text(choice: Choice, *, setting: Setting) -> str:
    """What a choice asks for: "1 M 1 L (4.4 kg) at 22:30, air 1/4 open (3/4 closed)"."""
    window = {Window.SHUT: "", Window.CRACKED: ", window cracked", Window.OPEN: ", window open"}
    if not choice.loads:
        return f"No more wood, air {air_text(choice.air_open_pct)}{window[choice.window]}"
    loads = [
        f"{load_text(load, units=setting.units)} at {time_text(load.at, zone=setting.zone)}"
        for load in choice.loads
    ]
    airs = {round(load.air_open_pct) for load in choice.loads} | {round(choice.air_open_pct)}
    if len(airs) > 1:
        loads = [
            f"{said} (air {air_text(load.air_open_pct)})"
            for said, load in zip(loads, choice.loads, strict=True)
        ]
        return f"{', then '.join(loads)}, in the end {air_text(choice.air_open_pct)}{window[choice.window]}"
    return f"{', then '.join(loads)}, air {air_text(choice.air_open_pct)}{window[choice.window]}"


def how_text(choice: Choice) -> str:
    """How its fires are made: "Air wide open for 12 min after loading, then down"; empty without a load."""
    if not choice.loads:
        return ""
    first = choice.loads[0]
    kindling = "Light with kindling; air" if first.kindling else "Air"
    minutes = number_text(first.open_minutes)
    return f"{kindling} wide open for about {minutes} min until it burns well, then down."


def outcome_text(choice: Choice, answer: TonightAnswer, *, setting: Setting) -> str:
    """What comes of it: waking, peak, chance of the band, wood."""
    units = setting.units
    return (
        f"At {time_text(answer.wake, zone=setting.zone)} {range_text(choice.indoor_at_wake_c, units=units)}; "
        f"peak {range_text(choice.indoor_max_c, units=units, likely=False)}; "
        f"{band_text(answer.band_c, units=units)} all night: {chance_text(choice.chance_in_band)}; "
        f"wood {mass_text(choice.wood_kg, units=units)}."
    )


def band_text(band_c: tuple[float, float], *, units: OwnUnits) -> str:
    """The wanted band: "16–22 °C"."""
    return span_text(*band_c, units=units)


def advice_text(answer: TonightAnswer, *, setting: Setting, outdoor_low_c: float | None) -> str:
    """The advice in one or two sentences; honest when nothing clean fits the band.

    ``answer.choices`` are ranked; the first is the recommended one.
    """
    first, units = answer.choices[0], setting.units
    band = band_text(answer.band_c, units=units)
    wake_at = time_text(answer.wake, zone=setting.zone)
    if not first.loads:
        return _no_fire_text(answer, first, band=band, setting=setting, outdoor_low_c=outdoor_low_c)
    do = do_text(first, setting=setting)
    if first.chance_in_band >= HOLDS:
        wake = range_text(first.indoor_at_wake_c, units=units)
        return f"{do}: {wake} at {wake_at}. {band} all night: {chance_text(first.chance_in_band)}."
    chance = chance_text(first.chance_in_band)
    held = [c for c in answer.choices[1:] if c.chance_in_band >= HOLDS and _gets_up(c, answer)]
    if held:
        return f"{do}: {band} all night {chance}. Getting up in the night would hold it: see below."
    if first.chance_in_band < HARDLY:
        wake = range_text(first.indoor_at_wake_c, units=units)
        return f"Nothing clean holds {band} all night. Nearest to it: {do}. At {wake_at} {wake}."
    return f"Nothing clean is sure to hold {band} all night. Nearest to it: {do}, {chance}."


def advice_short_text(answer: TonightAnswer, *, setting: Setting) -> str:
    """The advice where the choices stand beneath it: one row of 71 characters, no pieces and no air."""
    first, units = answer.choices[0], setting.units
    band = band_text(answer.band_c, units=units)
    wake = range_text(first.indoor_at_wake_c, units=units, likely=False)
    wake_at = time_text(answer.wake, zone=setting.zone)
    if not first.loads:
        if first.indoor_min_c.p50 >= answer.band_c[0] - 1.0:
            stays = span_text(first.indoor_min_c.p05, first.indoor_max_c.p95, units=units)
            what = "No more wood tonight:" if answer.wood_burns else "Don't burn tonight: with no fire"
            return f"{what} it stays {stays} to {wake_at}."
        what = "No more wood" if answer.wood_burns else "No clean fire"
        return f"{what} fits {band}. With none {wake} at {wake_at}."
    chance = chance_text(first.chance_in_band)
    if first.chance_in_band >= HOLDS:
        return f"The first holds {band} all night: {chance}."
    if any(c.chance_in_band >= HOLDS and _gets_up(c, answer) for c in answer.choices[1:]):
        return f"The first comes nearest to {band}; getting up would hold it."
    if first.chance_in_band < HARDLY:
        return f"Nothing clean holds {band} all night. The first comes nearest."
    return f"Nothing clean is sure to hold {band}. The first does {chance}."


def _gets_up(choice: Choice, answer: TonightAnswer) -> bool:
    """Whether a choice has wood for the middle of the night: over 35 min after bed."""
    return any(load.at > max(answer.as_of, answer.bed) + timedelta(minutes=35) for load in choice.loads)


def last_night_text(score: NightScore, *, units: OwnUnits) -> str:
    """The morning's row: "Last night: said 15–21 °C, woke to 16.8 °C: inside."; empty when nobody read it."""
    if score.observed_at_wake_c is None:
        return ""
    said = range_text(score.predicted_at_wake_c, units=units, likely=False)
    woke = temperature_text(score.observed_at_wake_c, units=units)
    return f"Last night: said {said}, woke to {woke}: {verdict_text(score, units=units)}."


def _no_fire_text(
    answer: TonightAnswer, first: Choice, *, band: str, setting: Setting, outdoor_low_c: float | None
) -> str:
    units = setting.units
    wake_at = time_text(answer.wake, zone=setting.zone)
    window = ", window cracked" if first.window is not Window.SHUT else ""
    low, high = first.indoor_min_c, first.indoor_max_c
    if low.p50 >= answer.band_c[0] - 1.0:
        stays = span_text(low.p05, high.p95, units=units)
        outside = ""
        if outdoor_low_c is not None:
            plus = "+" if outdoor_low_c > 0 and units.temperature == "C" else ""
            outside = f" at {plus}{temperature_text(outdoor_low_c, units=units, decimals=0)} outside"
        what, none = "Don't burn tonight: with", "no fire"
        if answer.wood_burns:
            what, none = "No more wood tonight: with", "what is in the stove"
        none = f"{none}{window}," if window else none
        return f"{what} {none} it stays {stays} to {wake_at}{outside}."
    wake = range_text(first.indoor_at_wake_c, units=units, likely=False)
    fires = [c for c in answer.choices if c.loads]
    if not fires:
        what, none = ("more wood", "With none") if answer.wood_burns else ("clean fire", "No fire")
        return f"No {what} fits here. {none}{window}: {wake} at {wake_at}."
    small = min(fires, key=lambda c: c.wood_kg)
    peak = range_text(small.indoor_max_c, units=units, likely=False)
    size = " and ".join(bundle_text(x.pieces, x.kg, units=units) for x in small.loads)
    if answer.wood_burns:  # the peak is of what burns already, too
        more = f"with {size} more the peak is {peak}"
        return f"No more wood fits {band}: {more}. With none{window}: {wake} at {wake_at}."
    return f"No clean fire fits {band}: {size} peaks at {peak}. No fire{window}: {wake} at {wake_at}."


def reasons_text(why: Why, *, setting: Setting, as_of: datetime) -> tuple[str, ...]:
    """What a choice rests on, what would move it, what of it is untried; a sentence each."""
    said = [_rests_on(why, setting=setting, as_of=as_of)]
    moves = _moves(why, setting=setting)
    if moves:
        said.append(moves)
    if why.untried and why.untried != (Untried.NO_NIGHTS,):
        parts = " and ".join(UNTRIED_WORDS[part] for part in why.untried)
        said.append(f"UNTRIED here: {parts}. The range is a wide guess.")
    return tuple(said)


def like_text(night: LikeNight, *, setting: Setting, as_of: datetime) -> str:
    """A night lived: "Sat 10 Jan: 2 M, 1/3 open (2/3 closed), −9 °C out, 19 °C at bed, woke at 14.1 °C".

    With its year when it is more than half a year back.
    """
    units = setting.units
    evening = night_of(night.bed, setting.zone)
    parts = [bundle_text(night.pieces, night.load_kg, units=units) if night.load_kg else "no wood at bed"]
    if night.air_open_pct is not None:
        parts.append(air_text(night.air_open_pct))
    if night.window is not Window.SHUT:
        parts.append(f"window {night.window}")
    if night.outdoor_low_c is not None:
        parts.append(f"{temperature_text(night.outdoor_low_c, units=units, decimals=0)} out")
    if night.start_c is not None:
        parts.append(f"{temperature_text(night.start_c, units=units, decimals=0)} at bed")
    parts.append(f"woke at {temperature_text(night.woke_c, units=units)}")
    day = f"{WEEKDAYS[evening.weekday()]} {evening.day} {MONTHS[evening.month - 1]}"
    if as_of - night.bed > LONG_AGO:
        day = f"{day} {evening.year}"
    return f"{day}: {', '.join(parts)}"


def _rests_on(why: Why, *, setting: Setting, as_of: datetime) -> str:
    if not why.nights:
        return "Rests on the description alone: no night of yours is on record yet, so the range is wide."
    nights = f"{why.nights} {'night' if why.nights == 1 else 'nights'}"
    if not why.like:
        return f"Rests on {nights}, none of them quite like this."
    alike = "; ".join(like_text(n, setting=setting, as_of=as_of) for n in why.like[:2])
    return f"Rests on {nights}. Most alike: {alike}."


def _moves(why: Why, *, setting: Setting) -> str:
    """What would change the waking temperature most, the largest first."""
    found: list[tuple[float, str]] = []
    if why.colder_outside_k is not None:
        found.append(
            (why.colder_outside_k, f"{difference_text(3.0, units=setting.units, decimals=0)} colder outside")
        )
    if why.more_wood_k is not None:
        size = bundle_text(why.more_wood_pieces, why.more_wood_kg, units=setting.units)
        found.append((why.more_wood_k, f"{size} instead"))
    if why.window_cracked_k is not None:
        found.append((why.window_cracked_k, "window cracked all night"))
    worth = sorted((f for f in found if abs(f[0]) >= WORTH_SAYING_K), key=lambda f: -abs(f[0]))
    said = [
        f"{what} about {difference_text(abs(k), units=setting.units)} {'lower' if k < 0 else 'higher'}"
        for k, what in worth
    ]
    return f"At waking: {', '.join(said)}." if said else ""


def fit_text(fit: FitAnswer, *, units: OwnUnits, zone: str) -> tuple[str, ...]:
    """What was learned of cabin and stove, a sentence each."""
    told = dict(fit.cannot_tell)
    degree = f"°{units.temperature}"
    per_degree = 1 / 1.8 if units.temperature == "F" else 1.0
    rows = (
        ("heat_loss_w_per_k", "Loses", fit.heat_loss_w_per_k, per_degree, 0, f"W per {degree} of difference"),
        ("time_constant_h", "Time constant", fit.time_constant_h, 1.0, 1, "h"),
        (
            "heat_capacity_mj_per_k",
            "Heat capacity",
            fit.heat_capacity_mj_per_k,
            per_degree,
            1,
            f"MJ per {degree}",
        ),
        (
            "stove_efficiency",
            "Stove gives",
            fit.stove_efficiency,
            100.0,
            0,
            "% of the wood's heat to the room",
        ),
    )
    said = []
    for key, name, found, scale, decimals, unit in rows:
        if found is None:
            said.append(f"{name}: can't be told. {told.get(key, '')}".rstrip())
            continue
        p05, p50, p95 = (number_text(x * scale, decimals) for x in (found.p05, found.p50, found.p95))
        said.append(f"{name} {p05}–{p95} {unit}, likely {p50}.")
    said += doubts_text(
        aside=fit.aside,
        twice=fit.twice,
        copied=fit.copied,
        stays=fit.stays,
        widened=False,
        doubt=fit.doubt,
        zone=zone,
    )
    if fit.set_aside and not fit.stays:
        return tuple(said)
    if fit.from_description_only:
        said.append("From the description alone: every evening's readings narrow it.")
    else:
        stays = "1 stay" if fit.stays == 1 else f"{fit.stays} stays"
        said.append(f"From {fit.readings} readings of {stays}; {fit.effective_draws:.0f} draws count.")
    return tuple(said)


def night_text(score: NightScore, *, setting: Setting) -> str:
    """One night of the track record in a line."""
    units = setting.units
    evening = night_of(score.bed, setting.zone)
    day = f"{WEEKDAYS[evening.weekday()]} {evening.day} {MONTHS[evening.month - 1]} {evening.year}"
    wood = mass_text(score.wood_kg, units=units) if score.wood_kg else "no wood at bed"
    air = "" if score.air_open_pct is None or not score.wood_kg else f", {air_text(score.air_open_pct)}"
    said = range_text(score.predicted_at_wake_c, units=units)
    inferred = " (bed and waking inferred)" if score.marks_inferred else ""
    wake = time_text(score.wake, zone=setting.zone)
    return f"{day}: {wood}{air}. Said {said} for {wake}; {_came(score, units=units)}{inferred}."


def _came(score: NightScore, *, units: OwnUnits) -> str:
    if score.observed_at_wake_c is None:
        return "nobody read it"
    woke = temperature_text(score.observed_at_wake_c, units=units)
    return f"woke to {woke}, {verdict_text(score, units=units)}"


def verdict_text(score: NightScore, *, units: OwnUnits) -> str:
    """In, low or high, with by how much: "low, 1.4 °C under"."""
    seen, said = score.observed_at_wake_c, score.predicted_at_wake_c
    if seen is None:
        return "nobody read it"
    if seen < said.p05:
        return f"low, {difference_text(said.p05 - seen, units=units)} under"
    if seen > said.p95:
        return f"high, {difference_text(seen - said.p95, units=units)} over"
    return "inside"


def score_text(answer: NightsAnswer, *, units: OwnUnits) -> tuple[str, ...]:
    """The track record in two sentences."""
    if not answer.count:
        return ("No night told beforehand yet. The first comes after one evening and one morning reading.",)
    nights = f"{answer.count} {'night' if answer.count == 1 else 'nights'}"
    expected = round(0.9 * answer.count)
    first = f"{nights} told beforehand: {answer.inside_90} woke inside the range (expect about {expected})."
    widths = [n.predicted_at_wake_c.p95 - n.predicted_at_wake_c.p05 for n in answer.nights]
    width = difference_text(sum(widths) / len(widths), units=units)
    miss = "" if answer.rmse_c is None else f"Usual miss {difference_text(answer.rmse_c, units=units)}. "
    return first, f"{miss}Ranges were {width} wide."
