"""Works on the cabin in words: did it help, what if, drift, trials."""

from __future__ import annotations

from logbook.records import OwnUnits
from logbook.results.improvements import WorksPaid
from logbook.results.night import Range
from logbook.results.works import (
    ChangeAnswer,
    CompareAnswer,
    DriftAnswer,
    Touched,
    TrialAnswer,
    Verdict,
    WhatIfAnswer,
)
from logbook.setting import Setting
from logbook.wording.amounts import (
    chance_text,
    day_text,
    difference_text,
    hours_text,
    mass_text,
    number_text,
    temperature_text,
)
from logbook.wording.improvements import paid_rows, undated_text
from logbook.wording.stays import count_text

MANY_NIGHTS = 60
"""From here on "60 or more" is said; as in the verdict's module."""

MANY_EACH_WAY = 200
"""From here on a trial takes that many nights each way or more; as in the trials' module."""

WHY_COLDER = (
    "It may be: a gasket letting air in so that loads burn out sooner, wetter wood, a thermometer that hangs "
    "elsewhere, a new draught, or colder nights than were forecast."
)
WHY_WARMER = (
    "It may be: drier wood, a thermometer that hangs elsewhere, loads heavier than written, or milder nights "
    "than were forecast."
)


def compare_text(
    answer: CompareAnswer, *, setting: Setting, paid: WorksPaid | None = None
) -> tuple[str, ...]:
    """Every change, a few sentences each; with ``paid``, what it cost and when it has paid for itself."""
    works = {} if paid is None else {(work.name, work.change): work for work in paid.works}
    rows: list[str] = []
    for change in answer.changes:
        rows += [""] if rows else []
        rows += change_text(change, setting=setting)
        work = works.get((change.name, change))
        rows += paid_rows(work, units=setting.units) if work else []
    for outlay in paid.undated if paid else ():
        rows += ["", undated_text(outlay)]
    return tuple(rows)


def change_text(change: ChangeAnswer, *, setting: Setting) -> list[str]:
    """One change: the verdict, its range and chance, wood, what it rests on."""
    head = f"{change.name} (since {day_text(change.since, zone=setting.zone, year=True)})"
    if change.touched is not Touched.HEAT_LOSS:
        return [f"{head}: not a matter of heat loss, so not scored.", *_effect(change, units=setting.units)]
    if change.heat_loss_change_pct is None:
        return [
            f"{head}: can't tell yet. Nights with readings: {change.nights_before} before it, "
            f"{change.nights_after} after it.",
            *_left_out(change),
        ]
    assert change.chance_helped is not None
    rows = [
        f"{head}: {change.verdict}.",
        f"Heat loss {percent_range_text(change.heat_loss_change_pct)}; "
        f"chance that it is less than before: {chance_text(change.chance_helped, nights=False)}.",
    ]
    if change.verdict is Verdict.CANT_TELL and change.more_nights is not None:
        many = "60 or more" if change.more_nights >= MANY_NIGHTS else f"about {change.more_nights} more"
        nights = "night" if change.more_nights == 1 else "nights"
        rows.append(f"To tell takes {many} {nights} like these, with an even chance.")
    if change.wood_saved_kg is not None and change.weekend_k is not None:
        rows.append(_wood(change.wood_saved_kg, change.weekend_k, units=setting.units))
    rows.append(
        f"From {count_text(change.nights_before, 'night')} before and {change.nights_after} after it; "
        "weather, wind, loads and windows are accounted for."
    )
    return [*rows, *_left_out(change)]


def _wood(saved: Range, weekend_k: float, *, units: OwnUnits) -> str:
    warm = difference_text(weekend_k, units=units, decimals=0)
    usual = f"in a usual weekend (48 h, {warm} above outdoors)"
    if saved.p50 >= 0.0:
        return f"Wood saved {usual}: {_mass_range(saved, units=units)}."
    turned = Range(-saved.p95, -saved.p50, -saved.p05)
    return f"More wood {usual}: {_mass_range(turned, units=units)}."


