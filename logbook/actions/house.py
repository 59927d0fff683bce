"""From the log to what the whole year is reckoned from: stays, wood burned, matters. No model is run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from logbook.heat.notebook import STAY_GAP, Stay, stays
from logbook.heat.past_nights import past_nights
from logbook.heat.versions import description_at
from logbook.heat.wood import dry_share, pile_dry_share
from logbook.house import Burned, House, StayLived, Told
from logbook.matters import StaySaid
from logbook.records import Comfort, DatedDescription, Description, Entry, Mark, WoodPile
from logbook.setting import Setting, night_of, setting_of
from logbook.store.log import Log

STAY_OVER = timedelta(hours=24)
"""A stay whose newest line is older than this is over. The contract's figure for advice."""

SAID_BEFORE, SAID_AFTER = timedelta(days=2), timedelta(days=3)
"""Who was there and what for may be written this long before a stay or after it. ASSUMED: on the way, or on
getting home."""


def house_of(log: Log, *, as_of: datetime) -> House:
    """The log as the whole year sees it; a log without a description is answered too."""
    versions = log.descriptions()
    description = description_at(versions, as_of).description if versions else None
    setting = setting_of(description) if description else Setting()
    entries = tuple(sorted(log.entries(as_of, logger=False), key=lambda e: e.at))
    burned = tuple(_burned(e, versions) for e in entries if e.load_kg)
    return House(
        as_of=as_of,
        setting=setting,
        description=description,
        entries=entries,
        told=tuple(Told(at=e.at, matter=e.matter, note=e.note or "") for e in entries if e.matter),
        stays=stays_lived(entries, burned, description=description, zone=setting.zone, as_of=as_of),
        burned=burned,
    )


def stays_lived(
    entries: Sequence[Entry],
    burned: Sequence[Burned],
    *,
    description: Description | None,
    zone: str,
    as_of: datetime,
) -> tuple[StayLived, ...]:
    """The stays in the entries, oldest first; the last one goes on until it is left, or silent for a day."""
    comfort = description.comfort if description else Comfort()
    slept = [
        night_of(night.bed, zone)
        for night in past_nights(entries, comfort=comfort, zone=ZoneInfo(zone), until=as_of)
    ]
    spans = _spans(stays(entries, until=as_of), entries)
    left = {e.at for e in entries if e.mark is Mark.LEFT}
    lived = []
    for n, (start, end) in enumerate(spans):
        going_on = n == len(spans) - 1 and end not in left and as_of - end <= STAY_OVER
        stay = StayLived(
            start=start,
            end=end,
            going_on=going_on,
            head_count=float(comfort.people),
            nights=tuple(d for d in slept if night_of(start, zone) <= d < night_of(end, zone)),
            burned=tuple(load for load in burned if start <= load.at <= end),
        )
        after = spans[n + 1][0] if n + 1 < len(spans) else None
        before = spans[n - 1][1] if n else None
        lived.append(_with_what_was_said(stay, entries, before=before, after=after))
    return tuple(lived)


def _spans(pieces: Sequence[Stay], entries: Sequence[Entry]) -> list[tuple[datetime, datetime]]:
    """Start and end of each stay; what the model cuts at two weeks is one stay to its owner."""
    marked = {(e.at, e.mark) for e in entries if e.mark}
    spans: list[tuple[datetime, datetime]] = []
    for piece in pieces:
        if not piece.occupied and not any(piece.start <= e.at <= piece.end for e in entries):
            continue  # only a logging thermometer's rows
        cut = (
            bool(spans)
            and piece.start - spans[-1][1] <= STAY_GAP
            and (spans[-1][1], Mark.LEFT) not in marked
            and (piece.start, Mark.ARRIVED) not in marked
        )
        if cut:
            spans[-1] = spans[-1][0], piece.end
        else:
            spans.append((piece.start, piece.end))
    return spans


def _with_what_was_said(
    stay: StayLived, entries: Sequence[Entry], *, before: datetime | None, after: datetime | None
) -> StayLived:
    """The stay with people, purpose and guest book: the last word on each counts, guest lines all stay."""
    since = max(stay.start - SAID_BEFORE, before) if before else stay.start - SAID_BEFORE
    until = min(stay.end + SAID_AFTER, after) if after else stay.end + SAID_AFTER
    for entry in entries:
        said = entry.matter
        if not isinstance(said, StaySaid) or not since < entry.at <= until:
            continue
        people = said.people or stay.people
        counted = said.count if said.count is not None else len(said.people) or None
        stay = replace(
            stay,
            people=people,
            head_count=float(counted) if counted else stay.head_count,
            head_count_said=stay.head_count_said or bool(counted),
            purpose=said.purpose or stay.purpose,
            guest_book=(*stay.guest_book, said.guest_book) if said.guest_book else stay.guest_book,
        )
    return stay


def _burned(entry: Entry, versions: Sequence[DatedDescription]) -> Burned:
    pile = description_at(versions, entry.at).description.wood if versions else WoodPile()
    basis = entry.moisture_basis or pile.moisture_basis
    share = (
        dry_share(moisture_pct=entry.moisture_pct, basis=basis)
        if entry.moisture_pct is not None
        else pile_dry_share(pile)
    )
    kg = entry.load_kg or 0.0
    return Burned(at=entry.at, kg=kg, kg_dry=kg * share, species=entry.species or pile.species)
