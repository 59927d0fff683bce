"""What the Cabin page tells: how it cools, what is known and on what it rests, did works help, what if."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from logbook.actions.improvements import paid_for
from logbook.actions.learned import learned
from logbook.actions.reckoning import Cache, Known, posterior_of
from logbook.actions.stretches import fire_out_stretches
from logbook.actions.works import compare, whatif
from logbook.errors import BadInputError, LogbookError
from logbook.heat.compare import dated_changes
from logbook.heat.notebook import stays
from logbook.heat.past_nights import night_span
from logbook.heat.without_fire import without_fire
from logbook.house import House
from logbook.records import DatedDescription, Description
from logbook.results.app import CabinPage, CoolingLine, Effect, Helped, WhatIf, Works
from logbook.results.improvements import WorkPaid
from logbook.results.night import FitAnswer, Range
from logbook.results.works import ChangeAnswer, Touched
from logbook.setting import Setting
from logbook.wording import day_text
from logbook.wording.cabin import (
    change_span_text,
    cools_text,
    effect_text,
    loses_text,
    narrowed_text,
    rests_text,
    slows_text,
    stove_text,
)
from logbook.wording.improvements import paid_rows
from logbook.wording.works import change_text, whatif_text

COOLS_FROM_C, COOLS_TO_C, COOLS_HOURS = 18.0, 10.0, 12.0
"""The cooling told on the page: from here, to here, °C; hours of its line. ASSUMED: a usual evening."""

USUAL_OUTDOOR_C = -5.0
"""Outdoors when none was ever read, °C; that of the steady figure."""

TYPED_IN_A_SHELL = "nightload note "
"""What stands before a line that is named to a shell; in the app the line alone is typed."""

OUTDOORS_WITHIN = timedelta(days=3)


def cabin_page(told: Known, *, cache: Cache | None) -> CabinPage:
    """How the cabin cools and what is known of it, from the log as of now."""
    setting, units = told.setting, told.setting.units
    posterior = posterior_of(told, cache=cache)
    fit = learned(told, cache=cache, seconds=lambda: 0.0)
    outdoor = _outdoor_c(told)
    cooling = without_fire(
        posterior, told.description, from_c=COOLS_FROM_C, outdoor_c=outdoor, hours=COOLS_HOURS
    )
    low, likely, high = cooling.ranges()
    comfort = told.description.comfort
    bed, _ = night_span(told.as_of, bed=comfort.bed, wake=comfort.wake, zone=told.zone)
    loads = [e.load_kg for e in told.entries if e.load_kg]
    return CabinPage(
        as_of=told.as_of,
        cools=cools_text(
            from_c=COOLS_FROM_C, outdoor_c=outdoor, to_c=COOLS_TO_C, until=cooling.until(COOLS_TO_C),
            end=Range(low[-1], likely[-1], high[-1]), start=bed, hours=COOLS_HOURS, zone=setting.zone,
            units=units,
        ),
        line=CoolingLine(
            start=bed, hours=tuple(map(float, cooling.hours)), low_c=low, likely_c=likely, high_c=high,
            outdoor_c=outdoor, to_c=COOLS_TO_C,
        ),
        known=(
            ("loses", loses_text(fit, units=units)),
            ("slows", slows_text(fit)),
            ("rests", rests_text(fit)),
        ),
        stove=stove_text(told.description, most_kg=max(loads, default=None)),
        stretches=fire_out_stretches(told.entries, until=told.as_of),
    )  # fmt: skip


def _outdoor_c(told: Known) -> float:
    """Outdoors as last read, when that is recent; else a usual winter's night."""
    read = [e for e in told.entries if e.outdoor_c is not None]
    newest = max(read, key=lambda e: e.at, default=None)
    if newest is None or told.as_of - newest.at > OUTDOORS_WITHIN:
        return USUAL_OUTDOOR_C
    return min(round(newest.outdoor_c or 0.0), COOLS_TO_C - 5.0)


