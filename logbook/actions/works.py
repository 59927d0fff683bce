"""Works on the cabin: did a change help, what if, has something drifted, trials of nights."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np

from logbook.actions.reckoning import Cache, Known, fingerprint, posterior_of, seed_of
from logbook.errors import BadInputError, LogbookError
from logbook.heat.compare import (
    WindowFit,
    dated_changes,
    judged_change,
    learn_window,
    told_stays,
    untold,
    window,
)
from logbook.heat.drift import drift
from logbook.heat.experiments import trial
from logbook.heat.notebook import Stay
from logbook.heat.priors import Change
from logbook.heat.whatif import NEEDS_FIRE_BELOW_C, Weather, what_if
from logbook.heat.whatif_steps import read_step
from logbook.results.night import NightsAnswer
from logbook.results.works import ChangeAnswer, CompareAnswer, DriftAnswer, TrialAnswer, WhatIfAnswer
from logbook.wording import temperature_text

COMPARE_VERSION = "1"
"""Goes up when the joint fit around a change would come out otherwise with the same model."""

MONTHLY_C = (-60.0, 45.0)
"""Monthly means that are taken, °C. ASSUMED: past any place on record."""

FEWEST_OUTDOOR = 5
"""Logged outdoor readings that make a usual weekend. ASSUMED: two nights' worth."""

Progress = Callable[[int, int], None]
"""Told how many changes are done, and of how many."""


def compare(
    told: Known,
    *,
    name: str | None = None,
    cache: Cache | None = None,
    progress: Progress = lambda done, of: None,
) -> CompareAnswer:
    """Before and after each dated change, or those of one name.

    Args:
        told: The log as of a time.
        name: The change's name or a part of it; None: all.
        cache: Where joint fits are kept.
        progress: Called before each change.

    Raises:
        LogbookError: There is nothing to compare: no change, or no nights on one side of it.
    """
    changes = dated_changes(told.entries, as_of=told.as_of)
    stays = told_stays(told.learned_from, as_of=told.as_of)
    wanted = _named(changes, name, stays)
    answers = []
    for done, change in enumerate(wanted):
        progress(done, len(wanted))
        answer = _compared(told, change, changes, stays, cache=cache)
        assert answer is not None
        answers.append(answer)
    if not any(_has_both(a) for a in answers):
        raise LogbookError(_nothing_yet(answers, told))
    return CompareAnswer(changes=tuple(answers))


def compared_before(told: Known, *, cache: Cache) -> tuple[ChangeAnswer, ...]:
    """Every change whose before and after is in the cache or needs no fit; for pages that must not wait."""
    changes = dated_changes(told.entries, as_of=told.as_of)
    stays = told_stays(told.learned_from, as_of=told.as_of)
    found = (_compared(told, change, changes, stays, cache=cache, only_kept=True) for change in changes)
    return tuple(answer for answer in found if answer is not None)


def _named(changes: Sequence[Change], name: str | None, stays: Sequence[Stay]) -> tuple[Change, ...]:
    if not changes:
        raise LogbookError(
            f"Nothing to compare: {len(stays)} stays with readings are on record, but no change.\n"
            'Record one with its date: nightload change "skirting" --from 2026-01-10'
        )
    if name is None:
        return tuple(changes)
    words = " ".join(name.casefold().split())
    same = [c for c in changes if c.name.casefold() == words] or [
        c for c in changes if words in c.name.casefold()
    ]
    if not same:
        known = ", ".join(dict.fromkeys(f'"{c.name}"' for c in changes))
        raise LogbookError(f"No change on record is named '{name}'.\nThere is: {known}.")
    return tuple(same)


def _compared(
    told: Known,
    change: Change,
    changes: Sequence[Change],
    stays: Sequence[Stay],
    *,
    cache: Cache | None,
    only_kept: bool = False,
) -> ChangeAnswer | None:
    """The answer about one change; None where its fit would have to be made and ``only_kept`` forbids it."""
    around = window(change, told=stays, changes=changes)
    if around is None:
        return untold(change, told=stays, zone=told.zone)
    key = f"{fingerprint(told)} compare {COMPARE_VERSION} {change.name} {change.at.isoformat()}"
    fit = cache.read(key, lambda kept: WindowFit(z=kept["z"], mode=kept["mode"])) if cache else None
    if fit is None and only_kept:
        return None
    if fit is None:
        fit = learn_window(
            around, descriptions=told.descriptions, rng=np.random.default_rng(seed_of(fingerprint(told)))
        )
        if cache:
            cache.put(key, {"z": fit.z, "mode": fit.mode})
    return judged_change(change, around, fit, told=stays, descriptions=told.descriptions, zone=told.zone)


