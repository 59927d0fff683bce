"""What to write down next: the observation expected to narrow the range of the waking temperature most.

No rule of thumb. Every draw of the posterior is run through the night with its own luck, each candidate is
read off that same draw with the error such a reading has, and the waking temperature is regressed on it. What
is left unexplained is the spread that would remain.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.heat.cautions import FREEZING_CHANCE, FREEZING_IN_ROOM_C
from logbook.heat.effects import HEAT_SD, READING_SD_K, TIME_SD_H
from logbook.heat.hours_ahead import Hours, draw_luck, hours_ahead
from logbook.heat.night import UNEVEN_FROM_KW, UNEVEN_SD_K, Base
from logbook.heat.outdoors_ahead import OutdoorAhead
from logbook.heat.priors import values
from logbook.heat.scenario import COALS_BOUNDS_KG
from logbook.heat.stove import FireState
from logbook.heat.weather import STEP
from logbook.records import Coals, Entry, Window
from logbook.results.journeys import Narrowing, Note, WriteDownNext

COUNTED_SD = 0.10
"""Mass of a load counted in pieces against its true one, share. ASSUMED: in simulated notebooks 5 % with a
scale, 12 % with a bathroom scale; pieces of one size differ by more, several even out."""

WEIGHED_SD = 0.02
"""The same for a load weighed on a kitchen or hanging scale, share. ASSUMED."""

OUTDOOR_READING_SD_K = 0.7
"""Error of an outdoor thermometer read through a window or in the dark, K. ASSUMED."""

COALS_WORD_SD = 0.35
"""How sharply words tell coals apart, sd of the logarithm. ASSUMED: fitted on simulated notebooks."""

HEATER_W, HEATER_FOR = 1500.0, timedelta(hours=4)
"""The electric heater of an evening and how long it runs."""

WORTH_SAYING = 0.05
"""Narrowing by less than this share is not worth a line. ASSUMED: it does not show in whole degrees."""

EFFORT = {
    Note.OUTDOOR_AT_BED: 0.0,
    Note.COALS_AT_WAKING: 0.0,
    Note.LOAD_MASS: 0.02,
    Note.READING_AT_2: 0.05,
    Note.NIGHT_WITHOUT_FIRE: 0.10,
    Note.HEATER_EVENING: 0.15,
}
"""What each must narrow beyond a glance at a thermometer to be asked for, share. ASSUMED: the price of a
minute, of getting up, of a cool night, of carrying a heater there."""

FOLDS, RIDGE = 5, 0.01
"""Regression: folds of the cross-validation, and ridge as a share of the number of draws."""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """Tonight's plan and its night; ``outdoor`` runs from now to waking. ``up_at_night``: they are up anyway.

    ``night_reading_at`` is when a reading in the night would be made, ``outdoor_known`` says that the outdoor
    temperature was read just now, ``counted`` that loads are counted in pieces and not weighed.
    """

    plan: tuple[Entry, ...]
    bed: datetime
    outdoor: OutdoorAhead
    people: float
    night_reading_at: datetime
    outdoor_known: bool
    counted: bool
    up_at_night: bool
    water_in: bool


@dataclass(frozen=True)
class Seen:
    """Tonight as every draw has it: the waking temperature and what could be read; axes (draw, ...)."""

    wake_c: FloatArray
    read: Mapping[Note, FloatArray]


def tonight_as_seen(base: Base, asked: Asked, *, rng: np.random.Generator) -> tuple[Seen, Hours]:
    """Tonight's plan and no fire, every draw with its luck and the readings somebody would make of it."""
    hours = _run(base, asked, plans=[asked.plan, _no_fire(base, asked)], rng=rng)
    draws = len(base.z)
    read: dict[Note, FloatArray] = {}
    if not asked.outdoor_known:
        at = _look(hours, max(asked.bed, hours.times[0]))
        noise = OUTDOOR_READING_SD_K * rng.standard_normal(draws)
        read[Note.OUTDOOR_AT_BED] = (hours.outdoor_c[:, at] + noise)[:, None]
    loads = sum(1 for e in asked.plan if e.load_kg)
    if loads and asked.counted:
        read[Note.LOAD_MASS] = weighed_share(hours.luck.heat[:, 1 : loads + 1], rng=rng)
    if hours.times[0] + timedelta(hours=1) <= asked.night_reading_at <= hours.times[-1] - timedelta(hours=1):
        read[Note.READING_AT_2] = _thermometer(hours, 0, asked.night_reading_at, rng)[:, None]
    return Seen(hours.air_c[0, :, -1], read), hours


