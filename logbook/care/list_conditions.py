"""What holds at the moment for the lists: frost, droppings, guests, a month away, coals, ash.

From the log alone, or with the numbers a forecast gives. What is not known is taken for the worse.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

from logbook.care.ash import ash_clock
from logbook.care.sights import standing
from logbook.care.stays import SEASON_BEGINS_MONTH
from logbook.care.weather_by_hand import tonights_low_c
from logbook.house import House
from logbook.matters import DayWeather, Seen, Sight, StaySaid
from logbook.records import MAIN_PLACE, Coals
from logbook.results.ash import ASH_WAITS
from logbook.results.lists import CO_ALARM_C, Condition
from logbook.setting import local_instants, local_time

ALARM_MARGIN_K = 2.0
"""A room this little above the alarms' rating still counts as too cold for them, K. ASSUMED."""

FREEZING_C = 0.0  # °C, definition

LONG_AWAY = timedelta(days=31)
"""More than a month. Definition."""

READ_LATELY = timedelta(hours=12)
"""A reading this old still tells what it is like now. ASSUMED."""

NEAR_DAWN = (time(4, 0), time(9, 0))
"""When the reading outside is about the night's low, local time. ASSUMED."""

DAILY_SWING_K = 10.0
"""How far a clear night may fall below the day's reading, K. ASSUMED."""

DAYS_AHEAD = 3
"""Days of forecast that belong to a stay beginning now. ASSUMED: a weekend."""

DROPPINGS_WITHIN = timedelta(hours=24)
"""Droppings written down this recently still order the list. ASSUMED: a stay's first day."""

MAY_STILL_GLOW = timedelta(hours=24)
"""After a load coals may glow this long. Source: a fire safety handout's wait before ash is taken out (as
reported; page not kept)."""

GUESTS_SAID_AFTER = timedelta(days=3)
"""Who was there may be written this long after a stay; later it is about the next one. ASSUMED."""

FROST_MONTHS = {True: frozenset({10, 11, 12, 1, 2, 3, 4}), False: frozenset({4, 5, 6, 7, 8, 9, 10})}
"""Months in which frost is taken for possible while no weather is known, north of the equator and south.
ASSUMED."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListFacts:
    """What is known besides the log; None where the log decides. Temperatures °C.

    ``fire`` is 0 out, 1 coals, 2 wood; ``lit_anew``: the fire planned is lit with kindling, though some coals
    may be there. ``outdoor_low_c`` is the coldest expected ahead.
    ``ash_not_before`` is for ash taken out now.
    """

    inside_c: float | None = None
    outdoor_low_c: float | None = None
    fire: int | None = None
    fire_planned: bool = True
    lit_anew: bool = False
    droppings: bool = False
    guests: bool | None = None
    ash_not_before: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """The conditions that hold, and what is behind them."""

    conditions: frozenset[Condition]
    facts: ListFacts
    bucket_filled: datetime | None = None
    bucket_not_before: datetime | None = None
    ash_live_until: datetime | None = None
    nest_seen: datetime | None = None


def holding(house: House, facts: ListFacts) -> Holding:
    """Everything a list's lines may depend on, as of the house's time."""
    facts = with_the_log(house, facts)
    clock = ash_clock(house.entries, as_of=house.as_of, doubted=house.clock_doubted)
    early = clock if clock is not None and clock.tipped is not None else None
    bucket = clock if early is None else None  # tipped, it is in no bucket any more
    nest = nest_since(house)
    water = house.description.cabin.water if house.description else "in"
    cold_c = CO_ALARM_C[0] + ALARM_MARGIN_K
    answers = {
        Condition.FROST: _frost(house, facts),
        Condition.FROST_INSIDE: facts.inside_c is not None and facts.inside_c <= FREEZING_C,
        Condition.COLD_ROOM: facts.inside_c is None or min((facts.inside_c, *_here_c(house))) < cold_c,
        Condition.DROPPINGS: facts.droppings,
        Condition.AWAY: house.last_left is not None and _arriving_at(house) - house.last_left > LONG_AWAY,
        Condition.FIRST_STAY: _first_of_season(house),
        Condition.GUESTS: bool(facts.guests),
        Condition.PIPES: water != "none",
        Condition.WATER: water == "in",
        Condition.NEST: nest is not None,
        Condition.COALS: bool(facts.fire),
        Condition.ASH: bucket is not None,
        Condition.ASH_WAITS: bucket is not None and house.as_of < bucket.not_before,
        Condition.FIRE_PLANNED: facts.fire_planned,
        Condition.COLD_STOVE: facts.lit_anew or not facts.fire,
    }
    held = frozenset(condition for condition, holds in answers.items() if holds)
    return Holding(
        conditions=held,
        facts=facts,
        bucket_filled=bucket.filled if bucket else None,
        bucket_not_before=bucket.not_before if bucket else None,
        ash_live_until=early.not_before if early else None,
        nest_seen=nest,
    )


def with_the_log(house: House, facts: ListFacts) -> ListFacts:
    """The facts with what the log says where nothing was given."""
    return replace(
        facts,
        inside_c=_last_inside_c(house) if facts.inside_c is None else facts.inside_c,
        outdoor_low_c=_low_ahead_c(house) if facts.outdoor_low_c is None else facts.outdoor_low_c,
        fire=_fire(house) if facts.fire is None else facts.fire,
        lit_anew=facts.lit_anew or (facts.fire is None and _nothing_lit_since_coming(house)),
        droppings=facts.droppings or droppings_seen(house),
        guests=_guests(house) if facts.guests is None else facts.guests,
        ash_not_before=facts.ash_not_before or house.as_of + ASH_WAITS,
    )


def droppings_seen(house: House) -> bool:
    """Whether droppings were written down within the last day, as seen or in a note."""
    lately = [e for e in house.entries if timedelta(0) <= house.as_of - e.at <= DROPPINGS_WITHIN]
    return any(
        (isinstance(e.matter, Seen) and e.matter.sight is Sight.DROPPINGS)
        or "dropping" in (e.note or "").casefold()
        for e in lately
    )


def nest_since(house: House) -> datetime | None:
    """When a nest that stands was last seen; one is gone when said to be, or with cap or flue done."""
    return max((at for at, _ in standing(house, (Sight.NEST,))), default=None)


def is_north(house: House) -> bool:
    """Whether the cabin lies north of the equator; taken so where not known."""
    latitude = house.description.site.latitude_deg if house.description else None
    return latitude is None or latitude >= 0.0


def began_in_month(house: House, month: int) -> datetime:
    """The last first of this month on the site's clock."""
    zone = house.setting.zone
    today = local_time(house.as_of, zone).date()
    day = today.replace(month=month, day=1)
    day = day if day <= today else day.replace(year=day.year - 1)
    midnight = local_time(house.as_of, zone).replace(hour=0, minute=0, second=0, microsecond=0, fold=0).time()
    return next(iter(local_instants(day, midnight, zone)), house.as_of)


