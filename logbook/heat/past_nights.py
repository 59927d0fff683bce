"""Past nights as the notebook has them: when bed and waking were, what burned, what came of it.

Used three times: the track record forecasts each of them again, the reasons of an evening's advice
look for the ones most like tonight, and what counts as tried comes from them.
A night is named by its evening. Marks say when bed and waking were; without marks both are inferred
from what was written that evening and the next morning, and the night says so.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from operator import attrgetter

from logbook.records import MAIN_PLACE, Comfort, Entry, Mark, Window

PLAN_WITHIN = timedelta(minutes=35)
"""What goes in this long after bed still belongs to the evening's plan. The contract's figure."""

PLAN_BEFORE = timedelta(minutes=60)
"""A load this long before bed is told as the night's load too. ASSUMED: an owner's own words."""

BED_WITHIN = timedelta(hours=3)
"""Without a mark, bed is looked for this far around the usual hour. ASSUMED."""

WAKE_EARLY, WAKE_LATE = timedelta(hours=2.5), timedelta(hours=4)
"""Without a mark, waking is the first reading this far around the usual hour. ASSUMED."""

SHORTEST_NIGHT, LONGEST_NIGHT = timedelta(hours=3), timedelta(hours=16)
"""A mark for waking outside this after bed belongs to another night. ASSUMED."""

BACK_TO_BED = timedelta(hours=2)
"""Who was awake in the night and says bed again this soon goes on with the same night. ASSUMED."""

READ_BEFORE, READ_AFTER = timedelta(minutes=20), timedelta(minutes=45)
"""A reading this near to waking is the temperature woken to. ASSUMED: most rows come at getting up."""

REACH = timedelta(hours=36)
"""How far around an evening's noon its rows are looked at: settings stand for a day at most."""

_AT = attrgetter("at")


@dataclass(frozen=True, slots=True, kw_only=True)
class PastNight:
    """One night lived: temperatures °C, loads kg as weighed, air per cent open.

    ``plan`` are the entries after bed that belong to the evening's plan (within ``PLAN_WITHIN``).
    ``loads_after`` counts loads put in later in the night. ``woke_c`` is None when nobody read it.
    """

    bed: datetime
    wake: datetime
    inferred: bool
    plan: tuple[Entry, ...]
    load_kg: float
    pieces: str
    air_open_pct: float | None
    window: Window
    loads_after: int
    load_after_kg: float
    start_c: float | None
    outdoor_low_c: float | None
    woke_c: float | None


def past_nights(
    entries: Sequence[Entry], *, comfort: Comfort, zone: tzinfo, until: datetime | None = None
) -> tuple[PastNight, ...]:
    """Every night the entries tell of, oldest first; with ``until``, only those over by then."""
    ordered = sorted((e for e in entries if until is None or e.at <= until), key=lambda e: e.at)
    times = [e.at for e in ordered]
    found = []
    for evening, noon in _evenings(times, zone):
        near = ordered[bisect_left(times, noon - REACH) : bisect_left(times, noon + REACH)]
        night = _night(near, evening, comfort=comfort, zone=zone)
        if night is not None and (until is None or _is_over(night, until, comfort=comfort, zone=zone)):
            found.append(night)
    return tuple(found)


def night_span(now: datetime, *, bed: time, wake: time, zone: tzinfo) -> tuple[datetime, datetime]:
    """The bed and the waking of the night ``now`` belongs to or comes before, from local clock times.

    Waking is the first such hour after now; bed the last such hour before that waking.
    """
    local = now.astimezone(zone)
    woke = at_local(local.date(), wake, zone)
    if woke <= now:
        woke = at_local(local.date() + timedelta(days=1), wake, zone)
    day = woke.astimezone(zone).date()
    to_bed = at_local(day, bed, zone)
    if to_bed >= woke:
        to_bed = at_local(day - timedelta(days=1), bed, zone)
    return to_bed, woke


def at_local(day: date, clock: time, zone: tzinfo) -> datetime:
    """A local clock time on a day, in UTC. In the hour that comes twice: the first of the two."""
    return datetime.combine(day, clock, tzinfo=zone).astimezone(UTC)


