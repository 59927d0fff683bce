"""The ash in its bucket in sentences. None of them says that it is cold."""

from __future__ import annotations

from datetime import datetime

from logbook import cautions
from logbook.results.ash import AshClock, AshState
from logbook.setting import Setting
from logbook.wording.amounts import day_text, time_text

ROW_LONG = 111
"""Characters of a pending row on a wide screen."""


def ash_text(clock: AshClock, *, setting: Setting) -> str:
    """Where the ash is, since when, and not before when; whether it went in hot."""
    filled, until = (_moment(at, setting) for at in (clock.filled, clock.not_before))
    where = f" ({clock.where})" if clock.where else ""
    if clock.state is AshState.TIPPED_EARLY and clock.tipped is not None:
        said = (
            f"Ash taken out {filled} was tipped {_moment(clock.tipped, setting)}{where}: its 96 hours run to "
            f"{until}. Take it as live until then, and look at where it lies."
        )
    elif clock.state is AshState.WAIT_OVER:
        said = f"Ash filled {filled}{where}: its 96 hours were over {until}. {cautions.ASH_AS_LIVE.sentence}"
    else:
        said = f"Ash filled {filled}{where}: not tipped before {until}. {cautions.BUCKET.sentence}"
    return said + _went_in_hot(clock, setting)


def ash_short_text(clock: AshClock, *, setting: Setting) -> str:
    """The same in 71 characters, for a row: "Ash filled Fri 16 Jan 15:15: not tipped before …"."""
    filled, until = (_moment(at, setting) for at in (clock.filled, clock.not_before))
    if clock.state is AshState.TIPPED_EARLY:
        return f"Ash tipped before its time: take it as live until {until}."
    if clock.state is AshState.WAIT_OVER:
        return f"Ash stands since {filled}: tip it as if live, then: ash tipped"
    return f"Ash filled {filled}: not tipped before {until}."


def ash_row_text(clock: AshClock, *, setting: Setting) -> str:
    """The same in 111 characters: with where it stands and that it went in hot, as far as that fits.

    What to type stands last, where no sentence follows that could be taken for part of it.
    """
    short = ash_short_text(clock, setting=setting)
    at = f" It stands: {clock.where}." if clock.where and clock.state is not AshState.TIPPED_EARLY else ""
    live = "" if clock.fire_at is None else " It went in hot."
    said = [f"{short}{more}" for more in (at + live, live, at)]
    if clock.state is AshState.WAIT_OVER:
        filled = _moment(clock.filled, setting)
        within = f" ({clock.where})" if clock.where else ""
        parts = ((within, live), ("", live), (within, ""))
        said = [
            f"Ash stands since {filled}{w}.{hot} Tip it as if live, then type: ash tipped" for w, hot in parts
        ]
    return next((text for text in said if len(text) <= ROW_LONG), short)


def _went_in_hot(clock: AshClock, setting: Setting) -> str:
    if clock.fire_at is None:
        return ""
    if clock.fire_at > clock.filled:
        return f" Coals were noted {_moment(clock.fire_at, setting)}: that is fire, and this ash is of it."
    return (
        f" There was fire on record {_moment(clock.fire_at, setting)}, less than 24 h before: it went in "
        f"hot. {cautions.ASH_WENT_IN_HOT.sentence}"
    )


def _moment(at: datetime, setting: Setting) -> str:
    return f"{day_text(at, zone=setting.zone)} {time_text(at, zone=setting.zone)}"
