"""Time: phrases in every zone around every change of its clock, against a reference that counts offsets.

The reference knows nothing of ``fold``: a moment shows a clock time when the zone's offset then says so,
looked for among all offsets the zone has within two days (``zoneinfo``, the published transitions).
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, available_timezones

from benching.options import Options
from logbook.entry import Setting, Understood, answered, read_line
from logbook.wording import sentence

FULL, QUICK = 50_000, 600
YEARS = (1973, 2037)
"""Moments tried, read as of then: a clock of before 2026 is doubted. Beyond 2037 the last rules hold."""

NEAR = timedelta(hours=30)
"""Half of all moments lie within this after a change of the zone's clock."""

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
SHIFTS = (("-2h", 120), ("-90min", 90), ("-1h30", 90), ("30min ago", 30), ("-26h", 1560))


@dataclass(frozen=True)
class Told:
    """A phrase typed at a moment, and the wall times it may mean, the one meant first."""

    zone: str
    now: datetime
    phrase: str
    wall: datetime | None
    exact: datetime | None = None


def run(options: Options) -> Iterator[str]:
    """One row: cases, seed, what was found; and one for how many met a change."""
    count = options.how_many(FULL, quick=QUICK)
    found: Counter[str] = Counter()
    met: Counter[str] = Counter()
    for told in cases(count, options.seed):
        met[kind_of(told)] += 1
        for wrong in faults(told):
            found[wrong] += 1
    said = "; ".join(f"{n} × {what}" for what, n in found.most_common(6)) or "nothing wrong"
    kinds = ", ".join(f"{n} {kind}" for kind, n in met.most_common())
    yield f"| time: phrases in all zones, around changes | {count} | {options.seed} | {said} ({kinds}) |"


def cases(count: int, seed: int) -> Iterator[Told]:
    """Random zones, moments and phrases; the same for the same seed."""
    rng = random.Random(seed)
    zones = sorted(name for name in available_timezones() if not name.startswith(("posix", "right", "local")))
    changes: dict[str, list[datetime]] = {}
    for _ in range(count):
        near_change = rng.random() < 0.5
        for _ in range(20):  # most zones have no changes any more
            zone = rng.choice(zones)
            if zone not in changes:
                changes[zone] = list(changes_of(zone))
            if changes[zone] or not near_change:
                break
        change = rng.choice(changes[zone]) if changes[zone] and near_change else None
        at = change + NEAR * rng.random() if change else _moment(rng)
        yield _told(zone, at, rng, change=change)


def changes_of(zone: str) -> Iterator[datetime]:
    """When a zone's clock changes, to the minute, by halving the days on which its offset does."""
    tz = ZoneInfo(zone)
    at, end = datetime(YEARS[0], 1, 3, tzinfo=UTC), datetime(YEARS[1], 12, 30, tzinfo=UTC)
    while at < end:
        after = at + timedelta(days=7)
        if at.astimezone(tz).utcoffset() != after.astimezone(tz).utcoffset():
            low, high = at, after
            while high - low > timedelta(minutes=1):
                middle = low + (high - low) / 2
                same = middle.astimezone(tz).utcoffset() == low.astimezone(tz).utcoffset()
                low, high = (middle, high) if same else (low, middle)
            yield high.replace(second=0, microsecond=0)
        at = after


def _moment(rng: random.Random) -> datetime:
    if rng.random() < 0.1:  # leap days and New Year
        year = rng.choice((1976, 2000, 2024, 2028, 2032, 2036))
        day = rng.choice(((2, 29), (3, 1), (1, 1), (12, 31)))
        return datetime(year, *day, rng.randrange(24), rng.randrange(60), tzinfo=UTC)
    start = datetime(YEARS[0], 1, 10, tzinfo=UTC)
    return start + (datetime(YEARS[1], 12, 30, tzinfo=UTC) - start) * rng.random()


def _told(zone: str, at: datetime, rng: random.Random, *, change: datetime | None) -> Told:
    now = at.replace(second=0, microsecond=0)
    here = now.astimezone(ZoneInfo(zone))
    clock = time(rng.randrange(24), rng.choice((0, 0, 15, 30, 45, 59)))
    if change is not None and rng.random() < 0.8:  # a clock time within an hour of the change, either side
        near = (change + timedelta(minutes=rng.randrange(-60, 60))).astimezone(ZoneInfo(zone))
        clock = (near.replace(tzinfo=None) + timedelta(hours=rng.choice((-1, 0, 0, 1)))).time()
    kind = rng.choice(("clock", "clock", "yesterday", "last night", "weekday", "date", "iso", "shift"))
    hhmm = f"{clock:%H:%M}"
    if kind == "shift":
        typed, minutes = rng.choice(SHIFTS)
        return Told(zone, now, typed, None, now - timedelta(minutes=minutes))
    if kind == "clock":
        return Told(zone, now, hhmm, _last(clock, now, zone))
    if kind == "yesterday":
        return Told(zone, now, f"yesterday {hhmm}", datetime.combine(_day_before(here.date(), zone), clock))
    if kind == "last night":
        evening = time(rng.randrange(17, 24), clock.minute)
        return Told(zone, now, f"last night {evening:%H:%M}", _last_evening(evening, now, zone))
    back = rng.randrange(1, 7) if kind == "weekday" else rng.randrange(1, 300)
    day = here.date() - timedelta(days=back)
    if change is not None and rng.random() < 0.6:
        day = change.astimezone(ZoneInfo(zone)).date()
    wall = datetime.combine(day, clock)
    left_out = not showing(datetime.combine(day, time(12)), zone)  # Samoa had no 30 December 2011
    if left_out or (showing(wall, zone) or (moved_on(wall, zone),))[0] > now:
        day = _day_before(day, zone)
    if kind == "weekday":
        return Told(zone, now, f"{DAYS[day.weekday()]} {hhmm}", datetime.combine(day, clock))
    if kind == "iso":
        return Told(zone, now, f"{day.isoformat()}T{hhmm}", datetime.combine(day, clock))
    year = f" {day.year}" if day.year != here.year or rng.random() < 0.3 else ""
    return Told(zone, now, f"{day.day} {MONTHS[day.month - 1]}{year} {hhmm}", datetime.combine(day, clock))