def _arriving_at(house: House) -> datetime:
    return house.stay.start if house.stay else house.as_of


def _first_of_season(house: House) -> bool:
    since = began_in_month(house, SEASON_BEGINS_MONTH[is_north(house)])
    return house.last_left is None or house.last_left < since


def _frost(house: House, facts: ListFacts) -> bool:
    if facts.outdoor_low_c is not None:
        return facts.outdoor_low_c <= FREEZING_C
    return local_time(house.as_of, house.setting.zone).month in FROST_MONTHS[is_north(house)]


def _last_inside_c(house: House) -> float | None:
    for entry in reversed(house.entries):
        if house.as_of - entry.at > READ_LATELY:
            return None
        if entry.indoor_c is not None and entry.place == MAIN_PLACE:
            return entry.indoor_c
    return None


def _here_c(house: House) -> tuple[float, ...]:
    """What the main thermometer said in this stay: alarms tested cold are tested again when it is warm."""
    start = house.stay.start if house.stay else house.as_of
    return tuple(
        e.indoor_c
        for e in house.entries
        if start <= e.at <= house.as_of and e.indoor_c is not None and e.place == MAIN_PLACE
    )


def coldest_told_c(house: House) -> float | None:
    """The coldest low forecast for the nights ahead, of each night the newest word, °C; None without one."""
    return min(_lows_told_c(house), default=None)


def _lows_told_c(house: House) -> list[float]:
    today = local_time(house.as_of, house.setting.zone).date()
    lows = {
        weather.day: weather.low_c
        for _, weather in house.of(DayWeather)
        if not weather.seen and timedelta(0) <= weather.day - today < timedelta(days=DAYS_AHEAD)
    }
    tonight_c = tonights_low_c(house)
    if tonight_c is not None:
        lows[today] = tonight_c
    return list(lows.values())


def _low_ahead_c(house: House) -> float | None:
    """The coldest of what was read and of the nights ahead."""
    found = _lows_told_c(house)
    for entry in reversed(house.entries):
        if house.as_of - entry.at > READ_LATELY:
            break
        if entry.outdoor_c is not None and _tells_of_nights(entry.outdoor_c, entry.at, house):
            found.append(entry.outdoor_c)
    return min(found, default=None)


def _tells_of_nights(outdoor_c: float, at: datetime, house: House) -> bool:
    """Whether a reading says if it freezes: frost itself, one at dawn, or one far above it. 6 °C at noon
    leaves the night open, and what is open is taken for the worse."""
    clock = local_time(at, house.setting.zone).time()
    return outdoor_c <= FREEZING_C or outdoor_c > DAILY_SWING_K or NEAR_DAWN[0] <= clock <= NEAR_DAWN[1]


def _fire(house: House) -> int:
    """1 while wood or coals may be in the stove: a load within a day, and neither said to be out since."""
    for entry in reversed(house.entries):
        if house.as_of - entry.at > MAY_STILL_GLOW:
            return 0
        if entry.load_kg or entry.kindling:  # said to be out in the same row, it was found so and lit anew
            return 1
        if entry.fire_out or entry.coals is not None:
            return int(not entry.fire_out and entry.coals is not Coals.NONE)
    return 0


def _nothing_lit_since_coming(house: House) -> bool:
    """Whether whoever comes has laid nothing in yet: after the last leaving the flue may be cold, whatever
    glowed less than a day ago."""
    return not any(e.load_kg or e.kindling for e in house.between(_arriving_at(house), house.as_of))


def _guests(house: House) -> bool:
    """More people than usual, by what was said of this stay or, before it, of the next one."""
    usual = float(house.description.comfort.people) if house.description else 2.0
    if house.stay is not None:
        return house.stay.head_count_said and house.stay.head_count > usual
    after = house.last_left + GUESTS_SAID_AFTER if house.last_left else None
    said = [s for at, s in house.of(StaySaid) if after is None or at > after]
    counts = [s.count or len(s.people) for s in said if s.count or s.people]
    return bool(counts) and counts[-1] > usual
