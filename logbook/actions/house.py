"""From the log to what the whole year is reckoned from: stays, wood burned, matters. No model is run."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence, Set
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from itertools import zip_longest
from operator import attrgetter

from logbook.actions.machine import setting_here
from logbook.actions.time_now import is_doubted
from logbook.heat.stay_rows import STAY_GAP, by_a_person, rows_by_stay
from logbook.heat.versions import description_at
from logbook.heat.wood import dry_share, pile_dry_share
from logbook.house import Burned, House, StayLived, Told
from logbook.matters import StaySaid
from logbook.records import Comfort, DatedDescription, Description, Entry, Mark, WoodPile
from logbook.setting import local_instants, local_time, night_of, setting_of
from logbook.store.log import Log
from logbook.store.loggers import BY_LOGGER

STAY_OVER = timedelta(hours=24)
"""A stay whose newest line is older than this is over. The contract's figure for advice."""

DEAD_OF_NIGHT = time(4, 0)
"""Whoever is there at this local time slept there. ASSUMED; no clock is put forward or back over it."""

LEFT_AT_LAST = timedelta(days=14)
"""So long after the last line of a stay that was begun by arriving, a bare "left" still ends that one.
ASSUMED: a summer fortnight in which nobody reads a thermometer."""

ARRIVED_AGAIN = timedelta(hours=2)
"""A second "arrived" so soon after the first is of the same arriving. ASSUMED."""

SAID_BEFORE, SAID_AFTER = timedelta(days=2), timedelta(days=3)
"""Who was there and what for may be written this long before a stay or after it. ASSUMED: on the way, or on
getting home."""