def _evening(at: datetime, zone: tzinfo) -> date:
    """The evening a moment belongs to: the day that began at noon."""
    return (at.astimezone(zone) - timedelta(hours=12)).date()


def _evenings(times: Sequence[datetime], zone: tzinfo) -> Iterator[tuple[date, datetime]]:
    """Every evening of which something is written, and its noon; the times are in order."""
    n = 0
    while n < len(times):
        evening = _evening(times[n], zone)
        yield evening, at_local(evening, time(12), zone)
        n = bisect_left(times, at_local(evening + timedelta(days=1), time(12), zone), lo=n + 1)


def _night(ordered: Sequence[Entry], evening: date, *, comfort: Comfort, zone: tzinfo) -> PastNight | None:
    noon = at_local(evening, time(12), zone)
    day = ordered[
        bisect_left(ordered, noon, key=_AT) : bisect_left(ordered, noon + timedelta(hours=24), key=_AT)
    ]
    span = _marked(day, comfort=comfort, zone=zone)
    inferred = span is None
    if span is None:
        span = _inferred(day, evening, comfort=comfort, zone=zone)
    if span is None:
        return None
    bed, wake = span
    if wake is None or wake < _usual_wake(bed, comfort=comfort, zone=zone) - WAKE_EARLY:  # awake at two
        read = _woke(day, bed, comfort=comfort, zone=zone)
        wake, inferred = (wake, inferred) if read is None else (read, True)
    return None if wake is None else _told(ordered, bed, wake, inferred=inferred)


def _marked(
    day: Sequence[Entry], *, comfort: Comfort, zone: tzinfo
) -> tuple[datetime, datetime | None] | None:
    """Bed and waking by their marks; None without a bed mark.

    The last bed of the evening counts, but not one after being awake in the night; of several wakings that
    nearest to the usual hour.
    """
    wokes = [e.at for e in day if e.mark is Mark.WOKE]
    beds: list[datetime] = []
    for bed in (e.at for e in day if e.mark is Mark.BED):
        slept = [w for w in wokes if any(before + SHORTEST_NIGHT <= w for before in beds)]
        if not any(w <= bed <= w + BACK_TO_BED for w in slept):
            beds.append(bed)
    for bed in reversed(beds):
        usual = _usual_wake(bed, comfort=comfort, zone=zone)
        after = [w for w in wokes if SHORTEST_NIGHT <= w - bed <= LONGEST_NIGHT]
        if after:
            return bed, min(after, key=lambda w: abs(w - usual))
    return (beds[-1], None) if beds else None


def _is_over(night: PastNight, until: datetime, *, comfort: Comfort, zone: tzinfo) -> bool:
    """Whether it was over by then: who is awake at two may go on sleeping."""
    morning = _usual_wake(night.bed, comfort=comfort, zone=zone) - WAKE_EARLY
    return night.wake <= until and max(night.wake, until) >= morning


def _usual_wake(bed: datetime, *, comfort: Comfort, zone: tzinfo) -> datetime:
    """The next usual hour of waking; for a bed after it, in the morning, none: any waking is one."""
    usual = night_span(bed, bed=comfort.bed, wake=comfort.wake, zone=zone)[1]
    return usual if usual - bed <= LONGEST_NIGHT else bed


def _inferred(
    day: Sequence[Entry], evening: date, *, comfort: Comfort, zone: tzinfo
) -> tuple[datetime, datetime] | None:
    """Bed: the last thing a person wrote around the usual hour. Waking: the first reading around its hour."""
    usual, _ = night_span(at_local(evening, time(12), zone), bed=comfort.bed, wake=comfort.wake, zone=zone)
    around = [e for e in day if abs(e.at - usual) <= BED_WITHIN]
    deeds = [e.at for e in around if _is_deed(e)] or [e.at for e in around if e.indoor_c is not None]
    if not deeds:
        return None
    wake = _woke(day, deeds[-1], comfort=comfort, zone=zone)
    return None if wake is None else (deeds[-1], wake)