def showing(wall: datetime, zone: str) -> tuple[datetime, ...]:
    """All moments at which a zone's clock shows a wall time: none, one or two."""
    tz = ZoneInfo(zone)
    around = [wall.replace(tzinfo=UTC) + timedelta(hours=h) for h in range(-48, 49)]
    offsets = {at.astimezone(tz).utcoffset() or timedelta(0) for at in around}
    moments = {wall.replace(tzinfo=UTC) - offset for offset in offsets}
    return tuple(sorted(at for at in moments if at.astimezone(tz).replace(tzinfo=None) == wall))


def moved_on(wall: datetime, zone: str) -> datetime:
    """Where a wall time that never came lies: as far after the gap as it stood into it."""
    tz = ZoneInfo(zone)
    before = (wall.replace(tzinfo=UTC) - timedelta(hours=30)).astimezone(tz).utcoffset() or timedelta(0)
    return wall.replace(tzinfo=UTC) - before


def _last(clock: time, now: datetime, zone: str) -> datetime:
    """The last day on which a clock time had come, or was skipped, by now."""
    today = now.astimezone(ZoneInfo(zone)).date()
    for back in range(4):
        wall = datetime.combine(today - timedelta(days=back), clock)
        came = showing(wall, zone) or (moved_on(wall, zone),)
        if came[0] <= now:
            return wall
    raise AssertionError("no day in four")


def _last_evening(clock: time, now: datetime, zone: str) -> datetime:
    """The evening before: never today's, even when that has come."""
    today: date = now.astimezone(ZoneInfo(zone)).date()
    return datetime.combine(_day_before(today, zone), clock)


def _day_before(day: date, zone: str) -> date:
    """The day before, or the one before that where a zone left it out to move over the date line."""
    before = day - timedelta(days=1)
    return before if showing(datetime.combine(before, time(12)), zone) else before - timedelta(days=1)


def kind_of(told: Told) -> str:
    """Whether the wall time came once, twice or never."""
    if told.wall is None:
        return "by hours"
    return ("never", "once", "twice")[len(showing(told.wall, told.zone))]


def faults(told: Told) -> Iterator[str]:
    """What is wrong with how a phrase was read, asked about and said back."""
    setting = Setting(zone=told.zone, air_lever_reads="open", as_of_then=True)
    # The clock is handed over in another zone than the cabin's: a laptop brought from home.
    now = told.now.astimezone(ZoneInfo("Asia/Kathmandu"))
    read = read_line(f"{told.phrase} 18", now=now, setting=setting)
    if read.entry is None:
        never = told.wall is not None and not showing(told.wall, told.zone)
        if not (never and read.problem and "never came" in read.problem.text):
            yield f"refused: {read.problem.text if read.problem else 'empty'}"
        return
    kinds = {question.kind for question in read.questions}
    if read.entry.at > told.now:
        yield "in the future"
    if told.exact is not None:
        if read.entry.at != told.exact or kinds:
            yield "hours are not real hours"
    elif told.wall is not None:
        yield from _of_wall(told, read, told.wall, kinds)
    yield from _said_back(told, read, setting)


def _of_wall(told: Told, read: Understood, wall: datetime, kinds: set[str]) -> Iterator[str]:
    came = tuple(at for at in showing(wall, told.zone) if at <= told.now)
    assert read.entry is not None
    if not showing(wall, told.zone):
        if kinds - {"soon"} != {"skipped"} or read.entry.at != moved_on(wall, told.zone):
            yield "a time that never came was not said to be so"
    elif len(came) == 2:
        if kinds - {"soon"} != {"twice"}:
            yield "a time that came twice was not asked about"
            return
        both = [answered(read, key).entry for key in ("1", "2")]
        if tuple(entry.at for entry in both if entry) != came:
            yield "first and second are not the moments they were"
    elif kinds - {"soon"} or not came or read.entry.at != came[0]:
        yield f"another moment than the one meant by {told.phrase}"


def _said_back(told: Told, read: Understood, setting: Setting) -> Iterator[str]:
    """The sentence must show the cabin's clock at the moment kept, and its day where that isn't today."""
    for key in ("1", "2") if any(q.kind == "twice" for q in read.questions) else ("",):
        entry = (answered(read, key) if key else read).entry
        assert entry is not None
        local = entry.at.astimezone(ZoneInfo(told.zone))
        said = sentence(entry, setting, now=told.now)
        if f"{local:%H:%M}" not in said:
            yield "said back with another clock time"
        if local.date() != told.now.astimezone(ZoneInfo(told.zone)).date() and f"{local:%a}" not in said:
            yield "said back without its day"
        which = {"1": "(first)", "2": "(second)"}.get(key, "")
        if which not in said:
            yield "said back without which of the two it was"
