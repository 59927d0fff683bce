"""The report of a stay and of a season: from the log to an answer.

No forecast is made for it unless asked: what was said before a night, and what a work did, are taken from the
cache where they were reckoned before; the answer says of how many nights they were not.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from logbook.actions.house import house_of
from logbook.actions.improvements import paid
from logbook.actions.woodshed import kind_of
from logbook.care.season_report import season_report
from logbook.care.stay_report import stay_report, stay_wanted
from logbook.care.stays import years_answer
from logbook.care.woodshed import texts_of
from logbook.heat.past_nights import PastNight, past_nights
from logbook.house import House
from logbook.matters import NAME_OF, Matter
from logbook.records import Comfort, Entry
from logbook.results.improvements import WorkPaid
from logbook.results.night import Range
from logbook.results.report import NightTold, SeasonReport, StayReport
from logbook.setting import night_of
from logbook.store.bounded import LOGGER_ROWS_LONG, entries_bounded
from logbook.store.log import Log
from logbook.store.loggers import thinned
from logbook.wording.matters import matter_text

if TYPE_CHECKING:
    from logbook.actions.reckoning import Cache, Known

Progress = Callable[[int, int], None]
"""Told how many nights are done, and of how many."""


READ_OUTSIDE_AFTER = timedelta(hours=1)
"""A reading outside this long after waking still tells the night's low, as in the nights themselves."""


@dataclass(frozen=True, kw_only=True)
class Reported:
    """The log as a report sees it: people's lines, all readings, and what forecasts are made from.

    ``told`` is None without a description: then nothing is forecast and nothing compared.
    """

    house: House
    entries: tuple[Entry, ...]
    told: Known | None
    cache: Cache | None = None
    reckon: bool = False
    progress: Progress = lambda done, of: None


def reported(
    log: Log,
    *,
    as_of: datetime,
    cache: Cache | None = None,
    reckon: bool = False,
    progress: Progress = lambda done, of: None,
) -> Reported:
    """What a report is made from; nothing later than ``as_of`` exists.

    Args:
        log: The log.
        as_of: The time it is reported for.
        cache: Where forecasts and comparisons made before are kept.
        reckon: Make the forecasts that are missing, a second or two each.
        progress: Called before each night that is looked at.
    """
    from logbook.actions.reckoning import known  # noqa: PLC0415 - the model, once there is a description

    told = known(log, as_of=as_of, logger_rows=LOGGER_ROWS_LONG) if log.descriptions() else None
    read = told.read if told else None
    if read is None:
        read = entries_bounded(log, as_of, logger_rows=LOGGER_ROWS_LONG)
    house = house_of(log, as_of=as_of, read=read)
    entries = tuple(sorted(thinned(read), key=lambda e: e.at))
    return Reported(house=house, entries=entries, told=told, cache=cache, reckon=reckon, progress=progress)


def report_stay(seen: Reported, *, day: date | None = None) -> StayReport:
    """The stay a local day lies in, or the last.

    Raises:
        BadInputError: There is none.
    """
    stay = stay_wanted(seen.house, day)

    def matter_words(matter: object, at: datetime) -> tuple[str, str]:
        return _matter_words(matter, at, house=seen.house)

    return stay_report(
        seen.house,
        stay,
        entries=seen.entries,
        nights=nights_told(seen, wanted=lambda bed: stay.start <= bed <= stay.end),
        matter_words=matter_words,
    )


def report_season(seen: Reported, *, year: int | None = None) -> SeasonReport:
    """The season that begins in a year, or the newest on record.

    Raises:
        BadInputError: Nothing is on record in it.
    """
    house = seen.house
    pages = years_answer(house, year=year).seasons
    zone = house.setting.zone
    begins, ends = (pages[-1].begins, pages[-1].ends) if pages else (date.max, date.max)
    return season_report(
        house,
        year=year,
        entries=seen.entries,
        nights=nights_told(seen, wanted=lambda bed: begins <= night_of(bed, zone) < ends),
        kinds={text: kind_of(text) for text in texts_of(house)},
        works=_works(seen),
    )


def nights_told(seen: Reported, *, wanted: Callable[[datetime], bool]) -> tuple[NightTold, ...]:
    """The nights whose bed is wanted, oldest first, each with what was said for it where that is at hand."""
    house, told = seen.house, seen.told
    zone = ZoneInfo(house.setting.zone)
    lived = past_nights(
        told.entries if told else seen.entries,
        comfort=house.description.comfort if house.description else Comfort(),
        zone=zone,
        until=house.as_of,
    )
    asked = [night for night in lived if wanted(night.bed)]
    found = []
    for done, night in enumerate(asked):
        if seen.reckon:
            seen.progress(done, len(asked))
        read = any(
            e.outdoor_c is not None and night.bed <= e.at <= night.wake + READ_OUTSIDE_AFTER
            for e in seen.entries
        )
        told_night = _told(night, _said(seen, night), zone=house.setting.zone)
        found.append(replace(told_night, outdoor_low_read=read))
    return tuple(found)


def _told(night: PastNight, said: Range | None, *, zone: str) -> NightTold:
    return NightTold(
        evening=night_of(night.bed, zone),
        bed=night.bed,
        wake=night.wake,
        marks_inferred=night.inferred,
        load_kg=night.load_kg,
        loads_after=night.loads_after,
        air_open_pct=night.air_open_pct,
        bed_c=night.start_c,
        woke_c=night.woke_c,
        outdoor_low_c=night.outdoor_low_c,
        said_at_wake_c=said,
    )


def _said(seen: Reported, night: PastNight) -> Range | None:
    """What was said at bed for the waking, from the cache, or made when that is asked for."""
    if seen.told is None:
        return None
    from logbook.actions.nights import foreseen, said_before  # noqa: PLC0415 - the model, when it is needed

    then = seen.told.before(night.bed)
    kept = said_before(then, night, cache=seen.cache) if seen.cache else ()
    if not kept and seen.reckon:
        kept = foreseen(then, night, cache=seen.cache)
    return kept[-1].inside_c if kept else None


def _works(seen: Reported) -> Sequence[WorkPaid]:
    from logbook.actions.works import compared_before  # noqa: PLC0415 - the model, when it is needed

    compared = compared_before(seen.told, cache=seen.cache) if seen.told and seen.cache else ()
    return paid(seen.house, compared=compared).works


def _matter_words(matter: object, at: datetime, *, house: House) -> tuple[str, str]:
    """The log's name of a matter's kind, and its words."""
    assert isinstance(matter, Matter)
    return NAME_OF[type(matter)], matter_text(matter, house.setting, at=at)