def weighed_share(heat_luck: FloatArray, *, rng: np.random.Generator) -> FloatArray:
    """What a scale would show against the mass taken, share, for loads whose heat turned out so.

    The mass is one part of why a load's heat is off; ``heat_luck`` is standard normal, axes (draw, load).
    """
    part = COUNTED_SD / HEAT_SD
    own = rng.standard_normal(heat_luck.shape)
    mass = part * heat_luck + np.sqrt(1.0 - part**2) * own
    out: FloatArray = COUNTED_SD * mass + WEIGHED_SD * rng.standard_normal(heat_luck.shape)
    return out


def write_down_next(base: Base, asked: Asked, *, rng: np.random.Generator) -> WriteDownNext:
    """How far each observation would narrow tonight's range, and that of a next night like it."""
    seen, hours = tonight_as_seen(base, asked, rng=rng)
    width = _width_k(seen.wake_c)
    spread = left_k(seen.wake_c, np.zeros((len(base.z), 0)))
    tonight = _narrowings({n: left_k(seen.wake_c, o) / spread for n, o in seen.read.items()}, width)
    next_c = _next_night(base, asked, rng=rng)
    next_width = _width_k(next_c)
    learned, skipped = _lessons(base, asked, hours, seen, rng=rng)
    woke = _thermometer(hours, 0, hours.times[-1], rng)[:, None]
    usual = left_k(next_c, woke)
    ratios = {
        n: left_k(next_c, o if n in INSTEAD else np.concatenate([woke, o], axis=1)) / usual
        for n, o in learned.items()
    }
    known = min(1.0, usual / left_k(next_c, np.zeros((len(base.z), 0))))  # tonight's waking is read anyway
    later = _narrowings(ratios, next_width * known)
    return WriteDownNext(
        tonight_width_k=width,
        next_width_k=next_width,
        tonight=tonight,
        next_nights=later,
        best_tonight=_best(tonight, without=() if asked.up_at_night else (Note.READING_AT_2,)),
        best_next=_best(later, without=skipped),
        skipped=skipped,
    )


INSTEAD = frozenset({Note.NIGHT_WITHOUT_FIRE})
"""Nights lived another way: their waking reading stands in the place of tonight's."""


def left_k(target: FloatArray, read: FloatArray) -> float:
    """Spread of the target that stays unexplained by what was read, K, on draws not used to learn it.

    A ridge regression on the readings, their squares and products, cross-validated: chance agreement gains
    nothing. Axes: target (draw,), read (draw, reading).
    """
    columns = [read]
    if read.shape[1]:
        scaled = (read - read.mean(axis=0)) / np.maximum(read.std(axis=0), 1e-9)
        n = scaled.shape[1]
        pairs = [scaled[:, [i]] * scaled[:, [j]] for i in range(n) for j in range(i, n)]
        columns = [scaled, *pairs]
    x = np.concatenate([np.ones((len(target), 1)), *columns], axis=1)
    fold = np.arange(len(target)) % FOLDS
    missed = np.empty_like(target)
    for k in range(FOLDS):
        kept = fold != k
        missed[~kept] = target[~kept] - x[~kept] @ fitted(x[kept], target[kept])
    return float(np.sqrt((missed**2).mean()))


def fitted(x: FloatArray, target: FloatArray) -> FloatArray:
    """Ridge coefficients; the first column of ``x`` is the constant, which is not shrunk."""
    shrink = RIDGE * len(x) * np.eye(x.shape[1])
    shrink[0, 0] = 0.0
    out: FloatArray = np.linalg.solve(x.T @ x + shrink, x.T @ target)
    return out


def _narrowings(ratios: Mapping[Note, float], width_k: float) -> tuple[Narrowing, ...]:
    found = [
        Narrowing(note=n, narrower=max(0.0, 1.0 - r), width_k=width_k * min(r, 1.0))
        for n, r in ratios.items()
    ]
    return tuple(sorted(found, key=lambda f: -f.narrower))


def _best(found: Sequence[Narrowing], *, without: Sequence[Note]) -> Note | None:
    """The one worth most beyond its effort, if it is worth a line."""
    worth = [f for f in found if f.note not in without and f.narrower - EFFORT[f.note] >= WORTH_SAYING]
    best = max(worth, key=lambda f: f.narrower - EFFORT[f.note], default=None)
    return best.note if best else None


