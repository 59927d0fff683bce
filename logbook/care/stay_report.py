"""One stay told: what was burned, its nights, its ends, what was done and written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime, timedelta

from logbook.care.stays import stay_row
from logbook.care.upkeep_record import upkeep_record
from logbook.errors import BadInputError
from logbook.house import House, StayLived
from logbook.matters import StaySaid, Tick, Upkeep
from logbook.records import MAIN_PLACE, Comfort, Entry, Mark
from logbook.results.report import (
    Extremes,
    LoadRow,
    MatterRow,
    NightsCount,
    NightTold,
    StayReport,
)
from logbook.results.stays import Extreme
from logbook.results.upkeep import RecordRow
from logbook.setting import local_time

TURNED_WITHIN = timedelta(hours=3)
"""Air set this long after a load still belongs to it, if no other load came. ASSUMED: longer than any owner
waits to turn down."""

TOLD_ELSEWHERE = (StaySaid, Tick, Upkeep)
"""Matters that have their own place in the report, or are ticks of a list."""


def stay_wanted(house: House, wanted: date | None) -> StayLived:
    """The stay a local day lies in; without one, the last, which may be going on.

    Raises:
        BadInputError: There is none.
    """
    if not house.stays:
        raise BadInputError(
            "There is no stay on record to report.\nA stay begins with the first line written there."
        )
    if wanted is None:
        return house.stays[-1]
    zone = house.setting.zone
    spans = [(local_time(s.start, zone).date(), local_time(s.end, zone).date(), s) for s in house.stays]
    found = [stay for first, last, stay in spans if first <= wanted <= last]
    if found:
        return found[-1]
    near = min(spans, key=lambda span: min(abs((day - wanted).days) for day in span[:2]))
    first, last, _ = near
    raise BadInputError(
        f"No stay on record touches {wanted.isoformat()}.\n"
        f"The nearest was from {first.isoformat()} to {last.isoformat()}; all of them: nightload stays"
    )


def stay_report(
    house: House,
    stay: StayLived,
    *,
    entries: Sequence[Entry],
    nights: Sequence[NightTold],
    matter_words: Callable[[object, datetime], tuple[str, str]],
) -> StayReport:
    """One stay told.

    Args:
        house: The log as of a time.
        stay: The stay.
        entries: All entries, a logging thermometer's too, by time; the house has only what people wrote.
        nights: Every night known, with what was said for it where that is at hand.
        matter_words: From a matter and its time to the name of its kind and its words.
    """
    here = within(entries, stay.start, stay.end)
    inside, outside = inside_readings(here), outside_readings(here)
    own_nights = tuple(n for n in nights if stay.start <= n.bed <= stay.end)
    comfort = house.description.comfort if house.description else None
    band = comfort.band_c if comfort else Comfort().band_c
    return StayReport(
        as_of=house.as_of,
        place=house.description.site.name if house.description else "",
        stay=stay_row(house, stay),
        band_c=band,
        band_assumed=comfort is None,
        loads=_loads(house, stay),
        nights=own_nights,
        counted=count_nights(own_nights, slept=len(stay.nights), band_c=band),
        extremes=extremes((*inside, *lows_and_highs(here, stay.start)), outside),
        upkeep=upkeep_between(house, stay.start, stay.end),
        matters=tuple(
            _matter(at, matter_words(matter, at))
            for at, matter in ((t.at, t.matter) for t in house.told)
            if stay.start <= at <= stay.end and not isinstance(matter, TOLD_ELSEWHERE)
        ),
        notes=tuple((e.at, e.note) for e in within(house.entries, stay.start, stay.end) if e.note),
        inside=inside,
        outside=outside,
    )


def count_nights(nights: Sequence[NightTold], *, slept: int, band_c: tuple[float, float]) -> NightsCount:
    """Nights counted against the band (its ends belong to it) and against what was said for them."""
    woke = [n.woke_c for n in nights if n.woke_c is not None]
    held = [n.held for n in nights if n.held is not None]
    return NightsCount(
        slept=slept,
        read=len(woke),
        in_band=sum(band_c[0] <= c <= band_c[1] for c in woke),
        below=sum(c < band_c[0] for c in woke),
        above=sum(c > band_c[1] for c in woke),
        held=sum(held),
        scored=len(held),
        not_reckoned=sum(n.woke_c is not None and not n.reckoned for n in nights),
    )


def upkeep_between(house: House, start: datetime, end: datetime) -> tuple[RecordRow, ...]:
    """The rows of the upkeep record from one time to another, both included."""
    return tuple(row for row in upkeep_record(house).rows if start <= row.at <= end)


def within(entries: Iterable[Entry], start: datetime, end: datetime) -> tuple[Entry, ...]:
    """The entries of a span, both ends included."""
    return tuple(e for e in entries if start <= e.at <= end)


def inside_readings(entries: Iterable[Entry]) -> tuple[Extreme, ...]:
    """Readings of the main thermometer."""
    return tuple(
        Extreme(e.indoor_c, e.at) for e in entries if e.place == MAIN_PLACE and e.indoor_c is not None
    )


def outside_readings(entries: Iterable[Entry]) -> tuple[Extreme, ...]:
    """Readings outside."""
    return tuple(Extreme(e.outdoor_c, e.at) for e in entries if e.outdoor_c is not None)


def lows_and_highs(entries: Sequence[Entry], start: datetime) -> tuple[Extreme, ...]:
    """What the min/max thermometer kept since it was reset in the stay; without a word of that, since the
    last bed. One kept from before the stay is of an empty house."""
    found: list[Extreme] = []
    bed: datetime | None = None
    for e in entries:
        since = e.reset_at or bed
        if e.place == MAIN_PLACE and since is not None and since >= start:
            found += [Extreme(c, e.at) for c in (e.low_c, e.high_c) if c is not None]
        bed = e.at if e.mark is Mark.BED else bed
    return tuple(found)


def extremes(inside: Sequence[Extreme], outside: Sequence[Extreme]) -> Extremes:
    """Lowest and highest; the earliest of equal ones."""

    def lowest(read: Sequence[Extreme]) -> Extreme | None:
        return min(read, key=lambda one: (one.temperature_c, one.at), default=None)

    def highest(read: Sequence[Extreme]) -> Extreme | None:
        return min(read, key=lambda one: (-one.temperature_c, one.at), default=None)

    return Extremes(
        inside_lowest=lowest(inside),
        inside_highest=highest(inside),
        outside_lowest=lowest(outside),
        outside_highest=highest(outside),
    )


def _loads(house: House, stay: StayLived) -> tuple[LoadRow, ...]:
    """Each load with the air set with it and the last air set before the next."""
    here = within(house.entries, stay.start, stay.end)
    written: dict[datetime, list[Entry]] = {}
    for e in here:
        if e.load_kg:
            written.setdefault(e.at, []).append(e)  # two of one minute, as kindling and the wood on it
    air = [(e.at, e.air_open_pct) for e in here if e.air_open_pct is not None]
    rows = []
    for n, load in enumerate(stay.burned):
        entry = next((e for e in written.get(load.at, ()) if e.load_kg == load.kg), None)
        if entry is not None:
            written[load.at].remove(entry)
        over = stay.burned[n + 1].at if n + 1 < len(stay.burned) else None
        after = [
            (at, pct)
            for at, pct in air
            if load.at < at <= load.at + TURNED_WITHIN and (over is None or at < over)
        ]
        rows.append(
            LoadRow(
                at=load.at,
                kg=load.kg,
                kg_dry=load.kg_dry,
                pieces=(entry.pieces or "") if entry else "",
                species=load.species,
                kindling=bool(entry and entry.kindling),
                air_open_pct=entry.air_open_pct if entry else None,
                then_open_pct=after[-1][1] if after else None,
                then_minutes=(after[-1][0] - load.at) / timedelta(minutes=1) if after else None,
            )
        )
    return tuple(rows)


def _matter(at: datetime, words: tuple[str, str]) -> MatterRow:
    kind, text = words
    return MatterRow(at=at, kind=kind, text=text)