def _effect(change: ChangeAnswer, *, units: OwnUnits) -> list[str]:
    rows = []
    if change.effect is None:
        rows.append("What it did can't be told yet: nights with readings are needed on both sides of it.")
    elif change.touched is Touched.THERMOMETER:
        low, mid, high = (_signed_k(k, units) for k in _ends(change.effect))
        rows.append(f"The thermometer shows {mid} ({low} to {high}) against before.")
    elif change.touched is Touched.LEVER:
        rows.append(f"The air at one lever mark: {percent_range_text(change.effect)}.")
    else:
        rows.append(f"The air that leaks into the shut stove: {percent_range_text(change.effect)}.")
    if change.effect is not None:
        rows.append("It is taken out where other changes are compared.")
    return rows


def _left_out(change: ChangeAnswer) -> list[str]:
    rows = []
    if change.stay_left_out:
        rows.append("The stay in the middle of which it was made is left out.")
    if change.together_with:
        names = ", ".join(change.together_with)
        rows.append(f"It came between the same two stays as {names}: this is what they did together.")
    if change.taken_out:
        rows.append(f"Taken out: {', '.join(change.taken_out)}; the range is wider for it.")
    return rows


def percent_range_text(change: Range) -> str:
    """A change in per cent with its range: "11 % less (17 % less to 6 % less)"."""
    return f"{_percent(change.p50)} ({_percent(change.p05)} to {_percent(change.p95)})"


def _percent(value: float) -> str:
    whole = round(abs(value))
    if whole == 0:
        return "unchanged"
    return f"{whole} % {'less' if value < 0 else 'more'}"


def whatif_text(answer: WhatIfAnswer, *, units: OwnUnits) -> tuple[str, ...]:
    """The cabin now and with the steps done."""
    outside = temperature_text(answer.outdoor_c, units=units, decimals=0)
    full_now, full_then = (mass_text(kg, units=units) for kg in answer.full_load_kg)
    rows = [
        f"{'; '.join(answer.steps)}: heat loss {percent_range_text(answer.heat_loss_change_pct)}.",
        f"Heat loss {_plain_range(answer.heat_loss_now)} W/K now, "
        f"{_plain_range(answer.heat_loss_then)} W/K then.",
        _freezing(answer, outside=outside, units=units),
        f"Wood for a weekend ({number_text(answer.weekend_h)} h at "
        f"{temperature_text(answer.indoor_c, units=units, decimals=0)} inside, "
        f"{temperature_text(answer.weekend_outdoor_c, units=units, decimals=0)} outside by "
        f"{answer.outdoor_from}): {_mass_range(answer.wood_now_kg, units=units)} now, "
        f"{_mass_range(answer.wood_then_kg, units=units)} then; "
        f"saved {_mass_range(answer.wood_saved_kg, units=units)}.",
        f"A full load makes up for what is lost at {outside} in "
        f"{_hours_range(answer.full_load_holds_now_h)} now ({full_now}), "
        f"{_hours_range(answer.full_load_holds_then_h)} then ({full_then}).",
    ]
    season = answer.season
    if season is not None:
        mild = temperature_text(season.fires_below_c, units=units, decimals=0)
        rows.append(
            f"Every second weekend of the {season.months} months below {mild} ({season.weekends} weekends): "
            f"{_mass_range(season.wood_now_kg, units=units)} now, "
            f"{_mass_range(season.wood_then_kg, units=units)} then."
        )
    rows.append(_apart(answer))
    return tuple(rows)


def _freezing(answer: WhatIfAnswer, *, outside: str, units: OwnUnits) -> str:
    if answer.freezing_now_h is None and answer.freezing_then_h is None:
        return f"At {outside} outside the room does not freeze within five days."
    now, then = (
        "not within five days" if r is None else _hours_range(r)
        for r in (answer.freezing_now_h, answer.freezing_then_h)
    )
    start = temperature_text(20.0, units=units, decimals=0)
    return (
        f"From {start} without fire at {outside} outside the room freezes after {now} now, {then} then. "
        "Pipes in cold corners freeze before the room does."
    )