def house_of(log: Log, *, as_of: datetime, read: Sequence[Entry] | None = None) -> House:
    """The log as the whole year sees it; a log without a description is answered too.

    ``read`` are the entries up to ``as_of`` as ``Known.read`` has them, if they were read just now.
    """
    versions = log.descriptions()
    description = description_at(versions, as_of).description if versions else None
    setting = setting_of(description) if description else setting_here()
    by_people = (
        log.entries(as_of, logger=False) if read is None else [e for e in read if e.flags not in BY_LOGGER]
    )
    entries = tuple(sorted(by_people, key=attrgetter("at")))
    burned = tuple(_burned(e, versions) for e in entries if e.load_kg)
    return House(
        as_of=as_of,
        setting=setting,
        description=description,
        entries=entries,
        told=tuple(Told(at=e.at, matter=e.matter, note=e.note or "") for e in entries if e.matter),
        stays=stays_lived(entries, burned, description=description, zone=setting.zone, as_of=as_of),
        burned=burned,
        clock_doubted=is_doubted(log, as_of),
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
    entries = [e for e in entries if not e.is_change_alone]
    spans = _spans(rows_by_stay(entries, until=as_of)[0], entries)
    left, to_bed = ({e.at for e in entries if e.mark is mark} for mark in (Mark.LEFT, Mark.BED))
    burned = sorted(burned, key=lambda load: load.at)
    said = [e for e in entries if isinstance(e.matter, StaySaid)]  # few; a long log's rows are many
    lived = []
    for n, (start, end) in enumerate(spans):
        going_on = n == len(spans) - 1 and end not in left and as_of - end <= STAY_OVER
        stay = StayLived(
            start=start,
            end=end,
            going_on=going_on,
            head_count=float(comfort.people),
            nights=_nights(start, end, zone=zone, to_bed_at_last=not going_on and end in to_bed),
            burned=_between(burned, start, end),
        )
        after = spans[n + 1][0] if n + 1 < len(spans) else None
        before = spans[n - 1][1] if n else None
        lived.append(_with_what_was_said(stay, said, before=before, after=after))
    return tuple(lived)


def _between(burned: Sequence[Burned], start: datetime, end: datetime) -> tuple[Burned, ...]:
    """The loads of a stretch, both ends included; ``burned`` is by time."""
    first = bisect_left(burned, start, key=lambda load: load.at)
    return tuple(burned[first : bisect_right(burned, end, key=lambda load: load.at)])


def _nights(start: datetime, end: datetime, *, zone: str, to_bed_at_last: bool) -> tuple[date, ...]:
    """The evenings of the nights slept there: those whose dead of night lies in the stay.

    With ``to_bed_at_last`` the last thing written is going to bed: that night was slept there too.
    """
    day, last = night_of(start, zone), local_time(end, zone).date()
    found = []
    while day < last:
        dead = local_instants(day + timedelta(days=1), DEAD_OF_NIGHT, zone)
        if dead and start <= dead[0] <= end:
            found.append(day)
        day += timedelta(days=1)
    if to_bed_at_last and night_of(end, zone) not in found:
        found.append(night_of(end, zone))
    return tuple(found)


def _spans(pieces: Sequence[Sequence[Entry]], entries: Sequence[Entry]) -> list[tuple[datetime, datetime]]:
    """Start and end of each stay; what the model cuts at two weeks is one stay to its owner, and so is one in
    which nothing but upkeep or wood was written between arriving and leaving."""
    marked = {(e.at, e.mark) for e in entries if e.mark}
    times = [e.at for e in entries]
    spans: list[tuple[datetime, datetime]] = []
    for piece in pieces:
        start, end = piece[0].at, piece[-1].at
        if bisect_left(times, start) == bisect_right(times, end) and not by_a_person(piece):
            continue  # only a logging thermometer's rows
        still_there = (
            bool(spans) and (spans[-1][1], Mark.LEFT) not in marked and (start, Mark.ARRIVED) not in marked
        )
        cut = still_there and start - spans[-1][1] <= STAY_GAP
        left_at_last = (
            still_there
            and (spans[-1][0], Mark.ARRIVED) in marked
            and (start, Mark.LEFT) in marked
            and start - spans[-1][1] <= LEFT_AT_LAST
        )
        if cut or left_at_last or (spans and _said_again(spans[-1], start, marked)):
            spans[-1] = spans[-1][0], end
        else:
            spans.append((start, end))
    lived: list[tuple[datetime, datetime]] = []
    for span, after in zip_longest(spans, spans[1:]):
        on_the_way = after is not None and after[0] - span[1] <= STAY_GAP
        left = bool(lived) and (lived[-1][1], Mark.LEFT) in marked
        got_home = left and span[0] - lived[-1][1] <= SAID_AFTER
        around = entries[bisect_left(times, span[0]) : bisect_right(times, span[1])]
        if not ((on_the_way or got_home) and _words_alone(e for e in around if not after or e.at < after[0])):
            lived.append(span)
    return lived


def _said_again(span: tuple[datetime, datetime], start: datetime, marked: Set[tuple[datetime, Mark]]) -> bool:
    """Whether "left" or "arrived" is only written once more, as by two who were there or to mend the line."""
    left = (span[1], Mark.LEFT) in marked
    if left:
        return (start, Mark.LEFT) in marked and start - span[1] <= STAY_OVER
    both = {(span[0], Mark.ARRIVED), (start, Mark.ARRIVED)} <= marked
    return both and start - span[0] <= ARRIVED_AGAIN


def _words_alone(entries: Iterable[Entry]) -> bool:
    """Whether they are no more than notes: on the way there with the arrival following soon, or on getting
    home, where they must not take the place of the leaving whose skipped lines are to come back."""
    return all(e == Entry(at=e.at, note=e.note, matter=e.matter, flags=e.flags) for e in entries)


def _with_what_was_said(
    stay: StayLived, entries: Sequence[Entry], *, before: datetime | None, after: datetime | None
) -> StayLived:
    """The stay with people, purpose and guest book: the last word on each counts, guest lines all stay."""
    since = max(stay.start - SAID_BEFORE, before) if before else stay.start - SAID_BEFORE
    until = min(stay.end + SAID_AFTER, after) if after else stay.end + SAID_AFTER
    first = bisect_right(entries, since, key=lambda e: e.at)
    last = (bisect_left if until == after else bisect_right)(entries, until, key=lambda e: e.at)
    for entry in entries[first:last]:
        said = entry.matter
        if not isinstance(said, StaySaid):
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