def _woke(day: Sequence[Entry], bed: datetime, *, comfort: Comfort, zone: tzinfo) -> datetime | None:
    _, usual = night_span(bed, bed=comfort.bed, wake=comfort.wake, zone=zone)
    read = [
        e.at
        for e in day
        if e.indoor_c is not None
        and e.place == MAIN_PLACE
        and e.at - bed >= SHORTEST_NIGHT
        and usual - WAKE_EARLY <= e.at <= usual + WAKE_LATE
    ]
    return read[0] if read else None


def _is_deed(entry: Entry) -> bool:
    """Whether a person did something, beyond a reading a logger could have made."""
    return any(
        value is not None
        for value in (entry.load_kg, entry.air_open_pct, entry.window, entry.coals, entry.mark, entry.note)
    )


def _told(ordered: Sequence[Entry], bed: datetime, wake: datetime, *, inferred: bool) -> PastNight:
    around = _from_to(ordered, bed - PLAN_BEFORE, bed + PLAN_WITHIN)
    loads = [e for e in around if e.load_kg]
    nearly_woke = bisect_left(ordered, wake - timedelta(minutes=30), key=_AT)
    later = ordered[bisect_right(ordered, bed + PLAN_WITHIN, key=_AT) : nearly_woke]
    return PastNight(
        bed=bed,
        wake=wake,
        inferred=inferred,
        plan=tuple(e for e in around if e.at > bed and _is_plan(e)),
        load_kg=sum(e.load_kg or 0.0 for e in loads),
        # Pieces of one load alone must not stand for two: then the mass speaks.
        pieces=" ".join(e.pieces or "" for e in loads) if all(e.pieces for e in loads) else "",
        air_open_pct=_settled_air(ordered, bed + PLAN_WITHIN),
        window=_window(ordered, bed + PLAN_WITHIN),
        loads_after=sum(1 for e in later if e.load_kg),
        load_after_kg=sum(e.load_kg or 0.0 for e in later),
        start_c=_nearest_indoor(ordered, bed, before=timedelta(hours=1.5), after=PLAN_WITHIN),
        outdoor_low_c=_outdoor_low(ordered, bed, wake),
        woke_c=_nearest_indoor(ordered, wake, before=READ_BEFORE, after=READ_AFTER),
    )


def _is_plan(entry: Entry) -> bool:
    return (
        entry.load_kg is not None
        or entry.air_open_pct is not None
        or entry.window is not None
        or entry.flue_damper_open_pct is not None
        or entry.fire_out
    )


def _from_to(ordered: Sequence[Entry], since: datetime, until: datetime) -> Sequence[Entry]:
    """The entries of a stretch, both ends included."""
    return ordered[bisect_left(ordered, since, key=_AT) : bisect_right(ordered, until, key=_AT)]


def _settled_air(ordered: Sequence[Entry], at: datetime) -> float | None:
    """The air as it stood then, if it was written within the last day."""
    for e in reversed(ordered):
        if e.at <= at and e.air_open_pct is not None:
            return e.air_open_pct if at - e.at <= timedelta(hours=24) else None
    return None


def _window(ordered: Sequence[Entry], at: datetime) -> Window:
    for e in reversed(ordered):
        if e.at <= at and e.window is not None:
            return e.window if at - e.at <= timedelta(hours=18) else Window.SHUT
    return Window.SHUT


def _nearest_indoor(
    ordered: Sequence[Entry], at: datetime, *, before: timedelta, after: timedelta
) -> float | None:
    near = _from_to(ordered, at - before, at + after)
    read = [e for e in near if e.indoor_c is not None and e.place == MAIN_PLACE]
    return min(read, key=lambda e: abs(e.at - at)).indoor_c if read else None


def _outdoor_low(ordered: Sequence[Entry], bed: datetime, wake: datetime) -> float | None:
    """The lowest outdoor reading of the night; without one, the low forecast that evening."""
    night = _from_to(ordered, bed, wake + timedelta(hours=1))
    read = [e.outdoor_c for e in night if e.outdoor_c is not None]
    if read:
        return min(read)
    before = _from_to(ordered, bed - timedelta(hours=24), bed)
    said = [e.forecast_low_c for e in before if e.forecast_low_c is not None]
    return said[-1] if said else None