def _apart(answer: WhatIfAnswer) -> str:
    described = (
        f"by the description alone {number_text(answer.described_now_w_per_k)} W/K now and "
        f"{number_text(answer.described_then_w_per_k)} W/K then"
    )
    if answer.learned_share <= 0.0:
        return f"Nothing is learned of this cabin yet: {described}, and wide."
    share = round(100.0 * answer.learned_share)
    return (
        f"Learned from your nights: the loss of now, {share} % narrower than the description gives it. "
        f"Believed only: what is new, by its description and its usual spread ({described})."
    )


def drift_text(answer: DriftAnswer, *, setting: Setting) -> tuple[str, ...]:
    """One line when the nights keep missing on one side, with what it may be; nothing otherwise."""
    why = WHY_COLDER if answer.direction == "colder" else WHY_WARMER
    return tuple(f"{what} {why}" for what in drift_short_text(answer, setting=setting))


def drift_short_text(answer: DriftAnswer, *, setting: Setting) -> tuple[str, ...]:
    """The same without what it may be, for a page that has no room."""
    if answer.direction is None or answer.miss_k is None or answer.since is None:
        return ()
    miss = difference_text(abs(answer.miss_k), units=setting.units)
    since = day_text(answer.since, zone=setting.zone)
    nights = f"the last {answer.nights} nights came out {miss} {answer.direction} than those before"
    return (f"Something may have changed: since {since} {nights}, by their forecasts.",)


def trial_text(answer: TrialAnswer, *, units: OwnUnits) -> tuple[str, ...]:
    """The verdict of a trial and how many nights it needs."""
    seek = difference_text(answer.seek_k, units=units)
    sd = difference_text(answer.night_sd_k, units=units)
    known = "assumed, nights are few" if answer.sd_is_assumed else "from these nights"
    most = answer.nights_each_way >= MANY_EACH_WAY
    many = f"{answer.nights_each_way} or more" if most else f"about {answer.nights_each_way}"
    need = (
        f"To find a difference of {seek} at waking four times in five takes {many} "
        f"nights each way (one night alone is off by {sd}, {known})."
    )
    have = (
        f'Notes with "{answer.word}": {count_text(answer.nights_with, "night")}; without: '
        f"{answer.nights_without}. "
        "Loads, air and weather are taken out by the forecasts."
    )
    rows = [f"{answer.word}: {answer.verdict}.", have]
    if answer.difference_k is not None:
        low, mid, high = (_signed_k(k, units) for k in _ends(answer.difference_k))
        rows.append(f"At waking {mid} with it ({low} to {high}).")
    rows.append(need)
    if answer.more_nights:
        more = f"{answer.more_nights} more {'night' if answer.more_nights == 1 else 'nights'}"
        rows.append(f"{'At least' if most else 'About'} {more} in all; take the two ways in turn, by lot.")
    return tuple(rows)


def _ends(found: Range) -> tuple[float, float, float]:
    return found.p05, found.p50, found.p95


def _signed_k(value_k: float, units: OwnUnits) -> str:
    text = difference_text(value_k, units=units)
    return f"+{text}" if value_k > 0.0 and not text.startswith("0.0") else text


def _plain_range(found: Range) -> str:
    return f"{number_text(found.p50)} ({number_text(found.p05)}–{number_text(found.p95)})"


def _hours_range(found: Range) -> str:
    return f"{hours_text(found.p50)} ({hours_text(found.p05)} to {hours_text(found.p95)})"


def _mass_range(found: Range, *, units: OwnUnits) -> str:
    low, mid, high = (mass_text(kg, units=units) for kg in _ends(found))
    return f"{mid} ({low} to {high})"
