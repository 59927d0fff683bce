"""Reading the notebook: entries as written -> what was done when, stay by stay.

People write late, forget to write an air change, and write the air they found beside the load they lay in.
The rules here are soft: a row that breaks them costs little. They were worth as much as the whole heat model
(MODEL.md, "Reading the notebook").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from logbook.heat.same_rows import each_once
from logbook.heat.stay_rows import by_a_person, rows_by_stay
from logbook.records import MAIN_PLACE, Basis, Coals, Entry, Mark, Wind, Window

NIGHT_GAP = timedelta(hours=3)
"""Two settings of the air further apart than this had a night, or a walk, in between. ASSUMED."""

OPENING_PCT = 60.0
"""How far the air stands open while a fresh load catches, when nothing was written, per cent open.
ASSUMED: wide enough that the air does not limit a small load; an owner's own turn-down replaces it."""

UNSAID_TURN_DOWN = timedelta(minutes=12)
"""When an unwritten turn-down after a load is taken to have happened. ASSUMED (design: open_minutes)."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A thermometer reading, °C; ``since`` is set for the low or high over a stretch."""

    at: datetime
    indoor_c: float
    kind: str = "at"
    since: datetime | None = None


@dataclass(frozen=True, slots=True)
class LoadLaid:
    """Wood laid in: kg as weighed; its kind and its moisture, %, only if its row says so."""

    at: datetime
    kg: float
    kindling: bool
    species: str | None = None
    moisture_pct: float | None = None
    moisture_basis: Basis | None = None


@dataclass(frozen=True, slots=True)
class AirSet:
    """From this time on the air stood this far open, per cent."""

    at: datetime
    open_pct: float


@dataclass(frozen=True, slots=True)
class WindowSet:
    """From this time on the window stood so. ``wide`` marks a row that says more than cracked."""

    at: datetime
    state: Window


@dataclass(frozen=True, slots=True)
class CoalsSeen:
    """What was seen in the firebox: words for coals, and whether wood was left unburnt (None: not said)."""

    at: datetime
    coals: Coals | None
    wood_left: bool | None


@dataclass(frozen=True, slots=True)
class Said:
    """A number that holds from a time on: other heat in W, outdoor temperature in °C, a wind factor."""

    at: datetime
    value: float


@dataclass(frozen=True, slots=True)
class Stay:
    """One stay as the heat model sees it, times in order."""

    start: datetime
    end: datetime
    readings: tuple[Reading, ...] = ()
    outdoor: tuple[Said, ...] = ()
    loads: tuple[LoadLaid, ...] = ()
    air: tuple[AirSet, ...] = ()
    windows: tuple[WindowSet, ...] = ()
    coals: tuple[CoalsSeen, ...] = ()
    other_heat: tuple[Said, ...] = ()
    wind: tuple[Said, ...] = ()
    expected_lows: tuple[Said, ...] = ()
    occupied: bool = True
    pulled_back: int = 0
    copied: int = 0
    """So many rows stood there twice at the same time, and were read once."""


def stays(entries: Sequence[Entry], *, until: datetime | None = None) -> tuple[Stay, ...]:
    """The stays that the notebook tells of, oldest first.

    Args:
        entries: As written, in the order written; what says nothing of the night is passed over.
        until: Rows later than this are left out (records that don't exist yet).
    """
    pieces, pulled = rows_by_stay(entries, until=until)
    return tuple(_stay(piece, pulled_back=pulled) for piece in pieces)


def _stay(written: Sequence[Entry], *, pulled_back: int) -> Stay:
    rows, copied = each_once(written)
    readings: list[Reading] = []
    for row in rows:
        if row.place == MAIN_PLACE:
            if row.indoor_c is not None:
                readings.append(Reading(row.at, row.indoor_c))
            extremes = row.low_c is not None or row.high_c is not None
            since = row.reset_at or (_last_bed(rows, row.at) if extremes else None)
            if since is not None and since < row.at:
                if row.low_c is not None:
                    readings.append(Reading(row.at, row.low_c, "low", since))
                if row.high_c is not None:
                    readings.append(Reading(row.at, row.high_c, "high", since))
    return Stay(
        start=rows[0].at,
        end=rows[-1].at,
        readings=tuple(readings),
        outdoor=tuple(Said(r.at, r.outdoor_c) for r in rows if r.outdoor_c is not None),
        loads=tuple(_load(r, r.load_kg) for r in rows if r.load_kg),
        air=tuple(air_settings(rows)),
        windows=tuple(WindowSet(r.at, r.window) for r in rows if r.window is not None),
        coals=tuple(_coals(rows)),
        other_heat=tuple(Said(r.at, r.other_heat_w) for r in rows if r.other_heat_w is not None),
        wind=tuple(Said(r.at, WIND_FACTOR[r.wind]) for r in rows if r.wind is not None),
        expected_lows=tuple(_expected_lows(rows)),
        occupied=by_a_person(rows),
        pulled_back=pulled_back,
        copied=copied,
    )