def _has_both(answer: ChangeAnswer) -> bool:
    return answer.heat_loss_change_pct is not None or answer.effect is not None


def _nothing_yet(answers: Sequence[ChangeAnswer], told: Known) -> str:
    first = answers[0]
    since = first.since.astimezone(told.zone).date().isoformat()
    mixed = " The stay it was made in the middle of says nothing." if first.stay_left_out else ""
    what = (
        "Record an evening and the morning after, from arrival to waking, then ask again."
        if not first.nights_after
        else "A change can only be judged against nights written down before it; was its date right?"
    )
    return (
        f"Nothing to compare for '{first.name}' (since {since}): {first.nights_before} nights with readings "
        f"before it, {first.nights_after} after it.{mixed}\n{what}"
    )


def whatif(
    told: Known,
    *,
    steps: Sequence[str],
    outdoor_c: float | None = None,
    year: str | None = None,
    cache: Cache | None = None,
) -> WhatIfAnswer:
    """The cabin as learned, and with steps done that are typed in words.

    Args:
        told: The log as of a time.
        steps: Such as "roof +100mm mineral wool batt".
        outdoor_c: Outdoors while it cools; None: -5 °C, that of the steady figure.
        year: Twelve monthly means, °C; None: the outdoor temperatures of the log.
        cache: Where what was learned is kept.

    Raises:
        BadInputError: A step or a year that can't be read.
        LogbookError: No year was given and the log has too few outdoor readings.
    """
    read = [read_step(text) for text in steps]
    weather = _weather(told, year)
    learned = posterior_of(told, cache=cache)
    return what_if(
        learned,
        description=told.description,
        steps=read,
        told=[" ".join(text.split()) for text in steps],
        weather=weather,
        outdoor_c=-5.0 if outdoor_c is None else outdoor_c,
        rng=np.random.default_rng(seed_of(fingerprint(told))),
    )


def _weather(told: Known, year: str | None) -> Weather:
    if year is not None:
        monthly = monthly_means(year)
        cold = [c for c in monthly if c < NEEDS_FIRE_BELOW_C] or [min(monthly)]
        mild = temperature_text(NEEDS_FIRE_BELOW_C, units=told.setting.units, decimals=0)
        return Weather(
            weekend_c=sum(cold) / len(cold),
            source=f"the months below {mild} of the year given",
            monthly_c=monthly,
        )
    read = [e.outdoor_c for e in told.entries if e.outdoor_c is not None]
    if len(read) < FEWEST_OUTDOOR:
        raise LogbookError(
            f"The log has {len(read)} outdoor readings; a usual weekend needs {FEWEST_OUTDOOR} or more.\n"
            'Give the twelve monthly means of your place in °C: --year "-6 -5 -1 4 9 14 16 15 10 5 0 -4"'
        )
    return Weather(weekend_c=float(np.mean(read)), source=f"{len(read)} outdoor readings of the log")


def monthly_means(text: str) -> tuple[float, ...]:
    """Twelve monthly means, January first, °C; blanks, commas or semicolons between them.

    Raises:
        BadInputError: They are not twelve temperatures.
    """
    words = text.replace(";", " ").replace(",", " ").replace("−", "-").split()
    try:
        means = tuple(float(word) for word in words)
    except ValueError:
        means = ()
    if len(means) != 12 or not all(MONTHLY_C[0] <= c <= MONTHLY_C[1] for c in means):
        raise BadInputError(
            f"'{text}' is not twelve monthly means in °C ({len(words)} words).\n"
            'Write January to December: --year "-6 -5 -1 4 9 14 16 15 10 5 0 -4"'
        )
    return means


def drift_of(record: NightsAnswer, told: Known) -> DriftAnswer:
    """Whether the last nights of a track record keep missing on one side; a change on record begins anew."""
    resets = [change.at for change in dated_changes(told.entries, as_of=told.as_of)]
    return drift(record.nights, resets=resets)


def experiment(
    record: NightsAnswer,
    told: Known,
    *,
    word: str,
    seek_k: float = 1.0,
    since: datetime | None = None,
) -> TrialAnswer:
    """Nights whose notes hold a word against the others, with load and weather taken out."""
    return trial(word, nights=record.nights, entries=told.entries, seek_k=seek_k, since=since)


def timed(answer: CompareAnswer, seconds: float) -> CompareAnswer:
    """The answer with how long it took, s."""
    return replace(answer, seconds=seconds)
