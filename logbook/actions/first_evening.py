"""The first evening: blanks to a description, and what that description alone says already."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from logbook.actions.blanks import FIRST_RUN, described, first_blanks, walls_said
from logbook.actions.setting_now import LEVER
from logbook.errors import LogbookError
from logbook.records import DatedDescription, Entry
from logbook.results.app import Blanks, Kept, SoFar
from logbook.store.log import Log
from logbook.wording import span_text, temperature_text, time_text
from logbook.wording.answers import do_text

EXAMPLE_INSIDE_C, EXAMPLE_OUTSIDE_C = 18.0, -10.0
"""The evening that is told before there is a reading, °C. ASSUMED: a usual one in winter."""

NOTE = "From the description alone. Each evening's readings narrow it."


def first_evening(texts: Mapping[str, str], *, zone: str) -> Blanks:
    """The blanks as they stand, what is wrong, and whether it is enough to answer."""
    got, wrong = described(texts, zone=zone)
    return Blanks(
        blanks=first_blanks(texts, zone=zone), wrong=wrong, enough=got is not None, walls_said=walls_said(got)
    )


def so_far(texts: Mapping[str, str], *, now: datetime, zone: str) -> SoFar | None:
    """What is said of an example evening by the description alone; None while it is not enough."""
    from logbook.actions.reckoning import Known, forecast_of  # noqa: PLC0415 - the model loads here
    from logbook.actions.tonight import Request, answer_with, night_of_request  # noqa: PLC0415 - as above

    description, _ = described(texts, zone=zone)
    if description is None:
        return None
    dated = (DatedDescription(uuid="first", valid_from=None, description=description),)
    empty = Known(as_of=now, entries=(), descriptions=dated)
    bed, _ = night_of_request(empty, Request(as_of=now))
    read = Entry(at=bed - timedelta(minutes=5), indoor_c=EXAMPLE_INSIDE_C, outdoor_c=EXAMPLE_OUTSIDE_C)
    forecast = forecast_of(Known(as_of=bed, entries=(read,), descriptions=dated))
    ask = Request(as_of=bed, night_low_c=EXAMPLE_OUTSIDE_C)
    cold = answer_with(forecast, Request(as_of=bed, night_low_c=EXAMPLE_OUTSIDE_C, plan=lambda _: ()))
    first = answer_with(forecast, ask)
    units, setting = description.units, empty.setting
    inside, outside = (
        temperature_text(c, units=units, decimals=0) for c in (EXAMPLE_INSIDE_C, EXAMPLE_OUTSIDE_C)
    )
    wake = time_text(cold.answer.wake, zone=setting.zone)

    def woke(choice: object) -> str:
        found = choice.indoor_at_wake_c  # type: ignore[attr-defined]  # always a Choice
        return span_text(found.p05, found.p95, units=units)

    none, best = cold.answer.choices[0], first.answer.choices[0]
    evening = (
        f"{do_text(best, setting=setting)}: {woke(best)} by {wake}." if best.loads else first.answer.advice
    )
    return SoFar(
        cools=f"No fire and {outside} out: {inside} at {time_text(bed, zone=setting.zone)} is "
        f"{woke(none)} by {wake}.",
        evening=evening,
        note=NOTE,
    )


def begin(log: Log, texts: Mapping[str, str], *, zone: str) -> Kept:
    """Keep the first description, and which way the lever reads if that was said.

    Raises:
        LogbookError: Something in the blanks is wrong or missing; nothing was kept.
    """
    description, wrong = described(texts, zone=zone)
    bad = next((name for name in FIRST_RUN if name in wrong), None)
    if bad is not None:
        raise LogbookError(wrong[bad])
    if description is None:
        raise LogbookError("Floor, air inside and the largest load are needed.\nType the three numbers.")
    log.add_description(description, None)
    if texts.get("lever", "").strip():
        log.set_setting(LEVER, description.stove.air_lever_reads)
    return Kept(sentence="Kept. What is not filled in can wait: page Cabin changes any of it.")