def _lessons(
    base: Base, asked: Asked, hours: Hours, seen: Seen, *, rng: np.random.Generator
) -> tuple[dict[Note, FloatArray], tuple[Note, ...]]:
    """What could teach something for nights to come, and which of it is not to be asked for."""
    learned = dict(seen.read)
    if any(e.load_kg for e in asked.plan):
        learned[Note.COALS_AT_WAKING] = _coals_word(base, hours, rng)
    learned[Note.NIGHT_WITHOUT_FIRE] = _thermometer(hours, 1, hours.times[-1], rng)[:, None]
    learned[Note.HEATER_EVENING] = _heater_evening(base, asked, rng=rng)
    skipped = [] if asked.up_at_night else [Note.READING_AT_2]
    freezes = (hours.air_c[1].min(axis=1) <= FREEZING_IN_ROOM_C).mean() >= FREEZING_CHANCE
    if freezes or asked.water_in:
        skipped.append(Note.NIGHT_WITHOUT_FIRE)
    return learned, tuple(skipped)


def _next_night(base: Base, asked: Asked, *, rng: np.random.Generator) -> FloatArray:
    """Waking temperature of the same plan on another night like tonight: same start, other luck."""
    middle = replace(
        base,
        room=type(base.room)(*(np.full_like(part, np.median(part)) for part in base.room)),
        fire=FireState(*(np.full_like(part, np.median(part)) for part in base.fire)),
        correction_k=np.zeros_like(base.correction_k),
    )
    return _run(middle, asked, plans=[asked.plan], rng=rng).air_c[0, :, -1]


def _heater_evening(base: Base, asked: Asked, *, rng: np.random.Generator) -> FloatArray:
    """Readings before, at the end of, and at waking after an evening with a heater of known power."""
    cold = replace(base, fire=FireState(*(np.zeros_like(part) for part in base.fire)))
    steps = len(asked.outdoor.course_c)
    heater = np.zeros(steps)
    heater[: round(HEATER_FOR / STEP)] = HEATER_W
    hours = _run(cold, asked, plans=[_no_fire(base, asked)], rng=rng, heater_w=heater)
    times = (hours.times[0], hours.times[0] + HEATER_FOR, hours.times[-1])
    return np.stack([_thermometer(hours, 0, at, rng) for at in times], axis=1)


def _coals_word(base: Base, hours: Hours, rng: np.random.Generator) -> FloatArray:
    """Few or more, and good, as the owner of each draw would say at waking; two columns of 0 and 1."""
    owner = values(base.z)["coals_words"][:, 0]
    left = np.maximum(hours.char_kg[0, :, -1], 1e-4) * np.exp(COALS_WORD_SD * rng.standard_normal(len(owner)))
    few, good = (COALS_BOUNDS_KG[word][0] * owner for word in (Coals.FEW, Coals.GOOD))
    return np.stack([left > few, left > good], axis=1).astype(float)


def _thermometer(hours: Hours, plan: int, at: datetime, rng: np.random.Generator) -> FloatArray:
    """The room as read and written down about then, °C; axes (draw,). Beside a fire it is uneven."""
    i = _look(hours, at)
    slope = np.gradient(hours.air_c[plan], hours.hours, axis=1)[:, i]
    uneven = UNEVEN_SD_K * np.clip(hours.heat_kw[plan, :, i] / UNEVEN_FROM_KW, 0.0, 1.0)
    error = rng.standard_normal((3, len(slope)))
    read = hours.air_c[plan, :, i] + READING_SD_K * error[0] + TIME_SD_H * slope * error[1]
    out: FloatArray = read + uneven * error[2]
    return out


def _look(hours: Hours, at: datetime) -> int:
    apart = [abs(t - at) for t in hours.times]
    return apart.index(min(apart))


def _no_fire(base: Base, asked: Asked) -> tuple[Entry, ...]:
    start = base.scenario.start + base.now * STEP
    return (Entry(at=start, window=Window.SHUT),)


def _run(
    base: Base,
    asked: Asked,
    *,
    plans: Sequence[tuple[Entry, ...]],
    rng: np.random.Generator,
    heater_w: FloatArray | float = 0.0,
) -> Hours:
    loads = max(sum(1 for e in plan if e.load_kg) for plan in plans)
    steps = len(asked.outdoor.course_c)
    return hours_ahead(
        base,
        plans=plans,
        outdoor=asked.outdoor,
        people=asked.people,
        luck=draw_luck(len(base.z), steps=steps, loads=loads, rng=rng),
        heater_w=heater_w,
    )


def _width_k(target: FloatArray) -> float:
    low, high = np.percentile(target, (5, 95))
    return float(high - low)