def _load(row: Entry, kg: float) -> LoadLaid:
    return LoadLaid(row.at, kg, row.kindling, row.species, row.moisture_pct, row.moisture_basis)


LOW_WITHIN = timedelta(hours=18)
"""A night low written in the evening is for a waking within this time. ASSUMED."""

OWN_READING_WITHIN = timedelta(hours=2.5)
"""An outdoor reading this near to waking says more than the low that was forecast. ASSUMED."""


def _expected_lows(rows: Sequence[Entry]) -> list[Said]:
    """Forecast lows of past nights, at waking, where nobody read the thermometer then."""
    out = []
    for row in rows:
        if row.forecast_low_c is None:
            continue
        wakes = [r.at for r in rows if r.mark is Mark.WOKE and timedelta(0) < r.at - row.at <= LOW_WITHIN]
        if not wakes:
            continue
        read = any(r.outdoor_c is not None and abs(r.at - wakes[0]) <= OWN_READING_WITHIN for r in rows)
        if not read:
            out.append(Said(wakes[0], row.forecast_low_c))
    return out


def _last_bed(rows: Sequence[Entry], before: datetime) -> datetime | None:
    beds = [row.at for row in rows if row.mark is Mark.BED and row.at < before]
    return beds[-1] if beds else None


WIND_FACTOR = {Wind.CALM: 0.75, Wind.BREEZE: 1.1, Wind.STRONG: 1.7}
"""How a wind felt at the door scales the leak. ASSUMED: the basic infiltration model (Sherman & Grimsrud
1980) at 0.5, 3 and 7 m/s and 25 K, sheltered, gives 0.8, 1.05 and 1.7 times its value at 2.5 m/s."""


def air_settings(rows: Sequence[Entry]) -> list[AirSet]:
    """What the air lever was set to, from rows that partly say what it was found at.

    A bare air row is an act. In a row with a reading, or with a load that a bare air row follows soon, the
    air is what was found. Found after a night and different from the last known setting means that a change
    went unwritten: in the middle of the gap if the last row was a bare one at half or less, else a usual
    turn-down after it. A load row with a low setting and nothing after it had its air wide for a while first.
    """
    out: list[AirSet] = []
    last_was_act = False
    said = [(i, row) for i, row in enumerate(rows) if row.air_open_pct is not None]
    for n, (_, row) in enumerate(said):
        pct = row.air_open_pct
        assert pct is not None
        follows = said[n + 1] if n + 1 < len(said) else None
        act_follows = (
            follows is not None and _bare(follows[1]) and follows[1].at - row.at <= timedelta(minutes=25)
        )
        found = not _bare(row) and (not row.load_kg or act_follows)
        if found and out and row.at - out[-1].at > NIGHT_GAP and abs(out[-1].open_pct - pct) > 2.0:
            last = out[-1]
            if last_was_act and last.open_pct <= 50.0:
                out.append(AirSet(last.at + (row.at - last.at) / 2, pct))
            else:
                out.append(AirSet(last.at + UNSAID_TURN_DOWN, pct))
        elif row.load_kg and not found and pct < OPENING_PCT and not _bare(row):
            out.append(AirSet(row.at, max(OPENING_PCT, pct)))
            turned = row.at + UNSAID_TURN_DOWN
            if follows is None or follows[1].at > turned:
                out.append(AirSet(turned, pct))
        else:
            out.append(AirSet(row.at, pct))
        last_was_act = _bare(row)
    out.sort(key=lambda setting: setting.at)
    return out


def _bare(row: Entry) -> bool:
    """Whether a row says nothing of the fire or room but the air."""
    return row.indoor_c is None and row.outdoor_c is None and not row.load_kg and row.mark is None


def _coals(rows: Sequence[Entry]) -> list[CoalsSeen]:
    seen = []
    for row in rows:
        note = (row.note or "").casefold()
        left = True if ("unburnt" in note or "unburned" in note) else None
        if row.fire_out:
            seen.append(CoalsSeen(row.at, Coals.NONE, False))
        elif row.coals is not None or left:
            seen.append(CoalsSeen(row.at, row.coals, left if left else (False if row.coals else None)))
    return seen