def works(told: Known, house: House, *, cache: Cache | None, progress: Callable[[str], None]) -> Works:
    """Did it help, change by change; what each cost; how the heat loss narrowed since the description alone.

    The costs are of the comparisons made here for the page anyhow: no other fit is run for them.
    """
    setting = told.setting
    narrowed = _narrowed(told, cache=cache, progress=progress)
    if not dated_changes(told.entries, as_of=told.as_of):
        return Works(changes=(), narrowed=narrowed)
    try:
        got = compare(
            told, cache=cache, progress=lambda done, of: progress(f"comparing change {done + 1} of {of}")
        )
    except LogbookError as error:
        first = str(error).splitlines()[0]
        return Works(changes=(), said=first, narrowed=narrowed)
    paid = paid_for(house, compared=got.changes).works
    return Works(
        changes=tuple(helped(c, paid=_paid_rows(c, paid, setting), setting=setting) for c in got.changes),
        narrowed=narrowed,
    )


def _paid_rows(change: ChangeAnswer, paid: Sequence[WorkPaid], setting: Setting) -> tuple[str, ...]:
    """What is said of a change's cost, with lines as they are typed in the app."""
    work = next((w for w in paid if (w.name, w.since) == (change.name, change.since)), None)
    said = [] if work is None else paid_rows(work, units=setting.units)
    if not said and change.touched is Touched.HEAT_LOSS:
        said = [f'What it cost is not written down: "cost {change.name} 240 31 h" says money and hours.']
    return tuple(row.replace(TYPED_IN_A_SHELL, "") for row in said)


def helped(change: ChangeAnswer, *, paid: tuple[str, ...] = (), setting: Setting) -> Helped:
    """One change in three columns, and whole."""
    day = day_text(change.since, zone=setting.zone, year=True).split(" ", 1)[1]
    verdict = str(change.verdict) if change.verdict else "can't tell yet"
    loss = ""
    if change.touched is not Touched.HEAT_LOSS:
        verdict = "not scored: no matter of heat loss"
    elif change.heat_loss_change_pct is not None:
        loss = change_span_text(change.heat_loss_change_pct)
    return Helped(
        name=f"{day} {change.name}", loss=loss, verdict=verdict,
        whole=tuple(change_text(change, setting=setting)), paid=paid,
    )  # fmt: skip


def _narrowed(told: Known, *, cache: Cache | None, progress: Callable[[str], None]) -> str:
    lived = stays(told.entries, until=told.as_of)
    if not lived:
        return ""
    progress("how the range narrowed")
    now = learned(told, cache=cache, seconds=lambda: 0.0)
    if now.from_description_only:
        return ""
    first = learned(told.before(lived[0].end), cache=cache, seconds=lambda: 0.0)
    known_first = None if first.from_description_only else first.heat_loss_w_per_k
    return narrowed_text(
        described_loss(told.description, told.as_of).heat_loss_w_per_k,
        known_first, now.heat_loss_w_per_k, units=told.setting.units,
    )  # fmt: skip


def described_loss(description: Description, at: datetime) -> FitAnswer:
    """What the description alone says, no reading; the same dice for every description."""
    import numpy as np  # noqa: PLC0415 - loaded when it is needed

    from logbook.heat.fit import learn, summary  # noqa: PLC0415 - loaded when it is needed

    dated = (DatedDescription(uuid="described", valid_from=None, description=description),)
    return summary(learn(descriptions=dated, entries=(), as_of=at, rng=np.random.default_rng(1)))


def effect(before: Description, after: Description, *, at: datetime) -> Effect:
    """What another value does to what is believed before any reading."""
    was, becomes = (described_loss(d, at).heat_loss_w_per_k for d in (before, after))
    if was is None or becomes is None:
        return Effect(sentence="")
    return Effect(sentence=effect_text(was, becomes, units=after.units))


def what_if(told: Known, text: str, *, cache: Cache | None) -> WhatIf:
    """What would come of works typed in words, parts set apart by commas or "and".

    Raises:
        LogbookError: A step that can't be read, or nothing to change.
    """
    steps = [part for piece in text.split(",") for part in piece.split(" and ") if part.strip()]
    if not steps:
        raise BadInputError("What if what?\nType for example: what if roof +100mm mineral wool batt")
    got = whatif(told, steps=steps, cache=cache)
    return WhatIf(text=text, lines=whatif_text(got, units=told.setting.units))
