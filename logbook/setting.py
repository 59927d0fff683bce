"""What a typed line is read against, and a sentence worded for: this cabin, this owner, this moment's log.

A ``Setting`` is made from the description and the newest records by whoever holds the log. It sits
beside ``records`` so that reading a line and wording it back share one idea of the owner's units.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from zoneinfo import ZoneInfo

from logbook.records import Basis, Description, Entry, Event, OwnUnits

YEARS = (1970, 2199)
"""First and last year a time may lie in. ASSUMED: an older or later one is a slip, or the blank date of
another program (year 1); and reckoning with time zones fails at the ends of the calendar."""

NIGHT_TURNS_AT = time(12, 0)
"""Local time at which one night ends and the next evening begins. ASSUMED: noon is never slept through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedIn:
    """The events whose load was counted in a measure, and every weight the measure has had, kg."""

    word: str
    events: tuple[Event, ...]
    weights_kg: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Context of one line. Temperatures °C, masses kg, times aware; None where not known yet.

    ``air_lever_reads`` is "open" or "closed", or None while the owner has not been asked.
    ``own_words`` are the owner's measures besides pieces ("box" = 19 kg), as (word, kg) pairs;
    ``own_words_sd_kg`` are the standard deviations of those whose was kept. ``counted`` is what was counted
    in the measure a line gives a weight, and None for any other line.
    ``newest_at`` is the time of the latest record: a clock that runs behind it is doubted; with
    ``as_of_then`` the line is read as of a time gone by, and no clock is.
    ``stay_began`` is when this stay began: a line from just before it is asked about.
    ``stacks``, ``supplies``, ``to_bring`` and ``lists`` are names the log knows, newest first; ``tasks`` are
    names of upkeep, each with other words for it.
    """

    zone: str = "UTC"
    units: OwnUnits = field(default_factory=OwnUnits)
    pieces_kg: tuple[tuple[str, float], ...] = ()
    own_words: tuple[tuple[str, float], ...] = ()
    own_words_sd_kg: tuple[tuple[str, float], ...] = ()
    counted: CountedIn | None = None
    places: tuple[str, ...] = ()
    max_load_kg: float | None = None
    largest_load_kg: float | None = None
    air_lever_reads: str | None = None
    clean_floor_open_pct: float | None = None
    usual_bed: time = time(22, 30)
    usual_wake: time = time(6, 30)
    species: str = ""
    moisture_basis: Basis = Basis.WET
    last_load: Entry | None = None
    newest_at: datetime | None = None
    as_of_then: bool = False
    last_indoor_c: float | None = None
    last_outdoor_c: float | None = None
    last_reading_at: datetime | None = None
    stay_began: datetime | None = None
    stacks: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    to_bring: tuple[str, ...] = ()
    lists: tuple[str, ...] = ()
    tasks: tuple[tuple[str, tuple[str, ...]], ...] = ()

    @property
    def weights_kg(self) -> tuple[tuple[str, float], ...]:
        """Every counted thing that has a weight: pieces first, then the owner's own words."""
        return self.pieces_kg + self.own_words


def setting_of(description: Description, *, lever_asked: bool = True) -> Setting:
    """The setting a description alone gives; the log's newest values are added with ``replace``.

    Args:
        description: The description in force.
        lever_asked: False while the owner has never said which way the air lever reads.
    """
    return Setting(
        zone=description.site.timezone,
        units=description.units,
        pieces_kg=description.wood.pieces_kg,
        max_load_kg=description.stove.max_load_kg,
        air_lever_reads=description.stove.air_lever_reads if lever_asked else None,
        clean_floor_open_pct=description.stove.clean_floor_open_pct,
        usual_bed=description.comfort.bed,
        usual_wake=description.comfort.wake,
        species=description.wood.species,
        moisture_basis=description.wood.moisture_basis,
    )


def local_time(at: datetime, zone: str) -> datetime:
    """The aware time on the site's clock."""
    return on_clock(at, ZoneInfo(zone))


def on_clock(at: datetime, zone: tzinfo) -> datetime:
    """A moment on a zone's clock; in UTC at the ends of the calendar, where zones have no more days.

    Only another hand, or a machine's clock gone mad, writes such a time; it is told all the same.
    """
    try:
        return at.astimezone(zone)
    except OverflowError:
        return at.astimezone(UTC)


def night_of(at: datetime, zone: str) -> date:
    """The evening that names the night a moment belongs to; after midnight it is still the evening before."""
    local = local_time(at, zone)
    return local.date() if local.time() >= NIGHT_TURNS_AT else local.date() - timedelta(days=1)


def local_instants(day: date, clock: time, zone: str) -> tuple[datetime, ...]:
    """The moments (UTC, in order) at which the site's clock shows this day and time.

    One as a rule; two when the clock is put back over it; none when it is put forward over it.

    Source: PEP 495 (``fold``); a local time that does not come back from UTC never happened.
    """
    tz = ZoneInfo(zone)
    found: list[datetime] = []
    for fold in (0, 1):
        local = datetime.combine(day, clock, tzinfo=tz).replace(fold=fold)
        moment = local.astimezone(UTC)
        came_back = moment.astimezone(tz).replace(tzinfo=None, fold=0)
        if came_back == local.replace(tzinfo=None, fold=0) and moment not in found:
            found.append(moment)
    return tuple(sorted(found))
